//! Names of hues.

/// Hues by the CIELAB hue angle, degrees: upper limit, word. Our assumption.
const HUES: [(f64, &str); 14] = [
    (15.0, "rose"),
    (42.0, "red"),
    (66.0, "orange"),
    (85.0, "amber"),
    (105.0, "yellow"),
    (135.0, "yellow-green"),
    (172.0, "green"),
    (200.0, "turquoise"),
    (228.0, "blue-green"),
    (280.0, "blue"),
    (305.0, "violet"),
    (325.0, "purple"),
    (346.0, "magenta"),
    (f64::INFINITY, "rose"),
];

/// The name of a CIELAB hue angle, 0–360 degrees.
pub(crate) fn hue_word(deg: f64) -> &'static str {
    HUES.iter().find(|hue| deg < hue.0).map_or("rose", |hue| hue.1)
}
