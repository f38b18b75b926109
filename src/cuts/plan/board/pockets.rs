//! The pockets and rebates of one face.

use super::said::Said;
use super::sequence::{self, Phase, Task};
use super::{Operation, SAME_WIDTH, Side, open, too_short};
use crate::cuts::PocketFigures;
use crate::cuts::pen::Pen;
use crate::cuts::pocket::{Before, Engagement, PocketCut, Unreached, unreached};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, OffsetError, Piece, Point, Region, outset_all};
use crate::part::features::{Clearing, Corners, Pocket, Start};
use crate::shop::{Cutter, CutterShape, CuttingData};
use crate::toolpath::{Limits, Move, Purpose, times};
use crate::units::Shown;

/// The greatest share of a cutter's diameter that roughing leaves on the walls.
pub(super) const ALLOWANCE: f64 = 0.08;

/// Farthest that the finishing pass is asked to reach at once, in cutter diameters: deeper walls
/// are roughed to their line.
const DEEPEST_FINISH: f64 = 3.0;

/// What clears a pocket, and what should be said of it.
pub(super) struct Planned {
    /// The pocket's key.
    pub key: String,
    /// One for each cutter, in order.
    pub tasks: Vec<Task>,
    /// Keys of the pockets that must be cut before.
    pub needs: Vec<String>,
    pub said: Vec<Said>,
    pub figures: Vec<PocketFigures>,
}

/// The tasks of a pocket, one for each cutter; with what should be said of it.
/// `board` is the part's outline in its own frame.
pub(super) fn plan(
    side: &Side<'_>,
    pocket: &Pocket,
    board: &Contour,
) -> Result<Planned, Diagnostic> {
    let bench = side.bench;
    let wrong = |why: OffsetError| inset(side, &pocket.key, &why);
    let wanted = turned(side, &pocket.region).map_err(wrong)?;
    let region = open::extended(side, pocket).map_err(|why| crossing(side, pocket, &why))?;
    let region = turned(side, &region).map_err(wrong)?;
    let beyond = region.area() - wanted.area();
    let (mut all, mut figures) = (Vec::new(), Vec::new());
    let (mut before, mut radius) = (Vec::new(), 0.0);
    let stock = Some((bench.stock.min.xy(), bench.stock.max.xy()));
    let within = deeper_within(side, pocket);
    let mut said = Vec::new();
    let cutters = cutters(side, pocket)?;
    for (i, (cutter, data)) in cutters.into_iter().enumerate() {
        let last = i + 1 == pocket.cutters.len();
        let known = Before { centres: &before, radius, stock };
        let bare = if i == 0 { bare(side, &within, cutter).map_err(wrong)? } else { Vec::new() };
        let (operation, centres, met) =
            one(side, pocket, &region, (cutter, data.clone()), (known, &bare), last)
                .map_err(wrong)?;
        if !operation.toolpath.steps.is_empty() {
            // What lies beyond open edges was not asked for.
            let own = |all: f64| (all - beyond).max(0.0);
            // Nor is what a deeper pocket within took before.
            let gone = covered(if i == 0 { &bare } else { &before }, cutter.radius().max(radius));
            let areas = (own(covered(&centres, cutter.radius())), own(gone));
            let told = told(side, pocket, &operation, &met, areas);
            said.extend(engaged(side, cutter, &met));
            said.push(timed(cutter, &told));
            if pocket.clearing == Clearing::HeldLoad {
                let plain = Pocket { clearing: Clearing::Offset, ..pocket.clone() };
                let (operation, _, met) =
                    one(side, &plain, &region, (cutter, data), (known, &bare), last)
                        .map_err(wrong)?;
                let plain = self::told(side, &plain, &operation, &met, areas);
                said.extend(sooner(cutter, &told, &plain));
            }
            figures.push(told);
            let Operation { cutter, data, toolpath } = operation;
            let task = Task::new(Phase::Inside, &cutter, data, vec![vec![toolpath]]);
            all.push(Task { area: Some(wanted.clone()), ..task });
        }
        (before, radius) = (centres, cutter.radius());
    }
    if before.is_empty() {
        return Err(none_fits(side, pocket, &region));
    }
    let mut left = unreached(&wanted, &before, radius);
    // What lies beyond the board is nobody's.
    let outline = side.contour(board);
    left.retain(|one| outline.contains(one.at));
    said.extend(unreached_places(side, pocket, &left));
    Ok(Planned {
        key: pocket.key.clone(),
        tasks: all,
        needs: open::before(side, pocket).map(|other| other.key.clone()).collect(),
        said,
        figures,
    })
}

