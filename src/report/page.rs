//! One page that shows a program at work: the stock as it is cut, over time, beside the text.
//! It holds all it needs and asks no network.

mod pack;

use crate::drawing::escape;
use crate::dry_run::film::Film;
use crate::dry_run::{Severity, Verdict};
use crate::geometry::Box3;
use crate::ngc::{Event, What};
use crate::shop::Cutter;
use crate::units::Shown;
use base64::Engine;
use pack::{Pack, deflated};
use serde_json::json;

/// How far a chord of the drawn path may leave its arc, mm: less than a pixel.
const CHORD: f64 = 0.05;

/// Steps per millimetre of the drawn path.
const STEPS: f64 = 100.0;

/// Heights of the stock are told apart in so many steps.
const HEIGHTS: f64 = 65_535.0;

/// The page's parts, put together by [`PageInput::html`].
const HTML: &str = include_str!("page/page.html");
const CSS: &str = include_str!("page/page.css");
const SCRIPTS: [&str; 4] = [
    include_str!("page/film.js"),
    include_str!("page/scene.js"),
    include_str!("page/text.js"),
    include_str!("page/page.js"),
];

/// How many stretches of time a page is cut into.
pub(super) const FRAMES: usize = 240;

/// What a page shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct PageInput<'a> {
    /// What the job is called.
    pub(super) title: &'a str,
    /// The program's file.
    pub(super) program: &'a str,
    /// The program's text.
    pub(super) text: &'a str,
    /// What it does.
    pub(super) events: &'a [Event],
    /// Seconds of each event.
    pub(super) seconds: &'a [f64],
    /// The stock over time.
    pub(super) film: &'a Film,
    /// What the dry run says.
    pub(super) verdict: &'a Verdict,
    /// The shop's cutters.
    pub(super) cutters: &'a [Cutter],
    /// Clamps and screws.
    pub(super) clamps: &'a [(String, Box3)],
    /// Extents and times as aligned text.
    pub(super) table: &'a str,
    /// How lengths are shown.
    pub(super) shown: Shown,
    /// Of a carving a PNG: as designed, as cut, and the difference.
    pub(super) relief: Option<&'a [u8]>,
}

/// The carving's picture, small beside the text and large when it is asked for.
fn relief(png: &[u8]) -> String {
    let picture = format!(
        "<img alt=\"The carving as designed, as the text cuts it, and the difference\" \
         src=\"data:image/png;base64,{}\">",
        base64::engine::general_purpose::STANDARD.encode(png)
    );
    format!(
        "<section id=\"relief\"><h2>Carving: as designed, as cut, the difference</h2>\
         <button type=\"button\" id=\"relief-open\" aria-label=\"Show it large\">{picture}</button>\
         </section>"
    )
}

