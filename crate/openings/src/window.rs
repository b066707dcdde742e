//! Drawing a window from its measurements.

use crate::bars::Bars;
use crate::border::Border;
use crate::convex::inscribed_radius;
use crate::cutlines::{Faces, cutlines};
use crate::division::Division;
use crate::fault::{OpeningFault, OpeningFaults};
use crate::filling::Filling;
use crate::lattice::Lattice;
use crate::leads::Leads;
use crate::offcut::Offcut;
use crate::opening::Opening;
use crate::shape::Shape;
use crate::text::polyline;
use panel::{Cutline, Drawing, Outline, Panel, PanelNote, PanelOptions, panel_from_drawing};
use plane::{PanelPoint, contains, signed_area};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Most pieces that one window may have.
pub const PIECE_LIMIT: usize = 20_000;

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

    /// The same with the panel, which has to be made anyway. `most_pieces`: a window of about more is refused before it
    /// is drawn; at most [`PIECE_LIMIT`].
    ///
    /// # Errors
    /// As of [`drawing`].
    pub fn drawn(&self, most_pieces: usize) -> Result<Drawn, OpeningFaults> {
        let Measurements { opening, filling, border, bars, leads } = self;
        drawn(opening, filling, border.as_ref(), bars.as_ref(), leads, most_pieces)
    }
}

/// A window as it is drawn.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its drawing.
    pub drawing: Drawing,
    /// The panel that the drawing makes, without a fault or a repair.
    pub panel: Panel,
    /// Height of the head above the springing line, mm. `None` of a rectangle and a circle.
    pub rise_mm: Option<f64>,
    /// Width and height of a whole pane or quarry, mm, between the leads' centre lines. `None` of a single piece.
    pub pane_mm: Option<[f64; 2]>,
}

/// Draws a window: a drawing that [`panel::panel_from_drawing`] makes into a panel without a fault or a repair.
///
/// The cutlines are, in this order: the border's inner edge, the leads across the border, the leads of the field.
///
/// # Errors
/// [`OpeningFaults`] with every measurement that is impossible by itself or with the others. A window of more than
/// [`PIECE_LIMIT`] pieces is refused before it is drawn; one that is drawn and makes no sound panel, after that.
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
    drawn(opening, filling, border, bars, leads, PIECE_LIMIT).map(|drawn| drawn.drawing)
}

fn drawn(
    opening: &Opening,
    filling: &Filling,
    border: Option<&Border>,
    bars: Option<&Bars>,
    leads: &Leads,
    most_pieces: usize,
) -> Result<Drawn, OpeningFaults> {
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
    let window = Window { shape, filling, border, leads, most_pieces: most_pieces.min(PIECE_LIMIT) };
    window.draw(bars).map_err(|fault| OpeningFaults { faults: vec![fault] })
}

/// A window whose measurements are possible, each by itself.
struct Window<'a> {
    shape: Shape,
    filling: &'a Filling,
    border: Option<&'a Border>,
    leads: &'a Leads,
    most_pieces: usize,
}

impl Window<'_> {
    fn draw(&self, bars: Option<&Bars>) -> Result<Drawn, OpeningFault> {
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
            let division = Division::new(&field, lattice, Offcut::new(lattice, self.least_radius()));
            let Leads { border_face_mm, face_mm } = *self.leads;
            let edge_mm = if self.border.is_some() { face_mm } else { border_face_mm };
            let faces = Faces { edge_mm, inside_mm: face_mm };
            let lines = cutlines(&division, lattice, &field, &inner, faces);
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
        let drawing = Drawing {
            outline: Outline { path: outline.path(&stops), face_mm: self.leads.border_face_mm },
            cutlines: paths.into_iter().map(|path| Cutline { path, face_mm }).collect(),
            bars: bars.map(|bars| bars.bars(&self.shape, lattice.as_ref())).unwrap_or_default(),
        };
        Ok(Drawn {
            panel: self.sound_panel(&drawing, &polygon)?,
            drawing,
            rise_mm: self.shape.rise(),
            pane_mm: lattice.map(|lattice| lattice.pane()),
        })
    }

    /// Refuses windows of too many pieces, or with less glass than lead allows.
    fn check_size(&self, field: &[PanelPoint], lattice: Option<&Lattice>) -> Result<(), OpeningFault> {
        let least = self.least_radius();
        let limit = self.most_pieces;
        let little = |what, radius: f64| OpeningFault::LittleGlass {
            what,
            least_mm: 2.0 * least,
            found_mm: 2.0 * radius,
        };
        let outline = self.shape.ring(0.0);
        let of_border = self.border.map_or(0.0, |border| {
            outline.edges.iter().map(|edge| edge.length() / border.piece_mm()).sum::<f64>()
        });
        let of_field = lattice.map_or(1.0, |lattice| signed_area(field) / lattice.cell_area());
        let found = of_border + of_field;
        if found > limit as f64 {
            let field = if of_border > of_field { "border.piece_mm" } else { "filling" };
            return Err(OpeningFault::TooManyPieces { field, limit, found });
        }
        if let Some(lattice) = lattice
            && lattice.regular_radius() < least
        {
            return Err(little("filling's smallest regular pieces", lattice.regular_radius()));
        }
        let radius = inscribed_radius(field);
        if radius < least { Err(little("field", radius)) } else { Ok(()) }
    }

    /// The panel of a drawing. Refuses a drawing that makes none, or one with faults or repairs: small panes between wide
    /// leads may leave remnants that nothing shows of. `field`: what the border leaves of the opening.
    fn sound_panel(&self, drawing: &Drawing, field: &[PanelPoint]) -> Result<Panel, OpeningFault> {
        let at_fault = |at: PanelPoint| match self.border {
            Some(Border { piece_mm: Some(_), .. }) if !contains([field], at) => "border.piece_mm",
            Some(_) if !contains([field], at) => "border.width_mm",
            _ if matches!(self.filling, Filling::Plain {}) => "leads",
            _ => "filling",
        };
        let place =
            |at: PanelPoint| format!("{:.0} right and {:.0} up, mm from the lower left", at[0], at[1]);
        let panel = panel_from_drawing(drawing, &PanelOptions::default())
            .map_err(|error| OpeningFault::NotSound { field: "filling", reason: error.to_string() })?;
        let (what, at) = match (panel.notes.first(), panel.open_ends.first()) {
            (Some(PanelNote::PieceCovered { at, .. }), _) => ("a piece that its leads cover", *at),
            (Some(PanelNote::PieceParted { at, .. }), _) => {
                ("a piece whose narrow neck its leads cover", *at)
            }
            (Some(PanelNote::PieceTooThin { at, .. }), _) => ("a piece too thin to be cut", *at),
            (Some(note), _) => {
                return Err(OpeningFault::NotSound { field: "filling", reason: note.to_string() });
            }
            (None, Some(end)) => ("a lead that meets no other", end.at),
            (None, None) => return Ok(panel),
        };
        Err(OpeningFault::NotSound { field: at_fault(at), reason: format!("{what}, {}", place(at)) })
    }

    fn least_radius(&self) -> f64 {
        self.leads.least_radius_mm(self.border.is_some())
    }
}
