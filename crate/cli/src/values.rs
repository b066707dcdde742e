//! Values that the arguments are read from: what people type for them.

/// The sixteen points of the compass, clockwise from north.
const POINTS: [&str; 16] =
    ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];

/// A number; neither infinite nor NaN.
pub(crate) fn number(text: &str) -> Result<f64, String> {
    let found = text.trim().parse().ok().filter(|number: &f64| number.is_finite());
    found.ok_or_else(|| "expected a number".to_owned())
}

/// Degrees clockwise from true north, 0 ≤ bearing < 360, of degrees or a point of the compass.
pub(crate) fn bearing(text: &str) -> Result<f64, String> {
    let letters = letters(text);
    if let Some(point) = POINTS.iter().position(|point| **point == letters) {
        return Ok(22.5 * point as f64);
    }
    match text.parse::<f64>() {
        Ok(degrees) if degrees.abs() <= 720.0 => Ok(degrees.rem_euclid(360.0)),
        _ => Err("expected degrees clockwise from north, such as 225, or a point of the compass, such as SW"
            .into()),
    }
}

/// A point of the compass, in letters or in words such as `north-west`, by its letters.
fn letters(text: &str) -> String {
    let mut letters = text.trim().to_uppercase();
    for word in ["NORTH", "EAST", "SOUTH", "WEST"] {
        letters = letters.replace(word, &word[..1]);
    }
    letters.replace(['-', ' '], "")
}

/// A tolerance within which open ends are mended.
pub(crate) fn mend_within(text: &str) -> Result<f64, String> {
    let (least, most) = (drawing_io::LEAST_MEND_MM, drawing_io::MOST_MEND_MM);
    let found = text.parse().ok().filter(|mm| (least..=most).contains(mm));
    found.ok_or_else(|| format!("expected {least} to {most} mm"))
}

/// `NAME=ROLE`; the name may hold an equals sign itself.
pub(crate) fn layer_role(text: &str) -> Result<(String, drawing_io::Role), String> {
    let (name, role) = text.rsplit_once('=').ok_or("expected NAME=ROLE")?;
    Ok((name.to_owned(), role.parse()?))
}

#[cfg(test)]
mod tests {
    use super::{bearing, number};

    #[test]
    fn a_number_is_finite() {
        assert_eq!((number("-3.5"), number("1e3")), (Ok(-3.5), Ok(1e3)));
        for text in ["nan", "inf", "-inf", "1e999", "3 mm", ""] {
            assert!(number(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_bearing_is_degrees_or_a_point_of_the_compass() {
        for (text, degrees) in [
            ("225", 225.0),
            ("-90", 270.0),
            ("360", 0.0),
            ("NW", 315.0),
            ("sse", 157.5),
            ("north-north-west", 337.5),
            ("South West", 225.0),
        ] {
            assert_eq!(bearing(text), Ok(degrees), "{text}");
        }
        for text in ["", "up", "NX", "nan", "inf", "1e9"] {
            assert!(bearing(text).is_err_and(|said| said.contains("SW")), "{text}");
        }
    }
}
