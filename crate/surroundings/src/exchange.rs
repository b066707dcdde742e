//! The geometry of a site: which patch gets how much of what the sky and each other patch send.

use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::Arc;

use glam::{DVec3, dvec3};

use crate::cast::{Face, Hit, Scene, before};
use crate::fault::Fault;
use crate::fineness::Fineness;
use crate::patches::{Area, Patches};
use crate::rays::{Ray, even_places, fixed};
use crate::site::Site;
use crate::sky::SkyCells;

/// The geometry of a site, the same for every sun, hour and wavelength. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Exchange(pub(crate) Arc<Geometry>);

/// Patches of a site, and what each sees.
#[derive(Debug)]
pub(crate) struct Geometry {
    pub(crate) site: Site,
    pub(crate) fineness: Fineness,
    pub(crate) scene: Scene,
    pub(crate) patches: Patches,
    pub(crate) sky: SkyCells,
    /// Face of each patch.
    pub(crate) faces: Vec<Face>,
    /// Cells of the sky that each patch sees, with the share of its view that each fills.
    pub(crate) skies: Vec<Vec<(u32, f64)>>,
    /// Patches that each patch sees, with the share of its view that each fills.
    pub(crate) views: Vec<Vec<(u32, f64)>>,
    /// Points of each patch at which the sun is looked for.
    pub(crate) points: Vec<Vec<DVec3>>,
    /// Patches within a block.
    pub(crate) hidden: Vec<bool>,
}

impl Exchange {
    /// The exchange of a site.
    ///
    /// # Errors
    /// [`Fault`] for a measurement out of its range.
    pub fn new(site: &Site, fineness: Fineness) -> Result<Self, Fault> {
        site.check()?;
        let scene = Scene::of(site);
        let patches = Patches::of(&scene, site, fineness);
        let rays = fixed(fineness.rays(site.blocks.len(), site.is_endless()));
        let mut geometry = Geometry {
            site: site.clone(),
            fineness,
            scene,
            sky: SkyCells::new(fineness),
            faces: Vec::new(),
            skies: Vec::new(),
            views: Vec::new(),
            points: Vec::new(),
            hidden: Vec::new(),
            patches,
        };
        let all: Vec<(Face, Area)> = geometry.patches.iter().collect();
        let buried = |(face, area): &(Face, Area)| {
            rays.iter().all(|ray| geometry.scene.buries(geometry.scene.point(*face, area.at(ray.place))))
        };
        geometry.hidden = all.iter().map(buried).collect();
        for (face, area) in all {
            geometry.look_around(face, area, &rays);
        }
        Ok(Self(Arc::new(geometry)))
    }

    /// The site.
    pub fn site(&self) -> &Site {
        &self.0.site
    }
}

impl Geometry {
    /// Adds a patch: what its rays meet.
    fn look_around(&mut self, face: Face, area: Area, rays: &[Ray]) {
        let (mut sky, mut others) = (BTreeMap::<u32, f64>::new(), BTreeMap::<u32, f64>::new());
        let mut count = 0;
        // Turned by the golden angle from patch to patch, so that neighbours do not all miss the same narrow gap.
        let (sin, cos) = (PI * (3.0 - 5.0_f64.sqrt()) * self.faces.len() as f64).sin_cos();
        for ray in rays {
            let at = self.scene.point(face, area.at(ray.place));
            if self.scene.buries(at) {
                continue;
            }
            count += 1;
            let DVec3 { x, y, z } = ray.direction;
            let toward = face.turned(dvec3(cos * x - sin * y, sin * x + cos * y, z));
            match self.scene.cast(at, toward) {
                Hit::Sky => *sky.entry(self.sky.number(toward) as u32).or_default() += 1.0,
                Hit::Black(_) => {}
                Hit::Face(met, at) => {
                    // One of the patches around, each as often as its weight says: light varies between their middles.
                    let mut left = ray.pick;
                    for (number, weight) in self.patches.around(met, met.place(at), &self.hidden) {
                        if weight > left {
                            *others.entry(number as u32).or_default() += 1.0;
                            break;
                        }
                        left -= weight;
                    }
                }
            }
        }
        let shares = |of: BTreeMap<u32, f64>| {
            of.into_iter().map(|(number, hits)| (number, hits / f64::from(count.max(1)))).collect()
        };
        self.faces.push(face);
        self.skies.push(shares(sky));
        self.views.push(shares(others));
        let points = even_places().map(|place| self.scene.point(face, area.at(place)));
        self.points.push(points.filter(|at| !self.scene.buries(*at)).collect());
    }

    /// Just outside the window's middle.
    pub(crate) fn window(&self) -> DVec3 {
        window(&self.site)
    }
}

/// Just outside the middle of the window of a site.
pub(crate) fn window(site: &Site) -> DVec3 {
    before(Face::Own, dvec3(0.0, site.window_middle_height_m, 0.0))
}
