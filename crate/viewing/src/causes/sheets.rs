//! What is not known of plates: their thickness by how that is known, the flash of their sheets, etching.

use std::collections::BTreeMap;

use uncertainty::{CauseError, NumberId, Origin};

use super::deviations::{FLASH_LN, SHEET_RANGE_IN_DEVIATIONS, SHEET_SHARE, TYPED_THICKNESS_MM};
use super::listed::Listed;
use super::names::plus_minus_between;
use super::plates::{FlashModel, Thickness};

/// A plate as the document has it.
#[derive(Clone, Copy)]
pub(super) struct PlateOf<'a> {
    pub plate: &'a glass::Plate,
    /// The sheet it was cut from.
    pub sheet: u32,
    /// Standard deviation of its thickness, if that is stated.
    pub stated_mm: Option<f64>,
}

/// How a thickness is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Known {
    /// Left at the nominal one of its sheets.
    Nominal,
    Typed,
    /// With a standard deviation of its own.
    Stated,
}

impl PlateOf<'_> {
    fn known(&self) -> Known {
        let nominal_mm = self.plate.glass.thickness.nominal_mm;
        match self.stated_mm {
            Some(_) => Known::Stated,
            None if (self.plate.thickness_mm - nominal_mm).abs() < 1e-9 => Known::Nominal,
            None => Known::Typed,
        }
    }

    /// Standard deviation of its thickness, mm.
    pub(super) fn sd_mm(&self) -> f64 {
        let sheets = self.plate.glass.thickness;
        let of_range = ((sheets.max_mm - sheets.min_mm) / SHEET_RANGE_IN_DEVIATIONS).max(0.0);
        match self.known() {
            Known::Nominal => of_range,
            Known::Typed => TYPED_THICKNESS_MM.min(of_range),
            Known::Stated => self.stated_mm.unwrap_or_default(),
        }
    }

    /// The part of it that its sheet has in common, and the part that is its own, mm.
    pub(super) fn parts_mm(&self) -> [f64; 2] {
        [SHEET_SHARE, 1.0 - SHEET_SHARE].map(|share| self.sd_mm() * share.sqrt())
    }
}

/// A sheet: its glass and its number.
type SheetOf<'a> = (&'a str, u32);

/// What pieces of one sheet have in common: one cause for each way of knowing a thickness and one for all flashes, each with a
/// number for each sheet.
pub(super) struct Sheets<'a> {
    thickness: BTreeMap<(Known, SheetOf<'a>), NumberId>,
    flash: BTreeMap<SheetOf<'a>, NumberId>,
    /// Place of the cause of flashes.
    pub flash_cause: Option<usize>,
}

impl<'a> Sheets<'a> {
    /// Of all plates.
    pub(super) fn new(
        plates: impl Iterator<Item = PlateOf<'a>>,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let mut found: BTreeMap<(Known, SheetOf<'a>), Vec<f64>> = BTreeMap::new();
        let mut flashed: Vec<SheetOf<'a>> = Vec::new();
        for of in plates {
            let sheet = (of.plate.glass.id.as_str(), of.sheet);
            found.entry((of.known(), sheet)).or_default().push(of.parts_mm()[0]);
            if of.plate.glass.flash.is_some() {
                flashed.push(sheet);
            }
        }
        sorting::values(&mut flashed);
        flashed.dedup();
        let mut thickness = BTreeMap::new();
        for (known, name, origin) in [
            (Known::Nominal, "thickness of each sheet, where it is the usual one", Origin::CommonPractice),
            (Known::Typed, "thickness of each sheet, where it was typed", Origin::Assumption),
            (Known::Stated, "thickness of each sheet, where its deviation is stated", Origin::Measured),
        ] {
            let sheets: Vec<_> = found.iter().filter(|((how, _), _)| *how == known).collect();
            if sheets.is_empty() {
                continue;
            }
            let (least, most) = least_and_most(sheets.iter().flat_map(|(_, sds)| sds.iter().copied()));
            let spread = plus_minus_between(least, most, " mm");
            let ids = listed.deviations(name, sheets.len(), spread, origin)?;
            thickness.extend(sheets.into_iter().zip(ids).map(|((key, _), id)| (*key, id)));
        }
        let flash_cause = (!flashed.is_empty()).then(|| listed.causes.list().len());
        let flash = if flashed.is_empty() {
            BTreeMap::new()
        } else {
            let ids = listed.factors("flash of each sheet", flashed.len(), FLASH_LN, Origin::Assumption)?;
            flashed.into_iter().zip(ids).collect()
        };
        Ok(Self { thickness, flash, flash_cause })
    }

    /// The thickness of a plate: partly its sheet's, partly its own, of which `own` counts standard deviations. `None` for
    /// one that was not among all plates.
    pub(super) fn thickness(&self, of: PlateOf<'a>, own: NumberId) -> Option<Thickness> {
        let sheet = self.thickness.get(&(of.known(), (of.plate.glass.id.as_str(), of.sheet)))?;
        let [common, alone] = of.parts_mm();
        Some(Thickness { nominal_mm: of.plate.thickness_mm, sheet: (*sheet, common), own: (own, alone) })
    }

    /// The flash of a plate; `None` if it has none. `etched` gives the id for one that was partly taken away.
    pub(super) fn flash(
        &self,
        of: PlateOf<'a>,
        etched: impl FnOnce() -> Option<NumberId>,
    ) -> Option<FlashModel> {
        let PlateOf { plate, sheet, .. } = of;
        Some(FlashModel {
            thickness_mm: plate.glass.flash.as_ref()?.thickness_mm,
            left: plate.flash_left,
            sheet: *self.flash.get(&(plate.glass.id.as_str(), sheet))?,
            etched: if is_etched(plate) { etched() } else { None },
        })
    }
}

/// Smallest and largest.
pub(super) fn least_and_most(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, 0.0), |(least, most): (f64, f64), sd| (least.min(sd), most.max(sd)))
}

/// Whether some of the flash was taken away, but not all.
pub(super) fn is_etched(plate: &glass::Plate) -> bool {
    plate.glass.flash.is_some() && plate.flash_left > 0.0 && plate.flash_left < 1.0
}
