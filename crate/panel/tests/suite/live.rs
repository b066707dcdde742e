//! A live panel equals one built from scratch, whatever is edited.

// What must be the same to the last bit is compared exactly.
#![allow(clippy::float_cmp)]

use panel::{
    Bar, Cutline, Drawing, Line, LineEdit, LivePanel, Outline, PanelFault, PanelOptions, panel_from_drawing,
};
use proptest::prelude::*;

const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 800.0;

fn drawing(cutlines: Vec<Cutline>) -> Drawing {
    let outline = Outline { path: format!("M0 0H{WIDTH}V{HEIGHT}H0Z"), face_mm: 12.0 };
    Drawing { outline, cutlines, bars: vec![] }
}

fn cutline(points: &[(f64, f64)], face_mm: f64) -> Cutline {
    let points: Vec<String> = points.iter().map(|(x, y)| format!("{x} {y}")).collect();
    Cutline { path: format!("M{}", points.join("L")), face_mm }
}

/// Lines on a jittered grid of 60 mm: short ones from node to node, and some right across. Ends miss the lines that
/// they belong to by up to 0.15 mm.
fn grid_lines(seed: &[f64]) -> Vec<Vec<(f64, f64)>> {
    let mut next = seed.iter().copied().cycle();
    let mut jitter = |by: f64| (next.next().unwrap_or(0.5) - 0.5) * 2.0 * by;
    let (columns, rows) = (10, 13);
    let nodes: Vec<Vec<(f64, f64)>> = (0..=rows)
        .map(|r| {
            let node = |c: usize| {
                let (x, y) = (c as f64 * 60.0, r as f64 * 800.0 / 13.0);
                let x = if c == 0 || c == columns { x } else { x + jitter(15.0) };
                (x, if r == 0 || r == rows { y } else { y + jitter(15.0) })
            };
            (0..=columns).map(node).collect()
        })
        .collect();
    let mut lines = Vec::new();
    for (r, row) in nodes.iter().enumerate().take(rows).skip(1) {
        // One line right across, or two that meet in the middle, or pieces from node to node.
        match r % 3 {
            0 => lines.push(row.clone()),
            1 => lines.extend([row[..=5].to_vec(), row[5..].to_vec()]),
            _ => lines.extend(row.windows(2).map(<[_]>::to_vec)),
        }
    }
    for c in 1..columns {
        lines.extend(nodes.windows(2).map(|pair| vec![pair[0][c], pair[1][c]]));
    }
    for line in &mut lines {
        let last = line.len() - 1;
        for end in [0, last] {
            line[end].0 += jitter(0.1);
            line[end].1 += jitter(0.1);
        }
    }
    lines
}

/// One action of a person drawing.
#[derive(Debug, Clone)]
enum Action {
    Move {
        line: usize,
        point: usize,
        by: (f64, f64),
    },
    /// Moves a point onto a line, or almost onto it.
    Snap {
        line: usize,
        point: usize,
        onto: usize,
        share: f64,
        off: f64,
    },
    Add {
        from: (f64, f64),
        to: (f64, f64),
        face_mm: f64,
    },
    /// A line from one line to another, ending on them or almost on them.
    Bridge {
        from: usize,
        to: usize,
        shares: (f64, f64),
        off: f64,
    },
    /// The same line again, or almost the same.
    Double {
        line: usize,
        off: f64,
    },
    Remove {
        line: usize,
    },
    Split {
        line: usize,
        share: f64,
    },
    Width {
        line: usize,
        face_mm: f64,
    },
    Reverse {
        line: usize,
    },
}

fn action() -> impl Strategy<Value = Action> {
    let n = || any::<prop::sample::Index>().prop_map(|index| index.index(1 << 20));
    let share = || 0.0..1.0_f64;
    let off = || prop_oneof![2 => Just(0.0), 3 => -0.25..0.25_f64, 1 => Just(1e-6)];
    let place = || (-10.0..WIDTH + 10.0, -10.0..HEIGHT + 10.0);
    let face = || prop_oneof![Just(4.0), Just(6.0), 3.0..30.0_f64];
    prop_oneof![
        8 => (n(), n(), (-20.0..20.0_f64, -20.0..20.0_f64))
            .prop_map(|(line, point, by)| Action::Move { line, point, by }),
        2 => (n(), n(), (-0.3..0.3_f64, -0.3..0.3_f64))
            .prop_map(|(line, point, by)| Action::Move { line, point, by }),
        4 => (n(), n(), n(), share(), off())
            .prop_map(|(line, point, onto, share, off)| Action::Snap { line, point, onto, share, off }),
        1 => (place(), place(), face()).prop_map(|(from, to, face_mm)| Action::Add { from, to, face_mm }),
        2 => (place(), -30.0..30.0_f64, -30.0..30.0_f64, face()).prop_map(|(from, x, y, face_mm)| {
            Action::Add { from, to: (from.0 + x, from.1 + y), face_mm }
        }),
        3 => (n(), n(), (share(), share()), off())
            .prop_map(|(from, to, shares, off)| Action::Bridge { from, to, shares, off }),
        2 => (n(), off()).prop_map(|(line, off)| Action::Double { line, off }),
        3 => n().prop_map(|line| Action::Remove { line }),
        2 => (n(), share()).prop_map(|(line, share)| Action::Split { line, share }),
        2 => (n(), face()).prop_map(|(line, face_mm)| Action::Width { line, face_mm }),
        1 => n().prop_map(|line| Action::Reverse { line }),
    ]
}

