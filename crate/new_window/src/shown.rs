//! What the page is shown of any window.

use kurbo::{PathEl, Point};
use panel::{Panel, read_path, write_path};
use plane::{PanelOnPage, PanelPoint};
use scene::{USUAL_FACING_DEG, USUAL_SILL_M, WorkingPlane, WorkingPlaneKind, usual_site};

use crate::contract::UsualStart;

/// A point of a panel on the page.
pub(crate) fn on_page(page: PanelOnPage, at: Point) -> Point {
    let at = page.page_from_panel(PanelPoint::new(at.x, at.y));
    Point::new(at.x(), at.y())
}

/// Lines of a panel as one path on the page. A drawing's own path data can always be read.
pub(crate) fn mapped<'a>(panel: &Panel, lines: impl IntoIterator<Item = &'a str>) -> String {
    let at = |point| on_page(panel.on_page(), point);
    let element = |element| match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(at(p)),
        PathEl::LineTo(p) => PathEl::LineTo(at(p)),
        PathEl::QuadTo(p, q) => PathEl::QuadTo(at(p), at(q)),
        PathEl::CurveTo(p, q, r) => PathEl::CurveTo(at(p), at(q), at(r)),
        PathEl::ClosePath => PathEl::ClosePath,
    };
    let paths = lines.into_iter().filter_map(|data| read_path(data).ok());
    paths.map(|path| write_path(&path.iter().map(element).collect())).collect::<Vec<_>>().join(" ")
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
