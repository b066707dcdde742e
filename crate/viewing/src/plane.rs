//! Polygons in the window plane.

/// A point on the window plane, m, in the room frame's x and y.
pub type P2 = [f64; 2];

/// Signed area, positive when wound anticlockwise, in the square of the unit used.
pub fn signed_area(polygon: &[P2]) -> f64 {
    let mut twice = 0.0;
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        twice += a[0] * b[1] - a[1] * b[0];
    }
    0.5 * twice
}

/// Area and centre of gravity; `None` for an empty or flat polygon.
pub fn area_and_centroid(polygon: &[P2]) -> Option<(f64, P2)> {
    let origin = *polygon.first()?;
    let (mut twice, mut cx, mut cy) = (0.0, 0.0, 0.0);
    for pair in polygon.windows(2) {
        let (ax, ay) = (pair[0][0] - origin[0], pair[0][1] - origin[1]);
        let (bx, by) = (pair[1][0] - origin[0], pair[1][1] - origin[1]);
        let t = ax * by - ay * bx;
        twice += t;
        cx += t * (ax + bx);
        cy += t * (ay + by);
    }
    (twice.abs() > 1e-18)
        .then(|| (0.5 * twice.abs(), [origin[0] + cx / (3.0 * twice), origin[1] + cy / (3.0 * twice)]))
}

/// Lower and upper limits on both axes; `None` when empty.
pub fn bounds<'a>(points: impl IntoIterator<Item = &'a P2>) -> Option<[P2; 2]> {
    points.into_iter().fold(None, |box_, p| {
        let [low, high] = box_.unwrap_or([*p, *p]);
        Some([[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]])
    })
}

/// The part of a polygon between two limits on one axis.
pub(crate) fn clip_to_band(polygon: &[P2], axis: usize, low: f64, high: f64, out: &mut Vec<P2>) {
    let mut half = Vec::with_capacity(polygon.len() + 2);
    clip_side(polygon, axis, low, 1.0, &mut half);
    out.clear();
    clip_side(&half, axis, high, -1.0, out);
}

fn clip_side(polygon: &[P2], axis: usize, limit: f64, side: f64, out: &mut Vec<P2>) {
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        let (da, db) = (side * (a[axis] - limit), side * (b[axis] - limit));
        if da >= 0.0 {
            out.push(*a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            let t = da / (da - db);
            out.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
        }
    }
}

/// The part of a polygon inside the rectangle with the given limits. A concave polygon may come back with edges that
/// run along the rectangle there and back; areas and contour sums are unharmed.
pub fn clip_to_rectangle(polygon: &[P2], x: [f64; 2], y: [f64; 2]) -> Vec<P2> {
    let (mut band, mut out) = (Vec::new(), Vec::new());
    clip_to_band(polygon, 0, x[0], x[1], &mut band);
    clip_to_band(&band, 1, y[0], y[1], &mut out);
    out
}

/// Whether a point lies inside a polygon (even–odd).
pub fn contains(polygon: &[P2], point: P2) -> bool {
    let mut inside = false;
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        if (a[1] > point[1]) != (b[1] > point[1])
            && point[0] < (b[0] - a[0]) * (point[1] - a[1]) / (b[1] - a[1]) + a[0]
        {
            inside = !inside;
        }
    }
    inside
}

/// The polygon as points of the room frame, on the plane z = 0.
pub fn in_room(polygon: &[P2]) -> Vec<[f64; 3]> {
    polygon.iter().map(|p| [p[0], p[1], 0.0]).collect()
}
