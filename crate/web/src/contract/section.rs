//! Pieces from outside to inside, and the glasses they could be made of.

use std::borrow::Cow;

use scene::{Deposit, DepositKind, Deposits, Face, Gap, Layer as LayerKey, Makeup, PaintKind, Pigment};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use viewing::TransmittedColour;

/// Marks a schema that may be null although its field may also be absent.
pub(crate) const NULL_IS_WRITTEN: &str = "x-null-is-written";

/// Pieces from outside to inside. Values that differ between them are null.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Section {
    /// Number of the piece that names the section: the last one requested.
    pub(crate) piece: u32,
    /// Numbers of all the pieces.
    pub(crate) pieces: Vec<u32>,
    /// Name of the glass of the piece's innermost plate.
    pub(crate) title: String,
    /// Area that lets light pass, of all the pieces together.
    pub(crate) light_area_mm2: f64,
    /// Width and height of the sheet that the piece is cut from.
    pub(crate) cut_size_mm: [f64; 2],
    /// Numbers of the pieces next to it.
    pub(crate) neighbours: Vec<u32>,
    /// What the piece is made of.
    pub(crate) makeup: Makeup,
    /// For each layer of its paint, in the document's order, the share of the piece that its strokes cover, 0–1; null
    /// without strokes.
    pub(crate) drawn_share: Vec<Option<f64>>,
    /// Dirt and corrosion on all glass of the window, where a piece has none of its own.
    pub(crate) deposits: Deposits,
    /// From outside to inside.
    pub(crate) layers: Vec<Layer>,
    /// What lies between the plates; also null if no piece has two.
    pub(crate) gap: Option<Gap>,
    /// Number of plates in each.
    pub(crate) plates: Option<usize>,
    /// Most plates in any of them.
    pub(crate) most_plates: usize,
    /// CSS colour of the piece in the light requested.
    pub(crate) swatch: String,
    /// What the whole make-up transmits by standard daylight; of several pieces only if all are alike.
    pub(crate) colour: Option<TransmittedColour>,
    /// Share of that light transmitted, 0–1; for several pieces, the mean by area.
    pub(crate) transmittance_y: f64,
    /// The least and the greatest share of any of the pieces.
    pub(crate) transmittance_range: [f64; 2],
}

/// A layer of the section. For several pieces, the last that has it gives name, height and colour.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Layer {
    /// Its key, the same in other pieces.
    pub(crate) key: LayerKey,
    /// What it is made of.
    pub(crate) kind: LayerKind,
    /// Its name on the page.
    pub(crate) name: String,
    /// How it is made, in a word or two; empty if there is nothing to say.
    pub(crate) detail: &'static str,
    /// Its thickness; null if the pieces differ or it has none worth stating.
    pub(crate) thickness_mm: Option<f64>,
    /// CSS colour in the light requested; null if it has no colour of its own.
    pub(crate) swatch: Option<String>,
    /// Its colours in the pieces, each once, `swatch` last.
    pub(crate) swatches: Vec<String>,
    /// The word for how its spectrum was estimated; null if it was measured.
    pub(crate) estimate: Option<&'static str>,
    /// The values of its controls.
    pub(crate) values: LayerValues,
    /// Number of the pieces that have it.
    #[serde(rename = "in")]
    pub(crate) pieces: usize,
    /// Whether it can be moved outward and inward.
    pub(crate) can_move: [bool; 2],
    /// Least and greatest thickness of sheets of its glass; for glass only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sheet_range_mm: Option<[f64; 2]>,
    /// Its relative height in the drawing.
    pub(crate) relative_height: f64,
}

/// What a layer is made of.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum LayerKind {
    /// The clear pane in front of the window.
    Protective,
    /// Air behind the protective glazing or between plates.
    Air,
    /// Dirt or corrosion on the outermost or innermost face.
    Deposit,
    /// Two plates cemented or fused.
    Contact,
    /// The glass of a plate.
    Glass,
    /// A flash.
    Flash,
    /// A fired layer of paint.
    Paint,
}

