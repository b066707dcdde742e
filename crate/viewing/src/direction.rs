//! Directions outside, in words.

use daylight::Direction;

/// The sixteen points of the compass, clockwise from north.
const POINTS: [&str; 16] = [
    "north",
    "north-north-east",
    "north-east",
    "east-north-east",
    "east",
    "east-south-east",
    "south-east",
    "south-south-east",
    "south",
    "south-south-west",
    "south-west",
    "west-south-west",
    "west",
    "west-north-west",
    "north-west",
    "north-north-west",
];

/// A direction by the nearest of the sixteen points of the compass and its altitude: "south-west, 8° up".
pub fn direction_in_words(direction: Direction) -> String {
    let point = POINTS[((direction.azimuth_deg.rem_euclid(360.0) + 11.25) / 22.5) as usize % 16];
    let altitude = direction.altitude_deg;
    if altitude < 0.0 {
        format!("{point}, {:.0}° below the horizon", -altitude)
    } else {
        format!("{point}, {altitude:.0}° up")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(azimuth_deg: f64, altitude_deg: f64, words: &str) {
        assert_eq!(direction_in_words(Direction { altitude_deg, azimuth_deg }), words);
    }

    #[test]
    fn directions_round_to_sixteen_points_and_whole_degrees() {
        check(0.0, 0.0, "north, 0° up");
        check(230.0, 8.4, "south-west, 8° up");
        check(326.2, 12.0, "north-west, 12° up");
        check(326.3, 12.0, "north-north-west, 12° up");
        check(348.7, 12.0, "north-north-west, 12° up");
        check(348.8, 12.0, "north, 12° up");
        for (point, words) in POINTS.iter().enumerate() {
            check(22.5 * point as f64, 1.0, &format!("{words}, 1° up"));
        }
        check(-90.0, -6.6, "west, 7° below the horizon");
    }
}
