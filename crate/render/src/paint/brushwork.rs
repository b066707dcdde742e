//! How the paint of a piece was laid on, as numbers of the picture.

use scene::ResolvedPiece;

/// Mean over a piece's mattings, weighted by density.
fn mean_of_mattings(piece: &ResolvedPiece, of: impl Fn(&scene::Brushwork) -> Option<f64>) -> f64 {
    let mattings = piece.makeup.paints.iter().zip(&piece.brushwork);
    let (sum, weight) = mattings
        .filter(|(paint, _)| paint.kind == glass::PaintKind::Matting)
        .filter_map(|(paint, work)| Some((paint.density.max(0.0), of(work)?)))
        .fold((0.0, 0.0), |(sum, weight), (density, value)| (sum + density * value, weight + density));
    if weight > 0.0 { sum / weight } else { 0.0 }
}

pub(crate) fn stipple(piece: &ResolvedPiece) -> f64 {
    mean_of_mattings(piece, |work| Some(work.stipple)).clamp(0.0, 1.0)
}

/// The fade length of a piece's matting, mm (0 for even paint), averaged if there are several; and the density of
/// the paint that varies.
pub(crate) fn fading(piece: &ResolvedPiece) -> (f64, f64) {
    let fades = |work: &scene::Brushwork| Some(work.fade_mm).filter(|f| *f > 0.0);
    let density = |varies: &dyn Fn(&scene::Brushwork) -> bool| {
        let paints = piece.makeup.paints.iter().zip(&piece.brushwork);
        let mattings = paints.filter(|(paint, work)| paint.kind == glass::PaintKind::Matting && varies(work));
        mattings.map(|(paint, _)| paint.density.max(0.0)).sum::<f64>()
    };
    let fading = density(&|work| work.fade_mm > 0.0);
    if fading > 0.0 { (mean_of_mattings(piece, fades), fading) } else { (0.0, density(&|_| true)) }
}
