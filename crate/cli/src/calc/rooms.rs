//! Rooms: light from panes at points, sun patches, polygons as sources.
//!
//! Room frame: metres; x right as seen from inside facing the window wall, y up, z into the room, origin at the lower-
//! left inside corner of the window wall. Bearings clockwise from above, from the outward normal of the glass. Walls
//! have no thickness, panes meet without lead, and from inside the panes are black: they reflect none of the room's
//! light.

use std::f64::consts::PI;

use daylight::CieSky;
use glass::stack_scalar;
use plane::{RoomPoint, RoomVector, WallPoint};
use spectra::{SAMPLES, Spectrum};
use viewing::{
    BoxRoom, PieceSource, Receiver, bearing_and_altitude_deg, form_factor_to_polygon, room_light, sun_patches,
};

use super::answer::Answer;
use super::fields::{Amount, Fault, Fields, amount, list, vector};

/// Twice as fine as a prepared place: scripts need accurate figures for comparison more than speed.
const FINENESS: usize = 2;
/// Rounding allowed for points that must lie within the room, m.
const SLACK_M: f64 = 1e-9;

/// `room`: irradiance at points, directly from the pieces and reflected by the room's surfaces.
pub(super) fn room(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let room = size(fields)?;
    let own = fields.object("surfaces")?;
    let mut surfaces = Vec::with_capacity(6);
    for name in ["window_wall", "back_wall", "left_wall", "right_wall", "floor", "ceiling"] {
        surfaces.push(own.amount_in(name, 0.0..=1.0, "a reflectance from 0 to 1")?);
    }
    own.finish()?;
    let mut plain = surfaces.iter().all(Amount::is_number);
    let mut pieces = Vec::new();
    for (path, value) in fields.list("pieces", PIECES)? {
        pieces.push(Piece::read(&Fields::of(&path, value)?, &room)?);
    }
    no_overlap(fields, pieces.iter().map(|p| &p.rectangle))?;
    plain &= pieces.iter().all(|p| p.light.is_plain());
    let asked_for_sky = pieces.iter().any(|p| matches!(p.light, PieceLight::Regular { .. }));
    let sky = if asked_for_sky || fields.optional("sky").is_some() {
        let sky = SkyAndGround::read(&fields.object("sky")?)?;
        plain &= sky.plain;
        Some(sky)
    } else {
        None
    };
    let mut receivers = Vec::new();
    for (path, value) in fields.list("points", "points {at, normal}")? {
        receivers.push(receiver(&Fields::of(&path, value)?, &room)?);
    }
    fields.finish()?;

    let lanes = if plain { 1 } else { SAMPLES };
    let reflectances: Vec<Spectrum> = surfaces.iter().map(Amount::spectrum).collect();
    let reflectances = std::array::from_fn(|i| reflectances[i]);
    let pieces: Vec<_> = pieces.iter().map(|p| (p.rectangle.clone(), p.light.source(lanes))).collect();
    let beyond = |d| sky.as_ref().map_or(Spectrum::ZERO, |sky| sky.radiance(d));
    let readings = room_light(room, &reflectances, &pieces, beyond, &receivers, FINENESS);
    let (direct, indirect): (Vec<_>, Vec<_>) = readings.iter().map(|r| (r.direct, r.indirect)).unzip();
    let like_inputs =
        |all: &[Spectrum]| all.iter().map(|s| Amount::like_inputs(s, plain)).collect::<Vec<Amount>>();
    Answer::default().with("direct", like_inputs(&direct))?.with("indirect", like_inputs(&indirect))
}

/// `sun_patch`: where the sun through each piece falls.
pub(super) fn sun_patch(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let room = size(fields)?;
    let mut rectangles = Vec::new();
    for (path, value) in fields.list("pieces", "pieces {rect_m}")? {
        let piece = Fields::of(&path, value)?;
        rectangles.push(rectangle(&piece, &room)?);
        piece.finish()?;
    }
    let altitude = fields.number_in("sun_altitude_deg", -90.0..=90.0, "degrees from −90 to 90")?;
    let bearing = fields.number("sun_bearing_deg")?;
    fields.finish()?;
    let mut patches = Vec::new();
    for (piece, rectangle) in rectangles.iter().enumerate() {
        for patch in sun_patches(&room, rectangle, RoomVector::toward_sky(bearing, altitude)) {
            patches.push(
                Answer::default()
                    .with("piece", piece)?
                    .with("surface", patch.surface.name())?
                    .with("polygon", RoomPoint::arrays(&patch.polygon).to_vec())?
                    .with("area_m2", patch.area_m2)?,
            );
        }
    }
    Answer::default().with("patches", patches)
}

