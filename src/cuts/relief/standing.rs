//! The wood that stands while passes are cut: what each takes of it, and the steps by which a
//! pass goes down where it would take more at once than the cutter bears.
//!
//! A finishing pass meets a skin where a wider cutter went before it, and whole wood where that
//! one was too wide: in a groove, an eye, the corner at a wall. Only the first pass into such a
//! place has much to take; what the ones beside it meet is as wide as they are apart.

mod stencil;

use crate::geometry::cutter_surface::CutterEnd;
use crate::geometry::height_field::FieldError;
use crate::geometry::{HeightField, Point, Point3};
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::Purpose;
use stencil::{Stencils, Taken};

/// Cells of the wood across a cutter's radius; on a relief with wider cells, those.
const FINENESS: f64 = 8.0;

/// Of a full-width pass of one stepdown, the section that a pass may take: cells are not wood,
/// and what a cutter leaves between its passes is not looked at.
const LIMIT: f64 = 0.75;

/// A skin may stand so many stepdowns high beside the cutter, however thin it is.
const TALL: f64 = 3.0;

/// And this share of the section, or it is no skin but dust.
const DUST: f64 = 0.05;

/// Shortest way, mm, over which the section is looked at; half the cutter's radius if that is more.
const SHORTEST: f64 = 1.5;

/// Steps, as shares of the stepdown, that are tried one after the other: in a hollow of its own
/// shape a cutter takes more than in a groove as deep.
const STEPS: [f64; 4] = [0.9, 0.7, 0.5, 0.35];

/// Stretches nearer to each other than this many radii go down as one.
const APART: f64 = 2.0;

/// Most steps down at a place: far more than any stock is thick.
const MOST: usize = 200;

/// So many places are looked at together: what they take can be put back.
const TOGETHER: usize = 4096;

/// A part of a pass.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Run {
    /// Rough for a step on the way down, finish for the pass itself.
    pub(super) purpose: Purpose,
    pub(super) points: Vec<Point3>,
}

/// The wood as it stands, and the cutter that takes of it.
#[derive(Debug)]
pub(super) struct Standing {
    wood: HeightField,
    stencils: Stencils,
    /// Section that may be taken, mm2, and the height of a skin, mm.
    section: f64,
    tall: f64,
    stepdown: f64,
    window: f64,
    apart: f64,
}

/// Places on a pass: which of its points they are, and what is taken from the one before to each.
#[derive(Debug)]
struct Places {
    /// Indices into the pass's points.
    at: Vec<usize>,
    /// Way in plan from the place before, mm.
    way: Vec<f64>,
}

impl Standing {
    /// Before the first pass, with `stands` for the wood.
    ///
    /// # Errors
    /// As [`HeightField::new`].
    pub(super) fn new(
        stands: &HeightField,
        end: &CutterEnd,
        cutter: &Cutter,
        data: &CuttingData,
    ) -> Result<Standing, FieldError> {
        let stepdown = data.stepdown.value;
        let wood = widened(stands, end.radius() / FINENESS)?;
        Ok(Standing {
            stencils: Stencils::new(end, wood.cell()),
            wood,
            section: LIMIT * cutter.groove_section(stepdown),
            tall: TALL * stepdown,
            stepdown,
            window: SHORTEST.max(end.radius() / 2.0),
            apart: APART * end.radius(),
        })
    }

    /// Height down to which the tip meets no wood at a place; minus infinity beside the wood.
    pub(super) fn free(&self, p: Point) -> f64 {
        f64::from(self.stencils.touches(&self.wood, p))
    }

    /// Takes what a pass takes, from its first point to its last: the runs that do so, each
    /// from about where the one before ends. A run in steps goes to and fro above the pass and
    /// ends where it began.
    pub(super) fn cut(&mut self, pass: &[Point3]) -> Vec<Run> {
        let mut runs = Vec::new();
        let all = self.places(pass);
        let mut first = 0;
        while first + 1 < all.at.len() {
            let last = (first + TOGETHER).min(all.at.len() - 1);
            self.stretch(pass, &all.between(first, last), &mut runs);
            first = last;
        }
        runs
    }

