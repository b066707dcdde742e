//! SVG's basic shapes as paths, and dashes.

use kurbo::{BezPath, Shape};
use panel::read_path;
use roxmltree::Node;
use svgtypes::NumberListParser;

use super::size::user_units;
use super::style::Style;

/// Dash patterns that repeat more often than this along a line are a style of line. Fewer hide parts of it: some
/// programs draw an arc as a full circle with one long dash.
const REPEATS: f64 = 2.5;

/// Accuracy of arc lengths, as a share of a path's size.
const LENGTH_ACCURACY: f64 = 1e-5;

/// A drawing element's path in its own units. An absent or empty shape is an empty path.
///
/// # Errors
/// The attribute that cannot be read, what it should be, and what was found.
pub(crate) fn shape_path(node: Node<'_, '_>) -> Result<BezPath, String> {
    let bad = |attribute: &str, expected: &str| {
        let found: String = node.attribute(attribute).unwrap_or("").chars().take(60).collect();
        format!("{attribute}: expected {expected}, found {found:?}")
    };
    let number = |name: &str| -> Result<Option<f64>, String> {
        match node.attribute(name).map(str::trim) {
            None | Some("auto") => Ok(None),
            Some(text) => user_units(text)
                .filter(|v| v.abs() <= 1e9)
                .map(Some)
                .ok_or_else(|| bad(name, "a length up to 1e9, plain or in px, mm, cm, in, pt, pc")),
        }
    };
    let read = |data: &str| {
        read_path(data).map_err(|bad| format!("d: {}, found at character {}", bad.reason, bad.character))
    };
    match node.tag_name().name() {
        "path" => read(node.attribute("d").unwrap_or("")),
        "line" => {
            let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(number);
            let [x1, y1, x2, y2] = [x1?, y1?, x2?, y2?].map(Option::unwrap_or_default);
            read(&format!("M{x1} {y1}L{x2} {y2}"))
        }
        name @ ("polyline" | "polygon") => {
            let fault = || bad("points", "pairs of numbers");
            let mut numbers = Vec::new();
            for value in NumberListParser::from(node.attribute("points").unwrap_or("")) {
                numbers.push(value.ok().filter(|v| v.abs() <= 1e9).ok_or_else(fault)?);
            }
            let mut path = BezPath::new();
            let pairs = numbers.chunks_exact(2);
            if !pairs.remainder().is_empty() {
                return Err(fault());
            }
            for (i, pair) in pairs.enumerate() {
                if i == 0 {
                    path.move_to((pair[0], pair[1]));
                } else {
                    path.line_to((pair[0], pair[1]));
                }
            }
            if name == "polygon" && !path.is_empty() {
                path.close_path();
            }
            Ok(path)
        }
        "rect" => {
            let [x, y, w, h] = ["x", "y", "width", "height"].map(number);
            let [x, y, w, h] = [x?, y?, w?, h?].map(Option::unwrap_or_default);
            if w <= 0.0 || h <= 0.0 {
                return Ok(BezPath::new());
            }
            let (rx, ry) = (number("rx")?, number("ry")?);
            let rx_used = rx.or(ry).unwrap_or(0.0).clamp(0.0, w / 2.0);
            let ry_used = ry.or(rx).unwrap_or(0.0).clamp(0.0, h / 2.0);
            if rx_used <= 0.0 || ry_used <= 0.0 {
                return read(&format!("M{x} {y}h{w}v{h}h{}z", -w));
            }
            let (rx, ry) = (rx_used, ry_used);
            let (level, upright) = (w - 2.0 * rx, h - 2.0 * ry);
            read(&format!(
                "M{} {y}h{level}a{rx} {ry} 0 0 1 {rx} {ry}v{upright}a{rx} {ry} 0 0 1 {} {ry}\
                 h{}a{rx} {ry} 0 0 1 {} {}v{}a{rx} {ry} 0 0 1 {rx} {}z",
                x + rx,
                -rx,
                -level,
                -rx,
                -ry,
                -upright,
                -ry
            ))
        }
        name @ ("circle" | "ellipse") => {
            let (cx, cy) = (number("cx")?.unwrap_or(0.0), number("cy")?.unwrap_or(0.0));
            let (rx, ry) = if name == "circle" {
                let r = number("r")?.unwrap_or(0.0);
                (r, r)
            } else {
                let (rx, ry) = (number("rx")?, number("ry")?);
                (rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0))
            };
            if rx <= 0.0 || ry <= 0.0 {
                return Ok(BezPath::new());
            }
            // From the right side and clockwise on the page, as SVG 2 section 10 draws them: dashes count from there.
            let width = 2.0 * rx;
            read(&format!("M{} {cy}a{rx} {ry} 0 0 1 {} 0a{rx} {ry} 0 0 1 {width} 0z", cx + rx, -width))
        }
        _ => Ok(BezPath::new()),
    }
}

/// The part of a path that its stroke paints.
pub(crate) struct Painted {
    pub(crate) path: BezPath,
    /// Drawn with dashes that repeat.
    pub(crate) is_dashed: bool,
}

/// What dashes leave of a path. A pattern that repeats along the line leaves it whole.
pub(crate) fn painted(node: Node<'_, '_>, path: BezPath, style: &Style) -> Painted {
    if style.dashes.is_empty() || style.stroke.is_none() {
        return Painted { path, is_dashed: false };
    }
    let size = path.control_box();
    let accuracy = LENGTH_ACCURACY * (size.width() + size.height()).max(1e-9);
    let length = path.perimeter(accuracy);
    // Dashes may be counted in an author's own length of the path.
    let stated = node.attribute("pathLength").and_then(|text| text.trim().parse::<f64>().ok());
    let scale =
        stated.filter(|stated| *stated > 0.0 && stated.is_finite()).map_or(1.0, |stated| length / stated);
    let dashes: Vec<f64> = style.dashes.iter().map(|dash| dash * scale).collect();
    let pattern: f64 = dashes.iter().sum();
    let repeats = length / pattern;
    if !(pattern > 0.0 && repeats.is_finite()) || repeats > REPEATS {
        return Painted { path, is_dashed: repeats > REPEATS };
    }
    let cut: BezPath = kurbo::dash(path.iter(), style.dash_offset * scale, &dashes).collect();
    // A dash may end in nothing at the end of the path.
    let parts = cut.iter().fold(Vec::<BezPath>::new(), |mut parts, element| {
        if matches!(element, kurbo::PathEl::MoveTo(_)) || parts.is_empty() {
            parts.push(BezPath::new());
        }
        if let Some(part) = parts.last_mut() {
            part.push(element);
        }
        parts
    });
    let long = parts.into_iter().filter(|part| part.perimeter(accuracy) > 1e-3 * length);
    let path = BezPath::from_vec(long.flat_map(|part| part.into_iter()).collect());
    Painted { path, is_dashed: false }
}
