//! The direct method: the light of one instant at one place, point by point. It is slow, and the reference for the
//! prepared method.
//!
//! Every piece is cut finely as seen from the place, with its optics computed at each angle. Light falls on every
//! patch of the room from every part of every piece. The patches then exchange it forward, on one mesh, until
//! nothing noticeable is left.
//!
//! # What it shares with the prepared method
//! A fault in any of this is in both, and only the path tracer (`tests/suite/path_tracer.rs`), which has nothing of it, can
//! show it:
//! - the wall, receivers and glazing, with the panes' tables of diffuse transmittance and inner reflectance, and the closed
//!   forms of the geometry: every comparison with the tracer;
//! - how the view is cut (`ViewGrid`, finer here), and along which edges outside (`ViewEdges`, `ViewRegions`):
//!   `traced::trees_end_in_the_middle_of_the_view`, `traced::a_block_fills_most_of_the_window`;
//! - the directions outside and the samples of pieces (`outside_cells`, `piece_samples`, both finer here), `RoomMesh` and
//!   `opening_reflectance`: the room's part in `traced::the_demos_at_their_own_hour`;
//! - `Bell`: `traced::glass_and_paint_scatter_forwards`;
//! - what leads and bars with depth take (`WindowWall::past_leads`, `LeadDepth::disc_taken`): the tests of `lead_depth`;
//! - bars and mesh before a wall, and what its reveal sends back (`Walled::openness`, `Walled::returned`): the tests of
//!   `walls`.

use daylight::Outside;
use plane::RoomVector;
use scene::Resolved;
use spectra::Spectrum;

use crate::direct_lobe::PieceLobes;
use crate::direct_walls::{DirectWall, LitWall, Sun, walls};
use crate::error::ViewingError;
use crate::geometry::WindowWall;
use crate::glazing::{Glazing, Pane};
use crate::instant::InstantLight;
use crate::mesh::RoomMesh;
use crate::prepared::{Prepared, RECEIVERS};
use crate::room_response::{Receiver, Reflectances};
use crate::sun_patch::sun_patches;
use crate::view_edges::ViewEdges;

/// Coarse patches of its mesh; the solution uses nine times as many.
const PATCHES: usize = 100;

/// A place in a scene, computed from scratch for every instant.
#[derive(Clone, Debug)]
pub struct Direct {
    pub(crate) wall: WindowWall,
    pub(crate) surfaces: Reflectances,
    pub(crate) receivers: [Receiver; RECEIVERS],
    /// As glazed, and with clear glass throughout.
    pub(crate) glazings: [Glazing; 2],
    pub(crate) mesh: RoomMesh,
    /// Windows with depth, by window.
    pub(crate) walls: Vec<Option<DirectWall>>,
    pub(crate) edges: ViewEdges,
    /// The same at the point of the working plane.
    pub(crate) working_plane: Option<Box<Direct>>,
}

/// What does not depend on the place from which a room is seen.
pub(crate) struct LitRoom {
    /// Exitance of each piece by the sky and ground light and by the sunlight that it scatters evenly.
    pub(crate) scattered: Vec<[Spectrum; 2]>,
    /// Windows with depth.
    pub(crate) walls: Vec<LitWall>,
    /// What each piece scatters forward.
    pub(crate) lobes: PieceLobes,
    /// Of the wall of every fine patch.
    pub(crate) radiosity: Vec<Spectrum>,
    /// Radiosity of the window's opening, by what the room sends back to it.
    pub(crate) opening: Spectrum,
}

impl Direct {
    /// For a place of a scene: the named one, or the first.
    ///
    /// # Errors
    /// As [`Prepared::new`].
    pub fn new(resolved: &Resolved, place: Option<&str>) -> Result<Self, ViewingError> {
        Prepared::new(resolved, place).map(|prepared| Self::from_prepared(&prepared))
    }

