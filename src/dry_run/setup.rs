//! What the dry run is told beside the text.

use super::surface::Wanted;
use crate::geometry::{Box3, Contour, HeightField, Point, Point3};
use crate::ngc::CoordinateSystem;
use crate::shop::{Cutter, CuttingData, Machine};
use crate::units::{Shown, Unit};
use crate::watch::Watch;

/// A box that neither cutter nor holder may enter, in work coordinates, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Keepout {
    /// What it is.
    pub name: String,
    /// Where it is.
    pub space: Box3,
}

/// The part that must stay whole, in work coordinates, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct PartKeep {
    /// Its closed outline in plan.
    pub outline: Contour,
    /// How far a cutter's rim may come inside the outline: rounding and the cutter's own error.
    pub clearance: f64,
}

/// A tab that must hold the part to the end, in work coordinates, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TabKeep {
    /// Its middle in plan, on the part's edge.
    pub at: Point,
    /// Unit vector from there across the slot into the waste; zero if that is not known.
    pub out: Point,
    /// Height of its top.
    pub top: f64,
    /// Half its width along the path.
    pub half_width: f64,
}

/// How the shop keeps cutters of different length apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LengthOffsets {
    /// Each cutter is touched off by hand: no G43.
    #[default]
    TouchedOff,
    /// The machine has a table, indexed by the cutter's number: G43 H as the cutter.
    ByCutter,
}

/// Machine, cutters, stock and everything else that the text itself does not say. Work
/// coordinates, mm.
#[derive(Clone, Debug)]
pub struct Setup<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// The shop's table of cutters.
    pub cutters: &'a [Cutter],
    /// The stock; its underside lies on the table. Without it z = 0 is taken as its top.
    pub stock: Option<Box3>,
    /// Clamps, screws and whatever else is in the way; what they touch they hold.
    pub clamps: Vec<Keepout>,
    /// Tape or vacuum holds the whole underside, offcuts too: nothing is taken to come loose.
    pub held_below: bool,
    /// Feeds, speeds and depths per cutter; a cutter without an entry is not judged by species.
    pub limits: Vec<CuttingData>,
    /// The coordinate system that the setup sheet names.
    pub work_offset: CoordinateSystem,
    /// Where the work zero stands in machine coordinates, if known.
    pub machine_zero: Option<Point3>,
    /// The least end of each axis's travel in machine coordinates: zero on a machine that
    /// counts up from its front left lowest corner.
    pub travel_least: Point3,
    /// How deep the tip may go below the stock's underside.
    pub permitted_overcut: f64,
    /// The cutter that is in the spindle when the program starts.
    pub default_cutter: Option<u32>,
    /// The part whose outline no cutter may enter; for parts that are not cut on their face (see
    /// `wanted` for those).
    pub part: Option<PartKeep>,
    /// The tabs that must be left.
    pub tabs: Vec<TabKeep>,
    /// The surface that is wanted, for parts that are cut on their face; together with or
    /// instead of `part`.
    pub wanted: Option<Wanted<'a>>,
    /// What earlier programs have left of the stock, as [`super::Trial::left`] gives it; `None`
    /// for whole stock.
    pub before: Option<&'a HeightField>,
    /// What was cut into the face that lies down, as [`super::turned_over`] gives it; `None` for a
    /// board that is whole below.
    pub below: Option<&'a HeightField>,
    /// Cutters of other programs for the same board, so that all are tried on cells that suit
    /// all of them.
    pub also: Vec<u32>,
    /// Modulus of rupture of the wood, MPa, if known: how strong tabs are.
    pub rupture: Option<f64>,
    /// How cutter lengths are kept apart.
    pub length_offsets: LengthOffsets,
    /// How lengths are written in messages.
    pub shown: Shown,
    /// Who is told how far the text has been tried.
    pub watch: Watch<'a>,
}

impl<'a> Setup<'a> {
    /// A setup that knows the machine and its cutters only; the coordinate system is G54.
    #[must_use]
    pub fn new(machine: &'a Machine, cutters: &'a [Cutter]) -> Setup<'a> {
        Setup {
            machine,
            cutters,
            stock: None,
            clamps: Vec::new(),
            held_below: false,
            limits: Vec::new(),
            work_offset: CoordinateSystem(1),
            machine_zero: None,
            travel_least: Point3::default(),
            permitted_overcut: machine.into_spoilboard.0,
            default_cutter: None,
            part: None,
            tabs: Vec::new(),
            wanted: None,
            before: None,
            below: None,
            also: Vec::new(),
            rupture: None,
            length_offsets: LengthOffsets::TouchedOff,
            shown: Shown { unit: Unit::Mm, parts: 32 },
            watch: Watch::NOBODY,
        }
    }
}
