//! Mouldings sawn from sticks, with the saw's settings.

use crate::layout::cut_list::{CutPiece, Stock};
use crate::layout::{Joint, Layout, PieceEnd};
use crate::report::HeaderReport;
use crate::units::Shown;

/// A step for each moulding that is sawn.
pub(super) fn steps(header: &HeaderReport<'_>, shown: Shown) -> Vec<String> {
    [("Bed mould", Stock::BedMold), ("Cap moulding, returns", Stock::CapMold)]
        .into_iter()
        .filter_map(|(name, stock)| step(header, name, stock, shown))
        .collect()
}

fn step(header: &HeaderReport<'_>, name: &str, stock: Stock, shown: Shown) -> Option<String> {
    let pieces: Vec<&CutPiece> =
        header.list().pieces.iter().filter(|piece| piece.stock == stock).collect();
    if pieces.is_empty() {
        return None;
    }
    let listed: Vec<String> =
        pieces.iter().map(|piece| one(header.layout(), piece, shown)).collect();
    let sprung = header.sprung().iter().find(|sprung| sprung.stock == stock);
    let how = match sprung {
        None => "upright, its back to the fence, the saw's table turned off square as stated"
            .to_string(),
        Some(sprung) => {
            let corners: Vec<String> = sprung
                .corners
                .iter()
                .map(|corner| {
                    format!(
                        "{} table {:.2}°, blade {:.2}°",
                        word(corner.joint),
                        corner.saw.mitre.to_degrees(),
                        corner.saw.bevel.to_degrees()
                    )
                })
                .collect();
            format!("flat on its back, compound: {}", corners.join("; "))
        }
    };
    let short = match pieces.iter().any(|piece| piece.is_short()) {
        true => {
            " Short pieces first, each mitred on the end of a long stick, as the cut list says."
        }
        false => "",
    };
    Some(format!("{name}: saw it from the sticks, {how}. {}.{short}", listed.join("; ")))
}

fn one(layout: &Layout, piece: &CutPiece, shown: Shown) -> String {
    let name = piece.name.split_once(", ").map_or(piece.name.as_str(), |(_, short)| short);
    format!(
        "{name}: long point {}, left {}, right {}",
        shown.one(piece.long_point),
        end(layout, &piece.start),
        end(layout, &piece.end)
    )
}

/// The cut that meets both ends of the joint.
fn end(layout: &Layout, end: &PieceEnd) -> String {
    let angle = match end.joint {
        Joint::Wall => return "square".to_string(),
        Joint::Bowed => layout.corner.map_or(end.angle, |corner| corner.straight_on_return),
        Joint::Outside | Joint::Inside => end.angle,
    };
    format!("{} {:.2}°", word(end.joint), angle.to_degrees())
}

fn word(joint: Joint) -> &'static str {
    match joint {
        Joint::Wall => "square",
        Joint::Outside => "outside",
        Joint::Inside => "inside",
        Joint::Bowed => "at the bowed front",
    }
}
