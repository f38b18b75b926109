//! A header's figures as a person reads them, for the terminal.

use super::figures::ordinates;
use super::text_table::{Align, at_least, at_most, pairs, paragraph, table};
use crate::layout::cut_list::{CutList, CutPiece};
use crate::layout::nest::Nesting;
use crate::layout::proportion::Offer;
use crate::layout::{Joint, Layout, PieceEnd, RiseRow};
use crate::part::CapFigures;
use crate::units::{INCH, Shown, Unit};
use Align::{Left, Right};

/// A rise this near the chosen one is the chosen one, mm.
const SAME_RISE: f64 = 1e-6;

/// What is told of a header besides its bend.
#[derive(Clone, Copy, Debug)]
pub struct HeaderFigures<'a> {
    /// The solved header.
    pub layout: &'a Layout,
    /// Its cap's figures.
    pub cap: &'a CapFigures,
    /// Published proportions, if any were asked.
    pub offers: &'a [Offer],
    /// Rises to choose from.
    pub rises: &'a [RiseRow],
    /// What to cut.
    pub list: &'a CutList,
    /// From which sticks.
    pub sticks: &'a [StickNesting],
}

/// The pieces of one moulding, nested in its sticks.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct StickNesting {
    /// The moulding, as a person calls it.
    pub name: &'static str,
    /// Name and length of each piece; the nesting counts them from 0.
    pub pieces: Vec<(String, f64)>,
    /// The nesting.
    pub nesting: Nesting,
}

/// Projections, heights, cap, rises, mitres, cut list and sticks.
#[must_use]
pub fn header_text(of: &HeaderFigures<'_>, shown: Shown) -> String {
    let mut sections = vec![
        ("Projections from the wall".to_string(), pairs(&projections(of.layout, shown))),
        ("Heights above the frieze's lower edge".to_string(), pairs(&heights(of.layout, shown))),
        ("Cap".to_string(), pairs(&cap(of.layout, shown))),
        ("Ordinates, to scribe its front with a batten".to_string(), scribing(of.cap, shown)),
        (format!("Rises to choose from, {}", unit_words(shown)), rises(of, shown)),
        ("Mitres".to_string(), mitres(of.layout, shown)),
        (format!("Cut list, {}", unit_words(shown)), cut_list(of.list, shown)),
    ];
    if !of.offers.is_empty() {
        sections.push((
            format!("Published proportions, {}", unit_words(shown)),
            offers(of.offers, shown),
        ));
    }
    if !of.sticks.is_empty() {
        sections.push(("Sticks".to_string(), sticks(of.sticks, shown)));
    }
    sections.iter().map(|(head, body)| format!("\n{head}\n{body}")).collect()
}

fn unit_words(shown: Shown) -> &'static str {
    match shown.unit {
        Unit::Mm => "millimetres",
        Unit::In => "inches",
    }
}

/// A length without its unit, which stands in the heading.
fn bare(mm: f64, shown: Shown) -> String {
    let text = shown.one(mm);
    text.trim_end_matches(&format!(" {}", shown.unit.name())).to_string()
}

fn projections(layout: &Layout, shown: Shown) -> Vec<(&'static str, String)> {
    let p = &layout.projections;
    let mut rows = vec![("frieze's face", shown.both(p.frieze))];
    if layout.header.panel.is_some() {
        rows.push(("panel's face", shown.both(p.panel)));
    }
    rows.push(("bed mould over the frieze", shown.both(p.bed_over_frieze)));
    if layout.header.panel.is_some() {
        rows.push(("bed mould over the panel", shown.both(p.bed_over_panel)));
    }
    rows.push(("cap's board at its corners", shown.both(p.cap_ends)));
    rows.push(("cap's board on the centre line", shown.both(p.cap_centre)));
    if layout.header.cymatium.is_some() {
        rows.push(("cap moulding on the centre line", shown.both(p.whole)));
    }
    rows
}

fn heights(layout: &Layout, shown: Shown) -> Vec<(&'static str, String)> {
    let l = &layout.levels;
    let mut rows =
        vec![("bed mould's lower edge", l.bed_bottom), ("cap's underside", l.cap_bottom)];
    rows.extend(l.panel_bottom.map(|z| ("panel's lower edge", z)));
    rows.extend(l.cymatium_bottom.map(|z| ("cap moulding's lower edge", z)));
    rows.push(("cap's top", l.top));
    // From the floor up; what is level keeps the order above.
    rows.sort_by(|a, b| a.1.total_cmp(&b.1));
    rows.into_iter().map(|(name, z)| (name, shown.both(z))).collect()
}

fn cap(layout: &Layout, shown: Shown) -> Vec<(&'static str, String)> {
    let cap = &layout.cap;
    let mut rows = vec![
        ("chord: length along the wall", shown.both(cap.chord)),
        ("end depth", shown.both(cap.end_depth)),
        ("rise", shown.both(cap.rise)),
        ("radius", shown.both(cap.radius)),
        ("length along the arc", shown.both(cap.arc_length)),
        ("angle at the centre", degrees(2.0 * cap.front().half_angle())),
        ("thickness", shown.both(cap.thickness)),
    ];
    if let Some(cover) = layout.cover_at_break {
        rows.push(("least rise that covers the break", shown.both(at_least(layout.least_rise))));
        rows.push(("cover at the break's corner", shown.both(cover)));
    }
    rows
}

fn offers(all: &[Offer], shown: Shown) -> String {
    let heads = ["", "architrave", "frieze", "cornice", "whole", "source"];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(all.iter().map(|offer| {
        let heights = [offer.architrave, offer.frieze, offer.cornice, offer.whole];
        let mut row = vec![offer.name.to_string()];
        row.extend(heights.map(|mm| bare(mm, shown)));
        row.push(offer.source.to_string());
        row
    }));
    table(&[Left, Right, Right, Right, Right, Left], &rows)
}

