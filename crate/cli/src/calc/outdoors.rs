//! Light on a window from outside, with ground, facades and the own building's wall darkening one another.
//!
//! Frame: x right as seen from inside, y up from the ground, z into the room; bearings clockwise from above, from the
//! outward normal.

use std::ops::RangeInclusive;

use daylight::CieSky;
use plane::RoomVector;
use surroundings::{Block, Exchange, Fineness, Light, Reflectances, Site};
use viewing::bearing_and_altitude_deg;

use super::answer::Answer;
use super::fields::{Fault, Fields, vector};

/// By how much of itself a measurement may differ from the one that an angle implies: files round both.
const AGREEMENT: f64 = 1e-3;
const DEGREES: RangeInclusive<f64> = -360.0..=360.0;

/// `outdoors`: illuminance on an upright plane at the window's middle by source, and the luminance that views meet.
pub(super) fn outdoors(fields: &Fields<'_>) -> Result<Answer, Fault> {
    fields.leave_unread(TOLD);
    let sky = Sky::read(&fields.object("sky")?)?;
    let height = fields.number("window_middle_height_m")?;
    let ground = fields.number_in("ground_reflectance", 0.0..=1.0, REFLECTANCE)?;
    let own = fields.object("own_building")?;
    let own_height_m = own.number("height_m")?;
    let own_building = own.number_in("reflectance", 0.0..=1.0, REFLECTANCE)?;
    own.finish()?;
    let (blocks, reflectance) = opposite(fields, height)?;
    let looks = looks(fields, own_height_m > 0.0)?;
    fields.finish()?;

    let reflectances = Reflectances {
        ground: [ground],
        own_building: [own_building],
        blocks: vec![[reflectance]; blocks.len()],
    };
    let site = Site { window_middle_height_m: height, own_height_m, blocks };
    let is_street = fields.optional("street").is_some();
    let refused = |fault: surroundings::Fault| {
        let text = fault.to_string();
        Fault::refused(if is_street { text.replacen("block.", "street.", 1) } else { text })
    };
    let exchange = Exchange::new(&site, Fineness::Fine).map_err(refused)?;
    let luminance = |toward| [sky.luminance(toward)];
    let light = Light {
        sky: &luminance,
        edges: &surroundings::no_edges,
        sun: sky.sun,
        beam_normal: [sky.beam_normal],
    };
    let lit = exchange.lit(light, &reflectances).map_err(Fault::refused)?;
    let vertical = lit.vertical(&luminance);
    let mut met = Vec::with_capacity(looks.len());
    for toward in looks {
        let [seen] = match lit.met(toward).map_err(Fault::refused)? {
            Some(met) => met.luminance,
            None => luminance(toward),
        };
        met.push(seen);
    }
    let split = Answer::default()
        .with("total_lx", vertical.total()[0])?
        .with("sky_lx", vertical.sky[0])?
        .with("ground_lx", vertical.ground[0])?
        .with("facade_lx", vertical.facade[0])?
        .with("sun_lx", vertical.sun[0])?;
    Answer::default().with("vertical_illuminance", split)?.with("luminance_cd_m2", met)
}

/// What a table of cases says of a case beside its inputs: its name, what follows from them, and answers.
const TOLD: &[&str] = &[
    "name",
    "sun_behind_own_wall",
    "own_shadow_on_open_ground_m",
    "own_shadow_on_facade_up_to_m",
    "facade_shadow_on_own_wall_up_to_m",
    "ground_sunlit_out_to_m",
    "undarkened_ground_luminance_cd_m2",
    "seen_below",
    "facade_luminance",
    "total_if_roofs_reflect_as_ground_lx",
    "walk_check",
    "vertical_illuminance",
    "luminance_cd_m2",
    "error_total_percent",
    "error_parts_percent",
];

const REFLECTANCE: &str = "a reflectance from 0 to 1";

/// A CIE general sky, scaled, and its sun.
struct Sky {
    pattern: CieSky,
    zenith: f64,
    sun_bearing_deg: f64,
    sun: Option<RoomVector>,
    beam_normal: f64,
}

impl Sky {
    fn read(fields: &Fields<'_>) -> Result<Self, Fault> {
        let cie_type = fields.whole("cie_type", 1..=15, "a type from 1 to 15")?;
        let diffuse = fields.number_in("diffuse_horizontal_lx", 0.0..=f64::MAX, "an illuminance from 0")?;
        let beam_normal = match fields.optional("beam_normal_lx") {
            None => 0.0,
            Some(_) => fields.number_in("beam_normal_lx", 0.0..=f64::MAX, "an illuminance from 0")?,
        };
        let given = ["sun_altitude_deg", "sun_bearing_deg"].iter().any(|key| fields.optional(key).is_some());
        // Azimuthally uniform skies need no sun unless it shines.
        let needed = !matches!(cie_type, 1 | 3 | 5) || beam_normal > 0.0;
        let sun = if given || needed {
            let altitude = fields.number_in("sun_altitude_deg", 0.0..=90.0, "degrees from 0 to 90")?;
            let bearing = fields.number_in("sun_bearing_deg", DEGREES, "degrees from -360 to 360")?;
            Some([bearing, altitude])
        } else {
            None
        };
        fields.finish()?;
        let [sun_bearing_deg, altitude] = sun.unwrap_or([0.0, 90.0]);
        let pattern = CieSky::new(cie_type, altitude).map_err(Fault::refused)?;
        Ok(Self {
            zenith: diffuse / pattern.horizontal_over_zenith(),
            pattern,
            sun_bearing_deg,
            sun: sun.map(|[bearing, altitude]| RoomVector::toward_sky(bearing, altitude)),
            beam_normal,
        })
    }

