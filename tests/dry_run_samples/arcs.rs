//! Faults of arcs: centres counted from elsewhere, rounded or changed about, radii with a minus.

use super::careless::{ASTRAY, without};
use super::faults::{Edit, Fault, at, between, fault, replaced};
use super::program::Program;
use Interlock::*;
use ovolo::dry_run::Interlock;
use ovolo::geometry::{Stroke, point};

/// Centre offsets of a line of an arc, 0 for one that is not said.
fn offsets(p: &Program, i: usize) -> Option<(f64, f64)> {
    let of = |letter| p.lettered(i, letter).map(|w| w.value);
    let (x, y) = (of('I'), of('J'));
    (x.is_some() || y.is_some()).then_some((x.unwrap_or(0.0), y.unwrap_or(0.0)))
}

/// The first arc whose centre, changed by `other`, is not as far from both ends any more.
fn centred(p: &Program, other: impl Fn(&Stroke, (f64, f64), f64) -> (f64, f64)) -> Option<Edit> {
    let unit = p.mm(1.0);
    p.moves().find_map(|(i, stroke, feed)| {
        let ((x, y), true, true) = (offsets(p, i)?, feed, stroke.arc.is_some()) else {
            return None;
        };
        let (x, y) = other(stroke, (x, y), unit);
        let centre = stroke.from.xy() + point(x, y) * unit;
        let (a, b) = (centre.distance(stroke.from.xy()), centre.distance(stroke.to.xy()));
        ((a - b).abs() > 0.1).then_some(())?;
        let mut lines = p.lines.clone();
        lines[i] = without(&lines[i], &['I', 'J']);
        lines[i].push_str(&format!(" I{x:.4} J{y:.4}"));
        at(&lines, i, &[TextUnderstood])
    })
}

pub(crate) fn all() -> Vec<Fault> {
    vec![
        fault("a centre given as a place", |p| {
            centred(p, |s, (x, y), unit| (x + s.from.x / unit, y + s.from.y / unit))
        }),
        fault("a centre counted from the end", |p| {
            centred(p, |s, (x, y), unit| {
                (x + (s.from.x - s.to.x) / unit, y + (s.from.y - s.to.y) / unit)
            })
        }),
        fault("a centre's offsets changed about", |p| centred(p, |_, (x, y), _| (y, x))),
        fault("a centre rounded", |p| {
            centred(p, |_, (x, y), _| ((x * 2.0).round() / 2.0, (y * 2.0).round() / 2.0))
        }),
        fault("an arc's end rounded", |p| {
            let unit = p.mm(1.0);
            p.moves().find_map(|(i, stroke, _)| {
                let (arc, word) = (stroke.arc?, p.lettered(i, 'X')?);
                offsets(p, i)?;
                let end = point(word.value.round() * unit, stroke.to.y);
                let radii = (arc.center.distance(stroke.from.xy()), arc.center.distance(end));
                ((radii.0 - radii.1).abs() > 0.1).then_some(())?;
                let lines = replaced(p, i, 'X', &format!("X{:.0}", word.value))?;
                at(&lines, i, &[TextUnderstood])
            })
        }),
        fault("a radius with a minus", |p| {
            let radius = |i| p.lettered(i, 'R').map(|w| w.value);
            let arcs = p.moves().filter(|(i, s, _)| s.arc.is_some() && radius(*i).is_some());
            let (i, ..) = arcs.max_by(|a, b| radius(a.0).partial_cmp(&radius(b.0)).unwrap())?;
            let lines = replaced(p, i, 'R', &format!("R-{}", radius(i)?))?;
            between(&lines, (i, i + 1), &ASTRAY)
        }),
        fault("an arc made a line", |p| {
            let (i, ..) = p.moves().find(|(i, s, feed)| {
                *feed
                    && s.arc.is_some()
                    && s.from.z == s.to.z
                    && s.to.z < p.plan.stock.max.z - 1.0
                    && p.lettered(*i, 'G').is_some()
                    && p.in_part((s.from.xy() + s.to.xy()) * 0.5, 1.0)
            })?;
            let mut lines = p.lines.clone();
            lines[i] = without(&replaced(p, i, 'G', "G1")?[i], &['I', 'J', 'R']);
            at(&lines, i, &[PartUntouched])
        }),
    ]
}