fn scribing(cap: &CapFigures, shown: Shown) -> String {
    let heads = ["along the chord", "chord to arc", "back to arc"].map(String::from);
    let rows: Vec<Vec<String>> =
        std::iter::once(heads).chain(ordinates(cap, shown)).map(|row| row.to_vec()).collect();
    table(&[Right, Right, Right], &rows)
}

fn rises(of: &HeaderFigures<'_>, shown: Shown) -> String {
    let heads = ["rise", "radius", "middle depth", "break cover", "corner mitre", "bends dry", ""];
    let mut rows = vec![heads.map(String::from).to_vec()];
    let length = |mm: Option<f64>| mm.map_or_else(|| "-".to_string(), |mm| bare(mm, shown));
    for row in of.rises {
        let word = match (row.covers, (row.rise - of.layout.cap.rise).abs() < SAME_RISE) {
            (_, true) => "chosen",
            (false, _) => "too little",
            _ => "",
        };
        rows.push(vec![
            bare(at_least(row.rise), shown),
            bare(row.radius, shown),
            bare(row.centre_depth, shown),
            length(row.cover_at_break),
            degrees(row.corner_mitre),
            length(row.thickest_that_bends.map(at_most)),
            word.to_string(),
        ]);
    }
    let text = table(&[Right, Right, Right, Right, Right, Right, Left], &rows);
    format!("{text}  bends dry: the thickest moulding that does, round that front\n")
}

fn degrees(angle: f64) -> String {
    format!("{:.2}°", angle.to_degrees())
}

fn mitres(layout: &Layout, shown: Shown) -> String {
    let bed = layout.bed_mold.iter().map(|piece| piece.end.angle).fold(0.0, f64::max);
    let mut rows = vec![("bed mould, every corner, each piece", degrees(bed))];
    let Some(corner) = &layout.corner else {
        return pairs(&rows);
    };
    rows.extend([
        ("cap's corner: the moulding turns by", degrees(corner.turn)),
        ("  each piece, where the joint starts", degrees(corner.each)),
        ("  straight cut, on the return", degrees(corner.straight_on_return)),
        ("  straight cut, on the bowed piece", degrees(corner.straight_on_arc)),
        ("  depth of the joint", shown.both(corner.depth)),
    ]);
    let truth = format!(
        "Between a straight and a bowed moulding the true joint is a curve. It leaves the straight \
         cut by at most {:.3} mm ({:.4} in), {} out from the cap's edge.",
        corner.departure,
        corner.departure / INCH,
        shown.both(corner.departure_at)
    );
    format!("{}{}", pairs(&rows), paragraph("  ", &truth))
}

fn cut_list(list: &CutList, shown: Shown) -> String {
    let heads =
        ["", "no.", "long point", "short point", "stock", "width", "thick", "left", "right"];
    let mut rows = vec![heads.map(String::from).to_vec()];
    rows.extend(list.pieces.iter().map(|piece| {
        vec![
            piece.name.clone(),
            piece.quantity.to_string(),
            bare(piece.long_point, shown),
            bare(piece.short_point, shown),
            bare(piece.overall, shown),
            bare(piece.width, shown),
            bare(piece.thickness, shown),
            end(&piece.start),
            end(&piece.end),
        ]
    }));
    let aligns = [Left, Right, Right, Right, Right, Right, Right, Left, Left];
    let mut text = table(&aligns, &rows);
    text.push_str(
        "  stock: length of stock that holds the piece; mitres are off square, out round an outside \
         corner,\n  in round an inside one, bow where a return meets the bowed front\n",
    );
    for (note, names) in notes(&list.pieces) {
        text.push_str(&paragraph("  - ", &format!("{}: {note}", names.join("; "))));
    }
    text
}

fn end(end: &PieceEnd) -> String {
    let angle = degrees(end.angle);
    match end.joint {
        Joint::Wall => "square".to_string(),
        Joint::Outside => format!("out {angle}"),
        Joint::Inside => format!("in {angle}"),
        Joint::Bowed => format!("bow {angle}"),
    }
}

/// Each note once, with the pieces that it is for.
fn notes(pieces: &[CutPiece]) -> Vec<(String, Vec<String>)> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for piece in pieces {
        for note in &piece.notes {
            match all.iter_mut().find(|(known, _)| known == note) {
                Some((_, names)) => names.push(piece.name.clone()),
                None => all.push((note.clone(), vec![piece.name.clone()])),
            }
        }
    }
    all
}

fn sticks(all: &[StickNesting], shown: Shown) -> String {
    let mut text = String::new();
    for one in all {
        let nesting = &one.nesting;
        let bound = if nesting.exact {
            "no nesting uses less".to_string()
        } else {
            format!("not searched to the end; none uses less than {}", shown.both(nesting.bound))
        };
        text.push_str(&format!(
            "  {}: {} in all, of it waste {}; {bound}\n",
            one.name,
            shown.both(nesting.used),
            shown.both(nesting.waste)
        ));
        for (i, stick) in nesting.sticks.iter().enumerate() {
            let pieces: Vec<String> = stick
                .pieces
                .iter()
                .filter_map(|&k| one.pieces.get(k))
                .map(|(name, length)| {
                    let short = name
                        .strip_prefix(one.name)
                        .map_or(name.as_str(), |rest| rest.trim_start_matches(", "));
                    format!("{short} {}", shown.one(*length))
                })
                .collect();
            let words = format!("{}; {} left", pieces.join(", "), shown.one(stick.offcut));
            let lead = format!("    {}. of {}: ", i + 1, shown.one(stick.length));
            text.push_str(&paragraph(&lead, &words));
        }
    }
    text
}
