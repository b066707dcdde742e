//! The causes of a scene, each with its standard deviation in words.

use uncertainty::{CauseError, Causes, CurveId, Form, NumberId, Origin};

/// Causes, and how each of them is printed.
#[derive(Default)]
pub(super) struct Listed {
    pub causes: Causes,
    /// "± 22 %", in the order of the causes.
    pub spreads: Vec<String>,
}

impl Listed {
    /// A factor with centre 1.
    pub(super) fn factor(
        &mut self,
        name: String,
        sd_ln: f64,
        origin: Origin,
    ) -> Result<NumberId, CauseError> {
        self.spreads.push(super::names::per_cent(sd_ln));
        self.causes.number(name, 1.0, sd_ln, Form::LogNormal, origin)
    }

    /// A factor for each of `count`.
    pub(super) fn factors(
        &mut self,
        name: &str,
        count: usize,
        sd_ln: f64,
        origin: Origin,
    ) -> Result<Vec<NumberId>, CauseError> {
        self.spreads.push(super::names::per_cent(sd_ln));
        self.causes.each(name, count, 1.0, sd_ln, Form::LogNormal, origin)
    }

    /// What is added, with centre 0, in the unit of `sd`.
    pub(super) fn added(
        &mut self,
        name: String,
        sd: f64,
        spread: String,
        origin: Origin,
    ) -> Result<NumberId, CauseError> {
        self.spreads.push(spread);
        self.causes.number(name, 0.0, sd, Form::Normal, origin)
    }

    /// A number of standard deviations, with centre 0, for each of `count`.
    pub(super) fn deviations(
        &mut self,
        name: &str,
        count: usize,
        spread: String,
        origin: Origin,
    ) -> Result<Vec<NumberId>, CauseError> {
        self.spreads.push(spread);
        self.causes.each(name, count, 0.0, 1.0, Form::Normal, origin)
    }

    /// A factor by wavelength.
    pub(super) fn curve(
        &mut self,
        name: String,
        sd_ln: f64,
        correlation_nm: f64,
        origin: Origin,
    ) -> Result<CurveId, CauseError> {
        self.spreads.push(super::names::per_cent(sd_ln));
        self.causes.curve(name, sd_ln, (correlation_nm > 0.0).then_some(correlation_nm), origin)
    }
}
