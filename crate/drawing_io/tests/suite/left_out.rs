//! What is left out although it might hold leads is named, with what to do.

use drawing_io::{DrawingFault, FaultKind, Import, ImportError, ImportOptions, Role, import};

use crate::window::{EDGE, LEADS, areas, assert_areas, file, layers, paths, read};

/// A window's edge and leads as lines.
fn lines() -> String {
    format!(r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>"#, paths(&LEADS))
}

/// One fill of 3 000 edges at random, which cross about a million times.
fn wash() -> String {
    let mut state = 5_u64;
    let mut number = |range: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % range
    };
    let corners: String =
        (0..3_000).map(|_| format!(" L{} {}", 20 + number(360), 20 + number(560))).collect();
    format!(r#"<path fill="teal" d="M200 300{corners}Z"/>"#)
}

fn with(svg: &str, layer: &str, role: Role) -> Result<Import, ImportError> {
    import(svg, &ImportOptions { roles: [(layer.to_owned(), role)].into(), ..ImportOptions::default() })
}

/// The one fault: something was left out.
#[track_caller]
fn one(found: &Import) -> &DrawingFault {
    let [fault] = &found.faults[..] else { panic!("{:?}, layers {:?}", found.faults, found.layers) };
    assert_eq!(fault.kind, FaultKind::NotUnderstood);
    assert!(fault.at_mm.to_array().iter().zip([400.0, 600.0]).all(|(at, most)| *at > 0.0 && *at < most));
    fault
}

#[test]
fn a_tangled_layer_is_left_out_and_the_window_read() {
    for wash in [format!(r#"<g id="wash">{}</g>"#, wash()), wash()] {
        for svg in [format!("{wash}{}", lines()), format!("{}{wash}", lines())] {
            let found = read(&file(&svg));
            assert_areas(&found, &areas(), 0.0005);
            let words = &one(&found).words;
            let name = if svg.contains("wash") { "wash" } else { "filled shapes" };
            assert!(words.contains(&format!("{name:?}")) && words.contains("Take it as ignored"), "{words}");
            let found = with(&file(&svg), name, Role::Ignored).expect("a window");
            assert!(found.faults.is_empty(), "{:?}", found.faults);
        }
    }
}

#[test]
fn a_tangled_layer_is_refused_by_name_where_it_should_hold_the_leads() {
    let (lines, wash) = (lines(), wash());
    let refused = |svg: &str, role: Option<(&str, Role)>| {
        let roles = role.map(|(layer, role)| (layer.to_owned(), role)).into_iter().collect();
        import(&file(svg), &ImportOptions { roles, ..ImportOptions::default() }).unwrap_err().to_string()
    };
    for (error, layer) in [
        (refused(&format!(r#"{lines}<g id="wash">{wash}</g>"#), Some(("wash", Role::Cutlines))), "wash"),
        (refused(&format!(r#"{lines}<g id="leads">{wash}</g>"#), None), "leads"),
        (refused(&format!(r#"<g fill="none" stroke="red">{EDGE}</g><g id="wash">{wash}</g>"#), None), "wash"),
    ] {
        assert!(error.contains(&format!("--layer \"{layer}=ignored\"")), "{error}");
    }
    // As the refusal says.
    let found = with(&file(&format!(r#"{lines}<g id="leads">{wash}</g>"#)), "leads", Role::Ignored);
    let found = found.expect("a window");
    assert_areas(&found, &areas(), 0.0005);
    assert_eq!(layers(&found).last().map(String::as_str), Some("leads: ignored"));
}

#[test]
fn shapes_upon_panes_are_named_and_taken_when_told() {
    for gap in [0, 6] {
        upon_two_panes(gap);
    }
}

/// Two panes this far apart (mm), with a roundel upon each.
fn upon_two_panes(gap: i32) {
    let panes: String = [0, 200 + gap]
        .map(|x| {
            let pane = format!(r#"<rect x="{x}" width="200" height="300" fill="navy"/>"#);
            format!(r#"{pane}<circle cx="{}" cy="150" r="60" fill="gold"/>"#, x + 100)
        })
        .concat();
    let found = read(&file(&panes));
    assert_eq!(found.panel.pieces.len(), 2);
    let fault = one(&found);
    assert!(fault.words.starts_with("2 shapes upon panes were left out as painting"), "{}", fault.words);
    assert!(
        (fault.at_mm[0] - 101.5).abs() < 2.0 && (fault.at_mm[1] - 151.5).abs() < 2.0,
        "{:?}",
        fault.at_mm
    );
    let layer = "#ffd700 shapes upon filled shapes";
    let found = with(&file(&panes), layer, Role::Cutlines).expect("a window");
    assert_eq!((found.panel.pieces.len(), found.faults.len()), (4, 0), "{:?}", found.faults);
    let found = with(&file(&panes), layer, Role::Ignored).expect("a window");
    assert_eq!((found.panel.pieces.len(), found.faults.len()), (2, 0), "{:?}", found.faults);
}

#[test]
fn leads_drawn_as_double_lines_alone_are_leads() {
    let twice = |line: &dyn Fn(f64) -> String, at: f64| {
        format!("<path d=\"{}\"/><path d=\"{}\"/>", line(at), line(at + 1.5))
    };
    let upright = (1..4).map(|k| twice(&|x| format!("M{x} 0V600"), f64::from(k) * 100.0));
    let across = (1..3).map(|k| twice(&|y| format!("M0 {y}H400"), f64::from(k) * 200.0));
    let leads: String = upright.chain(across).collect();
    for edge in [EDGE.to_owned(), format!(r#"<g id="outline">{EDGE}</g>"#)] {
        let svg = file(&format!(
            r#"<g fill="none" stroke="black"><g stroke-width="3">{edge}</g><g stroke-width="0.3">{leads}</g></g>"#
        ));
        let found = read(&svg);
        let wide = found.panel.pieces.iter().filter(|piece| piece.area_mm2 > 10_000.0).count();
        assert_eq!(wide, 12, "{:?}", layers(&found));
        assert!(found.faults.iter().all(|fault| fault.kind == FaultKind::Sliver), "{:?}", found.faults);
    }
}

#[test]
fn hatching_alone_in_a_window_is_painting() {
    let strokes: String =
        (0..40).map(|k| format!("<path d=\"M100 {}l30 2\"/>", 200.0 + f64::from(k) * 1.5)).collect();
    let svg = file(&format!(
        r#"<g fill="none" stroke="black"><g stroke-width="5">{EDGE}</g><g stroke-width="0.3">{strokes}</g></g>"#
    ));
    let found = read(&svg);
    assert_eq!(found.panel.pieces.len(), 1);
    let fault = one(&found);
    assert!(fault.words.starts_with("40 lines close beside one another were left out"), "{}", fault.words);
    assert!(
        (fault.at_mm[0] - 115.0).abs() < 1.0 && (fault.at_mm[1] - 399.0).abs() < 1.0,
        "{:?}",
        fault.at_mm
    );
}
