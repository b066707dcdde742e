//! Finds which source file of a crate uses which other, from the paths in its code.
//!
//! A path leads to the file that defines its item, even if another module re-exports it, or to the file of the module
//! that it names. A re-export alone does not count as a use; it does if the file also mentions the name. Method calls,
//! trait implementations and macro expansions are out of scope.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

use super::graph::Uses;
use crate::fault::Fault;

/// Keywords before the name of an item.
const ITEMS: &[&str] = &["fn", "struct", "enum", "union", "trait", "type", "const", "static", "macro_rules"];
/// The names looked up so far for one item: a name that leads back to itself resolves to nothing.
type Asked<'a> = BTreeSet<(usize, &'a str, bool)>;

/// What a name means in a module, apart from its child modules.
enum Meaning {
    /// An item defined in the module's own file.
    Item,
    /// Imported by `use`.
    Imported(Vec<String>),
}

struct Module {
    file: PathBuf,
    parent: Option<usize>,
    children: BTreeMap<String, usize>,
    names: BTreeMap<String, Meaning>,
    /// Modules with glob imports.
    globs: Vec<Vec<String>>,
}

/// A path in the code of a module.
struct Mention {
    module: usize,
    path: Vec<String>,
}

/// Where a path leads.
enum Place {
    Module(usize),
    /// An item in that module.
    ItemOf(usize),
}

#[derive(Default)]
struct Crate {
    modules: Vec<Module>,
    mentions: Vec<Mention>,
    /// Re-exports, which count as uses only if their file mentions the name elsewhere.
    passed_on: Vec<(Mention, String)>,
    /// All identifiers of each file outside `use`.
    words: BTreeMap<PathBuf, BTreeSet<String>>,
}

/// The files of the crate with this root file, and what each uses.
pub(super) fn uses(root: &Path) -> Result<Uses, Fault> {
    let mut all = Crate::default();
    all.read_file(root, None, root.parent().unwrap_or(Path::new("")))?;
    Ok(all.uses())
}

impl Crate {
    /// Reads a file and those of its modules. `folder`: the folder of its modules' files.
    fn read_file(&mut self, file: &Path, parent: Option<usize>, folder: &Path) -> Result<usize, Fault> {
        let text = fs::read_to_string(file).map_err(|error| Fault::file(file, &error))?;
        let tokens: TokenStream = text.parse().map_err(|error| {
            Fault::new(format!("{}: {error}.", file.display()), "Correct the compiler's errors.")
        })?;
        let module = self.add(file, parent);
        self.read_items(tokens, module, folder)?;
        Ok(module)
    }

    fn add(&mut self, file: &Path, parent: Option<usize>) -> usize {
        self.words.entry(file.to_owned()).or_default();
        self.modules.push(Module {
            file: file.to_owned(),
            parent,
            children: BTreeMap::new(),
            names: BTreeMap::new(),
            globs: Vec::new(),
        });
        self.modules.len() - 1
    }

