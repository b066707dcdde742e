//! How scattered light is spread.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The lobe in which a scatterer keeps light near the direction that it had. What is not given is as usual for its kind.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lobe {
    /// Share of the scattered light that stays in the lobe, 0–1; the rest is spread evenly over all directions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub share: Option<f64>,
    /// Angle from its middle at which the lobe has half its radiance, for light along the normal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1.0, max = 45.0))]
    pub half_width_deg: Option<f64>,
    /// Where the numbers come from; an assumption if empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(length(max = 500))]
    pub source: String,
}

impl Lobe {
    /// To be kept, unless nothing is said of it.
    pub(crate) fn kept(&self) -> Option<Box<Self>> {
        (*self != Self::default()).then(|| Box::new(self.clone()))
    }

    /// The lobe of a scatterer that usually has another. One that usually has none, and gets a width only, gets no lobe.
    pub(crate) fn or_usual(stated: Option<&Self>, usual: glass::Lobe) -> glass::Lobe {
        let Some(stated) = stated else { return usual };
        glass::Lobe {
            share: stated.share.unwrap_or(usual.share),
            half_width_deg: stated.half_width_deg.unwrap_or(usual.half_width_deg),
        }
    }

    /// Where its numbers come from.
    pub(crate) fn origin(stated: Option<&Self>) -> &str {
        stated.map(|lobe| lobe.source.as_str()).filter(|source| !source.is_empty()).unwrap_or("assumption")
    }
}
