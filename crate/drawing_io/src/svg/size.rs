//! Lengths with units, and the size of a drawing.

use std::fmt;
use std::str::FromStr;

use kurbo::{Affine, Rect};
use roxmltree::Node;
use schemars::JsonSchema;
use serde::Serialize;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};

/// One inch, mm (exact by definition, 1959).
const INCH_MM: f64 = 25.4;

/// The unit in which a file states its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Inch.
    In,
    /// Point, 1/72 inch.
    Pt,
    /// Pica, 1/6 inch.
    Pc,
    /// Pixel, 1/96 inch as CSS defines it.
    Px,
    /// None: the file gives no real size.
    None,
}

impl Unit {
    fn of(unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Mm => Self::Mm,
            LengthUnit::Cm => Self::Cm,
            LengthUnit::In => Self::In,
            LengthUnit::Pt => Self::Pt,
            LengthUnit::Pc => Self::Pc,
            LengthUnit::Px => Self::Px,
            LengthUnit::None | LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => Self::None,
        }
    }

    /// In mm; CSS Values and Units Level 3, section 5.2: 1 in = 96 px = 72 pt = 6 pc.
    fn mm(self) -> Option<f64> {
        match self {
            Self::Mm => Some(1.0),
            Self::Cm => Some(10.0),
            Self::In => Some(INCH_MM),
            Self::Pt => Some(INCH_MM / 72.0),
            Self::Pc => Some(INCH_MM / 6.0),
            Self::Px => Some(INCH_MM / 96.0),
            Self::None => None,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::In => "in",
            Self::Pt => "pt",
            Self::Pc => "pc",
            Self::Px => "px",
            Self::None => "none",
        })
    }
}

/// A length in user units: plain, or absolute at 96 user units per inch as SVG defines; `None` for others.
pub(crate) fn user_units(text: &str) -> Option<f64> {
    in_user_units(Length::from_str(text.trim()).ok()?)
}

fn in_user_units(length: Length) -> Option<f64> {
    let value = match length.unit {
        LengthUnit::None => length.number,
        unit => length.number * Unit::of(unit).mm()? / Unit::Px.mm()?,
    };
    value.is_finite().then_some(value)
}

/// The size of a file's page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PageSize {
    /// From user units to mm, y still down; `None` if nothing gives a real size. Shifts are left out.
    pub(crate) mm_from_user: Option<Affine>,
    pub(crate) unit: Unit,
    /// In user units; `None` if the file gives none.
    pub(crate) page: Option<Rect>,
}

/// The size that a file states.
///
/// Width and height carry units. A viewBox is scaled to them as `preserveAspectRatio` says; without one, a user unit
/// is 1/96 inch. Some programs round the viewBox outward to whole numbers but draw in the unit of the width; the unit
/// is then the scale.
pub(crate) fn page_size(svg: Node<'_, '_>) -> PageSize {
    let given = |name: &str| -> Option<Length> {
        let length = Length::from_str(svg.attribute(name)?.trim()).ok()?;
        (length.number.is_finite() && length.number > 0.0).then_some(length)
    };
    let lengths = [given("width"), given("height")];
    let view = svg.attribute("viewBox").and_then(|text| ViewBox::from_str(text).ok());
    let [width, height] = lengths.map(|length| length.and_then(in_user_units));
    let page = match view {
        Some(view) => Some(Rect::new(view.x, view.y, view.x + view.w, view.y + view.h)),
        None => width.zip(height).map(|(w, h)| Rect::new(0.0, 0.0, w, h)),
    };
    let units = lengths.map(|length| length.map_or(Unit::None, |length| Unit::of(length.unit)));
    let unit = if units[0] == Unit::None { units[1] } else { units[0] };
    let mm = |k: usize| Some(lengths[k]?.number * units[k].mm()?);
    let mm_from_user = unit.mm().and_then(|unit_mm| {
        let Some(view) = view else { return Some(Affine::scale(INCH_MM / 96.0)) };
        if is_rounded_outward(lengths, [view.w, view.h], units) {
            return Some(Affine::scale(unit_mm));
        }
        let (x, y) = (mm(0).map(|w| w / view.w), mm(1).map(|h| h / view.h));
        let (x, y) = (x.or(y)?, y.or(x)?);
        let ratio = svg.attribute("preserveAspectRatio").and_then(|text| AspectRatio::from_str(text).ok());
        Some(match ratio {
            Some(AspectRatio { align: Align::None, .. }) => Affine::scale_non_uniform(x, y),
            Some(AspectRatio { slice: true, .. }) => Affine::scale(x.max(y)),
            _ => Affine::scale(x.min(y)),
        })
    });
    PageSize { mm_from_user, unit, page }
}

/// Whether the viewBox is the size in its own unit, rounded up to whole numbers.
fn is_rounded_outward(lengths: [Option<Length>; 2], view: [f64; 2], units: [Unit; 2]) -> bool {
    let [Some(width), Some(height)] = lengths else { return false };
    let up = [width.number.ceil(), height.number.ceil()];
    let differs = (up[0] - width.number).max(up[1] - height.number) > 1e-6;
    let is_up = (up[0] - view[0]).abs() < 1e-9 && (up[1] - view[1]).abs() < 1e-9;
    units[0] == units[1] && is_up && differs
}

