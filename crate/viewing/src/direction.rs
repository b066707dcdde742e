//! Directions outside, in words.

use daylight::Direction;

/// A direction by its nearest point of the compass and its altitude: "south-west, 8° up".
pub fn direction_in_words(direction: Direction) -> String {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let point = POINTS[((direction.azimuth_deg.rem_euclid(360.0) + 22.5) / 45.0) as usize % 8];
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
    fn directions_round_to_eight_points_and_whole_degrees() {
        check(0.0, 0.0, "north, 0° up");
        check(230.0, 8.4, "south-west, 8° up");
        check(337.4, 12.0, "north-west, 12° up");
        check(337.6, 12.0, "north, 12° up");
        check(-90.0, -6.6, "west, 7° below the horizon");
    }
}
