//! The sheet a piece was cut from: how its kind of glass varies, and how the variation changes its make-up.

use std::sync::Arc;

use glass::{Kind, Makeup, Plate};
use plane::SheetPoint;
use scene::ResolvedPiece;

use crate::paint::brushwork::stipple;
use crate::software::sheet::FLOW_SD;
use crate::window::model::{SheetModel, SurfaceModel};

/// Share of a glass's usual thickness range (2–4 mm for blown glass) that one sheet spans: ±0.5–1 mm, common
/// practice, no source.
const WITHIN_ONE_SHEET: f64 = 0.75;
/// Size of a blown sheet, mm; a piece may come from any place on it. Common practice, no source.
const SHEET_MM: [u32; 2] = [900, 600];
/// How far the blowing axis of a cut piece may deviate from upright, degrees either way. Assumption.
const AXIS_STRAYS_DEG: u32 = 14;
/// A blown sheet's flash is uneven by this share either way (common practice, no source: flash 0.1–0.5 mm). On an
/// etched piece, ever less flash is etched away toward the rim, by this share either way. Assumptions.
const FLASH_UNEVEN: f64 = 0.18;
const ETCH_UNEVEN: f64 = 0.55;
/// How much denser the milk of opalescent glass is in its clouds. Assumption.
const CLOUDS: f64 = 0.5;

/// How far the mix varies within a piece, and whether by etching.
fn mixing(plate: &Plate) -> (f64, bool) {
    let glass = &plate.glass;
    let flashed = glass.flash.is_some() && plate.flash_left > 0.0;
    if glass.streak.is_some() && plate.streak_sd > 0.0 {
        (1.0, false)
    } else if flashed {
        (1.0, plate.flash_left < 0.999)
    } else {
        (if milky(plate) { 1.0 } else { 0.0 }, false)
    }
}

fn milky(plate: &Plate) -> bool {
    plate.glass.kind == Kind::Opalescent && plate.glass.diffuse.share > 0.0
}

/// The make-up at a point of a piece: its innermost plate with more or less of its streak, its flash and its milk.
/// `mix` −1 to 1. A point of a streaky sheet has one mixture: 0 is the make-up's mean mixture.
pub(crate) fn makeup_at(makeup: &Makeup, mix: f64) -> Makeup {
    let mut out = makeup.clone();
    let Some(plate) = out.plates.last_mut() else { return out };
    let mix = mix.clamp(-1.0, 1.0);
    let uneven = if mixing(plate).1 { ETCH_UNEVEN } else { FLASH_UNEVEN };
    plate.streak_mix = (plate.streak_mix + plate.streak_sd / FLOW_SD * mix).clamp(0.0, 1.0);
    plate.streak_sd = 0.0;
    plate.flash_left *= 1.0 + uneven * mix;
    if milky(plate) {
        let glass = Arc::make_mut(&mut plate.glass);
        // Clouds add depth to the scatterers, and so raise the ratio of backward to forward scatter.
        let denser = 1.0 + CLOUDS * mix;
        let back = glass.diffuse.back.clamp(0.0, 0.99);
        let back_to_forth = denser * back / (1.0 - back);
        glass.diffuse.share = 1.0 - (1.0 - glass.diffuse.share.clamp(0.0, 1.0)).powf(denser);
        glass.diffuse.back = back_to_forth / (1.0 + back_to_forth);
    }
    out
}

/// The surface of a kind of glass. `range`: how far the thickness varies over a sheet, as a share. Common look, no
/// source: seeds 0.3–2 mm wide in blown glass, ripples of a roller 4–8 mm apart.
fn surface(plate: &Plate, amplitude: f64) -> SurfaceModel {
    let glass = &plate.glass;
    // Float and other even glass is flat; a blown sheet's surface follows its thickness.
    let blown = (amplitude / 0.25).clamp(0.0, 1.0);
    let plain = SurfaceModel {
        sheen: 0.10 * blown,
        seed_cell_mm: 34.0,
        seeds: 0.11 * blown,
        haze_rad: 0.003,
        glare: 0.002,
        ..SurfaceModel::default()
    };
    match glass.kind {
        Kind::Clear | Kind::Streaky => plain,
        Kind::Seedy => {
            SurfaceModel { seed_cell_mm: 13.0, seeds: 0.62, haze_rad: 0.003, glare: 0.008, ..plain }
        }
        Kind::Opalescent => SurfaceModel { sheen: 0.04, seeds: 0.0, haze_rad: 0.03, glare: 0.25, ..plain },
        Kind::Rolled => {
            let hammered = glass.diffuse.share > glass::DiffuseShare::HAMMERED_FROM;
            SurfaceModel {
                sheen: 0.0,
                seeds: 0.0,
                ripple_rad: if hammered { 0.075 } else { 0.045 },
                ripple_per_mm: if hammered { 1.0 / 8.5 } else { 1.0 / 4.5 },
                ripple_sheen: if hammered { 0.16 } else { 0.10 },
                haze_rad: 0.006,
                glare: 0.1,
                ..plain
            }
        }
        Kind::Matted => SurfaceModel { sheen: 0.02, seeds: 0.0, haze_rad: 0.14, glare: 0.5, ..plain },
    }
}

/// The sheet of a piece's innermost plate, and a place on it derived from the piece's number.
pub(crate) fn sheet_model(piece: &ResolvedPiece) -> SheetModel {
    let Some(plate) = piece.makeup.plates.last() else { return SheetModel::default() };
    let range = plate.glass.thickness;
    let half = (range.max_mm - range.min_mm) / 2.0;
    let amplitude = WITHIN_ONE_SHEET * half / range.nominal_mm.max(0.1);
    let amplitude = if amplitude.is_finite() { amplitude.clamp(0.0, 0.5) } else { 0.0 };
    let (mix_amplitude, etched) = mixing(plate);
    let seed = hash(plate.glass.id.bytes().map(u32::from).chain([piece.sheet]));
    let cut = |what: u32| hash([seed, piece.id, what]);
    SheetModel {
        seed,
        thickness_amplitude: amplitude,
        mix_amplitude,
        etched,
        surface: surface(plate, amplitude),
        paint_amplitude: stipple(piece),
        axis_deg: 90.0 + f64::from(cut(0) % (2 * AXIS_STRAYS_DEG + 1)) - f64::from(AXIS_STRAYS_DEG),
        origin_mm: SheetPoint::new(f64::from(cut(1) % SHEET_MM[0]), f64::from(cut(2) % SHEET_MM[1])),
        thickness_mm: plate.thickness_mm,
        n: plate.glass.n,
    }
}

/// FNV-1a over words, 24 bits kept: what a single-precision texel holds exactly.
fn hash(words: impl IntoIterator<Item = u32>) -> u32 {
    let mixed =
        words.into_iter().fold(0x811c_9dc5_u32, |h, w| (h ^ w).wrapping_mul(0x0100_0193).rotate_left(5));
    (mixed ^ (mixed >> 15)) & 0xff_ffff
}
