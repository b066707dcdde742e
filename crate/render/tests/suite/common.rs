//! A small invented window in invented light, and the demo scenes, for the tests of pictures.
#![allow(dead_code, unreachable_pub, reason = "every test program uses its own part of this")]

use plane::{PanelPoint, PanelSpacePoint, PanelSpaceVector, PanelVector, SheetPoint};
use render::{
    Came, DirectionField, Eye, Factors, Fade, Joint, Light, Overlay, PieceModel, PieceOptics, Seen,
    SeenEdges, SheetModel, Strip, SurfaceModel, Transmittance, WindowModel,
};
use spectra::Spectrum;

const COLUMNS: usize = 4;
const ROWS: usize = 6;
const WIDTH: f64 = 400.0;
const HEIGHT: f64 = 600.0;
const LEAD: f64 = 6.0;
/// Make-ups from this number on are painted nearly black.
const PAINTED: usize = 700;

/// A point of the curved grid that the small window's lines follow; `u` and `v` run over columns and rows.
fn grid(u: f64, v: f64) -> PanelPoint {
    let (x, y) = (u / COLUMNS as f64, v / ROWS as f64);
    let edge = |t: f64| (t * std::f64::consts::PI).sin();
    PanelPoint::new(
        WIDTH * x + 22.0 * edge(x) * (y * 5.0).sin(),
        HEIGHT * y + 26.0 * edge(y) * (x * 4.0 + 0.6).sin(),
    )
}

