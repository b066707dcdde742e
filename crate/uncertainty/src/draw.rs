//! One draw: a value of every cause.

use std::ops::Range;

use spectra::Spectrum;

use crate::cause::{Causes, CurveId, Form, NumberId, Spread};
use crate::correlated::factor;
use crate::portable::exp;
use crate::strata::Strata;

/// A value of every cause, or the centre of every cause.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    values: Vec<Value>,
}

#[derive(Clone, Debug, PartialEq)]
enum Value {
    Number(f64),
    Curve(Box<Spectrum>),
}

impl Draw {
    /// In the unit of the cause. NaN for an id of other causes.
    pub fn number(&self, id: NumberId) -> f64 {
        match self.values.get(id.0) {
            Some(Value::Number(number)) => *number,
            _ => f64::NAN,
        }
    }

    /// The factor at each wavelength; 1 at the centre. `None` for an id of other causes.
    pub fn curve(&self, id: CurveId) -> Option<&Spectrum> {
        match self.values.get(id.0) {
            Some(Value::Curve(curve)) => Some(curve),
            _ => None,
        }
    }
}

/// How the values of the causes follow from independent standard normal numbers.
pub(crate) struct Layout {
    values: Vec<Placed>,
    /// The numbers of each cause.
    by_cause: Vec<Range<usize>>,
    dimensions: usize,
}

struct Placed {
    /// Its numbers. Empty if it does not vary.
    dimensions: Range<usize>,
    how: How,
}

enum How {
    Number {
        centre: f64,
        sd: f64,
        form: Form,
    },
    /// What each of its numbers adds to the logarithm of the factor.
    Curve(Vec<Spectrum>),
}

impl Layout {
    pub(crate) fn new(causes: &Causes) -> Self {
        let mut used = 0;
        let (mut values, mut by_cause) = (Vec::new(), Vec::new());
        for cause in causes.list() {
            let first = used;
            for _ in 0..cause.values {
                let (needs, how) = match cause.spread {
                    Spread::Number { centre, sd, form } => {
                        (usize::from(sd > 0.0), How::Number { centre, sd, form })
                    }
                    Spread::Curve { sd_ln, correlation_nm } => {
                        let columns = if sd_ln > 0.0 { factor(correlation_nm) } else { Vec::new() };
                        let columns: Vec<Spectrum> = columns.into_iter().map(|c| c * sd_ln).collect();
                        (columns.len(), How::Curve(columns))
                    }
                };
                let dimensions = used..used + needs;
                used = dimensions.end;
                values.push(Placed { dimensions, how });
            }
            by_cause.push(first..used);
        }
        Self { values, by_cause, dimensions: used }
    }

    /// Number of independent normal numbers.
    pub(crate) fn dimensions(&self) -> usize {
        self.dimensions
    }

    /// The numbers of each cause.
    pub(crate) fn by_cause(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        self.by_cause.iter().cloned()
    }

    /// Every cause at its centre.
    pub(crate) fn centre(&self) -> Draw {
        let values = self.values.iter().map(|placed| match placed.how {
            How::Number { centre, form, .. } => Value::Number(number(centre, 0.0, form)),
            How::Curve(_) => Value::Curve(Box::new(Spectrum::ONE)),
        });
        Draw { values: values.collect() }
    }

    /// With these standard normal numbers.
    pub(crate) fn at(&self, normal: impl Fn(usize) -> f64) -> Draw {
        let mut draw = self.centre();
        self.set_to(&mut draw, normal);
        draw
    }

    /// Every cause that varies at its value in draw number `i`; `draw` must be of this layout.
    pub(crate) fn set(&self, draw: &mut Draw, strata: &Strata, i: usize) {
        self.set_to(draw, |dimension| strata.normal(dimension, i));
    }

    fn set_to(&self, draw: &mut Draw, normal: impl Fn(usize) -> f64) {
        for (placed, value) in self.values.iter().zip(&mut draw.values) {
            if placed.dimensions.is_empty() {
                continue;
            }
            match (&placed.how, value) {
                (How::Number { centre, sd, form }, Value::Number(value)) => {
                    *value = number(*centre, sd * normal(placed.dimensions.start), *form);
                }
                (How::Curve(columns), Value::Curve(value)) => {
                    **value = Spectrum::ZERO;
                    for (dimension, column) in placed.dimensions.clone().zip(columns) {
                        value.add_scaled(normal(dimension), column);
                    }
                    for sample in value.samples_mut() {
                        *sample = exp(*sample);
                    }
                }
                _ => {}
            }
        }
    }
}

/// `away` is sd·z.
fn number(centre: f64, away: f64, form: Form) -> f64 {
    match form {
        Form::Normal => centre + away,
        Form::NormalAtLeast(least) => (centre + away).max(least),
        Form::LogNormal => centre * exp(away),
    }
}
