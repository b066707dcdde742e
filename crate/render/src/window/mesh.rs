//! Turns outlines and lines into triangles with soft edges.
//!
//! Every edge is drawn as a fringe one pixel wide over which coverage falls from 1 to 0. Vertices carry the
//! direction in which the edge moves as the pixel grows or shrinks, so a mesh is built once and is right at any
//! zoom. Because coverage is continuous everywhere, it does not matter which pixels a rasteriser gives to which
//! triangle. (Multisampling was rejected because drivers place the samples differently.)

use std::ops::Range;

use plane::PanelPoint;

use crate::shared::constants::{MATERIAL_BAR, MATERIAL_LEAD, MATERIAL_WALL};
use crate::window::fill::fill;
use crate::window::inner_net::{InnerNet, net_mesh};
use crate::window::model::{Joint, Strip, WindowModel};
use crate::window::outline::oriented;
use crate::window::parts::{MeshPart, MeshParts};
use crate::window::piece_mesh::{overlay_mesh, piece_mesh};
use crate::window::region::{Bounds, depth};
use crate::window::solids::{reveal, solder, stroke};
use crate::window::vertex::{GlassVertex, Mesh, SolidVertex};

/// How far the wall reaches beyond the opening, mm; beyond that the background is plain.
const WALL_MARGIN_MM: f64 = 600.0;
/// The same in front of a deep wall, where it hides glass from an eye that stands far aside.
const DEEP_WALL_MARGIN_MM: f64 = 20_000.0;

/// A window as triangles, in drawing order: what is behind the edge of the glass, the glass, what is in front.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WindowMesh {
    /// Glass.
    pub glass: Mesh<GlassVertex>,
    /// Leads, bars, wall.
    pub solid: Mesh<SolidVertex>,
    /// The part of `solid.indices` drawn before the glass.
    pub behind: Range<u32>,
    /// The part drawn after it.
    pub before: Range<u32>,
}

impl WindowMesh {
    /// Triangles of a window. Outlines that cannot be filled (fewer than three points, not finite) are left out.
    pub fn new(model: &WindowModel) -> Self {
        let mut glass = Vec::with_capacity(model.pieces.len() + model.overlays.len());
        for (index, piece) in model.pieces.iter().enumerate() {
            glass.push(piece_mesh(piece));
            glass.extend(model.overlays_of(index).iter().map(|overlay| overlay_mesh(piece, overlay)));
        }
        Self::with_parts(model, glass).0
    }

    /// The same with the glass given (each piece, then its overlays), and where its parts lie.
    pub(crate) fn with_parts(model: &WindowModel, glass: Vec<Mesh<GlassVertex>>) -> (Self, WindowParts) {
        let (mut mesh, mut parts) = (Self::default(), WindowParts::default());
        let solid = vec![None; model.leads.len() + model.joints.len() + model.bars.len()];
        parts.follow(
            &mut mesh,
            model,
            &glass.into_iter().map(MeshPart::New).collect::<Vec<_>>(),
            &Solid { same_opening: false, lines_and_joints: &solid },
        );
        (mesh, parts)
    }
}

/// Which of a window's leads, joints, bars and wall are unchanged.
pub(crate) struct Solid<'a> {
    /// Whether the opening is unchanged.
    pub(crate) same_opening: bool,
    /// For each lead, then each joint, then each bar, its earlier index.
    pub(crate) lines_and_joints: &'a [Option<usize>],
}

/// Where the parts of a window's meshes lie.
#[derive(Clone, Debug, Default)]
pub(crate) struct WindowParts {
    /// Each piece, then its overlays.
    pub(crate) glass: MeshParts,
    /// What shows at the edge of the opening, leads, joints, bars, the wall with the splay.
    solid: MeshParts,
}

impl WindowParts {
    /// Turns the mesh into that of `model`. `glass`: each piece, then its overlays.
    pub(crate) fn follow(
        &mut self,
        mesh: &mut WindowMesh,
        model: &WindowModel,
        glass: &[MeshPart<GlassVertex>],
        solid: &Solid<'_>,
    ) {
        self.glass.follow(&mut mesh.glass, glass);
        self.number(&mut mesh.glass, model);

        let opening = if solid.same_opening { MeshPart::Kept(0) } else { MeshPart::New(edge(model)) };
        let wall = if solid.same_opening {
            MeshPart::Kept(self.solid.len() - 1)
        } else {
            MeshPart::New(wall(model))
        };
        let [leads, joints] = [model.leads.len(), model.joints.len()];
        let made = |k: usize| match k {
            k if k < leads => strip(&model.leads[k], MATERIAL_LEAD),
            k if k < leads + joints => mound(&model.joints[k - leads]),
            k => strip(&model.bars[k - leads - joints], MATERIAL_BAR),
        };
        let part = |(k, kept): (usize, &Option<usize>)| match kept {
            Some(before) => MeshPart::Kept(1 + before),
            None => MeshPart::New(made(k)),
        };
        let between = solid.lines_and_joints.iter().enumerate().map(part);
        let parts: Vec<_> = std::iter::once(opening).chain(between).chain([wall]).collect();
        self.solid.follow(&mut mesh.solid, &parts);
        mesh.behind = 0..self.solid.indices(leads).end as u32;
        mesh.before = mesh.behind.end..mesh.solid.indices.len() as u32;
    }