/// The map of a viewBox into a viewport of this size, as `preserveAspectRatio` says (SVG 2, section 8.2).
pub(crate) fn view_box_map(node: Node<'_, '_>, width: f64, height: f64) -> Option<Affine> {
    let view = ViewBox::from_str(node.attribute("viewBox")?).ok()?;
    let (x, y) = (width / view.w, height / view.h);
    let ratio = node.attribute("preserveAspectRatio").and_then(|text| AspectRatio::from_str(text).ok());
    let ratio = ratio.unwrap_or(AspectRatio { defer: false, align: Align::XMidYMid, slice: false });
    let even = if ratio.slice { x.max(y) } else { x.min(y) };
    let (x, y) = if ratio.align == Align::None { (x, y) } else { (even, even) };
    let (free_x, free_y) = (width - view.w * x, height - view.h * y);
    let (share_x, share_y) = match ratio.align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let map = Affine::translate((free_x * share_x, free_y * share_y))
        * Affine::scale_non_uniform(x, y)
        * Affine::translate((-view.x, -view.y));
    map.is_finite().then_some(map)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(attributes: &str) -> PageSize {
        let xml = format!("<svg {attributes}/>");
        let document = roxmltree::Document::parse(&xml).expect("XML");
        page_size(document.root_element())
    }

    fn check(attributes: &str, expected: Option<(f64, f64)>) {
        let found = size(attributes).mm_from_user.map(|a| a.as_coeffs()).map(|c| (c[0], c[3]));
        match (found, expected) {
            (Some(f), Some(e)) => {
                assert!((f.0 - e.0).abs() < 1e-12 && (f.1 - e.1).abs() < 1e-12, "{attributes}: {f:?}");
            }
            _ => assert_eq!(found, expected, "{attributes}"),
        }
    }

    #[test]
    fn sizes_by_unit() {
        check(r#"width="600mm" height="900mm" viewBox="0 0 600 900""#, Some((1.0, 1.0)));
        check(r#"width="600mm" height="900mm" viewBox="0,0,600,900""#, Some((1.0, 1.0)));
        check(r#"width="60cm" height="90cm" viewBox="0 0 300 450""#, Some((2.0, 2.0)));
        check(r#"width="10in" viewBox="0 0 100 50""#, Some((2.54, 2.54)));
        check(r#"height="72pt" viewBox="0 0 10 25.4""#, Some((1.0, 1.0)));
        check(r#"width="96px" height="96px" viewBox="0 0 25.4 25.4""#, Some((1.0, 1.0)));
        check(r#"width="6pc" viewBox="0 0 25.4 1""#, Some((1.0, 1.0)));
        check(r#"width="600mm" height="900mm""#, Some((25.4 / 96.0, 25.4 / 96.0)));
        check(r#"width="200mm" height="100mm" viewBox="0 0 100 100""#, Some((1.0, 1.0)));
        check(
            r#"width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="none""#,
            Some((2.0, 1.0)),
        );
        check(
            r#"width="200mm" height="100mm" viewBox="0 0 1 1" preserveAspectRatio="xMidYMid slice""#,
            Some((200.0, 200.0)),
        );
        assert_eq!(size(r#"width="72pt" viewBox="0 0 9 9""#).unit, Unit::Pt);
    }

    #[test]
    fn a_view_box_rounded_outward_keeps_the_unit_as_its_scale() {
        check(r#"width="480.4mm" height="720.1mm" viewBox="0 0 481 721""#, Some((1.0, 1.0)));
        check(r#"width="480.4pt" height="720pt" viewBox="0 0 481 720""#, Some((25.4 / 72.0, 25.4 / 72.0)));
        // Both whole: nothing was rounded.
        check(r#"width="480mm" height="720mm" viewBox="0 0 480 720""#, Some((1.0, 1.0)));
        check(r#"width="480.4mm" height="720.1mm" viewBox="0 0 480.4 720.1""#, Some((1.0, 1.0)));
        check(r#"width="480.5mm" height="720.5mm" viewBox="0 0 961 1441""#, Some((0.5, 0.5)));
    }

    #[test]
    fn sizes_without_a_unit_are_none() {
        for attributes in [
            "",
            r#"width="600" height="900""#,
            r#"width="100%""#,
            r#"viewBox="0 0 5 5""#,
            r#"width="-3mm""#,
            r#"width="1e999mm""#,
            r#"width="6em""#,
        ] {
            check(attributes, None);
            assert_eq!(size(attributes).unit, Unit::None);
        }
    }

    #[test]
    fn pages_in_user_units() {
        assert_eq!(size(r#"viewBox="1 2 3 4""#).page, Some(Rect::new(1.0, 2.0, 4.0, 6.0)));
        assert_eq!(size(r#"width="1in" height="48""#).page, Some(Rect::new(0.0, 0.0, 96.0, 48.0)));
        assert_eq!(size(r#"width="100%" height="48""#).page, None);
    }

    #[test]
    fn a_view_box_is_fitted_into_its_viewport() {
        let xml = r#"<svg viewBox="10 10 20 10" preserveAspectRatio="xMaxYMin meet"/>"#;
        let document = roxmltree::Document::parse(xml).expect("XML");
        let map = view_box_map(document.root_element(), 80.0, 20.0).expect("a map");
        assert_eq!(map * kurbo::Point::new(10.0, 10.0), kurbo::Point::new(40.0, 0.0));
        assert_eq!(map * kurbo::Point::new(30.0, 20.0), kurbo::Point::new(80.0, 20.0));
    }

    #[test]
    fn lengths_in_user_units() {
        assert_eq!(user_units("3"), Some(3.0));
        assert_eq!(user_units(" 25.4mm "), Some(96.0));
        assert_eq!(user_units("5%"), None);
        assert_eq!(user_units("five"), None);
    }
}
