use super::*;

/// The uses in a crate whose files are written to a temporary folder, as `from → to` without `.rs`.
fn found(test: &str, files: &[(&str, &str)]) -> Vec<String> {
    let folder = std::env::temp_dir().join(format!("clerestory-cycles-{}-{test}", std::process::id()));
    for (name, text) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder for the test");
        fs::write(path, text).expect("a file for the test");
    }
    let uses = uses(&folder.join("lib.rs")).expect("readable");
    fs::remove_dir_all(&folder).expect("the test's own folder");
    let shown = |path: &Path| {
        let inside = path.strip_prefix(&folder).expect("in the folder");
        inside.with_extension("").display().to_string()
    };
    uses.iter()
        .flat_map(|(from, targets)| targets.iter().map(|to| format!("{} → {}", shown(from), shown(to))))
        .collect()
}

#[test]
fn an_item_passed_on_by_the_root_belongs_to_its_own_file() {
    let files = [
        ("lib.rs", "mod a;\nmod b;\npub use b::{B, other as b_other};"),
        ("a.rs", "use crate::B;\nfn f() { crate::b_other(); }"),
        ("b.rs", "pub struct B;\npub fn other() {}"),
    ];
    assert_eq!(found("passed-on", &files), ["a → b"]);
}

#[test]
fn an_item_of_the_root_leads_to_the_root_and_a_name_passed_on_is_used_where_it_is_said() {
    let files = [
        ("lib.rs", "mod a;\npub use a::A;\npub struct Root(A);"),
        ("a.rs", "pub struct A;\nimpl A { fn up(self) -> Option<crate::Root> { None } }"),
    ];
    assert_eq!(found("root", &files), ["a → lib", "lib → a"]);
}

#[test]
fn paths_in_code_count_wherever_they_stand() {
    let files = [
        ("lib.rs", "mod a;\nmod b;\nmod c;\nmod d;\nmod e;"),
        ("a.rs", "fn f() -> super::b::B { println!(\"{}\", crate::c::text()); loop {} }"),
        ("b.rs", "pub enum B { One }\nfn g() { use crate::d::Deep::{self, *}; }"),
        ("c.rs", "pub fn text() -> u8 { 1 }\n#[derive(Debug)]\nstruct S { e: Vec<crate::e::E> }"),
        ("d.rs", "pub enum Deep { Variant }"),
        ("e.rs", "pub type E = crate::b::B; pub const F: fn() = || { let _ = crate::b::B::One; };"),
    ];
    assert_eq!(found("paths", &files), ["a → b", "a → c", "b → d", "c → e", "e → b"]);
}

#[test]
fn folders_inline_modules_and_globs() {
    let files = [
        ("lib.rs", "pub mod shape;\nmod out;\nmod names { pub use crate::out::*; }"),
        ("shape/mod.rs", "mod circle;\nmod square;\npub use self::circle::Circle;\npub const SIDES: u8 = 4;"),
        ("shape/circle.rs", "pub struct Circle;\nuse super::SIDES;\nuse crate::names::Out;"),
        ("shape/square.rs", "use super::*;\nfn f(c: Circle) { super::circle::Circle; }"),
        ("out.rs", "pub struct Out;\nmod inner { use super::Out; use crate::shape::Circle; }"),
    ];
    assert_eq!(
        found("folders", &files),
        [
            "out → shape/circle",
            "shape/circle → out",
            "shape/circle → shape/mod",
            "shape/square → shape/circle",
            "shape/square → shape/mod",
        ]
    );
}

#[test]
fn a_module_and_an_item_may_share_a_name() {
    let files = [
        ("lib.rs", "mod sun;\nmod day;\npub use sun::sun;"),
        ("sun.rs", "pub fn sun() {}\npub fn rise() {}"),
        ("day.rs", "use crate::sun;\nfn f() { sun(); sun::rise(); }"),
    ];
    assert_eq!(found("shared-name", &files), ["day → sun"]);
}

#[test]
fn a_parent_that_calls_its_child_uses_it() {
    let files = [("lib.rs", "mod a;\npub fn f() { a::g(); }"), ("a.rs", "pub fn g() {}")];
    assert_eq!(found("parent", &files), ["lib → a"]);
}

#[test]
fn a_file_under_another_name_is_found() {
    let files = [
        ("lib.rs", "mod a;\n#[path = \"there/odd.rs\"]\nmod b;"),
        ("a.rs", "use crate::b::B;"),
        ("there/odd.rs", "pub struct B;"),
    ];
    assert_eq!(found("odd", &files), ["a → there/odd"]);
}

#[test]
fn what_is_for_tests_does_not_count() {
    let files = [
        ("lib.rs", "mod a;\nmod b;\n#[cfg(test)]\nmod helpers;"),
        (
            "a.rs",
            "#[cfg(test)]\nuse crate::b::{B, C};\n#[cfg(test)]\nconst N: [u8; 2] = { crate::b::N };\n\
             #[cfg(test)]\n#[allow(unused)]\nimpl crate::b::B { }\n\
             #[cfg(not(test))]\nfn f() {}\n#[cfg(test)]\nmod tests { use crate::b::B; }",
        ),
        (
            "b.rs",
            "pub struct B;\n#[cfg(all(test, unix))]\nfn f() { crate::a::f() }\n// crate::a::x\nfn s() { \"crate::a::y\"; }",
        ),
    ];
    assert!(found("for-tests", &files).is_empty());
}

#[test]
fn other_crates_and_primitive_words_lead_nowhere() {
    let files = [
        ("lib.rs", "mod a;\nmod b;\npub use std::fmt;"),
        (
            "a.rs",
            "use std::fmt::Display;\nuse crate::fmt::Debug;\nfn f() -> &'static B { u8::MAX; other::b::f(); }",
        ),
        ("b.rs", "pub struct B;"),
    ];
    assert!(found("outside", &files).is_empty());
}

#[test]
fn a_file_that_is_not_there_is_named() {
    let fault = uses(Path::new("/nowhere/lib.rs")).expect_err("not there");
    assert!(fault.to_string().contains("/nowhere/lib.rs"), "{fault}");
}

#[test]
fn modules_that_bring_in_all_of_each_other_are_searched_once() {
    let globs =
        "pub use crate::a::*; pub use crate::b::*; pub use crate::c::*; pub use Kind::*; pub use Other::*;";
    let with = |rest: &str| format!("{globs} {rest}");
    let (a, b, c) = (with("fn f() { C::new(); Nobody::new(); }"), with(""), with("pub struct C;"));
    let files = [("lib.rs", "mod a;\nmod b;\nmod c;"), ("a.rs", &*a), ("b.rs", &*b), ("c.rs", &*c)];
    assert_eq!(found("globs", &files), ["a → c"]);
}
