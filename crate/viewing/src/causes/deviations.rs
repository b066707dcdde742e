//! How far each thing may be off: standard deviations, and where they are from. *Common practice* and *assumption* have
//! no source that could be cited.
//!
//! `_LN` is a standard deviation of the natural logarithm: 0.2 is about 20 %. The strength of a colourant has its own
//! with the colourant (`glass::Colourant::relative_sigma`), a glass that is no recipe with the glass
//! (`glass::Uncertainty`), the level of the sky with the sky (`Outside::diffuse_relative_sd`).

/// Position of the edge of a sulphide or selenide glass, nm: it moves with the striking. Assumption.
pub(super) const EDGE_NM: f64 = 10.0;
/// Absorbance per mm that a recipe leaves out, such as traces of iron. Assumption, as in the library.
pub(super) const LEFT_OUT_PER_MM: f64 = 0.003;

/// A thickness that was left at its sheet's nominal one: thinnest and thickest of the sheet are two standard deviations
/// from the middle. Common practice.
pub(super) const SHEET_RANGE_IN_DEVIATIONS: f64 = 4.0;
/// A thickness that was typed, mm; at most that of the sheet's range. Assumption: measured with callipers at an edge,
/// while the sheet drifts.
pub(super) const TYPED_THICKNESS_MM: f64 = 0.2;
/// Share of the variance of a thickness that all pieces of its sheet have in common. Assumption.
pub(super) const SHEET_SHARE: f64 = 0.5;
/// Thinnest plate that is drawn, mm.
pub(super) const THINNEST_MM: f64 = 0.05;
/// Thickness of the protective pane, mm. Common practice for float.
pub(super) const PROTECTIVE_MM: f64 = 0.1;
/// Refractive index. Assumption: three of it are half of the step from soda to lead glass.
pub(super) const INDEX: f64 = 0.01;
/// Thickness of a flash within its sheet. Assumption.
pub(super) const FLASH_LN: f64 = 0.25;
/// Share of the flash that etching left, where it was etched. Assumption.
pub(super) const ETCHED: f64 = 0.07;
/// Mean share of the second colour in a streaky piece. Assumption.
pub(super) const STREAK_MIX: f64 = 0.15;
/// How far the leaves of leads stand out, mm. Assumption: leads are dressed down to the glass by hand.
pub(super) const LEAF_MM: f64 = 0.3;
/// Scattering depth of a glass: −ln of what it does not scatter. Of a little that is the share scattered; of nearly all, what is
/// left. Assumption.
pub(super) const GLASS_SCATTER_LN: f64 = 0.3;
/// The same of a fired paint. Assumption: no measured fired paint was found.
pub(super) const PAINT_SCATTER_LN: f64 = 0.4;

/// Share of the light that a paint, a glass or dirt scatters forwards, of all that it scatters, and the width of that lobe.
/// Assumptions, as the lobes themselves: measured surfaces of one kind differ twofold in width.
pub(super) const LOBE_SHARE: f64 = 0.1;
pub(super) const LOBE_WIDTH_LN: f64 = 0.3;

/// Density of a paint in one firing, common to all pieces. Assumptions: a trace line is meant to be opaque, matting is
/// judged by eye, a stain depends on kiln and glass.
pub(super) const TRACE_LN: f64 = 0.15;
pub(super) const MATTING_LN: f64 = 0.25;
pub(super) const ENAMEL_LN: f64 = 0.25;
pub(super) const STAIN_LN: f64 = 0.3;
/// Density of a paint on one piece, beside what the firing has in common. Assumption.
pub(super) const PAINT_OWN_LN: f64 = 0.1;
/// Share of a piece that trace lines or other partial paint cover, common to a firing, and of one piece. Assumption.
pub(super) const COVERAGE_LN: f64 = 0.15;
pub(super) const COVERAGE_OWN_LN: f64 = 0.1;

