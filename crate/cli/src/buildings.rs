//! The buildings around the window, in words.

use viewing::{BlockReport, BuildingsReport};

use crate::table::figure;

/// Most houses and walls that are listed.
const MOST: usize = 8;

pub(crate) fn in_words(buildings: &BuildingsReport) -> String {
    let mut text = String::new();
    if let Some(own) = buildings.own_building {
        let origin = if own.assumed { ", assumed from the room: one storey" } else { "" };
        text += &format!("  own wall: {} m high{origin}\n", figure(own.height_m));
    }
    for block in buildings.blocks.iter().take(MOST) {
        let BlockReport { distance_m, from_m, to_m, height_m } = *block;
        text += &format!(
            "  house or wall: {} m away, {} m high, from {} to {}\n",
            figure(distance_m),
            figure(height_m),
            aside(from_m),
            aside(to_m)
        );
    }
    if let Some(more @ 1..) = buildings.blocks.len().checked_sub(MOST) {
        text += &format!("  and {more} more\n");
    }
    text
}

/// A distance from the window's middle.
fn aside(right_m: f64) -> String {
    if right_m < 0.0 {
        format!("{} m left", figure(-right_m))
    } else {
        format!("{} m right", figure(right_m))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use viewing::OwnBuildingReport;

    #[test]
    fn assumed_heights_say_so_and_long_lists_are_cut() {
        let block = BlockReport { distance_m: 20.0, from_m: -30.0, to_m: 12.5, height_m: 7.5 };
        let own = |assumed| Some(OwnBuildingReport { height_m: 5.0, assumed });
        let words = |own_building, blocks| in_words(&BuildingsReport { own_building, blocks });
        assert_eq!(
            words(own(true), vec![block]),
            "  own wall: 5.00 m high, assumed from the room: one storey\n  house or wall: 20.0 m away, 7.50 m \
             high, from 30.0 m left to 12.5 m right\n"
        );
        assert_eq!(words(own(false), Vec::new()), "  own wall: 5.00 m high\n");
        assert!(words(None, vec![block; 9]).ends_with("\n  and 1 more\n"));
        assert!(!words(None, vec![block; 8]).contains("more"));
    }
}
