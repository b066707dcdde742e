//! The glasses of the library are named by what they look like by day: the colour words of a name are true of its colour.
//!
//! The colour is CIELAB of the total transmittance at normal incidence, at the nominal thickness, in D65, relative to D65
//! itself, 2° observer: lightness L*, chroma C*, hue angle h in degrees. The ranges of the words are ours, set by eye
//! between the centres of everyday use (assumption); neighbouring words overlap.

use std::ops::RangeInclusive;

use glass::{Glass, Makeup, library};
use spectra::{Observer, Xyz, chroma_and_hue_deg, illuminant};

/// L*, C* and h, degrees.
#[derive(Clone, Copy, Debug)]
struct Colour {
    l: f64,
    c: f64,
    h: f64,
}

/// The colours that a word may describe. A range of hues that begins beyond its end passes through 0°.
struct Range {
    l: RangeInclusive<f64>,
    c: RangeInclusive<f64>,
    h: (f64, f64),
}

const ANY: (f64, f64) = (0.0, 360.0);

impl Range {
    fn has(&self, colour: Colour) -> bool {
        let (from, to) = self.h;
        let hue =
            if from <= to { (from..=to).contains(&colour.h) } else { colour.h >= from || colour.h <= to };
        hue && self.l.contains(&colour.l) && self.c.contains(&colour.c)
    }
}

/// What a colour word means; compounds before the words that they end with. `None` for other words.
fn meaning(word: &str) -> Option<Range> {
    let (l, c, h) = match word {
        "clear" => (90.0..=100.0, 0.0..=4.0, ANY),
        "white" => (75.0..=100.0, 0.0..=10.0, ANY),
        "grey" => (45.0..=88.0, 0.0..=8.0, ANY),
        "cream" => (70.0..=100.0, 10.0..=25.0, (85.0, 115.0)),
        "straw" => (80.0..=100.0, 6.0..=35.0, (85.0, 120.0)),
        "yellow" => (65.0..=100.0, 25.0..=200.0, (80.0, 110.0)),
        "amber" => (40.0..=80.0, 45.0..=200.0, (60.0, 92.0)),
        "yellow-orange" => (60.0..=90.0, 60.0..=200.0, (70.0, 88.0)),
        "orange" => (50.0..=80.0, 60.0..=200.0, (50.0, 75.0)),
        "brown" => (20.0..=70.0, 8.0..=60.0, (40.0, 95.0)),
        "sand" => (60.0..=85.0, 8.0..=35.0, (65.0, 100.0)),
        "bronze" => (30.0..=90.0, 3.0..=50.0, (50.0, 95.0)),
        "olive" => (35.0..=70.0, 12.0..=50.0, (95.0, 120.0)),
        "red" => (0.0..=60.0, 30.0..=200.0, (10.0, 50.0)),
        "ruby" => (0.0..=45.0, 45.0..=200.0, (5.0, 45.0)),
        "brick" => (30.0..=55.0, 25.0..=55.0, (25.0, 45.0)),
        "wine" => (15.0..=40.0, 20.0..=50.0, (0.0, 30.0)),
        "rose" => (55.0..=80.0, 15.0..=40.0, (350.0, 25.0)),
        "pink" => (65.0..=100.0, 15.0..=60.0, (335.0, 25.0)),
        "pinkish" => (0.0..=100.0, 3.0..=12.0, (330.0, 30.0)),
        "purplish" => (0.0..=100.0, 3.0..=60.0, (325.0, 355.0)),
        "purple" => (0.0..=65.0, 25.0..=200.0, (315.0, 350.0)),
        "lilac" => (75.0..=100.0, 8.0..=40.0, (290.0, 325.0)),
        "violet" | "violet-blue" => (0.0..=75.0, 25.0..=200.0, (295.0, 325.0)),
        "blue" => (0.0..=90.0, 12.0..=200.0, (225.0, 318.0)),
        "sky" => (70.0..=95.0, 10.0..=30.0, (225.0, 270.0)),
        "peacock" => (40.0..=75.0, 35.0..=200.0, (215.0, 240.0)),
        "turquoise" => (55.0..=90.0, 30.0..=200.0, (180.0, 215.0)),
        "aquamarine" => (80.0..=100.0, 10.0..=35.0, (180.0, 215.0)),
        "blue-green" => (30.0..=90.0, 20.0..=200.0, (175.0, 225.0)),
        "bluish" => (0.0..=100.0, 3.0..=200.0, (165.0, 225.0)),
        "sea-green" => (50.0..=95.0, 7.0..=60.0, (160.0, 205.0)),
        "green" => (20.0..=95.0, 12.0..=200.0, (125.0, 185.0)),
        "greenish" => (0.0..=100.0, 3.0..=12.0, (130.0, 205.0)),
        "emerald" => (40.0..=75.0, 50.0..=200.0, (145.0, 165.0)),
        "grass" => (40.0..=80.0, 50.0..=200.0, (115.0, 140.0)),
        "yellow-green" => (60.0..=95.0, 30.0..=200.0, (110.0, 132.0)),
        _ => return None,
    };
    Some(Range { l, c, h })
}

