//! From the text of an SVG file to a window's drawing.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, PathSeg, Rect, Shape};
use panel::{
    Bar, COORDINATE_LIMIT_MM, Cutline, DEFAULT_BAR_DIAMETER_MM, DEFAULT_BORDER_FACE_MM,
    DEFAULT_CUTLINE_FACE_MM, Drawing, Line, Outline, Panel, PanelOptions, panel_from_drawing, write_path,
};
use plane::PanelPoint;

use crate::bars::drawn_bar;
use crate::check::{faults_of, lost_panes, mended, repeated, unread};
use crate::error::ImportError;
use crate::fault::{DrawingFault, FaultKind, in_reading_order};
use crate::layer::{Layer, Reading, groups};
use crate::lead::Leads;
use crate::leads::leads_at;
use crate::left_out::left_out;
use crate::limits::{FARTHEST_MM, GROUP_LIMIT, LENGTH_LIMIT_MM, POINT_LIMIT, WIDTH_LIMIT_MM};
use crate::named::{TakenLayer, overrule, overrule_groups, taken};
use crate::paint::apart;
use crate::part::{Part, bounds, parts};
use crate::recognise::recognise;
use crate::role::Role;
use crate::svg::{self, SvgFile, Unit};

/// How a file is read.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportOptions {
    /// The real width of the sight size, mm, which then overrides the file's own size; above 0, at most 20 000.
    pub width_mm: Option<f64>,
    /// What layers are taken as, by their names, where that differs from what was recognised.
    pub roles: BTreeMap<String, Role>,
    /// The same by the numbers of groups ([`TakenLayer::groups`]), which counts more than names.
    pub group_roles: BTreeMap<usize, Role>,
    /// The drawing shows the window from outside: mirror it.
    pub seen_from_outside: bool,
    /// Full face width of all inner leads, mm; by default as drawn, or the trade's usual one.
    pub lead_face_mm: Option<f64>,
    /// Full face width of the border lead, mm; by default as drawn, or the trade's usual one.
    pub border_face_mm: Option<f64>,
    /// Lines that miss one another by at most this are joined, mm, 0.2–5.
    pub join_mm: f64,
}

impl Default for ImportOptions {
    /// As the file says; joins what misses by at most 0.2 mm.
    fn default() -> Self {
        Self {
            width_mm: None,
            roles: BTreeMap::new(),
            group_roles: BTreeMap::new(),
            seen_from_outside: false,
            lead_face_mm: None,
            border_face_mm: None,
            join_mm: PanelOptions::default().snap_mm,
        }
    }
}

/// A window's drawing made from a file.
#[derive(Debug, Clone)]
pub struct Import {
    /// The drawing.
    pub drawing: Drawing,
    /// The panel made from it.
    pub panel: Panel,
    /// The unit in which the file states its size.
    pub unit: Unit,
    /// What each layer was taken as.
    pub layers: Vec<TakenLayer>,
    /// What was mended, what should be looked at, and what was not understood.
    pub faults: Vec<DrawingFault>,
    /// What the file does not say and was assumed, in sentences.
    pub assumed: Vec<String>,
}

/// Thinnest stroke that is a lead's own width, mm: thinner ones are lines that only show where the lead runs.
const LEAST_FACE_MM: f64 = 1.5;

/// Widest stroke that is a lead's own width, mm.
const MOST_FACE_MM: f64 = 40.0;

