//! From a moulding as it is written to one that can be made.

use super::path::check_mitre;
use super::segments::{Division, End, MOST, Segment, returned};
use super::{Moulding, MouldingShape, PathShape, Pose, StraightShape};
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::geometry::{Piece, TooTight};
use crate::tracing::DrawnProfile;
use crate::units::Shown;

/// Scallops that are asked for lie between these, mm: below, a program without end; above, a
/// washboard.
const SCALLOPS: (f64, f64) = (0.002, 1.0);

/// Least and greatest allowance, mm.
const ALLOWANCES: (f64, f64) = (0.2, 3.0);

/// Least and greatest angle by which an end returns, radians: 20 and 120 degrees.
const SHALLOWEST: f64 = 0.349;
const SHARPEST: f64 = 2.0945;

/// Square to this, radians: a tenth of a degree.
const SQUARE: f64 = 0.001_745;

impl MouldingShape {
    /// The moulding, or why there is none. `key` is where it stands in the job file, which is in
    /// `folder`; `usual` is the pose of its kind.
    ///
    /// # Errors
    /// Every figure that can not be, each with what can.
    pub fn resolve(
        &self,
        key: &str,
        folder: &std::path::Path,
        usual: Pose,
        shown: Shown,
    ) -> Result<Moulding, Vec<Diagnostic>> {
        let drawn = self.profile.build(&format!("{key}.profile"), folder);
        self.drawn(drawn, key, usual, shown)
    }

    /// As [`MouldingShape::resolve`], with a profile that was drawn elsewhere in the job.
    ///
    /// # Errors
    /// As [`MouldingShape::resolve`].
    pub fn with_profile(
        &self,
        profile: Result<Profile, Vec<Diagnostic>>,
        key: &str,
        usual: Pose,
        shown: Shown,
    ) -> Result<Moulding, Vec<Diagnostic>> {
        let drawn = profile.map(|profile| DrawnProfile { profile, warnings: Vec::new() });
        self.drawn(drawn, key, usual, shown)
    }

    fn drawn(
        &self,
        drawn: Result<DrawnProfile, Vec<Diagnostic>>,
        key: &str,
        usual: Pose,
        shown: Shown,
    ) -> Result<Moulding, Vec<Diagnostic>> {
        let mut found = self.out_of_range(key, shown);
        let pieces = self.path.pieces(&format!("{key}.path"), shown);
        match (drawn, pieces) {
            (Ok(drawn), Ok(pieces)) if found.is_empty() => {
                self.settle(key, usual, drawn, &pieces, shown).map_err(|one| vec![one])
            }
            (drawn, pieces) => {
                found.extend(drawn.err().into_iter().flatten());
                found.extend(pieces.err());
                Err(found)
            }
        }
    }

