//! What is not known exactly.

use std::ops::Range;

/// Why a standard deviation is what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// From measurements of the thing itself.
    Measured,
    /// What is usual in the trade.
    CommonPractice,
    /// Our own judgement.
    Assumption,
}

/// The distribution of a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// centre + sd·z.
    Normal,
    /// centre + sd·z, but never less than this: what would be smaller sits on it. 0 for a density.
    NormalAtLeast(f64),
    /// centre·e^(sd·z): the standard deviation is that of the natural logarithm, so 0.2 is about 20 %.
    LogNormal,
}

/// What varies, and how far. z is standard normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// A number: a thickness in mm, a density, the position of an edge in nm, a strength relative to the nominal one.
    Number {
        /// The value believed in, in the unit of the quantity.
        centre: f64,
        /// Standard deviation: in the unit of the quantity, or of the natural logarithm for [`Form::LogNormal`].
        sd: f64,
        /// The distribution.
        form: Form,
    },
    /// A factor at each wavelength, e^(sd·g(λ)): g is a Gaussian curve of variance 1 that correlates by
    /// exp(−Δ²/(2ℓ²)) between two wavelengths Δ apart. For a whole absorbance spectrum.
    Curve {
        /// Standard deviation of the natural logarithm.
        sd_ln: f64,
        /// ℓ in nm; `None` if the factor is the same at every wavelength.
        correlation_nm: Option<f64>,
    },
}

/// One thing that is not known exactly.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// What it is, for a list: "thickness of piece 12".
    pub name: String,
    /// How far it varies.
    pub spread: Spread,
    /// Where that is from.
    pub origin: Origin,
    /// How many independent values it has: 1, or one for each thing that varies on its own ([`Causes::each`]).
    pub values: usize,
}

/// All causes of some figures. Each is independent of the others.
///
/// The ids say who shares a cause: pieces that read the same id get the same value in each draw. Pieces that vary each
/// on its own have an id each, of a cause each or of one cause with many numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Causes {
    list: Vec<Cause>,
    /// Values of all of them.
    values: usize,
}

/// A number that is not known exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct NumberId(pub(crate) usize);

/// A cause that is a factor at each wavelength.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CurveId(pub(crate) usize);

impl Causes {
    /// None yet: everything is known exactly.
    pub const fn new() -> Self {
        Self { list: Vec::new(), values: 0 }
    }

    /// Adds a number; [`Spread::Number`] says what is meant by `centre`, `sd` and `form`.
    ///
    /// # Errors
    /// [`CauseError`] for an infinite centre, a negative or infinite standard deviation, a limit that is not finite.
    pub fn number(
        &mut self,
        name: impl Into<String>,
        centre: f64,
        sd: f64,
        form: Form,
        origin: Origin,
    ) -> Result<NumberId, CauseError> {
        self.numbers(name, 1, centre, sd, form, origin).map(|ids| NumberId(ids.start))
    }

    /// Adds `count` independent numbers of one kind as one cause, such as the thickness of each piece: they are told
    /// apart in figures and taken together in the list of what a figure depends on.
    ///
    /// # Errors
    /// As [`Self::number`].
    pub fn each(
        &mut self,
        name: impl Into<String>,
        count: usize,
        centre: f64,
        sd: f64,
        form: Form,
        origin: Origin,
    ) -> Result<Vec<NumberId>, CauseError> {
        Ok(self.numbers(name, count, centre, sd, form, origin)?.map(NumberId).collect())
    }

    fn numbers(
        &mut self,
        name: impl Into<String>,
        count: usize,
        centre: f64,
        sd: f64,
        form: Form,
        origin: Origin,
    ) -> Result<Range<usize>, CauseError> {
        let name = name.into();
        if !centre.is_finite() {
            return Err(CauseError::Centre { name, found: centre });
        }
        if let Form::NormalAtLeast(least) = form
            && !least.is_finite()
        {
            return Err(CauseError::Least { name, found: least });
        }
        self.add(name, sd, Spread::Number { centre, sd, form }, origin, count)
    }

    /// Adds a factor at each wavelength; [`Spread::Curve`] says what is meant by `sd_ln` and `correlation_nm`.
    ///
    /// # Errors
    /// [`CauseError`] for a negative or infinite standard deviation, a length that is not above 0.
    pub fn curve(
        &mut self,
        name: impl Into<String>,
        sd_ln: f64,
        correlation_nm: Option<f64>,
        origin: Origin,
    ) -> Result<CurveId, CauseError> {
        let name = name.into();
        if let Some(length) = correlation_nm
            && !(length > 0.0 && length.is_finite())
        {
            return Err(CauseError::Correlation { name, found: length });
        }
        let spread = Spread::Curve { sd_ln, correlation_nm };
        self.add(name, sd_ln, spread, origin, 1).map(|ids| CurveId(ids.start))
    }

    fn add(
        &mut self,
        name: String,
        sd: f64,
        spread: Spread,
        origin: Origin,
        values: usize,
    ) -> Result<Range<usize>, CauseError> {
        if !(sd >= 0.0 && sd.is_finite()) {
            return Err(CauseError::Sd { name, found: sd });
        }
        self.list.push(Cause { name, spread, origin, values });
        let first = self.values;
        self.values += values;
        Ok(first..self.values)
    }

    /// In the order in which they were added.
    pub fn list(&self) -> &[Cause] {
        &self.list
    }
}

/// Why something cannot be a cause.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CauseError {
    /// The centre is infinite or not a number.
    #[error("{name}: expected a finite centre, found {found}")]
    Centre {
        /// The cause.
        name: String,
        /// The value given.
        found: f64,
    },
    /// The standard deviation is negative, infinite or not a number.
    #[error("{name}: expected a standard deviation of at least 0, found {found}")]
    Sd {
        /// The cause.
        name: String,
        /// The value given.
        found: f64,
    },
    /// The least value is infinite or not a number.
    #[error("{name}: expected a finite least value, found {found}")]
    Least {
        /// The cause.
        name: String,
        /// The value given.
        found: f64,
    },
    /// The correlation length is not above 0.
    #[error("{name}: expected a correlation length above 0 nm, found {found}")]
    Correlation {
        /// The cause.
        name: String,
        /// The value given.
        found: f64,
    },
}