/// `pieces_to_point`: irradiance from uniform polygons anywhere in space. `radiance`: one for each polygon, or one for
/// all.
pub(super) fn pieces_to_point(fields: &Fields<'_>) -> Result<Answer, Fault> {
    const POLYGONS: &str = "polygons of at least three points [x, y, z]";
    let mut polygons = Vec::new();
    for (path, value) in fields.list("polygons", POLYGONS)? {
        let mut polygon: Vec<[f64; 3]> = Vec::new();
        for (path, point) in list(&path, value, "a list of points [x, y, z]")? {
            polygon.push(vector(&path, point)?);
        }
        if polygon.len() < 3 {
            return Err(Fault::wrong(
                path,
                "at least three points [x, y, z]",
                format!("{} points", polygon.len()),
            ));
        }
        polygons.push(polygon);
    }
    let path = fields.path("radiance");
    let radiances = match fields.optional("radiance") {
        Some(value) if value.is_number() => vec![amount(&path, value)?; polygons.len()],
        _ => {
            let entries = fields.list("radiance", "one radiance for each polygon")?;
            if entries.len() != polygons.len() {
                let expected = format!("{} radiances, one for each polygon", polygons.len());
                return Err(Fault::wrong(path, expected, format!("a list of {}", entries.len())));
            }
            entries.iter().map(|(path, value)| amount(path, value)).collect::<Result<_, _>>()?
        }
    };
    let point = RoomPoint::from(fields.vector("point")?);
    let normal = unit(&fields.path("normal"), fields.vector("normal")?)?;
    fields.finish()?;
    let mut sum = Spectrum::ZERO;
    for (polygon, radiance) in polygons.iter().zip(&radiances) {
        sum.add_scaled(
            PI * form_factor_to_polygon(point, normal, RoomPoint::slice(polygon)),
            &radiance.spectrum(),
        );
    }
    Answer::default().with("irradiance", Amount::like_inputs(&sum, radiances.iter().all(Amount::is_number)))
}

const PIECES: &str = "pieces {rect_m, radiance} or {rect_m, tau_internal, n}";

/// A rectangle of the window.
struct Piece {
    rectangle: Vec<WallPoint>,
    light: PieceLight,
}

#[expect(clippy::large_enum_variant, reason = "a few of them, read once")]
enum PieceLight {
    /// It glows evenly in all directions.
    Lambertian(Amount),
    /// It is clear: the sky and ground show through it.
    Regular { tau_internal: Amount, n: Amount },
}

impl PieceLight {
    fn is_plain(&self) -> bool {
        match self {
            Self::Lambertian(radiance) => radiance.is_number(),
            Self::Regular { tau_internal, n } => tau_internal.is_number() && n.is_number(),
        }
    }

    /// As an element of the room; a pane's first `lanes` samples are computed.
    fn source(&self, lanes: usize) -> PieceSource<'_> {
        match self {
            Self::Lambertian(radiance) => PieceSource::Even(Box::new(radiance.spectrum())),
            Self::Regular { tau_internal, n } => {
                PieceSource::Pane(Box::new(move |angle_deg| pane(n, tau_internal, angle_deg, lanes)))
            }
        }
    }
}

impl Piece {
    fn read(fields: &Fields<'_>, room: &BoxRoom) -> Result<Self, Fault> {
        let rectangle = rectangle(fields, room)?;
        let light = if fields.optional("tau_internal").is_some() {
            PieceLight::Regular {
                tau_internal: fields.amount_in(
                    "tau_internal",
                    0.0..=1.0,
                    "an internal transmittance from 0 to 1",
                )?,
                n: fields.amount_in("n", 1.0..=100.0, "a refractive index of at least 1")?,
            }
        } else {
            PieceLight::Lambertian(fields.amount("radiance")?)
        };
        if fields.optional("tau_internal").is_some() && fields.optional("radiance").is_some() {
            return Err(Fault::wrong(fields.path("radiance"), "radiance or tau_internal, not both", "both"));
        }
        fields.finish()?;
        Ok(Self { rectangle, light })
    }
}

/// The sky and ground behind clear panes.
struct SkyAndGround {
    pattern: CieSky,
    sun_bearing_deg: f64,
    zenith: Spectrum,
    ground: Spectrum,
    plain: bool,
}

impl SkyAndGround {
    fn read(fields: &Fields<'_>) -> Result<Self, Fault> {
        let cie_type = fields.whole("cie_type", 1..=15, "a type from 1 to 15")?;
        // For the azimuthally uniform types, the sun does not matter.
        let uniform = matches!(cie_type, 1 | 3 | 5);
        let (altitude, bearing) = (fields.optional("sun_altitude_deg"), fields.optional("sun_bearing_deg"));
        let altitude = if uniform && altitude.is_none() {
            90.0
        } else {
            fields.number_in("sun_altitude_deg", 0.0..=90.0, "degrees from 0 to 90")?
        };
        let sun_bearing_deg =
            if uniform && bearing.is_none() { 0.0 } else { fields.number("sun_bearing_deg")? };
        let diffuse = fields.amount_in("diffuse_horizontal", 0.0..=f64::MAX, "irradiances from 0")?;
        let ground = fields.amount_in("ground_radiance", 0.0..=f64::MAX, "radiances from 0")?;
        fields.finish()?;
        let pattern = CieSky::new(cie_type, altitude).map_err(Fault::refused)?;
        Ok(Self {
            zenith: diffuse.spectrum() * (1.0 / pattern.horizontal_over_zenith()),
            pattern,
            sun_bearing_deg,
            ground: ground.spectrum(),
            plain: diffuse.is_number() && ground.is_number(),
        })
    }

