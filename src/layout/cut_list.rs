//! Every piece of a header with the lengths, widths and mitres to cut it by.

use super::plan::{Joint, PieceEnd, PlanPiece, Role};
use super::say::about;
use super::solve::Layout;
use crate::units::INCH;

/// Pieces shorter than this are not cut off on their own (common practice), mm.
pub const SHORT: f64 = 150.0;

/// Sticks that short pieces are cut from are at least so long (common practice), mm.
const SAFE_STICK: f64 = 450.0;

/// What a piece is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stock {
    /// A flat board of the piece's own thickness.
    Board,
    /// Sticks of the bed mould.
    BedMold,
    /// Sticks of the cap's moulding.
    CapMold,
    /// The bowed cap moulding: bent, glued up or milled, by what bending advises.
    Bowed,
    /// A board from which the table mills the moulding, its mitres too.
    Milled,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The frieze's board.
    FriezeBack,
    /// The panel's blank.
    PanelBlank,
    /// The cap's board before its front is cut.
    CapBlank,
    /// A moulding.
    Molding(Role),
}

/// One line of the list. Millimetres and radians.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct CutPiece {
    /// What it is.
    pub part: Part,
    /// As a person calls it.
    pub name: String,
    /// How many.
    pub quantity: usize,
    /// What it is cut from.
    pub stock: Stock,
    /// The longer of its two edges seen from above, along the arc where bowed.
    pub long_point: f64,
    /// The shorter.
    pub short_point: f64,
    /// Length of stock that holds it, end to end.
    pub overall: f64,
    /// Width: a board's across the grain, a moulding's height.
    pub width: f64,
    /// Thickness: a moulding's projection. Of a bowed moulding the same, not the blank's width.
    pub thickness: f64,
    /// One end.
    pub start: PieceEnd,
    /// The other.
    pub end: PieceEnd,
    /// What to mind.
    pub notes: Vec<String>,
}

/// All pieces of a header: boards, bed mould from left to right, cap mouldings.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct CutList {
    /// The lines.
    pub pieces: Vec<CutPiece>,
}

impl Layout {
    /// The list of everything to cut; the table mills the mouldings of `milled`.
    #[must_use]
    pub fn cut_list(&self, milled: &[Role]) -> CutList {
        let mut pieces = self.boards();
        let bed = &self.header.bed_mold;
        let molding = |piece: &PlanPiece, stock: Stock, height: f64, projection: f64| CutPiece {
            part: Part::Molding(piece.role),
            name: piece.role.name().to_string(),
            quantity: 1,
            stock: if milled.contains(&piece.role) { Stock::Milled } else { stock },
            long_point: piece.back.max(piece.face),
            short_point: piece.back.min(piece.face),
            overall: piece.overall,
            width: height,
            thickness: projection,
            start: piece.start,
            end: piece.end,
            notes: self.notes(piece, milled.contains(&piece.role)),
        };
        pieces.extend(
            self.bed_mold.iter().map(|p| molding(p, Stock::BedMold, bed.height, bed.projection)),
        );
        if let Some(cap) = &self.header.cymatium {
            pieces.extend(self.cap_moldings.iter().map(|piece| {
                let bowed = piece.role == Role::CapFront;
                let stock = if bowed { Stock::Bowed } else { Stock::CapMold };
                molding(piece, stock, cap.height, cap.thickness)
            }));
        }
        CutList { pieces }
    }

    fn boards(&self) -> Vec<CutPiece> {
        let header = &self.header;
        let board = |part, name: &str, length: f64, width: f64, thickness: f64| CutPiece {
            part,
            name: name.to_string(),
            quantity: 1,
            stock: Stock::Board,
            long_point: length,
            short_point: length,
            overall: length,
            width,
            thickness,
            start: SQUARE,
            end: SQUARE,
            notes: Vec::new(),
        };
        let frieze = &header.frieze;
        let mut boards = vec![board(
            Part::FriezeBack,
            "frieze back",
            header.frieze_length(),
            frieze.height,
            frieze.thickness,
        )];
        if let Some(panel) = &header.panel {
            boards.push(board(
                Part::PanelBlank,
                "panel blank",
                panel.width,
                panel.height,
                panel.thickness,
            ));
        }
        let cap = &self.cap;
        boards.push(board(
            Part::CapBlank,
            "cap blank",
            cap.chord,
            cap.end_depth + cap.rise,
            cap.thickness,
        ));
        boards
    }

    fn notes(&self, piece: &PlanPiece, milled: bool) -> Vec<String> {
        let mut notes = Vec::new();
        let ends = [piece.start.joint, piece.end.joint];
        if ends.contains(&Joint::Outside) && ends.contains(&Joint::Inside) {
            notes.push(
                "both mitres lean the same way: back and face are equally long, measure along \
                 either"
                    .to_string(),
            );
        }
        if piece.role == Role::CapFront {
            notes.push(format!(
                "back radius {}; a blank in one piece is {} long and {} wide",
                about(self.cap.radius),
                about(piece.overall),
                about(self.cap.rise + self.header.cymatium.map_or(0.0, |c| c.thickness))
            ));
        }
        if let (true, Some(corner)) = (ends.contains(&Joint::Bowed), &self.corner) {
            notes.push(format!(
                "the true mitre is a curve: it leaves the straight cut by {:.3} mm ({:.4} in)",
                corner.departure,
                corner.departure / INCH
            ));
        }
        if milled {
            notes.push("milled on the table, its mitres too".to_string());
        } else if is_short(piece.back.max(piece.face)) {
            notes.push(format!(
                "short: mitre it on the end of a stick at least {} long that is clamped beyond the \
                 blade, then cut it off and let the blade stop before lifting; no fingers within {} \
                 of the blade, no stop against the piece that comes off",
                about(SAFE_STICK),
                about(SHORT)
            ));
        }
        notes
    }
}

/// Whether a piece so long is not cut off on its own.
fn is_short(long_point: f64) -> bool {
    long_point < SHORT
}

impl CutPiece {
    /// Whether it is a moulding too short to be cut off on its own; its notes say how instead.
    #[must_use]
    pub fn is_short(&self) -> bool {
        !matches!(self.stock, Stock::Board | Stock::Milled) && is_short(self.long_point)
    }
}

/// A square end.
const SQUARE: PieceEnd = PieceEnd { joint: Joint::Wall, angle: 0.0 };

impl CutList {
    /// Names and lengths of the pieces that come out of straight sticks of `stock`, for nesting.
    #[must_use]
    pub fn lengths(&self, stock: Stock) -> Vec<(String, f64)> {
        self.pieces
            .iter()
            .filter(|piece| piece.stock == stock)
            .flat_map(|piece| {
                std::iter::repeat_n((piece.name.clone(), piece.overall), piece.quantity)
            })
            .collect()
    }
}
