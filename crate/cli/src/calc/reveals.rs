//! Windows set back in their wall: the light on the glass, the part of it in the sun.
//!
//! Bearings clockwise from above, from the outward normal of the wall.

use plane::RoomVector;
use reveal::{Depths, Opening, OuterReveal, Outline, Patches, Reveal, SkyAndGround, on_bare_wall};

use serde_json::Value;

use super::answer::Answer;
use super::fields::{Fault, Fields, vector};

/// What a table of cases says of a case beside its inputs: its name and answers.
const TOLD: &[&str] = &[
    "name",
    "without_reveal_lx",
    "mean_factor",
    "mean_factor_direct_only",
    "lit_share",
    "points",
    "points_columns",
    "inner",
    "rows",
    "columns",
    "error_percent",
];

/// `reveal`: mean factor of the light on the glass for a sky, shares of the glass in the sun, or both.
pub(super) fn reveal(fields: &Fields<'_>) -> Result<Answer, Fault> {
    fields.leave_unread(TOLD);
    const METRES: &str = "metres from 0.001 to 1000";
    let width_m = fields.number_in("width_m", 0.001..=1000.0, METRES)?;
    let height_m = fields.number_in("height_m", 0.001..=1000.0, METRES)?;
    let depth_m = fields.number_in("outer_depth_m", 0.0..=1000.0, "metres from 0 to 1000")?;
    let suns = suns(fields)?;
    // With suns alone, the sky and what belongs to it may be left out.
    let only_suns = suns.is_some() && fields.optional("sky").is_none();
    let share = |key| match fields.optional(key) {
        None if only_suns => Ok(0.0),
        _ => fields.number_in(key, 0.0..=1.0, "a reflectance from 0 to 1"),
    };
    let (reflectance, ground) = (share("outer_reflectance")?, share("ground_reflectance")?);
    let sky = if only_suns { None } else { Some(sky(&fields.object("sky")?, ground)?) };
    fields.finish()?;

    let outline = Outline::rectangle(width_m, height_m).map_err(Fault::refused)?;
    let mut answer = Answer::default();
    if let Some(sky) = sky {
        let reveal = OuterReveal::new(outline.clone(), depth_m).map_err(Fault::refused)?;
        let received = reveal.received(|d| sky.luminance(d));
        let light = reveal.mean(&received, &reveal.exitance(&received, reflectance)).total();
        answer = answer.with("mean_factor", light / on_bare_wall(|d| sky.luminance(d)))?;
    }
    if let Some(suns) = suns {
        let depths = Depths { outer: Reveal::straight(depth_m), ..Depths::default() };
        let opening = Opening::new(outline, &depths, Patches::Few).map_err(Fault::refused)?;
        let share =
            |&[bearing, altitude]: &[f64; 2]| match opening.beam(RoomVector::toward_sky(bearing, altitude)) {
                Some(beam) if altitude >= 0.0 => beam.lit_share(),
                _ => 0.0,
            };
        let shares: Vec<f64> = suns.iter().map(share).collect();
        answer = answer.with("lit_share", shares)?;
    }
    Ok(answer)
}

/// Pairs of bearing and altitude, degrees: as such, or at the beginning of each row of a table of suns, which has no sky.
fn suns(fields: &Fields<'_>) -> Result<Option<Vec<[f64; 2]>>, Fault> {
    let has = |key| fields.optional(key).is_some();
    let is_table = !has("suns") && !has("sky") && has("rows");
    if !has("suns") && !is_table {
        return Ok(None);
    }
    let mut suns = Vec::new();
    let key = if is_table { "rows" } else { "suns" };
    for (path, value) in fields.list(key, "pairs [bearing_deg, altitude_deg]")? {
        let begins = value.as_array().filter(|row| is_table && row.len() > 2);
        let [bearing, altitude] = match begins {
            Some(row) => vector(&path, &Value::from(&row[..2]))?,
            None => vector(&path, value)?,
        };
        if !(-90.0..=90.0).contains(&altitude) {
            return Err(Fault::wrong(format!("{path}[1]"), "degrees from −90 to 90", altitude.to_string()));
        }
        suns.push([bearing.rem_euclid(360.0), altitude]);
    }
    Ok(Some(suns))
}

/// A CIE sky over the ground. The sun matters only to the types that brighten toward it.
fn sky(fields: &Fields<'_>, ground_reflectance: f64) -> Result<SkyAndGround, Fault> {
    let cie_type = fields.whole("cie_type", 1..=15, "a type from 1 to 15")?;
    let lx = fields.number_in(
        "diffuse_horizontal_lx",
        1e-6..=1e9,
        "an illuminance from 0.000001 to 1000000000 lx",
    )?;
    let even = matches!(cie_type, 1 | 3 | 5);
    let altitude = match fields.optional("sun_altitude_deg") {
        None if even => 90.0,
        _ => fields.number_in("sun_altitude_deg", 0.0..=90.0, "degrees from 0 to 90")?,
    };
    let bearing = match fields.optional("sun_bearing_deg") {
        None if even => 0.0,
        _ => fields.number("sun_bearing_deg")?,
    };
    fields.finish()?;
    SkyAndGround::new(cie_type, altitude, bearing, lx, ground_reflectance).map_err(Fault::refused)
}