    /// The places of a pass at which the wood is looked at, a cell or more apart.
    fn places(&self, pass: &[Point3]) -> Places {
        let (mut at, mut way) = (Vec::new(), Vec::new());
        let mut since = 0.0;
        for (k, p) in pass.iter().enumerate() {
            since += if k > 0 { p.xy().distance(pass[k - 1].xy()) } else { 0.0 };
            if k == 0 || k + 1 == pass.len() || since >= 0.999 * self.wood.cell() {
                at.push(k);
                way.push(since);
                since = 0.0;
            }
        }
        Places { at, way }
    }

    /// Cuts some places in a row.
    fn stretch(&mut self, pass: &[Point3], places: &Places, runs: &mut Vec<Run>) {
        let line: Vec<Point3> = places.at.iter().map(|&k| pass[k]).collect();
        let mark = self.stencils.mark();
        let heavy = self.heavy(&line, &places.way);
        if heavy.is_empty() {
            self.stencils.forget();
            finish(runs, &pass[places.at[0]..=places.at[line.len() - 1]]);
            return;
        }
        self.stencils.put_back(&mut self.wood, mark);
        let mut from = 0;
        for (a, b) in self.joined(&heavy, &places.way) {
            self.plain(pass, places, (from, a), runs);
            self.stepped(pass, &places.between(a, b), runs);
            from = b;
        }
        self.plain(pass, places, (from, line.len() - 1), runs);
        self.stencils.forget();
    }

    /// Cuts where the pass has little to take.
    fn plain(
        &mut self,
        pass: &[Point3],
        all: &Places,
        (a, b): (usize, usize),
        runs: &mut Vec<Run>,
    ) {
        if a == b {
            return;
        }
        for &k in &all.at[a..=b] {
            self.stencils.take(&mut self.wood, pass[k]);
        }
        finish(runs, &pass[all.at[a]..=all.at[b]]);
    }

    /// Cuts where it has more to take than it may: down in steps, then the pass.
    fn stepped(&mut self, pass: &[Point3], places: &Places, runs: &mut Vec<Run>) {
        let (first, last) = (places.at[0], places.at[places.at.len() - 1]);
        let line: Vec<Point3> = places.at.iter().map(|&k| pass[k]).collect();
        let mut back = false;
        let mut above: Option<Vec<Point3>> = None;
        for _ in 0..MOST {
            let mark = self.stencils.mark();
            if self.heavy(&line, &places.way).is_empty() {
                break;
            }
            self.stencils.put_back(&mut self.wood, mark);
            let free: Vec<f64> = line.iter().map(|p| self.free(p.xy())).collect();
            let mut taken = Vec::new();
            for (k, share) in STEPS.iter().enumerate() {
                let step = share * self.stepdown;
                let mut step: Vec<Point3> =
                    line.iter().zip(&free).map(|(p, z)| p.xy().at(p.z.max(z - step))).collect();
                let mut ways = places.way.clone();
                if back {
                    step.reverse();
                    ways.rotate_left(1);
                    ways.reverse();
                }
                let mark = self.stencils.mark();
                let heavy = self.heavy(&step, &ways);
                taken = step;
                if heavy.is_empty() || k + 1 == STEPS.len() {
                    break;
                }
                self.stencils.put_back(&mut self.wood, mark);
            }
            if back {
                taken.reverse();
            }
            let mut points = between(&pass[first..=last], places, &taken);
            above = Some(points.clone());
            if back {
                points.reverse();
            }
            runs.push(Run { purpose: Purpose::Rough, points });
            back = !back;
        }
        // From the far end back to where the pass goes on.
        if let Some(mut points) = above.filter(|_| back) {
            points.reverse();
            runs.push(Run { purpose: Purpose::Rough, points });
        }
        runs.push(Run { purpose: Purpose::Finish, points: pass[first..=last].to_vec() });
    }

