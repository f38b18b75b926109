//! Boards: what is cut into their faces, then round them, all through.

mod edges;
mod footing;
mod holes;
mod idle;
mod open;
mod pockets;
mod said;
mod sequence;
mod wanted;

use super::bench::Bench;
use super::{Operation, Work};
use crate::cuts::groove;
use crate::cuts::pen::{Pen, Rules};
use crate::cuts::{OutlinePlan, OutlineSpec, PocketFigures};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Piece, Point, point};
use crate::part::features::{Face, Flip, FlipAxis, Groove, Pocket};
use crate::shop::{Cutter, CutterShape, CuttingData};
use crate::units::{Length, Shown};
use said::{Said, joined};
use sequence::{Phase, Task, sequence};

/// Two widths this close are the same, mm.
const SAME_WIDTH: f64 = 0.02;

/// That a cutter's flutes do not reach down, and what would.
fn too_short(what: &str, depth: f64, cutter: &Cutter, shown: Shown) -> (String, String) {
    let message = format!(
        "the {what} is {} deep, the flutes of {} only {} long",
        shown.both(depth),
        cutter.title(),
        shown.both(cutter.flute_length.0)
    );
    (message, format!("use a cutter with flutes of at least {}", shown.both(depth)))
}

/// One face of a board on the table.
struct Side<'a> {
    bench: &'a Bench<'a>,
    face: Face,
    /// Its pockets that are cut.
    pockets: Vec<&'a Pocket>,
    /// Keys of its pockets of which others take all, and of those.
    idle: Vec<(&'a str, &'a str)>,
}

/// What is cut into a face, and what is told of it.
#[derive(Default)]
struct Cut {
    tasks: Vec<Task>,
    /// Of pockets, with their keys.
    said: Vec<(String, Said)>,
    cautions: Vec<String>,
    pockets: Vec<PocketFigures>,
}

impl Cut {
    /// Adds a task and gives its number.
    fn put(&mut self, task: Task) -> usize {
        self.tasks.push(task);
        self.tasks.len() - 1
    }
}

/// Every setup of a board whose contour is `contour` in the part frame: its bottom first if
/// anything is cut there, then its top and its outline.
pub(super) fn plan(bench: &Bench<'_>, contour: &Contour) -> Result<Vec<Work>, Vec<Diagnostic>> {
    let features = &bench.part.features;
    let floors = footing::floors(bench, contour).map_err(|one| vec![one])?;
    // What can not be held need not be planned any further.
    let mut top = outline(bench, contour)?;
    let mut works = Vec::new();
    if features.on(Face::Bottom) {
        let side = Side::new(bench, Face::Bottom);
        let mut cut = side.tasks(contour)?;
        cut.tasks.extend(side.pins(contour)?);
        let operations = sequence(cut.tasks, Point::default());
        works.push(Work {
            setup: "bottom",
            outline: side.contour(contour),
            surface: wanted::surface(&side, contour),
            operations,
            tabs: Vec::new(),
            remarks: side.remarks().into_iter().chain(joined(cut.said)).collect(),
            cautions: cut.cautions,
            weak: Vec::new(),
            pockets: cut.pockets,
            section: None,
        });
    }
    let side = Side::new(bench, Face::Top);
    let mut cut = side.tasks(contour)?;
    for Operation { cutter, data, toolpath } in std::mem::take(&mut top.operations) {
        cut.tasks.push(Task::new(Phase::Outline, &cutter, data, vec![vec![toolpath]]));
    }
    top.remarks = joined(cut.said).into_iter().chain(floors).chain(top.remarks).collect();
    top.cautions.extend(cut.cautions);
    top.pockets = cut.pockets;
    // The cutter comes from where it was touched off.
    let operations = sequence(cut.tasks, Point::default());
    works.push(Work { operations, surface: wanted::surface(&side, contour), ..top });
    Ok(works)
}

