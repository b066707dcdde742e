//! Layers by name, and what somebody says instead.

use std::collections::BTreeMap;

use drawing_io::{FaultKind, ImportError, ImportOptions, Role, import};

use crate::window::{EDGE, LEADS, areas, assert_areas, file, is_window, layers, paths, read};

fn svg() -> String {
    file(&format!(
        r#"<g id="Umriss" fill="none" stroke="black" stroke-width="10">{EDGE}</g>
        <g data-name="Bleiruten" fill="none" stroke="black" stroke-width="5">{}</g>
        <g id="Windeisen" fill="none" stroke="black" stroke-width="9"><path d="M0 300H400"/></g>
        <g id="Malerei" fill="none" stroke="black" stroke-width="5"><path d="M0 100H400"/></g>"#,
        paths(&LEADS)
    ))
}

#[test]
fn names_count_in_other_languages() {
    let found = is_window(&svg());
    assert_eq!(
        layers(&found),
        ["Umriss: outline", "Bleiruten: cutlines", "Windeisen: bars", "Malerei: ignored"]
    );
    assert_eq!(found.drawing.bars[0].diameter_mm, 9.0);
}

#[test]
fn what_somebody_says_counts_more() {
    let roles: BTreeMap<String, Role> = [("Malerei", Role::Cutlines), ("Windeisen", Role::Ignored)]
        .map(|(name, role)| (name.to_owned(), role))
        .into();
    let found = import(&svg(), &ImportOptions { roles, ..ImportOptions::default() }).expect("a window");
    assert_areas(&found, &crate::window::areas_with(&["M0 100H400"]), 0.0005);
    assert!(found.drawing.bars.is_empty());
    assert_ne!(found.panel.pieces.len(), areas().len());
}

#[test]
fn a_layer_that_is_not_there_is_named_with_those_that_are() {
    let roles: BTreeMap<String, Role> = [("leads".to_owned(), Role::Cutlines)].into();
    let error = import(&svg(), &ImportOptions { roles, ..ImportOptions::default() }).unwrap_err();
    let ImportError::NoSuchLayer { known, .. } = &error else { panic!("{error}") };
    assert_eq!(*known, ["Umriss", "Bleiruten", "Windeisen", "Malerei"]);
}

