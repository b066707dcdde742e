//! Which links of a graph lie on a cycle, and which nodes hang together.

/// For each link, whether the graph stays in one part without it: then it lies on a cycle (Tarjan 1974, "A note on
/// finding the bridges of a graph"; source from memory). Links from a node to itself and several between two nodes count.
pub(crate) fn on_cycle(node_count: usize, links: &[[usize; 2]]) -> Vec<bool> {
    let mut at_node: Vec<Vec<usize>> = vec![Vec::new(); node_count];
    for (link, [a, b]) in links.iter().enumerate() {
        at_node[*a].push(link);
        if a != b {
            at_node[*b].push(link);
        }
    }
    let mut on_cycle = vec![true; links.len()];
    let unseen = usize::MAX;
    // Order of first visit, and the earliest node reached from a node's descendants without the link down to it.
    let (mut order, mut earliest) = (vec![unseen; node_count], vec![unseen; node_count]);
    let mut time = 0;
    for root in 0..node_count {
        if order[root] != unseen || at_node[root].is_empty() {
            continue;
        }
        // Node, the link that led there, the next of its links to follow.
        let mut path = vec![(root, unseen, 0)];
        (order[root], earliest[root]) = (time, time);
        time += 1;
        while let Some((node, came_by, next)) = path.last_mut() {
            let (node, came_by) = (*node, *came_by);
            if let Some(&link) = at_node[node].get(*next) {
                *next += 1;
                let to = if links[link][0] == node { links[link][1] } else { links[link][0] };
                if link == came_by {
                    continue;
                }
                if order[to] == unseen {
                    (order[to], earliest[to]) = (time, time);
                    time += 1;
                    path.push((to, link, 0));
                } else {
                    earliest[node] = earliest[node].min(order[to]);
                }
            } else {
                path.pop();
                if let Some(&(parent, ..)) = path.last() {
                    earliest[parent] = earliest[parent].min(earliest[node]);
                    if earliest[node] > order[parent] {
                        on_cycle[came_by] = false;
                    }
                }
            }
        }
    }
    on_cycle
}

/// Sets that are united pair by pair.
pub(crate) struct Sets {
    parent: Vec<usize>,
}

impl Sets {
    pub(crate) fn new(count: usize) -> Self {
        Self { parent: (0..count).collect() }
    }

    /// The member that stands for the set of `i`.
    pub(crate) fn of(&mut self, mut i: usize) -> usize {
        while self.parent[i] != i {
            self.parent[i] = self.parent[self.parent[i]];
            i = self.parent[i];
        }
        i
    }

    pub(crate) fn unite(&mut self, i: usize, j: usize) {
        let (i, j) = (self.of(i), self.of(j));
        self.parent[i.max(j)] = i.min(j);
    }
}

/// A graph whose nodes are united along links, but never where that would take a pane away: two links between the same
/// nodes go round one.
pub(crate) struct Contraction {
    sets: Sets,
    links: Vec<[usize; 2]>,
    gone: Vec<bool>,
    /// The links at each set, by its member.
    at: Vec<Vec<usize>>,
}

impl Contraction {
    /// `None` for a link that closes on itself without a node.
    pub(crate) fn new(node_count: usize, links: impl Iterator<Item = Option<[usize; 2]>>) -> Self {
        let mut graph = Self {
            sets: Sets::new(node_count),
            links: Vec::new(),
            gone: Vec::new(),
            at: vec![Vec::new(); node_count],
        };
        for nodes in links {
            match nodes {
                Some(nodes) => graph.add(nodes),
                None => {
                    graph.links.push([0; 2]);
                    graph.gone.push(true);
                }
            }
        }
        graph
    }

    /// Adds a link that stays.
    pub(crate) fn add(&mut self, nodes: [usize; 2]) {
        for node in nodes {
            self.at[self.sets.of(node)].push(self.links.len());
        }
        self.links.push(nodes);
        self.gone.push(false);
    }

    /// Unites the ends of a link, one of those given or none of them; false if they are one already, or another link
    /// joins them.
    pub(crate) fn unite(&mut self, [a, b]: [usize; 2], own: Option<usize>) -> bool {
        let (a, b) = (self.sets.of(a), self.sets.of(b));
        let (few, many) = if self.at[a].len() < self.at[b].len() { (a, b) } else { (b, a) };
        if a == b {
            return false;
        }
        for k in 0..self.at[few].len() {
            let link = self.at[few][k];
            let ends = self.links[link].map(|node| self.sets.of(node));
            if Some(link) != own && !self.gone[link] && ends.contains(&many) {
                return false;
            }
        }
        if let Some(own) = own {
            self.gone[own] = true;
        }
        let (few, mut all) = (std::mem::take(&mut self.at[few]), std::mem::take(&mut self.at[many]));
        all.extend(few);
        self.sets.unite(a, b);
        self.at[self.sets.of(a)] = all;
        true
    }

    pub(crate) fn into_sets(self) -> Sets {
        self.sets
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contraction_keeps_cycles() {
        // A triangle, contracted along two of its sides, would be a loop; a tail goes.
        let mut graph = Contraction::new(4, [[0, 1], [1, 2], [2, 0], [2, 3]].map(Some).into_iter());
        assert!(graph.unite([0, 1], Some(0)));
        assert!(!graph.unite([1, 2], Some(1)));
        assert!(graph.unite([2, 3], Some(3)));
        assert!(!graph.unite([0, 3], None));
        let mut sets = graph.into_sets();
        assert!(sets.of(0) == sets.of(1) && sets.of(2) == sets.of(3) && sets.of(0) != sets.of(3));
    }

    #[test]
    fn a_link_between_two_cycles_lies_on_none() {
        // Two triangles joined by the link 3, with a tail 7, a loop 8 at the tail's end, and a doubled link 9, 10.
        let links = [[0, 1], [1, 2], [2, 0], [2, 3], [3, 4], [4, 5], [5, 3], [5, 6], [6, 6], [7, 8], [8, 7]];
        let wanted = [true, true, true, false, true, true, true, false, true, true, true];
        assert_eq!(on_cycle(9, &links), wanted);
    }

    #[test]
    fn united_sets_are_one() {
        let mut sets = Sets::new(4);
        sets.unite(3, 1);
        sets.unite(1, 2);
        assert_eq!((sets.of(3), sets.of(2), sets.of(0)), (1, 1, 0));
    }
}