/// Reads a window's drawing from the text of an SVG file.
///
/// # Errors
/// [`ImportError`]: text that is not SVG or too much of it, no real size, no outline, lines from which no panel can be
/// made.
pub fn import(text: &str, options: &ImportOptions) -> Result<Import, ImportError> {
    check(options)?;
    let file = svg::read(text)?;
    let mut map = provisional_map(&file, options)?;
    let mut layers = layers_of(&file, map, options, options.width_mm.is_none())?;
    let mut leads = leads_at(&layers, &file, map, options.join_mm, options.width_mm)?;
    if let Some(width) = options.width_mm {
        // Recognised at about its real size: once more at exactly that.
        map = map.then_scale(width / width_of(&leads.outline));
        layers = layers_of(&file, map, options, true)?;
        leads = leads_at(&layers, &file, map, options.join_mm, options.width_mm)?;
    }
    let [low, high] = bounds([&leads.outline]).unwrap_or_default();
    let exact = options.width_mm.map_or(1.0, |width| width / (high[0] - low[0]));
    let place = Affine::translate((-low[0] * exact, -low[1] * exact)) * Affine::scale(exact);
    let (width_mm, height_mm) = ((high[0] - low[0]) * exact, (high[1] - low[1]) * exact);
    if !(width_mm > 0.0 && height_mm > 0.0 && width_mm.max(height_mm) <= COORDINATE_LIMIT_MM) {
        return Err(ImportError::TooLarge { width_mm, height_mm });
    }
    let mut assumed = Vec::new();
    let mut drawing = drawing(&leads, &layers, place, exact, options, &mut assumed);
    if file.size.unit == Unit::Px && options.width_mm.is_none() {
        assumed.push(format!(
            "The file is measured in pixels, read as 1/96 inch: the window is {width_mm:.0} mm wide. Give its real width \
             if that is wrong."
        ));
    }
    let panel_options = PanelOptions { snap_mm: options.join_mm, ..PanelOptions::default() };
    let mut panel = panel_from_drawing(&drawing, &panel_options)?;
    let mut faults = faults_of(&drawing, &panel, options.join_mm, leads.shares_edges);
    // Closing a narrow gap in the edge moves it a little, and in a wide gap nobody drew it: what it then misses was not
    // drawn so.
    let narrow = leads.gaps.iter().filter(|gap| gap.line.is_none());
    let moved_mm = narrow.map(|gap| gap.mm * exact).fold(0.0, f64::max);
    let closing: Vec<Part> = leads
        .gaps
        .iter()
        .filter_map(|gap| Part::new(place * gap.line.as_ref()?.path.clone(), usize::MAX))
        .collect();
    let is_in_gap = |at: PanelPoint| closing.iter().any(|line| line.distance_mm(at) <= options.join_mm);
    faults.retain(|fault| {
        let is_by_closing =
            panel.opening.distance_to_edge_mm(fault.at_mm) < moved_mm || is_in_gap(fault.at_mm);
        fault.kind != FaultKind::Joined || !is_by_closing
    });
    faults.extend(lost_panes(&leads, place, &panel));
    faults.extend(mended(&leads, place));
    faults.extend(repeated(&layers, place));
    let mm_per_unit = map.determinant().abs().sqrt();
    faults.extend(left_out(&layers, place, mm_per_unit));
    faults.extend(unread(&file, &layers, place * map));
    if options.join_mm > PanelOptions::default().snap_mm {
        // A document's lines are joined within the usual tolerance: what was joined beyond it is drawn so.
        drawing.cutlines = joined(&panel);
        panel = panel_from_drawing(&drawing, &PanelOptions::default())?;
    }
    // In reading order.
    faults.sort_by(in_reading_order);
    let layers = taken(&layers, leads.outline_layer, leads.outline_alone, mm_per_unit);
    Ok(Import { drawing, panel, unit: file.size.unit, layers, faults, assumed })
}

fn check(options: &ImportOptions) -> Result<(), ImportError> {
    let faces = [("--lead-mm", options.lead_face_mm), ("--border-mm", options.border_face_mm)];
    for (option, found) in faces {
        if let Some(found) = found.filter(|width| !(*width > 0.0 && *width <= WIDTH_LIMIT_MM)) {
            return Err(bad(option, "above 0, at most 200 mm", found));
        }
    }
    match options.width_mm {
        Some(found) if !(found > 0.0 && found <= COORDINATE_LIMIT_MM) => {
            Err(bad("--width-mm", "above 0, at most 20 000 mm", found))
        }
        _ if !(0.2..=5.0).contains(&options.join_mm) => Err(bad("--join-mm", "0.2 to 5 mm", options.join_mm)),
        _ => Ok(()),
    }
}

