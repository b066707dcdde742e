//! The arguments of the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::calc_help::CALC_HELP;
use crate::values::{bearing, layer_role, mend_within, number};

/// How a leaded window looks in real daylight, and how much of that light reaches the room.
#[derive(Debug, Parser)]
#[command(name = "clerestory", version, after_help = CAUTION)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Shown below every help and report.
pub(crate) const CAUTION: &str = "A design aid, not proof of compliance: codes, egress and task lighting, safety \
    glazing and listed-building consent are for licensed practice. Never look at the sun through glass.";

#[derive(Debug, Subcommand)]
#[expect(clippy::large_enum_variant, reason = "one of them, read once")]
pub(crate) enum Command {
    /// The light at one instant: how much reaches the viewing position, how much the glass blocks, and its colour cast.
    ///
    /// If the scene says that the position is used for a desk, an altar or the floor (`working_plane` with `kind` and
    /// `height_m`), the light on that plane comes first, then the light at the eye; in JSON it is
    /// `viewing.working_plane`.
    Report(Report),
    /// A whole day in steps: light level, share of clear glass and colour cast from midnight to midnight.
    ///
    /// On the desk, altar or floor that the position is used for if the scene states one, otherwise at the eye, facing
    /// the window.
    Day(Day),
    /// The window as a picture: a PNG tagged with its colour space.
    Picture(Picture),
    /// Windows from drawings or measurements, and the lines of a scene's window: check them, make a scene of them, join
    /// them.
    Drawing {
        #[command(subcommand)]
        command: DrawingCommand,
    },
    /// Single calculations for scripts: one JSON object per line in, one per line out.
    #[command(after_help = CALC_HELP)]
    Calc,
    /// The variants of a scene and how each differs from it.
    Variants(Variants),
    /// Attach files to a scene: measured spectra, thickness maps, photographs. It is then a ZIP with them in it.
    Attach(Attach),
    /// Remove an attachment from a scene.
    Detach(Detach),
    /// The attachments of a scene, or their contents as files.
    Attachments(Attachments),
    /// Read a scene and list every fault in it.
    Check {
        /// Scene file: JSON, or a ZIP with its attachments.
        scene: PathBuf,
        /// Only this variant, by name; by default the scene and all its variants.
        #[arg(long, value_name = "NAME")]
        variant: Option<String>,
    },
}

/// The scene, its variant and the viewing position.
#[derive(Args, Debug)]
pub(crate) struct Subject {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// A variant of the scene, by name; by default the scene itself.
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// The viewing position, by name; by default the scene's first.
    #[arg(long, value_name = "NAME")]
    pub(crate) place: Option<String>,
}