/// The cutters of a pocket with what they may do.
///
/// # Errors
/// One that does not reach down, or is not narrower than the one before.
fn cutters<'a>(
    side: &Side<'a>,
    pocket: &Pocket,
) -> Result<Vec<(&'a Cutter, CuttingData)>, Diagnostic> {
    let bench = side.bench;
    let mut all: Vec<(&Cutter, CuttingData)> = Vec::new();
    for (i, number) in pocket.cutters.iter().enumerate() {
        let key = format!("{}.cutters[{}]", pocket.key, i + 1);
        let (cutter, data) = bench.cutter(*number, &key)?;
        fits(side, cutter, pocket.depth, &key)?;
        if all.last().is_some_and(|(before, _)| cutter.radius() >= before.radius()) {
            return Err(Diagnostic::error(format!(
                "{} is not narrower than the one before it",
                cutter.title()
            ))
            .key(format!("{}.{key}", bench.part.key))
            .help("give the widest cutter first, then narrower ones for what it leaves"));
        }
        all.push((cutter, data));
    }
    Ok(all)
}

/// Deeper pockets of the same face that lie in this one. A cutter that has work in both is in the
/// inner one first.
fn deeper_within<'s>(side: &'s Side<'_>, pocket: &Pocket) -> Vec<&'s Pocket> {
    let all = side.pockets.iter().copied();
    all.filter(|other| other.depth > pocket.depth + 1e-6)
        .filter(|other| sequence::lies_in(&other.region, &pocket.region))
        .collect()
}

/// Where a cutter's middle has been in some pockets.
fn bare(side: &Side<'_>, pockets: &[&Pocket], cutter: &Cutter) -> Result<Vec<Region>, OffsetError> {
    let mut all = Vec::new();
    for pocket in pockets.iter().filter(|p| p.cutters.contains(&cutter.number)) {
        all.extend(turned(side, &pocket.region)?.reach(cutter.radius())?);
    }
    Ok(all)
}

/// No cutter goes in: the widest that would.
fn none_fits(side: &Side<'_>, pocket: &Pocket, region: &Region) -> Diagnostic {
    let (low, high) = region.outer().bounds().unwrap_or_default();
    // Halving from what certainly does not fit to a thousandth of a millimetre.
    let (mut fits, mut not) = (0.0, (high.x - low.x).min(high.y - low.y));
    while not - fits > 1e-3 {
        let middle = (fits + not) / 2.0;
        if region.reach(middle / 2.0).is_ok_and(|all| !all.is_empty()) {
            fits = middle;
        } else {
            not = middle;
        }
    }
    let shown = side.bench.job.shown;
    let shop = &side.bench.shop;
    let size = high - low;
    let round = (size.x - fits).abs() < SAME_WIDTH && (size.y - fits).abs() < SAME_WIDTH;
    let same = |c: &&Cutter| (c.diameter.0 - fits).abs() < SAME_WIDTH;
    let all = pocket.cutters.iter().filter_map(|n| shop.cutter(*n).ok());
    if let Some(cutter) = all.into_iter().find(same).filter(|_| round) {
        return Diagnostic::error(format!("the pocket is no wider than {}", cutter.title()))
            .key(format!("{}.{}.cutters", side.bench.part.key, pocket.key))
            .help("give it as a [[part.hole]] with a `depth`, or name a narrower cutter");
    }
    Diagnostic::error("no cutter of the list goes into the pocket")
        .key(format!("{}.{}.cutters", side.bench.part.key, pocket.key))
        .help(format!(
            "its widest place takes a cutter of {}: add one that is no wider, and narrower ones for narrower places",
            shown.both(fits)
        ))
}

