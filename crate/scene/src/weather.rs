//! Kinds of weather, and skies in words.

use schemars::JsonSchema;
use serde::Serialize;

use crate::document::{Air, Sky, SkySpectrum};

/// A cloudless sky with at least this aerosol optical depth at 500 nm is called hazy;
/// [`daylight::Atmosphere`] calls 0.1 clean and 0.3 hazy.
const HAZY_FROM: f64 = 0.2;

/// The fifteen general skies of ISO 15469, described in our own words, type 1 first.
pub const STANDARD_SKY_WORDS: [&str; 15] = [
    "overcast, much brighter overhead, even all round",
    "overcast, much brighter overhead, a little brighter toward the sun",
    "overcast, somewhat brighter overhead, even all round",
    "overcast, somewhat brighter overhead and toward the sun",
    "the same in every direction",
    "part cloud, even in height, a little brighter toward the sun",
    "part cloud, even in height, brighter round the sun",
    "part cloud, even in height, a plain glow round the sun",
    "part cloud, the sun hidden",
    "part cloud, brighter round the sun",
    "blue-white, a plain glow round the sun",
    "clear, clean air",
    "clear, smoky air",
    "cloudless, thick air, a broad glow round the sun",
    "blue-white, thick air, a broad glow round the sun",
];

/// A kind of weather, for choosing a sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Weather {
    /// No cloud, clean air.
    Clear,
    /// No cloud, hazy air.
    Hazy,
    /// Cloud over part of the sky.
    Broken,
    /// Cloud over the whole sky.
    Overcast,
    /// A CIE general sky.
    Standard,
}

impl Weather {
    /// Every kind, brightest first.
    pub const ALL: [Self; 5] = [Self::Clear, Self::Hazy, Self::Broken, Self::Overcast, Self::Standard];

    /// The kind of a sky.
    pub fn of(sky: &Sky) -> Self {
        match sky {
            Sky::Clear { air } if air.aerosol_depth_500nm.unwrap_or_default() >= HAZY_FROM => Self::Hazy,
            Sky::Clear { .. } => Self::Clear,
            Sky::Overcast { cloud, .. } if *cloud >= 1.0 => Self::Overcast,
            Sky::Overcast { .. } => Self::Broken,
            Sky::Standard { .. } => Self::Standard,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Clear => "Clear",
            Self::Hazy => "Hazy",
            Self::Broken => "Broken cloud",
            Self::Overcast => "Overcast",
            Self::Standard => "CIE standard sky",
        }
    }

    /// A typical sky of this kind, to start from.
    pub fn sky(self) -> Sky {
        let air = Air::default();
        match self {
            Self::Clear => Sky::Clear { air },
            Self::Hazy => Sky::Clear { air: Air { aerosol_depth_500nm: Some(0.3), ..air } },
            Self::Broken => Sky::Overcast { cloud: 0.5, air },
            Self::Overcast => Sky::Overcast { cloud: 1.0, air },
            Self::Standard => Sky::Standard {
                cie_type: 1,
                spectrum: SkySpectrum::CctK(6500.0),
                diffuse_horizontal_lx: None,
            },
        }
    }
}

/// A sky in a few words.
pub fn sky_in_words(sky: &Sky) -> String {
    match (sky, Weather::of(sky)) {
        (Sky::Standard { cie_type, .. }, _) => {
            let words = cie_type.checked_sub(1).and_then(|i| STANDARD_SKY_WORDS.get(usize::from(i)));
            format!("CIE standard sky {cie_type}, {}", words.unwrap_or(&""))
        }
        (Sky::Overcast { cloud, .. }, Weather::Broken) => {
            format!("Cloud over {:.0} % of the sky", cloud * 100.0)
        }
        (_, Weather::Hazy) => "Hazy sky".to_owned(),
        (_, Weather::Overcast) => "Overcast sky".to_owned(),
        _ => "Clear sky".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_weather_is_known_again_by_its_sky() {
        for weather in Weather::ALL {
            assert_eq!(Weather::of(&weather.sky()), weather);
        }
    }

    #[test]
    fn skies_in_words() {
        let words = Weather::ALL.map(|weather| sky_in_words(&weather.sky()));
        let standard = "CIE standard sky 1, overcast, much brighter overhead, even all round";
        assert_eq!(words, ["Clear sky", "Hazy sky", "Cloud over 50 % of the sky", "Overcast sky", standard]);
    }
}
