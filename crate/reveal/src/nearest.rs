//! The nearest of a list of directions.

use plane::RoomVector;

/// A table over altitude and bearing of the nearest of a list of directions in front of the wall.
pub(crate) struct Nearest {
    table: Vec<u32>,
}

/// Step of the table, degrees; the horizon lies between two of its rows.
const STEP_DEG: f64 = 1.5;
const ACROSS: usize = (180.0 / STEP_DEG) as usize;

impl Nearest {
    pub(crate) fn new(directions: &[RoomVector]) -> Self {
        if directions.is_empty() {
            return Self { table: Vec::new() };
        }
        let middle = |i: usize| (i as f64 + 0.5) * STEP_DEG - 90.0;
        let nearest = |toward: RoomVector| {
            let all = directions.iter().enumerate();
            all.max_by(|(_, a), (_, b)| a.dot(toward).total_cmp(&b.dot(toward))).map_or(0, |(k, _)| k as u32)
        };
        let cells = (0..ACROSS).flat_map(|row| (0..ACROSS).map(move |column| (row, column)));
        let table = cells.map(|(row, column)| nearest(RoomVector::toward_sky(middle(column), middle(row))));
        Self { table: table.collect() }
    }

    /// The number of the nearest; `None` of an empty list.
    pub(crate) fn to(&self, toward: RoomVector) -> Option<u32> {
        let [x, y, z] = toward.to_array();
        let at = |deg: f64| (((deg + 90.0) / STEP_DEG).max(0.0) as usize).min(ACROSS - 1);
        let row = at(y.clamp(-1.0, 1.0).asin().to_degrees());
        self.table.get(row * ACROSS + at(x.atan2(-z).to_degrees())).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_direction_of_a_list_finds_itself_and_none_crosses_the_horizon() {
        let list: Vec<RoomVector> = (0..18)
            .flat_map(|i| (0..9).map(move |j| (f64::from(i), f64::from(j))))
            .map(|(i, j)| RoomVector::toward_sky(20.0 * j - 80.0, 10.0 * i - 85.0))
            .collect();
        let nearest = Nearest::new(&list);
        for (k, &d) in list.iter().enumerate() {
            // Near the zenith, directions of every bearing are equally near.
            if d[1].abs() < 0.95 {
                assert_eq!(nearest.to(d), Some(k as u32));
            }
        }
        for altitude in [0.1, -0.1] {
            for bearing in [-85.0, -3.0, 44.0] {
                let found = nearest.to(RoomVector::toward_sky(bearing, altitude)).unwrap();
                assert!((list[found as usize][1] > 0.0) == (altitude > 0.0));
            }
        }
        assert_eq!(Nearest::new(&[]).to(RoomVector::toward_sky(0.0, 0.0)), None);
    }
}