    /// Takes what the cutter takes at places in a row: the stretches, by first and last place,
    /// in which that is more than it may.
    fn heavy(&mut self, line: &[Point3], way: &[f64]) -> Vec<(usize, usize)> {
        let mut all: Vec<(f64, f64)> = Vec::with_capacity(line.len());
        let mut found: Vec<(usize, usize)> = Vec::new();
        let mut mark = |a: usize, b: usize| match found.last_mut() {
            Some(last) if a <= last.1 + 1 => last.1 = last.1.max(b),
            _ => found.push((a, b)),
        };
        let (mut from, mut length, mut volume) = (0, 0.0, 0.0);
        for (k, &p) in line.iter().enumerate() {
            let Taken { volume: taken, deepest, area } = self.stencils.take(&mut self.wood, p);
            // What it takes by sinking is no pass; the first place of all is an entry.
            let fall = if k == 0 { f64::INFINITY } else { (line[k - 1].z - p.z).max(0.0) };
            let taken = if k == 0 { 0.0 } else { (taken - area * fall).max(0.0) };
            let way = if k == 0 { 0.0 } else { way[k] };
            all.push((way, taken));
            length += way;
            volume += taken;
            while from < k && length - all[from].0 >= self.window {
                length -= all[from].0;
                volume -= all[from].1;
                from += 1;
            }
            if volume > self.section * length.max(self.window) {
                mark(from, k);
            } else if deepest > self.tall && taken > DUST * self.section * way && k > 0 {
                mark(k - 1, k);
            }
        }
        found
    }

    /// Stretches with a little way on either side, those near each other as one.
    fn joined(&self, heavy: &[(usize, usize)], way: &[f64]) -> Vec<(usize, usize)> {
        let mut out: Vec<(usize, usize)> = Vec::new();
        for &(mut a, mut b) in heavy {
            let mut room = self.window;
            while a > 0 && room > 0.0 {
                room -= way[a];
                a -= 1;
            }
            let mut room = self.window;
            while b + 1 < way.len() && room > 0.0 {
                b += 1;
                room -= way[b];
            }
            match out.last_mut() {
                Some(last)
                    if a <= last.1 || way[last.1 + 1..=a].iter().sum::<f64>() < self.apart =>
                {
                    last.1 = last.1.max(b);
                }
                _ => out.push((a, b)),
            }
        }
        out
    }
}

impl Places {
    fn between(&self, a: usize, b: usize) -> Places {
        Places { at: self.at[a..=b].to_vec(), way: self.way[a..=b].to_vec() }
    }
}

/// One more piece of the pass itself; pieces in a row are one.
fn finish(runs: &mut Vec<Run>, points: &[Point3]) {
    match runs.last_mut() {
        Some(run) if run.purpose == Purpose::Finish => run.points.extend(&points[1..]),
        _ => runs.push(Run { purpose: Purpose::Finish, points: points.to_vec() }),
    }
}

/// All points of a pass raised to a step that is known at some of them.
fn between(pass: &[Point3], places: &Places, step: &[Point3]) -> Vec<Point3> {
    let first = places.at[0];
    let mut out = Vec::with_capacity(pass.len());
    for (pair, ends) in places.at.windows(2).zip(step.windows(2)) {
        let count = (pair[1] - pair[0]) as f64;
        for k in pair[0]..pair[1] {
            let z = ends[0].z + (ends[1].z - ends[0].z) * (k - pair[0]) as f64 / count;
            let p = pass[k - first];
            out.push(p.xy().at(p.z.max(z)));
        }
    }
    out.extend(step.last());
    out
}

