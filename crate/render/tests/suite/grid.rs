//! A scene of any size for editing: a grid of curved lines, with paint and bars.
#![allow(dead_code, unreachable_pub, reason = "every program uses its own part of this")]

use scene::{Resolved, ResolvedWindow};
use serde_json::{Value, json};

/// Distance between the lines, mm.
const STEP_MM: f64 = 60.0;
const GLASSES: [&str; 5] = ["deep-cobalt", "amber", "float-clear", "opal-white", "pale-cobalt"];

/// The lines of a window and their editable properties.
#[derive(Clone, Debug)]
pub struct Grid {
    pub columns: usize,
    pub rows: usize,
    /// Corners, row by row.
    pub nodes: Vec<[f64; 2]>,
    /// Cells divided by a line from corner to corner.
    pub split: Vec<bool>,
    /// Width of each upright line, mm.
    pub widths_mm: Vec<f64>,
    /// The height of each bar and whether it is behind the glass.
    pub bar: Option<(f64, bool)>,
    /// Whether each cell's matting fades.
    pub fades: Vec<bool>,
    /// Whether strokes are painted on the pieces that may have some.
    pub strokes: bool,
    /// The wall around the window; null for none.
    pub wall: Value,
}

impl Grid {
    pub fn new(columns: usize, rows: usize) -> Self {
        let nodes = (0..=rows).flat_map(|r| {
            (0..=columns).map(move |c| {
                let (x, y) = (c as f64 * STEP_MM, r as f64 * STEP_MM);
                let inner = c > 0 && c < columns && r > 0 && r < rows;
                if inner { [x + 6.0 * (0.05 * y).sin(), y + 6.0 * (0.04 * x).sin()] } else { [x, y] }
            })
        });
        Self {
            columns,
            rows,
            nodes: nodes.collect(),
            split: vec![false; columns * rows],
            widths_mm: vec![5.0; columns + 1],
            bar: Some((0.4 * rows as f64 * STEP_MM + 7.0, true)),
            fades: vec![false; columns * rows],
            strokes: true,
            wall: Value::Null,
        }
    }

    /// Moves the right and the upper edge of the sight size, and the ends of the lines with them.
    pub fn resize(&mut self, [x, y]: [f64; 2]) {
        for row in 0..=self.rows {
            self.node_mut(self.columns, row)[0] += x;
        }
        for column in 0..=self.columns {
            self.node_mut(column, self.rows)[1] += y;
        }
    }

    pub fn node(&self, column: usize, row: usize) -> [f64; 2] {
        self.nodes[row * (self.columns + 1) + column]
    }

    pub fn node_mut(&mut self, column: usize, row: usize) -> &mut [f64; 2] {
        &mut self.nodes[row * (self.columns + 1) + column]
    }

