//! The depths of the passes.

/// The heights of the passes from `top` down to `bottom`, equal steps of at most `stepdown`.
#[must_use]
pub(super) fn levels(top: f64, bottom: f64, stepdown: f64) -> Vec<f64> {
    let depth = top - bottom;
    // The tolerance keeps 18 mm in steps of 6 mm at three passes.
    let count = ((depth / stepdown - 1e-6).ceil()).max(1.0);
    // A count of passes: a board is at most metres thick, a step at least micrometres.
    (1..=(count as usize)).map(|i| top - depth * i as f64 / count).collect()
}

#[cfg(test)]
mod tests {
    use super::levels;

    #[test]
    fn passes_are_equal_and_none_is_deeper_than_the_step() {
        assert_eq!(levels(0.0, -18.0, 6.0), [-6.0, -12.0, -18.0]);
        let five = levels(0.0, -19.3, 4.0);
        assert_eq!(five.len(), 5);
        assert!((five[0] + 3.86).abs() < 1e-12 && (five[4] + 19.3).abs() < 1e-12);
        assert_eq!(levels(2.0, 1.0, 5.0), [1.0]);
    }
}