#[derive(Args, Debug)]
pub(crate) struct Report {
    #[command(flatten)]
    pub(crate) subject: Subject,
    /// Local time at the site, such as 2026-11-25T15:00; by default the scene's own.
    #[arg(long, value_name = "TIME")]
    pub(crate) at: Option<String>,
    /// List every piece, not only the glasses.
    #[arg(long)]
    pub(crate) pieces: bool,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Day {
    #[command(flatten)]
    pub(crate) subject: Subject,
    /// The date, such as 2026-11-25; by default the scene's own.
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<String>,
    /// Minutes from one step to the next, by default 15. If they do not divide the day, it gets as many equal steps as fit best.
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u16).range(1..=720), allow_negative_numbers = true)]
    pub(crate) step_minutes: Option<u16>,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Variants {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Attach {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// Files to attach, each of at most 67.1 MB; one whose content is attached already replaces its name and kind.
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// What they are to the scene.
    #[arg(long, value_enum)]
    pub(crate) kind: Kind,
    /// A few words on them; by default a file that is attached already keeps its own.
    #[arg(long, value_name = "TEXT")]
    pub(crate) note: Option<String>,
    /// The scene file to write, a ZIP whatever its name; an existing file is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    /// A spectrum measured on a glass or in the room.
    MeasuredSpectrum,
    /// Thickness over the face of a piece or a sheet.
    ThicknessMap,
    /// A photograph of the window, its wall or its surroundings.
    Photograph,
}

#[derive(Args, Debug)]
pub(crate) struct Detach {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// The attachment: its file name, its hash, or the first six digits or more of that.
    #[arg(value_name = "HASH-OR-NAME")]
    pub(crate) attachment: String,
    /// The scene file to write, JSON once it has no attachments; an existing file is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
}

#[derive(Args, Debug)]
pub(crate) struct Attachments {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
    /// Write the contents into this folder, under their names; no existing file is replaced.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) extract: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum DrawingCommand {
    /// What is found in an SVG file: size, pieces, what each layer is taken as, and places to look at. Of a scene: its
    /// window's size, pieces, and places to look at in its lines.
    Check {
        #[command(flatten)]
        file: DrawingFile,
        /// Of a scene, the window, by id; by default its first.
        #[arg(long, value_name = "ID")]
        window: Option<String>,
        /// Print JSON instead of tables.
        #[arg(long)]
        json: bool,
    },
    /// Make a scene of an SVG file: plain glass in every piece, and a place, a room and a sky that stand in until known.
    Import(DrawingImport),
    /// Make a scene from measurements: an opening with a simple filling, in plain glass.
    New(DrawingNew),
    /// Join the open ends of a window's lines in a scene, where they miss another line by little, and trim those that run
    /// past it.
    Join(DrawingJoin),
}

/// A drawing, and how it is to be read.
#[derive(Args, Debug)]
pub(crate) struct DrawingFile {
    /// SVG file of any drawing program; `check` also takes a scene file.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// The real width of the sight size in mm; needed if the file states no unit, and counts more than the file.
    #[arg(long, value_name = "W", allow_negative_numbers = true, value_parser = number)]
    pub(crate) width_mm: Option<f64>,
    /// Take a layer as outline, cutlines, bars or ignored; by the name that `check` lists. May be repeated.
    #[arg(long, value_name = "NAME=ROLE", value_parser = layer_role)]
    pub(crate) layer: Vec<(String, drawing_io::Role)>,
    /// The drawing shows the window from outside: mirror it.
    #[arg(long)]
    pub(crate) seen_from_outside: bool,
    /// Full face width of all leads but the border's in mm; by default as drawn, or 6.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) lead_mm: Option<f64>,
    /// Full face width of the lead round the window in mm; by default as drawn, or 12.
    #[arg(long, alias = "border-mm", value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) border_lead_mm: Option<f64>,
    /// Join ends that miss a line by at most this, in mm, 0.2 to 5; by default 0.2.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) join_mm: Option<f64>,
}

#[derive(Args, Debug)]
pub(crate) struct DrawingJoin {
    /// Scene file: JSON, or a ZIP with its attachments.
    pub(crate) scene: PathBuf,
    /// Join ends at most this far from another line, in mm, 0.2 to 15.
    #[arg(long, value_name = "MM", value_parser = mend_within, allow_negative_numbers = true)]
    pub(crate) within_mm: f64,
    /// The window, by id; by default the scene's first.
    #[arg(long, value_name = "ID")]
    pub(crate) window: Option<String>,
    /// The scene file to write; an existing file is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
}

#[derive(Args, Debug)]
pub(crate) struct DrawingImport {
    #[command(flatten)]
    pub(crate) file: DrawingFile,
    #[command(flatten)]
    pub(crate) scene: SceneAround,
}

#[derive(Args, Debug)]
pub(crate) struct DrawingNew {
    #[command(flatten)]
    pub(crate) opening: OpeningSizes,
    #[command(flatten)]
    pub(crate) scene: SceneAround,
}

/// An opening by measurements, and what fills it.
#[derive(Args, Debug)]
pub(crate) struct OpeningSizes {
    /// The shape of the opening.
    #[arg(long, value_enum, default_value_t = OpeningShape::Rectangle)]
    pub(crate) shape: OpeningShape,
    /// Width of the sight size in mm, 50 to 19 999; of a circle, its diameter.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) width_mm: f64,
    /// Height of the sight size in mm, to the crown or apex, 50 to 19 999; not for a circle.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) height_mm: Option<f64>,
    /// Height of a pointed or segmental head above its springing in mm; a pointed one is equilateral without it.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) rise_mm: Option<f64>,
    /// Fill with diamond quarries of about this width and height in mm, 10 to 20 000.
    #[arg(long, num_args = 2, value_names = ["WIDTH", "HEIGHT"], conflicts_with_all = ["panes", "pane_size_mm"], allow_negative_numbers = true, value_parser = number)]
    pub(crate) quarries: Option<Vec<f64>>,
    /// Fill with equal rectangular panes: so many columns and rows, 1 to 2000.
    #[arg(long, num_args = 2, value_names = ["COLUMNS", "ROWS"], conflicts_with = "pane_size_mm", allow_negative_numbers = true)]
    pub(crate) panes: Option<Vec<u32>>,
    /// Fill with equal rectangular panes of about this width and height in mm, 10 to 20 000.
    #[arg(long, num_args = 2, value_names = ["WIDTH", "HEIGHT"], allow_negative_numbers = true, value_parser = number)]
    pub(crate) pane_size_mm: Option<Vec<f64>>,
    /// A strip of glass all round, this wide in mm between the leads.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) border_mm: Option<f64>,
    /// About how long the pieces of the border are in mm; by default 150, or the border's width.
    #[arg(long, value_name = "MM", requires = "border_mm", allow_negative_numbers = true, value_parser = number)]
    pub(crate) border_piece_mm: Option<f64>,
    /// Saddle bars about this far apart in mm, 100 to 20 000.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) bars_mm: Option<f64>,
    /// Diameter of the saddle bars in mm, 3 to 50; by default 9.525, 3/8 inch.
    #[arg(long, value_name = "MM", requires = "bars_mm", allow_negative_numbers = true, value_parser = number)]
    pub(crate) bar_diameter_mm: Option<f64>,
    /// Full face width of the leads in mm, 2 to 50; by default 6.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) lead_mm: Option<f64>,
    /// Full face width of the lead round the window in mm, 2 to 50; by default 12.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, value_parser = number)]
    pub(crate) border_lead_mm: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum OpeningShape {
    /// Straight at the head.
    Rectangle,
    /// A semicircle at the head.
    RoundHeaded,
    /// Two arcs that meet in a point.
    Pointed,
    /// A flat arc at the head.
    Segmental,
    /// A full circle.
    Round,
}

/// The scene around a new window, and where it is written.
#[derive(Args, Debug)]
pub(crate) struct SceneAround {
    /// The scene file to write; an existing file is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
    /// The scene's name, at most 200 characters; by default that of the drawing's file, or “New window”.
    #[arg(long, value_name = "TEXT")]
    pub(crate) name: Option<String>,
    /// Local time of the first light, such as 2026-11-25T15:00; by default noon at an equinox.
    #[arg(long, value_name = "TIME")]
    pub(crate) at: Option<String>,
    /// Compass bearing that the outside of the window faces, in degrees clockwise from true north, -720 to 720, or as a
    /// point of the compass, such as NW; by default south.
    #[arg(long, value_name = "BEARING", value_parser = bearing, allow_negative_numbers = true)]
    pub(crate) facing: Option<f64>,
    /// Height of the sill above the floor in metres, from 0; with the window at most 99.5. By default 0.9.
    #[arg(long, value_name = "M", allow_negative_numbers = true, value_parser = number)]
    pub(crate) sill_m: Option<f64>,
    #[command(flatten)]
    pub(crate) site: DrawingSite,
}

/// Where the building stands.
#[derive(Args, Debug)]
pub(crate) struct DrawingSite {
    /// Degrees north of the equator, -90 to 90, south negative; by default a place in the middle of Europe.
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = number, requires_all = ["longitude", "time_zone"])]
    pub(crate) latitude: Option<f64>,
    /// Degrees east of Greenwich, -180 to 180, west negative.
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = number, requires_all = ["latitude", "time_zone"])]
    pub(crate) longitude: Option<f64>,
    /// Height above the sea in metres, -500 to 9000; by default 0.
    #[arg(long, value_name = "M", allow_negative_numbers = true, value_parser = number, requires = "latitude")]
    pub(crate) elevation: Option<f64>,
    /// IANA time zone, such as Europe/London.
    #[arg(long, value_name = "ZONE", requires_all = ["latitude", "longitude"])]
    pub(crate) time_zone: Option<String>,
}

