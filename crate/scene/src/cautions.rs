//! What is doubtful about a valid scene, and what is hardly ever measured.

use crate::document::{Deposit, Deposits};
use crate::resolved::Resolved;

/// Clock and sun further apart than this raise a caution, hours: no zone in use goes as far, summer time
/// included.
const ZONE_DOUBTFUL_H: f64 = 3.0;
/// Beyond this latitude there is no caution, degrees: meridians converge toward the poles, and stations keep
/// whichever time suits their supplies.
const ZONE_MATTERS_TO_DEG: f64 = 75.0;

/// What lies on the glass of each window, in sentences: dirt is hardly ever measured.
pub fn deposits_in_words(resolved: &Resolved) -> Vec<String> {
    let mut all = Vec::new();
    for window in &resolved.scene.windows {
        if !window.deposits.is_empty() {
            all.push(format!("dirt: on window “{}”, {}", window.id, on_faces(&window.deposits)));
        }
        let own = window.pieces.iter().filter(|piece| !piece.makeup.deposits.is_empty()).count();
        if own > 0 {
            let pieces = if own == 1 {
                "1 piece states its own".to_owned()
            } else {
                format!("{own} pieces state their own")
            };
            all.push(format!("dirt: on window “{}”, {pieces} dirt or corrosion", window.id));
        }
    }
    all
}

/// "dirt outside takes 8 % of the light (assumption)".
fn on_faces(deposits: &Deposits) -> String {
    let of = |face: &str, deposit: &Option<Deposit>| {
        let Deposit { kind, loss, source, .. } = deposit.as_ref().filter(|deposit| deposit.loss > 0.0)?;
        let kind = kind.name();
        let source = if source.is_empty() { "assumption" } else { source };
        Some(format!("{kind} {face} takes {:.0} % of the light ({source})", loss * 100.0))
    };
    let both = [of("outside", &deposits.outside), of("inside", &deposits.inside)];
    both.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// What is doubtful about the site, in sentences: a time zone that does not match the longitude.
pub fn cautions(resolved: &Resolved) -> Vec<String> {
    let site = &resolved.scene.site;
    if site.latitude_deg.abs() > ZONE_MATTERS_TO_DEG {
        return Vec::new();
    }
    let Ok(placed) = resolved.instant(&resolved.scene.at) else { return Vec::new() };
    let clock_h = f64::from(placed.offset_s) / 3600.0;
    let apart_h = (clock_h - site.longitude_deg / 15.0 + 12.0).rem_euclid(24.0) - 12.0;
    if apart_h.abs() <= ZONE_DOUBTFUL_H {
        return Vec::new();
    }
    vec![format!(
        "site: the clocks of {} are {:.0} hours {} the sun at longitude {:.1}° {}; check the time zone and the longitude",
        site.time_zone,
        apart_h.abs(),
        if apart_h > 0.0 { "ahead of" } else { "behind" },
        site.longitude_deg.abs(),
        if site.longitude_deg < 0.0 { "west" } else { "east" },
    )]
}
