//! What is not known of a plate: its thickness by how that is known, the flash of its sheet, etching.

use std::collections::BTreeMap;

use glass::ThicknessRange;
use uncertainty::{CauseError, NumberId, Origin};

use super::deviations::{FLASH_LN, SHEET_RANGE_IN_DEVIATIONS, SHEET_SHARE, TYPED_THICKNESS_MM};
use super::listed::Listed;
use super::piece::{FlashModel, Thickness};

/// Standard deviation of a thickness, and where it is from.
pub(super) fn thickness_deviation(thickness_mm: f64, sheet: ThicknessRange) -> (f64, Origin) {
    let of_range = ((sheet.max_mm - sheet.min_mm) / SHEET_RANGE_IN_DEVIATIONS).max(0.0);
    if (thickness_mm - sheet.nominal_mm).abs() < 1e-9 {
        (of_range, Origin::CommonPractice)
    } else {
        (TYPED_THICKNESS_MM.min(of_range), Origin::Assumption)
    }
}

/// A sheet: its glass and its number.
type SheetOf = (String, u32);

/// What pieces of one sheet have in common.
#[derive(Default)]
pub(super) struct Sheets {
    thickness: BTreeMap<SheetOf, NumberId>,
    flash: BTreeMap<SheetOf, NumberId>,
}

impl Sheets {
    /// The thickness of a plate: partly its sheet's, partly its own, of which `own` counts standard deviations.
    pub(super) fn thickness(
        &mut self,
        plate: &glass::Plate,
        sheet: u32,
        own: NumberId,
        listed: &mut Listed,
    ) -> Result<Thickness, CauseError> {
        let (sd, origin) = thickness_deviation(plate.thickness_mm, plate.glass.thickness);
        let key = (plate.glass.id.clone(), sheet);
        let common = match self.thickness.get(&key) {
            Some(known) => *known,
            None => {
                let name = format!("thickness of {}, sheet {sheet}", plate.glass.name);
                let spread = super::names::plus_minus(sd * SHEET_SHARE.sqrt(), " mm");
                let id = listed.added(name, 1.0, spread, origin)?;
                *self.thickness.entry(key).or_insert(id)
            }
        };
        Ok(Thickness {
            nominal_mm: plate.thickness_mm,
            sheet: Some((common, sd * SHEET_SHARE.sqrt())),
            own: (own, sd * (1.0 - SHEET_SHARE).sqrt()),
        })
    }

    /// The flash of a plate; `None` if it has none. `etched` gives the id for one that was partly taken away.
    pub(super) fn flash(
        &mut self,
        plate: &glass::Plate,
        sheet: u32,
        etched: impl FnOnce() -> Option<NumberId>,
        listed: &mut Listed,
    ) -> Result<Option<FlashModel>, CauseError> {
        let Some(flash) = plate.glass.flash else { return Ok(None) };
        let key = (plate.glass.id.clone(), sheet);
        let common = match self.flash.get(&key) {
            Some(known) => *known,
            None => {
                let name = format!("flash of {}, sheet {sheet}", plate.glass.name);
                let id = listed.factor(name, FLASH_LN, Origin::Assumption)?;
                *self.flash.entry(key).or_insert(id)
            }
        };
        Ok(Some(FlashModel {
            thickness_mm: flash.thickness_mm,
            left: plate.flash_left,
            sheet: common,
            etched: if is_etched(plate) { etched() } else { None },
        }))
    }
}

/// Whether some of the flash was taken away, but not all.
pub(super) fn is_etched(plate: &glass::Plate) -> bool {
    plate.glass.flash.is_some() && plate.flash_left > 0.0 && plate.flash_left < 1.0
}