    fn radiance(&self, direction: RoomVector) -> Spectrum {
        let (bearing, altitude) = bearing_and_altitude_deg(direction);
        if altitude < 0.0 {
            self.ground
        } else {
            self.zenith * self.pattern.relative_luminance(90.0 - altitude, bearing - self.sun_bearing_deg)
        }
    }
}

/// Transmittance of one pane, for the two polarisations separately.
fn pane(n: &Amount, tau_internal: &Amount, angle_deg: f64, lanes: usize) -> Spectrum {
    let (n, tau) = (n.spectrum(), tau_internal.spectrum());
    let mut out = Spectrum::ZERO;
    for sample in 0..lanes {
        // Index and transmittance have been checked; at 90° nothing passes.
        out[sample] = stack_scalar(&[(n[sample], tau[sample])], angle_deg).map_or(0.0, |o| o.transmittance);
    }
    out
}

fn size(fields: &Fields<'_>) -> Result<BoxRoom, Fault> {
    let size_m: [f64; 3] = fields.vector("size_m")?;
    for (i, side) in size_m.iter().enumerate() {
        if !(0.01..=10_000.0).contains(side) {
            let path = format!("{}[{i}]", fields.path("size_m"));
            return Err(Fault::wrong(path, "metres from 0.01 to 10000", side.to_string()));
        }
    }
    Ok(BoxRoom { size_m })
}

/// `rect_m`, [x0, x1, y0, y1] on the window wall, as a polygon.
fn rectangle(fields: &Fields<'_>, room: &BoxRoom) -> Result<Vec<WallPoint>, Fault> {
    let [x0, x1, y0, y1] = fields.vector("rect_m")?;
    let [width, height, _] = room.size_m;
    let within = |a: f64, b: f64, most: f64| a >= -SLACK_M && a < b && b <= most + SLACK_M;
    if within(x0, x1, width) && within(y0, y1, height) {
        return Ok([[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(WallPoint::from).to_vec());
    }
    let expected =
        format!("[x0, x1, y0, y1] with x0 < x1 and y0 < y1 on the window wall of {width} × {height} m");
    Err(Fault::wrong(fields.path("rect_m"), expected, format!("[{x0}, {x1}, {y0}, {y1}]")))
}

fn no_overlap<'a>(
    fields: &Fields<'_>,
    rectangles: impl Iterator<Item = &'a Vec<WallPoint>>,
) -> Result<(), Fault> {
    let all: Vec<_> = rectangles.collect();
    for (i, a) in all.iter().enumerate() {
        for (j, b) in all[..i].iter().enumerate() {
            let shared = (0..2).all(|k| a[0][k].max(b[0][k]) + SLACK_M < a[2][k].min(b[2][k]));
            if shared {
                let path = format!("{}[{i}].rect_m", fields.path("pieces"));
                return Err(Fault::wrong(
                    path,
                    "a rectangle that overlaps no other",
                    format!("one that overlaps pieces[{j}]"),
                ));
            }
        }
    }
    Ok(())
}

fn receiver(fields: &Fields<'_>, room: &BoxRoom) -> Result<Receiver, Fault> {
    let mut point_m: [f64; 3] = fields.vector("at")?;
    if !point_m.iter().zip(&room.size_m).all(|(v, most)| (-SLACK_M..=most + SLACK_M).contains(v)) {
        let expected = format!("a point in the room of {:?} m", room.size_m);
        return Err(Fault::wrong(fields.path("at"), expected, format!("{point_m:?}")));
    }
    for (v, &most) in point_m.iter_mut().zip(&room.size_m) {
        *v = v.clamp(0.0, most);
    }
    let normal = unit(&fields.path("normal"), fields.vector("normal")?)?;
    fields.finish()?;
    Ok(Receiver { point_m: point_m.into(), normal })
}

fn unit(path: &str, vector: [f64; 3]) -> Result<RoomVector, Fault> {
    let largest = vector.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
    if largest <= 0.0 {
        return Err(Fault::wrong(path, "a direction that is not zero", format!("{vector:?}")));
    }
    let scaled = vector.map(|v| v / largest);
    let length = scaled.iter().map(|v| v * v).sum::<f64>().sqrt();
    Ok(RoomVector::from(scaled.map(|v| v / length)))
}
