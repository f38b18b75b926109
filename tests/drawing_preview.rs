//! Pictures of programs: what is on them, and that they can be read.
#![allow(clippy::unwrap_used)]

mod drawing_sample;

use drawing_sample as sample;
use drawing_sample::Job;
use ovolo::drawing::{Role, Sheet, png, preview, preview_sheet, trace};
use ovolo::geometry::{point, point3};
use ovolo::ngc::{Options, interpret_all};

/// Writes every sample as SVG and PNG for a person to look at, when the variable names a folder.
#[test]
fn samples_render() {
    let folder = std::env::var("OVOLO_PICTURES").ok();
    for (name, job) in sample::all() {
        let svg = preview(&job.input());
        let bytes = png(&svg, 1000).unwrap();
        assert!(bytes.starts_with(b"\x89PNG"), "{name}");
        if let Some(folder) = &folder {
            std::fs::write(format!("{folder}/{name}.svg"), &svg).unwrap();
            std::fs::write(format!("{folder}/{name}.png"), &bytes).unwrap();
        }
    }
}

fn check_texts(name: &str, sheet: &Sheet) {
    let texts = sheet.texts();
    assert!(texts.len() > 5, "{name}");
    for (i, a) in texts.iter().enumerate() {
        let inside = a.low.x >= 0.0
            && a.low.y >= 0.0
            && a.high.x <= sheet.width()
            && a.high.y <= sheet.height();
        assert!(inside, "{name}: {a:?} leaves the sheet");
        for b in &texts[i + 1..] {
            assert!(!a.overlaps(b), "{name}: {a:?} covers {b:?}");
        }
    }
}

#[test]
fn no_text_covers_another_or_leaves_the_sheet() {
    for (name, job) in sample::all() {
        check_texts(name, &preview_sheet(&job.input()));
    }
}

#[test]
fn the_caps_tabs_are_found_in_the_text() {
    let job = sample::cap_job();
    let trace = trace(&job.program.events, job.stock);
    assert_eq!(trace.tabs.len(), 5);
    assert!(trace.tabs.iter().all(|t| (t.top - -14.5).abs() < 1e-9));
    assert_eq!(trace.levels.len(), 6);
    assert!(trace.has(Role::Lead) && trace.has(Role::Entry) && trace.has(Role::Travel));
}

#[test]
fn arcs_are_drawn_as_arcs() {
    let svg = preview(&sample::cap_job().input());
    // The front arc of the finishing pass: radius (528.6375^2 + 60^2) / 120 + 3.175, in closed
    // form, at the scale that the title block tells.
    let before = svg.split(" printed 190 mm wide").next().unwrap();
    let scale: f64 = before.rsplit(' ').next().unwrap().parse().unwrap();
    assert!((7.0..=10.0).contains(&scale), "1 : {scale}");
    let radius = ((528.637_5f64.powi(2) + 3600.0) / 120.0 + 3.175) / scale;
    // Path data has no needless zeros.
    let radius = (radius * 100.0).round() / 100.0;
    let word = format!("a{radius} {radius} 0 0 1 ");
    assert!(svg.contains(&word), "{word}");
}

#[test]
fn every_kind_of_thing_is_told_apart() {
    let svg = preview(&sample::cap_job().input());
    for class in [
        "swept",
        "part",
        "passes",
        "entry",
        "leads",
        "tabs",
        "traverses",
        "stock",
        "clamps",
        "screws",
        "zero",
        "dimensions",
        "side",
        "legend",
        "scale-bar",
        "title-block",
    ] {
        let group = svg.split(&format!("<g class=\"{class}\">\n")).nth(1);
        assert!(group.is_some_and(|g| !g.starts_with("</g>")), "{class} is empty");
    }
    for text in
        ["5 holding tabs", "41 5/8 in", "zero 31.36 mm", "printed 190 mm wide", "9f3a5c0e77b1<"]
    {
        assert!(svg.contains(text), "{text}");
    }
}

#[test]
fn dimensions_are_the_parts_and_not_the_cutters_way() {
    let svg = preview(&sample::cap_job().input());
    // (528.6375^2 + 60^2) / 120 = 2358.813, in closed form.
    for text in [">part 1057.2", ">R 2358.81 mm"] {
        assert!(svg.contains(text), "{text}");
    }
    // The way of the cutter's centre is longer by the cutter, 6.35 mm, and twice the 0.3 mm that
    // roughing leaves.
    assert!(!svg.contains(">cut 1064.2"));
    let job = Job { part: Vec::new(), ..sample::cap_job() };
    let svg = preview(&job.input());
    assert!(svg.contains(">cut 1064.2") && !svg.contains(">R "));
}

