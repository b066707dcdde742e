//! Light directly from the window to a point.

use crate::common::{
    case_pieces, check, list, number, numbers, opening, pane_transmittance, point, reference, spectrum, u_v,
    xyz,
};
use plane::{RoomPoint, room_ring_from_wall};
use viewing::{Receiver, Source, irradiance_from_polygons, irradiance_through_pane};

// window_grid.json: uniform pieces in a black room. Contour sums are exact; seven digits printed: 1e-5 on XYZ, 1e-6 on
// u′v′ where the seventh digit allows (absolute).
#[test]
fn uniform_pieces_in_a_black_room() {
    let sky = spectrum("radiance_per_cd_m2", "planck6500");
    for case in list(&reference("window_grid.json"), "cases") {
        let pieces = case_pieces(case);
        let level = number(&case["sky_luminance"]);
        let light: Vec<[f64; 3]> = pieces
            .iter()
            .map(|(kind, _)| xyz(&(spectrum("glass_normal_transmittance", kind) * sky * level)))
            .collect();
        let polygons: Vec<_> = pieces.iter().map(|(_, p)| room_ring_from_wall(p)).collect();
        for row in list(case, "rows") {
            let at = RoomPoint::from(point(&row["point"]));
            for (plane, r) in [("horizontal", Receiver::horizontal(at)), ("vertical", Receiver::vertical(at))]
            {
                let want = &row[plane];
                let got: [f64; 3] = std::array::from_fn(|k| {
                    let sources: Vec<_> = polygons
                        .iter()
                        .zip(&light)
                        .map(|(polygon, l)| Source { polygon, radiance: l[k] })
                        .collect();
                    irradiance_from_polygons(r.point_m, r.normal, &sources)
                });
                for (k, w) in numbers(&want["XYZ_lx"]).into_iter().enumerate() {
                    assert!((got[k] - w).abs() <= 1e-5 * w + 1e-9, "{at:?} {plane} {k}: {} {w}", got[k]);
                }
                if let Some(uv) = want["u_v"].as_array() {
                    for (g, w) in u_v(got).iter().zip(uv) {
                        assert!((g - w.as_f64().unwrap()).abs() < 1e-6);
                    }
                }
                if let Some(each) = want["per_piece_lx"].as_array() {
                    for ((polygon, l), w) in polygons.iter().zip(&light).zip(each) {
                        let one = [Source { polygon, radiance: l[1] }];
                        let got = irradiance_from_polygons(r.point_m, r.normal, &one);
                        let w = w.as_f64().unwrap();
                        assert!((got - w).abs() <= 1e-5 * w + 1e-9);
                    }
                }
            }
        }
    }
}

// window_sky.json: a CIE sky and ground through one pane, Fresnel at each angle. Gauss quadrature, good to 5e-6;
// ours is of second order in the step: 0.03 % at worst with 1° cells, four times that with 2°.
#[test]
fn sky_and_ground_through_one_pane() {
    for case in list(&reference("window_sky.json"), "cases") {
        let sky = crate::common::Sky::of(case);
        let internal = case["glass"].as_f64().map(crate::common::internal_from_normal);
        for row in list(case, "rows") {
            let row = numbers(row);
            let at = RoomPoint::new(row[0], row[1], row[2]);
            let mut got = [0.0; 2];
            irradiance_through_pane(
                &[Receiver::horizontal(at), Receiver::vertical(at)],
                &opening(case),
                1.0,
                |d| sky.luminance(d) * internal.map_or(1.0, |t| pane_transmittance(-d[2], t)),
                |r, weight, l| got[r] += weight * l,
            );
            // A reading under 2 % of the brightest point is judged relative to the brightest point, as in the
            // file's own statistics.
            for (g, w) in got.iter().zip(&row[3..5]) {
                assert!((g - w).abs() <= 1e-3 * w.abs() + 1e-6, "{} {at:?}: {g} {w}", case["name"]);
            }
        }
    }
}

// The file's facade rows: vertical over horizontal illuminance of an unobstructed wall, by a window that fills
// nearly the whole view. The ring beyond it (within 0.6° of the wall) contributes less than 1e-4.
#[test]
fn an_open_facade() {
    for row in list(&reference("window_sky.json")["facade_vertical_over_horizontal"], "rows") {
        let row = numbers(row);
        if row[0] as u64 == 5 {
            check("uniform", row[3], 0.5, 1e-6);
            continue;
        }
        let case = serde_json::json!({
            "cie_type": row[0] as u64, "sun_bearing_altitude_deg": [row[1], row[2]],
            "E_dh_lx": 1.0, "ground_luminance": 0.0,
        });
        let sky = crate::common::Sky::of(&case);
        let wide = 100.0;
        let window = crate::common::rectangle([-wide, wide], [-wide, wide]);
        let mut got = 0.0;
        irradiance_through_pane(
            &[Receiver::vertical(RoomPoint::new(0.0, 0.0, 1.0))],
            &window,
            2.0,
            |d| sky.luminance(d),
            |_, weight, l| got += weight * l,
        );
        check("facade", got, row[3], 1e-3);
    }
}