    /// Reads the items directly in a module.
    fn read_items(&mut self, tokens: TokenStream, module: usize, folder: &Path) -> Result<(), Fault> {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        let mut public = false;
        let mut own_path = None;
        while at < tokens.len() {
            if let Some(attribute) = attribute(&tokens, at) {
                at += 2;
                if is_for_tests(&attribute) {
                    at = after_item(&tokens, at);
                    (public, own_path) = (false, None);
                }
                own_path = own_path.or_else(|| path_attribute(&attribute));
                continue;
            }
            let word = word(&tokens, at);
            match word.as_deref() {
                Some("pub") => {
                    public = true;
                    at += 1 + usize::from(is_group(&tokens, at + 1, Delimiter::Parenthesis));
                    continue;
                }
                Some("use") => at = self.read_use(&tokens, at + 1, module, public),
                Some("mod") => {
                    let name = self::word(&tokens, at + 1).unwrap_or_default();
                    let child = match tokens.get(at + 2) {
                        Some(TokenTree::Group(body)) => {
                            let file = self.modules[module].file.clone();
                            let child = self.add(&file, Some(module));
                            self.read_items(body.stream(), child, &folder.join(&name))?;
                            child
                        }
                        _ => self.read_module_file(&name, module, folder, own_path.as_deref())?,
                    };
                    self.modules[module].children.insert(name, child);
                    at += 3;
                }
                // Not in `&'static Type` and `*const Type`.
                Some(keyword)
                    if ITEMS.contains(&keyword)
                        && !(at > 0 && (is_sign(&tokens, at - 1, '\'') || is_sign(&tokens, at - 1, '*'))) =>
                {
                    at += 1;
                    // `macro_rules! name`, `const fn name`, `static mut NAME`.
                    while is_sign(&tokens, at, '!')
                        || self::word(&tokens, at)
                            .is_some_and(|w| ["fn", "mut", "unsafe", "extern"].contains(&w.as_str()))
                    {
                        at += 1;
                    }
                    if let Some(name) = self::word(&tokens, at) {
                        self.modules[module].names.entry(name).or_insert(Meaning::Item);
                        at += 1;
                    }
                }
                _ => at = self.read_code(&tokens, at, module),
            }
            (public, own_path) = (false, None);
        }
        Ok(())
    }

    fn read_module_file(
        &mut self,
        name: &str,
        parent: usize,
        folder: &Path,
        own_path: Option<&str>,
    ) -> Result<usize, Fault> {
        let stem = folder.join(name);
        let file = match own_path {
            Some(path) => self.modules[parent].file.parent().unwrap_or(folder).join(path),
            None => [stem.with_extension("rs"), stem.join("mod.rs")]
                .into_iter()
                .find(|path| path.is_file())
                .unwrap_or_else(|| stem.with_extension("rs")),
        };
        let below = if file.file_name().is_some_and(|n| n == "mod.rs") || own_path.is_some() {
            file.parent().unwrap_or(folder).to_owned()
        } else {
            stem
        };
        self.read_file(&file, Some(parent), &below)
    }

    /// Reads one token of code, one path or one group; returns where the next begins.
    fn read_code(&mut self, tokens: &[TokenTree], at: usize, module: usize) -> usize {
        if let Some(attribute) = attribute(tokens, at) {
            return if is_for_tests(&attribute) { after_item(tokens, at + 2) } else { at + 2 };
        }
        match &tokens[at] {
            TokenTree::Group(group) => {
                let inner: Vec<TokenTree> = group.stream().into_iter().collect();
                let mut next = 0;
                while next < inner.len() {
                    next = match word(&inner, next).as_deref() {
                        Some("use") => self.read_use(&inner, next + 1, module, false),
                        _ => self.read_code(&inner, next, module),
                    };
                }
                at + 1
            }
            TokenTree::Ident(_) => {
                let (path, next) = path(tokens, at);
                let file = self.modules[module].file.clone();
                self.words.entry(file).or_default().extend(path.first().cloned());
                if path.len() > 1 {
                    self.mentions.push(Mention { module, path });
                }
                next
            }
            _ => at + 1,
        }
    }

    /// Reads a `use` declaration after its keyword; returns where the next item begins.
    fn read_use(&mut self, tokens: &[TokenTree], at: usize, module: usize, public: bool) -> usize {
        let end = (at..tokens.len()).find(|i| is_sign(tokens, *i, ';')).unwrap_or(tokens.len());
        let mut leaves = Vec::new();
        use_leaves(&tokens[at..end], &[], &mut leaves);
        for (path, name) in leaves {
            let Some(name) = name else {
                self.modules[module].globs.push(path.clone());
                if !public {
                    self.mentions.push(Mention { module, path });
                }
                continue;
            };
            self.modules[module].names.insert(name.clone(), Meaning::Imported(path.clone()));
            let mention = Mention { module, path };
            if public {
                self.passed_on.push((mention, name));
            } else {
                self.mentions.push(mention);
            }
        }
        end + 1
    }

