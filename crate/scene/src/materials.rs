//! Named surfaces of rooms and of the ground.
//!
//! All of them are **invented** curves with the shape and level that such surfaces have (common practice, no
//! source), and must be labelled *estimated*. A studio that needs better data can give its own 81 samples.

use std::sync::OnceLock;

use daylight::GroundKind;
use spectra::{Spectrum, reflectance};

/// A named surface.
pub struct Material {
    /// Its name, in plain words.
    pub name: &'static str,
    /// Diffuse reflectance, 0–1, by wavelength.
    pub reflectance: Spectrum,
}

/// A smooth step from `low` to `high` about `middle_nm`: the shape of most earths, woods and fired clay.
fn rise(low: f64, high: f64, middle_nm: f64, width_nm: f64) -> Spectrum {
    Spectrum::from_fn(|nm| low + (high - low) / (1.0 + (-(nm - middle_nm) / width_nm).exp()))
}

/// Every named material: what rooms are made of, and the kinds of ground of `daylight`.
pub fn all() -> &'static [Material] {
    static ALL: OnceLock<Vec<Material>> = OnceLock::new();
    ALL.get_or_init(|| {
        let of_rooms = [
            ("white paint", rise(0.25, 0.84, 400.0, 9.0)),
            ("limewash", rise(0.55, 0.80, 430.0, 40.0)),
            ("cream plaster", rise(0.30, 0.68, 470.0, 38.0)),
            ("grey plaster", rise(0.38, 0.47, 500.0, 80.0)),
            ("white linen", reflectance::white_linen()),
            ("pale limestone", reflectance::pale_limestone()),
            ("sandstone", reflectance::sandstone()),
            ("red tile", rise(0.05, 0.26, 590.0, 18.0)),
            ("slate", rise(0.10, 0.12, 520.0, 60.0)),
            ("oiled oak", reflectance::oak()),
            ("dark timber", rise(0.04, 0.14, 610.0, 55.0)),
        ];
        let of_grounds = GroundKind::ALL.map(|kind| (kind.name(), kind.albedo()));
        of_rooms
            .into_iter()
            .chain(of_grounds)
            .map(|(name, reflectance)| Material { name, reflectance })
            .collect()
    })
}

/// The material with a name.
pub fn find(name: &str) -> Option<&'static Material> {
    all().iter().find(|material| material.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_material_reflects_less_than_it_gets_and_has_a_name_of_its_own() {
        for (i, material) in all().iter().enumerate() {
            let curve = material.reflectance;
            assert!(curve.min() > 0.0 && curve.max() < 0.98, "{}", material.name);
            assert!(all()[..i].iter().all(|other| other.name != material.name));
        }
    }
}
