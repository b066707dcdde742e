//! The layers of a file: what its shapes are grouped by.

use std::collections::BTreeMap;

use centre_lines::CentreLinesFault;
use plane::PanelPoint;

use crate::part::Part;
use crate::role::{Hint, Role};
use crate::svg::{Ink, Names, Shape, SvgFile};

/// How the shapes of a layer are painted. Shapes of one name that are painted differently are told apart: the names of
/// layers are often lost, and colour and width then say what a line means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Look {
    /// Stroked, perhaps filled too. The width is in millionths of a user unit, if the file gives one.
    Line { colour: Ink, width: Option<u64>, is_dashed: bool },
    /// Filled only.
    Area,
    /// Neither fill nor stroke was set: SVG would fill it with black.
    Default,
    /// Nothing is painted.
    Nothing,
    /// Text, pictures and the like.
    NoLine,
}

/// How the filled shapes of a group lie to the others of their name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Paint {
    /// Side by side, or nobody knows.
    Whole,
    /// Beneath all others: a ground of this colour.
    Under(Ink),
    /// Each within one other: painted in this colour.
    Upon(Ink),
}

/// Shapes of one name and one look.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    /// The layer's name; `None` where the file has none.
    pub(crate) name: Option<String>,
    pub(crate) hint: Option<Hint>,
    pub(crate) look: Look,
    pub(crate) paint: Paint,
    pub(crate) hidden: bool,
    /// Somebody has said what it is.
    pub(crate) told: bool,
    /// What somebody says that the window's edge in it is.
    pub(crate) edge_role: Option<Role>,
    /// Indices of its shapes.
    pub(crate) shapes: Vec<usize>,
    pub(crate) role: Role,
}

impl Group {
    /// Takes it as somebody says.
    pub(crate) fn tell(&mut self, role: Role) {
        self.hint = Some(Hint::Role(role));
        self.told = true;
    }
}

/// How the leads are to be read from a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reading {
    /// Its lines run along the hearts of the leads.
    Lines,
    /// Its shapes are the faces of the leads.
    Faces,
    /// Its shapes are the panes between the leads.
    Panes,
    /// Nothing.
    None,
}

/// Why a layer that might hold leads is not read.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum LeftOut {
    /// Its filled shapes have far more points or crossings than a window's.
    Tangled(CentreLinesFault),
    /// Its lines run so close beside one another that they are painted.
    Hatching,
}

/// A group with its geometry.
#[derive(Debug)]
pub(crate) struct Layer {
    pub(crate) group: Group,
    pub(crate) parts: Vec<Part>,
    /// Where shapes were drawn twice.
    pub(crate) repeated: Vec<PanelPoint>,
    pub(crate) reading: Reading,
    pub(crate) left_out: Option<LeftOut>,
    /// Its open lines make one ring around everything else: the window's edge, and no leads.
    pub(crate) is_edge_ring: bool,
    /// Its open lines make a ring around a window that is whole without it.
    pub(crate) is_around: bool,
    /// Width of its lines, mm, if the file gives one.
    pub(crate) width_mm: Option<f64>,
}

impl Layer {
    /// Whether one of its shapes may be the window's edge.
    pub(crate) fn may_hold_edge(&self) -> bool {
        let is_used =
            !self.group.hidden && !matches!(self.group.hint, Some(Hint::Role(Role::Ignored | Role::Bars)));
        let draws =
            self.reading == Reading::Lines || (self.group.look == Look::Area && self.parts.len() == 1);
        let is_said = matches!(self.group.edge_role, None | Some(Role::Outline));
        is_used && is_said && self.group.role != Role::Bars && draws && !self.is_tangled()
    }

    /// Whether its shapes are pieces that each lie within one pane: together with the panes they would vanish.
    pub(crate) fn is_within_panes(&self) -> bool {
        self.reading == Reading::Panes && matches!(self.group.paint, Paint::Upon(_))
    }

    /// Whether its shapes are too many to be followed.
    pub(crate) fn is_tangled(&self) -> bool {
        matches!(self.left_out, Some(LeftOut::Tangled(_)))
    }

    /// Whether it draws one closed line, which may be the window's edge: alone it is no lead, however long it is.
    pub(crate) fn is_edge_alone(&self) -> bool {
        matches!(&self.parts[..], [part] if part.closed)
    }
}

/// The groups of a file, in the order of their first shapes; roles as the names say, otherwise ignored.
pub(crate) fn groups(file: &SvgFile) -> Vec<Group> {
    let mut index: BTreeMap<(Option<String>, Look, bool), usize> = BTreeMap::new();
    let mut groups: Vec<Group> = Vec::new();
    let mut group = |names: &Names, look: Look, hidden: bool| -> usize {
        let (name, hint) = layer_of(names);
        *index.entry((name.clone(), look, hidden)).or_insert_with(|| {
            groups.push(Group {
                name,
                hint,
                look,
                paint: Paint::Whole,
                hidden,
                told: false,
                edge_role: None,
                shapes: Vec::new(),
                role: Role::Ignored,
            });
            groups.len() - 1
        })
    };
    let of_shapes: Vec<usize> =
        file.shapes.iter().map(|shape| group(&shape.names, look(shape), shape.hidden)).collect();
    for ignored in &file.no_lines {
        group(&ignored.names, Look::NoLine, false);
    }
    for (shape, of) in of_shapes.into_iter().enumerate() {
        groups[of].shapes.push(shape);
    }
    groups
}