fn between(line: &[(f64, f64)], share: f64) -> (f64, f64) {
    let at = share * (line.len() - 1) as f64;
    let i = (at as usize).min(line.len() - 2);
    let (a, b, s) = (line[i], line[i + 1], at - i as f64);
    (a.0 + (b.0 - a.0) * s, a.1 + (b.1 - a.1) * s)
}

/// The edits of an action, which are also applied to `lines`.
fn edits(action: &Action, lines: &mut Vec<(Vec<(f64, f64)>, f64)>) -> Vec<LineEdit> {
    let count = lines.len().max(1);
    if lines.is_empty() {
        return vec![];
    }
    let replace = |lines: &[(Vec<(f64, f64)>, f64)], index: usize| LineEdit::ReplaceCutline {
        index,
        cutline: cutline(&lines[index].0, lines[index].1),
    };
    let insert = |lines: &mut Vec<(Vec<(f64, f64)>, f64)>, index: usize, points: Vec<(f64, f64)>, face_mm| {
        let edit = LineEdit::InsertCutline { index, cutline: cutline(&points, face_mm) };
        lines.insert(index, (points, face_mm));
        edit
    };
    match *action {
        Action::Move { line, point, by } => {
            let line = line % count;
            let point = point % lines[line].0.len();
            lines[line].0[point].0 += by.0;
            lines[line].0[point].1 += by.1;
            vec![replace(lines, line)]
        }
        Action::Snap { line, point, onto, share, off } => {
            let (line, onto) = (line % count, onto % count);
            let point = point % lines[line].0.len();
            let (x, y) = between(&lines[onto].0, share);
            lines[line].0[point] = (x + off, y + off);
            vec![replace(lines, line)]
        }
        Action::Add { from, to, face_mm } => vec![insert(lines, count / 2, vec![from, to], face_mm)],
        Action::Bridge { from, to, shares, off } => {
            let (a, b) = (between(&lines[from % count].0, shares.0), between(&lines[to % count].0, shares.1));
            vec![insert(lines, count, vec![a, (b.0 + off, b.1)], 5.0)]
        }
        Action::Double { line, off } => {
            let mut points = lines[line % count].0.clone();
            points.iter_mut().for_each(|p| p.0 += off);
            vec![insert(lines, 0, points, 5.0)]
        }
        Action::Remove { line } => {
            lines.remove(line % count);
            vec![LineEdit::RemoveCutline { index: line % count }]
        }
        Action::Split { line, share } => {
            let line = line % count;
            let (points, face_mm) = lines[line].clone();
            let at = between(&points, share);
            let i = ((share * (points.len() - 1) as f64) as usize).min(points.len() - 2);
            let mut second = vec![at];
            second.extend_from_slice(&points[i + 1..]);
            lines[line].0 = points[..=i].to_vec();
            lines[line].0.push(at);
            let first = replace(lines, line);
            vec![first, insert(lines, line + 1, second, face_mm)]
        }
        Action::Width { line, face_mm } => {
            lines[line % count].1 = face_mm;
            vec![replace(lines, line % count)]
        }
        Action::Reverse { line } => {
            lines[line % count].0.reverse();
            vec![replace(lines, line % count)]
        }
    }
}

