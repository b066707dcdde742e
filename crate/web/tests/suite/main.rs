//! What the page and its workers call, natively and as WebAssembly under Node.

mod page_and_worker;
mod surroundings;
mod variants;
