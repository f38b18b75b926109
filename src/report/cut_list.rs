//! The cut list as a table for spreadsheets and as data for programs.

use crate::drawing::StickNesting;
use crate::layout::cut_list::{CutList, CutPiece, Stock};
use crate::layout::{Joint, PieceEnd, Sprung, corner};
use crate::units::{Shown, fraction};
use serde_json::{Value, json};

/// The columns of the table, in order.
const COLUMNS: [&str; 23] = [
    "record",
    "name",
    "quantity",
    "from",
    "stick",
    "long point mm",
    "short point mm",
    "stock mm",
    "width mm",
    "thickness mm",
    "long point in",
    "short point in",
    "stock in",
    "width in",
    "thickness in",
    "left joint",
    "left mitre deg",
    "left bevel deg",
    "right joint",
    "right mitre deg",
    "right bevel deg",
    "short",
    "notes",
];

/// Everything to cut, and what it is cut from.
pub(super) struct ListedCuts<'a> {
    pub(super) list: &'a CutList,
    pub(super) sticks: &'a [StickNesting],
    pub(super) sprung: &'a [Sprung],
}

/// A saw setting at an end: mitre and bevel, radians.
type Saw = (f64, f64);

impl ListedCuts<'_> {
    /// A table after RFC 4180: one line for each piece, then one for each stick and one for each
    /// moulding's nesting. Lengths in millimetres and as fractions of an inch, angles in degrees
    /// off square.
    pub(super) fn csv(&self, shown: Shown) -> String {
        let mut text = row(COLUMNS.map(String::from).as_slice());
        let sticks = self.stick_of_each_piece();
        for (piece, stick) in self.list.pieces.iter().zip(&sticks) {
            text.push_str(&row(&self.piece_cells(piece, stick, shown)));
        }
        for one in self.sticks {
            text.push_str(&nesting_rows(one, shown));
        }
        text
    }

    /// The same as data: millimetres, degrees, and fractions of an inch as text.
    pub(super) fn json(&self, title: &str, shown: Shown) -> Value {
        let sticks = self.stick_of_each_piece();
        let pieces = self.list.pieces.iter().zip(&sticks).map(|(piece, stick)| {
            let sides = lengths(piece);
            let inches =
                sides.map(|(name, mm)| (name.to_string(), json!(fraction(mm, shown.parts))));
            let mm = sides.map(|(name, mm)| (name.to_string(), json!(rounded(mm))));
            json!({
                "name": piece.name,
                "quantity": piece.quantity,
                "from": from(piece.stock),
                "sticks": stick,
                "mm": Value::Object(mm.into_iter().collect()),
                "inches": Value::Object(inches.into_iter().collect()),
                "left": self.end_json(piece, &piece.start),
                "right": self.end_json(piece, &piece.end),
                "short": piece.is_short(),
                "notes": piece.notes,
            })
        });
        json!({
            "title": title,
            "units": "mm and inches, degrees off square",
            "pieces": pieces.collect::<Vec<_>>(),
            "nesting": self.sticks.iter().map(nesting_json).collect::<Vec<_>>(),
            "sprung": self.sprung,
        })
    }

    fn piece_cells(&self, piece: &CutPiece, sticks: &[usize], shown: Shown) -> Vec<String> {
        let mut cells = vec![
            "piece".to_string(),
            piece.name.clone(),
            piece.quantity.to_string(),
            from(piece.stock).to_string(),
            sticks.iter().map(usize::to_string).collect::<Vec<_>>().join(" "),
        ];
        let sides = lengths(piece);
        cells.extend(sides.iter().map(|(_, mm)| number(*mm)));
        cells.extend(sides.iter().map(|(_, mm)| inches(*mm, shown)));
        for end in [&piece.start, &piece.end] {
            let (mitre, bevel) = self.saw(piece, end);
            let degrees = [mitre, bevel].map(|angle| number(angle.to_degrees()));
            cells.push(joint(end.joint).to_string());
            cells.extend(degrees);
        }
        cells.push(if piece.is_short() { "yes" } else { "no" }.to_string());
        cells.push(piece.notes.join("; "));
        cells
    }

    /// Upright in the saw, a moulding takes its plan's mitre; sprung, flat on its back, a compound.
    fn saw(&self, piece: &CutPiece, end: &PieceEnd) -> Saw {
        let sprung = self.sprung.iter().find(|one| one.stock == piece.stock);
        let compound = sprung.and_then(|one| corner(end, one.spring));
        compound.map_or((end.angle, 0.0), |c| (c.saw.mitre, c.saw.bevel))
    }

    fn end_json(&self, piece: &CutPiece, end: &PieceEnd) -> Value {
        let (mitre, bevel) = self.saw(piece, end);
        json!({
            "joint": joint(end.joint),
            "mitre": rounded(mitre.to_degrees()),
            "bevel": rounded(bevel.to_degrees()),
        })
    }

    /// The number of the stick, from 1, that each of a line's pieces comes out of; none where
    /// there are no sticks of it.
    fn stick_of_each_piece(&self) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new(); self.list.pieces.len()];
        for stock in [Stock::BedMold, Stock::CapMold] {
            // The nesting counts each piece of the list that is cut from these sticks.
            let lines = self.list.pieces.iter().enumerate().filter(|(_, p)| p.stock == stock);
            let lines: Vec<usize> =
                lines.flat_map(|(i, p)| std::iter::repeat_n(i, p.quantity)).collect();
            let own = self.sticks.iter().find(|one| self.is_of(one, &lines));
            for (number, stick) in
                own.into_iter().flat_map(|one| one.nesting.sticks.iter().enumerate())
            {
                for line in stick.pieces.iter().filter_map(|&k| lines.get(k)) {
                    all[*line].push(number + 1);
                }
            }
        }
        all
    }

    fn is_of(&self, one: &StickNesting, lines: &[usize]) -> bool {
        let names = lines.iter().map(|&i| self.list.pieces[i].name.as_str());
        !lines.is_empty() && names.eq(one.pieces.iter().map(|(name, _)| name.as_str()))
    }
}

