//! Names that are written nearly like another, for who mistyped it.

/// How many are offered.
const OFFERED: usize = 3;

/// The known names nearest to one that is not known, nearest first: by the fewest characters changed, added and removed.
pub(crate) fn most_alike<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut left: Vec<(usize, &str)> = known.map(|known| (changes(name, known), known)).collect();
    let mut nearest = Vec::new();
    while nearest.len() < OFFERED
        && let Some((at, _)) = left.iter().enumerate().min_by_key(|(_, (changes, _))| *changes)
    {
        nearest.push(left.remove(at).1);
    }
    nearest
}

/// Levenshtein's distance.
fn changes(from: &str, to: &str) -> usize {
    let mut row: Vec<usize> = (0..=to.chars().count()).collect();
    for (i, a) in from.chars().enumerate() {
        let mut diagonal = i;
        row[0] = i + 1;
        for (j, b) in to.chars().enumerate() {
            let changed = diagonal + usize::from(a != b);
            diagonal = row[j + 1];
            row[j + 1] = changed.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_come_first() {
        assert_eq!((changes("kitten", "sitting"), changes("", "abc"), changes("größe", "grösse")), (3, 3, 2));
        let known = ["deep-cobalt", "amber", "mid-cobalt", "pale-amber", "pale-cobalt"];
        assert_eq!(most_alike("midcobalt", known.into_iter()), ["mid-cobalt", "deep-cobalt", "pale-cobalt"]);
    }
}
