//! Report, day and year.

use schemars::JsonSchema;
use serde::Serialize;
use viewing::{LeadReport, OutsideReport, PieceReport, SunOfDay, SunReport, ViewingReport, WallReport};

/// Everything about one instant at one place: the report of the command line, with the sun in words.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Report {
    /// The scene's name.
    pub(crate) scene: String,
    /// The instant, UTC.
    pub(crate) utc: String,
    /// The instant on the site's clocks, with the zone's abbreviation.
    pub(crate) local: String,
    /// The sun's position.
    pub(crate) sun: SunReport,
    /// The sun's position, in words: "south-west, 8° up".
    pub(crate) sun_words: String,
    /// The light outside.
    pub(crate) outside: OutsideReport,
    /// The light at the place.
    pub(crate) viewing: ViewingReport,
    /// Piece by piece as the place sees them.
    pub(crate) pieces: Vec<PieceReport>,
    /// The walls around windows that have depth.
    pub(crate) walls: Vec<WallReport>,
    /// The leads of windows whose leads have depth.
    pub(crate) leads: Vec<LeadReport>,
    /// Cautions for the reader of the figures.
    pub(crate) warnings: Vec<String>,
}

/// A day, or a part of one, in quarters of an hour.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Day {
    /// `YYYY-MM-DD`.
    pub(crate) date: String,
    /// Sunrise, `HH:MM` on the site's clocks; null if the sun does not rise.
    pub(crate) sunrise: Option<String>,
    /// Sunset, in the same form.
    pub(crate) sunset: Option<String>,
    /// If the sun neither rises nor sets, whether it is up or down all day.
    #[schemars(extend("enum" = ["day", "night", null]))]
    pub(crate) polar: Option<&'static str>,
    /// In the order of the day.
    pub(crate) instants: Vec<DayInstant>,
}

/// One step of a day.
#[derive(Serialize, JsonSchema)]
pub(crate) struct DayInstant {
    /// Minute of the civil day, on the site's clocks.
    pub(crate) minute: f64,
    /// Illuminance at the place: on its working plane if it has one, otherwise at the eye, vertical.
    pub(crate) total_lx: f64,
    /// Its part directly from sky and ground.
    pub(crate) sky_ground_lx: f64,
    /// Its part directly from the sun.
    pub(crate) sun_lx: f64,
    /// Its part reflected by the room.
    pub(crate) room_lx: f64,
    /// This illuminance as a share of that with clear glass; null if there is no light.
    pub(crate) share_of_clear: Option<f64>,
    /// CSS colour of white cloth in this light; null if it is too dark to see colour.
    pub(crate) swatch: Option<String>,
    /// The colour of the light, in words.
    pub(crate) words: String,
    /// Altitude of the sun, refraction included.
    pub(crate) sun_altitude_deg: f64,
    /// The sun's position, in words: "south-west, 8° up".
    pub(crate) sun_words: String,
}

/// A year, or a part of one: the middle day of each month hour by hour, and the sun's days.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Year {
    /// The calendar year.
    pub(crate) year: i16,
    /// In the order of the year.
    pub(crate) hours: Vec<YearHour>,
    /// In the order of the year.
    pub(crate) sun: Vec<SunOfDay>,
}

/// An hour of the middle day of a month.
#[derive(Serialize, JsonSchema)]
pub(crate) struct YearHour {
    /// 1–12.
    pub(crate) month: i8,
    /// 0–23, of the site's clocks.
    pub(crate) hour: i8,
    /// Illuminance at the place: on its working plane if it has one, otherwise at the eye, vertical.
    pub(crate) total_lx: f64,
    /// CSS colour of white cloth in this light; null if it is too dark to see colour.
    pub(crate) swatch: Option<String>,
    /// The colour of the light, in words.
    pub(crate) words: String,
}
