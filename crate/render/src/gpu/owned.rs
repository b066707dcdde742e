//! Textures and buffers that give their memory back when they are dropped.

use std::ops::Deref;

/// What a device holds until it is destroyed.
pub(crate) trait Destroy {
    /// Gives the memory back once the work already submitted is done.
    fn destroy(&self);
}

impl Destroy for wgpu::Texture {
    fn destroy(&self) {
        wgpu::Texture::destroy(self);
    }
}

impl Destroy for wgpu::Buffer {
    fn destroy(&self) {
        wgpu::Buffer::destroy(self);
    }
}

/// Destroys what it holds when it is dropped. In a browser, dropping a texture or a buffer leaves its memory on the
/// card until JavaScript's collector runs, and the collector sees only a small object.
#[derive(Debug)]
pub(crate) struct Owned<T: Destroy>(T);

impl<T: Destroy> Owned<T> {
    pub(crate) fn new(held: T) -> Self {
        Self(held)
    }
}

impl<T: Destroy> Deref for Owned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: Destroy> Drop for Owned<T> {
    fn drop(&mut self) {
        self.0.destroy();
    }
}
