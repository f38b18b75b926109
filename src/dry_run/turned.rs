//! A board turned over: what was cut into one face is the underside of the other.

use crate::geometry::{Box3, HeightField, Point, point};

/// The line that a board is turned about, through the middle of the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Its front comes to the back.
    AboutX,
    /// Its left comes to the right.
    AboutY,
}

/// The underside, as heights over the table, of a board of which `left` was left on the face that
/// now lies down: the stock's own underside where nothing was cut, at or above its top where it
/// was cut through. For [`super::Setup::below`].
#[must_use]
pub fn turned_over(left: &HeightField, stock: &Box3, turn: Turn) -> HeightField {
    let (columns, rows, cell) = (left.columns(), left.rows(), left.cell());
    let end = left.min() + point(columns as f64, rows as f64) * cell;
    let over = stock.min.xy() + stock.max.xy();
    let corner = match turn {
        Turn::AboutX => point(left.min().x, over.y - end.y),
        Turn::AboutY => point(over.x - end.x, left.min().y),
    };
    let mut out = left.clone().moved(corner - left.min(), 0.0);
    let both = stock.min.z + stock.max.z;
    let mut heights = Vec::with_capacity(columns);
    for j in 0..rows {
        let from = if turn == Turn::AboutX { rows - 1 - j } else { j };
        heights.clear();
        // Single precision, as all heights of the stock.
        heights.extend(left.row(from).iter().map(|h| (both - f64::from(*h)) as f32));
        if turn == Turn::AboutY {
            heights.reverse();
        }
        out.set_row(j, &heights);
    }
    out
}

/// What lies under the board: the table, or what was cut into its other face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Under<'s> {
    /// The stock's own underside.
    pub(super) level: f64,
    pub(super) cut: Option<&'s HeightField>,
}

impl Under<'_> {
    /// Height of the underside at a place.
    pub(super) fn at(&self, p: Point) -> f64 {
        let cut = self.cut.and_then(|field| field.at(p));
        cut.map_or(self.level, |height| f64::from(height).max(self.level))
    }

    /// The highest underside in a rectangle.
    pub(super) fn highest(&self, low: Point, high: Point) -> f64 {
        let cut = self.cut.and_then(|field| field.highest_in_rectangle(low, high));
        cut.map_or(self.level, |height| f64::from(height).max(self.level))
    }

    /// Takes away what was cut through from the other face.
    pub(super) fn open(&self, field: &mut HeightField, top: f64, thinnest: f64) {
        if self.cut.is_none() {
            return;
        }
        for j in 0..field.rows() {
            let mut heights = field.row(j).to_vec();
            for (i, height) in heights.iter_mut().enumerate() {
                if self.at(field.middle(i, j)) >= top - thinnest {
                    *height = height.min(self.level as f32);
                }
            }
            field.set_row(j, &heights);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::geometry::point3;

    /// 4 by 2 by 5, its top at 0, a hole of 2 deep near its front left corner.
    fn board() -> (HeightField, Box3) {
        let stock = Box3 { min: point3(-1.0, 0.0, -5.0), max: point3(3.0, 2.0, 0.0) };
        let mut left = HeightField::new(point(-1.0, 0.0), point(4.0, 2.0), 1.0, 0.0).unwrap();
        left.set_row(0, &[-2.0, 0.0, 0.0, 0.0]);
        (left, stock)
    }

    #[test]
    fn a_hole_comes_up_from_below_at_the_other_side() {
        let (left, stock) = board();
        let over = turned_over(&left, &stock, Turn::AboutX);
        assert_eq!(over.row(0), [-5.0; 4]);
        assert_eq!(over.row(1), [-3.0, -5.0, -5.0, -5.0]);
        let over = turned_over(&left, &stock, Turn::AboutY);
        assert_eq!(over.row(0), [-5.0, -5.0, -5.0, -3.0]);
        assert_eq!(over.min(), left.min());
    }

    #[test]
    fn turned_twice_it_is_as_it_was() {
        let (left, stock) = board();
        for turn in [Turn::AboutX, Turn::AboutY] {
            let twice = turned_over(&turned_over(&left, &stock, turn), &stock, turn);
            assert_eq!(twice, left);
        }
    }

    #[test]
    fn what_was_cut_through_is_open() {
        let (mut left, stock) = board();
        left.set_row(0, &[-5.5, -4.0, 0.0, 0.0]);
        let over = turned_over(&left, &stock, Turn::AboutX);
        let under = Under { level: -5.0, cut: Some(&over) };
        let mut fresh = HeightField::new(point(-1.0, 0.0), point(4.0, 2.0), 1.0, 0.0).unwrap();
        under.open(&mut fresh, 0.0, 0.05);
        assert_eq!(fresh.row(1), [-5.0, 0.0, 0.0, 0.0]);
        assert_eq!(under.at(point(0.5, 1.5)), -1.0);
        assert_eq!(under.highest(point(-1.0, 0.0), point(3.0, 2.0)), 0.5);
    }
}
