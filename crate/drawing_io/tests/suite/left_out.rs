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
