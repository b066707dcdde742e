//! Snow goes as it came: the ground under it is that of the state shown, not of another one.

use scene::{Edit, OpenScene, Reflectance, VariantAction, read};

const TWO_PIECES: &str = include_str!("../two-pieces.json");

fn material(name: &str) -> Reflectance {
    Reflectance::Material(name.to_owned())
}

/// An open scene on this ground.
fn on(ground: &str) -> OpenScene {
    let mut open = OpenScene::new(read(TWO_PIECES).unwrap_or_else(|faults| panic!("{faults}"))).unwrap();
    set(&mut open, material(ground));
    open
}

fn set(open: &mut OpenScene, ground: Reflectance) {
    open.make(Edit::SetGround { ground }).unwrap_or_else(|faults| panic!("{faults}"));
}

fn snow(open: &mut OpenScene) {
    set(open, Reflectance::fresh_snow());
}

fn act(open: &mut OpenScene, action: VariantAction) {
    open.act_on_variants(action).unwrap_or_else(|faults| panic!("{faults}"));
}

fn add(open: &mut OpenScene, name: &str) {
    act(open, VariantAction::Add { name: name.to_owned(), note: String::new() });
}

fn show(open: &mut OpenScene, name: Option<&str>) {
    act(open, VariantAction::Show { name: name.map(str::to_owned) });
}

#[test]
fn snow_in_a_variant_lies_on_the_ground_of_the_scene_as_it_is_now() {
    let mut open = on("water");
    set(&mut open, material("soil"));
    add(&mut open, "Winter");
    snow(&mut open);
    assert_eq!(open.ground_without_snow(), material("soil"));
    // The scene as drawn goes on changing under it.
    show(&mut open, None);
    set(&mut open, material("dry grass"));
    show(&mut open, Some("Winter"));
    assert_eq!(open.ground_without_snow(), material("dry grass"));
}

#[test]
fn snow_in_the_scene_lies_on_its_own_ground_and_not_on_a_variant_s() {
    let mut open = on("soil");
    snow(&mut open);
    add(&mut open, "Yard");
    set(&mut open, material("stone paving"));
    set(&mut open, material("dry grass"));
    show(&mut open, None);
    assert_eq!(open.ground_without_snow(), material("soil"));
    // In the variant, snow lies on the variant's.
    show(&mut open, Some("Yard"));
    snow(&mut open);
    assert_eq!(open.ground_without_snow(), material("dry grass"));
    // A variant that never had a ground of its own has that of the scene.
    show(&mut open, None);
    add(&mut open, "Garden");
    assert_eq!(open.ground_without_snow(), material("soil"));
}

#[test]
fn snow_in_a_variant_lies_on_the_variant_s_last_ground() {
    let mut open = on("soil");
    add(&mut open, "Lawn");
    set(&mut open, material("stone paving"));
    set(&mut open, material("dry grass"));
    add(&mut open, "Yard");
    set(&mut open, material("water"));
    show(&mut open, Some("Lawn"));
    snow(&mut open);
    assert_eq!(open.ground_without_snow(), material("dry grass"));
    // Under another name, and beside fewer variants, it is the same variant.
    act(&mut open, VariantAction::Rename { name: "Lawn".to_owned(), to: "Winter".to_owned() });
    act(&mut open, VariantAction::Remove { name: "Yard".to_owned() });
    assert_eq!((open.shown(), open.ground_without_snow()), (Some("Winter"), material("dry grass")));
    let reopened = OpenScene::from_record(&open.record_text()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(reopened.ground_without_snow(), material("dry grass"));
    // Undone and made again, it is the same.
    for back in [true, true, false, false] {
        open.step(back).unwrap();
    }
    assert_eq!(open.ground_without_snow(), material("dry grass"));
}

#[test]
fn nothing_is_known_of_what_lies_under_the_snow_of_a_file() {
    let mut scene = read(TWO_PIECES).unwrap();
    scene.ground = Reflectance::fresh_snow();
    let mut open = OpenScene::new(scene).unwrap();
    add(&mut open, "Yard");
    set(&mut open, material("dry grass"));
    show(&mut open, None);
    assert_eq!(open.ground_without_snow(), Reflectance::Grey(0.2));
}
