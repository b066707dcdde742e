//! What the pieces of a scene are made of, in the physics' own types.

use std::sync::Arc;

use spectra::Spectrum;

use crate::document::{self, Face, Gap, GlassColour, PaintKind, Scene};

/// Which sheet the innermost plate was cut from.
pub(crate) fn innermost_sheet(makeup: &document::Makeup) -> u32 {
    makeup.plates.last().map_or(0, |plate| plate.sheet)
}

/// How a layer of paint was applied with the brush.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Brushwork {
    /// Its trace lines; with none, the paint lies evenly over its share of the piece.
    pub lines: Vec<panel::BrushLine>,
    /// Length over which it becomes lighter away from the lead, mm; 0 is even.
    pub fade_mm: f64,
    /// Unevenness of its stipple, 0–1.
    pub stipple: f64,
}

/// The document lists paint in any order; light meets it in firing order.
fn fired(makeup: &document::Makeup) -> Vec<&document::Paint> {
    let mut fired: Vec<&document::Paint> = makeup.paint.iter().collect();
    fired.sort_by_key(|paint| paint.firing);
    fired
}

/// The brushwork of every layer, in the order of the resolved paints.
pub(crate) fn resolve_brushwork(makeup: &document::Makeup) -> Vec<Brushwork> {
    let of = |paint: &document::Paint| Brushwork {
        // `check` has already reported paths that cannot be read.
        lines: paint
            .strokes
            .iter()
            .flat_map(|stroke| panel::brush_lines(&stroke.path, stroke.width_mm).unwrap_or_default())
            .collect(),
        fade_mm: if paint.kind == PaintKind::Matting { paint.fade_mm } else { 0.0 },
        stipple: if paint.kind == PaintKind::Matting { paint.stipple } else { 0.0 },
    };
    fired(makeup).into_iter().map(of).collect()
}

/// What a piece is made of, with the pane in front of it. Brush lines cover only what lies in `shape`.
pub(crate) fn resolve_makeup(
    scene: &Scene,
    makeup: &document::Makeup,
    protective: Option<document::ProtectiveGlazing>,
    brushwork: &[Brushwork],
    shape: &panel::Piece,
) -> glass::Makeup {
    let coverage = |paint: &document::Paint, lines: &[panel::BrushLine]| {
        if paint.strokes.is_empty() {
            return paint.coverage.unwrap_or(1.0);
        }
        let region = shape.light.iter().flat_map(panel::Polygon::rings);
        let covered = panel::covered_area_mm2(lines, region) / shape.light_area_mm2;
        // The sum of no areas is −0.
        if covered.is_finite() && covered > 0.0 { covered.min(1.0) } else { 0.0 }
    };
    let plates = makeup.plates.iter().filter_map(|plate| {
        Some(glass::Plate {
            glass: find_glass(scene, &plate.glass)?,
            thickness_mm: plate.thickness_mm,
            flash_left: plate.flash_left,
            flash_face: face(plate.flash_face),
            streak_mix: STREAK_MIX,
        })
    });
    let paints = fired(makeup).into_iter().zip(brushwork).map(|(paint, work)| {
        glass::Paint::new(paint_kind(paint.kind), paint.plate, face(paint.face))
            .with_density(paint.density)
            .with_coverage(coverage(paint, &work.lines))
            .with_pigment(match paint.pigment {
                document::Pigment::Black => glass::Pigment::Black,
                document::Pigment::Brown => glass::Pigment::Brown,
                document::Pigment::Sanguine => glass::Pigment::Sanguine,
            })
    });
    glass::Makeup {
        plates: plates.collect(),
        gap: match makeup.gap {
            Gap::Air => glass::Gap::Air,
            Gap::Contact => glass::Gap::Contact,
        },
        paints: paints.collect(),
        protective: protective.and_then(|pane| {
            Some(glass::Protective {
                glass: glass::find(PROTECTIVE_GLASS)?.clone(),
                thickness_mm: pane.thickness_mm,
                dirt: glass::Dirt::with_loss(pane.dirt),
            })
        }),
    }
}

/// For streaky glass, the mean over the piece: half and half until a mixing map gives more detail.
const STREAK_MIX: f64 = 0.5;
/// Protective glazing is ordinary float.
const PROTECTIVE_GLASS: &str = "float-clear";

