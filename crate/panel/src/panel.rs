//! The panel: pieces, leads, joints and bars.

use crate::drawing::Line;
use crate::fault::PanelNote;
use crate::inset::difference;
use crate::polygon::Polygon;
use plane::{PanelOnPage, PanelPoint};

/// A leaded panel made from a drawing.
///
/// Panel plane in mm as seen from inside: origin lower left of the sight size, x right, y up. The pieces'
/// heart-line outlines share their edges and fill the opening without gap or overlap. The part of a piece
/// that is not [`Piece::light`] is under lead, so light and lead add up to the opening.
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
    /// Everything else worth knowing: faults in the drawing, and repairs made to it.
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
    /// The visible glass, between the faces of its leads. Empty where the leads cover the piece.
    ///
    /// This is `outline` without a strip of half the face width along each of its leads, rounded at corners that
    /// point into the piece. Leads that do not border the piece cover none of it, however wide they are.
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
    /// The pieces on the other side of its leads, one entry for each lead, ordered by piece, then lead.
    pub neighbours: Vec<Neighbour>,
    /// A point well inside `light`: close to the centre of the largest circle that fits (inside `outline` if there
    /// is no light).
    pub interior_point: PanelPoint,
    /// Bounding box of `outline`: its lower left and upper right corner.
    pub bounds: [PanelPoint; 2],
}

impl Piece {
    /// Whether a point lies in the piece, up to the hearts of its leads.
    pub fn contains(&self, point: PanelPoint) -> bool {
        let [low, high] = self.bounds;
        (0..2).all(|axis| (low[axis]..=high[axis]).contains(&point[axis])) && self.outline.contains(point)
    }

    /// True if everything but the indices of other parts is the same.
    pub(crate) fn has_shape_of(&self, other: &Piece) -> bool {
        self.interior_point.bits() == other.interior_point.bits()
            && self.outline == other.outline
            && self.light == other.light
            && self.cut == other.cut
    }
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
    pub points: Vec<PanelPoint>,
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
    /// Piece on the right; `None` outside the opening. Left and right are the same piece along an open lead.
    pub right: Option<usize>,
    /// The line it was drawn with: `Line::Outline` for the border.
    pub line: Line,
}

impl LeadLine {
    /// True if everything but the indices of other parts is the same.
    pub(crate) fn has_shape_of(&self, other: &LeadLine) -> bool {
        self.face_mm.total_cmp(&other.face_mm).is_eq() && self.points == other.points
    }
}

/// A point where leads end or a lead turns a corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Place, mm.
    pub at: PanelPoint,
    /// Leads that start or end here, ascending; a ring that closes here is listed twice.
    pub leads: Vec<usize>,
}

impl Joint {
    /// True if leads are soldered here, because two or more ends meet. False at an open end.
    pub fn is_solder(&self) -> bool {
        self.leads.len() > 1
    }
}

/// A saddle bar.
#[derive(Debug, Clone, PartialEq)]
pub struct SaddleBar {
    /// Axis, one or more polylines, mm.
    pub axis: Vec<Vec<PanelPoint>>,
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
    pub at: PanelPoint,
    /// Distance to the nearest other line, mm; `None` if there is none.
    pub gap_mm: Option<f64>,
    /// The nearest point on that other line, mm.
    pub nearest: Option<PanelPoint>,
    /// The piece it ends in.
    pub piece: usize,
}

impl Panel {
    /// The piece at a point. Pieces are bounded by the hearts of their leads, so a point under a lead belongs to
    /// the piece on its side of the centre line. `None` outside the opening.
    pub fn piece_at(&self, point: PanelPoint) -> Option<usize> {
        self.pieces.iter().position(|piece| piece.contains(point))
    }

    /// How it lies on a page: from the top of its sight size.
    pub const fn on_page(&self) -> PanelOnPage {
        PanelOnPage { height_mm: self.height_mm }
    }

    /// Area of the opening, mm².
    pub fn opening_area_mm2(&self) -> f64 {
        self.opening.area_mm2()
    }

    /// Area through which light passes, mm².
    pub fn light_area_mm2(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.light_area_mm2).sum()
    }

    /// Area of the lead faces within the opening, mm²: everything that blocks light.
    pub fn lead_area_mm2(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.area_mm2 - piece.light_area_mm2).sum()
    }

    /// The faces of the leads within the opening as polygons: the opening minus the pieces' light.
    ///
    /// The outer half of the border lead, which lies in the groove, is not included.
    pub fn lead_shape(&self) -> Vec<Polygon> {
        difference(&self.opening, self.pieces.iter().flat_map(|piece| &piece.light))
    }

    /// Length of all leads by full face width, mm: the inner ones and the border's, by ascending width.
    pub fn lead_lengths_mm(&self) -> Vec<LeadLength> {
        let mut lengths: Vec<LeadLength> = Vec::new();
        for lead in &self.leads {
            let is_border = lead.line == Line::Outline;
            let known = lengths
                .iter_mut()
                .find(|known| known.is_border == is_border && known.face_mm.total_cmp(&lead.face_mm).is_eq());
            match known {
                Some(known) => known.length_mm += lead.length_mm,
                None => {
                    lengths.push(LeadLength { face_mm: lead.face_mm, is_border, length_mm: lead.length_mm })
                }
            }
        }
        sorting::by(&mut lengths, |a, b| a.is_border.cmp(&b.is_border).then(a.face_mm.total_cmp(&b.face_mm)));
        lengths
    }

    /// Where leads are soldered to one another.
    pub fn solder_joints(&self) -> impl Iterator<Item = &Joint> {
        self.joints.iter().filter(|joint| joint.is_solder())
    }
}

/// Length of lead of one face width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeadLength {
    /// Full face width, mm.
    pub face_mm: f64,
    /// True for the border lead.
    pub is_border: bool,
    /// Length of the centre lines, mm.
    pub length_mm: f64,
}
