//! What the schema cannot say: names that must be there, be unique or fit one another.
use crate::document::Scene;
use crate::fault::Fault;

/// Every fault of a scene that has the right form.
pub fn check(_scene: &Scene) -> Vec<Fault> {
    Vec::new()
}
