//! Strict reading of one line: every field is requested by name, and any other field is refused.

use std::cell::RefCell;
use std::ops::RangeInclusive;

use serde_json::{Map, Value};
use spectra::{SAMPLES, Spectrum};

/// Why a line has no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(super) enum Fault {
    /// It is not JSON.
    #[error("the line: expected one JSON object, found a syntax error at column {column}: {reason}")]
    Line {
        /// The column, from 1.
        column: usize,
        /// The JSON reader's message.
        reason: String,
    },
    /// A field that is missing, unknown or has the wrong value.
    #[error("{path}: expected {expected}, found {found}")]
    Wrong {
        /// Its path.
        path: String,
        /// What was expected.
        expected: String,
        /// What was found.
        found: String,
    },
    /// A crate's own error about the inputs.
    #[error("{0}")]
    Refused(String),
    /// Inputs whose result is not a finite number.
    #[error("{key}: expected a finite result, found one beyond the range of numbers; use smaller inputs")]
    TooLarge {
        /// Field of the answer.
        key: &'static str,
    },
}

impl Fault {
    pub(super) fn wrong(
        path: impl Into<String>,
        expected: impl Into<String>,
        found: impl Into<String>,
    ) -> Self {
        Self::Wrong { path: path.into(), expected: expected.into(), found: found.into() }
    }

    pub(super) fn refused(reason: impl ToString) -> Self {
        Self::Refused(reason.to_string())
    }
}

/// A number, or one for each of the 81 wavelengths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Amount {
    spectrum: Spectrum,
    is_number: bool,
}

impl Amount {
    fn number(value: f64) -> Self {
        Self { spectrum: Spectrum::splat(value), is_number: true }
    }

    /// At every wavelength.
    pub(super) fn spectrum(&self) -> Spectrum {
        self.spectrum
    }

    pub(super) fn is_number(&self) -> bool {
        self.is_number
    }

    /// A result in the form of its inputs: a number if all of them were numbers.
    pub(super) fn like_inputs(result: &Spectrum, all_numbers: bool) -> Self {
        Self { spectrum: *result, is_number: all_numbers }
    }

    /// # Errors
    /// The first sample outside the range.
    pub(super) fn within(self, path: &str, range: &RangeInclusive<f64>, words: &str) -> Result<Self, Fault> {
        if self.is_number() && !range.contains(&self.spectrum[0]) {
            return Err(Fault::wrong(path, words, self.spectrum[0].to_string()));
        }
        spectrum_within(path, self.spectrum, range, words).map(|_| self)
    }
}

/// The fields of an object.
pub(super) struct Fields<'a> {
    path: String,
    map: &'a Map<String, Value>,
    asked: RefCell<Vec<&'static str>>,
    /// Fields that may be there and are not read.
    unread: RefCell<&'static [&'static str]>,
}

impl<'a> Fields<'a> {
    /// # Errors
    /// [`Fault::Wrong`] for anything but an object.
    pub(super) fn of(path: &str, value: &'a Value) -> Result<Self, Fault> {
        let place = if path.is_empty() { "the line" } else { path };
        let map = value.as_object().ok_or_else(|| Fault::wrong(place, "an object", describe(value)))?;
        Ok(Self { path: path.to_owned(), map, asked: RefCell::default(), unread: RefCell::default() })
    }

    /// Path of a field.
    pub(super) fn path(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// Refuses fields that were not requested. Call it when all have been.
    ///
    /// # Errors
    /// [`Fault::Wrong`], naming the first such field and the known ones.
    pub(super) fn finish(&self) -> Result<(), Fault> {
        let asked = self.asked.borrow();
        let unread = self.unread.borrow();
        let unknown = |key: &&String| !asked.contains(&key.as_str()) && !unread.contains(&key.as_str());
        match self.map.keys().find(unknown) {
            None => Ok(()),
            Some(key) => Err(Fault::wrong(
                self.path(key),
                format!("no field but {}", asked.join(", ")),
                "an unknown field",
            )),
        }
    }

    /// Names fields that may be there and are not read: what tables of cases say of a case beside its inputs.
    pub(super) fn leave_unread(&self, keys: &'static [&'static str]) {
        self.unread.replace(keys);
    }

