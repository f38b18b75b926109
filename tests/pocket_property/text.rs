//! A case as a job, cut, written as text, and read back.

use super::frame::{AROUND, on_part};
use crate::shapes::{Case, radius};
use ovolo::cuts;
use ovolo::diagnostic::Failure;
use ovolo::geometry::Stroke;
use ovolo::job::Job;
use ovolo::ngc::{self, What};
use ovolo::part::features::{Corners, Face, Open, Pocket, Start};
use ovolo::post::{self, Dialect, Heading};
use ovolo::shop::Shop;

/// The board, large enough for every case.
pub const BOARD: f64 = 90.0;

/// What stays the same from case to case.
pub struct Bench {
    shop: Shop,
    job: Job,
    dialect: Dialect,
}

/// What the program's text cuts in the part frame.
pub struct Cut {
    /// Feed strokes below the board's top, with the radius of their cutter, off the board's own outline.
    pub strokes: Vec<(Stroke, f64)>,
    /// What the setup sheet says.
    pub remarks: Vec<String>,
}

impl Bench {
    pub fn new() -> Bench {
        let stock = BOARD + 2.0 * AROUND;
        let text = format!(
            "title = \"pocket\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
             stock = {{ length = {stock}, width = {stock}, thickness = 19 }}\n\
             hold = {{ bed = \"tape\" }}\n\
             [[part]]\nkind = \"board\"\nlength = {BOARD}\nwidth = {BOARD}\n\
             outline = {{ depth = 1 }}\n"
        );
        Bench {
            shop: Shop::built_in().unwrap(),
            job: Job::read("pocket.toml", &text).unwrap(),
            dialect: Dialect::find("millimetres").unwrap(),
        }
    }

    /// What the text of the case's program cuts, or why there is none.
    pub fn cut(&self, case: &Case) -> Result<Cut, Failure> {
        let mut job = self.job.clone();
        let pocket = |(i, (region, depth)): (usize, &(_, f64))| Pocket {
            key: format!("pocket[{}]", i + 1),
            region: Clone::clone(region),
            open: Open::default(),
            depth: *depth,
            cutters: case.cutters.clone(),
            corners: Corners::AsCut,
            clearing: case.clearing,
            start: Start::default(),
            face: Face::Top,
        };
        job.parts[0].features.pockets = case.pockets.iter().enumerate().map(pocket).collect();
        let plan = cuts::plan(&job, &self.shop)?.remove(0);
        let program = post::write(&plan.toolpath, &self.dialect, &Heading::default())?.remove(0);
        let mut cut = Cut { strokes: Vec::new(), remarks: plan.remarks };
        let mut cutter = 0.0;
        let (events, problems) = ngc::interpret_all(&program.text, &ngc::Options::default());
        assert!(problems.is_empty(), "{problems:?}");
        for event in events {
            match event.what {
                What::CutterChange { cutter: number } => cutter = radius(number),
                What::Motion(m) if m.stroke.from.z.min(m.stroke.to.z) < -0.01 => {
                    let (from, to) = (m.stroke.from, m.stroke.to);
                    if m.feed.is_none() && from.xy() == to.xy() && to.z > from.z {
                        continue;
                    }
                    assert!(m.feed.is_some(), "{}: a traverse in the wood", case.name);
                    let stroke = on_part(m.stroke);
                    let off = |p: f64| !(0.0..=BOARD).contains(&p);
                    let outside = [stroke.from, stroke.to].iter().all(|p| off(p.x) || off(p.y));
                    if !outside {
                        cut.strokes.push((stroke, cutter));
                    }
                }
                _ => {}
            }
        }
        Ok(cut)
    }
}
