//! Dirt and corrosion on the leaded glass itself.

use scene::{
    Change, ChangeSet, Changed, Deposit, DepositKind, Deposits, Edit, Face, OpenScene, Scene, change_pieces,
    deposits_of, difference, read, read_edit, resolve, write,
};
use serde_json::json;

fn two_pieces() -> Scene {
    let path = format!("{}/tests/two-pieces.json", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn dirt(loss: f64) -> Deposit {
    Deposit { kind: DepositKind::Dirt, loss, scatters: None, lobe: None, source: String::new() }
}

fn outside(deposit: Deposit) -> Deposits {
    Deposits { outside: Some(deposit), inside: None }
}

fn set(scene: &mut Scene, deposits: Deposits) -> Edit {
    Edit::SetDeposits { window: "west".to_owned(), deposits }.apply(scene).unwrap()
}

#[test]
fn a_piece_differs_from_its_window_face_by_face() {
    let mut scene = two_pieces();
    set(&mut scene, outside(dirt(0.08)));
    let crust = Deposit {
        kind: DepositKind::Corrosion,
        loss: 0.3,
        scatters: Some(0.6),
        lobe: None,
        source: "seen on site".to_owned(),
    };
    scene.windows[0].pieces[1].makeup.deposits = Deposits { outside: Some(crust), inside: Some(dirt(0.02)) };
    let resolved = resolve(&scene, None).unwrap();
    let of = |id: u32| resolved.windows[0].pieces.iter().find(|p| p.id == id).unwrap().makeup.deposits;
    assert_eq!(of(1), glass::Deposits { outside: glass::Dirt::USUAL, inside: glass::Dirt::NONE });
    assert_eq!(of(2).outside, glass::Dirt { loss: 0.3, diffuse_share: 0.6, lobe: glass::Lobe::CORROSION });
    assert_eq!(of(2).inside, glass::Dirt::with_loss(0.02));
    assert_eq!(
        scene::deposits_in_words(&resolved),
        [
            "dirt: on window “west”, dirt outside takes 8 % of the light (assumption)",
            "dirt: on window “west”, 1 piece states its own dirt or corrosion"
        ]
    );
    // A clean piece in a dirty window.
    scene.windows[0].pieces[1].makeup.deposits = outside(dirt(0.0));
    let clean = deposits_of(&scene.windows[0], &scene.windows[0].pieces[1].makeup);
    assert_eq!(clean.outside.map(|d| d.loss), Some(0.0));
}

/// Kept up to date edit by edit, the window is what it is when built anew.
#[test]
fn edits_reach_the_glass_and_can_be_undone() {
    let mut open = resolve(&two_pieces(), None).unwrap();
    let before = open.scene.clone();
    let applied =
        open.apply(Edit::SetDeposits { window: "west".to_owned(), deposits: outside(dirt(0.2)) }).unwrap();
    assert!(applied.changes.windows["west"].deposits && applied.changes.glazing());
    assert_eq!(applied.changes.words(), "dirt on window “west”");
    let added = change_pieces(&open.scene, "west", &[1, 2], &Change::AddDeposit { face: Face::Inside });
    let mut with = open.scene.clone();
    added.unwrap().unwrap().edit.apply(&mut with).unwrap();
    let change =
        Change::Deposit { face: Face::Inside, kind: None, loss: Some(0.1), scatters: None, source: None };
    let changed = change_pieces(&with, "west", &[1, 2], &change).unwrap().unwrap();
    assert_eq!(changed.pieces, 2);
    let second = open.apply(changed.edit).unwrap();
    assert_eq!(second.changes.words(), "dirt of 2 pieces");
    let anew = resolve(&open.scene, None).unwrap();
    for (a, b) in open.windows[0].pieces.iter().zip(&anew.windows[0].pieces) {
        assert_eq!(a.makeup, b.makeup);
        assert!((a.makeup.deposits.outside.loss - 0.2).abs() < 1e-12);
        assert!((a.makeup.deposits.inside.loss - 0.1).abs() < 1e-12);
    }
    // Copied glass leaves the dirt where it lies.
    let copied = open.scene.windows[0].pieces[0].makeup.clone();
    let change = Change::Makeup {
        makeup: scene::Makeup { deposits: outside(dirt(0.9)), ..copied },
        drawn_share: Vec::new(),
    };
    let changed = change_pieces(&open.scene, "west", &[2], &change).unwrap().unwrap();
    let mut with = open.scene.clone();
    changed.edit.apply(&mut with).unwrap();
    assert_eq!(with.windows[0].pieces[1].makeup.deposits, open.scene.windows[0].pieces[1].makeup.deposits);

    open.apply(second.inverse).unwrap();
    open.apply(applied.inverse).unwrap();
    assert_eq!(open.scene, before);
}

#[test]
fn only_a_scene_with_deposits_needs_the_newest_version() {
    let mut scene = two_pieces();
    let without = write(&scene);
    assert!(!without.contains("deposits"));
    let inverse = set(&mut scene, outside(dirt(0.1)));
    assert_eq!(scene.clerestory, 5);
    let with = write(&scene);
    assert_eq!(read(&with).unwrap(), scene);
    let fault = &read(&with.replacen("\"clerestory\": 5", "\"clerestory\": 4", 1)).unwrap_err().0[0];
    assert!(
        fault.expected.starts_with("5,") && fault.expected.contains("`deposits` (in windows[0])"),
        "{fault}"
    );
    assert_eq!(difference(&two_pieces(), &scene).len(), 1);
    inverse.apply(&mut scene).unwrap();
    assert_eq!(write(&scene), without);
    // On a single piece, and in a variant.
    let mut piece = two_pieces();
    let mut makeup = piece.windows[0].pieces[0].makeup.clone();
    makeup.deposits = outside(dirt(0.1));
    let edit = Edit::SetMakeup { window: "west".to_owned(), piece: 1, makeup };
    edit.clone().apply(&mut piece).unwrap();
    assert_eq!(piece.clerestory, 5);
    let mut variant = two_pieces();
    let mut variants = variant.variants.clone();
    variants[0].edits = vec![edit];
    Edit::SetVariants { variants }.apply(&mut variant).unwrap();
    assert_eq!(variant.clerestory, 5);
    let older = write(&variant).replacen("\"clerestory\": 5", "\"clerestory\": 4", 1);
    assert!(read(&older).unwrap_err().0[0].expected.contains("variants[0].edits[0]"));
}

#[test]
fn only_a_thickness_with_a_deviation_needs_the_newest_version() {
    let mut scene = two_pieces();
    let without = write(&scene);
    let mut makeup = scene.windows[0].pieces[0].makeup.clone();
    makeup.plates[0].thickness_sd_mm = Some(0.3);
    let edit = Edit::SetMakeup { window: "west".to_owned(), piece: 1, makeup };
    let inverse = edit.apply(&mut scene).unwrap();
    assert_eq!(scene.clerestory, 5);
    let with = write(&scene);
    assert_eq!(read(&with).unwrap(), scene);
    let fault = &read(&with.replacen("\"clerestory\": 5", "\"clerestory\": 4", 1)).unwrap_err().0[0];
    assert!(fault.expected.starts_with("5,") && fault.expected.contains("`thickness_sd_mm`"), "{fault}");
    let beyond = with.replacen("\"thickness_sd_mm\": 0.3", "\"thickness_sd_mm\": -0.3", 1);
    assert!(read(&beyond).unwrap_err().0[0].path.contains("thickness_sd_mm"));
    inverse.apply(&mut scene).unwrap();
    assert_eq!(write(&scene), without);
}

#[test]
fn numbers_out_of_range_are_refused_with_their_place() {
    let edit =
        json!({ "edit": "set_deposits", "window": "west", "deposits": { "outside": { "loss": 1.5 } } });
    let fault = &read_edit(&edit.to_string()).unwrap_err().0[0];
    assert_eq!(fault.path, "deposits.outside.loss");
    let edit = json!({ "edit": "set_deposits", "window": "west", "deposits": { "behind": { "loss": 0.5 } } });
    assert!(!read_edit(&edit.to_string()).unwrap_err().0.is_empty());
    let mut scene = two_pieces();
    let edit = Edit::SetDeposits { window: "east".to_owned(), deposits: Deposits::default() };
    assert!(edit.apply(&mut scene).unwrap_err().to_string().contains("east"));
    assert!(
        !ChangeSet::of(
            &Edit::SetDeposits { window: "west".to_owned(), deposits: Deposits::default() },
            &scene
        )
        .glazing()
    );
}

#[test]
fn history_and_journal_keep_them() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let edit = Edit::SetDeposits { window: "west".to_owned(), deposits: outside(dirt(0.1)) };
    open.make(edit).unwrap();
    let mut again = OpenScene::from_record(&open.record_text()).unwrap();
    assert_eq!(again.file(), open.file());
    again.step(true).unwrap();
    assert_eq!(again.file().clerestory, 2);
    // The undone edit is still of the newest version.
    assert!(
        again.record_text().contains("\"clerestory\":5") || again.record_text().contains("\"clerestory\": 5")
    );
}

fn change(scene: &mut Scene, pieces: &[u32], change: serde_json::Value) -> Option<Changed> {
    let change: Change = serde_json::from_value(change).unwrap();
    let changed = change_pieces(scene, "west", pieces, &change).unwrap()?;
    changed.edit.clone().apply(scene).unwrap();
    Some(changed)
}

fn on_piece(scene: &Scene, piece: usize, face: Face) -> Option<Deposit> {
    let window = &scene.windows[0];
    deposits_of(window, &window.pieces[piece].makeup).on(face).cloned()
}

#[test]
fn only_what_a_change_states_changes_in_pieces_that_differ() {
    let mut scene = two_pieces();
    let crust = Deposit {
        kind: DepositKind::Corrosion,
        loss: 0.3,
        scatters: Some(0.6),
        lobe: None,
        source: "seen on site".to_owned(),
    };
    set(&mut scene, outside(dirt(0.12)));
    scene.windows[0].pieces[1].makeup.deposits = outside(crust.clone());
    let outside = Face::Outside;
    // The source: both keep kind, loss and scattering.
    let made =
        change(&mut scene, &[1, 2], json!({ "change": "deposit", "face": "outside", "source": "cleaned" }));
    assert_eq!(made.unwrap().pieces, 2);
    let source = || "cleaned".to_owned();
    assert_eq!(on_piece(&scene, 0, outside), Some(Deposit { source: source(), ..dirt(0.12) }));
    assert_eq!(on_piece(&scene, 1, outside), Some(Deposit { source: source(), ..crust.clone() }));
    // The kind: the losses stay.
    change(&mut scene, &[1, 2], json!({ "change": "deposit", "face": "outside", "kind": "corrosion" }));
    let crusted = Deposit { kind: DepositKind::Corrosion, source: source(), ..dirt(0.12) };
    assert_eq!(on_piece(&scene, 0, outside), Some(crusted));
    assert_eq!(on_piece(&scene, 1, outside), Some(Deposit { source: source(), ..crust.clone() }));
    // Scattering of one, and the loss of both.
    change(&mut scene, &[1], json!({ "change": "deposit", "face": "outside", "scatters": 0.2 }));
    change(&mut scene, &[1, 2], json!({ "change": "deposit", "face": "outside", "loss": 0.05 }));
    let both = [0, 1].map(|piece| on_piece(&scene, piece, outside).unwrap());
    assert_eq!(both.clone().map(|deposit| deposit.scatters), [Some(0.2), Some(0.6)]);
    assert_eq!(both.map(|deposit| (deposit.kind, deposit.loss)), [(DepositKind::Corrosion, 0.05); 2]);
    // A piece without any stays without.
    change(&mut scene, &[2], json!({ "change": "add_deposit", "face": "inside" }));
    let made = change(&mut scene, &[1, 2], json!({ "change": "deposit", "face": "inside", "loss": 0.2 }));
    assert_eq!(made.unwrap().pieces, 1);
    assert_eq!(on_piece(&scene, 0, Face::Inside), None);
    assert_eq!(on_piece(&scene, 1, Face::Inside), Some(dirt(0.2)));
    assert!(change(&mut scene, &[2], json!({ "change": "add_deposit", "face": "inside" })).is_none());
    // As the window again.
    change(&mut scene, &[1, 2], json!({ "change": "deposit_as_window", "face": "outside" }));
    assert_eq!([0, 1].map(|piece| on_piece(&scene, piece, outside)), [Some(dirt(0.12)), Some(dirt(0.12))]);
    assert!(
        change(&mut scene, &[1, 2], json!({ "change": "deposit_as_window", "face": "outside" })).is_none()
    );
}

#[test]
fn dirt_on_the_whole_window_is_one_edit_and_leaves_no_piece_its_own() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let mut with = open.file().clone();
    with.windows[0].deposits.inside = Some(dirt(0.02));
    with.windows[0].pieces[1].makeup.deposits =
        Deposits { outside: Some(dirt(0.4)), inside: Some(dirt(0.5)) };
    for edit in difference(open.file(), &with) {
        open.make(edit).unwrap();
    }
    let before = open.file().clone();
    let everywhere = |deposit| Change::DepositEverywhere { face: Face::Outside, deposit };
    let to_all =
        |open: &OpenScene, deposit| change_pieces(open.file(), "west", &[1], &everywhere(deposit)).unwrap();
    let changed = to_all(&open, Some(dirt(0.1))).unwrap();
    assert_eq!((changed.pieces, changed.layer), (2, Some(scene::Layer::Deposit { face: Face::Outside })));
    let made = open.make(changed.edit).unwrap();
    assert_eq!(made.changes.words(), "dirt on window “west”");
    assert_eq!(
        [0, 1].map(|piece| on_piece(open.file(), piece, Face::Outside)),
        [Some(dirt(0.1)), Some(dirt(0.1))]
    );
    assert_eq!(open.file().windows[0].pieces[1].makeup.deposits.outside, None);
    // The other face is as it was.
    assert_eq!(on_piece(open.file(), 1, Face::Inside), Some(dirt(0.5)));
    assert!(to_all(&open, Some(dirt(0.1))).is_none());
    open.step(true).unwrap();
    assert_eq!(*open.file(), before);
    // Clean everywhere, also where a piece had some of its own.
    open.make(to_all(&open, None).unwrap().edit).unwrap();
    assert_eq!([0, 1].map(|piece| on_piece(open.file(), piece, Face::Outside)), [None, None]);
    open.step(true).unwrap();
    assert_eq!(*open.file(), before);
}
