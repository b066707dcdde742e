//! The WGSL of each pass: the structures and constants shared with Rust, then the handwritten text.

use crate::eye::spread::Spread;
use crate::eye::tone::Tone;
use crate::gpu::wgsl_text::wgsl;
use crate::shared::constants;
use crate::shared::frame::Frame;
use crate::shared::layout::{reader, record, structure, texel_constants, texels, vertex};
use crate::shared::records::{
    FieldBearing, FieldForward, FieldInner, FieldNode, FieldStone, Forward, Piece, Response,
};
use crate::window::vertex::{GlassVertex, SolidVertex};

const PRELUDE: &str = wgsl!("prelude.wgsl");
const SHEET: &str = wgsl!("sheet.wgsl");
const OUTSIDE: &str = wgsl!("outside.wgsl");
const STONE: &str = wgsl!("stone.wgsl");
const FORWARD: &str = wgsl!("forward.wgsl");
const PAINT: &str = wgsl!("paint.wgsl");
const GLASS: &str = wgsl!("glass.wgsl");
const SOLID: &str = wgsl!("solid.wgsl");
const SCREEN: &str = wgsl!("screen.wgsl");
const SPREAD: &str = wgsl!("spread.wgsl");
const SPREAD_DOWN: &str = wgsl!("spread_down.wgsl");
const SPREAD_UP: &str = wgsl!("spread_up.wgsl");
const TONE: &str = wgsl!("tone.wgsl");

/// A pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pass {
    Glass,
    Solid,
    SpreadDown,
    SpreadUp,
    Tone,
}

impl Pass {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Glass => "glass",
            Self::Solid => "solid",
            Self::SpreadDown => "spread down",
            Self::SpreadUp => "spread up",
            Self::Tone => "tone",
        }
    }

    /// The WGSL source: generated from the declarations in Rust, followed by the handwritten text.
    pub(crate) fn source(self) -> String {
        format!("{}\n{}\n{}", constants_text(), self.structures(), self.written().join("\n"))
    }

    /// The structures shared with Rust.
    fn structures(self) -> String {
        match self {
            Self::Glass => [
                structure::<Frame>(),
                vertex::<GlassVertex>(),
                record::<Piece>(),
                texels::<Piece>(),
                reader::<Piece>("pieces"),
                record::<Response>(),
                texels::<Response>(),
                reader::<Response>("responses"),
                record::<Forward>(),
                texels::<Forward>(),
                reader::<Forward>("responses"),
                record::<FieldForward>(),
                texels::<FieldNode>(),
                texel_constants::<FieldNode>(&["above", "between", "below", "fifths"]),
                record::<FieldBearing>(),
                texel_constants::<FieldBearing>(&["edges", "detail"]),
                texels::<FieldBearing>(),
                record::<FieldStone>(),
                texels::<FieldStone>(),
                texel_constants::<FieldStone>(&["sky", "fifth", "openness"]),
            ]
            .concat(),
            Self::Solid => [
                structure::<Frame>(),
                vertex::<SolidVertex>(),
                record::<FieldInner>(),
                texels::<FieldInner>(),
                reader::<FieldInner>("field"),
            ]
            .concat(),
            Self::SpreadDown | Self::SpreadUp => structure::<Spread>(),
            Self::Tone => structure::<Tone>(),
        }
    }

    /// The texts of `shaders/` that it consists of.
    fn written(self) -> &'static [&'static str] {
        match self {
            Self::Glass => &[PRELUDE, SHEET, OUTSIDE, STONE, FORWARD, PAINT, GLASS],
            Self::Solid => &[PRELUDE, SOLID],
            Self::SpreadDown => &[SCREEN, SPREAD, SPREAD_DOWN],
            Self::SpreadUp => &[SCREEN, SPREAD, SPREAD_UP],
            Self::Tone => &[SCREEN, TONE],
        }
    }
}

fn constants_text() -> String {
    let constant = |(name, value): &(&str, constants::Value)| {
        let (kind, literal) = value.wgsl();
        format!("const {name}: {kind} = {literal};\n")
    };
    constants::ALL.iter().map(constant).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PASSES: [Pass; 5] = [Pass::Glass, Pass::Solid, Pass::SpreadDown, Pass::SpreadUp, Pass::Tone];

    /// A text without its comments.
    fn code(text: &str) -> String {
        text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
    }

    /// The names and numbers in a text.
    fn words(text: &str) -> Vec<String> {
        let code = code(text);
        code.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '.'))
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect()
    }

    #[test]
    fn every_shared_constant_and_structure_is_read_by_a_shader() {
        let written: Vec<String> =
            PASSES.iter().flat_map(|pass| pass.written()).flat_map(|text| words(text)).collect();
        let used = |name: &str| written.iter().any(|word| word.split('.').next() == Some(name));
        for (name, _) in constants::ALL {
            assert!(used(name), "no shader reads {name}");
        }
        for pass in PASSES {
            let source = pass.source();
            assert!(source.starts_with(&constants_text()) && source.contains(&pass.structures()));
            for text in pass.written() {
                assert!(source.contains(text), "{pass:?}");
                // Shared items are declared in Rust alone.
                for declared in ["Frame", "Piece", "Response", "Spread", "Tone", "GlassVertex", "SolidVertex"]
                {
                    assert!(!code(text).contains(&format!("struct {declared} ")), "{pass:?}: {declared}");
                }
                assert!(!code(text).contains("const "), "{pass:?} declares a constant of its own");
            }
        }
    }

    // What remains is mathematics whose numbers cannot be chosen: identities, halves, the polynomials of smooth
    // steps and of a cubic through four nodes, the derivative of a square; and bindings and locations.
    #[test]
    fn shaders_contain_no_adjustable_numbers() {
        const WHOLE: [&str; 10] = ["0", "1", "2", "3", "4", "5", "6", "0u", "1u", "2u"];
        const PARTS: [&str; 10] = ["0.0", "0.5", "1.0", "2.0", "3.0", "4.0", "6.0", "10.0", "15.0", "30.0"];
        for text in PASSES.iter().flat_map(|pass| pass.written()) {
            for word in words(text).iter().filter(|w| w.starts_with(|c: char| c.is_ascii_digit())) {
                assert!(
                    WHOLE.contains(&word.as_str()) || PARTS.contains(&word.as_str()),
                    "{word} in {}",
                    text.lines().next().unwrap_or_default()
                );
            }
        }
    }
}
