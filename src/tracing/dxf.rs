//! Drawings as text DXF: lines, arcs, circles, ellipses, polylines, splines and blocks of them.
//!
//! Read group by group rather than through a library, so that every complaint has its line and
//! nothing that is drawn is passed over in silence. The group codes are those of the published
//! DXF reference.

mod entity;
mod groups;
mod spline;

use super::{Drawing, MOST_SHAPES, Options, Stroke, fault, place};
use crate::diagnostic::Diagnostic;
use crate::units::{INCH, Unit};
use groups::Record;
use kurbo::Affine;
use std::collections::BTreeMap;

/// Blocks within blocks deeper than this are a trap.
const DEEPEST: usize = 32;

/// Texts and measures, which cut nothing; told apart only in what is said of them.
const NO_SHAPE: [&str; 3] = ["VERTEX", "SEQEND", "ATTRIB"];

/// Reads a drawing.
///
/// # Errors
/// What cannot be read, with its line in the file.
pub(super) fn read(name: &str, text: &str, options: &Options) -> Result<Drawing, Diagnostic> {
    let records = groups::records(text)
        .map_err(|(message, offset)| fault(message).place(place(name, text, offset)))?;
    let file = File::new(&records);
    let unit = file.unit(name, text, options)?;
    let mut reader = Reader { name, text, options, file: &file, drawing: Drawing::default() };
    reader.drawing.layers = file.layers(&records);
    reader.draw(&file.entities, Affine::scale(unit), None, 0)?;
    Ok(reader.drawing)
}

/// The parts of a file that matter here.
struct File<'a> {
    header: Option<&'a Record<'a>>,
    /// By name: the block's own record, and what is in it.
    blocks: BTreeMap<&'a str, (&'a Record<'a>, Vec<&'a Record<'a>>)>,
    entities: Vec<&'a Record<'a>>,
}

impl<'a> File<'a> {
    fn new(records: &'a [Record<'a>]) -> File<'a> {
        let mut file = File { header: None, blocks: BTreeMap::new(), entities: Vec::new() };
        let (mut section, mut block) = ("", None);
        for record in records {
            match (record.kind, section) {
                ("SECTION", _) => {
                    section = record.text(2).unwrap_or("");
                    if section == "HEADER" {
                        file.header = Some(record);
                    }
                }
                ("ENDSEC", _) => (section, block) = ("", None),
                ("BLOCK", "BLOCKS") => {
                    block = record.text(2);
                    if let Some(name) = block {
                        file.blocks.entry(name).or_insert((record, Vec::new()));
                    }
                }
                ("ENDBLK", "BLOCKS") => block = None,
                (_, "BLOCKS") => {
                    if let Some((_, inside)) = block.and_then(|name| file.blocks.get_mut(name)) {
                        inside.push(record);
                    }
                }
                (_, "ENTITIES") => file.entities.push(record),
                _ => {}
            }
        }
        file
    }

    /// Layers that are named in the table or drawn on.
    fn layers(&self, records: &[Record]) -> std::collections::BTreeSet<String> {
        let named = records.iter().filter(|r| r.kind == "LAYER").filter_map(|r| r.text(2));
        let inside = self.blocks.values().flat_map(|(_, inside)| inside);
        let drawn = self.entities.iter().chain(inside).map(|r| r.layer());
        named.chain(drawn).map(str::to_string).collect()
    }

    /// Millimetres in a unit of the drawing.
    fn unit(&self, name: &str, text: &str, options: &Options) -> Result<f64, Diagnostic> {
        if let Some(unit) = options.units {
            return Ok(unit.mm());
        }
        let code = self.header.and_then(|h| h.variable("$INSUNITS"));
        // The codes of $INSUNITS in the DXF reference.
        let unit = match code {
            Some(1) => INCH,
            Some(2) => 12.0 * INCH,
            Some(4) => Unit::Mm.mm(),
            Some(5) => 10.0,
            Some(6) => 1000.0,
            Some(8) => INCH * 1e-6,
            Some(9) => INCH * 1e-3,
            Some(10) => 36.0 * INCH,
            Some(13) => 1e-3,
            Some(14) => 100.0,
            _ => {
                let said = match code {
                    None => "it has no $INSUNITS".to_string(),
                    Some(0) => "its $INSUNITS is 0".to_string(),
                    Some(code) => format!("its $INSUNITS is {code}"),
                };
                let offset = self.header.map_or(0, |h| h.offset);
                return Err(fault(format!("the drawing has no units: {said}"))
                    .help("say the drawing's units, mm or in")
                    .place(place(name, text, offset)));
            }
        };
        Ok(unit)
    }
}

