//! Finds which TypeScript or Svelte file of the page uses which other: imports (also of types), re-exports and workers.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Component, Path, PathBuf};

use super::graph::Uses;
use crate::fault::Fault;

/// What may follow the path in an import.
const ENDINGS: &[&str] = &["", ".ts", ".svelte.ts", ".svelte", "/index.ts"];

/// The sources in `folder`, and which others each uses.
pub(super) fn uses(folder: &Path) -> Result<Uses, Fault> {
    let mut files = BTreeSet::new();
    list(folder, &mut files)?;
    let mut uses = Uses::new();
    for file in &files {
        let text = fs::read_to_string(file).map_err(|error| Fault::file(file, &error))?;
        let code = if file.extension().is_some_and(|e| e == "svelte") { scripts(&text) } else { text };
        let addresses = addresses(&code);
        let targets = addresses.iter().filter_map(|address| target(file, address, &files));
        uses.insert(file.clone(), targets.filter(|to| to != file).collect());
    }
    Ok(uses)
}

fn list(folder: &Path, files: &mut BTreeSet<PathBuf>) -> Result<(), Fault> {
    let entries = fs::read_dir(folder).map_err(|error| Fault::file(folder, &error))?;
    for path in entries.filter_map(|entry| entry.ok().map(|e| e.path())) {
        // The generated glue beside the sources uses none of them.
        if path.is_dir() && path.file_name().is_none_or(|name| !name.to_string_lossy().starts_with("pkg")) {
            list(&path, files)?;
        } else if path.extension().is_some_and(|e| e == "ts" || e == "svelte") && !is_test(&path) {
            files.insert(path);
        }
    }
    Ok(())
}

fn is_test(path: &Path) -> bool {
    path.file_stem().is_some_and(|stem| {
        let stem = stem.to_string_lossy();
        stem.ends_with(".test") || stem.ends_with(".spec")
    })
}

/// The file that an import in `from` refers to, if it is one of ours.
fn target(from: &Path, address: &str, files: &BTreeSet<PathBuf>) -> Option<PathBuf> {
    let address = address.split(['?', '#']).next()?;
    if !address.starts_with('.') {
        return None;
    }
    let mut path = from.parent()?.to_owned();
    for part in Path::new(address).components() {
        match part {
            Component::ParentDir => {
                path.pop();
            }
            Component::Normal(name) => path.push(name),
            _ => {}
        }
    }
    let path = path.to_str()?;
    // An import may name the compiled file.
    let bare = path.strip_suffix(".js").unwrap_or(path);
    ENDINGS
        .iter()
        .flat_map(|end| [format!("{path}{end}"), format!("{bare}{end}")])
        .map(PathBuf::from)
        .find(|p| files.contains(p))
}

/// The content of the `<script>` elements of a component.
fn scripts(component: &str) -> String {
    let mut code = String::new();
    let mut rest = component;
    while let Some((_, after)) = rest.split_once("<script") {
        let Some((_, body)) = after.split_once('>') else { break };
        let (script, after) = body.split_once("</script>").unwrap_or((body, ""));
        code.push_str(script);
        code.push('\n');
        rest = after;
    }
    code
}

/// The paths that a script imports, re-exports or starts a worker from.
fn addresses(code: &str) -> Vec<String> {
    let tokens = tokens(code);
    let is = |at: usize, wanted: &str| matches!(tokens.get(at), Some(Token::Code(word)) if word == wanted);
    let mut found = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let Token::Text(address) = token else { continue };
        let back = |n: usize, wanted: &str| at >= n && is(at - n, wanted);
        let statement = back(1, "from") || back(1, "import");
        let call = back(1, "(") && (back(2, "import") || (back(2, "URL") && back(3, "new")));
        if statement || call {
            found.push(address.clone());
        }
    }
    found
}

#[derive(Debug, PartialEq)]
enum Token {
    /// A word or a single character.
    Code(String),
    /// The text between quotation marks.
    Text(String),
}

