//! From a header's numbers to its whole layout.

use super::bend::{Wood, thickest_for};
use super::header::{Front, Header, wrong};
use super::mitre::{CornerMitre, CurvedMitre};
use super::plan::{self, MitreLine, PlanPiece};
use super::rise::CapSeat;
use super::say::{about, at_least, at_most};
use crate::diagnostic::Diagnostic;
use crate::geometry::{CircularSegment, Contour, Piece, Point, SegmentError, point};

/// A rise this little below the least one is the least one, rounded (mm).
const RISE_SLACK: f64 = 1e-6;

/// Distances from the wall, in the order in which they stand out. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Projections {
    /// The frieze's face.
    pub frieze: f64,
    /// The panel's face; the frieze's without a panel.
    pub panel: f64,
    /// The bed mould over the frieze.
    pub bed_over_frieze: f64,
    /// The bed mould over the panel.
    pub bed_over_panel: f64,
    /// The cap's board at its corners.
    pub cap_ends: f64,
    /// The cap's board on the centre line.
    pub cap_centre: f64,
    /// The cap moulding on the centre line; the board's without one.
    pub whole: f64,
}

/// Heights above the frieze's lower edge. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Levels {
    /// The panel's lower edge; `None` without a panel.
    pub panel_bottom: Option<f64>,
    /// The bed mould's lower edge.
    pub bed_bottom: f64,
    /// The cap's underside: the frieze's top.
    pub cap_bottom: f64,
    /// The cap moulding's lower edge; `None` without one.
    pub cymatium_bottom: Option<f64>,
    /// The cap's top.
    pub top: f64,
}

/// The cap's board.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Cap {
    /// Its outline in plan, closed and counter-clockwise.
    pub outline: Contour,
    /// Straight distance between its front corners: its length along the wall.
    pub chord: f64,
    /// Depth at its ends.
    pub end_depth: f64,
    /// Rise of the front.
    pub rise: f64,
    /// Radius of the front.
    pub radius: f64,
    /// Length of the front along the arc.
    pub arc_length: f64,
    /// Thickness.
    pub thickness: f64,
}

impl Cap {
    /// The segment between the front and its chord.
    #[must_use]
    pub fn front(&self) -> CircularSegment {
        CircularSegment { chord: self.chord, rise: self.rise, radius: self.radius }
    }
}

/// A header, solved.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Layout {
    /// What was asked.
    pub header: Header,
    /// Distances from the wall.
    pub projections: Projections,
    /// Heights.
    pub levels: Levels,
    /// The faces that the bed mould is fixed to, as corners in plan from the left wall to the
    /// right.
    pub backs: Vec<Point>,
    /// The bed mould's pieces, from left to right.
    pub bed_mold: Vec<PlanPiece>,
    /// The cap's board.
    pub cap: Cap,
    /// The cap's mouldings, from left to right; none without a cymatium.
    pub cap_moldings: Vec<PlanPiece>,
    /// All mitre lines: the bed mould's from left to right, then the cap's two.
    pub mitres: Vec<MitreLine>,
    /// The cap's corner, where there is a cymatium.
    pub corner: Option<CornerMitre>,
    /// The least rise that covers the break by the asked overhang; 0 when a straight front does.
    pub least_rise: f64,
    /// Distance from the break's worse outer corner to the front; `None` without a break.
    pub cover_at_break: Option<f64>,
}

/// One row of a table of rises to choose from.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct RiseRow {
    /// Rise of the front.
    pub rise: f64,
    /// Its radius.
    pub radius: f64,
    /// Depth of the cap's board on the centre line.
    pub centre_depth: f64,
    /// Distance from the break's worse outer corner to the front, negative beyond it; `None`
    /// without a break.
    pub cover_at_break: Option<f64>,
    /// Whether that is the asked overhang or more.
    pub covers: bool,
    /// Saw setting of each piece at the cap's corner, radians off square.
    pub corner_mitre: f64,
    /// The thickest that still bends dry round the front; `None` without a wood.
    pub thickest_that_bends: Option<f64>,
}

impl Header {
    /// Solves the whole layout.
    ///
    /// # Errors
    /// Every number that cannot be, each with the one that would do: among them a rise or radius
    /// that leaves the break uncovered, with the least rise (or greatest radius) that covers it.
    pub fn layout(&self) -> Result<Layout, Vec<Diagnostic>> {
        let problems = self.problems();
        if !problems.is_empty() {
            return Err(problems);
        }
        let seat = self.seat();
        let least_rise = self.least_rise(&seat).map_err(|d| vec![d])?;
        let front = self.front_arc(&seat, least_rise).map_err(|d| vec![d])?;
        Ok(self.assemble(&seat, least_rise, front))
    }

