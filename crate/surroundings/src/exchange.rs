//! The geometry of a site: which patch gets how much of what the sky and each other patch send.

use std::collections::BTreeMap;
use std::sync::Arc;

use glam::{DVec3, dvec3};

use crate::cast::{Face, Hit, Scene, before};
use crate::fault::Fault;
use crate::fineness::Fineness;
use crate::patches::{Area, Patches};
use crate::rays::{Ray, fixed};
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
        let rays = fixed(fineness.rays());
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
        const SUN_POINTS: usize = 24;
        let (mut sky, mut others) = (BTreeMap::<u32, f64>::new(), BTreeMap::<u32, f64>::new());
        let (mut points, mut count) = (Vec::new(), 0);
        for ray in rays {
            let at = self.scene.point(face, area.at(ray.place));
            if self.scene.buries(at) {
                continue;
            }
            count += 1;
            if points.len() < SUN_POINTS {
                points.push(at);
            }
            let toward = face.turned(ray.direction);
            match self.scene.cast(at, toward) {
                Hit::Sky => *sky.entry(self.sky.number(toward) as u32).or_default() += 1.0,
                Hit::Black(_) => {}
                Hit::Face(met, at) => {
                    if let Some(number) = self.patches.number(met, met.place(at)) {
                        *others.entry(number as u32).or_default() += 1.0;
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
        self.points.push(points);
        self.hidden.push(count == 0);
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