#[test]
fn wrappers_and_outlines_are_not_taken_at_their_word() {
    let all = format!(r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>"#, paths(&LEADS));
    for wrapper in [
        r#"<g id="Page-1">"#,
        r#"<g class="Page">"#,
        r#"<g id="title">"#,
        r#"<g id="sketch">"#,
        r#"<g inkscape:groupmode="layer" inkscape:label="Outlines">"#,
        r#"<g id="outline-and-leads">"#,
        r#"<g id="outline">"#,
    ] {
        is_window(&file(&format!("{wrapper}{all}</g>")));
    }
}

#[test]
fn names_on_a_layer_may_be_given_back_at_any_size() {
    let lines = format!(
        r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g><path d="M-20 30H420" stroke="red" stroke-width="10"/>"#,
        paths(&LEADS)
    );
    let svg = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -20 440 640">{lines}</svg>"#);
    let told = ImportOptions { width_mm: Some(800.0), ..ImportOptions::default() };
    let found = import(&svg, &told).expect("a window");
    let red =
        found.layers.iter().find(|layer| layer.name.contains("red")).expect("the red line").name.clone();
    assert_eq!(red, "red lines, 20 mm wide");
    let roles: BTreeMap<String, Role> = [(red, Role::Ignored)].into();
    let found = import(&svg, &ImportOptions { roles, ..told }).expect("a window");
    assert_eq!(found.panel.pieces.len(), areas().len());
}

#[test]
fn groups_say_what_names_with_widths_cannot() {
    // The bars reach beyond the edge: at the width given, their name states another width than at the first look.
    let svg = file(&format!(
        r##"<g fill="none"><g stroke="red" stroke-width="10">{EDGE}</g><g stroke="black" stroke-width="5">{}</g>
        <g stroke="blue" stroke-width="12"><path d="M-5 300H405"/></g></g>"##,
        paths(&LEADS)
    ));
    let options = ImportOptions { width_mm: Some(400.0), ..ImportOptions::default() };
    let found = import(&svg, &options).expect("a window");
    let bars = found.layers.last().expect("a layer");
    assert_eq!((bars.name.as_str(), bars.taken_as), ("blue lines, 12 mm wide", Role::Bars));
    let group_roles: BTreeMap<usize, Role> =
        bars.groups.iter().map(|&group| (group, Role::Ignored)).collect();
    let without = import(&svg, &ImportOptions { group_roles, ..options.clone() }).expect("a window");
    assert!(
        without.drawing.bars.is_empty()
            && without.layers.last().map(|layer| layer.taken_as) == Some(Role::Ignored)
    );
    let group_roles = BTreeMap::from([(9, Role::Bars)]);
    let error = import(&svg, &ImportOptions { group_roles, ..options }).unwrap_err();
    assert!(matches!(error, ImportError::NoSuchLayer { .. }), "{error}");
}

#[test]
fn an_edge_is_told_by_the_name_that_it_is_listed_under() {
    let svg = file(&format!(
        r#"<g id="Ebene 1" fill="none" stroke="black" stroke-width="5">{EDGE}{}
        <rect x="-15" y="-15" width="430" height="630"/></g>"#,
        paths(&["M-15 300H0", "M400 300H415"])
    ));
    let with = |role: Option<Role>| {
        let roles = role.map(|role| ("Ebene 1: its outer edge".to_owned(), role)).into_iter().collect();
        import(&svg, &ImportOptions { roles, ..ImportOptions::default() })
    };
    let plain = with(None).expect("a window");
    assert_eq!(layers(&plain), ["Ebene 1: cutlines", "Ebene 1: its outer edge: outline"]);
    assert_eq!(plain.panel.width_mm.round(), 430.0);
    let same = with(Some(Role::Outline)).expect("a window");
    assert_eq!((same.panel.width_mm, layers(&same)), (plain.panel.width_mm, layers(&plain)));
    let inner = with(Some(Role::Ignored)).expect("a window");
    assert_eq!(inner.panel.width_mm.round(), 400.0);
    let error = with(Some(Role::Bars)).unwrap_err();
    assert!(matches!(error, ImportError::BadOption { option: "--layer", .. }), "{error}");
}

#[test]
fn bars_drawn_as_rectangles_are_bars_as_wide_as_these() {
    let leads = format!(r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>"#, paths(&LEADS));
    let bars =
        r#"<rect y="294" width="400" height="12"/><rect x="-5" y="95" width="410" height="10" rx="2"/>"#;
    for group in [
        format!(r##"<g id="bars" fill="#444">{bars}</g>"##),
        format!(r#"<g id="bars" fill="none" stroke="black" stroke-width="0.3">{bars}</g>"#),
        format!(r##"<g fill="#444">{bars}</g>"##),
        format!(r#"<g fill="none" stroke="blue" stroke-width="0.3">{bars}</g>"#),
    ] {
        let found = is_window(&file(&format!("{leads}{group}")));
        let drawn: Vec<(f64, &str)> =
            found.drawing.bars.iter().map(|bar| (bar.diameter_mm, bar.path.as_str())).collect();
        assert_eq!(drawn.len(), 2, "{group}: {:?}", layers(&found));
        assert!(drawn[0].0 == 12.0 && drawn[1].0 == 10.0, "{group}: {drawn:?}");
        let axis = panel::read_path(drawn[0].1).expect("a path");
        let size = kurbo::Shape::bounding_box(&axis);
        assert!(
            (size.y0 - 300.0).abs() < 1e-6 && size.height() < 1e-6 && (size.width() - 400.0).abs() < 1e-6
        );
    }
}

#[test]
fn painted_hatching_is_no_lead() {
    // Strokes of 10 mm, 1.5 mm apart, in two directions, in many places: longer than all leads together.
    let strokes = |dx: f64| -> String {
        (0..900)
            .map(|k| {
                let (x, y) = (
                    20.0 + f64::from(k % 60) * 6.0 % 340.0,
                    10.0 + f64::from(k / 60) * 39.0 + f64::from(k % 5) * 1.5,
                );
                format!("<path d=\"M{x} {y}l{dx} 4\"/>")
            })
            .collect()
    };
    for hatch in [strokes(9.0), format!("{}{}", strokes(9.0), strokes(-9.0))] {
        let svg = file(&format!(
            r#"<g fill="none" stroke="black"><g stroke-width="5">{EDGE}{}</g><g stroke-width="0.4">{hatch}</g></g>"#,
            paths(&LEADS)
        ));
        let found = read(&svg);
        assert_areas(&found, &areas(), 0.0005);
        let [fault] = &found.faults[..] else { panic!("{:?}", found.faults) };
        assert_eq!(fault.kind, FaultKind::NotUnderstood);
        assert!(fault.words.contains("painted hatching"), "{}", fault.words);
        assert!(
            layers(&found).contains(&"black lines, 0.4 mm wide: ignored".to_owned()),
            "{:?}",
            layers(&found)
        );
    }
}
