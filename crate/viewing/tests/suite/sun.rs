//! The sun compared with tests/reference/room/sun_patch.json.

use crate::common::{
    check, list, number, numbers, pane, pieces, point, receiver, reference, reflectances, spectrum, u_v, xyz,
};
use plane::{RoomPoint, RoomVector, room_ring_from_wall, signed_area};
use spectra::Spectrum;
use viewing::{
    BoxRoom, RoomMesh, RoomResponse, form_factor_to_polygon, penumbra, piece_samples, share_of_disc,
    sun_patches,
};

fn beam(case: &serde_json::Value) -> Spectrum {
    spectrum("radiance_per_cd_m2", "planck5400") * number(&case["beam_normal_lx"])
}

fn sun(case: &serde_json::Value) -> RoomVector {
    let s = numbers(&case["sun_bearing_altitude_deg"]);
    RoomVector::toward_sky(s[0], s[1])
}

// Vertices 1e-6 m (seven digits printed); patch XYZ 1e-5.
#[test]
fn patches_land_where_they_should() {
    for case in list(&reference("sun_patch.json"), "cases") {
        let room = BoxRoom { size_m: point(&case["size_WHD"]) };
        let s = sun(case);
        for ((kind, polygon), want) in pieces(case, 2, 2, [2, 1, 0]).iter().zip(list(case, "panes")) {
            assert_eq!(want["glass"], **kind);
            let through = pane(&spectrum("glass_normal_transmittance", kind)).regular(-s[2]) * beam(case);
            let got = sun_patches(&room, polygon, s);
            assert_eq!(got.len(), list(want, "patches").len());
            for w in list(want, "patches") {
                let g = got.iter().find(|g| w["surface"] == g.surface.name()).unwrap();
                check("area", g.area_m2, number(&w["area_m2"]), 1e-6);
                let vertices: Vec<_> = list(w, "vertices").iter().map(point).collect();
                assert_eq!(g.polygon.len(), vertices.len());
                for v in &vertices {
                    let near = g.polygon.iter().any(|q| (0..3).all(|k| (q[k] - v[k]).abs() < 1e-6));
                    assert!(near, "{v:?} in {:?}", g.polygon);
                }
                let got = xyz(&(through * g.cos_incidence));
                for (g, w) in got.iter().zip(numbers(&w["XYZ_lx"])) {
                    check("XYZ", *g, w, 1e-5);
                }
            }
            for (g, w) in u_v(xyz(&through)).iter().zip(numbers(&want["u_v"])) {
                assert!((g - w).abs() < 2e-6);
            }
            // No light is lost on the way: the flux of the patches equals that of the beam through the pane.
            let flux: f64 = got.iter().map(|g| g.area_m2 * g.cos_incidence).sum();
            check("flux", flux, signed_area(polygon).abs() * -s[2], 1e-9);
        }
    }
}

// Width 0.1 %. Profile 0.005 between a straight edge's share and that of the true opening, which also sees the
// other edges.
#[test]
fn shadow_edges_are_soft() {
    for case in list(&reference("sun_patch.json"), "cases") {
        let s = sun(case);
        for ((_, polygon), want) in pieces(case, 2, 2, [2, 1, 0]).iter().zip(list(case, "panes")) {
            let corners = room_ring_from_wall(polygon);
            let middle: [f64; 3] = std::array::from_fn(|k| corners.iter().map(|c| c[k]).sum::<f64>() / 4.0);
            let middle = RoomPoint::from(middle);
            for edge in list(want, "penumbra_floor") {
                let i = ["bottom", "right", "top", "left"].iter().position(|n| edge["edge"] == *n).unwrap();
                let centre = RoomPoint::from(point(&edge["centre"]));
                let into_light = RoomVector::from(point(&edge["into_light"]));
                let got =
                    penumbra(centre, into_light, [corners[i], corners[(i + 1) % 4]], middle, s).unwrap();
                check("width", got.width_m(), number(&edge["width_m"]), 1e-3);
                check("first light", got.first_light_m, number(&edge["first_light_m"]), 1e-3);
                check("full light", got.full_light_m, number(&edge["full_light_m"]), 1e-3);
                for (u, w) in numbers(&edge["profile_u_m"]).iter().zip(numbers(&edge["profile_share"])) {
                    let share = share_of_disc(centre + into_light * *u, s, &corners);
                    assert!((share - w).abs() < 0.005, "{share} {w}");
                }
            }
        }
    }
}

