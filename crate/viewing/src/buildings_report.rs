//! What a report says of the buildings around the window.

use scene::Resolved;
use schemars::JsonSchema;
use serde::Serialize;

/// The buildings that are counted outside, beside the skyline.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BuildingsReport {
    /// The building of the window itself; `None` if it is not counted.
    pub own_building: Option<OwnBuildingReport>,
    /// Houses and walls before the window.
    pub blocks: Vec<BlockReport>,
}

/// The wall in which the window is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OwnBuildingReport {
    /// Its height above the ground outside, m.
    pub height_m: f64,
    /// Whether that was assumed from the room, because the scene does not state it.
    pub assumed: bool,
}

/// A house or wall.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockReport {
    /// Distance of its front from the window wall, m.
    pub distance_m: f64,
    /// Where its front begins, m to the right of the window's middle as seen from inside.
    pub from_m: f64,
    /// Where it ends.
    pub to_m: f64,
    /// Its height above the ground, m.
    pub height_m: f64,
}

impl BuildingsReport {
    /// `None` without buildings.
    pub(crate) fn of(resolved: &Resolved) -> Option<Self> {
        let site = resolved.horizon.buildings.as_ref()?.site();
        let stated = resolved.scene.horizon.own_building.as_ref();
        let own_building = stated.filter(|_| site.own_height_m > 0.0);
        let block = |block: &daylight::Block| BlockReport {
            distance_m: block.distance_m,
            from_m: block.x_m[0],
            to_m: block.x_m[1],
            height_m: block.height_m,
        };
        Some(Self {
            own_building: own_building.map(|own| OwnBuildingReport {
                height_m: site.own_height_m,
                assumed: own.height_m.is_none(),
            }),
            blocks: site.blocks.iter().map(block).collect(),
        })
    }
}
