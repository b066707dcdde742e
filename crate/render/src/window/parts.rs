//! A mesh made of parts, some of which can be replaced without rebuilding the others.

use std::ops::Range;

use crate::window::vertex::Mesh;

/// Where the parts of a joined mesh lie, one after the other.
#[derive(Clone, Debug, Default)]
pub(crate) struct MeshParts {
    /// Vertices and indices up to the end of each part.
    ends: Vec<[usize; 2]>,
}

/// A part of a mesh to be built.
#[derive(Clone, Debug)]
pub(crate) enum MeshPart<V> {
    /// The part with this number in the current mesh.
    Kept(usize),
    New(Mesh<V>),
}

impl MeshParts {
    /// Number of parts.
    pub(crate) fn len(&self) -> usize {
        self.ends.len()
    }

    /// Vertices and indices at which a part begins.
    fn start(&self, part: usize) -> [usize; 2] {
        part.checked_sub(1).map_or([0; 2], |before| self.ends[before])
    }

    /// The vertices of a part.
    pub(crate) fn vertices(&self, part: usize) -> Range<usize> {
        self.start(part)[0]..self.ends[part][0]
    }

    /// The indices of a part.
    pub(crate) fn indices(&self, part: usize) -> Range<usize> {
        self.start(part)[1]..self.ends[part][1]
    }

    /// A part as a mesh of its own.
    pub(crate) fn part<V: Copy>(&self, mesh: &Mesh<V>, part: usize) -> Mesh<V> {
        let mut own = Mesh::default();
        self.copy(mesh, part, &mut own);
        own
    }

    /// Copies a part to the end of another mesh.
    fn copy<V: Copy>(&self, mesh: &Mesh<V>, part: usize, to: &mut Mesh<V>) {
        let (from, first) = (self.start(part)[0] as u32, to.vertices.len() as u32);
        to.vertices.extend_from_slice(&mesh.vertices[self.vertices(part)]);
        to.indices.extend(mesh.indices[self.indices(part)].iter().map(|i| i - from + first));
    }

    /// Makes the mesh consist of these parts. Those kept at the beginning and at the end stay in place or move as a
    /// whole; everything between them is copied.
    pub(crate) fn follow<V: Copy>(&mut self, mesh: &mut Mesh<V>, parts: &[MeshPart<V>]) {
        let is = |part: &MeshPart<V>, old: usize| matches!(part, MeshPart::Kept(k) if *k == old);
        let (old, new) = (self.len(), parts.len());
        let first = (0..old.min(new)).take_while(|k| is(&parts[*k], *k)).count();
        let most = old.min(new) - first;
        let last = (0..most).take_while(|k| is(&parts[new - 1 - k], old - 1 - k)).count();
        self.replace(mesh, first..old - last, &parts[first..new - last]);
    }

    /// Replaces a range of parts by others.
    pub(crate) fn replace<V: Copy>(&mut self, mesh: &mut Mesh<V>, range: Range<usize>, with: &[MeshPart<V>]) {
        let mut middle = Mesh::default();
        let mut lengths = Vec::with_capacity(with.len());
        for part in with {
            match part {
                MeshPart::Kept(k) => self.copy(mesh, *k, &mut middle),
                MeshPart::New(part) => {
                    let first = middle.vertices.len() as u32;
                    middle.vertices.extend_from_slice(&part.vertices);
                    middle.indices.extend(part.indices.iter().map(|i| i + first));
                }
            }
            lengths.push([middle.vertices.len(), middle.indices.len()]);
        }
        let begin = self.start(range.start);
        let end = self.start(range.end);
        let after = [begin[0] + middle.vertices.len(), begin[1] + middle.indices.len()];
        mesh.vertices.splice(begin[0]..end[0], middle.vertices);
        mesh.indices.splice(begin[1]..end[1], middle.indices.iter().map(|i| i + begin[0] as u32));
        if after[0] != end[0] {
            // The same formula whether it grows or shrinks: the sum wraps round.
            let moved = (after[0] as u32).wrapping_sub(end[0] as u32);
            for index in &mut mesh.indices[after[1]..] {
                *index = index.wrapping_add(moved);
            }
        }
        for ends in &mut self.ends[range.end..] {
            for k in 0..2 {
                ends[k] = ends[k] + after[k] - end[k];
            }
        }
        self.ends.splice(range, lengths.iter().map(|l| [begin[0] + l[0], begin[1] + l[1]]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fan of vertices that all store the same number.
    fn fan(number: u32, vertices: u32) -> Mesh<u32> {
        let indices = (2..vertices).flat_map(|k| [0, k - 1, k]).collect();
        Mesh { vertices: vec![number; vertices as usize], indices }
    }

    fn joined(fans: &[Mesh<u32>]) -> (MeshParts, Mesh<u32>) {
        let (mut parts, mut mesh) = (MeshParts::default(), Mesh::default());
        parts.follow(&mut mesh, &fans.iter().cloned().map(MeshPart::New).collect::<Vec<_>>());
        (parts, mesh)
    }

    #[test]
    fn any_choice_of_old_and_new_parts_equals_a_freshly_joined_mesh() {
        let old: Vec<Mesh<u32>> = (0..6).map(|k| fan(k, 3 + k % 3)).collect();
        let choices: [&[Option<usize>]; 8] = [
            &[Some(0), Some(1), Some(2), Some(3), Some(4), Some(5)],
            &[Some(0), None, Some(2), Some(3), Some(4), Some(5)],
            &[Some(0), Some(1), Some(3), Some(4), Some(5)],
            &[Some(0), Some(1), Some(2), None, None, Some(3), Some(4), Some(5)],
            &[Some(5), Some(4), None, Some(0)],
            &[None],
            &[],
            &[Some(0), Some(1), Some(2), Some(3), Some(4), Some(5), None, Some(0)],
        ];
        for choice in choices {
            let (mut parts, mut mesh) = joined(&old);
            let new = |k: usize| fan(100 + k as u32, 3 + k as u32 % 4);
            let part = |(k, kept): (usize, &Option<usize>)| {
                kept.map_or_else(|| MeshPart::New(new(k)), MeshPart::Kept)
            };
            let wanted: Vec<MeshPart<u32>> = choice.iter().enumerate().map(part).collect();
            parts.follow(&mut mesh, &wanted);
            let mesh_of = |part: &MeshPart<u32>| match part {
                MeshPart::Kept(k) => old[*k].clone(),
                MeshPart::New(mesh) => mesh.clone(),
            };
            let (anew, fresh) = joined(&wanted.iter().map(mesh_of).collect::<Vec<_>>());
            assert_eq!((mesh, parts.ends), (fresh, anew.ends), "{choice:?}");
        }
    }
}
