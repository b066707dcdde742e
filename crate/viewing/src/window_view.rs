//! The window as seen from a point: cut into cells of small angle that do not cross the horizon, with exact form
//! factors.

use std::f64::consts::PI;

use plane::{
    RoomPoint, RoomVector, WallPoint, area_and_centroid, bounds, clip_to_band, clip_to_convex,
    room_from_wall, room_ring_from_wall,
};

use crate::contour::form_factor_to_polygon;
use crate::room_response::Receiver;

/// A grid on the window plane with lines at equal steps of angle as seen from a point, one of them at the horizon.
#[derive(Clone, Debug)]
pub(crate) struct ViewGrid {
    point_m: RoomPoint,
    x: Vec<f64>,
    y: Vec<f64>,
    centre_x: Vec<f64>,
    centre_y: Vec<f64>,
}

/// A part of a piece in one cell of a [`ViewGrid`].
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ViewPart {
    /// Column and row of the cell.
    pub(crate) cell: [usize; 2],
    /// 0 if no edge crosses the cell's group, otherwise the number of its region there, from 1.
    pub(crate) region: usize,
    /// Form factor to the part from each receiver.
    pub(crate) form_factors: Vec<f64>,
    /// Form factor to the part from an element at the point that faces the window.
    pub(crate) facing: f64,
    /// Unit vector from the point toward the part's middle.
    pub(crate) middle: RoomVector,
    /// Limits of the part across and up, from where the point faces the wall, relative to its distance from it.
    pub(crate) limits: [[f64; 2]; 2],
}

