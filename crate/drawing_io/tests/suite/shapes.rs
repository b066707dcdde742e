//! Panes side by side, and panes with leads above.

use crate::window::{EDGE, LEADS, areas, assert_areas, file, is_window, layers, paths, read};

/// The seven panes of the window as closed paths, y down; `close`: how they end.
fn panes(close: &str) -> Vec<String> {
    // The curve meets the upright at x = 300, where t solves 390 t − 0 t² … : split by kurbo.
    let curve = panel::read_path(LEADS[1]).expect("a path");
    let kurbo::PathSeg::Cubic(cubic) = curve.segments().next().expect("a curve") else { panic!("no cubic") };
    let mut t = 0.75;
    for _ in 0..60 {
        let x = kurbo::ParamCurve::eval(&cubic, t).x;
        t -= (x - 300.0) / 400.0;
    }
    let left = kurbo::ParamCurve::subsegment(&cubic, 0.0..t);
    let right = kurbo::ParamCurve::subsegment(&cubic, t..1.0);
    let there = |c: kurbo::CubicBez| {
        format!("C{:.6} {:.6} {:.6} {:.6} {:.6} {:.6}", c.p1.x, c.p1.y, c.p2.x, c.p2.y, c.p3.x, c.p3.y)
    };
    let back = |c: kurbo::CubicBez| {
        format!("C{:.6} {:.6} {:.6} {:.6} {:.6} {:.6}", c.p2.x, c.p2.y, c.p1.x, c.p1.y, c.p0.x, c.p0.y)
    };
    let y = left.p3.y;
    vec![
        format!("M0 180{}V0H0V180{close}", there(left)),
        format!("M300 {y:.6}{}V0H300V{y:.6}{close}", there(right)),
        format!("M0 400H300V{y:.6}{}V400{close}", back(left)),
        format!("M300 400H400V180{}V400{close}", back(right)),
        format!("M0 600H150V400H0V600{close}"),
        format!("M150 600H300V400H150V600{close}"),
        format!("M300 600H400V400H300V600{close}"),
    ]
}

const COLOURS: [&str; 3] = ["#27408b", "#f2c14e", "#7a1f2b"];

fn coloured(panes: &[String]) -> String {
    panes
        .iter()
        .enumerate()
        .map(|(k, d)| format!("<path d=\"{d}\" fill=\"{}\"/>\n", COLOURS[k % 3]))
        .collect()
}

#[test]
fn panes_side_by_side_with_and_without_z() {
    for close in ["Z", ""] {
        let found = is_window(&file(&coloured(&panes(close))));
        assert_eq!(found.layers.len(), 1);
        // Each lead once.
        assert!(found.drawing.cutlines.len() < 20, "{}", found.drawing.cutlines.len());
        let stroked =
            file(&format!("<g stroke=\"black\" stroke-width=\"4\">{}</g>", coloured(&panes(close))));
        let found = is_window(&stroked);
        assert_eq!(found.drawing.cutlines[0].face_mm, 4.0);
    }
}

#[test]
fn panes_on_a_coarse_grid() {
    let shifted: Vec<String> = panes("Z")
        .iter()
        .enumerate()
        .map(|(k, d)| {
            format!(
                "<path d=\"{d}\" transform=\"translate({} {})\"/>",
                0.02 * (k % 3) as f64,
                -0.02 * (k % 2) as f64
            )
        })
        .collect();
    let found = read(&file(&shifted.concat()));
    assert_areas(&found, &areas(), 0.002);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
}

