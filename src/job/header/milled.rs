//! The mouldings of a header that the table mills, as parts that somebody could have written.

use super::mill::{Make, MillEntry};
use super::{Header, HeaderEntry};
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::job::{Hold, OnTable, Part, Shape, Stock, Tabs};
use crate::layout::bend::{Advice, Board, MOST_RUN_OUT, from_solid};
use crate::layout::{Joint, PieceEnd, PlanPiece, Role, Standing};
use crate::part::{PathShape, Pose, StraightShape};
use crate::shop::Material;
use crate::units::{Angle, Length, Shown};

/// Keys of the mouldings that the table mills.
const FRONT_KEY: &str = "header.cymatium.front";
const CAP_STRAIGHT_KEY: &str = "header.cymatium.straight";
const BED_STRAIGHT_KEY: &str = "header.bed-mold.straight";

/// Wood beside a segment on its board, mm: the slot of a half-inch cutter and a rim that holds
/// (common practice).
const BESIDE: f64 = 20.0;

/// Back along which one tab of the job's holds a milled moulding, mm (common practice).
const PER_TAB: f64 = 350.0;

/// A moulding of a header that the table mills.
pub(in crate::job) struct MilledPart {
    /// Where it stands in the file.
    pub key: &'static str,
    /// Its name, if the file gives none.
    pub name: &'static str,
    /// How it lies on the table.
    pub table: OnTable,
    /// What it is.
    pub shape: Shape,
}

/// The pieces of moulding that the table mills, as far as they are among the parts.
pub(in crate::job) fn roles(parts: &[Part]) -> Vec<Role> {
    let has = |key: &str| parts.iter().any(|part| part.key == key);
    let all: [(&str, &[Role]); 3] = [
        (FRONT_KEY, &[Role::CapFront]),
        (CAP_STRAIGHT_KEY, CAP_ROLES),
        (BED_STRAIGHT_KEY, BED_ROLES),
    ];
    let own = all.iter().filter(|(key, _)| has(key));
    own.flat_map(|(_, roles)| roles.iter().copied()).collect()
}

impl HeaderEntry {
    /// What the table mills. Without `make` the bowed front is milled where that is what bending
    /// advises and its profile is known; straight pieces where they have a table of their own.
    pub(in crate::job) fn milled(
        &self,
        header: &Header,
        material: Option<&Material>,
        hold: Option<&Hold>,
        shown: Shown,
    ) -> Result<Vec<MilledPart>, Vec<Diagnostic>> {
        let of = Milled { entry: self, header, hold, shown };
        let cymatium = self.cymatium.as_ref();
        let straight = |key, name, mill: Option<&MillEntry>, form: Form<'_>, roles: &[Role]| {
            mill.map(|mill| of.straight(key, name, mill, &form, roles))
        };
        let bed = Form {
            key: "header.bed-mold",
            standing: header.bed_standing(),
            height: header.layout.header.bed_mold.height,
        };
        let all = [
            of.front(material).transpose(),
            straight(
                CAP_STRAIGHT_KEY,
                "cymatium-straight",
                cymatium.and_then(|c| c.straight.as_ref()),
                of.cymatium(),
                CAP_ROLES,
            ),
            straight(BED_STRAIGHT_KEY, "bed-mold", self.bed_mold.straight.as_ref(), bed, BED_ROLES),
        ];
        let (mut parts, mut wrong) = (Vec::new(), Vec::new());
        for one in all.into_iter().flatten() {
            match one {
                Ok(part) => parts.push(part),
                Err(mut some) => wrong.append(&mut some),
            }
        }
        if wrong.is_empty() { Ok(parts) } else { Err(wrong) }
    }
}

/// The cap moulding's straight pieces.
const CAP_ROLES: &[Role] = &[Role::CapLeftReturn, Role::CapRightReturn];

/// The bed mould's pieces from left to right.
const BED_ROLES: &[Role] = &[
    Role::BedLeftEndReturn,
    Role::BedLeftRun,
    Role::BedLeftBreakReturn,
    Role::BedFront,
    Role::BedRightBreakReturn,
    Role::BedRightRun,
    Role::BedRightEndReturn,
];

