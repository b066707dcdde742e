//! `clerestory picture`: a window as a PNG.

use render::png::{PngBytes, PngError, PngRows};
use render::{
    Gamut, Headless, LightTables, Look, NativeBackend, RenderError, SceneWindow, SoftwarePicture, View,
};

use crate::arguments::{self, Colours, Mode};
use crate::fault::CliError;
use crate::whole_file::{check_writable, write_whole};
use crate::{open, output};

/// Default width, pixels.
const WIDTH: u32 = 1200;
/// Most pixels of a picture along a side.
const MOST: f64 = 16_384.0;
/// Size of the tiles that the processor draws, pixels.
const TILE_PX: u32 = 2048;
/// Margin around the window, as a share of the picture's smaller side.
const MARGIN: f64 = 0.06;

/// Draws the picture and writes it completely or not at all.
///
/// # Errors
/// A scene with faults, an unknown variant, place or window, an unreadable time, a file that cannot be written.
pub(crate) fn run(asked: &arguments::Picture) -> Result<(), CliError> {
    let resolved = open::resolved(&asked.subject)?;
    let place = asked.subject.place.as_deref();
    let instant = resolved.instant(asked.at.as_deref().unwrap_or(&resolved.scene.at))?.utc;
    let outside = resolved.outside(instant)?;
    let (index, _) = open::window(&resolved.scene, asked.window.as_deref())?;
    let eye_m = resolved.eye_m(place).ok_or_else(|| viewing::ViewingError::UnknownPlace {
        found: place.unwrap_or_default().to_owned(),
        known: resolved.scene.places.iter().map(|p| p.name.clone()).collect(),
    })?;
    let window = SceneWindow::new(&resolved, index, eye_m)
        .ok_or_else(|| CliError::Picture("the scene has no window".to_owned()))?;
    check_writable(&asked.out)?;
    let tables = window.tables(&outside, None);
    let size_px = size(asked, window.bounds().size());
    let view = View::fit(window.bounds(), size_px, MARGIN);
    let gamut = match asked.colours {
        Colours::Srgb => Gamut::Srgb,
        Colours::DisplayP3 => Gamut::DisplayP3,
    };
    let look = match asked.mode {
        Mode::Appearance => Look::default(),
        Mode::ColourTrue => Look::colour_true(),
    };
    let look = Look { gamut, show_clipped: asked.marks, ..look };
    let (file, device) = draw(&window, &tables, view, look, asked.software)
        .map_err(|error| CliError::Picture(error.to_string()))?;
    write_whole(&asked.out, &file)?;
    let [width, height] = size_px;
    if !asked.out.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("png")) {
        output::say(&format!("{} is a PNG file, whatever its name says", asked.out.display()));
    }
    output::say(&format!(
        "{}: {width} × {height} pixels, {}, drawn {device}",
        asked.out.display(),
        mode_name(asked.mode)
    ));
    Ok(())
}

fn mode_name(mode: Mode) -> &'static str {
    match mode {
        Mode::Appearance => "appearance (as the eye sees it from the dark room)",
        Mode::ColourTrue => "colour-true (for comparing colours)",
    }
}

/// A picture could not be drawn or written.
#[derive(Debug, thiserror::Error)]
enum DrawError {
    #[error(transparent)]
    Device(#[from] RenderError),
    #[error(transparent)]
    File(#[from] PngError),
}

/// Draws in tiles, so that only some rows of pixels are held at once; with a graphics device if one is available,
/// otherwise without. Returns the file and what drew it.
fn draw(
    window: &SceneWindow,
    tables: &LightTables,
    view: View,
    look: Look,
    software: bool,
) -> Result<(Vec<u8>, String), DrawError> {
    if software {
        return Ok((by_processor(window, tables, view, look)?, "without a graphics device".to_owned()));
    }
    let on_device = || {
        // One after the other: looking for both at once makes some drivers write to standard error.
        let mut device =
            Headless::new(NativeBackend::Vulkan).or_else(|_| Headless::new(NativeBackend::Gl))?;
        device.set(&window.mesh, tables.clone())?;
        let file = PngBytes::default();
        let mut rows = PngRows::new(file.clone(), view.size_px, look.gamut)?;
        device.picture_rows(view, look, |rgba| Ok::<_, DrawError>(rows.write(rgba)?))?;
        rows.finish()?;
        Ok((file.take(), format!("on {}", device.device_name())))
    };
    match on_device() {
        Err(DrawError::Device(error)) => {
            Ok((by_processor(window, tables, view, look)?, format!("without a graphics device ({error})")))
        }
        drawn => drawn,
    }
}

fn by_processor(
    window: &SceneWindow,
    tables: &LightTables,
    view: View,
    look: Look,
) -> Result<Vec<u8>, PngError> {
    let file = PngBytes::default();
    let mut rows = PngRows::new(file.clone(), view.size_px, look.gamut)?;
    let mut picture = SoftwarePicture::new(&window.mesh, tables, look);
    picture.picture_rows(view, TILE_PX, |rgba, _| rows.write(rgba))?;
    rows.finish()?;
    Ok(file.take())
}

/// Size of the picture in pixels: as given, the other side in proportion to the window with its margin.
fn size(asked: &arguments::Picture, [across, up]: [f64; 2]) -> [u32; 2] {
    let proportion = up / across.max(1e-6);
    let pixels = |side: f64| side.round().clamp(1.0, MOST) as u32;
    match (asked.width, asked.height) {
        (Some(width), Some(height)) => [width, height],
        (None, Some(height)) => [pixels(f64::from(height) / proportion), height],
        (width, None) => {
            let width = width.unwrap_or(WIDTH);
            [width, pixels(f64::from(width) * proportion)]
        }
    }
}
