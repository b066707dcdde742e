//! The panel: pieces, leads, joints and bars, and which lies where.

use crate::drawing::Line;
use crate::fault::PanelNote;
use crate::polygon::Polygon;

/// A leaded panel made from a drawing.
///
/// Panel plane in mm as seen from inside: origin lower left of the sight size, x right, y up. The pieces'
/// heart-line outlines share their edges and fill the opening without gap or overlap; what of a piece is not
/// [`Piece::light`] is under lead, so light and lead add up to the opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Width of the sight size, mm.
    pub width_mm: f64,
    /// Height of the sight size, mm.
    pub height_mm: f64,
    /// The opening: the sight size as a polygon.
    pub opening: Polygon,
    /// The pieces, row by row from the top left.
    pub pieces: Vec<Piece>,
    /// The leads from joint to joint, those of the border included.
    pub leads: Vec<LeadLine>,
    /// Where leads end: solder joints, and the open ends.
    pub joints: Vec<Joint>,
    /// The saddle bars, in the drawing's order.
    pub bars: Vec<SaddleBar>,
    /// Cutlines that end without meeting another line.
    pub open_ends: Vec<OpenEnd>,
    /// What else was found or done.
    pub notes: Vec<PanelNote>,
}

/// One piece of glass.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Along the centre lines (hearts) of its leads.
    pub outline: Polygon,
    /// For each edge of `outline`, the lead it runs along (index into [`Panel::leads`]).
    ///
    /// First the outer ring, then the holes; edge `i` runs from point `i` to point `i + 1`.
    pub edge_leads: Vec<Vec<usize>>,
    /// What lets light pass, between the faces of its leads. Empty where the leads cover the piece.
    ///
    /// The points of `outline` farther than half a face from each of its leads.
    pub light: Vec<Polygon>,
    /// The glass as cut: clear of the hearts by half their thickness and the cutter's clearance.
    pub cut: Vec<Polygon>,
    /// Area of `outline`, mm².
    pub area_mm2: f64,
    /// Area of `light`, mm².
    pub light_area_mm2: f64,
    /// Area of `cut`, mm².
    pub cut_area_mm2: f64,
    /// Length of all edges of `cut`, mm.
    pub cut_perimeter_mm: f64,
    /// The pieces beyond its leads, one entry a lead, ordered by piece, then lead.
    pub neighbours: Vec<Neighbour>,
    /// A point well inside `light`: the centre of about the largest circle that fits (inside `outline` where
    /// there is no light).
    pub interior_point: [f64; 2],
    /// Bounding box of `outline`: [x, y] of the lower left and of the upper right.
    pub bounds: [[f64; 2]; 2],
}

/// A piece on the other side of a lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// Index of the other piece.
    pub piece: usize,
    /// Length of the lead between them, mm.
    pub shared_mm: f64,
    /// Index of that lead.
    pub lead: usize,
}

/// A lead from one joint to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct LeadLine {
    /// Centre line (heart), mm; first and last point are joints. The two coincide in a closed ring.
    pub points: Vec<[f64; 2]>,
    /// Full face width, mm.
    pub face_mm: f64,
    /// Length of the centre line, mm.
    pub length_mm: f64,
    /// Joint at the first point.
    pub from_joint: usize,
    /// Joint at the last point.
    pub to_joint: usize,
    /// Piece on the left going along `points`; `None` outside the opening.
    pub left: Option<usize>,
    /// Piece on the right; `None` outside the opening. Left and right are one piece where the lead is open.
    pub right: Option<usize>,
    /// The line it was drawn with: `Line::Outline` for the border.
    pub line: Line,
}

/// A point where leads end or a lead turns a corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Place, mm.
    pub at: [f64; 2],
    /// Leads that start or end here, ascending; a ring that closes here stands twice.
    pub leads: Vec<usize>,
}

impl Joint {
    /// True where leads are soldered: two or more ends meet. False at an open end.
    pub fn is_solder(&self) -> bool {
        self.leads.len() > 1
    }
}

/// A saddle bar.
#[derive(Debug, Clone, PartialEq)]
pub struct SaddleBar {
    /// Axis, one or more polylines, mm.
    pub axis: Vec<Vec<[f64; 2]>>,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Length of the axis, mm.
    pub length_mm: f64,
}

/// A cutline that ends in the middle of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenEnd {
    /// The cutline.
    pub line: Line,
    /// Where it ends, mm.
    pub at: [f64; 2],
    /// Distance to the nearest other line, mm; `None` where there is none.
    pub gap_mm: Option<f64>,
    /// The point of that other line, mm.
    pub nearest: Option<[f64; 2]>,
    /// The piece it ends in.
    pub piece: usize,
}
