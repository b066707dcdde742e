//! SVG's basic shapes as paths.

use super::fault::{DrawingFault, Place};
use super::size::user_units;
use crate::path::read_path;
use kurbo::BezPath;
use roxmltree::Node;
use svgtypes::NumberListParser;

/// A drawing element's path in user units, or its fault. An absent or empty shape is an empty path.
pub(crate) fn shape_path(node: Node<'_, '_>, place: Place) -> Result<BezPath, DrawingFault> {
    let number = |name: &str| -> Result<Option<f64>, DrawingFault> {
        match node.attribute(name).map(str::trim) {
            None | Some("auto") => Ok(None),
            Some(text) => user_units(text).filter(|v| v.abs() <= 1e9).map(Some).ok_or_else(|| {
                bad_attribute(node, place, name, "a length up to 1e9, plain or in px, mm, cm, in, pt, pc")
            }),
        }
    };
    let read = |data: &str| {
        read_path(data).map_err(|bad| DrawingFault::BadPath {
            place,
            reason: bad.reason,
            character: bad.character,
        })
    };
    match node.tag_name().name() {
        "path" => read(node.attribute("d").unwrap_or("")),
        "line" => {
            let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(number);
            let [x1, y1, x2, y2] = [x1?, y1?, x2?, y2?].map(Option::unwrap_or_default);
            read(&format!("M{x1} {y1}L{x2} {y2}"))
        }
        name @ ("polyline" | "polygon") => {
            let fault = || bad_attribute(node, place, "points", "pairs of numbers");
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
            let width = 2.0 * rx;
            read(&format!("M{} {cy}a{rx} {ry} 0 0 1 {width} 0a{rx} {ry} 0 0 1 {} 0z", cx - rx, -width))
        }
        _ => Ok(BezPath::new()),
    }
}

pub(crate) fn bad_attribute(
    node: Node<'_, '_>,
    place: Place,
    attribute: &str,
    expected: &'static str,
) -> DrawingFault {
    let text = node.attribute(attribute).unwrap_or("");
    DrawingFault::BadAttribute {
        place,
        element: node.tag_name().name().to_owned(),
        attribute: attribute.to_owned(),
        expected,
        found: text.chars().take(60).collect(),
    }
}
