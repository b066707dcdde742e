//! The working plane of a place: a desk, an altar, the floor. Its point lies straight below or above the eye and is
//! prepared in the same way; of its two receivers only the horizontal one counts.

use scene::{Resolved, WorkingPlane, WorkingPlaneKind};
use schemars::JsonSchema;
use serde::Serialize;

use crate::cast::Cast;
use crate::instant::InstantLight;
use crate::looks::Looks;
use crate::prepared::{Prepared, PreparedPlane};
use crate::received::{Illuminance, Received};

/// Index of the horizontal receiver.
const HORIZONTAL: usize = 1;

/// The light on the working plane of a place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WorkingPlaneReport {
    /// What it is.
    pub kind: WorkingPlaneKind,
    /// Its height above the floor of the room.
    pub height_m: f64,
    /// On the plane, from above.
    pub horizontal: Illuminance,
    /// Ratio of this illuminance to that with clear glass; as for the light at the eye.
    pub share_of_clear: Option<f64>,
    /// The colour of the light on the plane.
    pub cast: Cast,
    /// How things look that lie on it.
    pub looks: Looks,
    /// CIE general colour rendering index of that light; as for the light at the eye.
    pub ra: Option<f64>,
}

impl Prepared {
    /// Prepares the working plane that the place has in the scene now; what is prepared already is kept.
    pub(crate) fn set_working_plane(&mut self, resolved: &Resolved) {
        let known = self.plane.take();
        let Some((plane, point_m)) = resolved.working_plane_m(self.place.as_deref()) else { return };
        let point_m = resolved.in_room(point_m);
        let at = match known {
            Some(known) if known.at.receivers[HORIZONTAL].point_m == point_m => known.at,
            _ => Box::new(Self::at_point(resolved, self.wall.clone(), point_m)),
        };
        self.plane = Some(PreparedPlane { plane, at });
    }

    /// The figure in front: the point it is computed for, and which of its receivers it is. The horizontal one of the
    /// working plane if there is one, otherwise the vertical one at the eye.
    pub(crate) fn front(&self) -> (&Self, usize) {
        self.plane.as_ref().map_or((self, 0), |plane| (&plane.at, HORIZONTAL))
    }

    /// The report on the working plane, and whether its Ra is doubtful; `None` if the place has none.
    pub(crate) fn plane_report(&self, light: &InstantLight) -> Option<(WorkingPlaneReport, bool)> {
        let PreparedPlane { plane: WorkingPlane { kind, height_m }, .. } = self.plane.as_ref()?;
        let light = light.working_plane.as_deref()?;
        let Received { share_of_clear, cast, looks, ra, doubtful } =
            Received::of(&light.horizontal.total(), &light.clear[HORIZONTAL]);
        let horizontal = Illuminance::of(&light.horizontal);
        let report = WorkingPlaneReport {
            kind: *kind,
            height_m: *height_m,
            horizontal,
            share_of_clear,
            cast,
            looks,
            ra,
        };
        Some((report, doubtful))
    }
}
