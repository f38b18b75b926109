//! Places for labels in a row: as near to where they belong as their size lets them be.

/// The nearest places (least squares) at least `gap` apart for labels that belong at `wanted`,
/// which must rise.
pub(super) fn spread(wanted: &[f64], gap: f64) -> Vec<f64> {
    // Less the gaps the places only have to rise: pool neighbours that would fall.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (i, w) in wanted.iter().enumerate() {
        let mut pool = (w - i as f64 * gap, 1);
        while let Some(&(mean, count)) = pools.last() {
            if mean <= pool.0 {
                break;
            }
            let sum = mean * count as f64 + pool.0 * pool.1 as f64;
            pool = (sum / (count + pool.1) as f64, count + pool.1);
            pools.pop();
        }
        pools.push(pool);
    }
    let means = pools.iter().flat_map(|&(mean, count)| std::iter::repeat_n(mean, count));
    means.enumerate().map(|(i, mean)| mean + i as f64 * gap).collect()
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn far_labels_stay_and_near_ones_share_the_move() {
        assert_eq!(spread(&[0.0, 10.0, 20.0], 5.0), [0.0, 10.0, 20.0]);
        // Two at one place with 4 between: 2 each way.
        assert_eq!(spread(&[10.0, 10.0], 4.0), [8.0, 12.0]);
        // The third pushes both: belonging at 0, 1, 2 with 3 between, the mean stays 1.
        assert_eq!(spread(&[0.0, 1.0, 2.0], 3.0), [-2.0, 1.0, 4.0]);
        assert_eq!(spread(&[], 4.0), [0.0; 0]);
    }
}