fn look(shape: &Shape) -> Look {
    match (shape.stroke, shape.fill) {
        (Some(colour), _) => {
            let width = shape.stroke_width.map(|width| (width * 1e6).round() as u64);
            Look::Line { colour, width, is_dashed: shape.is_dashed }
        }
        (None, _) if shape.default_paint => Look::Default,
        (None, Some(_)) => Look::Area,
        (None, None) => Look::Nothing,
    }
}

/// The name of the layer that something lies in.
pub(crate) fn name_of(names: &Names) -> Option<String> {
    layer_of(names).0
}

/// The layer that a shape lies in, and what its name says.
///
/// The innermost name that says something counts; but only a layer or the innermost group is left out for its name: many
/// programs wrap everything in a "page". Otherwise: the innermost declared layer, or the outermost group whose name somebody
/// has typed. Panes that say of themselves what they are belong together.
fn layer_of(names: &Names) -> (Option<String>, Option<Hint>) {
    let mut inner_groups = 0;
    for named in names.outward() {
        inner_groups += usize::from(named.is_group);
        if let Some((name, hint)) = &named.said {
            let ignored = *hint == Hint::Role(Role::Ignored);
            if ignored && named.is_group && !named.is_layer && inner_groups > 1 {
                continue;
            }
            if *hint == Hint::Panes && !named.is_group {
                return (typed_name(names), Some(*hint));
            }
            // An id says what is meant, a label what it is called.
            let label = named.names.first().filter(|_| named.is_layer).cloned();
            return (label.or(Some(name.clone())), Some(*hint));
        }
    }
    (typed_name(names), None)
}

fn typed_name(names: &Names) -> Option<String> {
    let layer = names.outward().find(|named| named.is_layer);
    let typed = || names.outward().filter(|named| named.is_group && !is_made_up(&named.names[0])).last();
    layer.or_else(typed).map(|named| named.names[0].clone())
}

/// Whether a program made up this name: a kind of element, perhaps with a number.
fn is_made_up(name: &str) -> bool {
    const KINDS: [&str; 14] = [
        "g", "group", "svg", "path", "rect", "use", "surface", "layer", "page", "clip", "figure", "patch",
        "axes", "root",
    ];
    let bare = name.trim_matches(|c: char| c.is_ascii_digit() || matches!(c, '-' | '_' | '.' | ':'));
    let bare = bare.to_ascii_lowercase();
    bare.is_empty() || KINDS.contains(&bare.as_str())
}

impl Group {
    /// What is seen of it, in words.
    pub(crate) fn words(&self, mm_per_unit: f64) -> String {
        match self.paint {
            Paint::Whole => self.look.words(mm_per_unit),
            Paint::Under(ink) => format!("{} ground under filled shapes", colour_words(ink)),
            Paint::Upon(ink) => format!("{} shapes upon filled shapes", colour_words(ink)),
        }
    }
}

impl Look {
    /// What is seen of it, in words.
    pub(crate) fn words(self, mm_per_unit: f64) -> String {
        match self {
            Self::Line { colour, width, is_dashed } => {
                let dashed = if is_dashed { "dashed " } else { "" };
                let width = width.map(|width| width as f64 / 1e6 * mm_per_unit);
                let wide = width.map_or_else(String::new, |mm| format!(", {} mm wide", plain(mm)));
                format!("{dashed}{} lines{wide}", colour_words(colour))
            }
            Self::Area => "filled shapes".to_owned(),
            Self::Default => "shapes without a paint".to_owned(),
            Self::Nothing => "shapes that paint nothing".to_owned(),
            Self::NoLine => "text and pictures".to_owned(),
        }
    }
}

fn plain(mm: f64) -> String {
    let rounded = (mm * 100.0).round() / 100.0;
    format!("{rounded}")
}

fn colour_words(ink: Ink) -> String {
    const NAMED: [(&str, [u8; 3]); 10] = [
        ("black", [0, 0, 0]),
        ("white", [255, 255, 255]),
        ("red", [255, 0, 0]),
        ("green", [0, 128, 0]),
        ("green", [0, 255, 0]),
        ("blue", [0, 0, 255]),
        ("yellow", [255, 255, 0]),
        ("cyan", [0, 255, 255]),
        ("magenta", [255, 0, 255]),
        ("grey", [128, 128, 128]),
    ];
    match ink {
        Ink::Pattern => "patterned".to_owned(),
        Ink::Colour(rgb) => NAMED.iter().find(|(_, known)| *known == rgb).map_or_else(
            || format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2]),
            |(name, _)| (*name).to_owned(),
        ),
    }
}