    /// For the place and the pieces of a prepared place.
    pub fn from_prepared(prepared: &Prepared) -> Self {
        let wall = prepared.wall.clone();
        let clear = Glazing { panes: vec![Pane::clear()], of_piece: vec![0; wall.pieces.len()] };
        Self {
            mesh: RoomMesh::new(wall.room, &wall.openings, PATCHES),
            walls: walls(&wall),
            surfaces: prepared.surfaces,
            edges: prepared.edges.clone(),
            receivers: prepared.receivers,
            working_plane: prepared.plane.as_ref().map(|plane| Box::new(Self::from_prepared(&plane.at))),
            glazings: [prepared.glazing.clone(), clear],
            wall,
        }
    }

    /// The light of an instant. [`PieceLight::received`] stays empty: only the prepared method computes what each
    /// piece adds to the place, and with it the spread due to the glasses.
    pub fn light(&self, outside: &Outside) -> InstantLight {
        // The working plane stands in the same lit room as the eye.
        let rooms = self.glazings.each_ref().map(|glazing| self.lit(glazing, outside));
        let mut light = self.seen(&rooms, outside);
        light.working_plane = self.working_plane.as_ref().map(|plane| Box::new(plane.seen(&rooms, outside)));
        light
    }

    /// What the sides of a window's inner reveal send at an instant, patch by patch: what each belongs to, its area, m², and
    /// its exitance. Empty for a window without one.
    pub fn inner_exitance(&self, window: usize, outside: &Outside) -> Vec<(reveal::Face, f64, Spectrum)> {
        let Some(wall) = self.walls.get(window).and_then(Option::as_ref) else { return Vec::new() };
        let (_, walls, _) = self.through_walls(&self.glazings[0], outside);
        let sent = walls[window].inner.iter().enumerate();
        sent.map(|(patch, sent)| (wall.inner.face(patch), wall.inner.area_m2(patch), *sent)).collect()
    }

    /// The light at this place in the rooms lit through the window as glazed and through clear glass.
    fn seen(&self, [room, clear]: &[LitRoom; 2], outside: &Outside) -> InstantLight {
        let mut light = self.with(&self.glazings[0], room, outside);
        let clear = self.with(&self.glazings[1], clear, outside);
        light.clear = [clear.vertical.total(), clear.horizontal.total()];
        light
    }

    /// What the room does with the light of an instant, the same for every place in it.
    fn lit(&self, glazing: &Glazing, outside: &Outside) -> LitRoom {
        let (scattered, walls, lobes) = self.through_walls(glazing, outside);
        let Sun { toward, beam, shines } = self.sun(outside);
        let cosine = -toward[2];
        let mut landed = self.landed(glazing, outside, &scattered, (&walls, &lobes));
        if shines {
            for (p, (shape, &pane)) in self.wall.pieces.iter().zip(&glazing.of_piece).enumerate() {
                let [past, _] = self.wall.past_leads(p, toward);
                let through = glazing.panes[pane].optics.regular(cosine) * beam * past;
                if let Some(wall) = &self.walls[shape.window] {
                    let Some(on) = wall.opening.beam(toward) else { continue };
                    let through = through * wall.walled.openness(toward);
                    for ring in shape.light.iter().flat_map(|l| on.lit(l)).flat_map(|l| on.inside(&l).open) {
                        let ring = wall.walled.at_face(&ring, toward);
                        for patch in sun_patches(&self.wall.room, &ring, toward) {
                            self.land_sun(&patch, &through, &mut landed);
                        }
                    }
                    continue;
                }
                for patch in shape.light.iter().flat_map(|l| sun_patches(&self.wall.room, l, toward)) {
                    self.land_sun(&patch, &through, &mut landed);
                }
            }
        }
        let (radiosity, opening) = self.exchange(glazing, &landed);
        LitRoom { scattered, walls, lobes, radiosity, opening }
    }

    pub(crate) fn sun(&self, outside: &Outside) -> Sun {
        let sun = outside.sun().direction();
        let toward = RoomVector::toward_sky(sun.azimuth_deg - self.wall.facing_deg, sun.altitude_deg);
        let beam = outside.beam_normal();
        Sun { toward, beam, shines: beam.max() > 0.0 && toward[2] < -1e-9 }
    }
}
