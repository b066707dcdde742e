//! How glass, paint, dirt and corrosion of a scene scatter light, in words.

use crate::document::{Face, Lobe, PaintKind};
use crate::glazing::deposits_of;
use crate::resolved::Resolved;

/// How each glass, each kind of paint, dirt and corrosion spread the light that they scatter: one line for all that do so
/// alike. Glasses that are even and clear are left out; so is dirt on protective glazing.
pub fn scattering_in_words(resolved: &Resolved) -> Vec<String> {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    let mut add = |name: &str, how: String| {
        let at = lines.iter().position(|(words, _)| *words == how).unwrap_or_else(|| {
            lines.push((how, Vec::new()));
            lines.len() - 1
        });
        if !lines[at].1.iter().any(|known| known == name) {
            lines[at].1.push(name.to_owned());
        }
    };
    for (window, made) in resolved.scene.windows.iter().zip(&resolved.windows) {
        for piece in &made.pieces {
            for plate in &piece.makeup.plates {
                let (glass, diffuse) = (&plate.glass, plate.glass.diffuse);
                if diffuse.share > 0.0 {
                    let own = resolved.scene.glasses.get(&glass.id).and_then(|own| own.lobe.as_deref());
                    add(&glass.name, words(diffuse.share, diffuse.lobe, own));
                }
            }
            let Some(written) = window.pieces.iter().find(|written| written.id == piece.id) else { continue };
            let mut fired: Vec<_> = written.makeup.paint.iter().collect();
            sorting::by_key(&mut fired, |paint| paint.firing);
            for (paint, layer) in fired.into_iter().zip(&piece.makeup.paints) {
                if layer.diffuse_share > 0.0 {
                    let name = match paint.kind {
                        PaintKind::Trace => "trace",
                        PaintKind::Matting => "matting",
                        PaintKind::Enamel(_) => "enamel",
                        PaintKind::Stain(_) => "stain",
                    };
                    add(name, words(layer.diffuse_share, layer.lobe, paint.lobe.as_deref()));
                }
            }
            let (lying, made) = (deposits_of(window, &written.makeup), piece.makeup.deposits);
            for (face, dirt) in [(Face::Outside, made.outside), (Face::Inside, made.inside)] {
                if let Some(deposit) = lying.on(face).filter(|_| dirt.diffuse_share > 0.0) {
                    let stated = deposit.lobe.as_deref();
                    add(deposit.kind.name(), words(dirt.diffuse_share, dirt.lobe, stated));
                }
            }
        }
    }
    lines.into_iter().map(|(how, names)| format!("{}: {how}", names.join(", "))).collect()
}

fn words(share: f64, lobe: glass::Lobe, stated: Option<&Lobe>) -> String {
    let source = Lobe::origin(stated);
    let scattered = 100.0 * share;
    if lobe.share > 0.0 {
        let (kept, width) = (100.0 * lobe.share, lobe.half_width_deg);
        format!(
            "scatters {scattered:.0} %, of which {kept:.0} % forwards, within {width:.0}° to half the radiance ({source})"
        )
    } else {
        format!("scatters {scattered:.1} % evenly over all directions ({source})")
    }
}
