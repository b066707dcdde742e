//! The demo scenes are valid, and each contains the drawing beside it.

use std::fs;
use std::path::{Path, PathBuf};

use scene::{Scene, read, resolve};

fn demos() -> Vec<(PathBuf, Scene)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-scenes");
    let mut found = Vec::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|e| e == "json") {
            let text = fs::read_to_string(&path).unwrap();
            let scene = read(&text).unwrap_or_else(|faults| panic!("{}:\n{faults}", path.display()));
            found.push((path, scene));
        }
    }
    assert_eq!(found.len(), 3);
    found
}

#[test]
fn every_demo_scene_and_variant_is_valid() {
    for (path, scene) in demos() {
        for variant in std::iter::once(None).chain(scene.variants.iter().map(|v| Some(v.name.as_str()))) {
            let resolved = resolve(&scene, variant)
                .unwrap_or_else(|faults| panic!("{}, {variant:?}:\n{faults}", path.display()));
            for window in &resolved.windows {
                let panel = &window.panel;
                assert!(panel.open_ends.is_empty(), "{}: {:?}", path.display(), panel.open_ends);
                assert!(panel.pieces.iter().all(|p| p.light_area_mm2 > 0.0));
                let sum = panel.light_area_mm2() + panel.lead_area_mm2();
                let opening = panel.opening_area_mm2();
                assert!((sum - opening).abs() < 1e-6 * opening, "{}: {sum} of {opening}", path.display());
            }
        }
    }
}