    fn uses(&self) -> Uses {
        let mut uses: Uses =
            self.modules.iter().map(|module| (module.file.clone(), BTreeSet::new())).collect();
        let said = self
            .passed_on
            .iter()
            .filter(|(mention, name)| self.words[&self.modules[mention.module].file].contains(name))
            .map(|(mention, _)| mention);
        for mention in self.mentions.iter().chain(said) {
            let Some(place) = self.find(mention.module, &mention.path, &mut Asked::new()) else { continue };
            let (Place::Module(to) | Place::ItemOf(to)) = place;
            let (from, to) = (&self.modules[mention.module].file, &self.modules[to].file);
            if from != to {
                uses.entry(from.clone()).or_default().insert(to.clone());
            }
        }
        uses
    }

    /// Where a path in the code of `module` leads; `None` if outside the crate.
    fn find<'a>(&'a self, module: usize, path: &'a [String], asked: &mut Asked<'a>) -> Option<Place> {
        let (first, rest) = path.split_first()?;
        let start = match first.as_str() {
            "crate" => Place::Module(0),
            "self" => Place::Module(module),
            "super" => Place::Module(self.modules[module].parent?),
            name => self.look_up(module, name, rest.is_empty(), asked)?,
        };
        self.follow(start, rest, asked)
    }

    fn follow<'a>(&'a self, start: Place, path: &'a [String], asked: &mut Asked<'a>) -> Option<Place> {
        let mut place = start;
        for (i, name) in path.iter().enumerate() {
            let Place::Module(module) = place else { return Some(place) };
            place = match name.as_str() {
                "super" => Place::Module(self.modules[module].parent?),
                _ => match self.look_up(module, name, i + 1 == path.len(), asked) {
                    Some(found) => found,
                    // A re-exported item of another crate.
                    None if self.modules[module].names.contains_key(name) => return None,
                    // Items defined by a macro are not visible here, but they are in that file.
                    None => Place::ItemOf(module),
                },
            };
        }
        Some(place)
    }

    /// What this name means in `module`. `last`: nothing follows it, so an item takes precedence over a module.
    fn look_up<'a>(
        &'a self,
        module: usize,
        name: &'a str,
        last: bool,
        asked: &mut Asked<'a>,
    ) -> Option<Place> {
        if !asked.insert((module, name, last)) {
            return None;
        }
        let here = &self.modules[module];
        let child = here.children.get(name).map(|child| Place::Module(*child));
        if child.is_some() && !last {
            return child;
        }
        match here.names.get(name) {
            Some(Meaning::Item) => Some(Place::ItemOf(module)),
            Some(Meaning::Imported(path)) => self.find(module, path, asked),
            None if child.is_some() => child,
            None => here.globs.iter().find_map(|glob| match self.find(module, glob, asked)? {
                Place::Module(from) if from != module => self.look_up(from, name, last, asked),
                _ => None,
            }),
        }
    }
}

/// The tokens in an outer attribute that begins at `at`.
fn attribute(tokens: &[TokenTree], at: usize) -> Option<Vec<TokenTree>> {
    match tokens.get(at + 1)? {
        TokenTree::Group(group) if is_sign(tokens, at, '#') && group.delimiter() == Delimiter::Bracket => {
            Some(group.stream().into_iter().collect())
        }
        _ => None,
    }
}

/// Whether an attribute limits what follows to tests: `cfg(test)`, `cfg(all(test, …))`.
fn is_for_tests(attribute: &[TokenTree]) -> bool {
    fn says(tokens: TokenStream, wanted: &str) -> bool {
        tokens.into_iter().any(|token| match token {
            TokenTree::Ident(ident) => ident == wanted,
            TokenTree::Group(group) => says(group.stream(), wanted),
            _ => false,
        })
    }
    match attribute {
        [TokenTree::Ident(name), TokenTree::Group(group)] if name == "cfg" => {
            says(group.stream(), "test") && !says(group.stream(), "not")
        }
        _ => false,
    }
}

