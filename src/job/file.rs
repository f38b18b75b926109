//! Reading a job file into parts that can be made.

use super::header::{CAP_KEY, milled_roles};
use super::{
    Header, HeaderEntry, Hold, OnTable, OutlineCut, PartKind, Placing, Shape, Stock, Zero,
};
use crate::diagnostic::{Diagnostic, Failure};
use crate::document::Document;
use crate::layout::Role;
use crate::part::features::{Board, Features};
use crate::shop::{Material, Overrides};
use crate::units::{Shown, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A job as it is written: parts, each cut from its own board, or a whole header, or both.
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
    /// What is to be made, one board each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1))]
    pub part: Vec<PartEntry>,
    /// A whole header over a cased opening; its cap is a part where there is a stock for it.
    #[serde(default)]
    pub header: Option<HeaderEntry>,
}

fn default_parts() -> u32 {
    32
}

/// One part of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct PartEntry {
    /// How it lies on the table and is cut out.
    #[serde(flatten)]
    pub table: OnTable,
    /// What it is.
    #[serde(flatten)]
    pub kind: PartKind,
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
    /// What the table cuts, in order: a header's cap first.
    pub parts: Vec<Part>,
    /// The header.
    pub header: Option<Header>,
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
    /// What is cut into its faces.
    pub features: Features,
    /// What it is.
    pub shape: Shape,
    /// What it is made of, where it is not the job's wood.
    pub species: Option<String>,
}

impl Job {
    /// Reads a job. `name` stands in messages, and the drawings that the job names lie beside it.
    ///
    /// # Errors
    /// [`Failure::Input`] for a file that is wrong, [`Failure::Refused`] for a part that can
    /// not be; each with places and the number that would work.
    pub fn read(name: &str, text: &str) -> Result<Job, Failure> {
        let (file, document) = Document::read::<JobFile>(name, text)?;
        let shown = Shown { unit: file.units, parts: file.fractions };
        let mut found = Vec::new();
        if !file.fractions.is_power_of_two() {
            found.push(
                Diagnostic::error(format!("a tape has no {} parts to the inch", file.fractions))
                    .key("fractions")
                    .help("32 or 64"),
            );
        }
        let mut parts = Vec::new();
        // Drawings that a job names lie beside it.
        let folder = Path::new(name).parent().unwrap_or(Path::new(""));
        let header = header(&file, folder, shown, &mut parts, &mut found);
        if file.part.is_empty() && file.header.is_none() {
            found.push(
                Diagnostic::error("the key `part` is missing, and there is no `header` either")
                    .key("")
                    .help("give at least one [[part]], or a [header]"),
            );
        }
        for (i, entry) in file.part.iter().enumerate() {
            match resolve(&file, folder, entry, &format!("part[{}]", i + 1), shown) {
                Ok(mut some) => parts.append(&mut some),
                Err(mut some) => found.append(&mut some),
            }
        }
        found.append(&mut doubled_names(&parts));
        if found.is_empty() {
            Ok(Job { file, document, shown, parts, header })
        } else {
            Err(Failure::Input(document.locate(found)))
        }
    }
}

impl Job {
    /// The pieces of the header's mouldings that the table mills.
    #[must_use]
    pub fn milled_roles(&self) -> Vec<Role> {
        milled_roles(&self.parts)
    }

    /// What was left out of the drawings that the job names, and why.
    pub fn warnings(&self) -> impl Iterator<Item = &Diagnostic> {
        let traced = self.parts.iter().filter_map(|part| match &part.shape {
            Shape::Traced(traced) => Some(&traced.warnings),
            Shape::Moulding(moulding) => Some(&moulding.warnings),
            _ => None,
        });
        let areas = self.parts.iter().map(|part| &part.features.warnings);
        self.header.iter().map(|header| &header.warnings).chain(traced).chain(areas).flatten()
    }
}

/// The header, solved, and its cap among the parts where there is a stock for it.
fn header(
    file: &JobFile,
    folder: &Path,
    shown: Shown,
    parts: &mut Vec<Part>,
    found: &mut Vec<Diagnostic>,
) -> Option<Header> {
    let entry = file.header.as_ref()?;
    let header = match entry.resolve(shown, folder) {
        Ok(header) => header,
        Err(mut some) => {
            found.append(&mut some);
            return None;
        }
    };
    for board in entry.parts(&header.layout, file.stock) {
        found.extend(board.stock_problem(file.stock, shown));
        match resolve(file, folder, &board.entry, board.key, shown) {
            Ok(mut some) => parts.append(&mut some),
            Err(some) => found.extend(some.into_iter().map(front_key)),
        }
    }
    let material = Material::find(&file.species).ok();
    let milled = entry.milled(&header, material.as_ref(), file.hold.as_ref(), shown);
    let milled = milled.unwrap_or_else(|mut some| {
        found.append(&mut some);
        Vec::new()
    });
    for one in milled {
        let part = lay(file, folder, &one.table, one.name, Ok(one.shape), one.key, shown);
        match part.and_then(|part| with_template(file, folder, &one.table, part, shown)) {
            Ok(mut some) => parts.append(&mut some),
            Err(mut some) => found.append(&mut some),
        }
    }
    Some(header)
}