    /// The field's value, if it is present and not null.
    pub(super) fn optional(&self, key: &'static str) -> Option<&'a Value> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        self.map.get(key).filter(|v| !v.is_null())
    }

    /// The field's value.
    ///
    /// # Errors
    /// [`Fault::Wrong`] if it is missing or null.
    pub(super) fn required(&self, key: &'static str, expected: &str) -> Result<&'a Value, Fault> {
        self.optional(key).ok_or_else(|| {
            let found = if self.map.contains_key(key) { "null" } else { "nothing: the field is missing" };
            Fault::wrong(self.path(key), expected, found)
        })
    }

    pub(super) fn text(&self, key: &'static str) -> Result<&'a str, Fault> {
        let value = self.required(key, "text")?;
        value.as_str().ok_or_else(|| Fault::wrong(self.path(key), "text", describe(value)))
    }

    pub(super) fn number(&self, key: &'static str) -> Result<f64, Fault> {
        number(&self.path(key), self.required(key, "a number")?)
    }

    pub(super) fn number_in(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        words: &str,
    ) -> Result<f64, Fault> {
        let value = self.required(key, words)?;
        let found = value.as_f64().ok_or_else(|| Fault::wrong(self.path(key), words, describe(value)))?;
        if range.contains(&found) {
            Ok(found)
        } else {
            Err(Fault::wrong(self.path(key), words, describe(value)))
        }
    }

    /// A whole number.
    pub(super) fn whole(
        &self,
        key: &'static str,
        range: RangeInclusive<u8>,
        words: &str,
    ) -> Result<u8, Fault> {
        let found = self.number_in(key, f64::from(*range.start())..=f64::from(*range.end()), words)?;
        if found.fract().abs() > 0.0 {
            return Err(Fault::wrong(self.path(key), words, found.to_string()));
        }
        Ok(found as u8)
    }

    pub(super) fn flag(&self, key: &'static str) -> Result<bool, Fault> {
        let Some(value) = self.optional(key) else { return Ok(false) };
        value.as_bool().ok_or_else(|| Fault::wrong(self.path(key), "true or false", describe(value)))
    }

    pub(super) fn spectrum(&self, key: &'static str) -> Result<Spectrum, Fault> {
        spectrum(&self.path(key), self.required(key, SPECTRUM)?, SPECTRUM)
    }

    /// A spectrum with every sample within a range.
    pub(super) fn spectrum_in(
        &self,
        key: &'static str,
        range: &RangeInclusive<f64>,
        words: &str,
    ) -> Result<Spectrum, Fault> {
        spectrum_within(&self.path(key), self.spectrum(key)?, range, words)
    }

    pub(super) fn amount(&self, key: &'static str) -> Result<Amount, Fault> {
        amount(&self.path(key), self.required(key, AMOUNT)?)
    }

    /// An amount with every sample within a range.
    pub(super) fn amount_in(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        words: &str,
    ) -> Result<Amount, Fault> {
        self.amount(key)?.within(&self.path(key), &range, words)
    }

    pub(super) fn vector<const N: usize>(&self, key: &'static str) -> Result<[f64; N], Fault> {
        vector(&self.path(key), self.required(key, &format!("{N} numbers"))?)
    }

    /// A list with the path of each entry.
    pub(super) fn list(&self, key: &'static str, of: &str) -> Result<Vec<(String, &'a Value)>, Fault> {
        let expected = format!("a list of {of}");
        list(&self.path(key), self.required(key, &expected)?, &expected)
    }

    pub(super) fn object(&self, key: &'static str) -> Result<Self, Fault> {
        Fields::of(&self.path(key), self.required(key, "an object")?)
    }

    /// Every field, for an object whose keys are free.
    pub(super) fn numbers_by_name(&self, key: &'static str) -> Result<Vec<(&'a str, f64)>, Fault> {
        let inner = self.object(key)?;
        inner.map.iter().map(|(name, value)| Ok((name.as_str(), number(&inner.path(name), value)?))).collect()
    }

    /// As [`numbers_by_name`](Self::numbers_by_name), none if the field is missing or null, each within a range.
    pub(super) fn optional_numbers_by_name(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        words: &str,
    ) -> Result<Vec<(&'a str, f64)>, Fault> {
        if self.optional(key).is_none() {
            return Ok(Vec::new());
        }
        let numbers = self.numbers_by_name(key)?;
        match numbers.iter().find(|(_, number)| !range.contains(number)) {
            None => Ok(numbers),
            Some((name, number)) => {
                Err(Fault::wrong(format!("{}.{name}", self.path(key)), words, number.to_string()))
            }
        }
    }

    /// The field's value, if it is present and not null.
    pub(super) fn optional_number_in(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        words: &str,
    ) -> Result<Option<f64>, Fault> {
        self.optional(key).map(|_| self.number_in(key, range, words)).transpose()
    }

    /// Every field of an object with free keys is a spectrum with every sample within a range.
    pub(super) fn spectra_by_name(
        &self,
        key: &'static str,
        range: &RangeInclusive<f64>,
        words: &str,
    ) -> Result<Vec<(&'a str, Spectrum)>, Fault> {
        let inner = self.object(key)?;
        let read = |(name, value): (&'a String, &'a Value)| {
            let path = inner.path(name);
            Ok((name.as_str(), spectrum_within(&path, spectrum(&path, value, SPECTRUM)?, range, words)?))
        };
        inner.map.iter().map(read).collect()
    }
}

fn spectrum_within(
    path: &str,
    spectrum: Spectrum,
    range: &RangeInclusive<f64>,
    words: &str,
) -> Result<Spectrum, Fault> {
    match spectrum.samples().iter().position(|v| !range.contains(v)) {
        None => Ok(spectrum),
        Some(i) => Err(Fault::wrong(format!("{path}[{i}]"), words, spectrum[i].to_string())),
    }
}

const SPECTRUM: &str = "81 numbers, 380–780 nm by 5";
const AMOUNT: &str = "a number, or 81 numbers, 380–780 nm by 5";

pub(super) fn number(path: &str, value: &Value) -> Result<f64, Fault> {
    value.as_f64().ok_or_else(|| Fault::wrong(path, "a number", describe(value)))
}

pub(super) fn amount(path: &str, value: &Value) -> Result<Amount, Fault> {
    match value.as_f64() {
        Some(number) => Ok(Amount::number(number)),
        None => spectrum(path, value, AMOUNT).map(|spectrum| Amount { spectrum, is_number: false }),
    }
}

fn spectrum(path: &str, value: &Value, expected: &str) -> Result<Spectrum, Fault> {
    let entries = value.as_array().filter(|a| a.len() == SAMPLES);
    let entries = entries.ok_or_else(|| Fault::wrong(path, expected, describe(value)))?;
    let mut spectrum = Spectrum::ZERO;
    for (i, (sample, entry)) in spectrum.samples_mut().iter_mut().zip(entries).enumerate() {
        *sample = number(&format!("{path}[{i}]"), entry)?;
    }
    Ok(spectrum)
}

pub(super) fn vector<const N: usize>(path: &str, value: &Value) -> Result<[f64; N], Fault> {
    let entries = value.as_array().filter(|a| a.len() == N);
    let entries = entries.ok_or_else(|| Fault::wrong(path, format!("{N} numbers"), describe(value)))?;
    let mut numbers = [0.0; N];
    for (i, (to, entry)) in numbers.iter_mut().zip(entries).enumerate() {
        *to = number(&format!("{path}[{i}]"), entry)?;
    }
    Ok(numbers)
}

pub(super) fn list<'a>(
    path: &str,
    value: &'a Value,
    expected: &str,
) -> Result<Vec<(String, &'a Value)>, Fault> {
    let entries = value.as_array().ok_or_else(|| Fault::wrong(path, expected, describe(value)))?;
    Ok(entries.iter().enumerate().map(|(i, entry)| (format!("{path}[{i}]"), entry)).collect())
}

/// Describes a value in a few words.
pub(super) fn describe(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(_) | Value::Number(_) => value.to_string(),
        Value::String(text) if text.chars().count() <= 60 => format!("\"{text}\""),
        Value::String(_) => "a long text".to_owned(),
        Value::Array(entries) => format!("a list of {}", entries.len()),
        Value::Object(_) => "an object".to_owned(),
    }
}