/// The values of a layer's controls: null if the pieces differ, absent if a layer of this kind has no such value.
#[derive(Default, Serialize, JsonSchema)]
pub(crate) struct LayerValues {
    /// Id of the glass.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) glass: Option<Agreed<String>>,
    /// Dirt or corrosion on a face, if it is the same on all the pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) deposit: Option<Agreed<Deposit>>,
    /// Whether it is dirt or corrosion.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) deposit_kind: Option<Agreed<DepositKind>>,
    /// Share of light lost to it, 0–1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) loss: Option<Agreed<f64>>,
    /// How it scatters: of paint, dirt and corrosion, and glass of the scene's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) scattering: Option<Scattering>,
    /// Where its numbers come from; an assumption if empty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) source: Option<Agreed<String>>,
    /// Thickness of a plate or of the protective pane.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) thickness_mm: Option<Agreed<f64>>,
    /// Number of the sheet that it was cut from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) sheet: Option<Agreed<u32>>,
    /// Share of the flash that is left, 0–1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) flash_left: Option<Agreed<f64>>,
    /// The side that the flash is on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) flash_face: Option<Agreed<Face>>,
    /// Share of light lost to dirt, 0–1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) dirt: Option<f64>,
    /// What lies between two plates.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) gap: Option<Gap>,
    /// Kind of paint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) kind: Option<Agreed<PaintKind>>,
    /// Optical density of the paint, base 10.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) density: Option<Agreed<f64>>,
    /// Share of the piece that it covers, 0–1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) coverage: Option<Agreed<f64>>,
    /// Its pigment.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) pigment: Option<Agreed<Pigment>>,
    /// The firing that it goes through; 1 is the first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) firing: Option<Agreed<u32>>,
    /// The face that it is on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) face: Option<Agreed<Face>>,
    /// The plate that it is on, 0 the innermost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) plate: Option<Agreed<usize>>,
}

/// How a layer scatters: null if the pieces differ.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Scattering {
    /// Share of the passing light that it scatters, 0–1; of paint at its usual density.
    pub(crate) scatters: Agreed<f64>,
    /// Share of the scattered light that stays near its old direction, 0–1.
    pub(crate) forwards: Agreed<f64>,
    /// Angle from there at which that light has half its radiance.
    pub(crate) half_width_deg: Agreed<f64>,
    /// Which of the three no piece states: they are as usual for its kind.
    pub(crate) usual: [bool; 3],
}

/// A value shared by the pieces; null if they differ.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub(crate) struct Agreed<T>(pub(crate) Option<T>);

impl<T: JsonSchema> JsonSchema for Agreed<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("Agreed_{}", T::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut schema = generator.subschema_for::<Option<T>>();
        // Unlike `Option`, which is absent rather than null.
        schema.insert(NULL_IS_WRITTEN.to_owned(), true.into());
        schema
    }
}

/// The glasses of a colour family.
#[derive(Serialize, JsonSchema)]
pub(crate) struct GlassFamily {
    /// Its name.
    pub(crate) family: &'static str,
    /// In rack order.
    pub(crate) glasses: Vec<GlassChoice>,
}

/// A glass of the library or of the scene's own.
#[derive(Serialize, JsonSchema)]
pub(crate) struct GlassChoice {
    /// Its id in the scene.
    pub(crate) id: String,
    /// Its name.
    pub(crate) name: String,
    /// The origin of its spectrum, in words.
    pub(crate) provenance: &'static str,
    /// The kind of sheet, in a word; empty for plain glass coloured throughout.
    pub(crate) kind: &'static str,
    /// CSS colour at the thickness and in the light requested.
    pub(crate) swatch: String,
    /// Share of that light transmitted, 0–1.
    pub(crate) transmittance_y: f64,
}
