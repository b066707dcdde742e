//! `clerestory calc`: single calculations for scripts, one JSON object per line in, one per line out.
//!
//! Every kind takes exactly the fields it names and answers exactly the fields it names. A wrong line answers
//! `{"error": "<path>: expected …, found …"}`, and the next line is processed.

mod answer;
mod colours;
mod fields;
mod glasses;
mod outdoors;
mod reveals;
mod rooms;
mod skies;
mod suns;
mod uncertain;

use std::io::{self, BufRead, Write};

use answer::Answer;
use fields::{Fault, Fields};

/// One calculation.
type Kind = fn(&Fields<'_>) -> Result<Answer, Fault>;

/// Every kind by name.
const KINDS: [(&str, Kind); 20] = [
    ("sun", suns::sun),
    ("rise_set", suns::rise_set),
    ("clear_spectra", skies::clear_spectra),
    ("cie_sky", skies::cie_sky),
    ("clear_sky", skies::clear_sky),
    ("colour", colours::colour),
    ("difference", colours::difference),
    ("adapt", colours::adapt),
    ("rendering", colours::rendering),
    ("stack", glasses::stack),
    ("recipe", glasses::recipe),
    ("glass", glasses::glass),
    ("glare_spread", colours::glare_spread),
    ("room", rooms::room),
    ("sun_patch", rooms::sun_patch),
    ("pieces_to_point", rooms::pieces_to_point),
    ("uncertainty", uncertain::uncertainty),
    ("streak", glasses::streak),
    ("reveal", reveals::reveal),
    ("outdoors", outdoors::outdoors),
];

/// Answers every line, each as soon as it is read.
///
/// # Errors
/// Errors of the reader or the writer; a wrong line is not an error here.
pub(crate) fn run(mut input: impl BufRead, mut output: impl Write) -> io::Result<()> {
    let mut line = Vec::new();
    loop {
        line.clear();
        if input.read_until(b'\n', &mut line)? == 0 {
            return Ok(());
        }
        let answer = answer(&line).unwrap_or_else(|fault| Answer::error(&fault.to_string()));
        serde_json::to_writer(&mut output, &answer)?;
        output.write_all(b"\n")?;
        output.flush()?;
    }
}

fn answer(line: &[u8]) -> Result<Answer, Fault> {
    let value: serde_json::Value = serde_json::from_slice(line)
        .map_err(|e| Fault::Line { column: e.column(), reason: without_place(&e.to_string()) })?;
    let fields = Fields::of("", &value)?;
    let name = fields.text("calc")?;
    let Some((_, kind)) = KINDS.iter().find(|(known, _)| *known == name) else {
        let known: Vec<&str> = KINDS.iter().map(|(known, _)| *known).collect();
        return Err(Fault::wrong("calc", format!("one of {}", known.join(", ")), format!("\"{name}\"")));
    };
    kind(&fields)
}

/// The JSON reader's message without its "at line 1 column 2": here every line is line 1.
fn without_place(message: &str) -> String {
    message.rsplit_once(" at line ").map_or(message, |(words, _)| words).to_owned()
}