    /// Replaces the triangles of the wall with its splay or its inner reveal.
    pub(crate) fn replace_wall(&mut self, mesh: &mut WindowMesh, model: &WindowModel) {
        let last = self.solid.len() - 1;
        self.solid.replace(&mut mesh.solid, last..last + 1, &[MeshPart::New(wall(model))]);
        mesh.before = mesh.behind.end..mesh.solid.indices.len() as u32;
    }

    /// Replaces the triangles of a piece and its overlays.
    pub(crate) fn replace_piece(
        &mut self,
        mesh: &mut WindowMesh,
        model: &WindowModel,
        parts: Range<usize>,
        with: &[MeshPart<GlassVertex>],
    ) {
        self.glass.replace(&mut mesh.glass, parts, with);
        self.number(&mut mesh.glass, model);
    }

    /// Stores in every vertex its number in the tables: pieces first, then overlays.
    fn number(&self, glass: &mut Mesh<GlassVertex>, model: &WindowModel) {
        let pieces = model.pieces.len();
        let mut overlays = model.overlays.iter().enumerate().peekable();
        let mut part = 0;
        let mut set = |number: usize| {
            let vertices = &mut glass.vertices[self.glass.vertices(part)];
            if vertices.first().is_some_and(|v| v.piece != number as u32) {
                vertices.iter_mut().for_each(|v| v.piece = number as u32);
            }
            part += 1;
        };
        for piece in 0..pieces {
            set(piece);
            while let Some((k, _)) = overlays.next_if(|(_, overlay)| overlay.piece <= piece) {
                set(pieces + k);
            }
        }
    }
}

fn solid(material: u32) -> impl Fn([f32; 2], [f32; 2], f32) -> SolidVertex {
    move |position, fringe, coverage| SolidVertex {
        position,
        fringe,
        coverage,
        across: 1.0,
        left: [0.0; 2],
        half_mm: 0.0,
        material,
        depth_mm: 0.0,
        node: 0,
    }
}

/// What shows where glass and leads end short of the opening.
fn edge(model: &WindowModel) -> Mesh<SolidVertex> {
    let mut mesh = Mesh::default();
    fill(&model.opening, &mut mesh, solid(MATERIAL_LEAD));
    mesh
}

fn strip(strip: &Strip, material: u32) -> Mesh<SolidVertex> {
    let mut mesh = Mesh::default();
    stroke(strip, material, &mut mesh);
    mesh
}

fn mound(joint: &Joint) -> Mesh<SolidVertex> {
    let mut mesh = Mesh::default();
    solder(joint, &mut mesh);
    mesh
}

/// The wall round the opening, and the splay.
fn wall(model: &WindowModel) -> Mesh<SolidVertex> {
    let mut mesh = Mesh::default();
    if let Some(inner) = &model.inner {
        deep_wall(model, inner, &mut mesh);
        return mesh;
    }
    if !model.opening.is_empty() {
        let Bounds { min, max } = model.bounds().grown(WALL_MARGIN_MM);
        let corners = [min, PanelPoint::new(max[0], min[1]), max, PanelPoint::new(min[0], max[1])];
        let mut wall = vec![corners.to_vec()];
        wall.extend(model.opening.iter().cloned());
        fill(&wall, &mut mesh, solid(MATERIAL_WALL));
        for (k, outline) in model.opening.iter().enumerate() {
            reveal(&oriented(outline, depth(&model.opening, k) % 2 == 1), &mut mesh);
        }
    }
    mesh
}

