//! Drawing a window from its measurements.

use crate::bars::Bars;
use crate::border::Border;
use crate::convex::inscribed_radius;
use crate::cutlines::cutlines;
use crate::division::Division;
use crate::fault::{OpeningFault, OpeningFaults};
use crate::filling::Filling;
use crate::lattice::Lattice;
use crate::leads::Leads;
use crate::opening::Opening;
use crate::shape::Shape;
use crate::text::polyline;
use panel::{Cutline, Drawing, Outline};
use plane::{PanelPoint, signed_area};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Most pieces that one window may have.
pub const PIECE_LIMIT: usize = 20_000;

/// Pieces narrower than this are offcuts, mm: diameter of the largest circle that fits. Smaller pieces are hard to cut
/// and mostly hidden by their leads. Common practice, no source.
pub const OFFCUT_MM: f64 = 15.0;

/// A remnant is never an offcut if its circle is at least this share of the smallest regular piece's.
const REGULAR_SHARE: f64 = 0.9;

/// A leaded window by its measurements.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Measurements {
    /// The daylight opening.
    pub opening: Opening,
    /// What fills it.
    pub filling: Filling,
    /// A strip of glass all round; none without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub border: Option<Border>,
    /// Saddle bars; none without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bars: Option<Bars>,
    /// The leads' widths.
    #[serde(default)]
    pub leads: Leads,
}

impl Measurements {
    /// The window's drawing; see [`drawing`].
    ///
    /// # Errors
    /// As of [`drawing`].
    pub fn drawing(&self) -> Result<Drawing, OpeningFaults> {
        drawing(&self.opening, &self.filling, self.border.as_ref(), self.bars.as_ref(), &self.leads)
    }
}

/// Draws a window: a drawing that [`panel::panel_from_drawing`] makes into a panel without a fault or a repair.
///
/// The cutlines are, in this order: the border's inner edge, the leads across the border, the leads of the field.
///
/// # Errors
/// [`OpeningFaults`] with every measurement that is impossible by itself or with the others; a window of more than
/// [`PIECE_LIMIT`] pieces is refused before it is drawn.
///
/// # Example
/// ```
/// use openings::{Filling, Leads, Opening, drawing};
/// use panel::{PanelOptions, panel_from_drawing};
///
/// let opening = Opening::RoundHeaded { width_mm: 600.0, height_mm: 1200.0 };
/// let window = drawing(&opening, &Filling::Plain {}, None, None, &Leads::default()).unwrap();
/// assert_eq!(window.outline.path, "M0 0L600 0L600 900A300 300 0 0 1 300 1200A300 300 0 0 1 0 900Z");
/// let panel = panel_from_drawing(&window, &PanelOptions::default()).unwrap();
/// assert_eq!(panel.pieces.len(), 1);
/// ```
pub fn drawing(
    opening: &Opening,
    filling: &Filling,
    border: Option<&Border>,
    bars: Option<&Bars>,
    leads: &Leads,
) -> Result<Drawing, OpeningFaults> {
    let mut faults = Vec::new();
    let shape = opening.shape(&mut faults);
    leads.check(&mut faults);
    if let (Some(border), Some(shape)) = (border, &shape) {
        border.check(shape, leads, &mut faults);
    }
    filling.check(&mut faults);
    if let Some(bars) = bars {
        bars.check(&mut faults);
    }
    let Some(shape) = shape.filter(|_| faults.is_empty()) else { return Err(OpeningFaults { faults }) };
    let window = Window { shape, filling, border, leads };
    window.draw(bars).map_err(|fault| OpeningFaults { faults: vec![fault] })
}

/// A window whose measurements are possible, each by itself.
struct Window<'a> {
    shape: Shape,
    filling: &'a Filling,
    border: Option<&'a Border>,
    leads: &'a Leads,
}

impl Window<'_> {
    fn draw(&self, bars: Option<&Bars>) -> Result<Drawing, OpeningFault> {
        let outline = self.shape.ring(0.0);
        let field = self.border.map_or_else(|| outline.clone(), |border| self.shape.ring(border.width_mm));
        let polygon = field.polygon();
        let lattice = self.filling.lattice(&polygon);
        self.check_size(&polygon, lattice.as_ref())?;

        let joints = self.border.map(|border| border.joints(&self.shape)).unwrap_or_default();
        let inner: Vec<PanelPoint> = joints.iter().map(|joint| joint.inner).collect();
        let mut stops: Vec<_> = inner.iter().map(|&p| field.nearest(p)).collect();
        let mut paths = Vec::new();
        if let Some(lattice) = &lattice {
            let division = Division::new(&field, lattice, self.offcut_radius(lattice));
            self.check_offcuts(&division)?;
            let lines = cutlines(&division, lattice, &field, &inner);
            stops.extend(lines.stops);
            paths = lines.paths;
        }
        if self.border.is_some() {
            let across = joints.iter().map(|joint| polyline(&[joint.outer, joint.inner]));
            let mut all = vec![field.path(&stops)];
            all.extend(across);
            all.append(&mut paths);
            paths = all;
            stops = joints.iter().map(|joint| outline.nearest(joint.outer)).collect();
        }
        let face_mm = self.leads.face_mm;
        Ok(Drawing {
            outline: Outline { path: outline.path(&stops), face_mm: self.leads.border_face_mm },
            cutlines: paths.into_iter().map(|path| Cutline { path, face_mm }).collect(),
            bars: bars.map(|bars| bars.bars(&self.shape, lattice.as_ref())).unwrap_or_default(),
        })
    }

    /// Refuses windows of too many pieces, or with less glass than lead allows.
    fn check_size(&self, field: &[PanelPoint], lattice: Option<&Lattice>) -> Result<(), OpeningFault> {
        let least = self.least_radius();
        let little = |what, radius: f64| OpeningFault::LittleGlass {
            what,
            least_mm: 2.0 * least,
            found_mm: 2.0 * radius,
        };
        if let Some(border) = self.border {
            let found = self.shape.ring(0.0).edges.iter().map(|edge| edge.length() / border.piece_mm()).sum();
            if found > PIECE_LIMIT as f64 {
                return Err(OpeningFault::TooManyPieces {
                    field: "border.piece_mm",
                    limit: PIECE_LIMIT,
                    found,
                });
            }
        }
        if let Some(lattice) = lattice {
            let found = signed_area(field) / lattice.cell_area();
            if found > PIECE_LIMIT as f64 {
                return Err(OpeningFault::TooManyPieces { field: "filling", limit: PIECE_LIMIT, found });
            }
            if lattice.regular_radius() < least {
                return Err(little("filling's smallest regular pieces", lattice.regular_radius()));
            }
        }
        let radius = inscribed_radius(field);
        if radius < least { Err(little("field", radius)) } else { Ok(()) }
    }

    fn check_offcuts(&self, division: &Division) -> Result<(), OpeningFault> {
        match division.smallest() {
            Some(smallest) if smallest.radius < self.least_radius() => Err(OpeningFault::Offcut {
                at: smallest.at,
                least_mm: 2.0 * self.least_radius(),
                found_mm: 2.0 * smallest.radius,
            }),
            _ => Ok(()),
        }
    }

    fn least_radius(&self) -> f64 {
        self.leads.least_radius_mm(self.border.is_some())
    }

    /// Pieces in which no circle of this radius fits are offcuts.
    fn offcut_radius(&self, lattice: &Lattice) -> f64 {
        (OFFCUT_MM / 2.0).min(REGULAR_SHARE * lattice.regular_radius()).max(self.least_radius())
    }
}