/// 24 pieces in curved rows, one of them a roundel in its surround; bars; a rectangular opening.
pub fn small_window() -> WindowModel {
    let mut pieces = Vec::new();
    let inset = LEAD / 2.0 / (WIDTH / COLUMNS as f64);
    for row in 0..ROWS {
        for column in 0..COLUMNS {
            let (u0, u1) = (column as f64 + inset, (column + 1) as f64 - inset);
            let (v0, v1) = (row as f64 + inset, (row + 1) as f64 - inset);
            let steps = 8;
            let along = |a: [f64; 2], b: [f64; 2]| {
                (0..steps).map(move |k| {
                    let t = f64::from(k) / f64::from(steps);
                    grid(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                })
            };
            let corners = [[u0, v0], [u1, v0], [u1, v1], [u0, v1]];
            let outline = (0..4).flat_map(|k| along(corners[k], corners[(k + 1) % 4])).collect();
            let mut light_shape = vec![outline];
            let number = pieces.len();
            if (row, column) == (3, 1) {
                light_shape.push(circle(grid(1.5, 3.5), 27.0 + LEAD / 2.0));
                pieces.push(piece(number, vec![circle(grid(1.5, 3.5), 27.0 - LEAD / 2.0)]));
            }
            pieces.push(piece(pieces.len(), light_shape));
        }
    }
    let line = |from: [f64; 2], to: [f64; 2]| Strip {
        line: (0..=40)
            .map(|k| f64::from(k) / 40.0)
            .map(|t| grid(from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t))
            .collect(),
        closed: false,
        width_mm: LEAD,
    };
    let mut leads: Vec<Strip> =
        (0..=COLUMNS).map(|c| line([c as f64, 0.0], [c as f64, ROWS as f64])).collect();
    leads.extend((0..=ROWS).map(|r| line([0.0, r as f64], [COLUMNS as f64, r as f64])));
    leads.push(Strip { line: circle(grid(1.5, 3.5), 27.0), closed: true, width_mm: LEAD });
    let stroke = |piece: usize, from: [f64; 2], by: [f64; 2]| {
        let to = [from[0] + by[0], from[1] + by[1]];
        Overlay {
            piece,
            makeup: PAINTED + piece % 7,
            lines: panel::brush_lines(
                &format!("M{} {}Q{} {} {} {}", from[0], from[1], from[0], to[1], to[0], to[1]),
                3.0,
            )
            .unwrap(),
            softness_mm: 0.35,
            ragged_mm: 0.22,
            share: 0.05,
        }
    };
    let overlays = vec![
        stroke(5, [120.0, 120.0], [60.0, 50.0]),
        stroke(6, [222.0, 130.0], [50.0, 40.0]),
        stroke(9, [122.0, 230.0], [45.0, 40.0]),
        Overlay { softness_mm: 2.5, ragged_mm: 0.0, ..stroke(10, [230.0, 230.0], [40.0, 40.0]) },
    ];
    WindowModel {
        overlays,
        opening: vec![
            [[0.0, 0.0], [WIDTH, 0.0], [WIDTH, HEIGHT], [0.0, HEIGHT]].map(PanelPoint::from).to_vec(),
        ],
        pieces,
        leads,
        joints: (0..=ROWS).flat_map(|r| (0..=COLUMNS).map(move |c| joint(c as f64, r as f64))).collect(),
        bars: vec![Strip {
            line: [[-10.0, 297.0], [410.0, 297.0]].map(PanelPoint::from).to_vec(),
            closed: false,
            width_mm: 9.0,
        }],
        inner: None,
    }
}

/// Where the lines of the small window's grid cross.
fn joint(u: f64, v: f64) -> Joint {
    let at = grid(u, v);
    let cames = [[0.1, 0.0], [0.0, 0.1], [-0.1, 0.0], [0.0, -0.1]].map(|[du, dv]| {
        let to = grid(u + du, v + dv);
        let [x, y] = [to[0] - at[0], to[1] - at[1]];
        Came { toward: PanelVector::new(x / x.hypot(y), y / x.hypot(y)), face_mm: LEAD }
    });
    Joint { at, cames: cames.to_vec() }
}

fn circle(middle: PanelPoint, radius: f64) -> Vec<PanelPoint> {
    let [x, y] = middle.to_array();
    (0..36)
        .map(|k| std::f64::consts::TAU * f64::from(k) / 36.0)
        .map(|a| PanelPoint::new(x + radius * a.cos(), y + radius * a.sin()))
        .collect()
}

fn piece(number: usize, light_shape: Vec<Vec<PanelPoint>>) -> PieceModel {
    PieceModel {
        light_shape,
        makeup: number % 7,
        thickness_factor: 0.8 + 0.05 * (number % 9) as f64,
        paint_factor: if number.is_multiple_of(5) { 0.6 } else { 0.0 },
        paint_density: 0.0,
        fade: if number % 10 == 5 { Fade { length_mm: 14.0, scale: 2.4 } } else { Fade::default() },
        sheet: SheetModel {
            seed: 100 + (number % 7) as u32,
            thickness_amplitude: 0.25,
            paint_amplitude: if number.is_multiple_of(5) { 0.15 } else { 0.0 },
            axis_deg: 80.0 + number as f64,
            origin_mm: SheetPoint::new(number as f64 * 71.0, number as f64 * 37.0),
            thickness_mm: 3.0,
            n: 1.52,
            mix_amplitude: if number.is_multiple_of(4) { 0.8 } else { 0.0 },
            etched: number.is_multiple_of(8),
            surface: SurfaceModel {
                sheen: 0.06,
                seed_cell_mm: 20.0,
                seeds: if number.is_multiple_of(3) { 0.6 } else { 0.0 },
                ripple_rad: if number % 6 == 1 { 0.04 } else { 0.0 },
                ripple_per_mm: 0.15,
                ripple_sheen: 0.1,
                haze_rad: 0.003 + 0.002 * (number % 5) as f64,
                glare: 0.01 * (number % 4) as f64,
            },
        },
    }
}

pub fn small_eye() -> Eye {
    Eye { position_mm: PanelSpacePoint::new(120.0, 330.0, 1500.0) }
}

/// Seven invented glasses: Gaussian bands in ln τ, a clear pane's reflections, a neutral scattering paint.
pub fn small_glasses(makeup: usize, factors: Factors, angle_deg: f64) -> Transmittance {
    let Factors { thickness, paint, mix } = factors;
    // Middle nm, width nm, depth: blue, green, amber, ruby, purple, white, opal.
    const BANDS: [(f64, f64, f64); 7] = [
        (600.0, 60.0, 3.0),
        (660.0, 90.0, 2.0),
        (420.0, 70.0, 3.5),
        (480.0, 75.0, 6.0),
        (540.0, 45.0, 2.5),
        (700.0, 200.0, 0.06),
        (400.0, 60.0, 0.3),
    ];
    let dark = if makeup >= PAINTED { 0.03 } else { 1.0 };
    let (middle, width, depth) = BANDS[(makeup % PAINTED) % 7];
    let sine = angle_deg.to_radians().sin() / 1.52;
    let way = thickness * (1.0 + 0.4 * mix) / (1.0 - sine * sine).sqrt();
    let inner = Spectrum::from_fn(|nm| (-way * depth * (-((nm - middle) / width).powi(2)).exp()).exp());
    let painted = inner * 10.0_f64.powf(-paint) * 0.918 * dark;
    let scatter = if makeup % 7 == 6 { 0.6 } else { 0.4 * (1.0 - 10.0_f64.powf(-paint)) };
    let diffuse = painted * (scatter * 0.8);
    Transmittance { regular: painted * (1.0 - scatter), diffuse, lobe: glass::Lobe::NONE }
}

/// Kinds of invented light.
#[derive(Clone, Copy, Debug)]
pub enum Hour {
    Overcast,
    LowSun,
    Noon,
    Dusk,
}

/// A sky that brightens upward from warm to blue, a ground, a tree line, and the sun if it is up.
pub fn small_light(model: &WindowModel, hour: Hour) -> Light {
    let planck = |kelvin: f64, level: f64| {
        let s = Spectrum::from_fn(|nm| {
            let m = nm * 1e-9;
            1.0 / (m.powi(5) * ((1.438_777e-2 / (m * kelvin)).exp() - 1.0))
        });
        s * (level / spectra::luminous(&s))
    };
    let (warm, cool, ground, sun, level) = match hour {
        Hour::Overcast => (6200.0, 6800.0, 0.2, None, 3000.0),
        Hour::LowSun => (3600.0, 9000.0, 0.12, Some([0.12, 0.05, -1.0]), 2500.0),
        Hour::Noon => (7000.0, 14000.0, 0.3, Some([0.4, 1.2, -0.6]), 6000.0),
        Hour::Dusk => (3000.0, 16000.0, 0.1, None, 8.0),
    };
    let unit = |v: [f64; 3]| {
        let length = v.iter().map(|x| x * x).sum::<f64>().sqrt();
        PanelSpaceVector::from(v.map(|x| x / length))
    };
    let toward_sun = sun.map(unit);
    let eye = small_eye();
    let seen = |d: PanelSpaceVector| {
        let altitude = d[1].asin().to_degrees() as f32;
        let up = (altitude.max(0.0) / 25.0).min(1.0);
        let sky = [1.0 - up, 0.4 + 0.8 * up, 0.0, 0.0, 0.0];
        let trees = sky.map(|w| 0.3 * w);
        Seen { weights: [sky, trees, trees] }
    };
    let field = DirectionField::new(model.bounds(), eye, &[5.0], seen, |d| {
        let bearing = d[0].atan2(-d[2]).to_degrees();
        SeenEdges {
            altitude_deg: [1.8 + 0.15 * bearing + if bearing > 5.0 { 2.5 } else { 0.0 }, 0.0],
            detail_deg: [0.5 * (bearing * 1.3).sin(), 0.0],
            leaves: if bearing > 5.0 { 0.3 } else { 0.0 },
        }
    });
    Light {
        sky: vec![planck(warm, level), planck(cool, level)],
        ground: planck(5500.0, level * ground),
        disc: if toward_sun.is_some() { planck(4800.0, 3e7) } else { Spectrum::ZERO },
        glow: planck(5800.0, level * if toward_sun.is_some() { 1.5 } else { 0.6 }),
        toward_sun,
        field,
        wall: None,
        inner: None,
        lobes: None,
        eye,
        room_white_cd_m2: None,
        viewer: render::Viewer::default(),
    }
}

pub fn small_optics(model: &WindowModel) -> Vec<PieceOptics> {
    PieceOptics::of_window(model, small_eye(), small_glasses)
}