/// The sides of the inner reveal, and the inner wall face around it.
fn deep_wall(model: &WindowModel, inner: &InnerNet, mesh: &mut Mesh<SolidVertex>) {
    let islands = (0..model.opening.len()).filter(|k| depth(&model.opening, *k) % 2 == 1);
    for k in islands {
        fill(&vec![model.opening[k].clone()], mesh, solid(MATERIAL_WALL));
        reveal(&oriented(&model.opening[k], true), mesh);
    }
    net_mesh(inner, mesh);
    let Some(bounds) = Bounds::of(&inner.ring) else { return };
    let Bounds { min, max } = bounds.grown(DEEP_WALL_MARGIN_MM);
    let corners = [min, PanelPoint::new(max[0], min[1]), max, PanelPoint::new(min[0], max[1])];
    let face = solid(MATERIAL_WALL);
    fill(&vec![corners.to_vec(), inner.ring.clone()], mesh, |position, fringe, coverage| SolidVertex {
        depth_mm: inner.depth_mm as f32,
        ..face(position, fringe, coverage)
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::PanelVector;

    use crate::window::model::{Came, Joint, PieceModel, Strip};

    fn square(x: f64, y: f64, size: f64) -> Vec<PanelPoint> {
        [[x, y], [x + size, y], [x + size, y + size], [x, y + size]].map(PanelPoint::from).to_vec()
    }

    /// Area covered by the triangles whose corners all have full coverage.
    fn body_area(mesh: &Mesh<GlassVertex>) -> f64 {
        mesh.indices
            .chunks_exact(3)
            .map(|t| [t[0], t[1], t[2]].map(|i| mesh.vertices[i as usize]))
            .filter(|t| t.iter().all(|v| v.coverage > 0.5))
            .map(|[a, b, c]| {
                let side = |p: GlassVertex, q: GlassVertex| {
                    [f64::from(q.position[0] - p.position[0]), f64::from(q.position[1] - p.position[1])]
                };
                let (u, v) = (side(a, b), side(a, c));
                (u[0] * v[1] - u[1] * v[0]).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn triangles_cover_the_region_and_not_its_holes() {
        let region = vec![square(0.0, 0.0, 100.0), square(20.0, 20.0, 30.0)];
        let model = WindowModel {
            pieces: vec![PieceModel { light_shape: region, ..PieceModel::default() }],
            ..WindowModel::default()
        };
        let mesh = WindowMesh::new(&model);
        let area = body_area(&mesh.glass);
        assert!((area - (10_000.0 - 900.0)).abs() < 1e-3, "{area}");
        // Fringes point out of the filled region: away from the middle outside, toward it in the hole.
        for v in mesh.glass.vertices.iter().filter(|v| v.coverage < 0.5) {
            let outer = v.position[0] < 1.0 || v.position[0] > 99.0;
            let middle = if outer { [50.0, 50.0] } else { [35.0, 35.0] };
            let away = (v.position[0] - middle[0]) * v.fringe[0] + (v.position[1] - middle[1]) * v.fringe[1];
            assert_eq!(away > 0.0, outer, "{v:?}");
        }
    }

    #[test]
    fn solder_covers_the_joint_and_little_more_than_the_cames() {
        let came = |x: f64, y: f64, face_mm| Came { toward: PanelVector::new(x, y), face_mm };
        let joint = Joint {
            at: PanelPoint::new(10.0, 20.0),
            cames: vec![came(1.0, 0.0, 9.0), came(0.0, 1.0, 5.0), came(0.0, -1.0, 5.0)],
        };
        let model = WindowModel { joints: vec![joint, Joint::default()], ..WindowModel::default() };
        let mesh = WindowMesh::new(&model);
        assert!(mesh.behind.is_empty() && mesh.before.len() == mesh.solid.indices.len());
        for v in &mesh.solid.vertices[1..] {
            let [x, y] = [v.position[0] - 10.0, v.position[1] - 20.0];
            let reach = x.hypot(y);
            assert!((reach - v.half_mm).abs() < 1e-4);
            // 5 % for the uneven rim. Behind the end of the wide came it stays on the narrow one.
            let most = if x < 0.0 { [0.55 * 5.0, 0.8 * 5.0] } else { [0.8 * 9.0, 0.55 * 9.0] };
            assert!(x.abs() <= most[0] * 1.05 && y.abs() <= most[1] * 1.05, "{x} {y}");
            assert!(reach >= 0.55 * 5.0 * 0.95);
        }
    }

    #[test]
    fn degenerate_shapes_are_left_out_without_a_panic() {
        let bad = vec![
            vec![],
            vec![[1.0, 1.0]],
            vec![[0.0, 0.0], [1.0, 0.0]],
            vec![[f64::NAN, 0.0], [1.0, f64::INFINITY], [2.0, 2.0]],
            vec![[5.0, 5.0]; 4],
            // A bow tie crosses itself.
            vec![[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]],
        ];
        for outline in bad {
            let outline = PanelPoint::slice(&outline).to_vec();
            let model = WindowModel {
                opening: vec![outline.clone()],
                pieces: vec![PieceModel { light_shape: vec![outline.clone()], ..PieceModel::default() }],
                leads: vec![
                    Strip { line: outline.clone(), closed: false, width_mm: 5.0 },
                    Strip { line: outline, closed: true, width_mm: f64::NAN },
                ],
                ..WindowModel::default()
            };
            let mesh = WindowMesh::new(&model);
            let vertices = mesh.glass.vertices.len() as u32;
            assert!(mesh.glass.indices.iter().all(|&i| i < vertices));
            assert!(mesh.solid.vertices.iter().all(|v| v.position.iter().all(|x| x.is_finite())));
        }
    }
}
