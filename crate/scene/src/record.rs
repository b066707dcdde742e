//! The autosaved record: the complete document with its history, written at intervals. Between them a journal
//! records the actions.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::document::Scene;
use crate::fault::{Fault, Faults};
use crate::history::{Patch, Step, VariantsPatch};
use crate::migrate;
use crate::open_scene::OpenScene;
use crate::read::{from_document, from_value, parse};
use crate::resolve::resolve;
use crate::typed::typed;
use crate::version;

/// Version of the record format.
const RECORD_VERSION: u32 = 2;

/// The autosaved document, including its history.
#[derive(Serialize)]
struct Record<'a> {
    /// Version of the record format.
    kept: u32,
    /// Version of the scene format in scene and history: the oldest that can hold both.
    clerestory: u32,
    scene: &'a Scene,
    shown: Option<&'a str>,
    undo: &'a [Step],
    redo: &'a [Step],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadRecord {
    kept: u32,
    #[serde(default)]
    clerestory: Option<u32>,
    scene: Value,
    shown: Option<String>,
    undo: Value,
    redo: Value,
}

impl OpenScene {
    /// The document with its history and the variant shown, as text for [`OpenScene::from_record`].
    pub fn record_text(&self) -> String {
        let (undo, redo) = self.history();
        let record = Record {
            kept: RECORD_VERSION,
            clerestory: self.version(),
            scene: self.file(),
            shown: self.shown(),
            undo,
            redo,
        };
        // Plain data with string keys always serialises; an empty text would be refused.
        serde_json::to_string(&record).unwrap_or_default()
    }

    /// The oldest version of the format that can hold the scene and its history.
    fn version(&self) -> u32 {
        let (undo, redo) = self.history();
        let patches = undo.iter().chain(redo).flat_map(|step| [&step.back, &step.forth]);
        patches.map(version_of_patch).fold(self.file().clerestory, u32::max)
    }

    /// Reads what [`OpenScene::record_text`] gave, in this version or an older one: completely or not at all.
    ///
    /// # Errors
    /// The text is not such a record, or it is from a newer version; every fault of its scene.
    pub fn from_record(text: &str) -> Result<Self, Faults> {
        let value = parse(text)?;
        let wanted = || format!("an autosaved document of version {RECORD_VERSION} or earlier");
        if let Some(version) = value.get("kept").and_then(Value::as_u64)
            && version > u64::from(RECORD_VERSION)
        {
            let wanted = format!("{}; update Clerestory to open it", wanted());
            return Err(Faults(vec![Fault::newer("kept", wanted, format!("version {version}"))]));
        }
        if value.get("clerestory").is_some() {
            migrate::version_of(&value)?;
        }
        let record: ReadRecord =
            typed(value).map_err(|error| Faults(vec![Fault::new("", wanted(), error.to_string())]))?;
        // Version 1 held the scene's file as text; its history has the version of the scene.
        let document = match (record.kept, &record.scene) {
            (1, Value::String(text)) => parse(text)?,
            _ => record.scene,
        };
        let version = match record.clerestory {
            Some(version) => version,
            None => migrate::version_of(&document)?,
        };
        // A record that states no version of its own may hold a history newer than its scene.
        let stated = record.clerestory.is_some();
        let steps = |steps: Value| from_value(migrate_steps(steps, version, stated)?);
        let (undo, redo) = (steps(record.undo)?, steps(record.redo)?);
        let scene = from_document(document)?;
        // If the variant cannot be built, open the document anyway.
        let shown = record.shown.filter(|name| {
            !scene.variants.iter().any(|v| v.name == *name) || resolve(&scene, Some(name)).is_ok()
        });
        Self::with_history(scene, shown, undo, redo)
    }
}

/// The oldest version that can hold a patch.
fn version_of_patch(patch: &Patch) -> u32 {
    let edits = version::of_edits(patch.edits.iter());
    edits.max(match &patch.variants {
        None => edits,
        Some(VariantsPatch::All(variants)) => {
            version::of_edits(variants.iter().flat_map(|variant| &variant.edits))
        }
        Some(VariantsPatch::Edits { into, .. }) => version::of_edits(into.iter()),
    })
}

/// Migrates every edit of a history to the current version.
///
/// # Errors
/// The version is `stated`, and an edit has what it did not have.
fn migrate_steps(mut steps: Value, version: u32, stated: bool) -> Result<Value, Faults> {
    let edits_of = |holder: Option<&mut Value>, name: &str| {
        for edit in holder.and_then(|h| h.get_mut(name)).and_then(Value::as_array_mut).into_iter().flatten() {
            let old = edit.take();
            *edit =
                if stated { migrate::edit(old, version)? } else { migrate::edit_of_any_age(old, version) };
        }
        Ok(())
    };
    for step in steps.as_array_mut().into_iter().flatten() {
        for way in ["back", "forth"] {
            let Some(patch) = step.get_mut(way) else { continue };
            edits_of(Some(patch), "edits")?;
            let Some(variants) = patch.get_mut("variants") else { continue };
            edits_of(variants.get_mut("edits"), "into")?;
            for variant in variants.get_mut("all").and_then(Value::as_array_mut).into_iter().flatten() {
                edits_of(Some(variant), "edits")?;
            }
        }
    }
    Ok(steps)
}
