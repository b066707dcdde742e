//! Cycles in a graph of files.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::{Path, PathBuf};

/// Which files each file uses.
pub(super) type Uses = BTreeMap<PathBuf, BTreeSet<PathBuf>>;

/// The shortest cycle through each use that is part of one; each set of files is listed once.
pub(super) fn cycles(uses: &Uses) -> Vec<Vec<&Path>> {
    let mut seen = BTreeSet::new();
    let mut found: Vec<Vec<&Path>> = Vec::new();
    for (from, targets) in uses {
        for to in targets {
            let Some(way) = shortest_way(uses, to, from) else { continue };
            let mut set = way.clone();
            set.sort_unstable();
            if seen.insert(set) {
                found.push(way);
            }
        }
    }
    found.sort_by_key(|way| way.len());
    found
}

/// The files on the shortest path from `from` to `to`, including both.
fn shortest_way<'a>(uses: &'a Uses, from: &'a Path, to: &'a Path) -> Option<Vec<&'a Path>> {
    let mut came_from: BTreeMap<&Path, Option<&Path>> = BTreeMap::from([(from, None)]);
    let mut waiting = VecDeque::from([from]);
    while let Some(at) = waiting.pop_front() {
        if at == to {
            let mut way = vec![at];
            let mut step = came_from[at];
            while let Some(file) = step {
                way.push(file);
                step = came_from[file];
            }
            way.reverse();
            return Some(way);
        }
        for next in uses.get(at).into_iter().flatten() {
            if !came_from.contains_key(next.as_path()) {
                came_from.insert(next, Some(at));
                waiting.push_back(next);
            }
        }
    }
    None
}

/// Describes a cycle: `whose` it is, and its files in order, relative to `root`.
pub(super) fn in_words(whose: &str, cycle: &[&Path], root: &Path) -> String {
    let shown = |path: &&Path| path.strip_prefix(root).unwrap_or(path).display().to_string();
    let way: Vec<String> = cycle.iter().chain(cycle.first()).map(shown).collect();
    format!("{whose}: {} files form a cycle: {}", cycle.len(), way.join(" → "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uses(edges: &[(&str, &str)]) -> Uses {
        let mut uses = Uses::new();
        for (from, to) in edges {
            uses.entry(from.into()).or_default().insert(to.into());
            uses.entry(to.into()).or_default();
        }
        uses
    }

    fn found(edges: &[(&str, &str)]) -> Vec<String> {
        let uses = uses(edges);
        cycles(&uses).iter().map(|cycle| in_words("x", cycle, Path::new("/r"))).collect()
    }

    #[test]
    fn a_tree_has_no_circle() {
        assert!(found(&[("a", "b"), ("a", "c"), ("b", "d"), ("c", "d")]).is_empty());
    }

    #[test]
    fn names_each_circle_once_and_the_shortest_first() {
        let edges =
            [("/r/c", "/r/d"), ("/r/d", "/r/e"), ("/r/e", "/r/c"), ("/r/a", "/r/b"), ("/r/b", "/r/a")];
        assert_eq!(
            found(&edges),
            ["x: 2 files form a cycle: b → a → b", "x: 3 files form a cycle: d → e → c → d"]
        );
    }

    #[test]
    fn cycles_that_share_a_file_are_named_apart() {
        assert_eq!(found(&[("a", "b"), ("b", "a"), ("b", "c"), ("c", "b")]).len(), 2);
    }
}
