//! Drawings at full size: what is written, that it measures true on paper and in DXF, and that no
//! lettering covers other lettering.
#![allow(clippy::unwrap_used)]

use dxf::entities::EntityType;
use ovolo::drawing::{
    Drawing, HeaderViews, Layer, LineStyle, Paper, Shape, Tiling, header_drawings, pages, pdf,
};
use ovolo::geometry::{Contour, Point, Vertex, point};
use ovolo::job::Job;
use ovolo::layout::{BedMold, Corona, Cymatium, Frieze, Front, Header, Layout, Overhang, Panel};
use ovolo::report::drawings;
use ovolo::units::{INCH, Shown, Unit};
use proptest::prelude::*;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const INCHES: &str = include_str!("../sample-parts/door-header.toml");
const METRIC: &str = include_str!("../sample-parts/door-header-metric.toml");

/// Pixels in a millimetre of the pictures that are measured: 600 to the inch.
const PIXELS: f64 = 600.0 / INCH;

fn of(text: &str) -> Vec<Drawing> {
    drawings(&Job::read("job.toml", text).unwrap())
}

fn named(all: Vec<Drawing>, name: &str) -> Drawing {
    all.into_iter().find(|d| d.name == name).unwrap()
}

// ---- What is written -------------------------------------------------------------------------

fn run(folder: &Path, more: &[&str]) -> (String, String) {
    let sample = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-parts/door-header.toml");
    let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder)
        .args(["layout", sample])
        .args(more)
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    (String::from_utf8(done.stdout).unwrap(), String::from_utf8(done.stderr).unwrap())
}

fn written(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap())
        .map(|e| (e.file_name().into_string().unwrap(), std::fs::read(e.path()).unwrap()))
        .collect();
    all.sort();
    all
}

#[test]
fn layout_writes_every_drawing_in_every_format_and_the_same_bytes_again() {
    let here = TempDir::new().unwrap();
    let (out, talk) = run(here.path(), &["--json"]);
    let files = written(&here.path().join("out"));
    let mut expected = Vec::new();
    for name in ["plan", "elevation", "section", "cap-template", "mitre", "story-stick"] {
        for ending in [".svg", ".dxf", ".pdf", "-letter.pdf"] {
            expected.push(format!("header-{name}{ending}"));
        }
    }
    expected.extend(["cut-list.csv", "cut-list.json"].map(String::from));
    expected.sort();
    assert_eq!(files.iter().map(|f| f.0.clone()).collect::<Vec<_>>(), expected);
    let told: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(told["files"].as_array().unwrap().len(), expected.len());
    assert!(told["header"]["layout"]["cap"]["chord"].is_number());
    assert!(talk.contains("header-cap-template") && talk.contains("-letter.pdf"), "{talk}");
    run(here.path(), &["--out", "again", "--quiet"]);
    let again = written(&here.path().join("again"));
    for (first, second) in files.iter().zip(&again) {
        assert!(first == second, "{} differs from run to run", first.0);
    }
}

#[test]
fn figures_alone_write_nothing_and_the_paper_can_be_chosen() {
    let here = TempDir::new().unwrap();
    let (out, talk) = run(here.path(), &["--figures-only"]);
    assert!(out.contains("Cut list") && talk.is_empty(), "{talk}");
    assert!(!here.path().join("out").exists());
    run(here.path(), &["--paper", "a4"]);
    assert!(here.path().join("out/header-plan-a4.pdf").exists());
    assert!(!here.path().join("out/header-plan-letter.pdf").exists());
}

// ---- Lettering -------------------------------------------------------------------------------

