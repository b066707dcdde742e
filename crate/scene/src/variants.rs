//! Variants: named sets of differences from the scene.

use crate::document::Scene;
use crate::fault::{Fault, Faults};

/// The scene with one of its variants applied, or as drawn if no name is given. The result has no variants.
///
/// # Errors
/// There is no variant of that name; one of its edits names something that does not exist.
pub fn with_variant(scene: &Scene, variant: Option<&str>) -> Result<Scene, Faults> {
    let mut with = without_variants(scene);
    let Some(name) = variant else { return Ok(with) };
    let Some(found) = scene.variants.iter().find(|v| v.name == name) else {
        let names: Vec<String> = scene.variants.iter().map(|v| format!("“{}”", v.name)).collect();
        let wanted = if names.is_empty() {
            "no variant, since this scene has none".to_owned()
        } else {
            format!("one of the variants {}", names.join(", "))
        };
        return Err(Faults(vec![Fault::new("variants", wanted, format!("“{name}”"))]));
    };
    for (k, edit) in found.edits.iter().enumerate() {
        edit.clone().apply(&mut with).map_err(|error| {
            let path = format!("variants “{name}”: edits[{k}]");
            Faults(vec![Fault::new(path, "a change to something that exists", error.to_string())])
        })?;
    }
    Ok(with)
}

/// The scene as drawn, without its list of variants.
pub(crate) fn without_variants(scene: &Scene) -> Scene {
    let mut alone = Scene {
        clerestory: scene.clerestory,
        name: scene.name.clone(),
        note: scene.note.clone(),
        site: scene.site.clone(),
        at: scene.at.clone(),
        sky: scene.sky.clone(),
        ground: scene.ground.clone(),
        horizon: scene.horizon.clone(),
        room: scene.room.clone(),
        windows: scene.windows.clone(),
        glasses: scene.glasses.clone(),
        places: scene.places.clone(),
        viewer: scene.viewer,
        attachments: scene.attachments.clone(),
        variants: Vec::new(),
    };
    // A variant may have needed a newer version.
    alone.settle_version();
    alone
}
