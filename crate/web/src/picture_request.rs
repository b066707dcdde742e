//! Requests for pictures in the renderer's own types.

use plane::{PagePoint, PanelOnPage};
use render::{Look, Mode, View};

use crate::contract::{Gamut, PictureMode, PictureRequest};

impl From<Gamut> for render::Gamut {
    fn from(gamut: Gamut) -> Self {
        match gamut {
            Gamut::Srgb => Self::Srgb,
            Gamut::DisplayP3 => Self::DisplayP3,
        }
    }
}

/// The look of a picture in this gamut.
pub(crate) fn look(mode: PictureMode, mark_unshowable: bool, gamut: render::Gamut) -> Look {
    let look = match mode {
        PictureMode::ColourTrue => Look::colour_true(),
        PictureMode::Appearance => Look { mode: Mode::Appearance, ..Look::default() },
    };
    Look { gamut, show_clipped: mark_unshowable, ..look }
}

/// The part of a window that a picture shows.
pub(crate) fn view(request: &PictureRequest, page: PanelOnPage) -> View {
    View {
        centre_mm: page.panel_from_page(PagePoint::new(request.centre_x_mm, request.centre_y_mm)),
        mm_per_px: request.mm_per_px,
        size_px: [request.width_px, request.height_px],
    }
}

/// The same picture in larger pixels, each `side` of the original wide and high, from the same corner. Its last column
/// and row may reach beyond the right and lower edges.
pub(crate) fn coarse(whole: &View, side: u32) -> View {
    let side = side.max(1);
    let size_px = whole.size_px.map(|px| px.div_ceil(side));
    let middle = size_px.map(|px| f64::from(px * side) / 2.0);
    View { centre_mm: whole.panel_from_pixel(middle), mm_per_px: whole.mm_per_px * f64::from(side), size_px }
}
