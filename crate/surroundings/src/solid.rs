//! A single block before the window, in space.
//!
//! Ground, own wall and the block's upright faces are divided into patches. From each, rays with fixed quasi-random
//! places and directions say what share of its view the sky and every other patch fill: visibility is exact, the shares
//! of a patch sum to one, and nothing is singular where surfaces meet. What the window gets is then gathered by bearing
//! and altitude with the edges of the block as limits, and beam and shadow at every point on its own.

mod cast;
mod lit;
mod patches;
mod rays;
mod window;

use plane::RoomVector;

use crate::site::{Block, Site};

pub(crate) use lit::LitSolid;

use cast::{Hit, Scene};
use patches::Patches;
use rays::Ray;

/// What the rays of a patch met.
#[derive(Clone, Debug, Default)]
struct View {
    /// Numbers of the rays that reach the sky.
    sky: Vec<u16>,
    /// Patches met, one entry a ray.
    patches: Vec<u32>,
    /// Illuminance by a beam of strength one, mean over the patch.
    sunlit: f64,
}

/// Patches of a site with a block, and what each sees.
#[derive(Clone, Debug)]
pub(crate) struct Solid {
    scene: Scene,
    window_height: f64,
    sun: Option<RoomVector>,
    patches: Patches,
    rays: Vec<Ray>,
    views: Vec<View>,
}

impl Solid {
    pub(crate) fn new(site: &Site, block: Block, sun: Option<RoomVector>) -> Self {
        let scene = Scene { own_height: site.own_height_m, block };
        let patches = Patches::of(&scene, site, sun);
        let rays = rays::fixed();
        let views = (0..patches.len()).map(|i| view(&scene, &patches, &rays, sun, i)).collect();
        Self { scene, window_height: site.window_middle_height_m, sun, patches, rays, views }
    }
}

fn view(scene: &Scene, patches: &Patches, rays: &[Ray], sun: Option<RoomVector>, number: usize) -> View {
    let mut view = View::default();
    let Some((face, area)) = patches.patch(number) else { return view };
    for (k, ray) in rays.iter().enumerate() {
        let at = scene.point(face, area.at(ray.place));
        match scene.cast(at, face.turned(ray.direction)) {
            Hit::Sky => view.sky.push(k as u16),
            Hit::Black(_) => {}
            Hit::Face(face, at) => view.patches.push(patches.number(face, face.place(at)) as u32),
        }
    }
    if let Some(sun) = sun {
        let few = &rays[..rays.len() / 8];
        let sum: f64 =
            few.iter().map(|ray| scene.sunlit(face, scene.point(face, area.at(ray.place)), sun)).sum();
        view.sunlit = sum / few.len() as f64;
    }
    view
}
