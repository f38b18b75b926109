//! A board from program to program.

use crate::cuts::PartPlan;
use crate::dry_run::{Setup, Turn, turned_over};
use crate::geometry::{Box3, HeightField};
use crate::part::features::FlipAxis;

/// A board on its way through its programs: each cuts what those before it have left, and what
/// was cut into one face is open from below when the board was turned over.
#[derive(Debug, Default)]
pub struct Board {
    left: Option<HeightField>,
    below: Option<HeightField>,
    /// Part and setup of the last program.
    last: Option<(String, &'static str)>,
}

impl Board {
    /// Lays the board as a plan wants it: a new one for another part, turned over for another
    /// setup of the same.
    pub fn lay(&mut self, plan: &PartPlan) {
        let now = (plan.part.name.clone(), plan.setup);
        let Some(last) =
            self.last.replace(now).filter(|last| *last != (plan.part.name.clone(), plan.setup))
        else {
            return;
        };
        let turn = plan.part.features.flip.as_ref().map(|flip| match flip.axis {
            FlipAxis::X => Turn::AboutX,
            FlipAxis::Y => Turn::AboutY,
        });
        let left = self.left.take().filter(|_| last.0 == plan.part.name);
        self.below = left.zip(turn).map(|(left, turn)| turned_over(&left, &plan.stock, turn));
    }

    /// Turns the board over by hand, where no plan says how.
    pub fn turn(&mut self, stock: &Box3, turn: Turn) {
        self.below = self.left.take().map(|left| turned_over(&left, stock, turn));
    }

    /// The setup with this board in it.
    #[must_use]
    pub fn in_setup<'a>(&'a self, setup: Setup<'a>) -> Setup<'a> {
        Setup { before: self.left.as_ref(), below: self.below.as_ref(), ..setup }
    }

    /// What is left of it.
    #[must_use]
    pub fn left(&self) -> Option<&HeightField> {
        self.left.as_ref()
    }

    /// What a program has left of it.
    pub fn cut(&mut self, left: Option<HeightField>) {
        self.left = left;
    }
}
