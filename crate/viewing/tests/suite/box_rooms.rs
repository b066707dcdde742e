//! Rooms with every reflection compared with tests/reference/room/box_room.json: 1 % on totals (about 0.4 % at
//! worst on this mesh), 0.001 in u′v′. In the file the panes reflect nothing.

use crate::common::{
    case_pieces, internal_from_normal, list, number, numbers, pane_transmittance, point, receiver, reference,
    reflectances, spectrum, u_v, xyz,
};
use plane::RoomVector;
use spectra::Spectrum;
use viewing::{BoxRoom, PieceSource, Receiver, RoomReading, room_light};

fn readings(
    case: &serde_json::Value,
    reflectance: impl FnMut(&str) -> Spectrum,
    source: impl Fn(&str) -> PieceSource<'static>,
    outside: impl Fn(RoomVector) -> Spectrum,
) -> Vec<RoomReading> {
    let receivers: Vec<Receiver> = list(case, "rows")
        .iter()
        .map(|r| receiver(point(&r["point"]), r["plane"].as_str().unwrap()))
        .collect();
    let pieces: Vec<_> =
        case_pieces(case).into_iter().map(|(kind, polygon)| (polygon, source(&kind))).collect();
    let room = BoxRoom { size_m: point(&case["size_WHD"]) };
    room_light(room, &reflectances(case, reflectance), &pieces, outside, &receivers, 1)
}

#[test]
fn lambertian_panes() {
    let sky = spectrum("radiance_per_cd_m2", "planck6500");
    for case in list(&reference("box_room.json"), "lambertian_panes") {
        let level = number(&case["sky_luminance"]);
        let got = readings(
            case,
            |name| spectrum("reflectance", name),
            |kind| PieceSource::Even(Box::new(spectrum("glass_normal_transmittance", kind) * sky * level)),
            |_| Spectrum::ZERO,
        );
        for (reading, row) in got.iter().zip(list(case, "rows")) {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            let (d, i) = (xyz(&reading.direct), xyz(&reading.indirect));
            let total: [f64; 3] = std::array::from_fn(|k| d[k] + i[k]);
            for k in 0..3 {
                let direct = number(&row["radiosity_direct_XYZ"][k]);
                // Six digits printed.
                assert!((d[k] - direct).abs() <= 1e-5 * direct, "direct, {what}");
                for want in
                    [direct + number(&row["radiosity_indirect_XYZ"][k]), number(&row["mitsuba_XYZ"][k])]
                {
                    assert!((total[k] / want - 1.0).abs() < 0.01, "{what}: {} {want}", total[k]);
                }
            }
            for (g, w) in u_v(total).iter().zip(numbers(&row["radiosity_u_v"])) {
                assert!((g - w).abs() < 0.001, "{what}");
            }
        }
    }
}

// Three independent bands, stored in the first three samples of a spectrum.
#[test]
fn clear_panes_under_a_sky() {
    let file = reference("box_room.json");
    let bands = |v: &serde_json::Value| {
        let mut s = Spectrum::ZERO;
        for (to, from) in s.samples_mut().iter_mut().zip(numbers(v)) {
            *to = from;
        }
        s
    };
    for case in list(&file, "clear_panes_under_sky") {
        let sky = crate::common::Sky::of(case);
        let got = readings(
            case,
            |name| bands(&file["reflectance_b"][name]),
            |kind| {
                let internal = bands(&file["glass_normal_transmittance_b"][kind]).map(internal_from_normal);
                PieceSource::Pane(Box::new(move |angle_deg: f64| {
                    internal.map(|t| pane_transmittance(angle_deg.to_radians().cos(), t))
                }))
            },
            |d| Spectrum::splat(sky.luminance(d)),
        );
        for (reading, row) in got.iter().zip(list(case, "rows")) {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            for k in 0..3 {
                let (d, i) = (number(&row["radiosity_direct"][k]), number(&row["radiosity_indirect"][k]));
                assert!(
                    (reading.direct[k] / d - 1.0).abs() < 1e-3,
                    "direct, {what}: {} {d}",
                    reading.direct[k]
                );
                let off = (reading.direct[k] + reading.indirect[k]) / (d + i) - 1.0;
                assert!(off.abs() < 0.01, "{what}: {off}");
            }
        }
    }
}