impl ViewGrid {
    /// The grid that covers the given polygons (m, on the window plane) as seen from `point_m`, in steps of at most
    /// `step_deg`. `None` if there is nothing to cover or the point lies in the window plane or outside.
    pub(crate) fn new<'a>(
        point_m: RoomPoint,
        polygons: impl IntoIterator<Item = &'a WallPoint>,
        step_deg: f64,
    ) -> Option<Self> {
        let distance = point_m[2];
        let [low, high] = bounds(polygons)?;
        if distance.is_nan() || distance <= 1e-6 {
            return None;
        }
        let axis = |origin: f64, low: f64, high: f64| {
            let (a, b) = (((low - origin) / distance).atan(), ((high - origin) / distance).atan());
            let step = step_deg.max(0.05).to_radians();
            let mut stops = vec![a];
            if a < 0.0 && b > 0.0 {
                stops.push(0.0);
            }
            stops.push(b);
            let mut angles = vec![a];
            for pair in stops.windows(2) {
                let n = ((pair[1] - pair[0]) / step - 1e-9).ceil().max(1.0) as usize;
                angles.extend((1..=n).map(|k| pair[0] + (pair[1] - pair[0]) * k as f64 / n as f64));
            }
            let at = |angle: f64| origin + distance * angle.tan();
            let mut lines: Vec<f64> = angles.iter().map(|&t| if t == 0.0 { origin } else { at(t) }).collect();
            // The ends include what rounding would lose.
            if let Some(first) = lines.first_mut() {
                *first = first.min(low);
            }
            if let Some(last) = lines.last_mut() {
                *last = last.max(high);
            }
            let centres = angles.windows(2).map(|t| at(0.5 * (t[0] + t[1]))).collect();
            (lines, centres)
        };
        let (x, centre_x) = axis(point_m[0], low[0], high[0]);
        let (y, centre_y) = axis(point_m[1], low[1], high[1]);
        Some(Self { point_m, x, y, centre_x, centre_y })
    }

    /// Number of rows of cells below the point's own height.
    pub(crate) fn rows_below_horizon(&self) -> usize {
        self.centre_y.iter().filter(|&&y| y < self.point_m[1]).count()
    }

    /// Column and row of the group that holds a cell, if `merge` cells each way are one group. No group crosses the
    /// horizon: rows are counted from there.
    pub(crate) fn group(&self, cell: [usize; 2], merge: usize) -> [usize; 2] {
        [cell[0] / merge, (cell[1] + self.rows_before(merge)) / merge]
    }

    /// Rows that the lowest group lacks.
    fn rows_before(&self, merge: usize) -> usize {
        (merge - self.rows_below_horizon() % merge) % merge
    }

    /// The lines of each group on an axis (0 x, 1 y), m on the wall: its limits and those between them.
    pub(crate) fn group_limits(&self, axis: usize, merge: usize) -> Vec<Vec<f64>> {
        let (lines, before) = if axis == 0 { (&self.x, 0) } else { (&self.y, self.rows_before(merge)) };
        let cells = lines.len() - 1;
        (0..(cells + before).div_ceil(merge))
            .map(|group| {
                let first = (group * merge).saturating_sub(before);
                lines[first..=((group + 1) * merge - before).min(cells)].to_vec()
            })
            .collect()
    }

    /// Bearing from the outward normal of a line on the wall, degrees.
    pub(crate) fn bearing_deg(&self, x: f64) -> f64 {
        ((x - self.point_m[0]) / self.point_m[2]).atan().to_degrees()
    }

    /// Where a bearing meets the wall, m.
    pub(crate) fn across_m(&self, bearing_deg: f64) -> f64 {
        self.point_m[0] + self.point_m[2] * bearing_deg.to_radians().tan()
    }

    /// The height at which a direction meets the wall, m.
    pub(crate) fn height_m(&self, bearing_deg: f64, altitude_deg: f64) -> f64 {
        let away = self.point_m[2] / bearing_deg.to_radians().cos();
        self.point_m[1] + away * altitude_deg.clamp(-89.9, 89.9).to_radians().tan()
    }

    /// Unit vector from the point toward the middle of a cell.
    pub(crate) fn direction(&self, cell: [usize; 2]) -> RoomVector {
        let middle = WallPoint::new(self.centre_x[cell[0]], self.centre_y[cell[1]]);
        (room_from_wall(middle) - self.point_m).unit()
    }

    /// A piece cut along the grid, with the form factors of every part from each receiver (all at the grid's point).
    /// `regions` returns the convex regions, if any, into which the group of `merge` cells each way is cut as well.
    pub(crate) fn parts<'a>(
        &self,
        polygon: &[WallPoint],
        receivers: &[Receiver],
        merge: usize,
        regions: impl Fn([usize; 2]) -> Option<&'a [Vec<WallPoint>]>,
    ) -> Vec<ViewPart> {
        let mut parts = Vec::new();
        let Some([low, high]) = bounds(polygon) else { return parts };
        let span = |lines: &[f64], low: f64, high: f64| {
            let last = lines.len().saturating_sub(2);
            let from = lines.partition_point(|&l| l <= low).saturating_sub(1).min(last);
            let to = lines.partition_point(|&l| l < high).saturating_sub(1).min(last);
            from..=to
        };
        let (mut band, mut part) = (Vec::new(), Vec::new());
        for i in span(&self.x, low[0], high[0]) {
            clip_to_band(polygon, 0, self.x[i], self.x[i + 1], &mut band);
            for j in span(&self.y, low[1], high[1]) {
                clip_to_band(&band, 1, self.y[j], self.y[j + 1], &mut part);
                if part.len() < 3 {
                    continue;
                }
                match regions(self.group([i, j], merge)) {
                    None => parts.extend(self.measured(&part, [i, j], 0, receivers)),
                    Some(regions) => parts.extend(regions.iter().enumerate().filter_map(|(k, region)| {
                        self.measured(&clip_to_convex(&part, region), [i, j], k + 1, receivers)
                    })),
                }
            }
        }
        parts
    }

    /// A part of a cell and its form factors; `None` if it cannot be seen.
    fn measured(
        &self,
        part: &[WallPoint],
        cell: [usize; 2],
        region: usize,
        receivers: &[Receiver],
    ) -> Option<ViewPart> {
        if part.len() < 3 {
            return None;
        }
        let corners = room_ring_from_wall(part);
        let facing = form_factor_to_polygon(self.point_m, RoomVector::new(0.0, 0.0, -1.0), &corners);
        if facing <= 0.0 {
            return None;
        }
        let form_factors =
            receivers.iter().map(|r| form_factor_to_polygon(self.point_m, r.normal, &corners)).collect();
        let (_, middle) = area_and_centroid(part)?;
        let middle = (room_from_wall(middle) - self.point_m).unit();
        let [across, up, away] = self.point_m.to_array();
        let limits = bounds(part)?.map(|at| [(at[0] - across) / away, (at[1] - up) / away]);
        Some(ViewPart { cell, region, form_factors, facing, middle, limits })
    }
}

/// Irradiance at receivers at one point, directly from outside through one pane of the window: ∫ L(ω) T(θ) cos dω.
///
/// `radiance` receives unit vectors toward the outside and returns the radiance arriving from there through the
/// pane (including its transmittance for the direction), in any additive unit and kind. Cells of `step_deg` are
/// each represented by their middle: second order in the step, exact in the geometry. Returned in the radiance's
/// unit times sr.
pub fn irradiance_through_pane<T>(
    receivers: &[Receiver],
    pane: &[WallPoint],
    step_deg: f64,
    mut radiance: impl FnMut(RoomVector) -> T,
    mut add: impl FnMut(usize, f64, &T),
) {
    let Some(first) = receivers.first() else { return };
    let Some(grid) = ViewGrid::new(first.point_m, pane, step_deg) else { return };
    for part in grid.parts(pane, receivers, 1, |_| None) {
        let light = radiance(grid.direction(part.cell));
        for (r, f) in part.form_factors.iter().enumerate() {
            if *f > 0.0 {
                add(r, PI * f, &light);
            }
        }
    }
}