fn width_of(outline: &Part) -> f64 {
    bounds([outline]).map_or(f64::NAN, |[low, high]| high[0] - low[0])
}

/// The leads of a panel as cutlines, each from joint to joint.
fn joined(panel: &Panel) -> Vec<Cutline> {
    let inner = panel.leads.iter().filter(|lead| lead.line != Line::Outline);
    inner
        .map(|lead| Cutline {
            path: write_path(&crate::part::simplified(&lead.points)),
            face_mm: lead.face_mm,
        })
        .collect()
}

fn bad(option: &'static str, expected: &'static str, found: f64) -> ImportError {
    ImportError::BadOption { option, expected, found: found.to_string() }
}

/// The map from the file's user units to millimetres, y up, at about the real size.
fn provisional_map(file: &SvgFile, options: &ImportOptions) -> Result<Affine, ImportError> {
    let own = file.size.mm_from_user;
    let scale = match (own, options.width_mm) {
        (Some(own), None) => own,
        // No width would make a window of it.
        (None, None) if !file.shapes.iter().any(is_drawn) => {
            return Err(ImportError::NoOutline { why: "the file draws nothing" });
        }
        (None, None) => return Err(ImportError::NeedsWidth),
        (own, Some(width)) => {
            let own = own.unwrap_or(Affine::IDENTITY);
            let page = file.size.page.map(|page| own.transform_rect_bbox(page));
            let drawn = file.shapes.iter().filter(|shape| is_drawn(shape));
            let boxes: Vec<Rect> = drawn
                .map(|shape| (own * shape.path.clone()).bounding_box())
                .filter(Rect::is_finite)
                .collect();
            let is_page = |found: &&Rect| {
                page.is_some_and(|page| {
                    found.width() > 0.99 * page.width() && found.height() > 0.99 * page.height()
                })
            };
            let within = |boxes: &mut dyn Iterator<Item = Rect>| boxes.reduce(|a, b| a.union(b));
            // What lies within the frame may be one upright lead, which has no width.
            let extent = within(&mut boxes.iter().filter(|found| !is_page(found)).copied())
                .filter(|extent| extent.width() > 0.0)
                .or_else(|| within(&mut boxes.iter().copied()))
                .ok_or(ImportError::NoOutline { why: "the file draws nothing" })?
                .width();
            if !(extent > 0.0 && extent.is_finite()) {
                return Err(ImportError::NoOutline { why: "the drawing has no width" });
            }
            own.then_scale(width / extent)
        }
    };
    let mirror = if options.seen_from_outside { -1.0 } else { 1.0 };
    Ok(scale.then_scale_non_uniform(mirror, -1.0))
}

fn is_drawn(shape: &svg::Shape) -> bool {
    !shape.hidden && shape.stroke.or(shape.fill).is_some()
}

/// The layers with their geometry in mm and their roles.
fn layers_of(
    file: &SvgFile,
    map: Affine,
    options: &ImportOptions,
    strict: bool,
) -> Result<Vec<Layer>, ImportError> {
    let page = file.size.page.map(|page| map.transform_rect_bbox(page));
    let mut points = 0.0;
    let mut of: Vec<Vec<Part>> = Vec::with_capacity(file.shapes.len());
    for (k, shape) in file.shapes.iter().enumerate() {
        let path = map * shape.path.clone();
        let reach = path.control_box();
        let far = [reach.x0, reach.y0, reach.x1, reach.y1]
            .iter()
            .any(|v| !(-FARTHEST_MM..=FARTHEST_MM).contains(v));
        // What lies kilometres away belongs to no window, and would take for ever to follow.
        if far {
            of.push(Vec::new());
            continue;
        }
        points += points_of(&path);
        if points > POINT_LIMIT {
            return Err(ImportError::TooMuch { what: "points of curves", limit: POINT_LIMIT as usize });
        }
        let mut parts = parts(&path, k);
        let filled_only = shape.stroke.is_none() && shape.fill.is_some() && !shape.default_paint;
        if filled_only {
            // A fill closes what it fills; a sheet of paper lies behind everything.
            parts.iter_mut().for_each(Part::close);
            if parts.len() == 1 {
                parts.retain(|part| !page.is_some_and(|page| crate::outline::is_frame(part, page)));
            }
        }
        of.push(parts);
    }
    let length: f64 = of.iter().flatten().map(Part::length_mm).sum();
    if length > LENGTH_LIMIT_MM {
        let limit = (LENGTH_LIMIT_MM / 1000.0) as usize;
        return Err(ImportError::TooMuch { what: "metres of lines", limit });
    }
    let mut groups = apart(file, groups(file));
    if groups.len() > GROUP_LIMIT {
        return Err(ImportError::TooMuch { what: "layers and kinds of lines", limit: GROUP_LIMIT });
    }
    let scale = map.determinant().abs().sqrt();
    overrule(&mut groups, &options.roles, scale, strict)?;
    overrule_groups(&mut groups, &options.group_roles, scale)?;
    recognise(file, groups, &|shape| of[shape].as_slice(), scale)
}

