//! The extents table, as people read it.
#![allow(clippy::unwrap_used)]

mod drawing_sample;

use drawing_sample::{IN, MM, Program, carved_job, cutter};
use ovolo::drawing::{extents, extents_table};
use ovolo::geometry::{point, point3};

fn two_cutters() -> Program {
    let mut p = Program::new(Some(1));
    p.up(15.0);
    p.across(point(0.0, 0.0));
    p.line(point3(0.0, 0.0, -3.0), 600.0);
    p.line(point3(100.0, 0.0, -3.0), 1200.0);
    // A half circle to the left about (100, 25): it reaches x 125.
    p.arc(point3(100.0, 50.0, -3.0), point(100.0, 25.0), std::f64::consts::PI, 1200.0);
    p.up(15.0);
    p.change(7);
    p.across(point(50.8, 25.4));
    p.line(point3(50.8, 25.4, -6.35), 300.0);
    p.up(15.0);
    p.end();
    p
}

#[test]
fn table_in_millimetres() {
    let p = two_cutters();
    let cutters = [cutter(1, "1/4 in two-flute", 6.35)];
    insta::assert_snapshot!(extents_table(&p.events, &cutters, &p.seconds, MM), @"
    Centre of the cutter's tip, from the work zero

    cutter 1, 1/4 in two-flute
                                  from                    to                   span
      cutting    x         0 mm (0 in)  125 mm (4 29/32+ in)   125 mm (4 29/32+ in)
                 y         0 mm (0 in)   50 mm (1 31/32- in)    50 mm (1 31/32- in)
                 z    -3 mm (-1/8- in)     15 mm (19/32- in)      18 mm (23/32- in)
      travelling x         0 mm (0 in)  100 mm (3 15/16- in)   100 mm (3 15/16- in)
                 y         0 mm (0 in)   50 mm (1 31/32- in)    50 mm (1 31/32- in)
                 z    -3 mm (-1/8- in)     15 mm (19/32- in)      18 mm (23/32- in)
      cutting 196.54 mm in 11 s, travelling 18 mm in 0 s, waiting 33 s; in all 44 s

    cutter 7
                                  from                    to                   span
      cutting    x      50.8 mm (2 in)        50.8 mm (2 in)            0 mm (0 in)
                 y      25.4 mm (1 in)        25.4 mm (1 in)            0 mm (0 in)
                 z  -6.35 mm (-1/4 in)     15 mm (19/32- in)   21.35 mm (27/32- in)
      travelling x      50.8 mm (2 in)  100 mm (3 15/16- in)  49.2 mm (1 15/16- in)
                 y      25.4 mm (1 in)   50 mm (1 31/32- in)    24.6 mm (31/32- in)
                 z  -6.35 mm (-1/4 in)     15 mm (19/32- in)   21.35 mm (27/32- in)
      cutting 21.35 mm in 4 s, travelling 76.36 mm in 0 s, waiting 33 s; in all 38 s

    all cutters: 1 min 22 s
    ");
}

#[test]
fn table_in_inches_without_times() {
    let p = two_cutters();
    insta::assert_snapshot!(extents_table(&p.events, &[], &[], IN), @"
    Centre of the cutter's tip, from the work zero

    cutter 1
                                  from                    to                   span
      cutting    x         0 in (0 mm)  4 29/32+ in (125 mm)   4 29/32+ in (125 mm)
                 y         0 in (0 mm)   1 31/32- in (50 mm)    1 31/32- in (50 mm)
                 z    -1/8- in (-3 mm)     19/32- in (15 mm)      23/32- in (18 mm)
      travelling x         0 in (0 mm)  3 15/16- in (100 mm)   3 15/16- in (100 mm)
                 y         0 in (0 mm)   1 31/32- in (50 mm)    1 31/32- in (50 mm)
                 z    -1/8- in (-3 mm)     19/32- in (15 mm)      23/32- in (18 mm)
      cutting 7 3/4- in, travelling 23/32- in

    cutter 7
                                  from                    to                   span
      cutting    x      2 in (50.8 mm)        2 in (50.8 mm)            0 in (0 mm)
                 y      1 in (25.4 mm)        1 in (25.4 mm)            0 in (0 mm)
                 z  -1/4 in (-6.35 mm)     19/32- in (15 mm)   27/32- in (21.35 mm)
      travelling x      2 in (50.8 mm)  3 15/16- in (100 mm)  1 15/16- in (49.2 mm)
                 y      1 in (25.4 mm)   1 31/32- in (50 mm)    31/32- in (24.6 mm)
                 z  -1/4 in (-6.35 mm)     19/32- in (15 mm)   27/32- in (21.35 mm)
      cutting 27/32- in, travelling 3+ in
    ");
}

#[test]
fn arcs_count_with_their_extremes_and_lengths() {
    let p = two_cutters();
    let all = extents(&p.events, &p.seconds);
    let first = all.iter().find(|e| e.cutter == Some(1)).unwrap();
    assert!((first.cutting.max.x - 125.0).abs() < 1e-9);
    // 18 down, 100 along, half a circle of radius 25.
    let way = 18.0 + 100.0 + 25.0 * std::f64::consts::PI;
    assert!((first.cutting_length - way).abs() < 1e-9);
}

#[test]
fn times_add_up() {
    let job = carved_job(7, 9);
    let all = extents(&job.program.events, &job.program.seconds);
    let sum: f64 = job.program.seconds.iter().sum();
    let told: f64 = all.iter().map(|e| e.time()).sum();
    assert!((sum - told).abs() < 1e-9, "{sum} {told}");
}

#[test]
fn what_is_not_known_is_not_told() {
    let mut p = Program::new(Some(1));
    p.up(15.0);
    p.end();
    let all = extents(&p.events, &[]);
    assert!(all[0].travelling.min.x > all[0].travelling.max.x, "x was never set");
    assert_eq!(all[0].travelling.max.z, 15.0);
}

#[test]
fn nothing_moves() {
    insta::assert_snapshot!(extents_table(&[], &[], &[], MM), @"The program moves nothing.");
}
