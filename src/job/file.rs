//! Reading a job file into parts that can be made.

use super::{Hold, OutlineCut, Placing, Stock, Zero};
use crate::diagnostic::{Diagnostic, Failure};
use crate::document::Document;
use crate::part::{Cap, CapShape};
use crate::shop::Overrides;
use crate::units::{Length, Shown, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A job as it is written: one or more parts, each cut from its own board.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct JobFile {
    /// What the job is, for the setup sheet.
    pub title: String,
    /// The unit of bare numbers in this file, and the one shown first.
    #[serde(default)]
    pub units: Unit,
    /// Fractions of an inch are shown to the nearest one of so many: 32 or 64.
    #[serde(default = "default_parts")]
    #[schemars(range(min = 2, max = 64))]
    pub fractions: u32,
    /// The wood: a species, or a sheet material such as mdf.
    pub species: String,
    /// The shop file, beside this file; the built-in shop without it.
    #[serde(default)]
    pub shop: Option<String>,
    /// The post-processor: a built-in name, or a file beside this one.
    #[serde(default)]
    pub post: Option<String>,
    /// The board, for every part that does not name its own.
    #[serde(default)]
    pub stock: Option<Stock>,
    /// What holds it, for every part that does not say so itself.
    #[serde(default)]
    pub hold: Option<Hold>,
    /// Where the work zero is, for every part that does not say so itself.
    #[serde(default)]
    pub zero: Zero,
    /// Feeds, speeds and depths that overrule the shop's, for every cutter of the job.
    #[serde(default)]
    pub feeds: Overrides,
    /// What is to be made.
    #[schemars(length(min = 1))]
    pub part: Vec<PartEntry>,
}

fn default_parts() -> u32 {
    32
}

/// One part of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct PartEntry {
    /// Names the part's program: letters, digits and hyphens. The kind serves without it.
    #[serde(default)]
    pub name: Option<String>,
    /// Its own board.
    #[serde(default)]
    pub stock: Option<Stock>,
    /// What holds its board.
    #[serde(default)]
    pub hold: Option<Hold>,
    /// Its own work zero.
    #[serde(default)]
    pub zero: Option<Zero>,
    /// Where the part's lower left corner lies on the stock, x and y from the stock's front
    /// left corner; in the middle of the stock without it.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// How its outline is cut.
    #[serde(default)]
    pub outline: OutlineCut,
    /// Feeds, speeds and depths for this part.
    #[serde(default)]
    pub feeds: Overrides,
    /// What it is.
    #[serde(flatten)]
    pub kind: PartKind,
}

/// What a part is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum PartKind {
    /// A cap with an arched front.
    Cap(CapShape),
}

impl PartKind {
    /// The word of `kind`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            PartKind::Cap(_) => "cap",
        }
    }
}

/// A job whose every part has a name, a board and a shape that can be.
#[derive(Clone, Debug)]
pub struct Job {
    /// As written.
    pub file: JobFile,
    /// The text, for places.
    pub document: Document,
    /// How lengths are shown.
    pub shown: Shown,
    /// The parts in order.
    pub parts: Vec<Part>,
}

/// A part that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Names its program.
    pub name: String,
    /// Its key in the job file: `part[1]`.
    pub key: String,
    /// Board, hold and zero.
    pub placing: Placing,
    /// Its lower left corner on the stock, from the stock's front left corner.
    pub at: [f64; 2],
    /// How its outline is cut.
    pub outline: OutlineCut,
    /// Overrides of the part over those of the job.
    pub feeds: Overrides,
    /// What it is.
    pub shape: Shape,
}

/// The shape of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A cap with an arched front.
    Cap(Cap),
}

impl Job {
    /// Reads a job. `name` stands in messages.
    ///
    /// # Errors
    /// [`Failure::Input`] for a file that is wrong, [`Failure::Refused`] for a part that can
    /// not be; each with places and the number that would work.
    pub fn read(name: &str, text: &str) -> Result<Job, Failure> {
        let (file, document) = Document::read::<JobFile>(name, text)?;
        let shown = Shown { unit: file.units, parts: file.fractions };
        let mut found = Vec::new();
        let mut parts = Vec::new();
        for (i, entry) in file.part.iter().enumerate() {
            match resolve(&file, entry, &format!("part[{}]", i + 1), shown) {
                Ok(part) => parts.push(part),
                Err(mut some) => found.append(&mut some),
            }
        }
        found.append(&mut doubled_names(&parts));
        if found.is_empty() {
            Ok(Job { file, document, shown, parts })
        } else {
            Err(Failure::Input(document.locate(found)))
        }
    }
}