    fn out_of_range(&self, key: &str, shown: Shown) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        let ranges = [
            ("scallop", self.cut.scallop.0, SCALLOPS),
            ("allowance", self.cut.allowance.0, ALLOWANCES),
        ];
        for (what, value, (low, high)) in ranges {
            if !(low..=high).contains(&value) {
                let message =
                    format!("{} of {} does not work", with_article(what), shown.both(value));
                found.push(Diagnostic::error(message).key(format!("{key}.{what}")).help(format!(
                    "{} to {}",
                    shown.both(low),
                    shown.both(high)
                )));
            }
        }
        for (what, angle) in [("mitre-left", self.mitre_left), ("mitre-right", self.mitre_right)] {
            let key = format!("{key}.{what}");
            found.extend(check_mitre(angle, &key).err());
            if angle.0 != 0.0 {
                found.extend(self.of_each_piece("mitres", &key));
            }
        }
        for (what, angle) in
            [("return-left", self.return_left), ("return-right", self.return_right)]
        {
            if angle.is_some() {
                found.extend(self.of_each_piece("ends", &format!("{key}.{what}")));
            }
        }
        if !(0.05..=1.6).contains(&self.run_out.0) {
            found.push(
                Diagnostic::error("no moulding could keep to that run-out")
                    .key(format!("{key}.run-out"))
                    .help("3 to 90 degrees; 30 is usual (common practice)"),
            );
        }
        found
    }

    /// Refuses an end of the whole where there are several straight pieces.
    fn of_each_piece(&self, what: &str, key: &str) -> Option<Diagnostic> {
        let pieces = matches!(self.path, PathShape::Pieces { .. });
        pieces.then(|| {
            Diagnostic::error(format!("each piece has {what} of its own"))
                .key(key)
                .help("give it in the piece's own table, and leave it out here")
        })
    }

    fn settle(
        &self,
        key: &str,
        usual: Pose,
        drawn: DrawnProfile,
        pieces: &[Piece],
        shown: Shown,
    ) -> Result<Moulding, Diagnostic> {
        let DrawnProfile { profile, warnings } = drawn;
        let pose = self.pose.unwrap_or(usual);
        let (low, high) = profile.face.bounds().unwrap_or_default();
        let extent = match pose {
            Pose::BackDown => (low.y, high.y),
            // Wood behind the lower inner end belongs to the section from its back on.
            Pose::TopDown | Pose::BottomDown => (0.0, profile.thickness()),
        };
        let ends =
            [self.end(key, 0, pose, &profile, extent)?, self.end(key, 1, pose, &profile, extent)?];
        let joint = self.joint.key(&format!("{key}.joint"), extent.1 - extent.0, shown)?;
        let division = Division { ends, key: joint, extent };
        let tight = |tight: TooTight| {
            Diagnostic::error(format!("a side of the moulding {}", tight.words(shown)))
                .key(format!("{key}.path"))
                .help("let it grow outward, or give the path there a greater radius or length")
        };
        let count = self.count(key, pieces, &division, &tight)?;
        let segments = match &self.path {
            PathShape::Pieces { piece } => self.straight(piece, &division, key, shown)?,
            _ => division.divide(pieces, count).map_err(tight)?,
        };
        let length: f64 = pieces.iter().map(Piece::length).sum();
        if let Some(joint) =
            joint.filter(|joint| count > 1 && length < 3.0 * joint.length * count as f64)
        {
            let most = length / count as f64 / 3.0;
            let message = format!(
                "segments {} long are too short for a key {} long",
                shown.both(3.0 * most),
                shown.both(joint.length)
            );
            return Err(Diagnostic::error(message)
                .key(format!("{key}.joint"))
                .help(format!("a key of at most {}, or fewer segments", shown.both(most))));
        }
        let moulding = Moulding {
            profile,
            pose,
            path: pieces.to_vec(),
            segments: Vec::new(),
            extent,
            length,
            run_out: 0.0,
            shape: self.clone(),
            warnings,
            division,
        };
        Ok(moulding.of(segments))
    }

    /// Straight pieces, each with ends of its own; refuses one whose inside mitres meet before its
    /// face.
    fn straight(
        &self,
        all: &[StraightShape],
        division: &Division,
        key: &str,
        shown: Shown,
    ) -> Result<Vec<Segment>, Diagnostic> {
        let each = all.iter().enumerate().map(|(i, one)| {
            let mitres = [one.mitre_left.0, one.mitre_right.0];
            division.piece(one.length.0, mitres).map_err(|_| {
                let lean = mitres[0].tan() + mitres[1].tan();
                Diagnostic::error(format!(
                    "mitres that lean inward meet before the face of a piece {} long",
                    shown.both(one.length.0)
                ))
                .key(format!("{key}.path.piece[{}].length", i + 1))
                .help(format!("more than {}", shown.both(-lean * division.extent.1)))
            })
        });
        each.collect()
    }

    /// How the left end, 0, or the right one, 1, is made.
    fn end(
        &self,
        key: &str,
        side: usize,
        pose: Pose,
        profile: &Profile,
        extent: (f64, f64),
    ) -> Result<End, Diagnostic> {
        let (mitre, turn) = match side {
            0 => (self.mitre_left.0, self.return_left),
            _ => (self.mitre_right.0, self.return_right),
        };
        let name = ["left", "right"][side];
        let Some(turn) = turn.map(|t| t.0) else { return Ok(End::Straight(mitre)) };
        let wrong = |message: String, help: &str| {
            Err(Diagnostic::error(message).key(format!("{key}.return-{name}")).help(help))
        };
        if mitre != 0.0 {
            let message = format!("the {name} end can not be both mitred and returned");
            return wrong(message, "leave one of them out");
        }
        let degrees = turn.to_degrees();
        if !(SHALLOWEST..=SHARPEST).contains(&turn) {
            let message = format!("an end can not return by {degrees:.1} degrees");
            return wrong(message, "20 to 120 degrees; 90 is square to the wall");
        }
        if pose != Pose::BackDown {
            return Ok(End::Turned(turn));
        }
        if (turn - std::f64::consts::FRAC_PI_2).abs() > SQUARE {
            let message = format!("on its back a moulding can not return by {degrees:.1} degrees");
            return wrong(message, "90 degrees, or another `pose`");
        }
        let ends = profile.face.vertices.first().zip(profile.face.vertices.last());
        let whole = ends.is_some_and(|(first, last)| {
            first.at.y - extent.0 < 1e-6 && extent.1 - last.at.y < 1e-6
        });
        match whole {
            true => Ok(End::Shaped(returned(&profile.face, profile.back))),
            false => wrong(
                "the face goes below its lower end or over its upper one: no cutter goes round that"
                    .to_string(),
                "leave the return out, or lay the moulding on its top or its bottom",
            ),
        }
    }

    /// As many segments as were asked for, or as few as the grain allows. A chain with breaks is
    /// returned in the solid: it stays in one piece.
    fn count(
        &self,
        key: &str,
        pieces: &[Piece],
        division: &Division,
        tight: &dyn Fn(TooTight) -> Diagnostic,
    ) -> Result<usize, Diagnostic> {
        if let PathShape::Pieces { piece } = &self.path {
            return Ok(piece.len());
        }
        if let Some(asked) = self.cut.segments {
            return Ok(asked as usize);
        }
        if matches!(self.path, PathShape::Chain { .. }) {
            return Ok(1);
        }
        let mut off = 0.0;
        for count in 1..=MOST {
            let segments = division.divide(pieces, count).map_err(tight)?;
            off = segments.iter().map(|s| s.run_out).fold(0.0, f64::max);
            if off <= self.run_out.0 + 1e-9 {
                return Ok(count);
            }
        }
        Err(Diagnostic::error(format!(
            "even {MOST} segments run off the grain by {:.1} degrees",
            off.to_degrees()
        ))
        .key(format!("{key}.run-out"))
        .help("allow more run-out"))
    }
}

fn with_article(what: &str) -> String {
    format!("{} {what}", if what.starts_with('a') { "an" } else { "a" })
}