/// Round the board.
fn outline(bench: &Bench<'_>, contour: &Contour) -> Result<Work, Vec<Diagnostic>> {
    let part = bench.part;
    let (cutter, data) =
        bench.cutter(bench.outline_cutter(), "outline.cutter").map_err(|one| vec![one])?;
    let outline = contour.moved(bench.corner());
    let spec = OutlineSpec {
        part: &outline,
        cut: &part.outline,
        hold: &part.placing.hold,
        part_is_fixed: bench.fixed_within(&outline),
        cutter,
        cutters: &bench.shop.cutters,
        data: &data,
        machine: &bench.shop.machine,
        stock: bench.stock,
        travel_height: bench.travel_height,
        grain: point(1.0, 0.0),
        shown: bench.job.shown,
    };
    let gone = footing::gone(bench, contour).map_err(|one| vec![one])?;
    let holds = |p: Point| !footing::is_gone(&gone, p - bench.corner());
    let OutlinePlan { toolpath, tabs, mut remarks, cautions } = spec
        .plan_held(&holds)
        .map_err(|found| found.into_iter().map(|d| bench.placed(d)).collect::<Vec<_>>())?;
    remarks.extend(bench.outline_remark());
    let operations = vec![Operation { cutter: cutter.clone(), data, toolpath }];
    Ok(Work {
        setup: "top",
        outline,
        surface: None,
        operations,
        tabs,
        remarks,
        cautions,
        weak: Vec::new(),
        pockets: Vec::new(),
        section: None,
    })
}

impl<'a> Side<'a> {
    /// A point of the part on the table.
    fn at(&self, p: Point) -> Point {
        let (l, w) = (self.bench.stock.size().x, self.bench.stock.size().y);
        let on_stock = p + point(self.bench.part.at[0], self.bench.part.at[1]);
        self.turned(on_stock, l, w) - self.bench.zero.xy()
    }

    /// A point of the stock, after turning over if this is the bottom.
    fn turned(&self, p: Point, length: f64, width: f64) -> Point {
        match (self.face, self.bench.part.features.flip.as_ref().map(|flip| flip.axis)) {
            (Face::Bottom, Some(FlipAxis::X)) => point(p.x, width - p.y),
            (Face::Bottom, Some(FlipAxis::Y)) => point(length - p.x, p.y),
            _ => p,
        }
    }

    fn contour(&self, contour: &Contour) -> Contour {
        match self.face {
            Face::Top => contour.moved(self.at(Point::default())),
            Face::Bottom => contour.mirrored(&|p| self.at(p)),
        }
    }

    fn piece(&self, piece: &Piece) -> Piece {
        match self.face {
            Face::Top => {
                Piece { from: self.at(piece.from), to: self.at(piece.to), bulge: piece.bulge }
            }
            Face::Bottom => piece.mirrored(&|p| self.at(p)),
        }
    }

    /// What is cut into this face: counterbores before their holes, so that drills start on flat
    /// floors, holes, rebates and pockets, grooves, edges.
    fn tasks(&self, contour: &Contour) -> Result<Cut, Vec<Diagnostic>> {
        let features = &self.bench.part.features;
        let mut cut = Cut::default();
        let mut found = Vec::new();
        for hole in features.holes.iter().filter(|h| h.face == self.face) {
            if let Some(by) = self.takes_holes(hole) {
                cut.cautions.push(idle::told(&hole.key, by));
                continue;
            }
            let mouth = self.mouths(hole).transpose().map_err(|one| found.push(one)).ok();
            let mouth = mouth.flatten().map(|task| cut.put(task));
            if let Ok(mut task) = self.holes(hole).map_err(|one| found.push(one)) {
                task.after.extend(mouth);
                cut.put(task);
            }
        }
        let rebates = features.rebates.iter().filter(|(_, r)| r.face == self.face);
        let rebates = rebates.map(|(key, r)| (false, open::rebate(self, key, r, contour)));
        cut.cautions.extend(self.idle.iter().map(|(key, by)| idle::told(key, by)));
        let own = self.pockets.iter().map(|p| (true, Ok((*p).clone())));
        // The last task of each pocket.
        let mut last: Vec<(String, usize)> = Vec::new();
        for (told, pocket) in rebates.chain(own) {
            match pocket.and_then(|pocket| pockets::plan(self, &pocket, contour)) {
                Ok(mut planned) => {
                    let of = |key: &String| last.iter().find(|(name, _)| name == key);
                    let mut before: Vec<usize> =
                        planned.needs.iter().filter_map(of).map(|(_, i)| *i).collect();
                    for mut task in planned.tasks {
                        task.after.append(&mut before);
                        before = vec![cut.put(task)];
                    }
                    last.extend(before.iter().map(|i| (planned.key.clone(), *i)));
                    // A rebate's outer corners lie in the waste.
                    if told {
                        let key = |said| (planned.key.clone(), said);
                        cut.said.extend(planned.said.into_iter().map(key));
                        cut.pockets.append(&mut planned.figures);
                    }
                }
                Err(one) => found.push(one),
            }
        }
        for groove in features.grooves.iter().filter(|g| g.face == self.face) {
            match self.groove(groove) {
                Ok(task) => drop(cut.put(task)),
                Err(one) => found.push(one),
            }
        }
        for (key, edge) in features.edges.iter().filter(|(_, e)| e.face == self.face) {
            match edges::plan(self, key, edge, contour) {
                Ok(task) => drop(cut.put(task)),
                Err(one) => found.push(one),
            }
        }
        if found.is_empty() { Ok(cut) } else { Err(found) }
    }

