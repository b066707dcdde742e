//! `drawing new` and `drawing import`: whatever is refused names the option that was typed and leaves the file of `--out`
//! as it was; whatever is written can be opened.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use crate::run::{Run, clerestory, folder};

const SVG: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
    <g fill="none" stroke="black" stroke-width="5"><rect id="outline" width="300" height="200"/>
    <path id="leads" d="M100 0V200"/></g></svg>"#;

/// A file that was written before, which nothing refused may touch.
const KEPT: &str = "a scene of yesterday";

fn drawing(out: &Path, first: &[&OsStr], more: &[&str]) -> Run {
    let mut arguments: Vec<&OsStr> = vec!["drawing".as_ref()];
    arguments.extend(first);
    arguments.extend(["--out".as_ref(), out.as_os_str()]);
    arguments.extend(more.iter().map(OsStr::new));
    clerestory(&arguments)
}

fn new(out: &Path, more: &[&str]) -> Run {
    drawing(out, &["new".as_ref()], more)
}

/// A drawing and the scene made of it.
fn files(name: &str) -> [PathBuf; 2] {
    let folder = folder(name);
    let [svg, out] = ["window.svg", "window.json"].map(|file| folder.join(file));
    fs::write(&svg, SVG).unwrap();
    fs::write(&out, KEPT).unwrap();
    [svg, out]
}

fn assert_refused(run: &Run, out: &Path, words: &[&str]) {
    assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{}", run.err);
    for word in words {
        assert!(run.err.contains(word), "“{word}” in {}", run.err);
    }
    assert!(!run.err.contains("window.json"), "a file that was never written: {}", run.err);
    assert_eq!(fs::read_to_string(out).unwrap(), KEPT, "{}", run.err);
}

#[test]
fn options_of_the_scene_out_of_range_are_named_and_nothing_is_written() {
    let [svg, out] = files("new-out-of-range");
    let long = "n".repeat(5_000);
    let place = |latitude, longitude| {
        vec!["--latitude", latitude, "--longitude", longitude, "--time-zone", "Europe/London"]
    };
    for (options, words) in [
        (place("95", "0"), vec!["--latitude: expected", "90", "found 95"]),
        (place("-91", "0"), vec!["--latitude: expected", "found -91"]),
        (place("51", "400"), vec!["--longitude: expected", "180", "found 400"]),
        (
            [place("51", "0"), vec!["--elevation", "1e9"]].concat(),
            vec!["--elevation: expected", "9000", "found 1000000000"],
        ),
        ([place("51", "0"), vec!["--elevation", "nan"]].concat(), vec!["--elevation", "expected a number"]),
        (vec!["--sill-m", "200"], vec!["--sill-m: expected 0 to ", "found 200"]),
        (vec!["--sill-m", "-3"], vec!["--sill-m: expected", "found -3"]),
        (vec!["--sill-m", "nan"], vec!["--sill-m", "expected a number"]),
        (vec!["--name", ""], vec!["--name: expected some text"]),
        (vec!["--name", &long], vec!["--name: expected at most 200 characters, found 5000"]),
        (vec!["--at", "yesterday"], vec!["--at: ", "yesterday"]),
        (vec!["--facing", "inf"], vec!["--facing", "such as SW"]),
        (
            vec!["--latitude", "51", "--longitude", "0", "--time-zone", "Nowhere/Land"],
            vec!["--time-zone: expected an IANA time zone"],
        ),
    ] {
        assert_refused(
            &new(&out, &[&["--width-mm", "600", "--height-mm", "900"], &options[..]].concat()),
            &out,
            &words,
        );
        assert_refused(&drawing(&out, &["import".as_ref(), svg.as_ref()], &options), &out, &words);
    }
    // Each fault on a line of its own.
    let two = new(&out, &[&["--width-mm", "600", "--height-mm", "900"], &place("95", "400")[..]].concat());
    assert_refused(&two, &out, &["2 faults\n  --latitude: ", "\n  --longitude: "]);
    for (option, value) in [("--lead-mm", "150"), ("--border-lead-mm", "150")] {
        let run = drawing(&out, &["import".as_ref(), svg.as_ref()], &[option, value]);
        assert_refused(&run, &out, &[&format!("{option}: expected"), "100", "found 150"]);
    }
}

#[test]
fn a_sill_is_limited_by_the_window_above_it() {
    let [_, out] = files("new-sill");
    let sill = |metres| ["--width-mm", "600", "--height-mm", "900", "--sill-m", metres];
    let high = new(&out, &sill("99.5"));
    assert_refused(&high, &out, &["--sill-m: expected 0 to 98.6 m", "found 99.5 m"]);
    let most = new(&out, &sill("98.6"));
    assert_eq!(most.code, Some(0), "{}", most.err);
    let report = clerestory(&["report".as_ref(), out.as_os_str()]);
    assert_eq!(report.code, Some(0), "{}", report.err);
}

