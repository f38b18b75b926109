//! Work on many items shared between the cores, the results in order.

use rayon::prelude::*;
use std::ops::Range;

/// Work on fewer items is not worth dividing.
const WORTH_DIVIDING: usize = 2048;

/// Maps index ranges on all cores for much work, the results in order.
pub(super) fn in_chunks<T: Send>(n: usize, work: impl Fn(Range<usize>) -> Vec<T> + Sync) -> Vec<T> {
    if n < WORTH_DIVIDING {
        return work(0..n);
    }
    let size = WORTH_DIVIDING / 4;
    let parts: Vec<Vec<T>> = (0..n.div_ceil(size))
        .into_par_iter()
        .map(|i| work(i * size..((i + 1) * size).min(n)))
        .collect();
    parts.concat_all()
}

trait ConcatAll<T> {
    fn concat_all(self) -> Vec<T>;
}

impl<T> ConcatAll<T> for Vec<Vec<T>> {
    fn concat_all(self) -> Vec<T> {
        let mut all = Vec::with_capacity(self.iter().map(Vec::len).sum());
        self.into_iter().for_each(|part| all.extend(part));
        all
    }
}
