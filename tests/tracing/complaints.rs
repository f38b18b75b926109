//! What is said of drawings that cannot be used.

use crate::shapes::dxf_text;
use crate::write::page;
use insta::assert_snapshot;
use ovolo::tracing::{Options, outlines, read_outlines};

fn said(text: &str) -> String {
    said_with(text, &Options::default())
}

fn said_with(text: &str, options: &Options) -> String {
    outlines("bed.svg", text.as_bytes(), options).unwrap_err().to_string()
}

#[test]
fn no_such_file() {
    let error = read_outlines("nowhere/bed.svg".as_ref(), &Options::default()).unwrap_err();
    assert_snapshot!(error.to_string(), @"error: nowhere/bed.svg: there is no such file");
}

#[cfg(unix)]
#[test]
fn a_device_that_never_ends() {
    let error = read_outlines("/dev/zero".as_ref(), &Options::default()).unwrap_err();
    assert_eq!(error.message, "/dev/zero: this is no plain file");
}

#[test]
fn another_kind_of_file() {
    assert_snapshot!(said("just words"), @"
    error: bed.svg: this is neither an SVG nor a DXF drawing
      help: save the tracing as SVG, or as DXF
    ");
    assert_snapshot!(said("<html></html>"), @"
    error: bed.svg:1:1: the file's first element is `html`, not `svg`
      1 | <html></html>
        | ^
    ");
    assert_snapshot!(said("<svg><path></svg>"), @"
    error: bed.svg:1:12: not SVG: expected 'path' tag, not 'svg' at 1:12
      1 | <svg><path></svg>
        |            ^
    ");
    assert_snapshot!(said("Some Binary DXF\r\n"), @"
    error: bed.svg: a binary DXF is not read
      help: save it as a text DXF
    ");
    assert_snapshot!(said("0\nSECTION\nx\n"), @"
    error: bed.svg:3:1: the file ends after group code `x`
      3 | x
        | ^
    ");
}

#[test]
fn no_units() {
    assert_snapshot!(said("<svg viewBox='0 0 9 9'><path d='M0 0H9V9Z'/></svg>"), @"
    error: bed.svg:1:1: the drawing has no units: its `svg` has no `width` and `height`
      1 | <svg viewBox='0 0 9 9'><path d='M0 0H9V9Z'/></svg>
        | ^
      help: give them with mm or in, or say the units of a user unit
    ");
    assert_snapshot!(said("<svg width='9foot'/>"), @"
    error: bed.svg:1:1: `9foot` is no width for a page
      1 | <svg width='9foot'/>
        | ^
      help: more than 0, with mm, cm, in, pt, pc or px (1/96 in)
    ");
    assert_snapshot!(said("0\nSECTION\n2\nENTITIES\n0\nENDSEC\n"), @"
    error: bed.svg:1:1: the drawing has no units: it has no $INSUNITS
      1 | 0
        | ^
      help: say the drawing's units, mm or in
    ");
}

#[test]
fn no_such_layer() {
    let options = Options { layer: Some("cap".to_string()), ..Options::default() };
    let svg = page(90.0, 90.0, "<g id='frieze'/><g id='panel'/>");
    assert_snapshot!(said_with(&svg, &options), @"
    error: `layer`: bed.svg: the drawing has no layer `cap`
      help: it has `frieze`, `panel`
    ");
    let dxf = dxf_text("", "0\nCIRCLE\n8\nholes\n10\n0\n20\n0\n40\n5\n");
    assert_snapshot!(said_with(&dxf, &options), @"
    error: `layer`: bed.svg: the drawing has no layer `cap`
      help: it has `holes`
    ");
    assert_snapshot!(said_with(&page(90.0, 90.0, ""), &options), @"
    error: `layer`: bed.svg: the drawing has no layer `cap`
      help: it has none: leave the layer out
    ");
}

#[test]
fn an_open_outline() {
    assert_snapshot!(said(&page(90.0, 90.0, "\n<path d='M10 10H50V40H10V12'/>")), @"
    error: bed.svg:2:1: the outline is open: a gap of 2.000 mm between (10.000, 80.000) and (10.000, 78.000) mm
      2 | <path d='M10 10H50V40H10V12'/></svg>
        | ^
      help: close it in the drawing program; gaps up to 0.01 mm close by themselves
    ");
    let dxf = dxf_text(
        "",
        "0\nLINE\n10\n0\n20\n0\n11\n50\n21\n0\n0\nLINE\n10\n50\n20\n0.05\n11\n0\n21\n30\n",
    );
    assert_snapshot!(said(&dxf), @"
    error: bed.svg:15:1: the outline is open: a gap of 50.000 mm between (0.000, 0.000) and (50.000, 0.000) mm
      15 | 0
         | ^
      help: close it in the drawing program; gaps up to 0.01 mm close by themselves
    ");
}

#[test]
fn a_branch() {
    assert_snapshot!(
        said(&page(90.0, 90.0, "<path d='M10 10H50'/><path d='M50 10V40'/><path d='M50 10H80'/>")),
        @r#"
    error: bed.svg:1:88: 3 ends meet at (50.000, 80.000) mm: the outline branches there
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><path d='M10 10H50'/><path d='M50 10V40'/><path d='M50 10H80'/></svg>
        |                                                                                        ^
      help: leave one way round, or put the parts on layers of their own
    "#
    );
}

#[test]
fn an_outline_that_crosses_itself() {
    assert_snapshot!(said(&page(90.0, 90.0, "\n<path d='M10 10L50 40H10L60 10Z'/>")), @"
    error: bed.svg:2:1: the outline cannot be used: it crosses or touches itself near (32.222, 63.333)
      2 | <path d='M10 10L50 40H10L60 10Z'/></svg>
        | ^
      help: mend the outline there in the drawing program
    ");
    assert_snapshot!(said(&page(90.0, 90.0, "\n<path d='M10 10L50 40H10L50 10Z'/>")), @"
    error: bed.svg:2:1: the outline cannot be used: it encloses nothing that is wider than 0.0001 mm
      2 | <path d='M10 10L50 40H10L50 10Z'/></svg>
        | ^
      help: mend the outline there in the drawing program
    ");
}

#[test]
fn nothing_drawn_and_what_was_left_out() {
    assert_snapshot!(said(&page(90.0, 90.0, "<text>cap</text><text>b</text>")), @"
    error: bed.svg: there is no outline; left out of the drawing: `text`, 2 times
      help: draw it with lines, arcs, circles, splines, polylines or paths
    ");
    assert_snapshot!(said(&page(90.0, 90.0, "<path d='M 1 1'/>")), @"
    error: bed.svg: there is no outline
      help: draw it with lines, arcs, circles, splines, polylines or paths
    ");
    let text =
        page(90.0, 90.0, "<circle cx='9' cy='9' r='5'/><text>a</text><image/><text>b</text>");
    let read = outlines("bed.svg", text.as_bytes(), &Options::default()).unwrap();
    let warned: Vec<String> = read.warnings.iter().map(|w| w.message.clone()).collect();
    assert_eq!(
        warned,
        ["left out of the drawing: `image`", "left out of the drawing: `text`, 2 times"]
    );
    let dxf = dxf_text("", "0\nCIRCLE\n10\n0\n20\n0\n40\n5\n0\nHATCH\n8\n0\n0\nMTEXT\n1\na\n");
    let read = outlines("t.dxf", dxf.as_bytes(), &Options::default()).unwrap();
    let warned: Vec<String> = read.warnings.iter().map(|w| w.message.clone()).collect();
    assert_eq!(warned, ["left out of the drawing: HATCH", "left out of the drawing: MTEXT"]);
    // The line on which HATCH begins.
    assert_eq!(read.warnings[0].place.as_ref().unwrap().line, 23);
}

#[test]
fn absurd_sizes() {
    assert_snapshot!(said(&page(90.0, 90.0, "<circle r='0.01'/>")), @"
    error: bed.svg: the drawing is 0.0200 by 0.0200 mm, which no board is
      help: from 0.1 to 100000 mm; say the drawing's units if it has the wrong ones
    ");
    assert_snapshot!(said(&page(90.0, 90.0, "<rect width='200000' height='5'/>")), @"
    error: bed.svg: the drawing is 200000.0000 by 5.0000 mm, which no board is
      help: from 0.1 to 100000 mm; say the drawing's units if it has the wrong ones
    ");
    assert_snapshot!(said(&page(90.0, 90.0, "<rect width='2e12' height='5'/>")), @r#"
    error: bed.svg:1:88: a curve with numbers beyond use
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><rect width='2e12' height='5'/></svg>
        |                                                                                        ^
      help: coordinates within a kilometre of zero, weights of 0.000001 or more
    "#);
}

#[test]
fn path_data_transforms_and_numbers_that_are_none() {
    assert_snapshot!(said(&page(90.0, 90.0, "<path d='M1 1 L 5 x'/>")), @r#"
    error: bed.svg:1:88: `x` does not go on as `L` asks
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><path d='M1 1 L 5 x'/></svg>
        |                                                                                        ^
    "#);
    assert_snapshot!(said(&page(90.0, 90.0, "<path d='L 5 5'/>")), @r#"
    error: bed.svg:1:88: a path begins with `M`, not with `L 5 5`
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><path d='L 5 5'/></svg>
        |                                                                                        ^
    "#);
    assert_snapshot!(said(&page(90.0, 90.0, "<g transform='turn(3)'/>")), @r#"
    error: bed.svg:1:88: `turn(3)` is no transform
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><g transform='turn(3)'/></svg>
        |                                                                                        ^
    "#);
    assert_snapshot!(said(&page(90.0, 90.0, "<rect width='5em' height='5'/>")), @r#"
    error: bed.svg:1:88: `5em` is no length for `width`
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><rect width='5em' height='5'/></svg>
        |                                                                                        ^
      help: a number, or one with mm, cm, in, pt, pc or px
    "#);
    assert_snapshot!(said(&page(90.0, 90.0, "<use href='#no'/>")), @r#"
    error: bed.svg:1:88: a `use` of `#no`, which is not in the file
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><use href='#no'/></svg>
        |                                                                                        ^
    "#);
    assert_snapshot!(said(&dxf_text("", "0\nCIRCLE\n10\nx\n20\n0\n40\n5\n")), @"
    error: bed.svg:15:1: CIRCLE: `x` is no number for group 10
      15 | 0
         | ^
    ");
    assert_snapshot!(said(&dxf_text("", "0\nSPLINE\n71\n3\n10\n0\n20\n0\n40\n5\n")), @"
    error: bed.svg:15:1: SPLINE: 1 knots and 1 control points do not make degree 3
      15 | 0
         | ^
    ");
    assert_snapshot!(
        said(&dxf_text("", "0\nCIRCLE\n10\n0\n20\n0\n40\n5\n210\n1\n220\n0\n230\n0\n")), @"
    error: bed.svg:15:1: CIRCLE: it lies in a tilted plane
      15 | 0
         | ^
    "
    );
}

#[test]
fn what_is_drawn_twice_is_read_once() {
    let twice = "<path d='M10 10H50V40Z'/><path d='M50 10V40L10 10Z'/>";
    let read = outlines("t", page(90.0, 90.0, twice).as_bytes(), &Options::default()).unwrap();
    assert_eq!(read.contours.len(), 1);
    assert_eq!(read.warnings[0].message, "drawn twice and read once: 1");
}

#[test]
fn a_tolerance_of_no_use() {
    let options = Options { tolerance: 0.0, ..Options::default() };
    assert_snapshot!(said_with(&page(90.0, 90.0, ""), &options), @"
    error: `tolerance`: a tolerance of 0 mm is of no use
      help: 0.00001 to 1 mm
    ");
}
