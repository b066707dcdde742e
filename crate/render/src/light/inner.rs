//! The light of an instant on the inner reveal, through the glass and from the room.

use std::f64::consts::FRAC_1_PI;

use glam::{DVec2, DVec3};
use plane::{PanelPoint, RoomVector, WallPoint};
use reveal::{Face, Way};

use crate::light::bands::{Bands, BandsToRgb};
use crate::light::inner_scatter::add_scattered;
use crate::light::outside::compass;
use crate::light::wall::{Around, WallLight};
use crate::shared::records::FieldInner;
use crate::window::inner_glass::InnerGlass;
use crate::window::inner_view::{InnerView, Source};
use crate::window::inner_wall::InnerWall;
use crate::window::outer_wall::OuterWall;

/// Samples of the sun across and along each quad of the net.
const SUB: usize = 3;

/// The light of an instant that the sides of an inner reveal send, as the renderer takes it: at each node of its net.
#[derive(Clone, Debug, PartialEq)]
pub struct InnerLight {
    pub(crate) nodes: Vec<FieldInner>,
}

/// Sunlight on the sides over π.
struct Sun {
    /// At each node, reflected once, linear RGB.
    at_nodes: Vec<DVec3>,
    /// On each fine patch, in the mean.
    on_patches: Vec<Bands>,
}

impl InnerLight {
    pub(crate) fn new(
        wall: &InnerWall,
        (view, glass): (&InnerView, &InnerGlass),
        outer: Option<(&OuterWall, &WallLight)>,
        around: &Around<'_>,
    ) -> Self {
        let to_rgb = BandsToRgb::new();
        let mut received = through_glass(view, glass, outer.map(|(_, light)| light), around);
        add_scattered(view, glass, outer, around, toward_sun(around), &mut received);
        let sun = Sun::new(wall, (view, glass), outer.map(|(outer, _)| outer), around, &to_rgb);
        let mut all = received.clone();
        if let Some(sun) = &sun {
            all.iter_mut().zip(&sun.on_patches).for_each(|(sum, sun)| sum.add_scaled(1.0, sun));
        }
        let exchanged = wall.gathered(&all);
        // The sun's own light is drawn as sharply as the net allows.
        let sent: Vec<DVec3> = received
            .iter()
            .zip(&exchanged)
            .zip(&wall.facets)
            .map(|((light, more), facet)| {
                let mut light = *light;
                light.add_scaled(1.0, more);
                to_rgb.rgb(&light.times(wall.reflectance_bands(facet.face)))
            })
            .collect();
        let mut nodes: Vec<FieldInner> = wall
            .between
            .iter()
            .zip(&wall.room)
            .map(|(patches, room)| {
                let light: DVec3 = patches.iter().map(|&(k, w)| sent[k as usize] * f64::from(w)).sum();
                FieldInner { light: light.as_vec3(), unused: 0.0, room: *room, unused_too: 0.0 }
            })
            .collect();
        if let Some(sun) = &sun {
            nodes.iter_mut().zip(&sun.at_nodes).for_each(|(node, sun)| node.light += sun.as_vec3());
        }
        Self { nodes }
    }
}

/// What each fine patch gets of the light of sky, ground and stone outside that goes straight through the
/// glass, over π.
fn through_glass(
    view: &InnerView,
    glass: &InnerGlass,
    outer: Option<&WallLight>,
    around: &Around<'_>,
) -> Vec<Bands> {
    let spectra: Vec<Bands> = around.basis.spectra.iter().skip(1).map(Bands::of).collect();
    let mut weights = vec![0.0; spectra.len() + 1];
    let stone: Vec<Bands> = outer.map_or(Vec::new(), |light| {
        light.sent.iter().map(|sent| Bands::of(sent).scaled(FRAC_1_PI as f32)).collect()
    });
    let lights: Vec<Bands> = view
        .sources
        .iter()
        .map(|source| match source {
            Source::Stone(patch) => stone.get(*patch).copied().unwrap_or(Bands::ZERO),
            Source::Outside(parts) => {
                let mut sum = Bands::ZERO;
                for toward in parts {
                    let direction = compass(around.facing_deg, toward.to_array().into());
                    around.basis.weights_into(direction, &mut weights);
                    for (weight, spectrum) in weights[1..].iter().zip(&spectra) {
                        sum.add_scaled((weight / parts.len() as f64) as f32, spectrum);
                    }
                }
                sum
            }
        })
        .collect();
    view.seen
        .iter()
        .map(|seen| {
            let mut sum = Bands::ZERO;
            for of in seen {
                let pane = &glass.panes[of.piece as usize];
                pane.add_passed(&lights[of.source as usize], of.angle, of.form, &mut sum);
            }
            sum
        })
        .collect()
}

