//! Saddle bars hide the sun and the view where they stand, and nowhere else.

use std::f64::consts::PI;

use crate::common::check;
use crate::scenes::{resolve, six_pieces};
use daylight::{Outside, SUN_DIAMETER_DEG};
use plane::{RoomPoint, RoomVector};
use spectra::luminous;
use viewing::{Direct, Glazing, InstantLight, Prepared, WindowWall};

const EVENING: &str = "2026-06-20T18:30";
/// Half the width of the bar of the six pieces, its height in the room and where on it the places look, m.
const HALF_BAR: f64 = 0.005;
const BAR_HEIGHT: f64 = 1.7;
const ALONG: f64 = 2.3;

struct Evening {
    resolved: scene::Resolved,
    outside: Outside,
    toward: RoomVector,
}

fn evening(with_bar: bool) -> Evening {
    let mut scene = six_pieces();
    if !with_bar {
        scene["windows"][0]["drawing"]["bars"] = serde_json::json!([]);
    }
    let resolved = resolve(&scene);
    let outside = resolved.outside(resolved.instant(EVENING).unwrap().utc).unwrap();
    let sun = outside.sun().direction();
    let toward = RoomVector::toward_sky(sun.azimuth_deg - resolved.room.facing_deg, sun.altitude_deg);
    Evening { resolved, outside, toward }
}

impl Evening {
    /// The place whose ray to the middle of the sun passes the wall `above` the axis of the bar, `distance_m` in front
    /// of the wall.
    fn place(&self, above: f64, distance_m: f64) -> Prepared {
        let on_wall = RoomPoint::new(ALONG, BAR_HEIGHT + above, 0.0);
        let eye = on_wall + self.toward * (distance_m / self.toward[2]);
        let makeups = self.resolved.windows[0].pieces.iter().map(|p| &p.makeup);
        Prepared::at(WindowWall::new(&self.resolved), self.resolved.room.surfaces, Glazing::new(makeups), eye)
    }
}

fn disc_seen(light: &InstantLight) -> f64 {
    light.pieces.iter().map(|p| p.sun_share).sum()
}

// Behind the bar, which at half a metre is twice as wide as the disc, there is no sun; beside it there is all of it.
#[test]
fn a_bar_shades_what_is_behind_it_and_nothing_else() {
    let evening = evening(true);
    for (above, share) in [(0.0, 0.0), (0.012, 1.0), (-0.012, 1.0), (0.15, 1.0)] {
        let place = evening.place(above, 0.5);
        for (method, light) in [
            ("prepared", place.light(&evening.outside)),
            ("direct", Direct::from_prepared(&place).light(&evening.outside)),
        ] {
            let seen = disc_seen(&light);
            assert!((seen - share).abs() < 1e-9, "{method}, {above} m above the bar: {seen}");
        }
    }
}

// From three metres the disc is wider than the bar. What is left of it is closed form: a circle less a strip across its
// middle, whose width is that of the bar seen at right angles to the ray and to the bar.
#[test]
fn a_thin_bar_takes_a_strip_of_the_disc() {
    let evening = evening(true);
    let place = evening.place(0.0, 3.0);
    let light = place.light(&evening.outside);
    let distance = 3.0 / -evening.toward[2];
    // The bar runs along x: the plane through eye and axis contains it, so only y and z count across.
    let (y, z) = (evening.toward[1], evening.toward[2]);
    let half = HALF_BAR * -z / y.hypot(z) / distance / (0.5 * SUN_DIAMETER_DEG).to_radians().tan();
    let strip = 2.0 / PI * (half * (1.0 - half * half).sqrt() + half.asin());
    check("share", disc_seen(&light), 1.0 - strip, 1e-3);
}

// What the sky loses is the form factor of the strip; the sun that falls into the room loses the bar's shadow. A bar of
// 10 mm across pieces of 600 mm takes at most a sixtieth, and less where other pieces add their light.
#[test]
fn a_bar_takes_its_own_share_of_the_light_in_the_room() {
    let [with, without] = [true, false].map(evening);
    let [lit, bare] = [&with, &without].map(|e| {
        let prepared = Prepared::new(&e.resolved, None).unwrap();
        let light = prepared.light(&e.outside);
        let direct = Direct::from_prepared(&prepared).light(&e.outside);
        crate::prepared::compare("bar, vertical", &light.vertical, &direct.vertical);
        crate::prepared::compare("bar, horizontal", &light.horizontal, &direct.horizontal);
        light
    });
    for (with, without) in [
        (lit.vertical.sky_ground, bare.vertical.sky_ground),
        (lit.vertical.room, bare.vertical.room),
        (lit.horizontal.room, bare.horizontal.room),
    ] {
        let lost = 1.0 - luminous(&with) / luminous(&without);
        assert!((0.002..0.0167).contains(&lost), "{lost}");
    }
}
