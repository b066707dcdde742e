//! Paint: how it was laid on, how it fades from the lead, and its strokes.

pub(crate) mod brushwork;
pub(crate) mod fade;
pub(crate) mod overlays;
pub(crate) mod strokes;
