//! The verdict as text for people.

use super::surface::Worst;
use super::verdict::{Finding, Outcome, Severity, Span, Standing, Verdict};
use crate::units::{Shown, area, bound, decimal};
use std::fmt::{self, Write};

/// Less area than this, mm2, is a rim of cells and no surface.
const WORTH_TELLING: f64 = 100.0;

impl Verdict {
    /// The verdict as a text table: how it ended, what was found, every interlock, extents, and
    /// what the figures rest on.
    #[must_use]
    pub fn render(&self, shown: Shown) -> String {
        let mut out = String::new();
        // Writing to a string does not fail.
        let _ = self.write(&mut out, shown);
        out
    }

    fn write(&self, out: &mut String, shown: Shown) -> fmt::Result {
        writeln!(out, "{}", self.headline())?;
        writeln!(out, "lines {}, SHA-256 {}", self.lines, self.sha256)?;
        if !self.findings.is_empty() {
            writeln!(out, "\nFINDINGS")?;
            for finding in &self.findings {
                finding.write(out, shown)?;
            }
        }
        if self.unlisted > 0 {
            writeln!(out, "and {} more that are not listed", self.unlisted)?;
        }
        for line in self.judged(shown) {
            writeln!(out, "{line}")?;
        }
        self.write_interlocks(out)?;
        self.write_extents(out, shown)?;
        writeln!(out, "\nNOTES")?;
        for note in &self.notes {
            writeln!(out, "- {note}")?;
        }
        writeln!(out, "- this tells what was checked and found, not that the program is safe")
    }

    /// `Refused: 2 refusals, 1 caution`.
    #[must_use]
    pub fn headline(&self) -> String {
        let refusals: usize = self.interlocks.iter().map(|r| r.refusals).sum();
        let cautions: usize = self.interlocks.iter().map(|r| r.cautions).sum();
        let count = |n: usize, one: &str| match n {
            1 => format!("1 {one}"),
            n => format!("{n} {one}s"),
        };
        let words = self.outcome.words();
        match self.outcome {
            Outcome::Passed => words.to_string(),
            Outcome::PassedWithCautions => format!("{words}: {}", count(cautions, "caution")),
            Outcome::Refused => {
                format!("{words}: {}, {}", count(refusals, "refusal"), count(cautions, "caution"))
            }
        }
    }

    /// What the judgement of the stock rests on, and how the surface came out, in sentences.
    #[must_use]
    pub fn judged(&self, shown: Shown) -> Vec<String> {
        let mm = |value: f64| decimal(value, shown.unit);
        let mut lines = Vec::new();
        if let Some(surface) = self.surface.as_ref().filter(|surface| surface.area >= WORTH_TELLING)
        {
            let share = 100.0 * surface.within;
            let worst = |worst: &Option<Worst>, name: &str| match worst {
                Some(Worst { depth, at: [x, y, _] }) => {
                    let depth = bound(*depth, shown.unit);
                    format!("greatest {name} {depth} at x {}, y {}", mm(*x), mm(*y))
                }
                None => format!("no {name}"),
            };
            lines.push(format!(
                "surface: {share:.2} % of the {} that were judged lie within {} of what is wanted; {}; {}",
                area(surface.area, shown.unit),
                bound(surface.tolerance, shown.unit),
                worst(&surface.gouge, "gouge"),
                worst(&surface.leftover, "leftover")
            ));
        }
        lines
    }

    fn write_interlocks(&self, out: &mut String) -> fmt::Result {
        writeln!(out, "\nINTERLOCKS")?;
        for result in &self.interlocks {
            let standing = match result.standing {
                Standing::Held => "held",
                Standing::Cautions => "cautions",
                Standing::Broken => "broken",
                Standing::NotJudged => "not judged",
            };
            let name = result.interlock.name();
            write!(out, "{} {name:<22}{standing}", result.code)?;
            match (&result.why, result.standing) {
                (Some(why), Standing::NotJudged) => writeln!(out, ": {why}")?,
                (Some(why), _) => writeln!(out, "; not judged in part: {why}")?,
                (None, _) => writeln!(out)?,
            }
        }
        Ok(())
    }

    fn write_extents(&self, out: &mut String, shown: Shown) -> fmt::Result {
        let Some(travelling) = &self.extents.travelling else { return Ok(()) };
        writeln!(out, "\nEXTENTS ({}, work coordinates)", shown.unit.name())?;
        writeln!(out, "{:<14}{:>20}{:>20}{:>20}", "", "x", "y", "z")?;
        let mut row = |name: &str, span: &Span| {
            write!(out, "{name:<14}")?;
            for axis in 0..3 {
                let (from, to) = (bare(span.from[axis], shown), bare(span.to[axis], shown));
                write!(out, "{:>20}", format!("{from} to {to}"))?;
            }
            writeln!(out)
        };
        row("all motion", travelling)?;
        if let Some(cutting) = &self.extents.cutting {
            row("cutting", cutting)?;
        }
        for cutter in &self.extents.cutters {
            let name = cutter.cutter.map_or("no cutter".to_string(), |n| format!("cutter {n}"));
            if let Some(cutting) = &cutter.cutting {
                row(&name, cutting)?;
            }
        }
        Ok(())
    }
}

impl Finding {
    fn write(&self, out: &mut String, shown: Shown) -> fmt::Result {
        let severity = match self.severity {
            Severity::Refusal => "refused",
            Severity::Caution => "caution",
        };
        let code = self.interlock.code();
        let name = self.interlock.name();
        writeln!(out, "line {}, {severity}, {code} {name}: {}", self.line, self.message)?;
        if !self.text.is_empty() {
            writeln!(out, "    | {}", self.text)?;
        }
        if let Some(at) = self.at {
            let [x, y, z] = [at.x, at.y, at.z].map(|v| decimal(v, shown.unit));
            writeln!(out, "    at x {x}, y {y}, z {z}")?;
        }
        if self.more > 0 {
            let lines = if self.more == 1 { "line" } else { "lines" };
            writeln!(out, "    and {} more {lines}, up to line {}", self.more, self.last_line)?;
        }
        writeln!(out, "    help: {}", self.help)
    }
}

/// A length without its unit.
fn bare(mm: f64, shown: Shown) -> String {
    let text = decimal(mm, shown.unit);
    text.split(' ').next().unwrap_or_default().to_string()
}