/// The file in `path = "…"`.
fn path_attribute(attribute: &[TokenTree]) -> Option<String> {
    match attribute {
        [TokenTree::Ident(name), TokenTree::Punct(_), TokenTree::Literal(text)] if name == "path" => {
            Some(text.to_string().trim_matches('"').to_owned())
        }
        _ => None,
    }
}

/// Where the item or statement that begins at `at` ends.
fn after_item(tokens: &[TokenTree], mut at: usize) -> usize {
    while attribute(tokens, at).is_some() {
        at += 2;
    }
    let mut ends_with_semicolon = false;
    while at < tokens.len() {
        match word(tokens, at).as_deref() {
            Some("use" | "static" | "type" | "let") => ends_with_semicolon = true,
            Some("const") => ends_with_semicolon = word(tokens, at + 1).as_deref() != Some("fn"),
            _ => {}
        }
        at += 1;
        if is_sign(tokens, at - 1, ';')
            || (!ends_with_semicolon && is_group(tokens, at - 1, Delimiter::Brace))
        {
            break;
        }
    }
    at
}

/// The path that begins with the word at `at`, and where it ends.
fn path(tokens: &[TokenTree], mut at: usize) -> (Vec<String>, usize) {
    let mut path = Vec::new();
    while let Some(word) = word(tokens, at) {
        path.push(word);
        at += 1;
        if !(is_sign(tokens, at, ':') && is_sign(tokens, at + 1, ':') && word_is(tokens, at + 2)) {
            break;
        }
        at += 2;
    }
    (path, at)
}

/// The single paths of a `use` tree, each with the name that it imports; none for `*`.
fn use_leaves(tokens: &[TokenTree], before: &[String], leaves: &mut Vec<(Vec<String>, Option<String>)>) {
    let is_comma = |token: &TokenTree| matches!(token, TokenTree::Punct(sign) if sign.as_char() == ',');
    for branch in tokens.split(is_comma) {
        let mut path = before.to_vec();
        let mut name = None;
        let mut ended = branch.is_empty();
        for (i, token) in branch.iter().enumerate() {
            match token {
                TokenTree::Ident(word) if word == "as" => {
                    name = self::word(branch, i + 1);
                    break;
                }
                // `a::{self}` means `a`.
                TokenTree::Ident(word) if word == "self" && !path.is_empty() => {}
                TokenTree::Ident(word) => path.push(word.to_string()),
                TokenTree::Group(group) => {
                    let inner: Vec<TokenTree> = group.stream().into_iter().collect();
                    use_leaves(&inner, &path, leaves);
                    ended = true;
                }
                TokenTree::Punct(sign) if sign.as_char() == '*' => {
                    leaves.push((path.clone(), None));
                    ended = true;
                }
                _ => {}
            }
        }
        if !ended {
            let name = name.or_else(|| path.last().cloned());
            leaves.push((path, name));
        }
    }
}

fn word(tokens: &[TokenTree], at: usize) -> Option<String> {
    match tokens.get(at)? {
        TokenTree::Ident(word) => Some(word.to_string()),
        _ => None,
    }
}

fn word_is(tokens: &[TokenTree], at: usize) -> bool {
    matches!(tokens.get(at), Some(TokenTree::Ident(_)))
}

fn is_sign(tokens: &[TokenTree], at: usize, wanted: char) -> bool {
    matches!(tokens.get(at), Some(TokenTree::Punct(sign)) if sign.as_char() == wanted)
}

fn is_group(tokens: &[TokenTree], at: usize, delimiter: Delimiter) -> bool {
    matches!(tokens.get(at), Some(TokenTree::Group(group)) if group.delimiter() == delimiter)
}

#[cfg(test)]
mod tests;
