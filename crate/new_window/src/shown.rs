//! What the page is shown of any window.

use kurbo::Affine;
use panel::{Panel, read_path, write_path};
use scene::{USUAL_FACING_DEG, USUAL_SILL_M, WorkingPlane, WorkingPlaneKind, usual_site};

use crate::contract::UsualStart;

/// From a panel to the page, whose y runs down.
pub(crate) fn page_of(panel: &Panel) -> Affine {
    Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, panel.height_mm])
}

/// Lines as one path, mapped. A drawing's own path data can always be read.
pub(crate) fn mapped<'a>(map: Affine, lines: impl IntoIterator<Item = &'a str>) -> String {
    let paths = lines.into_iter().filter_map(|data| read_path(data).ok());
    paths.map(|path| write_path(&(map * path))).collect::<Vec<_>>().join(" ")
}

/// Finer than a hair, coarser than the arithmetic.
pub(crate) fn thousandths(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}

/// What a scene starts with unless it is given.
pub(crate) fn usual() -> UsualStart {
    let plane = |kind: WorkingPlaneKind| WorkingPlane { kind, height_m: kind.usual_height_m() };
    UsualStart {
        site: usual_site(),
        facing_deg: USUAL_FACING_DEG,
        sill_height_m: USUAL_SILL_M,
        working_planes: WorkingPlaneKind::ALL.map(plane).to_vec(),
    }
}