fn resolve(
    file: &JobFile,
    entry: &PartEntry,
    key: &str,
    shown: Shown,
) -> Result<Part, Vec<Diagnostic>> {
    let mut found = Vec::new();
    let name = entry.name.clone().unwrap_or_else(|| entry.kind.word().to_string());
    if let Err(one) = check_name(&name, key) {
        found.push(one);
    }
    let shape = match &entry.kind {
        PartKind::Cap(shape) => shape.resolve(key, shown).map(Shape::Cap),
    };
    let (stock, stock_key) = match (entry.stock, file.stock) {
        (Some(own), _) => (Some(own), format!("{key}.stock")),
        (None, shared) => (shared, "stock".to_string()),
    };
    let Some(stock) = stock else {
        found.push(Diagnostic::error("the part has no stock").key(key).help(
            "give a [stock] table with length, width and thickness, for the job or in the part",
        ));
        return Err(found);
    };
    for (what, value) in
        [("length", stock.length), ("width", stock.width), ("thickness", stock.thickness)]
    {
        if value.0 <= 0.0 {
            found.push(
                Diagnostic::error(format!("{} is no {what} for a board", shown.one(value.0)))
                    .key(format!("{stock_key}.{what}"))
                    .help("measure the board"),
            );
        }
    }
    let hold_key = if entry.hold.is_some() { format!("{key}.hold") } else { "hold".to_string() };
    let hold = entry.hold.clone().or_else(|| file.hold.clone()).unwrap_or_default();
    found.extend(hold.problems(&hold_key));
    let placing = Placing { stock, hold, zero: entry.zero.unwrap_or(file.zero) };
    let shape = match shape {
        Ok(shape) if found.is_empty() => shape,
        Ok(_) => return Err(found),
        Err(mut some) => {
            found.append(&mut some);
            return Err(found);
        }
    };
    let at = place(entry, &shape, &placing, key, &stock_key, shown).map_err(|one| vec![one])?;
    Ok(Part {
        name,
        key: key.to_string(),
        placing,
        at,
        outline: entry.outline.clone(),
        feeds: entry.feeds.or(&file.feeds),
        shape,
    })
}

/// Where the part lies on its stock; it must lie within it.
fn place(
    entry: &PartEntry,
    shape: &Shape,
    placing: &Placing,
    key: &str,
    stock_key: &str,
    shown: Shown,
) -> Result<[f64; 2], Diagnostic> {
    let Shape::Cap(cap) = shape;
    let size = [cap.front.chord, cap.centre_depth()];
    let board = [placing.stock.length.0, placing.stock.width.0];
    let names = [("length", "long"), ("width", "wide")];
    for i in 0..2 {
        if size[i] > board[i] + 1e-6 {
            return Err(Diagnostic::error(format!(
                "the part is {} {}, the stock only {}",
                shown.both(size[i]),
                names[i].1,
                shown.both(board[i])
            ))
            .key(format!("{stock_key}.{}", names[i].0))
            .help(format!(
                "a {} of at least {} works, and more if a cutter must pass beside the part",
                names[i].0,
                shown.both(size[i])
            )));
        }
    }
    let Some(at) = entry.at else {
        return Ok([(board[0] - size[0]) / 2.0, (board[1] - size[1]) / 2.0]);
    };
    for i in 0..2 {
        let most = board[i] - size[i];
        if at[i].0 < -1e-6 || at[i].0 > most + 1e-6 {
            return Err(Diagnostic::error(format!(
                "the part would stand over the edge of the stock by {}",
                shown.both(if at[i].0 < 0.0 { -at[i].0 } else { at[i].0 - most })
            ))
            .key(format!("{key}.at[{}]", i + 1))
            .help(format!("from 0 to {} works here", shown.both(most))));
        }
    }
    Ok([at[0].0, at[1].0])
}

fn check_name(name: &str, key: &str) -> Result<(), Diagnostic> {
    let fits = name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
    if fits && !name.is_empty() && name.len() <= 60 && !name.starts_with('-') {
        return Ok(());
    }
    Err(Diagnostic::error(format!("`{name}` can not name a program"))
        .key(format!("{key}.name"))
        .help("use up to 60 letters a to z, digits and hyphens, such as `arched-cap`"))
}

fn doubled_names(parts: &[Part]) -> Vec<Diagnostic> {
    let doubled = parts.iter().enumerate().filter(|(i, part)| {
        // Two names that differ only in case are one file on some disks.
        parts[..*i].iter().any(|p| p.name.eq_ignore_ascii_case(&part.name))
    });
    doubled
        .map(|(_, part)| {
            Diagnostic::error(format!("another part is already named `{}`", part.name))
                .key(format!("{}.name", part.key))
                .help("give each part its own `name`; it names the program's file")
        })
        .collect()
}