// First bounce 0.1 % (exact contour sums); all bounces 1.5 %, as the file requires (0.8 % at worst on this mesh).
// In the file the panes reflect nothing.
#[test]
fn the_patch_lights_the_room() {
    for case in list(&reference("sun_patch.json"), "cases") {
        let room = BoxRoom { size_m: point(&case["size_WHD"]) };
        let s = sun(case);
        let surfaces = reflectances(case, |name| spectrum("reflectance", name));
        let rows = list(case, "bounces");
        let receivers: Vec<_> =
            rows.iter().map(|r| receiver(point(&r["point"]), r["plane"].as_str().unwrap())).collect();
        let mesh = RoomMesh::new(room, &[crate::common::opening(case)], RoomMesh::COARSE_PATCHES);
        let response = RoomResponse::new(mesh, &surfaces, &receivers);
        let mut first = vec![Spectrum::ZERO; receivers.len()];
        let mut later = vec![Spectrum::ZERO; receivers.len() + 1];
        let mut direct = vec![Spectrum::ZERO; receivers.len()];
        for (kind, polygon) in pieces(case, 2, 2, [2, 1, 0]) {
            let through = pane(&spectrum("glass_normal_transmittance", &kind)).regular(-s[2]) * beam(case);
            for patch in sun_patches(&room, &polygon, s) {
                let shone = through * surfaces[patch.surface.index()] * patch.cos_incidence;
                for (sum, r) in first.iter_mut().zip(&receivers) {
                    if !room.lies_in(patch.surface, r.point_m) {
                        sum.add_scaled(form_factor_to_polygon(r.point_m, r.normal, &patch.polygon), &shone);
                    }
                }
            }
            let mut landed = vec![Spectrum::ZERO; receivers.len() + 1];
            response.add_beam(&piece_samples(&polygon, 0.05), s, &mut landed);
            for (sum, h) in later.iter_mut().zip(landed) {
                *sum += h * through * -s[2];
            }
            for (sum, r) in direct.iter_mut().zip(&receivers) {
                let cosine = r.normal.dot(s).max(0.0);
                let share = share_of_disc(r.point_m, s, &room_ring_from_wall(&polygon));
                sum.add_scaled(cosine * share, &through);
            }
        }
        for (i, row) in rows.iter().enumerate() {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            let all = xyz(&(first[i] + later[i]));
            for k in 0..3 {
                let w = number(&row["first_exact_XYZ"][k]);
                assert!((xyz(&first[i])[k] - w).abs() <= 1e-3 * w + 1e-9, "first, {what}");
                check(&format!("all, {what}"), all[k], number(&row["all_radiosity_XYZ"][k]), 0.015);
                let w = number(&row["direct_sun_XYZ"][k]);
                assert!((xyz(&direct[i])[k] - w).abs() <= 1e-5 * w + 1e-9, "direct, {what}");
            }
        }
    }
}

// A point halfway across a shadow edge of a single pane gets about half the disc; one deep inside gets all of it,
// one outside none.
#[test]
fn a_point_in_the_beam_edge_gets_part_of_the_disc() {
    let opening = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [0.0, 1.0, 0.0]];
    let s = RoomVector::toward_sky(0.0, 30.0);
    // The ray through (0, 0.5) of the window.
    let half = RoomPoint::new(0.0, 0.5, 0.0) + s * -4.0;
    let share = |dx: f64| share_of_disc(half + RoomVector::new(dx, 0.0, 0.0), s, RoomPoint::slice(&opening));
    assert!((share(0.0) - 0.5).abs() < 1e-9);
    assert!((share(0.05) - 1.0).abs() < 1e-12);
    assert!(share(-0.05).abs() < 1e-12);
    assert!((share(0.01) + share(-0.01) - 1.0).abs() < 1e-9);
}
