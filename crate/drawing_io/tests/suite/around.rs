//! What is drawn around a window, and is none of it: masonry, a rebate, a reveal, a frame, in lines that are not closed.

use drawing_io::{FaultKind, Import};

use crate::window::{EDGE, LEADS, areas, assert_areas, file, is_window, layers, paths, read};

/// Lines around the window that are not closed, farther out than leads overrun.
const AROUND: [&str; 4] = [
    "M-40 -40H440V640H-40V-32",
    "M-40 600V-40H440V600M-60 600H460",
    "M-70 300A270 420 0 1 1 -69 330",
    "M-30 -30H430V630H-30V70",
];

/// The same from as near as a rebate.
const NEAR: [&str; 3] = [
    "M-15 -15H415V615H-15V-8",
    "M-20 600V-20H420V600M-40 600H440",
    "M-15 -15H415M415 -15V615M415 615H-15M-15 600V-15",
];

const FOUR_LINES: &str = r#"<path d="M0 0H400M400 0V600M400 600H0M0 600V0"/>"#;

fn black(content: &str) -> String {
    format!(r#"<g fill="none" stroke="black" stroke-width="2">{content}</g>"#)
}

fn red(path: &str) -> String {
    format!(r#"<g fill="none" stroke="red" stroke-width="1"><path d="{path}"/></g>"#)
}

#[track_caller]
fn is_size(found: &Import) {
    let (w, h) = (found.panel.width_mm, found.panel.height_mm);
    assert!((w - 400.0).abs() < 0.01 && (h - 600.0).abs() < 0.01, "{w} × {h}, {:?}", layers(found));
}

#[test]
fn an_open_ring_around_a_closed_edge_is_ignored() {
    let leads = paths(&LEADS);
    for edge in [EDGE, FOUR_LINES] {
        for around in AROUND.into_iter().chain(NEAR) {
            // In the layer of the leads, and in one of its own.
            let alike = black(&format!("{edge}{leads}"));
            let own = format!(r#"{}<g fill="none" stroke="blue" stroke-width="3">{edge}</g>"#, black(&leads));
            for window in [alike, own] {
                for svg in [format!("{window}{}", red(around)), format!("{}{window}", red(around))] {
                    let found = is_window(&file(&svg));
                    is_size(&found);
                    assert!(layers(&found).contains(&"red lines, 1 mm wide: ignored".into()), "{svg}");
                }
            }
        }
    }
}

#[test]
fn an_open_ring_in_the_layer_of_the_window_lies_outside() {
    for edge in [EDGE, FOUR_LINES] {
        for around in ["M-30 -30H430V630H-30V70", "M-40 -40H440V640H-40V-32"] {
            let lines = format!(r#"{edge}{}<path d="{around}"/>"#, paths(&LEADS));
            let found = read(&file(&black(&lines)));
            assert_areas(&found, &areas(), 0.0005);
            is_size(&found);
            let [fault] = &found.faults[..] else { panic!("{:?}", found.faults) };
            assert_eq!(fault.words, "A line lies outside the window; left out.");
        }
    }
}

#[test]
fn an_open_ring_beside_a_named_edge_is_ignored() {
    for edge in [EDGE, FOUR_LINES] {
        for around in AROUND.into_iter().chain(NEAR) {
            let svg = format!(
                r#"<g id="outline" fill="none" stroke="black">{edge}</g>{}{}"#,
                black(&paths(&LEADS)),
                red(around)
            );
            is_size(&is_window(&file(&svg)));
        }
        // In the edge's own layer.
        let svg = format!(
            r#"<g id="outline" fill="none" stroke="black">{edge}<path d="{}"/></g>{}"#,
            AROUND[0],
            black(&paths(&LEADS))
        );
        is_size(&read(&file(&svg)));
    }
}

#[test]
fn bars_that_run_into_the_masonry_do_not_make_it_the_edge() {
    let bars = r#"<g fill="none" stroke="blue" stroke-width="9"><path d="M-40 300H440"/><path d="M-40 450H440"/></g>"#;
    let window = black(&format!("{EDGE}{}", paths(&LEADS)));
    let found = read(&file(&format!("{window}{bars}{}", red(AROUND[0]))));
    assert_areas(&found, &areas(), 0.0005);
    is_size(&found);
    assert_eq!(found.drawing.bars.len(), 2);
}

#[test]
fn an_edge_with_a_gap_is_closed_and_the_ring_around_it_ignored() {
    let edge = r#"<path d="M0 0H400M400 0V600M400 600H30M0 600V0"/>"#;
    for around in [AROUND[0], AROUND[1], AROUND[2], NEAR[0], NEAR[1]] {
        let alike = black(&format!("{edge}{}", paths(&LEADS)));
        let own =
            format!(r#"{}<g fill="none" stroke="blue" stroke-width="3">{edge}</g>"#, black(&paths(&LEADS)));
        for window in [alike, own] {
            let found = read(&file(&format!("{window}{}", red(around))));
            assert_areas(&found, &areas(), 0.0005);
            is_size(&found);
            let [fault] = &found.faults[..] else { panic!("{around}: {:?}", found.faults) };
            assert!(fault.kind == FaultKind::OpenEnd && fault.words.contains("open by 30 mm"), "{fault:?}");
        }
    }
}

#[test]
fn an_edge_around_closed_leads_on_which_nothing_ends_is_one() {
    let circles = r#"<circle cx="130" cy="150" r="60"/><circle cx="260" cy="400" r="80"/>"#;
    for edge in ["M0 0H400V600H0V30", "M0 0H400M400 0V600M400 600H30M0 600V0"] {
        let found = read(&file(&format!("{}{}", black(circles), red(edge))));
        is_size(&found);
        assert_eq!(found.panel.pieces.len(), 3, "{:?}", layers(&found));
    }
}

#[test]
fn straight_leads_within_two_rings_end_on_the_inner_one() {
    // Leads and edge each in a layer of its own, both of straight lines as bars are.
    let leads = paths(&["M130 0V600", "M0 200H400", "M130 420H400"]);
    for (edge, gaps) in
        [("M0 0H400M400 0V600M400 600H0M0 600V0", 0), ("M0 0H400M400 0V600M400 600H60M0 600V0", 1)]
    {
        for around in AROUND {
            let edge = format!(r#"<g fill="none" stroke="blue" stroke-width="8"><path d="{edge}"/></g>"#);
            let found = read(&file(&format!("{}{edge}{}", black(&leads), red(around))));
            is_size(&found);
            assert_eq!((found.panel.pieces.len(), found.drawing.bars.len()), (5, 0), "{:?}", layers(&found));
            assert_eq!(found.faults.len(), gaps, "{:?}", found.faults);
        }
    }
}

#[test]
fn a_gap_is_closed_beside_an_open_ring_in_the_same_layer() {
    let lines = format!(
        r#"<path d="M0 0H400M400 0V600M400 600H30M0 600V0"/>{}<path d="{}"/>"#,
        paths(&LEADS),
        AROUND[0]
    );
    let found = read(&file(&black(&lines)));
    assert_areas(&found, &areas(), 0.0005);
    is_size(&found);
    let mut words: Vec<&str> = found.faults.iter().map(|fault| fault.words.as_str()).collect();
    words.sort_unstable();
    let [outside, gap] = words[..] else { panic!("{words:?}") };
    assert!(outside.starts_with("A line lies outside") && gap.contains("open by 30 mm"), "{words:?}");
}
