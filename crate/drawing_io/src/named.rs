//! The layers as people see them: each with a name, and what it was taken as.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::ImportError;
use crate::layer::{Group, Layer, Paint};
use crate::role::Role;

/// A layer and what it was taken as.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct TakenLayer {
    /// Its name in the file, or how its lines look where they have no name.
    pub name: String,
    /// What it was taken as.
    pub taken_as: Role,
    /// Which groups of the file's shapes it is made of ([`crate::ImportOptions::group_roles`]). Unlike the name, which may
    /// state a width in mm, they do not depend on the options. Empty for the outer edge of a layer of leads.
    #[serde(skip)]
    pub groups: Vec<usize>,
}

/// Name of what has no name, and of a look within a named layer. `mm`: millimetres in a user unit.
fn name(group: &Group, by_look: bool, mm: f64) -> String {
    let hidden = if group.hidden { " (hidden)" } else { "" };
    let look = group.words(mm);
    match &group.name {
        Some(name) if by_look => format!("{name}: {look}{hidden}"),
        Some(name) => format!("{name}{hidden}"),
        None => format!("{look}{hidden}"),
    }
}

/// The name by which one layer among all can be told: with its look where others have its name.
pub(crate) fn name_among(layers: &[Layer], own: usize, mm: f64) -> String {
    let group = &layers[own].group;
    let has_name = |other: &Layer| other.group.name == group.name && other.group.hidden == group.hidden;
    let several = layers.iter().filter(|other| has_name(other)).count() > 1;
    name(group, several || group.paint != Paint::Whole, mm)
}

/// The layers in the file's order. Looks of one name that were taken as the same are one layer. `edge`: the layer that
/// the window's edge was drawn in; `edge_alone`: it holds nothing else.
pub(crate) fn taken(layers: &[Layer], edge: Option<usize>, edge_alone: bool, mm: f64) -> Vec<TakenLayer> {
    let role = |k: usize| if edge == Some(k) && edge_alone { Role::Outline } else { layers[k].group.role };
    let key = |group: &Group| (group.name.clone(), group.hidden);
    let mut roles: HashMap<_, BTreeSet<Role>> = HashMap::new();
    for (k, layer) in layers.iter().enumerate() {
        roles.entry(key(&layer.group)).or_default().insert(role(k));
    }
    let mut found: Vec<TakenLayer> = Vec::new();
    let mut index: HashMap<(String, Role), usize> = HashMap::new();
    for (k, layer) in layers.iter().enumerate() {
        let several = roles[&key(&layer.group)].len() > 1;
        let by_look = layer.group.name.is_some() && (several || layer.group.paint != Paint::Whole);
        let (name, taken_as) = (name(&layer.group, by_look, mm), role(k));
        let entry = *index.entry((name.clone(), taken_as)).or_insert_with(|| {
            found.push(TakenLayer { name: name.clone(), taken_as, groups: Vec::new() });
            found.len() - 1
        });
        found[entry].groups.push(k);
        if edge == Some(k) && !edge_alone {
            let name = format!("{name}{ITS_EDGE}");
            found.push(TakenLayer { name, taken_as: Role::Outline, groups: Vec::new() });
        }
    }
    found
}

/// What [`taken`] adds to a layer's name for the edge in it.
const ITS_EDGE: &str = ": its outer edge";

/// Takes groups as somebody says, by the names that [`taken`] gives them. `strict`: a name that no group has is refused.
pub(crate) fn overrule(
    groups: &mut [Group],
    roles: &BTreeMap<String, Role>,
    mm: f64,
    strict: bool,
) -> Result<(), ImportError> {
    for (wanted, role) in roles {
        let is_meant =
            |group: &Group| [false, true].iter().any(|by_look| name(group, *by_look, mm) == *wanted);
        let mut any = false;
        for group in groups.iter_mut().filter(|group| is_meant(group)) {
            any = true;
            group.tell(*role);
        }
        if any {
            continue;
        }
        // The edge is part of a layer that holds more: only whether it is one can be said.
        let layer = wanted.strip_suffix(ITS_EDGE).unwrap_or_default();
        let is_meant = |group: &Group| [false, true].iter().any(|by_look| name(group, *by_look, mm) == layer);
        for group in groups.iter_mut().filter(|group| is_meant(group)) {
            any = true;
            group.edge_role = match role {
                Role::Bars => {
                    let expected = "outline, cutlines or ignored for a window's edge";
                    let found = format!("{wanted}={role}");
                    return Err(ImportError::BadOption { option: "--layer", expected, found });
                }
                role => Some(*role),
            };
        }
        if strict && !any {
            return Err(ImportError::NoSuchLayer { found: wanted.clone(), known: names(groups, mm) });
        }
    }
    Ok(())
}

/// The same by the numbers of the groups.
pub(crate) fn overrule_groups(
    groups: &mut [Group],
    roles: &BTreeMap<usize, Role>,
    mm: f64,
) -> Result<(), ImportError> {
    for (number, role) in roles {
        match groups.get_mut(*number) {
            Some(group) => group.tell(*role),
            None => {
                let found = format!("group {number}");
                return Err(ImportError::NoSuchLayer { found, known: names(groups, mm) });
            }
        }
    }
    Ok(())
}

/// The names of all groups, each once.
fn names(groups: &[Group], mm: f64) -> Vec<String> {
    let mut known: Vec<String> = Vec::new();
    for group in groups {
        let name = name(group, false, mm);
        if !known.contains(&name) {
            known.push(name);
        }
    }
    known
}