fn check_lettering(drawing: &Drawing) -> Result<(), String> {
    let sheet = drawing.sheet();
    let texts = sheet.texts();
    for (i, a) in texts.iter().enumerate() {
        let inside = a.low.x > 5.0
            && a.low.y > 5.0
            && a.high.x < sheet.width() - 5.0
            && a.high.y < sheet.height() - 5.0;
        if !inside {
            return Err(format!("{}: {a:?} leaves the sheet", drawing.name));
        }
        if let Some(b) = texts[i + 1..].iter().find(|b| a.overlaps(b)) {
            return Err(format!("{}: {a:?} covers {b:?}", drawing.name));
        }
    }
    let origin = drawing.origin();
    for entity in &drawing.entities {
        let Shape::Line(_, contour) = &entity.shape else { continue };
        let (low, high) = contour.bounds().unwrap();
        let (low, high) = (point(low.x, -high.y) + origin, point(high.x, -low.y) + origin);
        let inside = low.x > 5.0
            && low.y > 5.0
            && high.x < sheet.width() - 5.0
            && high.y < sheet.height() - 5.0;
        if !inside {
            return Err(format!("{}: a line of {:?} leaves the sheet", drawing.name, entity.layer));
        }
    }
    Ok(())
}

/// Every line lies under the words of its drawing, whose plates part it, and the plate of a
/// dimension's figure leaves its own line whole.
fn check_plates(drawing: &Drawing) -> Result<(), String> {
    let svg = drawing.sheet().svg();
    for group in svg.split("<g class=").skip(1) {
        let group = group.split("</g>").next().unwrap();
        let Some(words) = group.find("<text") else { continue };
        if let Some(at) = group[words..].find("stroke=") {
            let line: String = group[words + at..].chars().take(60).collect();
            return Err(format!("{}: a line over words: {line}", drawing.name));
        }
    }
    let figures = drawing.entities.iter().filter(|e| e.layer == Layer::Dimensions);
    let (mut levels, mut lows) = (Vec::new(), Vec::new());
    for entity in figures {
        match &entity.shape {
            Shape::Line(_, line) => {
                let (low, high) = line.bounds().unwrap();
                if high.y - low.y < 1e-9 {
                    levels.push((low, high));
                }
            }
            Shape::Text(at, lettering, text) if !lettering.turned => {
                let area = lettering.text_box(point(at.x, -at.y), text);
                lows.push((area.low.x, area.high.x, -area.high.y - 0.25));
            }
            _ => {}
        }
    }
    for (from, to, low) in lows {
        // The line that carries it is the next one under it.
        let under = levels.iter().filter(|(a, b)| a.x < to && b.x > from && a.y < low + 0.5);
        let next = under.map(|(a, _)| a.y).fold(f64::NEG_INFINITY, f64::max);
        if next + 0.1 > low {
            return Err(format!("{}: a plate at {low} on its line at {next}", drawing.name));
        }
    }
    Ok(())
}

/// Hollow behind, a sprung moulding leans back to the cap's top: seen from the front its upper
/// edge runs there.
#[test]
fn a_sprung_moulding_reaches_its_top_in_elevation() {
    let sprung = INCHES.replace("make    = \"mill\"", "make    = \"buy\"\nspring  = 38");
    let job = Job::read("job.toml", &sprung).unwrap();
    let top = job.header.as_ref().unwrap().layout.levels.top;
    let elevation = named(drawings(&job), "header-elevation");
    let at_top = elevation.entities.iter().filter(|e| e.layer == Layer::CapMolding).any(|e| {
        matches!(&e.shape, Shape::Line(_, line) if line.bounds().is_some_and(|(low, high)| {
            (low.y - top).abs() < 1e-6 && (high.y - top).abs() < 1e-6 && high.x - low.x > 1000.0
        }))
    });
    assert!(at_top);
}

#[test]
fn no_lettering_of_the_samples_is_covered() {
    for text in [INCHES, METRIC] {
        let all = of(text);
        assert_eq!(all.len(), 6);
        for drawing in all {
            assert!(drawing.sheet().texts().len() > 5, "{}", drawing.name);
            check_lettering(&drawing).unwrap();
            check_plates(&drawing).unwrap();
        }
    }
}

fn drawn(layout: &Layout, unit: Unit) -> Vec<Drawing> {
    let ordinates: Vec<Point> = layout.cap.front().stations(8);
    header_drawings(&HeaderViews {
        title: "Reading-room door: header",
        layout,
        bed_mold: None,
        cymatium: None,
        ordinates: &ordinates,
        shown: Shown { unit, parts: 32 },
    })
}

