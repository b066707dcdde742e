//! Memory of an instance of the module.

use std::hint::black_box;

/// What figures or a picture of a usual window take, bytes.
const USUAL: usize = 64 << 20;

/// Gets the memory for usual work from the browser at once. The allocator would grow it in hundreds of small steps, of which
/// each makes a new buffer and some start a collection of garbage. What is never touched takes no memory.
pub(crate) fn reserve() {
    let mut room: Vec<u8> = Vec::new();
    // Without so much, the small steps may still do.
    let _ = room.try_reserve_exact(USUAL);
    black_box(&room);
}
