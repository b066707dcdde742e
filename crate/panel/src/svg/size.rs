//! Lengths with units, and the size of a drawing.

use kurbo::Affine;
use roxmltree::Node;
use std::str::FromStr;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};

/// One inch, mm (exact by definition, 1959).
const INCH_MM: f64 = 25.4;

/// Millimetres in an absolute unit; CSS Values and Units Level 3, section 5.2: 1 in = 96 px = 72 pt = 6 pc.
fn unit_mm(unit: LengthUnit) -> Option<f64> {
    match unit {
        LengthUnit::Px => Some(INCH_MM / 96.0),
        LengthUnit::In => Some(INCH_MM),
        LengthUnit::Cm => Some(10.0),
        LengthUnit::Mm => Some(1.0),
        LengthUnit::Pt => Some(INCH_MM / 72.0),
        LengthUnit::Pc => Some(INCH_MM / 6.0),
        LengthUnit::None | LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => None,
    }
}

/// A length in user units: plain, or absolute at 96 user units per inch as SVG defines; `None` for others.
pub(crate) fn user_units(text: &str) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    let value = match length.unit {
        LengthUnit::None => length.number,
        unit => length.number * unit_mm(unit)? / unit_mm(LengthUnit::Px)?,
    };
    value.is_finite().then_some(value)
}

/// The map from a drawing's user units to mm, y still down; `None` if nothing gives a real size.
///
/// Width and height carry units. A viewBox is scaled to them as `preserveAspectRatio` says; without one, a user
/// unit is 1/96 inch. Shifts do not matter here and are left out.
pub(crate) fn mm_from_user(svg: Node<'_, '_>) -> Option<Affine> {
    let size = |name: &str| {
        let length = Length::from_str(svg.attribute(name)?.trim()).ok()?;
        let mm = length.number * unit_mm(length.unit)?;
        (mm.is_finite() && mm > 0.0).then_some(mm)
    };
    let (width, height) = (size("width"), size("height"));
    if width.is_none() && height.is_none() {
        return None;
    }
    let view = svg.attribute("viewBox").and_then(|text| ViewBox::from_str(text).ok());
    let Some(view) = view else {
        return Some(Affine::scale(INCH_MM / 96.0));
    };
    let (x, y) = (width.map(|w| w / view.w), height.map(|h| h / view.h));
    let (x, y) = (x.or(y)?, y.or(x)?);
    let ratio = svg.attribute("preserveAspectRatio").and_then(|text| AspectRatio::from_str(text).ok());
    Some(match ratio {
        Some(AspectRatio { align: Align::None, .. }) => Affine::scale_non_uniform(x, y),
        Some(AspectRatio { slice: true, .. }) => Affine::scale(x.max(y)),
        _ => Affine::scale(x.min(y)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(attributes: &str, expected: Option<(f64, f64)>) {
        let xml = format!("<svg {attributes}/>");
        let document = roxmltree::Document::parse(&xml).expect("XML");
        let found = mm_from_user(document.root_element()).map(|a| a.as_coeffs()).map(|c| (c[0], c[3]));
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
        }
    }

    #[test]
    fn lengths_in_user_units() {
        assert_eq!(user_units("3"), Some(3.0));
        assert_eq!(user_units(" 25.4mm "), Some(96.0));
        assert_eq!(user_units("5%"), None);
        assert_eq!(user_units("five"), None);
    }
}