    fn luminance(&self, toward: RoomVector) -> f64 {
        let (bearing, altitude) = bearing_and_altitude_deg(toward);
        self.zenith * self.pattern.relative_luminance(90.0 - altitude, bearing - self.sun_bearing_deg)
    }
}

/// What stands opposite, and its reflectance.
fn opposite(fields: &Fields<'_>, window_height: f64) -> Result<(Vec<Block>, f64), Fault> {
    let (street, block) = (fields.optional("street"), fields.optional("block"));
    if street.is_some() && block.is_some() {
        return Err(Fault::wrong(fields.path("block"), "street or block, not both", "both"));
    }
    if street.is_some() {
        let street = fields.object("street")?;
        let distance_m = street.number("distance_m")?;
        let implied = match street.optional("skyline_altitude_deg") {
            None => None,
            Some(_) => {
                let words = "degrees between -90 and 90";
                let altitude = street.number_in("skyline_altitude_deg", -89.999..=89.999, words)?;
                Some(window_height + distance_m * altitude.to_radians().tan())
            }
        };
        let height_m = measured(&street, "height_m", implied, "skyline_altitude_deg")?;
        let reflectance = street.number_in("reflectance", 0.0..=1.0, REFLECTANCE)?;
        street.finish()?;
        return Ok((vec![Block::street(distance_m, height_m)], reflectance));
    }
    if block.is_none() {
        return Ok((Vec::new(), 0.0));
    }
    let block = fields.object("block")?;
    let distance_m = block.number("distance_m")?;
    let implied = match block.optional("front_bearings_deg") {
        None => [None; 2],
        Some(_) => {
            let bearings: [f64; 2] = block.vector("front_bearings_deg")?;
            for (i, bearing) in bearings.iter().enumerate() {
                if !(-89.999..=89.999).contains(bearing) {
                    let path = format!("{}[{i}]", block.path("front_bearings_deg"));
                    return Err(Fault::wrong(path, "degrees between -90 and 90", bearing.to_string()));
                }
            }
            bearings.map(|bearing| Some(distance_m * bearing.to_radians().tan()))
        }
    };
    let x0 = measured(&block, "x0_m", implied[0], "front_bearings_deg")?;
    let x1 = measured(&block, "x1_m", implied[1], "front_bearings_deg")?;
    let (height_m, depth_m) = (block.number("height_m")?, block.number("depth_m")?);
    let reflectance = block.number_in("reflectance", 0.0..=1.0, REFLECTANCE)?;
    // The skyline follows from the measurements; files state it for reading.
    for derived in ["skyline_altitude_deg_at_bearing_0", "skyline_corners_bearing_deg_altitude_deg"] {
        block.optional(derived);
    }
    block.finish()?;
    Ok((vec![Block { distance_m, x_m: [x0, x1], height_m, depth_m }], reflectance))
}

/// A measurement, or what an angle implies; if both are given, they must agree.
fn measured(
    fields: &Fields<'_>,
    key: &'static str,
    implied: Option<f64>,
    angle: &'static str,
) -> Result<f64, Fault> {
    let Some(implied) = implied else { return fields.number(key) };
    if fields.optional(key).is_none() {
        return Ok(implied);
    }
    let found = fields.number(key)?;
    if (found - implied).abs() <= AGREEMENT * (found.abs().max(implied.abs()) + 1.0) {
        return Ok(found);
    }
    let expected = format!("about {implied:.3}, as {} implies, or one of the two", fields.path(angle));
    Err(Fault::wrong(fields.path(key), expected, found.to_string()))
}

/// Directions in which the window's middle looks, if any.
fn looks(fields: &Fields<'_>, own_building: bool) -> Result<Vec<RoomVector>, Fault> {
    let mut looks = Vec::new();
    if fields.optional("look").is_none() {
        return Ok(looks);
    }
    for (path, value) in fields.list("look", "pairs [bearing_deg, altitude_deg]")? {
        let [bearing, altitude] = vector(&path, value)?;
        let (range, words) = if own_building {
            (
                -90.0..=90.0,
                "a bearing from -90 to 90 degrees, since the own building stands behind the window",
            )
        } else {
            (DEGREES, "a bearing from -360 to 360 degrees")
        };
        if !range.contains(&bearing) {
            return Err(Fault::wrong(format!("{path}[0]"), words, bearing.to_string()));
        }
        if !(-90.0..=90.0).contains(&altitude) {
            return Err(Fault::wrong(
                format!("{path}[1]"),
                "an altitude from -90 to 90 degrees",
                altitude.to_string(),
            ));
        }
        looks.push(RoomVector::toward_sky(bearing, altitude));
    }
    Ok(looks)
}
