//! Whether each pane of leads drawn as shapes became one piece: a pane that is lost is one that nobody cuts.

use panel::Panel;
use plane::PanelPoint;

use crate::fault::{DrawingFault, FaultKind};

/// The panes that some shapes leave open between them.
#[derive(Debug, Clone)]
pub(crate) struct ShapePanes {
    /// A point in the glass of each, mm.
    pub(crate) points: Vec<PanelPoint>,
    /// The shapes alone make the window, border and all: then there is no piece without a pane.
    pub(crate) are_all: bool,
}

/// The panes that got no piece of their own, and the pieces that are no pane's. `panes`: in the drawing's place.
pub(crate) fn lost(panes: &ShapePanes, panel: &Panel) -> Vec<DrawingFault> {
    let mut in_piece = vec![0_usize; panel.pieces.len()];
    let found: Vec<(PanelPoint, Option<usize>)> =
        panes.points.iter().map(|&at| (at, panel.piece_at(at))).collect();
    found.iter().filter_map(|(_, piece)| *piece).for_each(|piece| in_piece[piece] += 1);
    let fault =
        |at_mm, words: &str| DrawingFault { kind: FaultKind::NotUnderstood, at_mm, words: words.to_owned() };
    let without_own = found.into_iter().filter_map(|(at, piece)| match piece {
        None => Some(fault(
            at,
            "A pane between the leads' shapes lies in no piece: it is not cut. Draw the leads around it as lines.",
        )),
        Some(piece) if in_piece[piece] > 1 => Some(fault(
            at,
            "A pane between the leads' shapes shares its piece with another: they would be cut as one. Draw the lead \
             between them as a line.",
        )),
        Some(_) => None,
    });
    let of_no_pane = panel.pieces.iter().zip(&in_piece).filter(|(_, count)| panes.are_all && **count == 0);
    let of_no_pane = of_no_pane.map(|(piece, _)| {
        fault(
            piece.interior_point,
            "A piece lies where the leads' shapes leave no pane: their lines cross here. Draw these leads as lines.",
        )
    });
    without_own.chain(of_no_pane).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use panel::{Cutline, Drawing, Outline, PanelOptions, panel_from_drawing};

    fn panel(cutlines: &[&str]) -> Panel {
        let cutline = |path: &&str| Cutline { path: (*path).to_owned(), face_mm: 5.0 };
        let drawing = Drawing {
            outline: Outline { path: "M0 0H300V100H0Z".to_owned(), face_mm: 8.0 },
            cutlines: cutlines.iter().map(cutline).collect(),
            bars: Vec::new(),
        };
        panel_from_drawing(&drawing, &PanelOptions::default()).expect("a panel")
    }

    fn places(panel: &Panel, are_all: bool) -> Vec<[f64; 2]> {
        let points = [[50.0, 50.0], [150.0, 50.0], [250.0, 50.0]].map(PanelPoint::from).to_vec();
        lost(&ShapePanes { points, are_all }, panel).iter().map(|fault| fault.at_mm.to_array()).collect()
    }

    #[test]
    fn panes_of_one_piece_are_named_each_at_its_place() {
        assert!(places(&panel(&["M100 0V100", "M200 0V100"]), true).is_empty());
        assert_eq!(places(&panel(&["M100 0V100"]), true), [[150.0, 50.0], [250.0, 50.0]]);
    }

    #[test]
    fn a_pane_outside_and_a_piece_too_many_are_named() {
        let window = panel(&["M100 0V100", "M200 0V100"]);
        let points =
            [[50.0, 50.0], [150.0, 50.0], [250.0, 50.0], [350.0, 50.0]].map(PanelPoint::from).to_vec();
        let found = lost(&ShapePanes { points, are_all: true }, &window);
        assert!(matches!(&found[..], [fault] if fault.at_mm == PanelPoint::new(350.0, 50.0)), "{found:?}");
        let crossed = panel(&["M100 0V100", "M200 0V100", "M200 40L300 60"]);
        assert_eq!(places(&crossed, true).len(), 1);
        assert!(places(&crossed, false).is_empty());
    }
}
