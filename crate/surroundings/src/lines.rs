//! Lines that divide a surface, finer toward the edges of what stands on it.

use std::f64::consts::PI;

/// From how many times the scale a stretch between two breaks is long.
const LONG: f64 = 4.0;
/// Where the lines end, in heights of what stands there; the last stretch stands for all that lies beyond.
const FAR: f64 = 60.0;

/// Lines from the first break to the last, `between` to a stretch and finer toward each break; on a stretch much longer
/// than `scale`, ever farther apart toward its middle (see `steps`).
pub(crate) fn lines(breaks: &[f64], scale: f64, between: usize, grading: [f64; 2]) -> Vec<f64> {
    let mut breaks = breaks.to_vec();
    sorting::numbers(&mut breaks);
    let whole = breaks[breaks.len() - 1] - breaks[0];
    breaks.dedup_by(|b, a| *b - *a < 1e-6 * whole);
    let mut lines = vec![breaks[0]];
    for ends in breaks.windows(2) {
        let (a, b) = (ends[0], ends[1]);
        if b - a > LONG * scale {
            let steps = steps(scale, (b - a) / 2.0 - scale, grading);
            lines.extend(steps.iter().map(|step| a + step));
            lines.extend(steps.iter().rev().map(|step| b - step));
            lines.push(b);
        } else {
            let share = |i: usize| (1.0 - (PI * i as f64 / between as f64).cos()) / 2.0;
            lines.extend((1..=between).map(|i| a + (b - a) * share(i)));
        }
    }
    lines
}

/// The same with lines beyond the first and the last, ever farther apart.
pub(crate) fn outward(lines: &[f64], scale: f64, [before, after]: [bool; 2], grading: [f64; 2]) -> Vec<f64> {
    let steps = steps(scale, FAR * scale, grading);
    let (first, last) = (lines[0], lines[lines.len() - 1]);
    let mut all = Vec::new();
    if before {
        all.extend(steps.iter().rev().map(|step| first - step));
    }
    all.extend_from_slice(lines);
    if after {
        all.extend(steps.iter().map(|step| last + step));
    }
    all
}

/// At most so many of the lines: those between the narrowest stretches go first, narrow as compared with their distance
/// from the window, which stands at 0.
pub(crate) fn thinned(mut lines: Vec<f64>, scale: f64, most: usize) -> Vec<f64> {
    while lines.len() > most.max(2) {
        let width = |i: usize| (lines[i + 1] - lines[i - 1]) / (lines[i].abs() + scale);
        let inner = (1..lines.len() - 1).filter(|i| lines[*i] != 0.0);
        let Some(narrowest) = inner.min_by(|a, b| width(*a).total_cmp(&width(*b))) else { break };
        lines.remove(narrowest);
    }
    lines
}

/// Steps from a break, each wider than the last, up to a distance. `grading`: width of the first one, as a share of the
/// scale, and how much wider each further one is.
fn steps(scale: f64, to: f64, [first, growth]: [f64; 2]) -> Vec<f64> {
    let (mut width, mut reached) = (first * scale, 0.0);
    let mut steps = Vec::new();
    while reached + width < to {
        reached += width;
        width *= growth;
        steps.push(reached);
    }
    steps
}

/// Number of the stretch between two lines in which a value lies.
pub(crate) fn stretch(lines: &[f64], v: f64) -> usize {
    lines.partition_point(|line| *line <= v).saturating_sub(1).min(lines.len().saturating_sub(2))
}

/// The two stretches whose middles lie around a value, and their weights; before the first and after the last middle,
/// that stretch alone.
pub(crate) fn beside(lines: &[f64], v: f64) -> [(usize, f64); 2] {
    let here = stretch(lines, v);
    let middle = |i: usize| (lines[i] + lines[i + 1]) / 2.0;
    let other = if v >= middle(here) { here + 1 } else { here.wrapping_sub(1) };
    if other >= lines.len().saturating_sub(1) {
        return [(here, 1.0), (here, 0.0)];
    }
    let share = ((v - middle(here)) / (middle(other) - middle(here))).clamp(0.0, 1.0);
    [(here, 1.0 - share), (other, share)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_their_ends_and_the_window_when_thinned() {
        let all = lines(&[-30.0, -4.0, 0.0, 3.0, 50.0], 12.0, 6, [0.1, 1.8]);
        let few = thinned(all.clone(), 12.0, 7);
        assert_eq!((few.len(), few[0], few[6]), (7, -30.0, 50.0));
        assert!(few.contains(&0.0) && few.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(few.iter().all(|line| all.contains(line)));
    }

    #[test]
    fn weights_beside_a_place_sum_to_one() {
        let lines = [0.0, 1.0, 4.0, 5.0];
        for v in [-1.0, 0.2, 0.5, 2.0, 2.5, 4.4, 9.0] {
            let [(a, first), (b, second)] = beside(&lines, v);
            assert!(a < 3 && b < 3 && (first + second - 1.0).abs() < 1e-12 && first >= 0.0 && second >= 0.0);
        }
        assert_eq!(beside(&lines, 2.5), [(1, 1.0), (2, 0.0)]);
    }
}