#[test]
fn a_picture_without_a_title_is_lower_and_still_named() {
    let job = sample::cap_job();
    let whole = preview_sheet(&job.input());
    let job = Job { title: String::new(), ..job };
    let bare = preview_sheet(&job.input());
    assert!(bare.height() < whole.height() - 4.0);
    let name = format!("<title>{}</title>", job.input().program_name);
    assert!(bare.svg().contains(&name), "{name}");
    check_texts("bare", &bare);
}

#[test]
fn passes_get_darker_and_narrower_with_depth() {
    let svg = preview(&sample::cap_job().input());
    let passes = svg.split("<g class=\"passes\">").nth(1).unwrap();
    let passes = passes.split("</g>").next().unwrap();
    let of = |key: &str| -> Vec<String> {
        let key = format!(" {key}=\"");
        let parts = passes.split(&key).skip(1);
        parts.map(|p| p.split('"').next().unwrap().to_string()).collect()
    };
    let grey = |hex: &String| -> u32 {
        let byte = |k: usize| u32::from_str_radix(&hex[k..k + 2], 16).unwrap();
        byte(1) * 2126 + byte(3) * 7152 + byte(5) * 722
    };
    let colours: Vec<u32> = of("stroke").iter().map(grey).collect();
    let widths: Vec<f64> = of("stroke-width").iter().map(|w| w.parse().unwrap()).collect();
    assert_eq!(colours.len(), 6);
    assert!(colours.is_sorted_by(|a, b| a > b), "{colours:?}");
    assert!(widths.is_sorted_by(|a, b| a > b), "{widths:?}");
}

#[test]
fn titles_are_escaped() {
    let svg = preview(&sample::odd_title_job().input());
    assert!(svg.contains("&lt;west&gt; &amp; &quot;east&quot;"));
    assert!(!svg.contains("<west"));
    let job = Job { title: "bell \u{7} \u{0}null\nnext".to_string(), ..sample::small_job() };
    let svg = preview(&job.input());
    assert!(!svg.chars().any(|c| c.is_control() && c != '\n'));
    assert!(png(&svg, 200).is_ok());
}

#[test]
fn a_long_title_and_many_clamps_still_fit() {
    let title = "W".repeat(300);
    let name = "a clamp with a name that goes on and on for longer than any label";
    let mut job = Job { title, ..sample::small_job() };
    for k in 0..30 {
        let x = f64::from(k) * 3.0;
        job.clamps.push(sample::block(name, point3(x, 70.0, -6.0), point3(x + 2.0, 72.0, 20.0)));
    }
    check_texts("crowded", &preview_sheet(&job.input()));
}

#[test]
fn wild_numbers_do_no_harm() {
    for far in [1e-9, 1e4, 1e7, 1e12, 1e300, f64::INFINITY, f64::NAN] {
        let mut p = sample::Program::new(Some(1));
        p.up(far);
        p.across(point(far, -far));
        p.line(point3(far, 0.0, -far), 100.0);
        p.line(point3(0.0, far, -far), 100.0);
        p.arc(point3(far, far, -1.0), point(0.0, far), 7.0, 100.0);
        p.end();
        let mut job = Job::new(p);
        let svg = preview(&job.input());
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{far}");
        job.stock = sample::stock(point3(-far, 0.0, -far), point3(far, far, 0.0));
        job.clamps.push(sample::block("stop", point3(0.0, far, 0.0), point3(far, far, far)));
        let svg = preview(&job.input());
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{far}");
    }
}

#[test]
fn same_program_same_bytes() {
    let (a, b) = (sample::cap_job(), sample::cap_job());
    let (a, b) = (preview(&a.input()), preview(&b.input()));
    assert_eq!(a, b);
    assert_eq!(png(&a, 640).unwrap(), png(&b, 640).unwrap());
}

#[test]
fn long_programs_stay_small_and_quick() {
    let job = sample::carved_job(400, 250);
    assert!(job.program.events.len() > 100_000);
    let start = std::time::Instant::now();
    let svg = preview(&job.input());
    let taken = start.elapsed().as_secs_f64();
    // Unoptimized code on a busy machine; the release build takes a tenth.
    assert!(taken < 10.0, "{taken} s");
    assert!(svg.len() < 2_000_000, "{} bytes", svg.len());
}

#[test]
fn a_carved_field_has_no_tabs() {
    let job = sample::carved_job(20, 40);
    let trace = trace(&job.program.events, job.stock);
    assert!(trace.banded && trace.tabs.is_empty() && !trace.has(Role::Tab));
}