fn lengths(piece: &CutPiece) -> [(&'static str, f64); 5] {
    [
        ("long_point", piece.long_point),
        ("short_point", piece.short_point),
        ("stock", piece.overall),
        ("width", piece.width),
        ("thickness", piece.thickness),
    ]
}

fn from(stock: Stock) -> &'static str {
    match stock {
        Stock::Board => "board",
        Stock::BedMold => "bed mould stick",
        Stock::CapMold => "cap moulding stick",
        Stock::Bowed => "bowed",
        Stock::Milled => "milled on the table",
    }
}

fn joint(joint: Joint) -> &'static str {
    match joint {
        Joint::Wall => "square",
        Joint::Outside => "outside",
        Joint::Inside => "inside",
        Joint::Bowed => "bowed",
    }
}

/// To a thousandth of a millimetre, or of a degree: finer than any saw.
fn rounded(value: f64) -> f64 {
    // Adding zero turns a negative zero into a plain one.
    (value * 1e3).round() / 1e3 + 0.0
}

fn number(value: f64) -> String {
    rounded(value).to_string()
}

/// A fraction with its unit: spreadsheets take a bare 3/4 for a day in April.
fn inches(mm: f64, shown: Shown) -> String {
    fraction(mm, shown.parts)
}

fn bound(one: &StickNesting) -> String {
    let nesting = &one.nesting;
    if nesting.exact {
        "no nesting uses less".to_string()
    } else {
        format!("not searched to the end; none uses less than {} mm", number(nesting.bound))
    }
}

/// A line for each stick, and one that sums them up.
fn nesting_rows(one: &StickNesting, shown: Shown) -> String {
    let blank = |record: &str, name: String, quantity: usize, length: f64, notes: String| {
        let mut cells = vec![String::new(); COLUMNS.len()];
        for (column, value) in [
            ("record", record.to_string()),
            ("name", name),
            ("quantity", quantity.to_string()),
            ("stock mm", number(length)),
            ("stock in", inches(length, shown)),
            ("notes", notes),
        ] {
            if let Some(i) = COLUMNS.iter().position(|c| *c == column) {
                cells[i] = value;
            }
        }
        row(&cells)
    };
    let mut text = String::new();
    for (i, stick) in one.nesting.sticks.iter().enumerate() {
        let names: Vec<&str> = stick
            .pieces
            .iter()
            .filter_map(|&k| one.pieces.get(k))
            .map(|(name, _)| name.as_str())
            .collect();
        let notes = format!("{}; offcut {} mm", names.join("; "), number(stick.offcut));
        text.push_str(&blank(
            "stick",
            format!("{} stick {}", one.name, i + 1),
            1,
            stick.length,
            notes,
        ));
    }
    let nesting = &one.nesting;
    let notes =
        format!("waste {} mm: kerfs, trim and offcuts; {}", number(nesting.waste), bound(one));
    let name = format!("{} sticks", one.name);
    text + &blank("nesting", name, nesting.sticks.len(), nesting.used, notes)
}

fn nesting_json(one: &StickNesting) -> Value {
    let name = |&k: &usize| one.pieces.get(k).map(|(name, _)| name.as_str());
    let nesting = &one.nesting;
    json!({
        "of": one.name,
        "used_mm": rounded(nesting.used),
        "waste_mm": rounded(nesting.waste),
        "bound_mm": rounded(nesting.bound),
        "exact": nesting.exact,
        "sticks": nesting.sticks.iter().map(|stick| json!({
            "length_mm": rounded(stick.length),
            "pieces": stick.pieces.iter().filter_map(name).collect::<Vec<_>>(),
            "offcut_mm": rounded(stick.offcut),
        })).collect::<Vec<_>>(),
    })
}

/// One line, its end as the standard has it; quotes where a cell needs them.
fn row(cells: &[String]) -> String {
    let quoted = |cell: &String| {
        if cell.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    let cells: Vec<String> = cells.iter().map(quoted).collect();
    format!("{}\r\n", cells.join(","))
}