/// What is wrong with the arc of a header's cap is wrong with the header's rise.
fn front_key(d: Diagnostic) -> Diagnostic {
    let of_arc = d.key.as_deref().is_some_and(|key| {
        ["rise", "radius"].iter().any(|word| key == format!("{CAP_KEY}.{word}"))
    });
    if of_arc { d.key("header.rise") } else { d }
}

/// A part, and its template where it asks for one.
fn resolve(
    file: &JobFile,
    folder: &Path,
    entry: &PartEntry,
    key: &str,
    shown: Shown,
) -> Result<Vec<Part>, Vec<Diagnostic>> {
    let name = entry.table.name.clone().unwrap_or_else(|| entry.kind.word().to_string());
    let shape = entry.kind.resolve(key, folder, shown);
    let part = lay(file, folder, &entry.table, &name, shape, key, shown)?;
    with_template(file, folder, &entry.table, part, shown)
}

/// A part, and its template where its table asks for one.
fn with_template(
    file: &JobFile,
    folder: &Path,
    table: &OnTable,
    part: Part,
    shown: Shown,
) -> Result<Vec<Part>, Vec<Diagnostic>> {
    let Some(template) = &table.template else { return Ok(vec![part]) };
    let (name, key) = (part.name.clone(), format!("{}.template", part.key));
    let shapes = template.resolve(&part.shape, &key, shown)?;
    let several = shapes.len() > 1;
    let mut parts = vec![part];
    for (i, shape) in shapes.into_iter().enumerate() {
        let number = if several { format!("-{}", i + 1) } else { String::new() };
        let table = template.on_table(format!("{name}-template{number}"));
        let pattern = lay(file, folder, &table, &name, Ok(shape), &key, shown)?;
        parts.push(Part { species: Some(template.species.clone()), ..pattern });
    }
    Ok(parts)
}

/// A shape laid on its board.
fn lay(
    file: &JobFile,
    folder: &Path,
    table: &OnTable,
    name: &str,
    shape: Result<Shape, Vec<Diagnostic>>,
    key: &str,
    shown: Shown,
) -> Result<Part, Vec<Diagnostic>> {
    let mut found = Vec::new();
    let name = table.name.clone().unwrap_or_else(|| name.to_string());
    if let Err(one) = check_name(&name, key) {
        found.push(one);
    }
    let (stock, stock_key) = match (table.stock, file.stock) {
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
    let hold_key = if table.hold.is_some() { format!("{key}.hold") } else { "hold".to_string() };
    let hold = table.hold.clone().or_else(|| file.hold.clone()).unwrap_or_default();
    found.extend(hold.problems(&hold_key));
    let placing = Placing { stock, hold, zero: table.zero.unwrap_or(file.zero) };
    let shape = match shape {
        Ok(shape) if found.is_empty() => shape.fitted(stock.length.0),
        Ok(_) => return Err(found),
        Err(mut some) => {
            found.append(&mut some);
            return Err(found);
        }
    };
    let at = place(table, &shape, &placing, key, &stock_key, shown).map_err(|one| vec![one])?;
    let outline = shape.contour();
    let traced = match &shape {
        Shape::Traced(traced) => Some((traced.file.as_str(), traced.corner)),
        _ => None,
    };
    let board = Board {
        key,
        outline: &outline,
        thickness: placing.stock.thickness.0,
        shown,
        folder,
        traced,
    };
    let features = table.features.resolve(&board)?;
    Ok(Part {
        name,
        key: key.to_string(),
        placing,
        at,
        outline: table.outline.clone(),
        feeds: table.feeds.or(&file.feeds),
        features,
        shape,
        species: None,
    })
}

/// Where the part lies on its stock; it must lie within it.
fn place(
    table: &OnTable,
    shape: &Shape,
    placing: &Placing,
    key: &str,
    stock_key: &str,
    shown: Shown,
) -> Result<[f64; 2], Diagnostic> {
    let size = shape.size();
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
    let Some(at) = table.at else {
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