#[test]
fn leads_above_panes_are_the_leads() {
    let svg = file(&format!(
        r#"<g id="glass">{}</g><g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>"#,
        coloured(&panes("Z")),
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    assert_eq!(found.drawing.cutlines.len(), LEADS.len());
}

/// Rectangles with a gap of 6 mm between them, 3 columns by 4 rows.
#[test]
fn leads_run_between_panes_with_gaps() {
    let panes: String = (0..12)
        .map(|k| {
            let (x, y) = (f64::from(k % 3) * 106.0, f64::from(k / 3) * 86.0);
            format!("<rect x=\"{x}\" y=\"{y}\" width=\"100\" height=\"80\" rx=\"2\" fill=\"#27408b\"/>")
        })
        .collect();
    let found = read(&file(&panes));
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    // The hearts run in the middle of the gaps, and half a gap outside the panes.
    assert_areas(&found, &[106.0 * 86.0; 12], 0.002);
    assert!((found.panel.width_mm - 318.0).abs() < 0.1 && (found.panel.height_mm - 344.0).abs() < 0.1);
    assert!(found.drawing.cutlines.iter().all(|line| (line.face_mm - 6.0).abs() < 0.1));
}

#[test]
fn a_net_in_a_layer_of_its_own_keeps_to_the_drawn_edge() {
    let holes: String = (0..4)
        .map(|k| {
            let (x, y) = (5.0 + f64::from(k % 2) * 147.5, 5.0 + f64::from(k / 2) * 97.5);
            format!("M{x} {y}h142.5v92.5h-142.5z")
        })
        .collect();
    let svg = file(&format!(
        r#"<g id="outline" fill="none" stroke="black"><rect width="300" height="200"/></g>
        <g id="leads"><path fill-rule="evenodd" d="M-5 -5h310v210h-310z{holes}"/></g>"#
    ));
    let found = read(&svg);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    assert_areas(&found, &[15_000.0; 4], 0.005);
    assert!((found.drawing.outline.face_mm - 10.0).abs() < 0.1, "{}", found.drawing.outline.face_mm);
}

#[test]
fn panes_in_layers_by_colour_are_one_window() {
    let panes = panes("");
    let named: String = panes
        .iter()
        .enumerate()
        .map(|(k, d)| format!("<path id=\"piece-{k}\" d=\"{d}\" fill=\"red\"/>"))
        .collect();
    is_window(&file(&named));
    for names in [["Blue", "Red", "White"], ["Glass blue", "Glass red", "Glass white"]] {
        let layers: String = (0..3)
            .map(|k| {
                let own: String =
                    panes.iter().skip(k).step_by(3).map(|d| format!("<path d=\"{d}\"/>")).collect();
                format!("<g id=\"{}\" fill=\"{}\">{own}</g>", names[k], COLOURS[k])
            })
            .collect();
        is_window(&file(&layers));
    }
}

#[test]
fn panes_that_only_their_fill_closes() {
    let open = "<path d=\"M0 0h200v300h-200\" fill=\"red\"/><path d=\"M200 0h200v300h-200\" fill=\"blue\"/>\
        <path d=\"M0 300h400v300h-400\" fill=\"green\"/>";
    let found = read(&file(open));
    assert_areas(&found, &[60_000.0, 60_000.0, 120_000.0], 1e-6);
}

#[test]
fn a_filled_ground_is_the_edge_of_the_lines_upon_it() {
    let svg = file(&format!(
        r##"<rect width="400" height="600" fill="#eef"/><g fill="none" stroke="black" stroke-width="5">{}</g>"##,
        paths(&LEADS)
    ));
    is_window(&svg);
}

#[test]
fn a_ground_under_panes_and_shapes_upon_them_are_told_apart() {
    let side_by_side = coloured(&panes("Z"));
    let with_gaps: String = (0..12)
        .map(|k| {
            let (x, y) = (f64::from(k % 3) * 106.0, f64::from(k / 3) * 86.0);
            format!("<rect x=\"{x}\" y=\"{y}\" width=\"100\" height=\"80\" fill=\"#27408b\"/>")
        })
        .collect();
    let upon =
        "<circle cx=\"60\" cy=\"50\" r=\"9\" fill=\"gold\"/><path d=\"M200 40l9 14h-18z\" fill=\"gold\"/>";
    let is_painting = |found: &drawing_io::Import, what: &str| {
        let [fault] = &found.faults[..] else { panic!("{:?}", found.faults) };
        assert_eq!(fault.kind, drawing_io::FaultKind::NotUnderstood);
        assert!(fault.words.starts_with(&format!("{what} left out as painting.")), "{}", fault.words);
        assert!(
            fault.words.contains("take the layer \"#ffd700 shapes upon filled shapes\""),
            "{}",
            fault.words
        );
    };
    let found = read(&file(&format!("{side_by_side}{upon}")));
    assert_areas(&found, &areas(), 0.0005);
    is_painting(&found, "2 shapes upon panes were");
    assert_eq!(layers(&found), ["filled shapes: cutlines", "#ffd700 shapes upon filled shapes: ignored"]);
    let told = [("#ffd700 shapes upon filled shapes".to_owned(), drawing_io::Role::Cutlines)].into();
    let options = drawing_io::ImportOptions { roles: told, ..Default::default() };
    let found = drawing_io::import(&file(&format!("{side_by_side}{upon}")), &options).expect("a window");
    assert_eq!(found.panel.pieces.len(), areas().len() + 2);
    for ground in ["<rect x=\"-4\" y=\"-4\" width=\"320\" height=\"346\" fill=\"#eeeeff\"/>", ""] {
        let found = read(&file(&format!("{ground}{with_gaps}{upon}")));
        // The other reaches beyond its pane.
        is_painting(&found, "1 shape upon panes was");
        assert_areas(&found, &[106.0 * 86.0; 12], 0.002);
        let under = "#eeeeff ground under filled shapes: outline".to_owned();
        assert_eq!(layers(&found).contains(&under), !ground.is_empty(), "{:?}", layers(&found));
    }
}