/// Applies the actions one by one, and each time compares the panel with one built from scratch.
fn follow(mut lines: Vec<(Vec<(f64, f64)>, f64)>, actions: &[Action]) -> Result<(), TestCaseError> {
    let options = PanelOptions::default();
    let cutlines = lines.iter().map(|(points, face_mm)| cutline(points, *face_mm)).collect();
    let mut live = LivePanel::new(drawing(cutlines), options).expect("a panel");
    for action in actions {
        let before = live.panel().clone();
        let change = live.apply(&edits(action, &mut lines)).expect("a panel");
        let anew = panel_from_drawing(live.drawing(), &options).expect("a panel");
        same(live.panel(), &anew)?;
        check_change(&before, &anew, &change)?;
    }
    Ok(())
}

fn same(live: &panel::Panel, anew: &panel::Panel) -> Result<(), TestCaseError> {
    prop_assert_eq!(live.pieces.len(), anew.pieces.len());
    prop_assert_eq!(live.leads.len(), anew.leads.len());
    for (index, (a, b)) in live.pieces.iter().zip(&anew.pieces).enumerate() {
        prop_assert_eq!(a, b, "piece {}", index);
    }
    for (index, (a, b)) in live.leads.iter().zip(&anew.leads).enumerate() {
        prop_assert_eq!(a, b, "lead {}", index);
    }
    prop_assert_eq!(&live.joints, &anew.joints);
    prop_assert_eq!(&live.notes, &anew.notes);
    prop_assert_eq!(&live.open_ends, &anew.open_ends);
    prop_assert_eq!(live, anew);
    Ok(())
}

