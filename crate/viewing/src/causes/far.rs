//! What is not known of what stands far away: how high the skyline is, and how much light trees let through.

use daylight::{Horizon, Instant, Place, leaf_share};

use super::deviations::{LEAF_DAYS, SKYLINE_DEG, TREES_LN};

/// Raises a skyline by so many standard deviations. Where it is open it stays so.
pub(super) fn raise(horizon: &mut Horizon, z: f64) {
    for point in horizon.points.iter_mut().filter(|point| point.altitude_deg > 0.0) {
        point.altitude_deg = (point.altitude_deg + SKYLINE_DEG * z).clamp(0.0, 90.0);
    }
}

/// Makes the crowns of trees denser by so many standard deviations, and their leaves come and fall later.
pub(super) fn grow(horizon: &mut Horizon, place: &Place, instant: Instant, [denser, later]: [f64; 2]) {
    let leaf = leaf_share(place.latitude_deg, instant.day_of_year() - LEAF_DAYS * later);
    for trees in &mut horizon.trees {
        let open = trees.transmittance_bare;
        let passes = open + leaf * (trees.transmittance_in_leaf - open);
        let passes = passes.clamp(0.0, 1.0).powf((TREES_LN * denser).exp());
        (trees.transmittance_bare, trees.transmittance_in_leaf) = (passes, passes);
    }
}

/// Mean share of the light that the stands of trees let through then.
pub(super) fn passes(horizon: &Horizon, place: &Place, instant: Instant, z: [f64; 2]) -> f64 {
    let mut trees = Horizon { trees: horizon.trees.clone(), ..Horizon::default() };
    grow(&mut trees, place, instant, z);
    trees.trees.iter().map(|trees| trees.transmittance_bare).sum::<f64>() / trees.trees.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use daylight::{HorizonPoint, Trees};
    use spectra::Spectrum;

    use super::*;

    #[test]
    fn an_open_horizon_stays_open_and_trees_pass_a_share() {
        let trees = Trees {
            from_bearing_deg: 0.0,
            to_bearing_deg: 90.0,
            top_altitude_deg: 10.0,
            transmittance_bare: 0.6,
            transmittance_in_leaf: 0.1,
            reflectance: Spectrum::ZERO,
        };
        let points = [0.0, 0.5, 89.9].map(|altitude_deg| HorizonPoint { bearing_deg: 0.0, altitude_deg });
        let horizon = Horizon { points: points.to_vec(), trees: vec![trees], ..Horizon::default() };
        let mut raised = horizon.clone();
        raise(&mut raised, 1.0);
        let altitudes: Vec<f64> = raised.points.iter().map(|point| point.altitude_deg).collect();
        assert_eq!(altitudes, [0.0, 0.5 + SKYLINE_DEG, 90.0]);
        raise(&mut raised, -9.0);
        assert!(raised.points[1].altitude_deg.abs() < 1e-12);
        let place = Place::at(52.0, 0.0);
        // From the beginning of 2026.
        let at = |month: i64| Instant::from_unix_ms(1_767_225_600_000 + (month - 1) * 2_630_000_000).unwrap();
        let passes = |month: i64, z: [f64; 2]| passes(&horizon, &place, at(month), z);
        assert!((passes(1, [0.0; 2]) - 0.6).abs() < 1e-12 && (passes(7, [0.0; 2]) - 0.1).abs() < 1e-12);
        // Denser crowns pass less, thin ones never more than all; only in spring and autumn do dates matter.
        assert!(passes(7, [1.0, 0.0]) < 0.1 && passes(1, [-9.0, 0.0]) < 1.0);
        assert!((passes(7, [0.0, 1.0]) - 0.1).abs() < 1e-12);
        assert!(passes(5, [0.0, 1.0]) > passes(5, [0.0; 2]) && passes(5, [0.0; 2]) > passes(5, [0.0, -1.0]));
    }
}