/// What is said of a colour's depth.
fn depth(word: &str) -> Option<Range> {
    let (l, c) = match word {
        "pale" => (65.0..=100.0, 0.0..=40.0),
        "mid" => (45.0..=70.0, 0.0..=200.0),
        "deep" => (0.0..=75.0, 40.0..=200.0),
        "dark" => (0.0..=55.0, 0.0..=200.0),
        "midnight" => (0.0..=25.0, 0.0..=200.0),
        _ => return None,
    };
    Some(Range { l, c, h: ANY })
}

/// Words for what a glass is coloured with, how it is made or where it comes from.
const OTHER_WORDS: &str = "acid-matted and bottle cadmium cathedral cobalt copper flashed float gold hammered low-iron \
    manganese medieval neodymium neutral nickel old opal potash rolled royal seedy selenium smoky soda streaky thin \
    vanadium wispy";

fn colour(makeup: &Makeup) -> Colour {
    let light = illuminant::d65();
    let optics = makeup.optics(0.0);
    let through = optics.regular_transmittance + optics.diffuse_transmittance;
    let white = Xyz::white(&light, Observer::Cie1931).unwrap();
    let lab = Xyz::of_transmission(&through, &light, Observer::Cie1931).lab(white).unwrap();
    let (c, h) = chroma_and_hue_deg(lab);
    Colour { l: lab.l, c, h: h.unwrap_or(0.0) }
}

/// The colours of a glass: one, or those of both ends of its streaks.
fn colours(glass: &Glass) -> Vec<Colour> {
    let mut makeup = Makeup::single(glass.clone().into(), glass.thickness.nominal_mm);
    let ends: &[f64] = if glass.streak.is_some() { &[0.0, 1.0] } else { &[0.0] };
    let at = |mix: &f64| {
        (makeup.plates[0].streak_mix, makeup.plates[0].streak_sd) = (*mix, 0.0);
        colour(&makeup)
    };
    ends.iter().map(at).collect()
}

/// The words of one part of a name that are not true of any of these colours.
fn untrue(part: &str, colours: &[Colour]) -> Vec<String> {
    let text = part.to_lowercase().replace("sea green", "sea-green").replace("sky-blue", "sky blue");
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut wrong = Vec::new();
    if !words.iter().any(|word| meaning(word).is_some()) {
        wrong.push(format!("no colour word in {part:?}"));
    }
    for word in words {
        match meaning(word).or_else(|| depth(word)) {
            Some(range) if colours.iter().any(|colour| range.has(*colour)) => {}
            Some(_) => wrong.push(format!("{word:?} is untrue of {colours:.1?}")),
            None if OTHER_WORDS.split_whitespace().any(|other| other == word) => {}
            None => wrong.push(format!("{word:?} has no meaning here")),
        }
    }
    wrong
}

#[test]
fn the_colour_words_of_every_name_are_true_of_the_glass() {
    let mut faults = Vec::new();
    for glass in library() {
        // "Flashed ruby on pale yellow": the flash on its base, then the base alone.
        let (front, base) = glass.name.split_once(" on ").unwrap_or((&glass.name, ""));
        faults.extend(untrue(front, &colours(glass)).iter().map(|fault| format!("{}: {fault}", glass.name)));
        if !base.is_empty() {
            let mut makeup = Makeup::single(glass.clone(), glass.thickness.nominal_mm);
            makeup.plates[0].flash_left = 0.0;
            let alone = untrue(base, &[colour(&makeup)]);
            faults.extend(alone.iter().map(|fault| format!("{}: {fault}", glass.name)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_two_glasses_have_one_name() {
    let mut names: Vec<String> = library().iter().map(|glass| glass.name.to_lowercase()).collect();
    names.sort();
    let all = names.len();
    names.dedup();
    assert_eq!(names.len(), all);
}

// A name that the ranges must refuse, whatever they are changed to.
#[test]
fn wrong_names_are_refused() {
    let of = |id: &str| colours(glass::find(id).unwrap());
    for (id, name) in [
        ("olive", "Olive"),
        ("emerald", "Emerald"),
        ("leaf-green", "Grass green"),
        ("iron-brown", "Iron brown"),
        ("steel-blue", "Deep blue"),
        ("clear-soda", "Soda"),
        ("amber", "Chartreuse"),
    ] {
        assert!(!untrue(name, &of(id)).is_empty(), "{name} for {id}");
    }
}