struct Reader<'a> {
    name: &'a str,
    text: &'a str,
    options: &'a Options,
    file: &'a File<'a>,
    drawing: Drawing,
}

impl<'a> Reader<'a> {
    fn wrong(&self, record: &Record, message: impl Into<String>) -> Diagnostic {
        fault(message).place(place(self.name, self.text, record.offset))
    }

    /// Draws records through a map. Inside a block, layer 0 is the layer of the block's use.
    fn draw(
        &mut self,
        records: &[&'a Record<'a>],
        map: Affine,
        used_on: Option<&str>,
        depth: usize,
    ) -> Result<(), Diagnostic> {
        let mut at = 0;
        while let Some(&record) = records.get(at) {
            at += 1;
            // A polyline's corners are records of their own, up to SEQEND.
            let start = at;
            if record.kind == "POLYLINE" {
                while records.get(at).is_some_and(|r| r.kind == "VERTEX") {
                    at += 1;
                }
            }
            let layer = match (record.layer(), used_on) {
                ("0", Some(layer)) => layer,
                (own, _) => own,
            };
            let chosen = self.options.layer.as_deref().is_none_or(|wanted| wanted == layer);
            if record.kind == "INSERT" {
                self.insert(record, map, layer, depth)?;
            } else if chosen && !NO_SHAPE.contains(&record.kind) {
                self.one(record, &records[start..at], map)?;
            }
        }
        Ok(())
    }

    fn one(
        &mut self,
        record: &'a Record<'a>,
        corners: &[&Record],
        map: Affine,
    ) -> Result<(), Diagnostic> {
        if record.whole(67) == Some(1) || record.whole(60) == Some(1) {
            self.drawing
                .skip(format!("{} that is hidden or on a paper sheet", record.kind), record.offset);
            return Ok(());
        }
        self.count(record)?;
        let shape = entity::shape(record, corners).map_err(|why| self.wrong(record, why))?;
        let Some((curves, closed)) = shape else {
            self.drawing.skip(record.kind.to_string(), record.offset);
            return Ok(());
        };
        let curves = curves.iter().map(|c| c.mapped(map)).collect();
        self.drawing.strokes.push(Stroke { curves, closed, offset: record.offset });
        Ok(())
    }

    fn count(&mut self, record: &Record) -> Result<(), Diagnostic> {
        self.drawing.shapes += 1;
        if self.drawing.shapes > MOST_SHAPES {
            return Err(self
                .wrong(record, format!("the drawing has more than {MOST_SHAPES} shapes"))
                .help("draw one part in a file"));
        }
        Ok(())
    }

    fn insert(
        &mut self,
        record: &'a Record<'a>,
        map: Affine,
        layer: &str,
        depth: usize,
    ) -> Result<(), Diagnostic> {
        self.count(record)?;
        if depth == DEEPEST {
            return Err(self.wrong(record, format!("blocks stand {DEEPEST} deep in one another")));
        }
        let block = record.text(2).unwrap_or("");
        let Some((own, inside)) = self.file.blocks.get(block) else {
            return Err(self.wrong(record, format!("block `{block}` is not in the file")));
        };
        let repeated = |code| record.whole(code).is_some_and(|n| n > 1);
        if repeated(70) || repeated(71) {
            return Err(self
                .wrong(record, format!("block `{block}` is used in rows and columns"))
                .help("explode it in the drawing program"));
        }
        let number =
            |code, without| record.number(code, without).map_err(|why| self.wrong(record, why));
        let base = |code| own.number(code, 0.0).map_err(|why| self.wrong(own, why));
        let mirror = entity::mirror(record).map_err(|why| self.wrong(record, why))?;
        let map = map
            * mirror
            * Affine::translate((number(10, 0.0)?, number(20, 0.0)?))
            * Affine::rotate(number(50, 0.0)?.to_radians())
            * Affine::scale_non_uniform(number(41, 1.0)?, number(42, 1.0)?)
            * Affine::translate((-base(10)?, -base(20)?));
        self.draw(inside, map, Some(layer), depth + 1)
    }
}
