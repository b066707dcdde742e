//! Rooms with every reflection against tests/reference/room/box_room.json: 1 % on totals (0.5 % at worst on this mesh),
//! 0.001 in u′v′; the panes return nothing in the file.

mod common;

use common::{
    case_pieces, list, number, numbers, opening, pane, point, receiver, reference, reflectances, spectrum,
    u_v, xyz,
};
use spectra::Spectrum;
use viewing::{
    BoxRoom, RoomMesh, RoomResponse, form_factor_to_polygon, in_room, irradiance_through_pane, outside_cells,
    piece_samples,
};

struct Room {
    receivers: Vec<viewing::Receiver>,
    response: RoomResponse,
    pieces: Vec<(String, Vec<viewing::P2>)>,
}

fn room(case: &serde_json::Value, reflectance: impl FnMut(&str) -> Spectrum) -> Room {
    let receivers: Vec<_> = list(case, "rows")
        .iter()
        .map(|r| receiver(point(&r["point"]), r["plane"].as_str().unwrap()))
        .collect();
    let room = BoxRoom { size_m: point(&case["size_WHD"]) };
    let mesh = RoomMesh::new(room, &[opening(case)], RoomMesh::COARSE_PATCHES);
    let response = RoomResponse::new(mesh, &reflectances(case, reflectance), &receivers);
    Room { receivers, response, pieces: case_pieces(case) }
}

#[test]
fn lambertian_panes() {
    let sky = spectrum("radiance_per_cd_m2", "planck6500");
    for case in list(&reference("box_room.json"), "lambertian_panes") {
        let Room { receivers, response, pieces } = room(case, |name| spectrum("reflectance", name));
        let n = receivers.len();
        let (mut direct, mut indirect) = (vec![Spectrum::ZERO; n], vec![Spectrum::ZERO; n]);
        for (kind, polygon) in &pieces {
            let radiance =
                spectrum("glass_normal_transmittance", kind) * sky * number(&case["sky_luminance"]);
            let samples = piece_samples(polygon, 0.1);
            let mut landed = vec![Spectrum::ZERO; n + 1];
            for cell in outside_cells(1) {
                let mut here = vec![Spectrum::ZERO; n + 1];
                response.add_landed_cell(&samples, 0, &cell, &mut here);
                for (sum, h) in landed.iter_mut().zip(here) {
                    sum.add_scaled(cell.projected_sr, &h);
                }
            }
            for (r, receiver) in receivers.iter().enumerate() {
                let f = form_factor_to_polygon(receiver.point_m, receiver.normal, &in_room(polygon));
                direct[r].add_scaled(std::f64::consts::PI * f, &radiance);
                indirect[r] += landed[r] * radiance;
            }
        }
        for (r, row) in list(case, "rows").iter().enumerate() {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            let (d, i) = (xyz(&direct[r]), xyz(&indirect[r]));
            let total: [f64; 3] = std::array::from_fn(|k| d[k] + i[k]);
            let want: Vec<f64> = (0..3)
                .map(|k| number(&row["radiosity_direct_XYZ"][k]) + number(&row["radiosity_indirect_XYZ"][k]))
                .collect();
            for k in 0..3 {
                assert!((total[k] / want[k] - 1.0).abs() < 0.01, "{what}: {} {}", total[k], want[k]);
                let mitsuba = number(&row["mitsuba_XYZ"][k]);
                assert!((total[k] / mitsuba - 1.0).abs() < 0.01, "{what}: {} {mitsuba}", total[k]);
            }
            for (g, w) in u_v(total).iter().zip(numbers(&row["radiosity_u_v"])) {
                assert!((g - w).abs() < 0.001, "{what}");
            }
        }
    }
}

// Three independent bands, carried in the first three samples of a spectrum.
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
        let Room { receivers, response, pieces } = room(case, |name| bands(&file["reflectance_b"][name]));
        let sky = common::Sky::of(case);
        let n = receivers.len();
        let (mut direct, mut indirect) = (vec![Spectrum::ZERO; n], vec![Spectrum::ZERO; n]);
        for (kind, polygon) in &pieces {
            let optics = pane(&bands(&file["glass_normal_transmittance_b"][kind]));
            let samples = piece_samples(polygon, 0.1);
            for cell in outside_cells(1) {
                let mut landed = vec![Spectrum::ZERO; n + 1];
                response.add_landed_cell(&samples, 0, &cell, &mut landed);
                let light =
                    optics.regular(-cell.direction[2]) * (sky.luminance(cell.direction) * cell.projected_sr);
                for (sum, h) in indirect.iter_mut().zip(landed) {
                    *sum += h * light;
                }
            }
            for (r, receiver) in receivers.iter().enumerate() {
                irradiance_through_pane(
                    &[*receiver],
                    polygon,
                    1.5,
                    |d| optics.regular(-d[2]) * sky.luminance(d),
                    |_, weight, light| direct[r].add_scaled(weight, light),
                );
            }
        }
        for (r, row) in list(case, "rows").iter().enumerate() {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            for k in 0..3 {
                let (d, i) = (number(&row["radiosity_direct"][k]), number(&row["radiosity_indirect"][k]));
                assert!((direct[r][k] / d - 1.0).abs() < 2e-3, "direct, {what}: {} {d}", direct[r][k]);
                let off = (direct[r][k] + indirect[r][k]) / (d + i) - 1.0;
                assert!(off.abs() < 0.01, "{what}: {off}");
            }
        }
    }
}
