//! Measurements and directions that cannot be computed with are refused by name.

use plane::RoomVector;
use surroundings::{Block, Exchange, Fineness, Light, Reflectances, Site};

use crate::site::{block, for_site, free, street};

const BOX: Block = Block { distance_m: 11.0, x_m: [-4.0, 6.0], height_m: 13.0, depth_m: 7.0 };

#[test]
fn measurements_out_of_range_name_their_field() {
    let wrong: [(Site, &str); 12] = [
        (free(0.0, 0.0), "window_middle_height_m"),
        (free(f64::NAN, 0.0), "window_middle_height_m"),
        (free(2.0, -1.0), "own_building.height_m"),
        (free(2.0, f64::INFINITY), "own_building.height_m"),
        (street(2.0, 0.0, 0.0, 5.0), "block.distance_m"),
        (street(2.0, 0.0, 5.0, -5.0), "block.height_m"),
        (street(2.0, 0.0, 1e300, 5.0), "block.distance_m"),
        (block(2.0, 0.0, Block { distance_m: f64::NAN, ..BOX }), "block.distance_m"),
        (block(2.0, 0.0, Block { x_m: [1.0, 1.0], ..BOX }), "block.x1_m"),
        (block(2.0, 0.0, Block { x_m: [f64::NEG_INFINITY, 1.0], ..BOX }), "block.x0_m"),
        (block(2.0, 0.0, Block { height_m: -1.0, ..BOX }), "block.height_m"),
        (block(2.0, 0.0, Block { depth_m: -1.0, ..BOX }), "block.depth_m"),
    ];
    for (site, field) in wrong {
        let fault = Exchange::new(&site, Fineness::Quick).unwrap_err();
        assert_eq!(fault.field, field);
        assert!(fault.to_string().contains(": expected ") && fault.to_string().contains(", found "));
    }
}

#[test]
fn the_nearest_measurements_within_range_are_those_that_are_taken() {
    let site = block(2.0, 20_000.0, Block { distance_m: 0.09, height_m: 1e9, ..BOX });
    let within = site.within_limits();
    assert_eq!(
        (within.own_height_m, within.blocks[0].distance_m, within.blocks[0].height_m),
        (1e4, 0.1, 1e4)
    );
    assert!(site.check().is_err() && within.check().is_ok());
    let usual = block(2.0, 10.0, BOX);
    assert_eq!(usual.within_limits(), usual);
}

#[test]
fn light_and_looks_out_of_range_name_their_field() {
    let site = free(2.0, 10.0);
    let exchange = Exchange::new(&site, Fineness::Quick).unwrap();
    let sky = |_: RoomVector| [1.0];
    let lit = |sun: Option<RoomVector>, beam: f64, rho: [f64; 3]| {
        exchange.lit(
            Light { sky: &sky, edges: &surroundings::no_edges, sun, beam_normal: [beam] },
            &for_site(rho, &site),
        )
    };
    let field = |beam: f64, rho: [f64; 3]| lit(None, beam, rho).err().unwrap().field;
    assert_eq!(lit(Some(RoomVector::new(0.0, 2.0, 0.0)), 1.0, [0.2; 3]).err().unwrap().field, "sun");
    assert_eq!(field(-1.0, [0.2, 0.2, 0.2]), "sky.beam_normal_lx");
    assert_eq!(field(0.0, [1.1, 0.2, 0.2]), "ground_reflectance");
    assert_eq!(field(0.0, [0.2, f64::NAN, 0.2]), "own_building.reflectance");
    let light = || Light { sky: &sky, edges: &surroundings::no_edges, sun: None, beam_normal: [0.0] };
    let one_too_many = Reflectances { ground: [0.2], own_building: [0.2], blocks: vec![[0.2]] };
    assert_eq!(exchange.lit(light(), &one_too_many).err().unwrap().field, "block.reflectance");
    let with_block = block(2.0, 10.0, BOX);
    let negative = for_site([0.2, 0.2, -0.1], &with_block);
    let found = Exchange::new(&with_block, Fineness::Quick).unwrap().lit(light(), &negative);
    assert_eq!(found.err().unwrap().field, "block.reflectance");
    let lit = lit(None, 0.0, [0.2; 3]).unwrap();
    assert_eq!(lit.met(RoomVector::toward_sky(120.0, -10.0)).unwrap_err().field, "look");
    assert_eq!(lit.met(RoomVector::ZERO).unwrap_err().field, "look");
    assert_eq!(lit.met(RoomVector::new(f64::NAN, 0.0, 0.0)).unwrap_err().field, "look");
}