fn toward_sun(around: &Around<'_>) -> RoomVector {
    let sun = around.outside.sun().direction();
    RoomVector::toward_sky(sun.azimuth_deg - around.facing_deg, sun.altitude_deg)
}

impl Sun {
    /// `None` if it does not shine on the glass.
    fn new(
        wall: &InnerWall,
        (view, glass): (&InnerView, &InnerGlass),
        outer: Option<&OuterWall>,
        around: &Around<'_>,
        to_rgb: &BandsToRgb,
    ) -> Option<Self> {
        let toward = toward_sun(around);
        let normal = around.outside.beam_normal() * outer.map_or(1.0, |outer| outer.openness(toward));
        let beam = wall.opening.beam(toward).filter(|_| normal.max() > 0.0)?;
        let shaded = wall.wall.depths.outer.depth_m > 0.0 || wall.wall.depths.overhang.is_some();
        let lit = beam.lit(wall.opening.outline().corners());
        let notched = !wall.opening.outline().is_convex();
        let passed = glass.panes.iter().map(|pane| pane.transmittance(-toward[2])[0] * normal * FRAC_1_PI);
        let passed: Vec<Bands> = passed.map(|light| Bands::of(&light)).collect();
        let seen = |face: Face| -> Vec<DVec3> {
            passed.iter().map(|of| to_rgb.rgb(&of.times(wall.reflectance_bands(face)))).collect()
        };
        let (on_sides, on_sill) = (seen(Face::Jamb), seen(Face::Sill));

        let net = &wall.net;
        let mut at_nodes = vec![DVec3::ZERO; net.nodes()];
        let mut on_patches = vec![(Bands::ZERO, 0.0_f32); wall.facets.len()];
        for (number, side) in net.sides.iter().enumerate() {
            let [x, y, z] = side.normal.to_array();
            let cosine = RoomVector::new(x, y, z).dot(toward);
            if cosine <= 0.0 {
                continue;
            }
            let steps = side.steps();
            let parts = (0..steps * SUB).flat_map(|k| (0..net.rows * SUB).map(move |j| [k, j]));
            for [k, j] in parts {
                let place = [k, j].map(|n| (n as f64 + 0.5) / SUB as f64);
                let (along, deep) = (place[0] / steps as f64, place[1] / net.rows as f64);
                let patch = wall.patch_at(number, along, deep);
                let (sum, count) = &mut on_patches[patch];
                *count += 1.0;
                let point = side.at(along, deep, net.depth_mm);
                let foot = wall.placement.wall_from_panel(PanelPoint::new(point[0], point[1]));
                let back = 0.001 * point[2] / -toward[2];
                let at = WallPoint::new(foot.x() + back * toward[0], foot.y() + back * toward[1]);
                let Some(piece) = view.piece_at(DVec2::new(at.x(), at.y())) else { continue };
                if (shaded && !plane::contains(&lit, at))
                    || (notched && wall.opening.inward(at, -toward) != Way::Patch(patch))
                {
                    continue;
                }
                sum.add_scaled(cosine as f32, &passed[piece]);
                let of = if wall.facets[patch].face == Face::Sill { &on_sill } else { &on_sides };
                let light = of[piece] * cosine;
                let [(k, a), (j, b)] = place.map(|at| (at as usize, at.fract()));
                for (column, row, weight) in [
                    (k, j, (1.0 - a) * (1.0 - b)),
                    (k + 1, j, a * (1.0 - b)),
                    (k, j + 1, (1.0 - a) * b),
                    (k + 1, j + 1, a * b),
                ] {
                    at_nodes[net.node(side.columns[column], row)] += light * weight;
                }
            }
        }
        // Each quad gives each of its corners a quarter of its samples.
        let of_quad = (SUB * SUB) as f64 / 4.0;
        Some(Self {
            at_nodes: at_nodes
                .into_iter()
                .zip(&wall.quads)
                .map(|(sum, quads)| sum / (of_quad * quads))
                .collect(),
            on_patches: on_patches.into_iter().map(|(sum, n)| sum.scaled(1.0 / n.max(1.0))).collect(),
        })
    }
}
