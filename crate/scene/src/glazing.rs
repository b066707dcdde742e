//! What the pieces of a scene are made of, in the physics' own types.

use std::sync::Arc;

use crate::document::{self, Deposit, DepositKind, Deposits, Face, Gap, PaintKind, Scene};
use crate::own_glass::own_glass;

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
    sorting::by_key(&mut fired, |paint| paint.firing);
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

/// What a piece of a window is made of, with the pane in front of it. Brush lines cover only what lies in `shape`.
pub(crate) fn resolve_makeup(
    scene: &Scene,
    window: &document::Window,
    makeup: &document::Makeup,
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
            flash_left: plate.flash_left,
            flash_face: face(plate.flash_face),
            ..glass::Plate::new(find_glass(scene, &plate.glass)?, plate.thickness_mm)
        })
    });
    let paints = fired(makeup).into_iter().zip(brushwork).map(|(paint, work)| {
        let usual = glass::Paint::new(paint_kind(paint.kind), paint.plate, face(paint.face));
        let lobe = document::Lobe::or_usual(paint.lobe.as_deref(), usual.lobe);
        let diffuse_share = paint.scatters.unwrap_or(usual.diffuse_share);
        glass::Paint { lobe, diffuse_share, ..usual }
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
        deposits: resolve_deposits(&deposits_of(window, makeup)),
        protective: window.protective_glazing.and_then(|pane| {
            Some(glass::Protective {
                glass: glass::find(PROTECTIVE_GLASS)?.clone(),
                thickness_mm: pane.thickness_mm,
                dirt: glass::Dirt::with_loss(pane.dirt),
            })
        }),
    }
}

impl Deposits {
    /// What is said of a face.
    pub const fn on(&self, face: Face) -> Option<&Deposit> {
        match face {
            Face::Outside => self.outside.as_ref(),
            Face::Inside => self.inside.as_ref(),
        }
    }

    /// The same, to be set.
    pub(crate) const fn on_mut(&mut self, face: Face) -> &mut Option<Deposit> {
        match face {
            Face::Outside => &mut self.outside,
            Face::Inside => &mut self.inside,
        }
    }
}

/// Dirt and corrosion on a piece: its own, face by face, or its window's.
pub fn deposits_of(window: &document::Window, makeup: &document::Makeup) -> Deposits {
    let of = |own: &Option<Deposit>, all: &Option<Deposit>| own.as_ref().or(all.as_ref()).cloned();
    Deposits {
        outside: of(&makeup.deposits.outside, &window.deposits.outside),
        inside: of(&makeup.deposits.inside, &window.deposits.inside),
    }
}

fn resolve_deposits(deposits: &Deposits) -> glass::Deposits {
    let of = |deposit: &Option<Deposit>| match deposit {
        None => glass::Dirt::NONE,
        Some(Deposit { kind, loss, scatters, lobe, .. }) => {
            let usual = glass::Dirt::with_loss(*loss);
            let usual_lobe = match kind {
                DepositKind::Dirt => usual.lobe,
                DepositKind::Corrosion => glass::Lobe::CORROSION,
            };
            let diffuse_share = scatters.unwrap_or(usual.diffuse_share);
            glass::Dirt {
                diffuse_share,
                lobe: document::Lobe::or_usual(lobe.as_deref(), usual_lobe),
                ..usual
            }
        }
    };
    glass::Deposits { outside: of(&deposits.outside), inside: of(&deposits.inside) }
}

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
        Some(own) => own_glass(id, own).ok(),
        None => glass::find(id).cloned(),
    }
}

/// Every glass that the scene can use, library first.
pub fn all_glasses(scene: &Scene) -> Vec<Arc<glass::Glass>> {
    let own = scene.glasses.iter().filter_map(|(id, own)| own_glass(id, own).ok());
    glass::library().iter().cloned().chain(own).collect()
}
