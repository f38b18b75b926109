//! Files that nobody means well with: an answer, soon, and never a panic.

use crate::shapes::dxf_text;
use crate::write::page;
use ovolo::tracing::{DrawnProfile, Options, outlines, profile};
use proptest::prelude::*;
use std::time::Instant;

/// Reads both ways; whatever comes must be sound.
fn read(bytes: &[u8]) {
    if let Ok(read) = outlines("t", bytes, &Options::default()) {
        assert!(read.contours.iter().all(|c| c.closed && c.validate().is_ok()));
    }
    if let Ok(DrawnProfile { profile, .. }) = profile("t", bytes, &Options::default()) {
        assert!(profile.height() > 0.0 && profile.thickness() > 0.0);
    }
}

const SVG: &str = "<svg width='90mm' height='90mm' viewBox='0 0 90 90'><g id='a' \
    transform='rotate(20) scale(2,1)'><path d='M10 10h20v-5q3,4 8 1t4 2c1 2 3-4 5 6s-9 4-9 9\
    a4 6 30 0 1-9 3A5 5 0 105 5L1.5.5-2e1-7Z'/></g><circle r='5'/><use href='#a' x='3'/></svg>";

fn dxf() -> String {
    dxf_text(
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n0\nCIRCLE\n10\n1\n20\n1\n40\n4\n0\nENDBLK\n0\nENDSEC\n",
        "0\nINSERT\n2\nB\n10\n9\n20\n9\n0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n42\n0.3\n10\n9\n20\n0\n10\n9\n20\n7\n\
         0\nSPLINE\n71\n2\n40\n0\n40\n0\n40\n0\n40\n1\n40\n1\n40\n1\n10\n0\n20\n0\n10\n5\n20\n9\n10\n9\n20\n0\n\
         41\n1\n41\n0.5\n41\n1\n0\nELLIPSE\n10\n50\n20\n50\n11\n9\n21\n0\n40\n0.5\n41\n0\n42\n6.2831853\n\
         0\nARC\n10\n0\n20\n0\n40\n30\n50\n10\n51\n90\n",
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        read(&bytes);
    }

    #[test]
    fn damaged_files(
        which in any::<bool>(), at in any::<prop::sample::Index>(),
        length in 0usize..12, put in "[0-9eE.+\\-<>/'a-zA-Z \\n]{0,8}",
    ) {
        let mut text = if which { SVG.to_string() } else { dxf() };
        let start = at.index(text.len());
        let end = (start + length).min(text.len());
        text.replace_range(start..end, &put);
        read(text.as_bytes());
    }

    #[test]
    fn numbers_of_any_size(n in prop::collection::vec(-320i32..320, 8)) {
        let v: Vec<String> = n.iter().map(|e| format!("{}e{e}", e % 7)).collect();
        read(page(90.0, 90.0, &format!(
            "<path transform='matrix({} 0 0 {} 0 0)' d='M{} {}A{} {} 7 1 0 {} {}C1 2 3 4 5 6z'/>",
            v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7],
        )).as_bytes());
        let spline = format!(
            "0\nSPLINE\n71\n2\n40\n0\n40\n0\n40\n0\n40\n{}\n40\n{}\n40\n{}\n10\n{}\n20\n0\n10\n{}\n\
             20\n{}\n10\n9\n20\n0\n41\n{}\n41\n0.5\n41\n1\n",
            v[0], v[0], v[0], v[1], v[2], v[3], v[4],
        );
        read(dxf_text("", &spline).as_bytes());
    }

    #[test]
    fn wild_curves(n in prop::collection::vec(0.0..90.0f64, 14)) {
        let d = n.chunks(2).map(|p| format!("{} {}", p[0], p[1])).collect::<Vec<_>>().join(" ");
        read(page(90.0, 90.0, &format!("<path d='M{d}z'/><path d='M{}C{}'/>", &d[..3], d)).as_bytes());
    }
}

/// Seconds that reading takes; each of these would be a year for a reader that follows it blindly.
fn timed(text: &str) {
    let start = Instant::now();
    assert!(outlines("t", text.as_bytes(), &Options::default()).is_err());
    assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
}

#[test]
fn groups_uses_and_blocks_within_themselves() {
    timed(&page(90.0, 90.0, &("<g>".repeat(20_000) + &"</g>".repeat(20_000))));
    timed(&page(90.0, 90.0, "<g id='a'><use href='#a'/></g>"));
    timed(&page(90.0, 90.0, "<use id='a' href='#a'/>"));
    let levels: String = (1..40)
        .map(|i| format!("<g id='l{i}'><use href='#l{0}'/><use href='#l{0}'/></g>", i - 1))
        .collect();
    timed(&page(90.0, 90.0, &format!("<g id='l0'><text/></g>{levels}")));
    let blocks: String = (1..30)
        .map(|i| {
            let used = format!("0\nINSERT\n2\nB{}\n", i - 1);
            format!("0\nBLOCK\n2\nB{i}\n{used}{used}0\nENDBLK\n")
        })
        .collect();
    timed(&dxf_text(
        &format!("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB0\n0\nENDBLK\n{blocks}0\nENDSEC\n"),
        "0\nINSERT\n2\nB29\n",
    ));
    let lol: String = (1..12)
        .map(|i| format!("<!ENTITY l{i} \"{}\">", format!("&l{};", i - 1).repeat(10)))
        .collect();
    timed(&format!("<!DOCTYPE svg [<!ENTITY l0 \"lol\">{lol}]><svg width='9mm'>&l11;</svg>"));
}

#[test]
fn many_ends_in_one_place() {
    let star: String = (0..20_000).map(|i| format!("<path d='M0 0L{} 90'/>", i)).collect();
    timed(&page(90.0, 90.0, &star));
}
