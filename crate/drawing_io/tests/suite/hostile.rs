//! Hostile files end in errors, within their limits.

use drawing_io::{BYTE_LIMIT, ImportError, ImportOptions, import};
use proptest::prelude::*;

/// A file 300 by 200 mm with a sight size and these cutlines.
fn file(cutlines: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
        <rect id="sight-size" width="300" height="200" stroke-width="10"/>
        <g id="cutlines" stroke-width="6">{cutlines}</g></svg>"#
    )
}

/// A browser gives a megabyte of stack.
fn in_little_stack(run: impl FnOnce() + Send + 'static) {
    std::thread::Builder::new().stack_size(1 << 20).spawn(run).expect("a thread").join().expect("no panic");
}

#[test]
fn more_than_a_file_may_hold_is_refused() {
    in_little_stack(|| {
        let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
        let mut files = vec![
            file(&deep),
            file(&format!("{}<path d='M0 0V9'/>{}", "<g>".repeat(600), "</g>".repeat(600))),
            file(r##"<g id="a"><use href="#a"/></g>"##),
            file(&format!("<path d='M0 0{}'/>", "L9 9L0 0".repeat(1_100_000))),
            file(&format!("<style>{}</style>", ".a{fill:red}".repeat(600))),
            file(&"<path d='M0 0H300'/>".repeat(80_000)),
            file(&format!("<path d='M0 0{}' stroke='red'/>", "C9e4 0 0 9e4 -9e4 5".repeat(20_000))),
            file(&format!("<g {}/>", "a='1' ".repeat(20_000))),
            file(&format!("<g {}/>", (0..9_000).map(|k| format!("xmlns:a{k}='x' ")).collect::<String>())),
            file(
                &(0..2_000)
                    .map(|k| format!("<path d='M0 {k}H9' stroke='#{k:06x}'/>"))
                    .collect::<String>()
                    .replace("id=\"cutlines\"", ""),
            ),
            " ".repeat(BYTE_LIMIT + 1),
            "\u{0}\u{1}".to_owned(),
            "<svg".to_owned(),
            "<html/>".to_owned(),
            String::new(),
        ];
        // Entities of entities.
        let mut bomb = String::from(r#"<!DOCTYPE svg [<!ENTITY a0 "<g><path d='M0 0L1 1'/></g>">"#);
        for i in 1..12 {
            bomb += &format!(r#"<!ENTITY a{i} "{}">"#, format!("&a{};", i - 1).repeat(10));
        }
        files.push(format!("{bomb}]><svg width='9mm' viewBox='0 0 9 9'>&a11;</svg>"));
        // Uses of uses: 10^8 paths.
        let mut uses = String::from("<g id='u0'><path d='M0 0L1 1'/></g>");
        for i in 1..9 {
            uses += &format!("<g id='u{i}'>{}</g>", format!("<use href='#u{}'/>", i - 1).repeat(10));
        }
        files.push(file(&uses));
        for svg in &files {
            let name: String = svg.chars().take(300).collect();
            let error = import(svg, &ImportOptions::default()).expect_err(&name);
            assert!(!error.to_string().is_empty());
        }
    });
}

#[test]
fn numbers_beyond_all_measure_do_no_harm() {
    in_little_stack(|| {
        for odd in [
            r#"<path d="M0 0L1e308 -1e308"/>"#,
            r#"<path d="M0 0L1e9999 0"/>"#,
            r#"<path d="M0 0LNaN NaN"/>"#,
            r#"<path d="M0 0A1e9 1e9 0 0 1 1e9 1e9"/>"#,
            r#"<path d="M0 0C1e9 0 0 1e9 -1e9 5"/>"#,
            r#"<g transform="scale(1e300)"><g transform="scale(1e300)"><path d="M1 1L2 2"/></g></g>"#,
            r#"<g transform="matrix(1 0 0 1 NaN 0)"><path d="M1 1L2 2"/></g>"#,
            r#"<circle r="1e308"/>"#,
            r#"<circle r="9" stroke="red" stroke-dasharray="1e-9 1e-9"/>"#,
            r#"<circle r="9" stroke="red" stroke-dasharray="1e300"/>"#,
            r#"<path d="M0 0" stroke-width="1e300"/>"#,
        ] {
            // Refused, or left out and named.
            match import(&file(odd), &ImportOptions::default()) {
                Ok(found) => assert!(found.panel.pieces.len() <= 2, "{odd}"),
                Err(error) => assert!(!error.to_string().is_empty()),
            }
        }
    });
}

/// Each of these took minutes, or all memory, where a limit was missing.
#[test]
fn what_is_costly_to_follow_ends_soon() {
    in_little_stack(|| {
        let rows = |count: usize, row: &dyn Fn(usize) -> String| (0..count).map(row).collect::<String>();
        for odd in [
            r#"<g transform="scale(1e40)"><path stroke="red" d="M0 0C1 5 5 5 9 0"/></g>"#.to_owned(),
            format!(
                "<style>{}path{{fill:red}}</style>{}",
                "path+".repeat(60_000),
                "<path d='M1 1'/>".repeat(60_000)
            ),
            format!(
                "<style>x g g g g g g path{{fill:red}}</style>{}<path d='M1 1'/>{}",
                "<g>".repeat(60),
                "</g>".repeat(60)
            ),
            format!("<g stroke-dasharray='{}'>{}</g>", "1 ".repeat(20_000), "<g/>".repeat(20_000)),
            format!("<g class='{}'>{}</g>", "a ".repeat(3_000), "<path d='M1 1H2'/>".repeat(3_000)),
            format!("<path id='p' transform='{}'/>{}", "x".repeat(1 << 20), "<use href='#p'/>".repeat(100)),
            rows(4_000, &|k| format!("<path d='M{} {}h1v1h-1z'/>", k % 280, k / 280 * 2)),
            rows(4_000, &|k| format!("<path d='M{k} -9v-5'/>")),
        ] {
            let begun = std::time::Instant::now();
            let _ = import(&file(&odd), &ImportOptions::default());
            // A second or so; much more on a busy machine, never minutes.
            assert!(begun.elapsed().as_secs() < 60, "{}", odd.chars().take(80).collect::<String>());
        }
    });
}

/// Twenty thousand long lines at random, which cross a hundred million times.
#[test]
fn tangles_are_refused_in_words() {
    in_little_stack(|| {
        let mut state = 3_u64;
        let mut point = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            format!("{} {}", (state >> 33) % 300, (state >> 20) % 200)
        };
        let mut rows = |count: usize, row: &dyn Fn(&mut dyn FnMut() -> String) -> String| -> String {
            (0..count).map(|_| row(&mut point)).collect()
        };
        let lines = rows(20_000, &|p| format!("<path d='M{}L{}'/>", p(), p()));
        let polygon = rows(20_000, &|p| format!(" L{}", p()));
        let triangles = rows(7_000, &|p| format!("<path d='M{}L{}L{}Z'/>", p(), p(), p()));
        for (svg, words) in [
            (file(&format!("<g fill='none' stroke='red'>{lines}</g>")), "lines"),
            (file(&format!("<path fill='red' d='M0 0{polygon}Z'/>")), "cross"),
            (file(&format!("<g fill='red'>{triangles}</g>")), "cross"),
        ] {
            let begun = std::time::Instant::now();
            let error = import(&svg, &ImportOptions::default()).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
            assert!(begun.elapsed().as_secs() < 30, "{:?}: {error}", begun.elapsed());
        }
    });
}

#[test]
fn options_out_of_range_are_named() {
    let with = |change: &dyn Fn(&mut ImportOptions)| {
        let mut options = ImportOptions::default();
        change(&mut options);
        import(&file(""), &options).unwrap_err()
    };
    for error in [
        with(&|o| o.width_mm = Some(0.0)),
        with(&|o| o.width_mm = Some(f64::NAN)),
        with(&|o| o.width_mm = Some(1e9)),
        with(&|o| o.join_mm = 9.0),
        with(&|o| o.join_mm = 0.1),
        with(&|o| o.lead_face_mm = Some(-1.0)),
        with(&|o| o.border_face_mm = Some(500.0)),
    ] {
        assert!(matches!(error, ImportError::BadOption { .. }), "{error}");
    }
}

#[test]
fn a_document_type_alone_is_no_fault() {
    let svg = format!(
        "<?xml version=\"1.0\"?><!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \
         \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [<!ENTITY ns \"http://x.example/\">]>{}",
        file("<path d='M9 0V200'/>")
    );
    assert_eq!(import(&svg, &ImportOptions::default()).expect("a window").panel.pieces.len(), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,80}", bytes in prop::collection::vec(any::<u8>(), 0..80)) {
        let _ = import(&text, &ImportOptions::default());
        let _ = import(&String::from_utf8_lossy(&bytes), &ImportOptions::default());
    }

    #[test]
    fn mutated_files_never_panic(cut in 0usize..2000, with in "[ -~]{0,12}", length in 0usize..40) {
        let svg = file(r##"<defs><g id="g"><path d="M9 9L20 20"/></g></defs><path d="M0 50C9 9 9 80 300 50" stroke="red"/>
            <use href="#g" x="5"/><circle r="30" cx="90" cy="90" stroke-dasharray="4 2"/><text>9</text>"##);
        let from = cut.min(svg.len());
        let to = (from + length).min(svg.len());
        let mutated = format!("{}{with}{}", &svg[..from], &svg[to..]);
        let _ = import(&mutated, &ImportOptions::default());
    }
}