/// A moulding's section, and how it stands.
struct Form<'a> {
    key: &'static str,
    standing: Option<Standing<'a>>,
    height: f64,
}

impl Form<'_> {
    /// Its section as it stands, or why it cannot be milled. `asked` is the key that asks for it.
    fn known(&self, asked: &str) -> Result<Profile, Vec<Diagnostic>> {
        let wrong = |message: String, help: String| {
            vec![Diagnostic::error(message).key(asked.to_string()).help(help)]
        };
        let Some(standing) = self.standing else {
            return Err(wrong(
                "the moulding's profile is not known, only its size".to_string(),
                format!("give [[{0}.element]] tables, or a tracing as `{0}.profile`", self.key),
            ));
        };
        standing.solid().map_err(|why| {
            let message =
                format!("the sprung moulding cannot stand as solid wood: {}", why.message);
            wrong(message, "change its spring or profile, or let it come ready made".to_string())
        })
    }
}

struct Milled<'a> {
    entry: &'a HeaderEntry,
    header: &'a Header,
    hold: Option<&'a Hold>,
    shown: Shown,
}

impl Milled<'_> {
    fn cymatium(&self) -> Form<'_> {
        Form {
            key: "header.cymatium",
            standing: self.header.cap_standing(),
            height: self.header.layout.header.cymatium.map_or(0.0, |c| c.height),
        }
    }

    /// The bowed front; `None` where the table does not mill it.
    fn front(&self, material: Option<&Material>) -> Result<Option<MilledPart>, Vec<Diagnostic>> {
        let Some(cymatium) = &self.entry.cymatium else { return Ok(None) };
        let form = self.cymatium();
        let bend = match material {
            Some(material) => self.header.bending(material).map_err(|one| vec![one])?,
            None => None,
        };
        // Sprung it does not bend: it is milled wherever there is a board for it.
        let advised = match &bend {
            Some(Ok((_, report))) => matches!(report.advice, Advice::FromSolid(_)),
            _ => self.header.cap_spring.is_some() && self.entry.bend.board.is_some(),
        };
        let wanted = match cymatium.make {
            Some(make) => make == Make::Mill,
            None => form.standing.is_some() && (advised || cymatium.front.is_some()),
        };
        if !wanted {
            return Ok(None);
        }
        let profile = form.known("header.cymatium.make")?;
        let mill = cymatium.front.clone().unwrap_or_default();
        check_pose(mill.pose(), FRONT_KEY)?;
        let stock = self.board(&mill, form.height).ok_or_else(|| {
            let message = "there is no board to mill the bowed moulding from";
            vec![Diagnostic::error(message).key("header.cymatium.make").help(
                "give it a `stock` in [header.cymatium.front], or the best board on hand as \
                 `board` in [header.bend]",
            )]
        })?;
        let layout = &self.header.layout;
        let path = PathShape::Arc {
            chord: Length(layout.cap.chord),
            rise: Some(Length(layout.cap.rise)),
            radius: None,
            grows: crate::part::Grows::Outward,
        };
        // The straight cut that meets both ends of the true joint, off the radius.
        let lean = layout.corner.map_or(0.0, |corner| corner.straight_on_arc);
        let mut shape = mill.shape(path, [lean; 2]);
        shape.cut.segments = shape.cut.segments.or(self.segments(&mill, &profile, &stock));
        let moulding = shape.with_profile(Ok(profile), FRONT_KEY, Pose::TopDown, self.shown)?;
        Ok(Some(self.part(FRONT_KEY, "cymatium-front", &mill, stock, moulding)))
    }

    /// The fewest segments that come out of a board and keep to the grain; `None` where none do,
    /// for the board to be complained about.
    fn segments(&self, mill: &MillEntry, profile: &Profile, stock: &Stock) -> Option<u32> {
        let (radius, sweep) = (self.header.layout.cap.radius, self.header.bowed_sweep());
        let board = Board {
            length: stock.length.0 - 2.0 * BESIDE,
            width: stock.width.0 - 2.0 * BESIDE,
            thickness: stock.thickness.0.max(profile.height()),
        };
        let plan = from_solid(profile.thickness(), profile.height(), radius, sweep, &board).ok()?;
        let run_out = mill.run_out.map_or(MOST_RUN_OUT, |angle| angle.0);
        let by_grain = (sweep / (2.0 * run_out) - 1e-9).ceil().max(1.0);
        // More than a hundred are refused where segments are counted.
        Some((plan.segments as f64).max(by_grain).min(100.0) as u32)
    }

    /// Straight pieces on one board, or as few as hold them.
    fn straight(
        &self,
        key: &'static str,
        name: &'static str,
        mill: &MillEntry,
        form: &Form<'_>,
        roles: &[Role],
    ) -> Result<MilledPart, Vec<Diagnostic>> {
        let profile = form.known(key)?;
        check_pose(mill.pose(), key)?;
        let Some(stock) = mill.table.stock else {
            return Err(vec![
                Diagnostic::error("there is no board to mill the straight pieces from")
                    .key(key)
                    .help("give it a `stock` with length, width and thickness"),
            ]);
        };
        let layout = &self.header.layout;
        let pieces = layout.bed_mold.iter().chain(&layout.cap_moldings);
        let own = pieces.filter(|piece| roles.contains(&piece.role));
        let piece = own.map(|piece| self.one(piece, mill.pose())).collect();
        let shape = mill.shape(PathShape::Pieces { piece }, [0.0; 2]);
        let moulding = shape.with_profile(Ok(profile), key, Pose::TopDown, self.shown)?;
        Ok(self.part(key, name, mill, stock, moulding))
    }

    /// A straight piece as it lies. On its top, its back to the operator, its left end stays on
    /// the left; upright it is turned round.
    fn one(&self, piece: &PlanPiece, pose: Pose) -> StraightShape {
        let lean = |end: &PieceEnd| {
            Angle(match end.joint {
                Joint::Wall => 0.0,
                Joint::Outside => end.angle,
                Joint::Inside => -end.angle,
                Joint::Bowed => {
                    self.header.layout.corner.map_or(end.angle, |c| c.straight_on_return)
                }
            })
        };
        let (left, right) = match pose {
            Pose::BottomDown => (&piece.end, &piece.start),
            Pose::TopDown | Pose::BackDown => (&piece.start, &piece.end),
        };
        StraightShape {
            name: Some(piece.role.short_name().to_string()),
            length: Length(piece.back),
            mitre_left: lean(left),
            mitre_right: lean(right),
        }
    }

    /// Its own board, or the one on hand planed to the moulding's height.
    fn board(&self, mill: &MillEntry, height: f64) -> Option<Stock> {
        let planed =
            |board: Stock| Stock { thickness: Length(board.thickness.0.min(height)), ..board };
        mill.table.stock.or(self.entry.bend.board.map(planed))
    }

    /// The job's screws and clamps stand where the cap's board wants them: only tabs, skin and bed
    /// are taken over.
    fn hold(&self, mill: &MillEntry, back: f64) -> Option<Hold> {
        if mill.table.hold.is_some() {
            return mill.table.hold.clone();
        }
        let shared = self.hold?;
        // A count of tabs along a back of metres.
        let most = (back / PER_TAB).floor().max(2.0) as u32;
        let tabs = shared.tabs.map(|tabs| Tabs { count: tabs.count.min(most), ..tabs });
        Some(Hold { tabs, skin: shared.skin, bed: shared.bed, ..Hold::default() })
    }

    fn part(
        &self,
        key: &'static str,
        name: &'static str,
        mill: &MillEntry,
        stock: Stock,
        moulding: crate::part::Moulding,
    ) -> MilledPart {
        let back = moulding.length / moulding.segments.len().max(1) as f64;
        let hold = self.hold(mill, back);
        let table = OnTable { stock: Some(stock), hold, ..mill.table.clone() };
        MilledPart { key, name, table, shape: Shape::Moulding(Box::new(moulding)) }
    }
}

fn check_pose(pose: Pose, key: &str) -> Result<(), Vec<Diagnostic>> {
    if pose != Pose::BackDown {
        return Ok(());
    }
    let message = "lying on its back it has no mitres in the plane of the table";
    Err(vec![
        Diagnostic::error(message).key(format!("{key}.pose")).help("`top-down` or `bottom-down`"),
    ])
}