    /// The resolved scene.
    pub fn resolved(&self) -> Resolved {
        let scene = scene::read(&self.document().to_string()).unwrap_or_else(|faults| panic!("{faults}"));
        scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults}"))
    }

    /// The scene file.
    pub fn document(&self) -> Value {
        let path = |points: Vec<[f64; 2]>| {
            let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.3} {y:.3}")).collect();
            format!("M{}", points.join("L"))
        };
        let (columns, rows) = (self.columns, self.rows);
        let [width, height] = self.node(columns, rows);
        let mut lines = Vec::new();
        for c in 1..columns {
            let points = (0..=rows).map(|r| self.node(c, r)).collect();
            lines.push(json!({ "path": path(points), "width_mm": self.widths_mm[c] }));
        }
        for r in 1..rows {
            let points = (0..=columns).map(|c| self.node(c, r)).collect();
            lines.push(json!({ "path": path(points), "width_mm": 6.0 }));
        }
        let mut pieces = Vec::new();
        for r in 0..rows {
            for c in 0..columns {
                let cell = r * columns + c;
                let (a, b) = (self.node(c, r), self.node(c + 1, r + 1));
                let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
                if self.split[cell] {
                    lines.push(json!({ "path": path(vec![a, b]), "width_mm": 4.0 }));
                    let anchor = [middle[0] + 12.0, middle[1] - 12.0];
                    pieces.push(self.piece(columns * rows + cell, cell, anchor, middle));
                    pieces.push(self.piece(cell, cell, [middle[0] - 12.0, middle[1] + 12.0], middle));
                } else {
                    pieces.push(self.piece(cell, cell, middle, middle));
                }
            }
        }
        let bars: Vec<Value> = self
            .bar
            .iter()
            .map(|(y, outside)| {
                let side = if *outside { "outside" } else { "inside" };
                json!({ "path": path(vec![[0.0, *y], [width, *y]]), "width_mm": 9, "side": side })
            })
            .collect();
        let sight_size = path(vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]) + "Z";
        let grey = |v: f64| json!({ "grey": v });
        let mut document = json!({
            "clerestory": 1, "name": "Grid",
            "site": { "latitude_deg": 52.0, "longitude_deg": 1.5, "time_zone": "Europe/London" },
            "at": "2026-06-21T15:00", "sky": { "kind": "clear" }, "ground": grey(0.2),
            "room": {
                "width_m": 30.0, "height_m": 30.0, "depth_m": 20.0, "facing_deg": 270.0,
                "surfaces": {
                    "window_wall": grey(0.7), "back_wall": grey(0.7), "left_wall": grey(0.7),
                    "right_wall": grey(0.7), "floor": grey(0.3), "ceiling": grey(0.8)
                }
            },
            "windows": [{
                "id": "grid", "centre_x_m": 15.0, "sill_height_m": 1.0, "pieces": pieces,
                "drawing": { "sight_size": { "path": sight_size, "width_mm": 12 }, "cutlines": lines, "bars": bars }
            }],
            "places": [{ "name": "bench", "distance_m": 6.0, "eye_height_m": 1.6 }]
        });
        if !self.wall.is_null() {
            document["clerestory"] = json!(5);
            let lines = document["windows"][0]["drawing"]["cutlines"].as_array_mut().into_iter().flatten();
            lines.enumerate().for_each(|(k, line)| line["id"] = json!(k + 1));
            document["windows"][0]["wall"] = self.wall.clone();
        }
        document
    }

    fn piece(&self, number: usize, cell: usize, at_mm: [f64; 2], [x, y]: [f64; 2]) -> Value {
        let glass = GLASSES[number % GLASSES.len()];
        let mut paint = Vec::new();
        if self.fades[cell] {
            paint.push(json!({ "kind": "matting", "density": 0.3, "fade_mm": 9.0 }));
        }
        if self.strokes && cell % 7 == 3 {
            let path = format!("M{} {}L{} {}", x - 20.0, y - 15.0, x + 18.0, y + 17.0);
            paint.push(
                json!({ "kind": "trace", "density": 2.0, "strokes": [{ "path": path, "width_mm": 3.0 }] }),
            );
        }
        json!({
            "id": number + 1, "at_mm": at_mm,
            "makeup": { "plates": [{ "glass": glass, "thickness_mm": 3.0 }], "paint": paint }
        })
    }
}

/// For each piece and each lead of a window, the index of the same one before.
pub fn same_parts(before: &ResolvedWindow, now: &ResolvedWindow) -> (Vec<Option<usize>>, Vec<Option<usize>>) {
    let by_number: std::collections::HashMap<u32, usize> =
        before.pieces.iter().enumerate().map(|(k, piece)| (piece.id, k)).collect();
    let piece = |k: usize| {
        let (piece, shape) = (&now.pieces[k], &now.panel.pieces[k]);
        let old = *by_number.get(&piece.id)?;
        let (other, other_shape) = (&before.pieces[old], &before.panel.pieces[old]);
        (piece.makeup == other.makeup
            && piece.sheet == other.sheet
            && piece.brushwork == other.brushwork
            && shape.light == other_shape.light)
            .then_some(old)
    };
    let key = |lead: &panel::LeadLine| {
        let points: Vec<[u64; 2]> = lead.points.iter().map(|p| p.bits()).collect();
        (points, lead.face_mm.to_bits(), lead.from_joint == lead.to_joint)
    };
    let leads: std::collections::HashMap<_, usize> =
        before.panel.leads.iter().enumerate().map(|(k, lead)| (key(lead), k)).collect();
    (
        (0..now.pieces.len()).map(piece).collect(),
        now.panel.leads.iter().map(|lead| leads.get(&key(lead)).copied()).collect(),
    )
}