/// Splits a script into words, characters and strings. Comments, templates and regular expressions are skipped.
fn tokens(code: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = code;
    while let Some(first) = rest.chars().next() {
        let length = if first.is_alphanumeric() || first == '_' || first == '$' {
            let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '$'));
            let word = &rest[..end.unwrap_or(rest.len())];
            tokens.push(Token::Code(word.to_owned()));
            word.len()
        } else if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if first == '\'' || first == '"' {
            let length = quoted(rest, first, false);
            tokens.push(Token::Text(rest[1..length].trim_end_matches(first).to_owned()));
            length
        } else if first == '`' {
            quoted(rest, first, true)
        } else if first == '/' && may_begin_expression(tokens.last()) {
            regular_expression(rest)
        } else {
            if !first.is_whitespace() {
                tokens.push(Token::Code(first.to_string()));
            }
            first.len_utf8()
        };
        rest = &rest[length..];
    }
    tokens
}

/// The length of a string with its quotation marks. Without a closing mark it ends with its line or the script.
fn quoted(text: &str, mark: char, over_lines: bool) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '\n' if !over_lines => return at,
            _ if c == mark => return at + c.len_utf8(),
            _ => {}
        }
    }
    text.len()
}

/// The length of a regular expression with its two slashes.
fn regular_expression(text: &str) -> usize {
    let (mut escaped, mut in_class) = (false, false);
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '[' => in_class = true,
            ']' => in_class = false,
            '/' if !in_class => return at + 1,
            // It was a division.
            '\n' => return 1,
            _ => {}
        }
    }
    1
}

/// Whether a slash after this token begins a regular expression, not a division.
fn may_begin_expression(before: Option<&Token>) -> bool {
    match before {
        None => true,
        Some(Token::Text(_)) => false,
        Some(Token::Code(word)) => {
            ["(", ",", "=", ":", "[", "!", "&", "|", "?", "{", "}", ";", ">", "return"]
                .contains(&word.as_str())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_every_kind_of_import() {
        let code = "
            import './styles.css';
            import { a, type B } from './a';
            import type { C } from \"../c\";
            export * from './d';
            export { e as f } from './e.js';
            const later = await import('./later');
            type Glue = typeof import('../pkg/web.js');
            const worker = new Worker(new URL('./figures.worker.ts', import.meta.url), { type: 'module' });
        ";
        assert_eq!(
            addresses(code),
            [
                "./styles.css",
                "./a",
                "../c",
                "./d",
                "./e.js",
                "./later",
                "../pkg/web.js",
                "./figures.worker.ts"
            ]
        );
    }

    #[test]
    fn comments_texts_templates_and_expressions_hide_nothing_and_say_nothing() {
        let code = "
            // import './no';
            /* import './no'; */
            const said = \"import './no'\" + `from './no' ${'x'}`;
            const quote = /['\"`/]/.test(said), half = 4 / 2 / 1;
            const it = Array.from('./no-import'), key = { from: './neither' };
            import { yes } from './yes';
        ";
        assert_eq!(addresses(code), ["./yes"]);
    }

    #[test]
    fn only_the_scripts_of_a_component_are_read() {
        let component = "<script lang=\"ts\" module>import { a } from './a';</script>\n\
            <p>It isn't import from './no'</p>\n<script lang=\"ts\">import B from './B.svelte';</script>";
        assert_eq!(addresses(&scripts(component)), ["./a", "./B.svelte"]);
    }

    #[test]
    fn addresses_lead_to_files() {
        let files: BTreeSet<PathBuf> =
            ["/w/App.svelte", "/w/state/s.svelte.ts", "/w/engine/e.ts", "/w/parts/index.ts"]
                .map(PathBuf::from)
                .into();
        let check = |from: &str, address: &str, to: Option<&str>| {
            assert_eq!(target(Path::new(from), address, &files), to.map(PathBuf::from), "{address}");
        };
        check("/w/App.svelte", "./state/s.svelte", Some("/w/state/s.svelte.ts"));
        check("/w/App.svelte", "./engine/e", Some("/w/engine/e.ts"));
        check("/w/engine/e.ts", "../App.svelte", Some("/w/App.svelte"));
        check("/w/engine/e.ts", "./e.js?worker", Some("/w/engine/e.ts"));
        check("/w/App.svelte", "./parts", Some("/w/parts/index.ts"));
        check("/w/App.svelte", "../pkg/web.js", None);
        check("/w/App.svelte", "svelte", None);
    }
}
