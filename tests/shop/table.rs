//! The table as people read it.

use crate::{built_in, figures};
use ovolo::shop::{all_materials, feeds_table};
use ovolo::units::{Shown, Unit};

fn table(species: &[&str], cutters: &[u32], unit: Unit) -> String {
    let shop = built_in();
    let mut rows = Vec::new();
    for species in species {
        for number in cutters {
            rows.push(figures(&shop, species, shop.cutter(*number).unwrap()));
        }
    }
    feeds_table(&rows, Shown { unit, parts: 64 })
}

#[test]
fn all_cutters_in_one_wood() {
    let all: Vec<u32> = (1..=10).collect();
    insta::assert_snapshot!(table(&["sugar-maple"], &all, Unit::Mm), @"
    sugar-maple
      cutter      rpm   rim     chip    feed   plunge     ramp   ramp  stepdown  stepover    force    power
                        m/s       mm  mm/min   mm/min   mm/min    deg        mm        mm        N        W
           1  24000 a   8.0  0.076 b  3658 b   1219 c   1829 d  2.5 e    1.59 f    2.86 g  1.5-5.9    12-47
           2  15100 h  10.0  0.166 i  5000 i   1500 j   2500 d  2.5 e    6.35 k    5.72 g    13-51  129-516
           3  24000 a   4.0  0.038 b  1829 b    610 c    914 d  2.5 e    0.79 f    1.43 g  0.4-1.5  1.5-5.9
           4  24000 a   8.0  0.076 b  3658 b   1219 c   1829 d  2.5 e    1.59 f    2.86 g  1.0-4.2     7-29
           5  24000 a   4.0  0.038 b  1829 b    610 c    914 d  2.5 e    0.79 f    1.43 g  0.3-1.0  0.9-3.6
           6  24000 a  16.0  0.076 b  3658 b   1219 c   1829 d  2.5 e    3.18 k    2.86 g  1.5-5.9     7-27
           7  24000 a  16.0  0.076 b  3658 b   1219 c   1829 d  2.5 e    3.18 k    2.86 g  1.5-5.9    12-47
           8  15100 h  10.0  0.166 i  5000 i  never l   2500 d  2.5 e    6.35 k    5.72 g    13-51  127-509
           9  24000 a   8.0  0.038 b  1829 b    610 c    914 d  2.5 e    0.40 f    0.71 g  0.1-0.5  0.2-0.9
          10  12000 a   3.1  0.030 m   720 m    720 m  never n  0.0 n    5.00 o    0.00 n     3-12     5-18
      a  mark on the cutter
      b  chart, halved for a light machine
      c  a third of the feed
      d  half the feed
      e  hard wood
      f  halved, stick-out over 4 D
      g  45 % of D
      h  slowest rim speed
      i  axis limit
      j  z axis limit
      k  hard wood, 1/2 D
      l  not centre-cutting
      m  chart, halved for a light machine, half for a drill
      n  straight down only
      o  a peck of 1 D
      note: cutter 9: the chart goes from 1/8 to 1/2 in; its end stands for 1.59 mm (1/16 in)
    ");
}

#[test]
fn two_woods_in_inches() {
    insta::assert_snapshot!(table(&["yellow-poplar", "mdf"], &[1, 2], Unit::In), @"
    yellow-poplar
      cutter      rpm   rim      chip     feed  plunge    ramp   ramp  stepdown  stepover    force    power
                        m/s        in   in/min  in/min  in/min    deg        in        in        N        W
           1  24000 a   8.0  0.0035 b  168.0 b  56.0 c  84.0 d  5.0 e   0.125 f   0.113 g  1.9-7.8    15-62
           2  15100 h  10.0  0.0065 i  196.9 i  59.1 j  98.4 d  5.0 e   0.500 k   0.225 g    14-58  145-581
      a  mark on the cutter
      b  chart, halved for a light machine
      c  a third of the feed
      d  half the feed
      e  soft wood
      f  halved, stick-out over 4 D
      g  45 % of D
      h  slowest rim speed
      i  axis limit
      j  z axis limit
      k  soft wood, 1 D

    mdf
      cutter      rpm   rim      chip     feed  plunge    ramp   ramp  stepdown  stepover   force     power
                        m/s        in   in/min  in/min  in/min    deg        in        in       N         W
           1  24000 a   8.0  0.0041 b  196.9 b  59.1 c  98.4 d  3.5 e   0.125 f   0.113 g    5-20    40-161
           2  15100 h  10.0  0.0065 b  196.9 b  59.1 c  98.4 d  3.5 e   0.500 i   0.225 g  32-129  323-1290
      a  mark on the cutter
      b  axis limit
      c  z axis limit
      d  half the feed
      e  sheet
      f  halved, stick-out over 4 D
      g  45 % of D
      h  slowest rim speed
      i  sheet, 1 D
    ");
}

#[test]
fn a_hand_dial_shows_its_mark() {
    let mut shop = built_in();
    shop.machine.spindle.dial = vec![ovolo::shop::DialStop { mark: "B".into(), rpm: 12_000.0 }];
    let row = figures(&shop, "mdf", shop.cutter(2).unwrap());
    let text = feeds_table(&[row], Shown { unit: Unit::Mm, parts: 64 });
    assert!(text.contains("dial mark B"), "{text}");
}

#[test]
fn no_line_is_wider_than_a_sheet() {
    let shop = built_in();
    let mut rows = Vec::new();
    for material in all_materials() {
        rows.extend(shop.cutters.iter().map(|cutter| figures(&shop, &material.name, cutter)));
    }
    for unit in [Unit::Mm, Unit::In] {
        let text = feeds_table(&rows, Shown { unit, parts: 64 });
        for line in text.lines() {
            assert!(line.chars().count() <= 110, "{line}");
        }
    }
    assert_eq!(feeds_table(&[], Shown { unit: Unit::Mm, parts: 64 }), "");
}
