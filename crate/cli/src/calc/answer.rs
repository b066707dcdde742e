//! The answer of a calculation: named figures in a fixed order, never a NaN.

use serde::ser::{Serialize, Serializer};
use serde_json::{Number, Value};
use spectra::Spectrum;

use super::fields::{Amount, Fault};

/// The fields of one answer, in the order in which they were added.
#[derive(Clone, Debug, Default)]
pub(super) struct Answer(Vec<(&'static str, Value)>);

impl Answer {
    /// An answer that is a refusal.
    pub(super) fn error(message: &str) -> Self {
        Self(vec![("error", Value::from(message))])
    }

    /// The same with one more figure.
    ///
    /// # Errors
    /// [`Fault::TooLarge`] for a figure that is infinite or not a number.
    pub(super) fn with(mut self, key: &'static str, figure: impl Figure) -> Result<Self, Fault> {
        self.0.push((key, figure.json().ok_or(Fault::TooLarge { key })?));
        Ok(self)
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// A value of an answer.
pub(super) trait Figure {
    /// As JSON; `None` if a number in it is not finite.
    fn json(self) -> Option<Value>;
}

impl Figure for f64 {
    fn json(self) -> Option<Value> {
        Number::from_f64(self).map(Value::Number)
    }
}

impl Figure for usize {
    fn json(self) -> Option<Value> {
        Some(Value::from(self))
    }
}

impl Figure for &str {
    fn json(self) -> Option<Value> {
        Some(Value::from(self))
    }
}

impl Figure for String {
    fn json(self) -> Option<Value> {
        Some(Value::String(self))
    }
}

/// Undefined values are `null`.
impl<T: Figure> Figure for Option<T> {
    fn json(self) -> Option<Value> {
        self.map_or(Some(Value::Null), Figure::json)
    }
}

impl<T: Figure> Figure for Vec<T> {
    fn json(self) -> Option<Value> {
        self.into_iter().map(Figure::json).collect::<Option<Vec<_>>>().map(Value::Array)
    }
}

impl<T: Figure, const N: usize> Figure for [T; N] {
    fn json(self) -> Option<Value> {
        self.into_iter().map(Figure::json).collect::<Option<Vec<_>>>().map(Value::Array)
    }
}

impl Figure for Spectrum {
    fn json(self) -> Option<Value> {
        self.samples().to_vec().json()
    }
}

impl Figure for Amount {
    fn json(self) -> Option<Value> {
        if self.is_number() { self.spectrum()[0].json() } else { self.spectrum().json() }
    }
}

/// An object within an answer.
impl Figure for Answer {
    fn json(self) -> Option<Value> {
        Some(Value::Object(self.0.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()))
    }
}