/// Share of light lost to dirt or corrosion on a face of glass: so much, and so much of what is stated. Assumption; 0 to 0.3
/// has been found.
pub(super) const DIRT: f64 = 0.02;
pub(super) const DIRT_OF_STATED: f64 = 0.3;

/// Reflectance of a surface of the room: taken from a list or typed, and measured by wavelength. Assumption.
pub(super) const SURFACE_LN: f64 = 0.1;
pub(super) const SURFACE_MEASURED_LN: f64 = 0.03;
/// The same of the ground, which is larger and changes with the weather. Assumption.
pub(super) const GROUND_LN: f64 = 0.2;
pub(super) const GROUND_MEASURED_LN: f64 = 0.1;
/// Reflectance of what stands on the horizon. Assumption.
pub(super) const SKYLINE_LN: f64 = 0.3;
/// Altitude of the skyline, common to all bearings, degrees: paced off, by a hand-held level, or read from a map. Assumption.
pub(super) const SKYLINE_DEG: f64 = 1.0;
/// Depth of the crowns of trees, −ln of the share of light that they let through, common to all trees. Assumption: from tree to
/// tree of a kind it varies by about a third.
pub(super) const TREES_LN: f64 = 0.3;
/// Days by which leaves come and fall early or late. Assumption: kinds and years differ by one to two weeks.
pub(super) const LEAF_DAYS: f64 = 10.0;
/// Reflectance of the own building's wall and of buildings opposite. Assumption.
pub(super) const FACADE_LN: f64 = 0.3;
/// Reflectance of the stone around a window, common to all reveals, sills and overhangs: usual where none is stated, typed or
/// from a list, and measured by wavelength. Assumption: stone weathers, and is darker when wet.
pub(super) const REVEAL_LN: f64 = 0.3;
pub(super) const REVEAL_STATED_LN: f64 = 0.2;
pub(super) const REVEAL_MEASURED_LN: f64 = 0.1;
/// Depth of the outer reveals and of overhangs, mm. Assumption: by tape, from the glass to an arris that is worn or chamfered.
pub(super) const WALL_DEPTH_MM: f64 = 10.0;
/// Diameter of bars and wires before a window. Assumption: with their coats of paint, rust and dirt.
pub(super) const GUARD_LN: f64 = 0.2;
/// Height of the own building: assumed from the room, and stated. Assumption.
pub(super) const OWN_HEIGHT_ASSUMED_LN: f64 = 0.3;
pub(super) const OWN_HEIGHT_LN: f64 = 0.05;
/// Height and distance of buildings opposite, common to all of them: paced, or read from a map. Assumption.
pub(super) const BLOCK_HEIGHT_LN: f64 = 0.1;
pub(super) const BLOCK_DISTANCE_LN: f64 = 0.05;
/// Aerosol depth: typical, and stated. Assumption: typical air has half to twice as much.
pub(super) const AEROSOL_LN: f64 = 0.4;
pub(super) const AEROSOL_STATED_LN: f64 = 0.1;
/// Beam of the sun through a standard sky, whose turbidity is that of its type. Assumption: the spread of luminous turbidity
/// among clear days is about a quarter.
pub(super) const STANDARD_BEAM_LN: f64 = 0.2;
/// Share of the sky that is covered, where it is stated as partly. Assumption.
pub(super) const CLOUD: f64 = 0.1;
/// Blue (450 nm) against green (560 nm) in the light of sun and sky. Assumption: about ±400 K at 6500 K.
pub(super) const SKY_COLOUR_LN: f64 = 0.04;
/// The same in twilight, with the sun at and below [`TWILIGHT_DEG`]: ozone, which makes the sky of twilight blue, is not in the
/// model. Assumption: from 6500 K, which the model has, to the 12 000 K that measured twilights have about then.
pub(super) const TWILIGHT_COLOUR_LN: f64 = 0.3;
/// True altitude of the sun, degrees.
pub(super) const TWILIGHT_DEG: f64 = -6.0;
