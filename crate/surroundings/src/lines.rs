//! Lines that divide a surface, finer toward the edges of what stands on it.

/// Where the lines end, in heights of what stands there; the last stretch stands for all that lies beyond.
const FAR: f64 = 60.0;

/// How lines spread out from a break.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grading {
    /// Width of the first stretch beside a break, as a share of the break's scale.
    pub(crate) first: f64,
    /// How much wider each further one is.
    pub(crate) growth: f64,
}

/// Where a surface begins, ends or meets another, and within what distance its light changes there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Break {
    pub(crate) at: f64,
    pub(crate) scale: f64,
}

impl Grading {
    /// Number of stretches from a break to so far beside it: the k-th line lies at `unit · (growthᵏ − 1)`.
    fn count(self, unit: f64, away: f64) -> f64 {
        (1.0 + away / unit).ln() / self.growth.ln()
    }

    fn unit(self, scale: f64) -> f64 {
        self.first * scale / (self.growth - 1.0)
    }

    /// Lines from the first break to the last, which ascend: ever farther apart from each to the middle between two.
    pub(crate) fn lines(self, breaks: &[Break]) -> Vec<f64> {
        let mut lines = vec![breaks[0].at];
        for ends in breaks.windows(2) {
            let (a, b) = (ends[0].at, ends[1].at);
            let [low, high] = [ends[0], ends[1]].map(|end| self.unit(end.scale.min(b - a)));
            // Where stretches from both sides are equally wide.
            let middle = (0.5 * (a + b + high - low)).clamp(a, b);
            let [below, above] = [self.count(low, middle - a), self.count(high, b - middle)];
            let n = (below + above).ceil().max(1.0);
            for k in 1..n as usize {
                let number = k as f64 / n * (below + above);
                lines.push(if number < below {
                    a + low * (self.growth.powf(number) - 1.0)
                } else {
                    b - high * (self.growth.powf(below + above - number) - 1.0)
                });
            }
            lines.push(b);
        }
        lines
    }

    /// The same with lines before the first and after the last, ever farther apart, to far beyond `height`.
    pub(crate) fn outward(self, breaks: &[Break], [before, after]: [bool; 2], height: f64) -> Vec<f64> {
        let (first, last) = (breaks[0], breaks[breaks.len() - 1]);
        let steps = |beside: bool, scale: f64| {
            let unit = self.unit(scale);
            let n = if beside { self.count(unit, FAR * height) as i32 } else { 0 };
            (1..=n).map(move |k| unit * (self.growth.powi(k) - 1.0))
        };
        let mut all: Vec<f64> = steps(before, first.scale).rev().map(|step| first.at - step).collect();
        all.extend(self.lines(breaks));
        all.extend(steps(after, last.scale).map(|step| last.at + step));
        all
    }
}

/// Breaks in their order, each place once.
pub(crate) fn ascending(mut breaks: Vec<Break>) -> Vec<Break> {
    breaks.sort_by(|a, b| a.at.total_cmp(&b.at));
    let whole = breaks[breaks.len() - 1].at - breaks[0].at;
    breaks.dedup_by(|b, a| {
        let same = b.at - a.at < 1e-6 * whole;
        if same {
            a.scale = a.scale.min(b.scale);
        }
        same
    });
    breaks
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
        let breaks = [-30.0, -4.0, 0.0, 3.0, 50.0].map(|at| Break { at, scale: 12.0 });
        let all = Grading { first: 0.1, growth: 1.8 }.lines(&breaks);
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
