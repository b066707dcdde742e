//! Light on the glass behind an outer reveal.

use plane::WallPoint;
use reveal::on_bare_wall;

use crate::common::{Worst, list, mean, number, numbers, rectangle, reference, sky};

// Within the tolerances of the file's description: direct 0.5 %, mean 1 %, at points 2 %.
#[test]
fn factors_of_every_case() {
    let mut bare = Worst::of("without reveal", 1e-3);
    let mut direct = Worst::of("mean, direct", 5e-3);
    let mut total = Worst::of("mean", 1e-2);
    let mut point_direct = Worst::of("points, direct", 5e-3);
    let mut point_total = Worst::of("points", 2e-2);
    let file = reference();
    assert_eq!(list(&file, "glass").len(), 21);
    for case in list(&file, "glass") {
        let name = case["name"].as_str().unwrap();
        let sky = sky(case);
        let reveal =
            rectangle(number(case, "width_m"), number(case, "height_m"), number(case, "outer_depth_m"));
        let without = on_bare_wall(|d| sky.luminance(d));
        bare.compare(name, without, number(case, "without_reveal_lx"));
        let reflectance = number(case, "outer_reflectance");
        let light = mean(&reveal, |d| sky.luminance(d), reflectance);
        direct.compare(name, light.direct / without, number(case, "mean_factor_direct_only"));
        total.compare(name, light.total() / without, number(case, "mean_factor"));
        let received = reveal.received(|d| sky.luminance(d));
        let exitance = reveal.exitance(&received, reflectance);
        for row in list(case, "points") {
            let row = numbers(row);
            let place = format!("{name} at {}, {}", row[0], row[1]);
            let light = reveal.at(WallPoint::new(row[0], row[1]), |d| sky.luminance(d), &exitance).unwrap();
            point_direct.compare(&place, light.direct / without, row[2]);
            point_total.compare(&place, light.total() / without, row[3]);
        }
    }
    for worst in [bare, direct, total, point_direct, point_total] {
        worst.check();
    }
}

// A point's parts average to those of the whole: 6 × 6 midpoints.
#[test]
fn points_average_to_the_mean() {
    let file = reference();
    let case = &list(&file, "glass")[3];
    let sky = sky(case);
    let (w, h) = (number(case, "width_m"), number(case, "height_m"));
    let reveal = rectangle(w, h, number(case, "outer_depth_m"));
    let received = reveal.received(|d| sky.luminance(d));
    let exitance = reveal.exitance(&received, 0.5);
    let mean = reveal.mean(&received, &exitance);
    let (mut direct, mut reflected) = (0.0, 0.0);
    for (i, j) in (0..36).map(|k| (k / 6, k % 6)) {
        let at = |i: i32, size: f64| (f64::from(i) + 0.5) / 6.0 * size;
        let light = reveal.at(WallPoint::new(at(i, w), at(j, h)), |d| sky.luminance(d), &exitance).unwrap();
        direct += light.direct / 36.0;
        reflected += light.reflected / 36.0;
    }
    assert!((direct / mean.direct - 1.0).abs() < 0.01, "{direct} {}", mean.direct);
    assert!((reflected / mean.reflected - 1.0).abs() < 0.02, "{reflected} {}", mean.reflected);
    assert!(reveal.at(WallPoint::new(-0.01, 0.5), |d| sky.luminance(d), &exitance).is_none());
}