impl PageInput<'_> {
    /// The page.
    pub(super) fn html(&self) -> String {
        let facts = self.facts().to_string().replace("</", "<\\/");
        let fill = [
            ("{{title}}", escape(self.title)),
            ("{{program}}", escape(self.program)),
            ("{{outcome}}", escape(self.verdict.outcome.words())),
            ("{{sha}}", self.verdict.sha256.clone()),
            ("{{table}}", escape(self.table)),
            ("{{relief}}", self.relief.map(relief).unwrap_or_default()),
            ("{{style}}", CSS.to_string()),
            ("{{facts}}", facts),
            ("{{film}}", self.film()),
            ("{{path}}", self.path()),
            ("{{text}}", deflated(self.text.as_bytes())),
            ("{{script}}", SCRIPTS.concat()),
        ];
        // Each mark is looked for in the template alone, never in what was filled in.
        let mut page = String::new();
        let mut rest = HTML;
        while let Some(at) = rest.find("{{") {
            page.push_str(&rest[..at]);
            rest = &rest[at..];
            match fill.iter().find(|(mark, _)| rest.starts_with(mark)) {
                Some((mark, value)) => {
                    page.push_str(value);
                    rest = &rest[mark.len()..];
                }
                None => {
                    page.push_str("{{");
                    rest = &rest[2..];
                }
            }
        }
        page.push_str(rest);
        page
    }

    fn facts(&self) -> serde_json::Value {
        let film = self.film;
        let cutters: Vec<_> = film.cutters.iter().map(|number| self.cutter(*number)).collect();
        let findings: Vec<_> = self
            .verdict
            .findings
            .iter()
            .map(|f| {
                json!({
                    "line": f.line,
                    "interlock": format!("{} {}", f.interlock.code(), f.interlock.name()),
                    "refusal": f.severity == Severity::Refusal,
                    "more": f.more,
                    "last": f.last_line,
                    "message": f.message,
                    "help": f.help,
                    "at": f.at.map(|p| [p.x, p.y, p.z]),
                })
            })
            .collect();
        let space = |b: &Box3| json!([b.min.x, b.min.y, b.min.z, b.max.x, b.max.y, b.max.z]);
        json!({
            "unit": self.shown.unit.name(),
            "stock": space(&film.stock),
            "floor": film.floor,
            "steps": HEIGHTS,
            "field": {
                "x": film.min.x, "y": film.min.y, "cell": film.cell,
                "columns": film.columns, "rows": film.rows, "frames": film.frames.len(),
            },
            "cutters": cutters,
            "findings": findings,
            "unlisted": self.verdict.unlisted,
            "clamps": self.clamps.iter().map(|(_, b)| space(b)).collect::<Vec<_>>(),
            "seconds": self.seconds.iter().sum::<f64>(),
        })
    }

    /// A cutter's name, and its outline as radius and height above the tip.
    fn cutter(&self, number: u32) -> serde_json::Value {
        let Some(cutter) = self.cutters.iter().find(|c| c.number == number) else {
            return json!({ "number": number, "name": "", "outline": [] });
        };
        let length = cutter.flute_length.0;
        // Sixteen heights, closer at the tip, where balls and cones change most.
        let outline: Vec<[f64; 2]> = (0..=16)
            .map(|i| {
                let height = length * (f64::from(i) / 16.0).powi(2);
                [cutter.width_at(height) / 2.0, height]
            })
            .collect();
        json!({
            "number": number,
            "name": cutter.name,
            "outline": outline,
            "holder": [cutter.holder_diameter.0 / 2.0, cutter.stick_out.0],
        })
    }

    /// Frames: how many cells each changes; cells, heights, cutters, loads of them all; then cells
    /// and heights of what was cut before.
    fn film(&self) -> String {
        let film = self.film;
        let span = (film.stock.max.z - film.floor).max(1e-6);
        let all = || film.frames.iter().flatten();
        let mut pack = Pack::default();
        // Counts and cells are far below what an integer holds.
        pack.differences(film.frames.iter().map(|frame| frame.len() as i64));
        pack.differences(all().map(|c| i64::from(c.cell)));
        let step = |height: f32| {
            let share = (f64::from(height) - film.floor) / span;
            // From 0 to 65,535.
            (share.clamp(0.0, 1.0) * HEIGHTS).round() as i64
        };
        pack.differences(all().map(|c| step(c.height)));
        pack.bytes(all().map(|c| c.cutter));
        pack.bytes(all().map(|c| c.load));
        pack.differences(film.start.iter().map(|(cell, _)| i64::from(*cell)));
        pack.differences(film.start.iter().map(|(_, height)| step(*height)));
        pack.text()
    }

    /// Points of the path: x, y, z in hundredths of a millimetre, milliseconds since the start,
    /// line, and what leads there: bit 0 a traverse, the cutter, the load.
    fn path(&self) -> String {
        let mut points: Vec<[i64; 5]> = Vec::new();
        let mut traverse = Vec::new();
        let mut cutters = Vec::new();
        let mut loads = Vec::new();
        let mut gone = 0.0;
        let mut slot = u8::MAX;
        let slots = &self.film.cutters;
        if slots.len() == 1 {
            slot = 0;
        }
        // Clamped: a wild coordinate is drawn at the edge of what can be drawn.
        let step = |v: f64| (v.clamp(-1e6, 1e6) * STEPS).round() as i64;
        for (i, (event, seconds)) in self.events.iter().zip(self.seconds).enumerate() {
            match &event.what {
                What::CutterChange { cutter } => {
                    let at = slots.iter().position(|c| c == cutter);
                    slot = at.and_then(|at| u8::try_from(at).ok()).unwrap_or(u8::MAX);
                }
                What::Motion(m) if !m.machine && m.known.iter().all(|k| *k) => {
                    let chords = m.stroke.flattened(CHORD);
                    let count = chords.len().saturating_sub(1).max(1);
                    let skip = usize::from(!points.is_empty());
                    for (k, p) in chords.iter().enumerate().skip(skip) {
                        let time = gone + seconds * k as f64 / count as f64;
                        let ms = (time * 1000.0).round() as i64;
                        points.push([step(p.x), step(p.y), step(p.z), ms, event.line as i64]);
                        traverse.push(u8::from(m.feed.is_none()));
                        cutters.push(slot);
                        loads.push(self.film.loads.get(i).copied().unwrap_or(0));
                    }
                }
                _ => {}
            }
            gone += seconds;
        }
        let mut pack = Pack::default();
        for i in 0..5 {
            pack.differences(points.iter().map(|p| p[i]));
        }
        pack.bytes(traverse);
        pack.bytes(cutters);
        pack.bytes(loads);
        pack.text()
    }
}