fn headers() -> impl Strategy<Value = Header> {
    let frieze = (300.0..3000.0, 60.0..500.0, 6.0..40.0, -30.0..30.0);
    // Shares of what the frieze leaves, so that most headers can be made.
    let panel = prop::option::of((0.05..0.95, 0.0..1.0, 3.0..60.0, -1.0..1.0));
    let bed = (0.05..0.9, 5.0..90.0);
    let cymatium = prop::option::of((4.0..50.0, 6.0..120.0));
    let over = (0.0..60.0, 0.0..40.0, 0.0..30.0);
    (frieze, panel, bed, 8.0..50.0, cymatium, over, 1.0..6.0).prop_map(
        |((width, height, thickness, reveal), panel, bed, corona, cymatium, over, more)| {
            let length = width - 2.0 * reveal;
            let bed = BedMold { height: bed.0 * height, projection: bed.1 };
            let mut header = Header {
                cased_width: width,
                frieze: Frieze { height, thickness, reveal },
                panel: panel.map(|(w, h, t, o): (f64, f64, f64, f64)| Panel {
                    width: w * length,
                    height: bed.height + h * (height - bed.height),
                    thickness: t,
                    offset: o * (1.0 - w) * length * 0.45,
                }),
                bed_mold: bed,
                corona: Corona { thickness: corona },
                cymatium: cymatium.map(|(thickness, height)| Cymatium { thickness, height }),
                overhang: Overhang { ends: over.0, front: over.1, at_break: over.2 },
                front: Front::Least,
            };
            if let Ok(layout) = header.layout() {
                let rise = f64::min(layout.least_rise * more, layout.cap.chord / 2.0);
                header.front = Front::Rise(rise);
            } else if header.panel.is_none() {
                header.front = Front::Rise(width / (20.0 * more));
            }
            header
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]
    #[test]
    fn no_lettering_of_any_header_is_covered(header in headers()) {
        let layout = header.layout();
        prop_assume!(layout.is_ok());
        for unit in [Unit::In, Unit::Mm] {
            for drawing in drawn(layout.as_ref().unwrap(), unit) {
                let checked = check_lettering(&drawing);
                let checked = checked.and_then(|()| check_plates(&drawing));
                prop_assert!(checked.is_ok(), "{}", checked.unwrap_err());
            }
        }
    }
}

// ---- DXF -------------------------------------------------------------------------------------

#[test]
fn dxf_holds_every_entity_on_its_layer_and_the_true_arc() {
    for text in [INCHES, METRIC] {
        for drawing in of(text) {
            let bytes = ovolo::drawing::dxf(&drawing).unwrap();
            let file = dxf::Drawing::load(&mut bytes.as_slice()).unwrap();
            assert_eq!(file.header.default_drawing_units, dxf::enums::Units::Millimeters);
            // Lines that make way for lettering come in several parts, all else in one.
            let mut read = file.entities().peekable();
            for meant in &drawing.entities {
                let kind = |e: &EntityType| match e {
                    EntityType::Text(_) => 0,
                    EntityType::Solid(_) => 1,
                    _ => 2,
                };
                let (wanted, broken) = match meant.shape {
                    Shape::Text(..) => (0, false),
                    Shape::Filled(_) => (1, false),
                    Shape::Line(style, _) => (2, style != LineStyle::Visible),
                };
                let own = |e: &&dxf::entities::Entity| {
                    e.common.layer == meant.layer.name()
                        && kind(&e.specific) == wanted
                        && (e.common.lineweight_enum_value == 18) == (broken || wanted < 2)
                };
                if broken {
                    while read.next_if(own).is_some() {}
                } else {
                    assert!(read.next_if(own).is_some(), "{}: {meant:?}", drawing.name);
                }
            }
            assert!(read.next().is_none(), "{}", drawing.name);
            let mut layers: Vec<&str> = drawing.entities.iter().map(|e| e.layer.name()).collect();
            layers.sort_unstable();
            layers.dedup();
            for layer in layers {
                assert!(file.layers().any(|l| l.name == layer), "{layer} is no layer");
            }
        }
    }
}

/// Points along a line of a DXF, a tenth of a millimetre or less apart.
fn along(entity: &EntityType) -> Vec<Point> {
    let between = |count: usize, at: &dyn Fn(f64) -> Point| -> Vec<Point> {
        (0..=count).map(|i| at(i as f64 / count as f64)).collect()
    };
    let straight = |a: Point, b: Point| {
        between((a.distance(b) * 10.0).ceil().max(1.0) as usize, &|t| a + (b - a) * t)
    };
    match entity {
        EntityType::Line(l) => straight(point(l.p1.x, l.p1.y), point(l.p2.x, l.p2.y)),
        EntityType::Arc(a) => {
            let sweep = (a.end_angle - a.start_angle).rem_euclid(360.0).to_radians();
            let count = (a.radius * sweep * 10.0).ceil().max(1.0) as usize;
            let start = a.start_angle.to_radians();
            let centre = point(a.center.x, a.center.y);
            between(count, &|t| centre + Point::polar(a.radius, start + sweep * t))
        }
        EntityType::LwPolyline(p) => {
            let vertices =
                p.vertices.iter().map(|v| Vertex { at: point(v.x, v.y), bulge: v.bulge }).collect();
            let contour = Contour { vertices, closed: p.is_closed() };
            let pieces: Vec<_> = contour.pieces().collect();
            pieces
                .iter()
                .flat_map(|p| between((p.length() * 10.0).ceil().max(1.0) as usize, &|t| p.at(t)))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// Nothing white can be laid under a text in DXF, so thin lines end before it.
#[test]
fn no_thin_line_of_a_dxf_runs_through_lettering() {
    for text in [INCHES, METRIC] {
        for drawing in of(text) {
            let boxes: Vec<_> = drawing
                .entities
                .iter()
                .filter_map(|e| match &e.shape {
                    Shape::Text(at, lettering, text) => {
                        Some(lettering.text_box(point(at.x, -at.y), text))
                    }
                    _ => None,
                })
                .collect();
            let bytes = ovolo::drawing::dxf(&drawing).unwrap();
            let file = dxf::Drawing::load(&mut bytes.as_slice()).unwrap();
            for entity in file.entities().filter(|e| e.common.lineweight_enum_value == 18) {
                for p in along(&entity.specific) {
                    let through = boxes.iter().find(|b| {
                        p.x > b.low.x && p.x < b.high.x && -p.y > b.low.y && -p.y < b.high.y
                    });
                    let layer = &entity.common.layer;
                    assert!(
                        through.is_none(),
                        "{}: {layer} runs through {:?}",
                        drawing.name,
                        through.map(|b| &b.text)
                    );
                }
            }
        }
    }
}

/// Inch sample: chord 44 in, radius 489.0625 / 4.5 in (worked in tests/header_job.rs); metric:
/// 1100 and 3050 mm.
#[test]
fn dxf_gives_the_caps_chord_and_radius_back() {
    let known = [(INCHES, 44.0 * INCH, 489.0625 / 4.5 * INCH), (METRIC, 1100.0, 3050.0)];
    for (text, chord, radius) in known {
        let drawing = named(of(text), "header-cap-template");
        let bytes = ovolo::drawing::dxf(&drawing).unwrap();
        let file = dxf::Drawing::load(&mut bytes.as_slice()).unwrap();
        let cap = file
            .entities()
            .filter(|e| e.common.layer == Layer::Cap.name())
            .find_map(|e| match &e.specific {
                EntityType::LwPolyline(p) => Some(p.clone()),
                _ => None,
            })
            .unwrap();
        let arcs: Vec<usize> =
            (0..cap.vertices.len()).filter(|&i| cap.vertices[i].bulge != 0.0).collect();
        assert_eq!(arcs.len(), 1);
        let (a, b) = (&cap.vertices[arcs[0]], &cap.vertices[(arcs[0] + 1) % cap.vertices.len()]);
        let read_chord = (b.x - a.x).hypot(b.y - a.y);
        // A bulge is the tangent of a quarter of the sweep: sagitta = bulge * chord / 2.
        let sagitta = a.bulge.abs() * read_chord / 2.0;
        let read_radius = (read_chord * read_chord / 4.0 + sagitta * sagitta) / (2.0 * sagitta);
        assert!((read_chord - chord).abs() < 1e-6, "{read_chord}");
        assert!((read_radius - radius).abs() < 1e-5, "{read_radius}");
    }
}

// ---- PDF, measured in pixels -----------------------------------------------------------------

/// Part of a page at 600 pixels to the inch: from `low` to `high`, mm from the upper left corner.
fn raster(file: &Path, page: usize, low: Point, high: Point) -> image::RgbImage {
    let corner = [low.x, low.y].map(|mm| (mm * PIXELS).floor());
    let size = [(high.x - low.x), (high.y - low.y)].map(|mm| (mm * PIXELS).ceil());
    let number = |n: f64| format!("{n}");
    let into = file.with_extension(format!("{page}"));
    let done = Command::new("pdftoppm")
        .args(["-r", "600", "-png", "-singlefile"])
        .args(["-f", &page.to_string(), "-l", &page.to_string()])
        .args(["-x", &number(corner[0]), "-y", &number(corner[1])])
        .args(["-W", &number(size[0]), "-H", &number(size[1])])
        .args([file, into.as_path()])
        .status()
        .expect("pdftoppm is needed to measure the pages: install poppler-utils");
    assert!(done.success());
    let picture = std::path::PathBuf::from(format!("{}.png", into.display()));
    image::open(picture).unwrap().into_rgb8()
}

/// Middle of a thick black upright near `x`, mm in the picture.
fn thick_upright(picture: &image::RgbImage, x: f64) -> f64 {
    let row = picture.height() / 2;
    let dark = |i: u32| picture.get_pixel(i, row).0.iter().all(|&v| v < 128);
    let (low, high) = (((x - 3.0) * PIXELS) as u32, ((x + 3.0) * PIXELS) as u32);
    let mut found = Vec::new();
    let mut i = low;
    while i < high {
        let start = i;
        while i < high && dark(i) {
            i += 1;
        }
        // Thick lines are 0.36 mm wide, 8.5 pixels; thin ones 4.
        if (7..=10).contains(&(i - start)) {
            found.push(f64::from(start + i) / 2.0 / PIXELS);
        }
        i += 1;
    }
    assert_eq!(found.len(), 1, "one thick line near {x}: {found:?}");
    found[0]
}

/// Where the crosses' uprights stand between `low` and `high`, mm in the picture.
fn cross(picture: &image::RgbImage, low: f64, high: f64) -> f64 {
    let coloured = |x: u32, y: u32| {
        let [r, g, b] = picture.get_pixel(x, y).0;
        r > 150 && g < 160 && b < 110
    };
    let counts: Vec<(f64, u32)> = ((low * PIXELS) as u32..(high * PIXELS) as u32)
        .map(|x| (f64::from(x), (0..picture.height()).filter(|&y| coloured(x, y)).count() as u32))
        .collect();
    let most = counts.iter().map(|c| c.1).max().unwrap();
    assert!(most > 150, "a cross of 10 mm: {most} pixels");
    let tall: Vec<f64> = counts.iter().filter(|c| 2 * c.1 > most).map(|c| c.0 + 0.5).collect();
    tall.iter().sum::<f64>() / tall.len() as f64 / PIXELS
}

/// Half of the cap's end depth under the wall's edge, on the sheet; and its two ends.
fn ends(drawing: &Drawing, chord: f64, depth: f64) -> (Point, Point) {
    let origin = drawing.origin();
    let y = origin.y + depth * 0.5;
    (point(origin.x - chord / 2.0, y), point(origin.x + chord / 2.0, y))
}

const KNOWN: [(&str, f64, f64, Paper); 2] =
    [(INCHES, 44.0 * INCH, 3.0 * INCH, Paper::Letter), (METRIC, 1100.0, 70.0, Paper::A4)];

#[test]
fn the_chord_measures_true_on_one_sheet() {
    let here = TempDir::new().unwrap();
    for (text, chord, depth, _) in KNOWN {
        let drawing = named(of(text), "header-cap-template");
        let file = here.path().join("one.pdf");
        std::fs::write(&file, pdf(&drawing).unwrap()).unwrap();
        let (left, right) = ends(&drawing, chord, depth);
        let width = drawing.sheet().width();
        let picture = raster(&file, 1, point(0.0, left.y - 0.5), point(width, left.y + 0.5));
        let measured = thick_upright(&picture, right.x) - thick_upright(&picture, left.x);
        assert!((measured - chord).abs() < 0.2, "{measured} mm for {chord}");
    }
}

#[test]
fn the_chord_measures_true_on_pages_laid_cross_on_cross() {
    let here = TempDir::new().unwrap();
    for (text, chord, depth, paper) in KNOWN {
        let drawing = named(of(text), "header-cap-template");
        let file = here.path().join("pages.pdf");
        std::fs::write(&file, pages(&drawing, paper).unwrap().unwrap()).unwrap();
        let sheet = drawing.sheet();
        let tiling = Tiling::new(point(sheet.width(), sheet.height()), paper).unwrap();
        let (left, right) = ends(&drawing, chord, depth);
        let holds = |c: usize, p: Point| {
            let x = p.x - tiling.origin(c, 0).x;
            (4.0..tiling.window.x - 4.0).contains(&x)
        };
        let first = (0..tiling.columns).find(|&c| holds(c, left)).unwrap();
        let last = (0..tiling.columns).find(|&c| holds(c, right)).unwrap();
        let row = (0..tiling.rows)
            .find(|&r| (1.0..tiling.window.y - 1.0).contains(&(left.y - tiling.origin(0, r).y)))
            .unwrap();
        assert!(last > first + 2, "the chord goes over several pages");
        let (corner, window) = (tiling.corner, tiling.window);
        let mut measured = 0.0;
        for column in first..=last {
            // The first page of the file is the key plan.
            let page = row * tiling.columns + column + 2;
            let strip = |y: f64, half: f64| {
                raster(&file, page, point(0.0, y - half), point(tiling.page.x, y + half))
            };
            let end = |p: Point| {
                let at = p - tiling.origin(column, row) + corner;
                thick_upright(&strip(at.y, 0.5), at.x)
            };
            let marks = strip(corner.y + window.y * 0.25, 6.0);
            let far = corner.x + window.x;
            let to = if column == last { end(right) } else { cross(&marks, far - 14.0, far - 1.0) };
            let from = if column == first {
                end(left)
            } else {
                cross(&marks, corner.x + 1.0, corner.x + 14.0)
            };
            measured += to - from;
        }
        assert!((measured - chord).abs() < 0.2, "{measured} mm for {chord}");
    }
}

// ---- Views -----------------------------------------------------------------------------------

/// Inch sample (worked in tests/header_job.rs): the cap is 44 long, its moulding 3/4 thick, so
/// 45 1/2 over all; frieze 7 1/2 and corona 3/4 high make 8 1/4; end depth 3, rise 2 1/4 and
/// moulding 3/4 make 6 out from the wall.
#[test]
fn views_reach_as_far_as_the_header() {
    let header = Job::read("job.toml", INCHES).unwrap().header.unwrap();
    let (bed, cap) = (header.bed_standing(), header.cap_standing());
    let size = |lines: &[ovolo::layout::Outline]| {
        let all: Vec<_> = lines.iter().filter_map(|o| o.line.bounds()).collect();
        let low = all.iter().fold((f64::MAX, f64::MAX), |m, b| (m.0.min(b.0.x), m.1.min(b.0.y)));
        let high = all.iter().fold((f64::MIN, f64::MIN), |m, b| (m.0.max(b.1.x), m.1.max(b.1.y)));
        ((high.0 - low.0) / INCH, (high.1 - low.1) / INCH)
    };
    let near = |got: (f64, f64), want: (f64, f64)| {
        assert!((got.0 - want.0).abs() < 1e-9 && (got.1 - want.1).abs() < 1e-9, "{got:?}");
    };
    near(size(&header.layout.elevation(bed, cap)), (45.5, 8.25));
    near(size(&header.layout.section(bed, cap)), (6.0, 8.25));
}
