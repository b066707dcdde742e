//! A resolved scene, ready for the physics: every name is resolved and everything is built.

use daylight::{CivilTime, Instant, TimeError};
use plane::{PanelOnWall, RoomPoint, WallPoint};
use reveal::{Depths, Layer, Outline};
use spectra::Spectrum;

use crate::document::{self, Scene, ViewingPlace, WorkingPlane};
use crate::glazing::Brushwork;

/// A scene ready to compute with, built by [`crate::resolve`].
#[derive(Clone, Debug)]
pub struct Resolved {
    /// The document this was built from; for a variant, with its edits applied and without a list of
    /// variants.
    pub scene: Scene,
    /// Where on Earth.
    pub place: daylight::Place,
    /// The sky.
    pub sky: daylight::Sky,
    /// The ground.
    pub ground: daylight::Ground,
    /// The horizon.
    pub horizon: daylight::Horizon,
    /// The room.
    pub room: ResolvedRoom,
    /// The windows.
    pub windows: Vec<ResolvedWindow>,
    /// New pieces get numbers above this and above all numbers in their window.
    pub(crate) numbers_up_to: u32,
}

/// The room as a box in its own frame: metres, the inner face of the window wall at z = 0, its lower-left inside corner the origin, x
/// right as seen facing it, y up, z into the room.
#[derive(Clone, Debug, PartialEq)]
pub struct ResolvedRoom {
    /// Width, height, depth.
    pub size_m: [f64; 3],
    /// Compass bearing that the outside of the window wall looks toward.
    pub facing_deg: f64,
    /// Diffuse reflectance of window wall, back wall, left wall, right wall, floor, ceiling.
    pub surfaces: [Spectrum; 6],
}

/// A window in the wall.
#[derive(Clone, Debug)]
pub struct ResolvedWindow {
    /// Its name.
    pub id: String,
    /// Where its panel stands on the window wall.
    pub placement: PanelOnWall,
    /// The wall around it; `None` if it has no depth.
    pub wall: Option<ResolvedWall>,
    /// Pieces, leads and bars, in step with the drawing.
    pub panel: panel::LivePanel,
    /// Numbers of the drawing's lines, in the order of the panel's cutlines.
    pub(crate) lines: Vec<u32>,
    /// The side of the glass that each bar of the panel stands on.
    pub bar_sides: Vec<document::Face>,
    /// The glazing, in the order of `panel.pieces`: entry `i` is the piece `panel.pieces[i]`.
    pub pieces: Vec<ResolvedPiece>,
}

/// The wall around a window, ready to compute with.
#[derive(Clone, Debug, PartialEq)]
pub struct ResolvedWall {
    /// The sight size on the wall, m.
    pub outline: Outline,
    /// Reveals and overhang.
    pub depths: Depths,
    /// Bars and mesh before the outer face.
    pub guards: Vec<Layer>,
    /// What the sides of the outer and of the inner reveal reflect.
    pub sides: [Spectrum; 2],
    /// What their sills reflect.
    pub sills: [Spectrum; 2],
    /// What the underside of the overhang reflects.
    pub overhang: Spectrum,
    /// The opening in the outer and in the inner face of the wall, m.
    pub faces: [Vec<WallPoint>; 2],
}

/// A piece with its glass.
#[derive(Clone, Debug)]
pub struct ResolvedPiece {
    /// Its number.
    pub id: u32,
    /// Index of its entry in the document's `pieces`.
    pub entry: usize,
    /// Glass and paint, protective glazing included.
    pub makeup: glass::Makeup,
    /// How each of its paints was applied, in their order.
    pub brushwork: Vec<Brushwork>,
    /// Which sheet the innermost plate was cut from.
    pub sheet: u32,
}

impl Resolved {
    /// A point whose distance is measured from the glass of the first window, as places are, in the frame of the room,
    /// whose window wall is the inner face of the wall.
    pub fn in_room(&self, point: RoomPoint) -> RoomPoint {
        let inner_m =
            self.windows.first().and_then(|w| w.wall.as_ref()).map_or(0.0, |w| w.depths.inner.depth_m);
        RoomPoint::new(point[0], point[1], point[2] - inner_m)
    }

    /// The instant of a civil time at the site, `YYYY-MM-DDTHH:MM`, with a note if a clock change skips or
    /// repeats it.
    ///
    /// # Errors
    /// The text is not a civil time, or lies outside the calendar.
    pub fn instant(&self, at: &str) -> Result<daylight::Resolved, TimeError> {
        Instant::from_civil(CivilTime::parse(at)?, &self.scene.site.time_zone)
    }

    /// The light outside at an instant.
    ///
    /// # Errors
    /// The instant lies outside the years for which the sun's position is known.
    pub fn outside(&self, instant: Instant) -> Result<daylight::Outside, daylight::DaylightError> {
        self.outside_at_level(instant, daylight::Level::default())
    }

    /// The same with the sky or the sun's beam brighter or darker than they would be.
    ///
    /// # Errors
    /// As [`Self::outside`].
    pub fn outside_at_level(
        &self,
        instant: Instant,
        level: daylight::Level,
    ) -> Result<daylight::Outside, daylight::DaylightError> {
        daylight::Outside::at_level(&self.place, instant, &self.sky, &self.ground, &self.horizon, level)
    }

    /// The eye at a named viewing place, or at the first if no name is given. Its distance is from the glass of the first
    /// window: [`Self::in_room`] gives the point in the frame of the room.
    pub fn eye_m(&self, place: Option<&str>) -> Option<RoomPoint> {
        let place = self.place(place)?;
        self.above_m(place, place.eye_height_m)
    }

    /// The working plane of a named viewing place, or of the first, and the point of it straight below or above the
    /// eye; `None` if the place has none.
    pub fn working_plane_m(&self, place: Option<&str>) -> Option<(WorkingPlane, RoomPoint)> {
        let place = self.place(place)?;
        let plane = place.working_plane?;
        Some((plane, self.above_m(place, plane.height_m)?))
    }

    fn place(&self, name: Option<&str>) -> Option<&ViewingPlace> {
        match name {
            Some(name) => self.scene.places.iter().find(|p| p.name == name),
            None => self.scene.places.first(),
        }
    }

    fn above_m(&self, place: &ViewingPlace, height_m: f64) -> Option<RoomPoint> {
        let centre_x_m = self.scene.windows.first()?.centre_x_m;
        Some(RoomPoint::new(centre_x_m + place.right_m, height_m, place.distance_m))
    }
}