    fn rules<'d>(&self, data: &'d CuttingData) -> Rules<'d>
    where
        'a: 'd,
    {
        Rules {
            data,
            machine: &self.bench.shop.machine,
            travel_height: self.bench.travel_height,
            top: self.bench.stock.max.z,
            grain: point(1.0, 0.0),
        }
    }

    fn groove(&self, groove: &Groove) -> Result<Task, Diagnostic> {
        let shown = self.bench.job.shown;
        let key = format!("{}.{}", self.bench.part.key, groove.key);
        let same = |c: &Cutter| (c.diameter.0 - groove.width).abs() < SAME_WIDTH;
        let (cutter, data) = match groove.cutter {
            Some(number) => self.bench.cutter(number, &format!("{}.cutter", groove.key))?,
            None => {
                let fits = |c: &&Cutter| {
                    same(c) && matches!(c.shape, CutterShape::Flat | CutterShape::Ball)
                };
                match self.bench.shop.cutters.iter().find(fits) {
                    Some(cutter) => self.bench.cutter(cutter.number, &groove.key)?,
                    None => {
                        return Err(Diagnostic::error(format!(
                            "the shop has no cutter {} wide",
                            shown.both(groove.width)
                        ))
                        .key(format!("{key}.width"))
                        .help("name a `cutter`, or make the groove as wide as one of the shop's"));
                    }
                }
            }
        };
        if cutter.shape == CutterShape::Drill || !same(cutter) {
            return Err(Diagnostic::error(format!(
                "the groove is {} wide, {} is {}",
                shown.both(groove.width),
                cutter.title(),
                shown.both(cutter.diameter.0)
            ))
            .key(format!("{key}.width"))
            .help("a groove is as wide as its cutter; a wider one is a pocket"));
        }
        let top = self.bench.stock.max.z;
        let middle = self.piece(&groove.middle);
        let ways = [middle, middle.reversed()].map(|middle| {
            let mut pen = Pen::new(self.rules(&data));
            groove::cut(&mut pen, &data, &middle, top, top - groove.depth);
            pen.toolpath
        });
        Ok(Task::new(Phase::Inside, cutter, data, vec![ways.to_vec()]))
    }

    /// Middles of the pins in the part frame. A pin's place on the stock is the same before and
    /// after the board is turned over; `at` starts from the part.
    fn pin_places(&self, flip: &Flip) -> Vec<Point> {
        let size = self.bench.stock.size();
        let corner = point(self.bench.part.at[0], self.bench.part.at[1]);
        let place = |along: &Length| match flip.axis {
            FlipAxis::X => point(along.0, size.y / 2.0) - corner,
            FlipAxis::Y => point(size.x / 2.0, along.0) - corner,
        };
        flip.pins.iter().map(place).collect()
    }

    /// Holes for the pins that the board is turned over on.
    fn pins(&self, contour: &Contour) -> Result<Vec<Task>, Vec<Diagnostic>> {
        let Some(flip) = self.bench.part.features.flip.as_ref().filter(|f| !f.pins.is_empty())
        else {
            return Ok(Vec::new());
        };
        let places = self.pin_places(flip);
        footing::pins(self.bench, flip, &places, contour)?;
        let heights = (self.bench.stock.max.z, f64::NEG_INFINITY);
        let one = self
            .bores(&places, flip.pin_diameter.0, heights, flip.cutter, None, "flip")
            .map_err(|one| vec![one])?;
        Ok(vec![one])
    }

    fn remarks(&self) -> Vec<String> {
        let Some(flip) = &self.bench.part.features.flip else { return Vec::new() };
        let way = match flip.axis {
            FlipAxis::X => {
                "The board lies bottom up, turned over about its long middle line: what is its near side on top lies at the far side now."
            }
            FlipAxis::Y => {
                "The board lies bottom up, turned over about its short middle line: what is its left end on top lies at the right now."
            }
        };
        let then = match flip.pins.is_empty() {
            true => {
                "Afterwards turn it over against the same stops; X and Y are not touched off again."
            }
            false => {
                "Carry the pin holes on into the spoilboard, turn the board over onto the pins; X and Y are not touched off again."
            }
        };
        vec![way.to_string(), then.to_string()]
    }
}
