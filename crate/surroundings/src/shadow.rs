//! Widths of the shadows of endless walls in the sun.

use plane::RoomVector;

use crate::site::{Block, Site};

/// Shadows that own wall and street throw. `None` where the sun or the site leaves nothing to say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shadows {
    /// Sun behind the own wall: width of its shadow if the ground were open, measured from the wall, m.
    pub own_on_open_ground_m: Option<f64>,
    /// Sun behind the own wall of a street: up to which height the shadow climbs the facade, m; 0 if not at all.
    pub own_on_facade_up_to_m: Option<f64>,
    /// Sun in front of a street: the own wall is sunlit above this height, m.
    pub facade_on_own_wall_up_to_m: Option<f64>,
    /// Sun in front of a street: the ground is sunlit from the own wall out to this distance, m.
    pub ground_sunlit_out_to_m: Option<f64>,
}

/// The shadows with the sun toward `sun`, by proportion in the cross-section; of an endless facade the nearest counts.
pub fn shadows(site: &Site, sun: RoomVector) -> Shadows {
    let [_, up, into_room] = sun.to_array();
    let mut shadows = Shadows::default();
    if up <= 0.0 {
        return shadows;
    }
    let own = site.own_height_m;
    let endless = site.blocks.iter().filter(|block| block.is_endless());
    let street: Option<&Block> = endless.min_by(|a, b| a.distance_m.total_cmp(&b.distance_m));
    if into_room > 0.0 && own > 0.0 {
        shadows.own_on_open_ground_m = Some(own * into_room / up);
        if let Some(street) = street {
            shadows.own_on_facade_up_to_m = Some((own - street.distance_m * up / into_room).max(0.0));
        }
    }
    if into_room < 0.0
        && let Some(street) = street
    {
        let across = -into_room;
        shadows.facade_on_own_wall_up_to_m =
            Some((street.height_m - street.distance_m * up / across).max(0.0));
        shadows.ground_sunlit_out_to_m = Some((street.distance_m - street.height_m * across / up).max(0.0));
    }
    shadows
}
