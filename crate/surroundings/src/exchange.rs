//! The exchange of light of a site, and what a window in it gets and sees.

use plane::RoomVector;

use crate::fault::{Fault, within};
use crate::light::{Light, Met, Vertical};
use crate::section::{LitSection, Section};
use crate::site::{Opposite, Reflectances, Site};
use crate::solid::{LitSolid, Solid};

/// The geometry of a site with the sun in one place: which surface gets how much of what another sends.
#[derive(Clone, Debug)]
pub struct Exchange {
    own_building: bool,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    Section(Section),
    Solid(Box<Solid>),
}

impl Exchange {
    /// The exchange of a site; `sun` is the unit vector toward the sun, which decides where shadows end.
    ///
    /// # Errors
    /// [`Fault`] for a measurement out of its range and for a direction that is not a unit vector.
    pub fn new(site: &Site, sun: Option<RoomVector>) -> Result<Self, Fault> {
        site.check()?;
        if let Some(sun) = sun {
            unit("sun", sun)?;
        }
        let kind = match site.opposite {
            Opposite::Nothing => Kind::Section(Section::new(site, None, sun)),
            Opposite::Street(street) => Kind::Section(Section::new(site, Some(street), sun)),
            Opposite::Block(block) => Kind::Solid(Box::new(Solid::new(site, block, sun))),
        };
        Ok(Self { own_building: site.own_height_m > 0.0, kind })
    }

    /// The site in a light: everything thrown back and forth until nothing changes.
    ///
    /// # Errors
    /// [`Fault`] for a reflectance outside 0–1 and a beam that is negative or not a number.
    pub fn lit<'a>(&'a self, light: Light<'a>, reflectances: &Reflectances) -> Result<Lit<'a>, Fault> {
        reflectances.check()?;
        within("sky.beam_normal_lx", light.beam_normal, &(0.0..=f64::MAX), "a number from 0")?;
        let kind = match &self.kind {
            Kind::Section(section) => LitKind::Section(section.lit(light, reflectances)),
            Kind::Solid(solid) => LitKind::Solid(Box::new(solid.lit(light, reflectances))),
        };
        Ok(Lit { own_building: self.own_building, kind })
    }
}

/// A site in a light.
pub struct Lit<'a> {
    own_building: bool,
    kind: LitKind<'a>,
}

enum LitKind<'a> {
    Section(LitSection<'a>),
    Solid(Box<LitSolid<'a>>),
}

impl Lit<'_> {
    /// Illuminance on the upright plane at the window's middle.
    pub fn vertical(&self) -> Vertical {
        match &self.kind {
            LitKind::Section(section) => section.vertical(),
            LitKind::Solid(solid) => solid.vertical(),
        }
    }

    /// What a view from the window's middle meets toward a unit vector.
    ///
    /// # Errors
    /// [`Fault`] for a direction that is not a unit vector, or leads into the own building.
    pub fn met(&self, toward: RoomVector) -> Result<Met, Fault> {
        unit("look", toward)?;
        if self.own_building && toward.to_array()[2] > 1e-9 {
            return Err(Fault {
                field: "look",
                expected: "a bearing from -90 to 90 degrees, since the own building lies behind the window",
                found: format!("the direction {toward:?}"),
            });
        }
        Ok(match &self.kind {
            LitKind::Section(section) => section.met(toward),
            LitKind::Solid(solid) => solid.met(toward),
        })
    }
}

fn unit(field: &'static str, vector: RoomVector) -> Result<(), Fault> {
    if (vector.length() - 1.0).abs() < 1e-6 {
        return Ok(());
    }
    Err(Fault { field, expected: "a unit vector", found: format!("{vector:?}") })
}
