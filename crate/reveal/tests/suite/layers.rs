//! Bars and mesh, ray by ray.

use plane::RoomVector;
use reveal::Layer;

use crate::tracer::Random;

/// Share of rays from a direction that pass between cylinders along x or y, one pitch apart around z = 0.
fn passed(toward: RoomVector, diameter: f64, pitch: f64, sets: [bool; 2]) -> f64 {
    let mut random = Random(31);
    let tries = 40_000;
    let free = (0..tries).filter(|_| {
        let start = [random.next() * pitch, random.next() * pitch];
        // Across upright bars the ray runs in x and z, across level ones in y and z.
        !(0..2).any(|k| {
            sets[k] && {
                let length = toward[k].hypot(toward[2]);
                let (along, out) = (toward[k] / length, toward[2] / length);
                // Distance from bar n's axis to the ray.
                (-60..=60).any(|n| {
                    ((f64::from(n) * pitch - start[k]) * out).abs() < 0.5 * diameter && along.is_finite()
                })
            }
        })
    });
    free.count() as f64 / f64::from(tries)
}

#[test]
fn openness_as_rays_find_it() {
    for [bearing, altitude] in [[0.0, 0.0], [50.0, 10.0], [-30.0, 60.0], [80.0, 0.0], [10.0, -40.0]] {
        let toward = RoomVector::toward_sky(bearing, altitude);
        for (diameter_m, pitch_m) in [(0.012, 0.1), (0.002, 0.02), (0.02, 0.05)] {
            for (layer, sets) in [
                (Layer::UprightBars { diameter_m, pitch_m }, [true, false]),
                (Layer::LevelBars { diameter_m, pitch_m }, [false, true]),
                (Layer::Mesh { wire_m: diameter_m, pitch_m }, [true, true]),
            ] {
                layer.check().unwrap();
                let (found, expected) = (layer.openness(toward), passed(toward, diameter_m, pitch_m, sets));
                assert!(
                    (found - expected).abs() < 0.01,
                    "{layer:?} {bearing} {altitude}: {found} {expected}"
                );
            }
        }
    }
}

#[test]
fn nothing_hides_nothing_and_wrong_measures_are_named() {
    let none = Layer::Mesh { wire_m: 0.0, pitch_m: 0.02 };
    assert!((none.openness(RoomVector::toward_sky(40.0, 30.0)) - 1.0).abs() < 1e-15);
    let wrong = Layer::UprightBars { diameter_m: 0.02, pitch_m: 0.01 };
    let text = wrong.check().unwrap_err().to_string();
    assert_eq!(text, "layer.pitch_m: expected metres from the diameter to 10, found 0.01");
}
