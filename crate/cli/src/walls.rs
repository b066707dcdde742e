//! The wall around each window and the depth of its leads, in words.

use viewing::{LeadReport, RevealReport, WallReport};

use crate::table::per_cent;

pub(crate) fn in_words(walls: &[WallReport]) -> String {
    let mut text = String::new();
    for wall in walls {
        let mut parts = Vec::new();
        parts.extend(reveal("outside", &wall.outer));
        parts.extend(reveal("inside", &wall.inner));
        if wall.overhang_m > 0.0 {
            parts.push(format!("an overhang of {} m", wall.overhang_m));
        }
        if wall.guards_open < 1.0 {
            parts.push(format!("bars or mesh, {} open straight on", per_cent(Some(wall.guards_open))));
        }
        text += &format!("  {}: {}\n", wall.window, parts.join("; "));
        text += &format!(
            "    It takes {} of the light of an overcast sky and the ground from the outside of the glass.\n",
            per_cent(Some(wall.overcast_taken))
        );
    }
    text
}

pub(crate) fn leads_in_words(leads: &[LeadReport]) -> String {
    leads
        .iter()
        .map(|LeadReport { window, leaf_mm, overcast_taken }| {
            let taken = per_cent(Some(*overcast_taken));
            format!(
                "  {window}: leaves stand out {leaf_mm} mm and, with the depth of bars, take {taken} of an overcast sky's light.\n"
            )
        })
        .collect()
}

fn reveal(side: &str, reveal: &RevealReport) -> Option<String> {
    let RevealReport { depth_m, jamb_deg, head_deg, sill_deg } = reveal;
    (*depth_m > 0.0).then(|| {
        let splays = [("jambs", jamb_deg), ("head", head_deg), ("sill", sill_deg)];
        let splays: Vec<String> = splays
            .into_iter()
            .filter(|(_, deg)| **deg > 0.0)
            .map(|(name, deg)| format!("{name} splayed {deg}°"))
            .collect();
        let splays = if splays.is_empty() { "square".to_owned() } else { splays.join(", ") };
        format!("{depth_m} m deep {side}, {splays}")
    })
}
