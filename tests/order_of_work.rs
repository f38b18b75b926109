//! The numbered list that goes with a set of programs.
#![allow(clippy::unwrap_used)]

use ovolo::job::Job;
use ovolo::make;
use ovolo::post::Dialect;
use ovolo::report::{order_of_work, setup_sheet};
use ovolo::shop::Shop;

const BOTH_FACES: &str = r#"
title = "Shelf"
units = "mm"
species = "yellow-poplar"
stock = { length = 220, width = 120, thickness = 19 }
hold = { tabs = { count = 2, width = 12, height = 3 } }

[[part]]
kind = "board"
name = "shelf"
length = 150
width = 80

[[part.groove]]
from = [20, 20]
to = [130, 20]
width = "1/4 in"
depth = 3
cutter = 1

[[part.groove]]
face = "bottom"
from = [20, 60]
to = [130, 60]
width = "1/4 in"
depth = 3
cutter = 1

[part.flip]
axis = "x"
pins = [12, 208]
pin-diameter = 5
"#;

#[test]
fn a_board_is_fixed_once_and_then_turned_over() {
    let job = Job::read("shelf.toml", BOTH_FACES).unwrap();
    let shop = Shop::built_in().unwrap();
    let made = make::make(&job, &shop, &Dialect::find("millimetres").unwrap()).unwrap();
    let order = order_of_work(&job, &made, None);
    let [first, second] = order.as_slice() else { panic!("{order:#?}") };
    assert!(
        first.starts_with("shelf: fix a board 220 mm long, 120 mm wide and 19 mm thick")
            && first.contains("bottom up. Run shelf-bottom.nc"),
        "{first}"
    );
    assert!(
        second.starts_with("shelf: turn the board over about its middle line along X, onto the pins. Run shelf-top.nc"),
        "{second}"
    );
    // What both faces have in common stands once.
    let sheet = setup_sheet(&job, &shop, &made, &order);
    for once in ["shelf: thickness", "where the picture shows them"] {
        assert_eq!(sheet.matches(once).count(), 1, "{once}");
    }
    assert!(sheet.contains("bottom face of shelf") && sheet.contains("face and outline of shelf"));
}