#[test]
fn short_rises_of_a_carving_are_no_tabs_where_its_outline_has_some() {
    // A carved hollow whose rows rise for a moment, then the outline, 6 mm deep, over one tab.
    let rows: String = [20, 21, 22]
        .iter()
        .map(|y| format!("G0 Z5\nX5 Y{y}\nG1 Z-2 F300\nX20 F1200\nZ-1.2\nX22\nZ-2\nX35\n"))
        .collect();
    // One row goes up and down for most of its way, with one short rise from a level.
    let wave =
        "G0 Z5\nX5 Y10\nG1 Z-2 F300\nX8 F1200\nX9 Z-1.5\nX10 Z-2\nX18 Z-3\nX28 Z-1\nX35 Z-3\n";
    let text = format!(
        "G21 G17 G90\nT1 M6\nM3 S18000\n{rows}{wave}G0 Z5\nX0 Y0\nG1 Z-3 F300\nX40 F1200\n\
         Y30\nX0\nY0\nZ-6\nX15\nZ-4\nX20\nZ-6\nX40\nY30\nX0\nY0\nG0 Z10\nM5\nM2\n"
    );
    let (events, problems) = interpret_all(&text, &Options::default());
    assert!(problems.is_empty(), "{problems:?}");
    let stock = sample::stock(point3(-10.0, -10.0, -6.0), point3(50.0, 40.0, 0.0));
    let traced = trace(&events, stock);
    assert_eq!(traced.tabs.len(), 1);
    let over: Vec<_> = traced.strokes.iter().filter(|s| s.role == Role::Tab).collect();
    assert_eq!(over.len(), 3, "{over:?}");
    assert!(over.iter().all(|s| s.stroke.from.y == 0.0 && s.stroke.to.z <= -4.0));
}

#[test]
fn rows_on_a_level_field_that_climb_its_walls_are_cutting() {
    // Six rows to and fro on a field 2 mm deep, joined on the field; each climbs a wall at its
    // ends and goes down again: 2 mm of way of 64 for each.
    let rows: String = (0..6)
        .map(|k| {
            let (y, next) = (5 + 2 * k, 7 + 2 * k);
            format!("Y{y}\nX69 Z-2\nX70 Z0.5\nX69 Z-2\nX7\nX6 Z0.5\nX7 Z-2\nY{next}\n")
        })
        .collect();
    let text = format!(
        "G21 G17 G90\nT1 M6\nM3 S18000\nG0 Z5\nX7 Y5\nG1 Z-2 F300\nF1200\n{rows}G0 Z10\nM5\nM2\n"
    );
    let (events, problems) = interpret_all(&text, &Options::default());
    assert!(problems.is_empty(), "{problems:?}");
    let traced = trace(&events, sample::stock(point3(0.0, 0.0, -6.0), point3(80.0, 40.0, 0.0)));
    let entries = traced.strokes.iter().filter(|s| s.role == Role::Entry).count();
    assert_eq!(entries, 1, "only the plunge at the start enters");
}

#[test]
fn pictures_of_impossible_sizes_are_refused() {
    let svg = preview(&sample::small_job().input());
    assert!(png(&svg, 0).unwrap_err().message.contains("0 pixels"));
    assert!(png(&svg, 100_000).unwrap_err().message.contains("16384"));
    assert!(png("<svg", 100).unwrap_err().message.contains("no good SVG"));
    let strip = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1000'/>";
    assert!(png(strip, 1000).unwrap_err().message.contains("high"));
}

#[test]
fn a_picture_shows_what_the_text_does() {
    // The remark and the part say one thing, the text another: a square of 40 by 30 mm, cut
    // twice, with one rise of 4 mm.
    let text = "(square 99 x 99)\nG21 G17 G90\nT1 M6\nM3 S18000\nG0 Z10\nX0 Y0\nG1 Z-3 F300\n\
        X40 F1200\nY30\nX0\nY0\nZ-6\nX15\nZ-2\nX20\nZ-6\nX40\nY30\nX0\nY0\nG0 Z10\nM5\nM2\n";
    let (events, problems) = interpret_all(text, &Options::default());
    assert!(problems.is_empty(), "{problems:?}");
    let mut job = Job::new(sample::Program::new(None));
    job.program.events = events;
    job.stock = sample::stock(point3(-10.0, -10.0, -6.0), point3(50.0, 40.0, 0.0));
    let traced = trace(&job.program.events, job.stock);
    assert_eq!(traced.levels, [-3.0, -6.0]);
    assert_eq!(traced.tabs.len(), 1);
    assert_eq!((traced.tabs[0].top, traced.tabs[0].length), (-2.0, 5.0));
    let svg = preview(&job.input());
    assert!(svg.contains("cut 40 mm") && svg.contains("x  0 mm to 40 mm"));
    assert!(svg.contains("1 holding tab") && !svg.contains("99 x 99"));
}
