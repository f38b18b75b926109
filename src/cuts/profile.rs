//! Heights along a track.

/// A height for every place along a track: straight between knots, level beyond the ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// (place, height), places not falling.
    knots: Vec<(f64, f64)>,
}

impl Profile {
    /// The same height everywhere.
    #[must_use]
    pub fn level(z: f64) -> Profile {
        Profile { knots: vec![(0.0, z)] }
    }

    /// Through the given (place, height) knots; they are sorted by place.
    #[must_use]
    pub fn through(mut knots: Vec<(f64, f64)>) -> Profile {
        knots.sort_by(|a, b| a.0.total_cmp(&b.0));
        Profile { knots }
    }

    /// The height at place `s`.
    #[must_use]
    pub fn at(&self, s: f64) -> f64 {
        let after = self.knots.partition_point(|k| k.0 <= s);
        match (after.checked_sub(1).map(|i| self.knots[i]), self.knots.get(after)) {
            (None, None) => 0.0,
            (None, Some(k)) => k.1,
            (Some(k), None) => k.1,
            (Some(a), Some(b)) if b.0 > a.0 => a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0),
            (Some(a), Some(_)) => a.1,
        }
    }

    /// The places of its knots.
    pub(super) fn places(&self) -> impl Iterator<Item = f64> + '_ {
        self.knots.iter().map(|k| k.0)
    }

    /// The higher of two profiles, everywhere.
    #[must_use]
    pub fn max(&self, other: &Profile) -> Profile {
        let mut places: Vec<f64> = self.places().chain(other.places()).collect();
        places.sort_by(f64::total_cmp);
        places.dedup();
        let mut crossings = Vec::new();
        for pair in places.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let (before, after) = (self.at(a) - other.at(a), self.at(b) - other.at(b));
            if before * after < 0.0 {
                crossings.push(a + (b - a) * before / (before - after));
            }
        }
        places.extend(crossings);
        places.sort_by(f64::total_cmp);
        let knots = places.into_iter().map(|s| (s, self.at(s).max(other.at(s)))).collect();
        Profile { knots }
    }
}

#[cfg(test)]
mod tests {
    use super::Profile;

    #[test]
    fn the_higher_of_two_profiles_turns_where_they_cross() {
        let ramp = Profile::through(vec![(0.0, 0.0), (10.0, -10.0)]);
        let tab = Profile::through(vec![(0.0, -12.0), (6.0, -3.0), (12.0, -3.0)]);
        let both = ramp.max(&tab);
        for s in [0.0, 1.0, 4.0, 4.9, 5.2, 7.0, 11.0] {
            let wanted = ramp.at(s).max(tab.at(s));
            assert!((both.at(s) - wanted).abs() < 1e-12, "at {s}");
        }
        // -s meets -12 + 1.5 s at 4.8.
        assert!(both.places().any(|s| (s - 4.8).abs() < 1e-12));
    }
}