    /// Corners of the faces that the bed mould is fixed to, from the left wall to the right.
    fn backs(&self) -> Vec<Point> {
        let (half, face) = (self.frieze_length() / 2.0, self.frieze.thickness);
        let mut corners = vec![point(-half, 0.0), point(-half, face)];
        if let Some(panel) = &self.panel {
            let (left, right) =
                (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
            let out = face + panel.thickness;
            corners.extend([
                point(left, face),
                point(left, out),
                point(right, out),
                point(right, face),
            ]);
        }
        corners.extend([point(half, face), point(half, 0.0)]);
        corners
    }

    /// The cap's front corners and the break's outer corners.
    #[must_use]
    pub fn seat(&self) -> CapSeat {
        let p = self.bed_mold.projection;
        let corners = self.panel.map_or_else(Vec::new, |panel| {
            let y = self.frieze.thickness + panel.thickness + p;
            let half = panel.width / 2.0 + p;
            vec![point(panel.offset - half, y), point(panel.offset + half, y)]
        });
        CapSeat {
            half_chord: self.frieze_length() / 2.0 + p + self.overhang.ends,
            end_depth: self.frieze.thickness + p + self.overhang.front,
            corners,
            overhang: self.overhang.at_break,
        }
    }

    fn least_rise(&self, seat: &CapSeat) -> Result<f64, Diagnostic> {
        seat.least_rise().map_err(|none| {
            let ends = self.overhang.ends + none.half_chord_needed - seat.half_chord;
            let message = format!(
                "no rise leaves {} between the break's corner and the front: a half circle leaves {}",
                about(seat.overhang),
                about(none.most_overhang)
            );
            let mut help = format!(
                "overhang at the ends of at least {} makes room for a half circle, more for a flatter \
                 front",
                at_least(ends)
            );
            if none.most_overhang > 0.0 {
                help = format!("at most {}; or {help}", at_most(none.most_overhang));
            }
            wrong("overhang.break", message).help(help)
        })
    }

    fn front_arc(&self, seat: &CapSeat, least: f64) -> Result<CircularSegment, Diagnostic> {
        let chord = 2.0 * seat.half_chord;
        match self.front {
            Front::Least if least < RISE_SLACK => Err(wrong(
                "rise",
                "there is no least rise: a straight front covers all that lies under it"
                    .to_string(),
            )
            .help(format!("any rise up to {}", at_most(seat.half_chord)))),
            Front::Least => arc(CircularSegment::from_chord_and_rise(chord, least), "rise"),
            Front::Rise(rise) => {
                let front = arc(CircularSegment::from_chord_and_rise(chord, rise), "rise")?;
                if rise + RISE_SLACK < least {
                    return Err(uncovered("rise", rise, seat, &front)
                        .help(format!("a rise of at least {} covers it", at_least(least))));
                }
                Ok(front)
            }
            Front::Radius(radius) => {
                let front = arc(CircularSegment::from_chord_and_radius(chord, radius), "radius")?;
                if front.rise + RISE_SLACK < least {
                    let at_least_rise =
                        arc(CircularSegment::from_chord_and_rise(chord, least), "rise")?;
                    return Err(uncovered("radius", radius, seat, &front).help(format!(
                        "a radius of at most {}, which is a rise of {}, covers it",
                        at_most(at_least_rise.radius),
                        about(least)
                    )));
                }
                Ok(front)
            }
        }
    }

    fn assemble(&self, seat: &CapSeat, least_rise: f64, front: CircularSegment) -> Layout {
        let backs = self.backs();
        let p = self.bed_mold.projection;
        let (bed_mold, mut mitres) = plan::bed_mold(&backs, p);
        let mut cap_moldings = Vec::new();
        let mut corner = None;
        if let Some(cymatium) = &self.cymatium {
            let (pieces, lines) = plan::cap_moldings(&front, seat.end_depth, cymatium.thickness);
            cap_moldings = pieces;
            mitres.extend(lines);
            corner = Some(CurvedMitre::new(front, cymatium.thickness).report());
        }
        let panel = self.frieze.thickness + self.panel.map_or(0.0, |panel| panel.thickness);
        let cap_centre = seat.end_depth + front.rise;
        Layout {
            header: *self,
            projections: Projections {
                frieze: self.frieze.thickness,
                panel,
                bed_over_frieze: self.frieze.thickness + p,
                bed_over_panel: panel + p,
                cap_ends: seat.end_depth,
                cap_centre,
                whole: cap_centre + self.cymatium.map_or(0.0, |c| c.thickness),
            },
            levels: self.levels(),
            backs,
            bed_mold,
            cap: Cap {
                outline: cap_outline(&front, seat.end_depth),
                chord: front.chord,
                end_depth: seat.end_depth,
                rise: front.rise,
                radius: front.radius,
                arc_length: front.arc_length(),
                thickness: self.corona.thickness,
            },
            cap_moldings,
            mitres,
            corner,
            least_rise,
            cover_at_break: self.panel.map(|_| seat.cover(&front)),
        }
    }

    fn levels(&self) -> Levels {
        let top = self.frieze.height + self.corona.thickness;
        Levels {
            panel_bottom: self.panel.map(|panel| self.frieze.height - panel.height),
            bed_bottom: self.frieze.height - self.bed_mold.height,
            cap_bottom: self.frieze.height,
            cymatium_bottom: self.cymatium.map(|cymatium| top - cymatium.height),
            top,
        }
    }
}

/// The cap's board: along the wall, up the right end, round the front, down the left end.
fn cap_outline(front: &CircularSegment, end_depth: f64) -> Contour {
    let h = front.chord / 2.0;
    let line = |from: Point, to: Point, bulge: f64| Piece { from, to, bulge };
    let corners = [point(-h, 0.0), point(h, 0.0), point(h, end_depth), point(-h, end_depth)];
    let pieces = [
        line(corners[0], corners[1], 0.0),
        line(corners[1], corners[2], 0.0),
        line(corners[2], corners[3], front.bulge()),
        line(corners[3], corners[0], 0.0),
    ];
    Contour::from_pieces(&pieces, true)
}

fn uncovered(key: &str, asked: f64, seat: &CapSeat, front: &CircularSegment) -> Diagnostic {
    let cover = seat.cover(front);
    let how = if cover < 0.0 {
        format!("lets the break's corner stand out by {}", about(-cover))
    } else {
        format!("covers the break's corner by only {}", about(cover))
    };
    wrong(key, format!("a {key} of {} {how}; {} is asked", about(asked), about(seat.overhang)))
}

/// A segment, or the reason why there is none as a message at `key`.
fn arc(
    segment: Result<CircularSegment, SegmentError>,
    key: &str,
) -> Result<CircularSegment, Diagnostic> {
    segment.map_err(|error| match error {
        SegmentError::RiseTooGreat { rise, most } => {
            wrong(key, format!("a rise of {} is more than a half circle has", about(rise)))
                .help(format!("at most {}, half of the cap's length", at_most(most)))
        }
        SegmentError::RadiusTooSmall { radius, least } => {
            wrong(key, format!("a radius of {} does not reach the cap's corners", about(radius)))
                .help(format!("at least {}, half of the cap's length", at_least(least)))
        }
        _ => wrong(key, "no arc can be drawn with this value".to_string())
            .help("a length more than 0"),
    })
}

/// Rises worth looking at: the least one that covers, if any, then `rows` whole multiples of
/// `step` (mm) above it, up to a half circle.
#[must_use]
pub fn rise_choices(least: f64, half_chord: f64, step: f64, rows: usize) -> Vec<f64> {
    let mut rises = Vec::new();
    if least > RISE_SLACK {
        rises.push(least);
    }
    if !(step > 0.0 && step.is_finite()) {
        return rises;
    }
    let first = (least.max(0.0) / step + RISE_SLACK).floor() + 1.0;
    rises.extend(
        (0..rows).map(|i| (first + i as f64) * step).take_while(|rise| *rise <= half_chord),
    );
    rises
}

/// The table to choose a rise by eye. `wood` is the wood and the share of its breaking strain that
/// bending may use, for the last column. A header's own rise or radius does not matter here.
///
/// # Errors
/// What is wrong with the header apart from its rise, or with a rise of the list.
pub fn rise_table(
    header: &Header,
    rises: &[f64],
    wood: Option<(Wood, f64)>,
) -> Result<Vec<RiseRow>, Vec<Diagnostic>> {
    let problems = Header { front: Front::Least, ..*header }.problems();
    if !problems.is_empty() {
        return Err(problems);
    }
    let seat = header.seat();
    let row = |&rise: &f64| {
        let front = arc(CircularSegment::from_chord_and_rise(2.0 * seat.half_chord, rise), "rise")?;
        let cover = header.panel.map(|_| seat.cover(&front));
        let thickest =
            wood.map(|(wood, share)| thickest_for(&wood, share, front.radius)).transpose()?;
        Ok(RiseRow {
            rise,
            radius: front.radius,
            centre_depth: seat.end_depth + rise,
            cover_at_break: cover,
            covers: cover.is_none_or(|cover| cover + RISE_SLACK >= seat.overhang),
            corner_mitre: front.return_mitre(),
            thickest_that_bends: thickest,
        })
    };
    rises.iter().map(|rise| row(rise).map_err(|d: Diagnostic| vec![d])).collect()
}