#[test]
fn impossible_measurements_are_named_by_their_options() {
    let [_, out] = files("new-measurements");
    let sizes = &["--width-mm", "600", "--height-mm", "900"][..];
    let small = &["--width-mm", "60", "--height-mm", "900"][..];
    let wide_leads = &["--lead-mm", "50", "--border-lead-mm", "50"][..];
    for (arguments, words) in [
        (
            vec!["--width-mm", "-5", "--height-mm", "600"],
            vec!["--width-mm: expected 50 to 19999 mm, found -5 mm"],
        ),
        (vec!["--width-mm", "600", "--height-mm", "nan"], vec!["--height-mm", "expected a number"]),
        ([sizes, &["--quarries", "1", "2"]].concat(), vec!["2 faults\n  --quarries: ", "\n  --quarries: "]),
        ([sizes, &["--quarries", "-10", "20"]].concat(), vec!["--quarries: expected 10 to", "found -10 mm"]),
        ([sizes, &["--panes", "0", "3"]].concat(), vec!["--panes: expected 1 to 2000, found 0"]),
        ([sizes, &["--panes", "2000", "2000"]].concat(), vec!["--panes: expected at most 20000 pieces"]),
        ([sizes, &["--pane-size-mm", "5", "100"]].concat(), vec!["--pane-size-mm: expected 10 to"]),
        ([sizes, &["--lead-mm", "0"]].concat(), vec!["--lead-mm: expected 2 to 50 mm, found 0 mm"]),
        ([sizes, &["--border-lead-mm", "99"]].concat(), vec!["--border-lead-mm: expected 2 to 50 mm"]),
        ([sizes, &["--bars-mm", "-1"]].concat(), vec!["--bars-mm: expected 100 to"]),
        (
            [sizes, &["--bars-mm", "400", "--bar-diameter-mm", "90"]].concat(),
            vec!["--bar-diameter-mm: expected 3 to 50 mm"],
        ),
        ([sizes, &["--border-mm", "400"]].concat(), vec!["--border-mm: expected 14 to 200 mm"]),
        (
            [sizes, &["--border-mm", "40", "--border-piece-mm", "10"]].concat(),
            vec!["--border-piece-mm: expected 40 to"],
        ),
        (
            [small, wide_leads, &["--border-mm", "20"]].concat(),
            vec![
                "--border-mm: expected no border, because the opening is too small or the leads are too wide for one",
            ],
        ),
        (
            [sizes, &["--rise-mm", "5"]].concat(),
            vec!["--rise-mm: only pointed and segmental heads have a rise"],
        ),
        (
            vec!["--shape", "round", "--width-mm", "600", "--height-mm", "5"],
            vec!["--height-mm: a round opening has only --width-mm, its diameter; leave it out"],
        ),
    ] {
        let run = new(&out, &arguments);
        assert_refused(&run, &out, &words);
        for field in ["filling", "leads.", "bars.", "border.", "opening.", "fault(s)"] {
            assert!(!run.err.contains(field), "{field} in {}", run.err);
        }
    }
}

#[test]
fn everything_that_the_page_can_draw_can_be_typed() {
    let [_, out] = files("new-all");
    let run = new(
        &out,
        &[
            "--width-mm",
            "700",
            "--height-mm",
            "1000",
            "--pane-size-mm",
            "150",
            "200",
            "--border-mm",
            "50",
            "--border-piece-mm",
            "80",
            "--bars-mm",
            "400",
            "--bar-diameter-mm",
            "12",
        ],
    );
    assert_eq!(run.code, Some(0), "{}", run.err);
    let scene = scene::read(&fs::read_to_string(&out).unwrap()).unwrap_or_else(|faults| panic!("{faults}"));
    let drawing = &scene.windows[0].drawing;
    assert!((drawing.bars[0].width_mm - 12.0).abs() < 1e-9);
    // Field 600 by 900: 4 by 5 (900 / 200 is 4.5, which rounds up); border: 8 and 12 pieces, twice.
    assert_eq!(scene.windows[0].pieces.len(), 20 + 2 * (8 + 12));
    assert_eq!(scene.name, "New window");
}

#[test]
fn the_border_lead_has_one_name_and_its_old_one_still_works() {
    let [svg, out] = files("new-border-lead");
    let import = |option| {
        let run = drawing(&out, &["import".as_ref(), svg.as_ref()], &[option, "20"]);
        assert_eq!(run.code, Some(0), "{}", run.err);
        fs::read_to_string(&out).unwrap()
    };
    let [now, old] = ["--border-lead-mm", "--border-mm"].map(import);
    assert_eq!(now, old);
    let scene = scene::read(&now).unwrap_or_else(|faults| panic!("{faults}"));
    assert!((scene.windows[0].drawing.sight_size.width_mm - 20.0).abs() < 1e-9);
    let help = clerestory(&["drawing", "import", "--help"]).out;
    assert!(help.contains("--border-lead-mm") && !help.contains("--border-mm"), "{help}");
}

#[test]
fn a_scene_is_not_imported_as_a_drawing() {
    let [_, out] = files("new-of-scene");
    let scene = crate::run::demo("small-rose");
    let run = drawing(&out, &["import".as_ref(), scene.as_ref()], &[]);
    assert_refused(&run, &out, &["small-rose.json: this is a scene file, not a drawing"]);
}

#[test]
fn a_new_window_has_leads_with_depth_and_a_scene_without_is_told_what_that_leaves_out() {
    let [_, out] = files("new-leads");
    let made = new(
        &out,
        &["--shape", "rectangle", "--width-mm", "600", "--height-mm", "900", "--quarries", "60", "90"],
    );
    assert_eq!(made.code, Some(0), "{}", made.err);
    let report = |scene: &Path| {
        let run = clerestory(&["report".as_ref(), scene.as_os_str()]);
        assert_eq!(run.code, Some(0), "{}", run.err);
        run.out
    };
    let with = report(&out);
    assert!(with.contains("\nDepth of the leads\n  window: leaves stand out 1 mm"), "{with}");
    assert!(with.contains("how far the leads stand out"), "{with}");
    assert!(!with.contains("count as flat"), "{with}");
    let mut scene: serde_json::Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
    scene["windows"][0].as_object_mut().unwrap().remove("wall");
    fs::write(&out, scene.to_string()).unwrap();
    let flat = report(&out);
    assert!(flat.contains("leads: those of “window” count as flat"), "{flat}");
    assert!(!flat.contains("Depth of the leads"), "{flat}");
}