fn face(face: Face) -> glass::Face {
    match face {
        Face::Outside => glass::Face::Outside,
        Face::Inside => glass::Face::Inside,
    }
}

fn paint_kind(kind: PaintKind) -> glass::PaintKind {
    use document::{EnamelColour, StainTone};
    match kind {
        PaintKind::Trace => glass::PaintKind::Trace,
        PaintKind::Matting => glass::PaintKind::Matting,
        PaintKind::Enamel(colour) => glass::PaintKind::Enamel(match colour {
            EnamelColour::Blue => glass::EnamelColour::Blue,
            EnamelColour::Turquoise => glass::EnamelColour::Turquoise,
            EnamelColour::Green => glass::EnamelColour::Green,
            EnamelColour::Purple => glass::EnamelColour::Purple,
            EnamelColour::Rose => glass::EnamelColour::Rose,
            EnamelColour::Yellow => glass::EnamelColour::Yellow,
        }),
        PaintKind::Stain(tone) => glass::PaintKind::Stain(match tone {
            StainTone::Lemon => glass::StainTone::Lemon,
            StainTone::Gold => glass::StainTone::Gold,
            StainTone::Amber => glass::StainTone::Amber,
        }),
    }
}

/// A glass of the library or of the scene's own.
pub fn find_glass(scene: &Scene, id: &str) -> Option<Arc<glass::Glass>> {
    match scene.glasses.get(id) {
        Some(own) => own_glass(id, own),
        None => glass::find(id).cloned(),
    }
}

/// Every glass that the scene can use, library first.
pub fn all_glasses(scene: &Scene) -> Vec<Arc<glass::Glass>> {
    let own = scene.glasses.iter().filter_map(|(id, own)| own_glass(id, own));
    glass::library().iter().cloned().chain(own).collect()
}

/// A glass of the scene's own; `None` if its values are invalid.
pub(crate) fn own_glass(id: &str, own: &document::OwnGlass) -> Option<Arc<glass::Glass>> {
    let family = family(own.family);
    let provenance = match own.provenance {
        document::Provenance::Measured => glass::Provenance::Measured,
        document::Provenance::Photographed => glass::Provenance::Photographed,
        document::Provenance::EstimatedFromColour => glass::Provenance::EstimatedFromColour,
        document::Provenance::Recipe => glass::Provenance::Recipe,
    };
    let mut built = match &own.colour {
        GlassColour::Internal(internal) => {
            let tau = Spectrum::from_slice(&internal.samples)?;
            let base = glass::Absorbance::from_internal(&tau, internal.thickness_mm).ok()?;
            glass::Glass::pot_metal(id, &own.name, family, base, provenance)
        }
        GlassColour::Recipe(amounts) => {
            let amounts: Vec<(&str, f64)> =
                amounts.iter().map(|(name, amount)| (name.as_str(), *amount)).collect();
            glass::Glass::from_recipe(id, &own.name, family, &amounts).ok()?
        }
    };
    built.n = own.index;
    built.provenance = provenance;
    if own.diffuse_share > 0.0 {
        // A milky sheet scatters in its body and sends about as much light back as forward (common practice,
        // no source).
        built.kind = glass::Kind::Opalescent;
        built.diffuse = glass::DiffuseShare {
            share: own.diffuse_share,
            back: 0.4,
            site: glass::ScatterSite::Body { reference_mm: 3.0 },
            exponent: 0.0,
        };
    }
    if let Some(relative) = own.uncertainty {
        built.uncertainty =
            glass::Uncertainty::of(&built.base, relative, 0.0, built.uncertainty.correlation_nm);
    }
    Some(Arc::new(built))
}

fn family(family: document::Family) -> glass::Family {
    use document::Family;
    match family {
        Family::White => glass::Family::White,
        Family::Grey => glass::Family::Grey,
        Family::Yellow => glass::Family::Yellow,
        Family::Orange => glass::Family::Orange,
        Family::Brown => glass::Family::Brown,
        Family::Red => glass::Family::Red,
        Family::Pink => glass::Family::Pink,
        Family::Purple => glass::Family::Purple,
        Family::Violet => glass::Family::Violet,
        Family::Blue => glass::Family::Blue,
        Family::BlueGreen => glass::Family::BlueGreen,
        Family::Green => glass::Family::Green,
    }
}