/// One cutter's work in a pocket, and where its middle could go.
fn one(
    side: &Side<'_>,
    pocket: &Pocket,
    region: &Region,
    (cutter, data): (&Cutter, CuttingData),
    (before, bare): (Before<'_>, &[Region]),
    last: bool,
) -> Result<(Operation, Vec<Region>, Engagement), OffsetError> {
    let stock = side.bench.stock;
    let floor = stock.max.z - pocket.depth;
    let mouths = open::mouths(side, pocket, cutter);
    let deep = pocket.depth > DEEPEST_FINISH * cutter.diameter.0;
    let cut = PocketCut {
        region,
        top: stock.max.z,
        floor,
        cutter,
        data: &data,
        allowance: if deep { 0.0 } else { ALLOWANCE * cutter.diameter.0 },
        hold: pocket.clearing == Clearing::HeldLoad,
        outside_in: pocket.start == Start::Outside,
        before,
        bare,
        mouths: &mouths,
        watch: side.bench.watch,
    };
    let mut pen = Pen::new(side.rules(&data));
    let centres = cut.cut(&mut pen)?;
    let counted = pen.toolpath.steps.len();
    if last && pocket.corners == Corners::Relieved {
        relieve(&mut pen, (region, &corners(side, pocket)), cutter.radius(), floor);
    }
    let mut toolpath = pen.toolpath;
    let met = cut.ease(&mut toolpath, counted);
    Ok((Operation { cutter: cutter.clone(), data, toolpath }, centres, met))
}

/// The region on the table.
pub(super) fn turned(side: &Side<'_>, region: &Region) -> Result<Region, OffsetError> {
    let islands = region.islands().iter().map(|island| side.contour(island)).collect();
    Region::new(side.contour(region.outer()), islands)
}

/// Edges that cross where open ones are moved out.
fn crossing(side: &Side<'_>, pocket: &Pocket, why: &OffsetError) -> Diagnostic {
    Diagnostic::error(format!("the cutter can not run out over the open edges: {why}"))
        .key(format!("{}.{}.open", side.bench.part.key, pocket.key))
        .help("name fewer edges, give a narrower cutter, or draw the area itself beyond them")
}

pub(super) fn inset(side: &Side<'_>, key: &str, why: &OffsetError) -> Diagnostic {
    Diagnostic::error(why.to_string())
        .key(format!("{}.{key}", side.bench.part.key))
        .help("check the figures of the area and its islands")
}

/// A cutter that clears: flat or bull-nose, long enough.
fn fits(side: &Side<'_>, cutter: &Cutter, depth: f64, key: &str) -> Result<(), Diagnostic> {
    let shown = side.bench.job.shown;
    let (message, help) = match cutter.shape {
        CutterShape::Flat | CutterShape::BullNose if depth <= cutter.flute_length.0 + 1e-6 => {
            return Ok(());
        }
        CutterShape::Flat | CutterShape::BullNose => too_short("cut", depth, cutter, shown),
        _ => (format!("{} leaves no flat floor", cutter.title()), "use a flat cutter".to_string()),
    };
    Err(Diagnostic::error(message).key(format!("{}.{key}", side.bench.part.key)).help(help))
}

/// Sharp inside corners between a pocket's walls: where on the table, and the direction into the
/// pocket.
pub(super) fn corners(side: &Side<'_>, pocket: &Pocket) -> Vec<(Point, Point)> {
    let mut all = Vec::new();
    for (k, contour) in pocket.region.contours().enumerate() {
        let pieces: Vec<Piece> = contour.pieces().collect();
        for (i, piece) in pieces.iter().enumerate() {
            if k == 0 && !pocket.open.walled(i, pieces.len()) {
                continue;
            }
            let next = pieces[(i + 1) % pieces.len()];
            let (a, b) = (piece.direction(1.0), next.direction(0.0));
            // Ten degrees: gentler corners are as good as smooth.
            if a.cross(b).atan2(a.dot(b)) > 0.17
                && let Some(into) = (b - a).unit()
            {
                let at = side.at(piece.to);
                all.push((at, side.at(piece.to + into) - at));
            }
        }
    }
    all
}

/// From where the cutter stands in each inside corner on to where its edge reaches the corner.
fn relieve(
    pen: &mut Pen<'_>,
    (region, corners): (&Region, &[(Point, Point)]),
    radius: f64,
    floor: f64,
) {
    for (corner, into) in corners {
        let (to, from) = (*corner + *into * radius, *corner + *into * (2.0 * radius));
        if !region.contains(from) {
            continue;
        }
        pen.approach(from);
        pen.sink(floor);
        for (from, to) in [(from, to), (to, from)] {
            pen.stroke(Purpose::Finish, &Piece { from, to, bulge: 0.0 }, floor, floor);
        }
        pen.retract();
    }
}

/// How the cutter's rim was loaded, if anywhere beyond the bound.
fn engaged(side: &Side<'_>, cutter: &Cutter, met: &Engagement) -> Option<Said> {
    let shown = side.bench.job.shown;
    (met.above > 0.0).then(|| Said {
        head: format!(
            "{} has up to {:.0} degrees of its rim in the wood",
            cutter.title(),
            met.greatest.to_degrees()
        ),
        at: Some(place(shown, met.at)),
        tail: format!(
            ", where a straight pass has {:.0}; there, and along {} of {} in all, the feed is eased.",
            met.nominal.to_degrees(),
            shown.both(met.above),
            shown.both(met.length),
        ),
    })
}

/// Area that a cutter covers with its middle in `centres`, mm2.
fn covered(centres: &[Region], radius: f64) -> f64 {
    outset_all(centres, radius).map_or(0.0, |all| all.iter().map(Region::area).sum())
}

/// The figures of one cutter's work; `areas` is what it covers, and what the one before did.
fn told(
    side: &Side<'_>,
    pocket: &Pocket,
    operation: &Operation,
    met: &Engagement,
    (area, before): (f64, f64),
) -> PocketFigures {
    let Operation { data, toolpath, .. } = operation;
    let machine = &side.bench.shop.machine;
    let moves: Vec<Move> = toolpath.steps.iter().map(|step| step.action).collect();
    let start = moves.first().and_then(Move::target).unwrap_or_default();
    let area = (area - before).max(0.0);
    let passes = (pocket.depth / data.stepdown.value - 1e-6).ceil().max(1.0);
    PocketFigures {
        pocket: pocket.key.clone(),
        cutter: data.cutter,
        held: pocket.clearing == Clearing::HeldLoad,
        nominal: met.nominal,
        greatest: met.greatest,
        at: met.at,
        above: met.above,
        length: met.length,
        opened: met.opened,
        area,
        // A count of passes.
        passes: passes as usize,
        seconds: times(start, &moves, &Limits::from(machine)).iter().sum(),
        // From minutes.
        ideal_seconds: 60.0 * area * passes / (data.stepover.value * data.feed.value),
    }
}

/// The load, where no other line tells it, and the time for the sheet.
fn timed(cutter: &Cutter, told: &PocketFigures) -> Said {
    // A slot as wide as the cutter, or a round hole, is all cut while going in.
    let load = match told.above > 0.0 || told.greatest < 1e-3 {
        true => String::new(),
        false => format!(
            "has at most {:.0} degrees of its rim in the wood after going in, where a straight pass has {:.0}; it ",
            told.greatest.to_degrees(),
            told.nominal.to_degrees()
        ),
    };
    // Against less than a second everything looks long.
    let ideal = match told.ideal_seconds < 1.0 {
        true => String::new(),
        false => {
            format!(", where straight passes without end would take {:.0}", told.ideal_seconds)
        }
    };
    Said::plain(format!("cutter {} {load}takes {:.0} s{ideal}.", cutter.number, told.seconds))
}

/// That plain offsets take much less time, where they do: what the held load costs is not hidden.
fn sooner(cutter: &Cutter, held: &PocketFigures, plain: &PocketFigures) -> Option<Said> {
    /// Less than this share of the time is worth a line.
    const MUCH: f64 = 0.8;
    (plain.seconds < MUCH * held.seconds && plain.greatest > held.greatest).then(|| {
        Said::plain(format!(
            "with clearing = \"offset\" cutter {} would take {:.0} s, with up to {:.0} degrees of its rim in the wood at an eased feed.",
            cutter.number,
            plain.seconds,
            plain.greatest.to_degrees()
        ))
    })
}

/// A place as the setup sheet names it.
fn place(shown: Shown, p: Point) -> String {
    format!("X {} Y {}", shown.one(p.x), shown.one(p.y))
}

fn unreached_places(side: &Side<'_>, pocket: &Pocket, left: &[Unreached]) -> Option<Said> {
    let shown = side.bench.job.shown;
    let worst = left.iter().max_by(|a, b| a.gap.total_cmp(&b.gap))?;
    let count = left.len();
    let places = if count == 1 { "place".to_string() } else { format!("{count} places") };
    Some(match pocket.corners {
        Corners::AsCut => Said {
            head: format!(
                "{places} of its walls stay out of the cutters' reach, by {} at most",
                shown.both(worst.gap)
            ),
            at: Some(place(shown, worst.at)),
            tail: "; give a narrower cutter, or a round corner.".to_string(),
        },
        Corners::SquareByHand => Said::plain(format!(
            "square its {count} corners with a chisel; the cutter leaves {} in them.",
            shown.both(worst.gap)
        )),
        Corners::Relieved => Said::plain(
            "the cutter goes on into each inside corner, so that a square piece drops in."
                .to_string(),
        ),
    })
}