fn check_change(
    before: &panel::Panel,
    now: &panel::Panel,
    change: &panel::PanelChange,
) -> Result<(), TestCaseError> {
    prop_assert_eq!(change.pieces.len(), now.pieces.len());
    prop_assert_eq!(change.leads.len(), now.leads.len());
    prop_assert_eq!(change.joints.len(), now.joints.len());
    for (piece, old) in now.pieces.iter().zip(&change.pieces) {
        let same = before
            .pieces
            .iter()
            .position(|b| b.outline == piece.outline && b.light == piece.light && b.cut == piece.cut);
        prop_assert_eq!(same, *old);
    }
    for (lead, old) in now.leads.iter().zip(&change.leads) {
        let same = before.leads.iter().position(|b| b.points == lead.points && b.face_mm == lead.face_mm);
        prop_assert_eq!(same, *old);
    }
    for (joint, old) in now.joints.iter().zip(&change.joints) {
        prop_assert_eq!(before.joints.iter().position(|b| b.at == joint.at), *old);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_live_panel_equals_one_built_from_scratch(
        seed in prop::collection::vec(0.0..1.0_f64, 64),
        actions in prop::collection::vec(action(), 1..10),
    ) {
        let lines = grid_lines(&seed).into_iter().map(|line| (line, 5.0)).collect();
        follow(lines, &actions)?;
    }

    // Few long lines right across: every line crosses most others, and a change reaches far.
    #[test]
    fn long_lines_are_kept_in_step(
        lines in prop::collection::vec(((0.0..HEIGHT, 0.0..HEIGHT), (0.0..WIDTH, 0.0..WIDTH)), 3..8),
        actions in prop::collection::vec(action(), 1..8),
    ) {
        let across = lines.iter().map(|((a, b), _)| vec![(-5.0, *a), (WIDTH + 5.0, *b)]);
        let upright = lines.iter().map(|(_, (a, b))| vec![(*a, 0.05), (*b, HEIGHT - 0.05)]);
        follow(across.chain(upright).map(|line| (line, 6.0)).collect(), &actions)?;
    }

    // On a coarse lattice lines coincide, end on one another and meet in one point all the time.
    #[test]
    fn coincidences_are_kept_in_step(
        ends in prop::collection::vec((0..9_u32, 0..9_u32, 0..9_u32, 0..9_u32), 4..24),
        moves in prop::collection::vec((0..24_usize, 0..9_u32, 0..9_u32, 0..9_u32, 0..9_u32), 1..8),
    ) {
        let line = |(a, b, c, d): (u32, u32, u32, u32)| {
            let place = |x: u32, y: u32| (f64::from(x) * 75.0, f64::from(y) * 100.0);
            cutline(&[place(a, b), place(c, d)], 5.0)
        };
        let options = PanelOptions::default();
        let drawing = drawing(ends.iter().map(|&ends| line(ends)).collect());
        let mut live = LivePanel::new(drawing, options).expect("a panel");
        for &(index, a, b, c, d) in &moves {
            let index = index % ends.len();
            let edit = LineEdit::ReplaceCutline { index, cutline: line((a, b, c, d)) };
            live.apply(&[edit]).expect("a panel");
            same(live.panel(), &panel_from_drawing(live.drawing(), &options).expect("a panel"))?;
        }
    }
}

#[test]
fn a_faulty_change_changes_nothing() {
    let lines: Vec<Cutline> = grid_lines(&[0.2, 0.9, 0.4]).iter().map(|line| cutline(line, 5.0)).collect();
    let count = lines.len();
    let mut live = LivePanel::new(drawing(lines), PanelOptions::default()).expect("a panel");
    let (drawing, panel) = (live.drawing().clone(), live.panel().clone());
    let good = LineEdit::ReplaceCutline { index: 3, cutline: cutline(&[(0.0, 0.0), (600.0, 800.0)], 5.0) };
    let bad_path = Cutline { path: "M0 0L5 x".into(), face_mm: 5.0 };
    let bad_width = Cutline { path: "M0 0L5 5".into(), face_mm: -5.0 };
    let bar = Bar { path: "nonsense".into(), diameter_mm: 9.0 };
    let faulty = [
        LineEdit::ReplaceCutline { index: 0, cutline: bad_path.clone() },
        LineEdit::InsertCutline { index: 7, cutline: bad_width },
        LineEdit::ReplaceCutline { index: count, cutline: bad_path.clone() },
        LineEdit::InsertCutline { index: count + 1, cutline: bad_path },
        LineEdit::RemoveCutline { index: usize::MAX },
        LineEdit::ReplaceBars(vec![bar]),
        LineEdit::ReplaceOutline(Outline { path: "M0 0H9".into(), face_mm: 5.0 }),
    ];
    for bad in faulty {
        let remove = LineEdit::RemoveCutline { index: 1 };
        let error = live.apply(&[good.clone(), remove.clone(), remove, bad.clone()]).expect_err("faulty");
        let is_index = matches!(error.faults[..], [PanelFault::NoSuchLine { .. }]);
        let is_beyond = match bad {
            LineEdit::ReplaceCutline { index, .. } | LineEdit::RemoveCutline { index } => index > 3,
            LineEdit::InsertCutline { index, .. } => index > 7,
            _ => false,
        };
        assert_eq!(is_index, is_beyond, "{error}");
        assert_eq!(live.drawing(), &drawing);
        assert_eq!(live.panel(), &panel);
    }
}

#[test]
fn outline_and_bars_are_kept_in_step() {
    let lines: Vec<Cutline> = grid_lines(&[0.7, 0.1, 0.3]).iter().map(|line| cutline(line, 5.0)).collect();
    let mut live = LivePanel::new(drawing(lines), PanelOptions::default()).expect("a panel");
    let bars = vec![
        Bar { path: "M-10 300H610".into(), diameter_mm: 9.5 },
        Bar { path: String::new(), diameter_mm: 8.0 },
    ];
    let change = live.apply(&[LineEdit::ReplaceBars(bars)]).expect("a panel");
    assert!(change.bars && !change.opening);
    assert!(change.pieces.iter().enumerate().all(|(now, old)| *old == Some(now)));
    assert_eq!(live.panel(), &panel_from_drawing(live.drawing(), live.options()).expect("a panel"));
    let outline = Outline { path: "M0 0H600V700L300 800L0 700Z".into(), face_mm: 12.0 };
    let change = live.apply(&[LineEdit::ReplaceOutline(outline)]).expect("a panel");
    assert!(change.opening && !change.bars);
    assert!(change.pieces.iter().flatten().count() > 50 && change.pieces.contains(&None));
    assert_eq!(live.panel(), &panel_from_drawing(live.drawing(), live.options()).expect("a panel"));
}

#[test]
fn pieces_away_from_an_edit_are_reported_unchanged() {
    let lines = grid_lines(&[0.7, 0.1, 0.3, 0.8, 0.5]);
    let cutlines = lines.iter().map(|line| cutline(line, 5.0)).collect();
    let mut live = LivePanel::new(drawing(cutlines), PanelOptions::default()).expect("a panel");
    let count = live.panel().pieces.len();
    assert_eq!(count, 130);
    // The longest line's middle point: four pieces meet there.
    let (index, line) = lines.iter().enumerate().max_by_key(|(_, line)| line.len()).expect("lines");
    let mut line = line.clone();
    line[5].1 += 3.0;
    let edit = LineEdit::ReplaceCutline { index, cutline: cutline(&line, 5.0) };
    let change = live.apply(&[edit]).expect("a panel");
    let new = change.pieces.iter().filter(|old| old.is_none()).count();
    assert!((4..=12).contains(&new), "{new} of {count}");
    assert!(live.panel().leads.iter().any(|lead| lead.line == Line::Cutline(index)));
}
