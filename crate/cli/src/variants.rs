//! `clerestory variants`: the variants of a scene and how each differs from it.

use scene::{ChangeSet, Edit, Scene, Variant};
use serde::Serialize;

use crate::arguments;
use crate::fault::CliError;
use crate::table::{Align, Table};
use crate::{open, output};

/// A variant, as listed in JSON.
#[derive(Serialize)]
struct Entry<'a> {
    name: &'a str,
    note: &'a str,
    /// Number of edits that turn the scene into it.
    differences: usize,
    /// What they change, in words.
    changes: Vec<String>,
}

/// Lists the variants.
///
/// # Errors
/// The file cannot be read; every fault in it.
pub(crate) fn run(asked: &arguments::Variants) -> Result<(), CliError> {
    let scene = open::read(&asked.scene)?;
    let entries: Vec<Entry<'_>> = scene.variants.iter().map(|variant| entry(&scene, variant)).collect();
    if asked.json {
        return output::print_json(&entries);
    }
    output::print(&in_words(&scene.name, &entries))
}

fn entry<'a>(scene: &Scene, variant: &'a Variant) -> Entry<'a> {
    let all = Edit::Together { edits: variant.edits.clone() };
    Entry {
        name: &variant.name,
        note: &variant.note,
        differences: variant.edits.len(),
        changes: ChangeSet::of(&all, scene).parts(),
    }
}

fn in_words(scene: &str, entries: &[Entry<'_>]) -> String {
    if entries.is_empty() {
        return format!("{scene}\nThis scene has no variants.\n");
    }
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
    table.row(["variant", "differences", "what changes"]);
    for entry in entries {
        table.row([entry.name, &entry.differences.to_string(), &entry.changes.join(", ")]);
    }
    let mut text = format!("{scene}\n\n{}", table.text());
    for entry in entries.iter().filter(|entry| !entry.note.is_empty()) {
        text += &format!("\n{}: {}\n", entry.name, entry.note);
    }
    text + "\nSee one with: clerestory report SCENE --variant NAME\n"
}