#[derive(Args, Debug)]
pub(crate) struct Picture {
    #[command(flatten)]
    pub(crate) subject: Subject,
    /// The PNG file to write; an existing file is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
    /// Local time at the site, such as 2026-11-25T15:00; by default the scene's own.
    #[arg(long, value_name = "TIME")]
    pub(crate) at: Option<String>,
    /// Width in pixels; by default 1200, if no height is given.
    #[arg(long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(1..=16384), allow_negative_numbers = true)]
    pub(crate) width: Option<u32>,
    /// Height in pixels; by default it follows from the width.
    #[arg(long, value_name = "PIXELS", value_parser = clap::value_parser!(u32).range(1..=16384), allow_negative_numbers = true)]
    pub(crate) height: Option<u32>,
    /// What the picture is for.
    #[arg(long, value_enum, default_value_t = Mode::Appearance)]
    pub(crate) mode: Mode,
    /// The colour space of the file, which is tagged with it.
    #[arg(long, value_enum, default_value_t = Colours::Srgb)]
    pub(crate) colours: Colours,
    /// Mark with stripes what this colour space cannot show: rising to the right for brighter than white, falling for
    /// purer colours.
    #[arg(long)]
    pub(crate) marks: bool,
    /// The window, by id; by default the scene's first.
    #[arg(long, value_name = "ID")]
    pub(crate) window: Option<String>,
    /// Draw without a graphics device.
    #[arg(long)]
    pub(crate) software: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colours {
    /// For every screen.
    Srgb,
    /// The wider gamut of most recent screens.
    DisplayP3,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Mode {
    /// How the window looks to the eye from the dark room.
    Appearance,
    /// For comparing colours with one another.
    ColourTrue,
}