/// A field on cells of at least this width: the mean of each block of cells.
fn widened(field: &HeightField, cell: f64) -> Result<HeightField, FieldError> {
    let by = (cell / field.cell()).floor().max(1.0) as usize;
    let (columns, rows) = (field.columns().div_ceil(by), field.rows().div_ceil(by));
    let cell = field.cell() * by as f64;
    let size = crate::geometry::point(columns as f64, rows as f64) * cell;
    let mut wide = HeightField::new(field.min(), size, cell, 0.0)?;
    for j in 0..rows {
        let mut sums = vec![(0.0_f64, 0.0_f64); columns];
        for fine in j * by..((j + 1) * by).min(field.rows()) {
            for (i, height) in field.row(fine).iter().enumerate() {
                let (sum, count) = &mut sums[i / by];
                *sum += f64::from(*height);
                *count += 1.0;
            }
        }
        let row: Vec<f32> = sums.iter().map(|(sum, count)| (sum / count) as f32).collect();
        wide.set_row(j, &row);
    }
    Ok(wide)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::geometry::{point, point3};
    use crate::shop::{Material, Overrides, Shop};

    const SIZE: f64 = 60.0;

    /// Whole wood up to zero, and a ball of 1/8 in that may go 2 mm deep.
    fn standing() -> (Standing, Cutter) {
        let shop = Shop::built_in().unwrap();
        let cutter = shop.cutter(5).unwrap().clone();
        let poplar = Material::find("yellow-poplar").unwrap();
        let mut data = shop.cutting_data(&poplar, &cutter, &Overrides::default()).unwrap();
        data.stepdown.value = 2.0;
        let wood = HeightField::new(point(0.0, 0.0), point(SIZE, SIZE), 0.1, 0.0).unwrap();
        let end = CutterEnd::ball(cutter.radius()).unwrap();
        (Standing::new(&wood, &end, &cutter, &data).unwrap(), cutter)
    }

    fn pass(y: f64, z: f64) -> Vec<Point3> {
        (100..=500).map(|k| point3(f64::from(k) / 10.0, y, z)).collect()
    }

    #[test]
    fn a_ball_takes_its_own_half_and_what_it_took_can_be_put_back() {
        let (mut standing, cutter) = standing();
        let r = cutter.radius();
        let before = standing.wood.clone();
        let mark = standing.stencils.mark();
        let taken = standing.stencils.take(&mut standing.wood, point3(30.03, 29.98, -r));
        // Half a ball (closed form); 16 cells across it know its volume to some hundredths.
        let whole = 2.0 / 3.0 * std::f64::consts::PI * r.powi(3);
        assert!((taken.volume / whole - 1.0).abs() < 0.03, "{} of {whole}", taken.volume);
        assert!((taken.deepest - r).abs() < 0.05, "{taken:?}");
        assert_eq!(
            standing.stencils.take(&mut standing.wood, point3(30.03, 29.98, -r)),
            Taken::default()
        );
        standing.stencils.put_back(&mut standing.wood, mark);
        assert_eq!(standing.wood, before);
    }

    #[test]
    fn a_deep_pass_goes_down_in_steps_and_the_one_beside_it_does_not() {
        let (mut standing, _) = standing();
        let deep = pass(30.0, -5.5);
        let runs = standing.cut(&deep);
        let (last, steps) = runs.split_last().unwrap();
        assert_eq!(*last, Run { purpose: Purpose::Finish, points: deep.clone() });
        // 2 mm each and 5.5 in all: two steps at least, and an even number comes back.
        assert!(steps.len() >= 2 && steps.len() % 2 == 0, "{}", steps.len());
        let mut above = 0.0;
        for (k, step) in steps.iter().enumerate() {
            assert_eq!(step.purpose, Purpose::Rough);
            let from = if k % 2 == 0 { deep[0] } else { deep[deep.len() - 1] };
            assert_eq!(step.points[0].xy(), from.xy(), "step {k} begins where the last one ends");
            let z = step.points[200].z;
            assert!(z <= above + 1e-6 && above - z <= 2.0 && z > -5.5, "step {k} at {z}");
            above = z;
        }
        assert!(above + 5.5 <= 2.0, "the pass itself takes {}", above + 5.5);
        // All that it meets is as wide as the passes are apart.
        let beside = pass(30.4, -5.5);
        assert_eq!(standing.cut(&beside), [Run { purpose: Purpose::Finish, points: beside }]);
    }

    #[test]
    fn only_where_much_stands_a_pass_goes_down_in_steps() {
        let (mut standing, _) = standing();
        // The wood is gone to 0.5 mm above the pass, but for 12 mm of its way.
        for j in 0..standing.wood.rows() {
            let place = |i| standing.wood.middle(i, j).x;
            let row: Vec<f32> = (0..standing.wood.columns())
                .map(|i| if (24.0..36.0).contains(&place(i)) { 0.0 } else { -5.0 })
                .collect();
            standing.wood.set_row(j, &row);
        }
        let along = pass(30.0, -5.5);
        let runs = standing.cut(&along);
        assert_eq!(runs[0].purpose, Purpose::Finish);
        let steps: Vec<&Run> = runs.iter().filter(|r| r.purpose == Purpose::Rough).collect();
        assert!(!steps.is_empty());
        for p in steps.iter().flat_map(|s| &s.points) {
            assert!((18.0..42.0).contains(&p.x), "{p:?}");
        }
        // The pass is whole, in pieces that begin where the one before ended.
        let finish: Vec<Point3> = runs
            .iter()
            .filter(|r| r.purpose == Purpose::Finish)
            .flat_map(|r| r.points.iter().copied())
            .collect();
        let mut whole = finish;
        whole.dedup();
        assert_eq!(whole, along);
    }
}
