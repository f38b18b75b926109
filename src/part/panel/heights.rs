//! Whether a relief can be in its board.

use super::{Carved, Panel};
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, Point, point};
use crate::ornament::{Canvas, Frame};
use crate::units::Shown;

/// Heights this little over the face are rounding, mm.
const HAIR: f64 = 0.01;

/// Least wood left below the deepest place, as a share of the thickness (common practice).
const LEAST_LEFT: f64 = 0.2;

impl Panel {
    /// What is wrong with the heights of the relief in a board `thickness` thick: something
    /// stands above its face, or it is nearly cut through. `carved` is what the panel's carvings
    /// made, `key` the panel's in the job file; the field is in the panel's frame.
    #[must_use]
    pub fn height_problems(
        &self,
        carved: &Carved,
        field: &HeightField,
        thickness: f64,
        key: &str,
        shown: Shown,
    ) -> Vec<Diagnostic> {
        let ((lowest, low), (highest, high)) = extent(field);
        let place = |p: Point| format!("X {}, Y {}", shown.one(p.x), shown.one(p.y));
        let at =
            |p: Point| self.carving_at(carved, p).map_or(format!("{key}.border"), String::from);
        let mut found = Vec::new();
        if high > HAIR {
            let size = carved.modelled.size;
            let ground = |p: Point| carved.modelled.ground.at(p, size);
            let on_border = ground(highest) > ground(point(0.5 * size.x, 0.5 * size.y)) + HAIR;
            let over = shown.both(high);
            found.push(
                Diagnostic::error(format!(
                    "the relief stands {over} above the board's face at {}",
                    place(highest)
                ))
                .key(at(highest))
                .help(match on_border {
                    true => format!(
                        "it runs over the border there: move it, make it smaller, let it in with `set-in`, or sink the border by {over} more"
                    ),
                    false => format!(
                        "sink the field by {over} more with a `step` in `border`, or give less `depth`"
                    ),
                }),
            );
        }
        let left = thickness + low;
        if left < LEAST_LEFT * thickness {
            found.push(
                Diagnostic::error(format!(
                    "the relief is {} deep in a board of {} at {}",
                    shown.both(-low),
                    shown.both(thickness),
                    place(lowest)
                ))
                .key(at(lowest))
                .help(format!(
                    "at most {} leaves a fifth of the wood",
                    shown.both((1.0 - LEAST_LEFT) * thickness)
                )),
            );
        }
        found
    }
}

impl Panel {
    /// The key of the carving that shows at a place; `None` where only the ground does.
    fn carving_at<'a>(&'a self, carved: &'a Carved, p: Point) -> Option<&'a str> {
        let under = |paint: &dyn Fn(&mut Canvas)| {
            let mut canvas = Canvas::new(p, 1.0, 1, 1);
            paint(&mut canvas);
            canvas.cover[0] > 0.0
        };
        // Incised work is cut into what is modelled.
        let mut incised = carved.incised.iter().rev();
        let cut = incised.find(|one| under(&|canvas| one.cushion().paint(&Frame::HOME, canvas)));
        if let Some(one) = cut {
            return Some(&one.key);
        }
        let keys = self.carvings.iter().filter(|(_, one)| !one.what.is_incised());
        let mut all: Vec<_> = keys.zip(&carved.modelled.carvings).collect();
        all.reverse();
        let shows = all.into_iter().find(|(_, placed)| {
            under(&|canvas| placed.frames.iter().for_each(|f| placed.carving.paint(f, canvas)))
        });
        shows.map(|((key, _), _)| key.as_str())
    }
}

/// The lowest and the highest height, each with its place.
fn extent(field: &HeightField) -> ((Point, f64), (Point, f64)) {
    let nowhere = Point::default();
    let (mut low, mut high) = ((nowhere, f32::INFINITY), (nowhere, f32::NEG_INFINITY));
    for j in 0..field.rows() {
        for (i, &z) in field.row(j).iter().enumerate() {
            if z < low.1 {
                low = (field.middle(i, j), z);
            }
            if z > high.1 {
                high = (field.middle(i, j), z);
            }
        }
    }
    ((low.0, f64::from(low.1)), (high.0, f64::from(high.1)))
}
