//! The picture of a cut cap, wherever the zero is: no lettering leaves the sheet or covers other
//! lettering.

use ovolo::drawing::{PreviewInput, preview_sheet};
use ovolo::job::Job;
use ovolo::make;
use ovolo::post::Dialect;
use ovolo::shop::Shop;

fn job(corner: &str, height: &str, [l, w, t, chord, rise]: [f64; 5], units: &str) -> String {
    let end = w - rise - 30.0;
    format!(
        "title = \"Reading-room doorway, cap\"\nunits = \"{units}\"\nspecies = \"red-maple\"\n\
         [stock]\nlength = \"{l} mm\"\nwidth = \"{w} mm\"\nthickness = \"{t} mm\"\n\
         [zero]\ncorner = \"{corner}\"\nheight = \"{height}\"\n\
         [hold]\nbed = \"tape\"\n\
         clamps = [{{ name = \"toe clamp\", from = [\"-30 mm\", \"0 mm\"], to = [\"4 mm\", \"30 mm\"], height = \"40 mm\" }}]\n\
         [[part]]\nkind = \"cap\"\nchord = \"{chord} mm\"\nrise = \"{rise} mm\"\nend-depth = \"{end} mm\"\n"
    )
}

#[test]
fn no_lettering_is_clipped_or_covered() {
    let shop = Shop::built_in().unwrap_or_else(|e| panic!("{e}"));
    let dialect = Dialect::find("millimetres").unwrap_or_else(|e| panic!("{e}"));
    let sizes = [
        [700.0, 200.0, 22.0, 600.0, 60.0],
        [220.0, 160.0, 19.0, 150.0, 20.0],
        [1240.0, 140.0, 19.0, 1150.0, 12.0],
        [500.0, 420.0, 12.0, 400.0, 190.0],
    ];
    let corners = ["front-left", "front-right", "back-left", "back-right", "middle"];
    for size in sizes {
        for corner in corners {
            for (height, units) in [("top", "in"), ("table", "mm")] {
                let name = format!("{size:?} {corner} {height} {units}");
                let job = Job::read("job.toml", &job(corner, height, size, units))
                    .unwrap_or_else(|e| panic!("{name}: {e}"));
                let parts =
                    make::make(&job, &shop, &dialect).unwrap_or_else(|e| panic!("{name}: {e}"));
                let (plan, program) = (&parts[0].plan, &parts[0].programs[0]);
                let sheet = preview_sheet(&PreviewInput {
                    title: &job.file.title,
                    program_name: &program.file_name,
                    sha256: &program.verdict.sha256,
                    events: &program.read.events,
                    stock: Some(plan.stock),
                    part: std::slice::from_ref(&plan.outline),
                    clamps: &plan.clamps,
                    screws: &plan.screws,
                    cutters: &shop.cutters,
                    seconds: &program.read.seconds,
                    shown: job.shown,
                    grain: Some(0.0),
                });
                let texts = sheet.texts();
                assert!(texts.len() > 20, "{name}: {} texts", texts.len());
                for (i, a) in texts.iter().enumerate() {
                    let inside = a.low.x >= 0.0 && a.low.y >= 0.0 && a.high.x <= sheet.width();
                    assert!(inside, "{name}: {a:?} leaves the sheet");
                    for b in &texts[..i] {
                        assert!(!a.overlaps(b), "{name}: {a:?} covers {b:?}");
                    }
                }
            }
        }
    }
}