/// About how many points a path has when its curves are flattened: a curve of length l deviates by l²/(8 n² r).
fn points_of(path: &BezPath) -> f64 {
    let span = |segment: PathSeg| match segment {
        PathSeg::Line(_) => 1.0,
        PathSeg::Quad(c) => 1.0 + ((c.p1 - c.p0).hypot() + (c.p2 - c.p1).hypot()).sqrt(),
        PathSeg::Cubic(c) => {
            1.0 + ((c.p1 - c.p0).hypot() + (c.p2 - c.p1).hypot() + (c.p3 - c.p2).hypot()).sqrt()
        }
    };
    path.segments().map(span).sum()
}

/// The drawing, moved to its origin and to its exact size.
fn drawing(
    leads: &Leads,
    layers: &[Layer],
    place: Affine,
    exact: f64,
    options: &ImportOptions,
    assumed: &mut Vec<String>,
) -> Drawing {
    let width = |drawn: Option<f64>, given: Option<f64>, usual: f64, used: &mut Option<f64>| {
        let drawn =
            drawn.map(|width| width * exact).filter(|width| (LEAST_FACE_MM..=MOST_FACE_MM).contains(width));
        // To a thousandth of a millimetre, so that 6 does not come back as 5.999999999.
        given.or(drawn.map(|width| (width * 1e3).round() / 1e3)).unwrap_or_else(|| *used.insert(usual))
    };
    let mut usual = [None; 3];
    let face_mm = width(leads.outline_face_mm, options.border_face_mm, DEFAULT_BORDER_FACE_MM, &mut usual[0]);
    let outline = Outline { path: write_path(&(place * leads.outline.path.clone())), face_mm };
    let cutlines = leads
        .cutlines
        .iter()
        .map(|line| Cutline {
            path: write_path(&(place * line.path.clone())),
            face_mm: width(line.face_mm, options.lead_face_mm, DEFAULT_CUTLINE_FACE_MM, &mut usual[1]),
        })
        .collect();
    let bar_layers =
        layers.iter().filter(|layer| layer.group.role == Role::Bars && layer.reading != Reading::None);
    let bars = bar_layers
        .flat_map(|layer| layer.parts.iter().map(move |part| (part, layer.width_mm)))
        .map(|(part, drawn)| {
            // One drawn as a rectangle runs along its middle, as wide as that is.
            let rectangle = drawn_bar(part);
            let path = rectangle.as_ref().map_or(&part.path, |bar| &bar.axis.path);
            let drawn = rectangle.as_ref().map_or(drawn, |bar| Some(bar.width_mm));
            Bar {
                path: write_path(&(place * path.clone())),
                diameter_mm: width(drawn, None, DEFAULT_BAR_DIAMETER_MM, &mut usual[2]),
            }
        })
        .collect();
    for (what, usual) in [("border lead", usual[0]), ("leads", usual[1]), ("bars", usual[2])] {
        if let Some(usual) = usual {
            assumed
                .push(format!("The file does not say how wide the {what} should be; taken as {usual} mm."));
        }
    }
    Drawing { outline, cutlines, bars }
}
