//! The setup sheet: whole, printable, and safe against what people write.

mod drawing_sample;

use drawing_sample as sample;
use ovolo::drawing::{
    CutterRow, FigureTable, ProgramRow, SetupSheet, Touch, extents_table, preview,
};

fn words(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|l| l.to_string()).collect()
}

fn cap_sheet() -> SetupSheet {
    let job = sample::cap_job();
    SetupSheet {
        title: job.title.clone(),
        order: Vec::new(),
        pictures: vec![preview(&job.input())],
        stock: vec![
            ("species".into(), "poplar".into()),
            ("size".into(), "1120 x 230 x 19 mm (44 3/32 x 9 1/16 x 3/4 in)".into()),
            ("grain".into(), "along x, bark side up".into()),
        ],
        holding: words(&[
            "Screw down in the waste at the two back corners, heads below the top.",
            "Clamp both ends where the picture shows A and B.",
            "Five holding tabs keep the part; saw them off after.",
        ]),
        zero: words(&[
            "x 0: 31.36 mm (1 1/4 - in) right of the board's left end",
            "y 0: 25 mm (31/32 + in) behind the board's front edge",
            "z 0: the board's top, at the thickest place",
        ]),
        touch: Some(Touch { stock: [1120.0, 230.0, 19.0], zero: [31.3625, 25.0, 19.0] }),
        cutters: vec![CutterRow {
            number: "1".into(),
            name: "1/4 in two-flute, flat".into(),
            diameter: "6.35 mm (1/4 in)".into(),
            stick_out: "38 mm".into(),
            flutes: "2".into(),
            speed: "18000 rpm, dial 4".into(),
            feed: "2400 mm/min".into(),
            plunge: "800 mm/min".into(),
            stepdown: "3.25 mm".into(),
            time: "7 min 43 s".into(),
        }],
        time: "7 min 43 s".into(),
        programs: vec![ProgramRow {
            file: "arched-cap-1.nc".into(),
            sha256: "9f3a5c0e77b1d2468ace".into(),
            what: "outline, cutter 1".into(),
        }],
        passed: true,
        verdict: "The dry run found nothing that it refuses.".into(),
        findings: words(&["warning: line 12: the cutter goes 0.5 mm into the spoilboard"]),
        judged: vec!["top.nc: the stock is cut in cells of 0.5 mm".into()],
        sections: Vec::new(),
        maps: vec!["<svg id=\"map\"></svg>".into()],
        by_hand: words(&[
            "The board lies flat and both clamps and both screws are tight.",
            "The work zero was touched off as above, with this cutter.",
            "The cutter in the collet is cutter 1, stick-out 38 mm.",
            "The dial stands at 4 before the spindle starts.",
        ]),
        climb: words(&["The outline is cut clockwise: it climbs all round."]),
        extents: extents_table(&job.program.events, &job.cutters, &job.program.seconds, sample::MM),
        figures: vec![FigureTable {
            name: "arched-cap".into(),
            figures: vec![("rise".into(), "60 mm".into())],
            ordinates: vec![["0 mm", "0 mm", "120 mm"].map(String::from)],
        }],
        cautions: words(&["The tabs are 5 mm high: the part can hum on the last pass."]),
    }
}

/// Writes the sample for a person to look at, when the variable names a folder.
#[test]
fn page_has_its_parts() {
    let html = cap_sheet().html();
    if let Ok(folder) = std::env::var("OVOLO_PICTURES") {
        std::fs::write(format!("{folder}/setup-sheet.html"), &html).unwrap_or_default();
    }
    for part in [
        "<h1>Setup sheet: Arched cap",
        "<svg ",
        "<h2>Stock</h2>",
        "<h2>How to hold it</h2>",
        "<h2>Where to touch off</h2>",
        "<h2>How it is cut</h2>",
        "<h2>Figures of arched-cap, and ordinates",
        "<h2>Cutters, in order</h2>",
        "<code>9f3a5c0e77b1</code>",
        "<h2>Dry run</h2>",
        "<ul class=\"boxes\">",
        "ISO 19085-3:2021",
        "local codes",
    ] {
        assert!(html.contains(part), "{part}");
    }
    assert_eq!(html.matches("<section").count(), html.matches("</section>").count());
    assert_eq!(html.matches("<div").count(), html.matches("</div>").count());
}

#[test]
fn page_takes_nothing_from_outside() {
    let html = cap_sheet().html();
    let outside = html.replace("http://www.w3.org/2000/svg", "");
    for word in ["http", "<script", "src=", "@import", "url(http", "<link"] {
        assert!(!outside.contains(word), "{word}");
    }
}

#[test]
fn every_text_is_escaped() {
    let bad = || "<b>&\"'</b>".to_string();
    let row = CutterRow { number: bad(), name: bad(), feed: bad(), ..CutterRow::default() };
    let program = ProgramRow { file: bad(), sha256: "<<<<<<<<<<<<".into(), what: bad() };
    let sheet = SetupSheet {
        title: bad(),
        stock: vec![(bad(), bad())],
        holding: vec![bad(), bad()],
        zero: vec![bad()],
        cutters: vec![row],
        time: bad(),
        programs: vec![program],
        verdict: bad(),
        findings: vec![bad()],
        judged: vec![bad()],
        maps: Vec::new(),
        by_hand: vec![bad()],
        climb: vec![bad()],
        extents: bad(),
        figures: vec![FigureTable {
            name: bad(),
            figures: vec![(bad(), bad())],
            ordinates: vec![[bad(), bad(), bad()]],
        }],
        cautions: vec![bad()],
        ..SetupSheet::default()
    };
    let html = sheet.html();
    assert!(!html.contains("<b>"));
    assert!(!html.contains("<<"));
    // Each of the texts above, twice for title and holding, arrives.
    assert_eq!(html.matches("&lt;b&gt;&amp;&quot;&#39;&lt;/b&gt;").count(), 26);
}

#[test]
fn parts_that_are_not_given_are_left_out() {
    let html = SetupSheet { title: "Bare".into(), ..SetupSheet::default() }.html();
    for part in ["<h2>Stock", "<h2>Cutters", "<h2>Programs", "<table", "<pre"] {
        assert!(!html.contains(part), "{part}");
    }
    assert!(html.contains("<h2>Cautions</h2>"));
}
