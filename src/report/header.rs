//! A header's whole layout for people and for other programs.

use super::bend_json;
use super::cut_list::ListedCuts;
use crate::diagnostic::{Diagnostic, Failure};
use crate::drawing::{self, HeaderFigures, StickNesting};
use crate::geometry::profile::Profile;
use crate::job::{Bend, Header, Job, StickOf};
use crate::layout::bend::Wood;
use crate::layout::cut_list::CutList;
use crate::layout::nest::nest;
use crate::layout::{self, RiseRow, Role, Sprung, rise_choices, rise_table};
use crate::part::{Cap, CapFigures, CapShape};
use crate::shop::Material;
use crate::units::{INCH, Shown, Unit};
use serde_json::{Value, json};

/// Rises offered above the least one.
const RISES: usize = 5;

/// How a sprung moulding comes off the table.
pub(super) const SOLID: &str = "sprung as it is drawn, it is cut standing, from solid wood, with \
                                the same face and a flat back: it needs nothing behind it";

/// All that is told of a header.
#[derive(Clone, Debug)]
pub struct HeaderReport<'a> {
    header: &'a Header,
    figures: CapFigures,
    rises: Vec<RiseRow>,
    list: CutList,
    sticks: Vec<StickNesting>,
    sprung: Vec<Sprung>,
    /// Of the cymatium round the front, or why nothing can be said; `None` without a cymatium.
    bend: Option<Bend>,
    /// Whether a program makes that piece.
    front_is_milled: bool,
    species: String,
}

/// Works out what is told of a job's header; `None` for a job without one.
///
/// # Errors
/// A species that is not known, or sticks that do not hold the pieces, each at its place.
pub fn header_report(job: &Job) -> Result<Option<HeaderReport<'_>>, Failure> {
    let Some(header) = &job.header else { return Ok(None) };
    let located = |all: Vec<Diagnostic>| Failure::Input(job.document.locate(all));
    let material =
        Material::find(&job.file.species).map_err(|d| located(vec![d.key("species")]))?;
    let milled = job.milled_roles();
    let list = header.layout.cut_list(&milled);
    let sticks = nestings(header, &list).map_err(located)?;
    let sprung = sprung(header, &list);
    let bend = header.bending(&material).map_err(|one| located(vec![one]))?;
    let wood = Wood::of(&material).ok();
    let rises = rises(header, wood, job.shown).map_err(located)?;
    Ok(Some(HeaderReport {
        header,
        figures: cap_figures(&header.layout.cap),
        rises,
        list,
        sticks,
        sprung,
        bend,
        front_is_milled: milled.contains(&Role::CapFront),
        species: material.name,
    }))
}

/// The mouldings that are sprung. The bowed piece is left out: it is not sawn flat on its back.
fn sprung(header: &Header, list: &CutList) -> Vec<Sprung> {
    let all = [
        (StickOf::BedMold, header.bed_spring, &header.bed_mold),
        (StickOf::Cymatium, header.cap_spring, &header.cymatium),
    ];
    all.into_iter()
        .filter_map(|(of, spring, profile)| {
            let width = profile.as_ref().map(Profile::height);
            Sprung::of(of.name(), of.stock(), spring?, width, list)
        })
        .collect()
}

/// The figures of the cap's board, as of a cap that is a part of its own.
pub(super) fn cap_figures(cap: &layout::Cap) -> CapFigures {
    let CapShape { stations, .. } = CapShape::new(cap.chord, cap.rise, cap.end_depth);
    Cap { front: cap.front(), end_depth: cap.end_depth, stations }.figures()
}

/// The rises asked for, or the least one and round ones above; with the chosen one.
fn rises(
    header: &Header,
    wood: Option<Wood>,
    shown: Shown,
) -> Result<Vec<RiseRow>, Vec<Diagnostic>> {
    let layout = &header.layout;
    // Steps that an eye can tell apart on a cap.
    let step = match shown.unit {
        Unit::Mm => 10.0,
        Unit::In => INCH / 2.0,
    };
    let mut all = match header.rises.as_slice() {
        [] => rise_choices(layout.least_rise, layout.cap.chord / 2.0, step, RISES),
        asked => asked.to_vec(),
    };
    all.push(layout.cap.rise);
    all.sort_by(f64::total_cmp);
    // The chosen rise is often one of the round ones, or the least.
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    rise_table(&layout.header, &all, wood.map(|wood| (wood, header.bend.share)))
}

/// Each moulding's pieces in its sticks, where there are sticks of it.
fn nestings(header: &Header, list: &CutList) -> Result<Vec<StickNesting>, Vec<Diagnostic>> {
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for of in StickOf::ALL {
        let own: Vec<_> = header.sticks.iter().filter(|(kind, ..)| *kind == of).collect();
        let Some((_, first, _)) = own.first() else { continue };
        let pieces = list.lengths(of.stock());
        // The table mills them all.
        if pieces.is_empty() {
            continue;
        }
        let sticks: Vec<_> = own.iter().map(|(_, _, stick)| *stick).collect();
        match nest(&pieces, &sticks, &header.sawing) {
            Ok(nesting) => all.push(StickNesting { name: of.name(), pieces, nesting }),
            Err(some) => wrong.extend(some.into_iter().map(|d| {
                let key = format!("header.stick[{first}].length");
                let message = match d.message.starts_with(of.name()) {
                    true => d.message.clone(),
                    false => format!("{}: {}", of.name(), d.message),
                };
                Diagnostic { message, key: Some(key), ..d }
            })),
        }
    }
    if wrong.is_empty() { Ok(all) } else { Err(wrong) }
}

impl HeaderReport<'_> {
    /// The solved header.
    pub(super) fn layout(&self) -> &layout::Layout {
        &self.header.layout
    }

    /// Every piece.
    pub(super) fn list(&self) -> &CutList {
        &self.list
    }

    /// Mouldings that stand sprung.
    pub(super) fn sprung(&self) -> &[Sprung] {
        &self.sprung
    }

    /// The cymatium round the front.
    pub(super) fn bend(&self) -> Option<&Bend> {
        self.bend.as_ref()
    }

    /// The cut list as files of its own: name and text.
    #[must_use]
    pub fn files(&self, title: &str, shown: Shown) -> Vec<(&'static str, String)> {
        let of = ListedCuts { list: &self.list, sticks: &self.sticks, sprung: &self.sprung };
        vec![
            ("cut-list.csv", of.csv(shown)),
            ("cut-list.json", format!("{:#}\n", of.json(title, shown))),
        ]
    }

    /// For the terminal.
    #[must_use]
    pub fn text(&self, shown: Shown) -> String {
        let of = HeaderFigures {
            layout: &self.header.layout,
            cap: &self.figures,
            offers: &self.header.offers,
            rises: &self.rises,
            list: &self.list,
            sticks: &self.sticks,
        };
        let mut text = drawing::header_text(&of, shown);
        text.push_str(&drawing::sprung_text(&self.sprung, shown));
        match &self.bend {
            None => {}
            Some(Err(why)) => {
                let way = match (self.front_is_milled, self.header.cap_spring, &why.help) {
                    (true, Some(_), _) => format!(". The table mills it: {SOLID}"),
                    (false, _, Some(help)) => format!(": {help}"),
                    _ => String::new(),
                };
                text.push_str("\nBending the cap moulding\n");
                text.push_str(&drawing::paragraph("  ", &format!("{}{way}", why.message)));
            }
            Some(Ok((asked, report))) => {
                text.push_str(&format!(
                    "\nBending the cap moulding round the front, {}\n",
                    self.species
                ));
                text.push_str(&drawing::bend_text(asked, report, shown));
            }
        }
        text
    }

    /// For other programs: millimetres, radians.
    #[must_use]
    pub fn json(&self) -> Value {
        let section = |profile: &Option<Profile>| {
            profile.as_ref().map(|p| json!({ "elements": p.elements, "section": p.section() }))
        };
        json!({
            "layout": self.header.layout,
            "cap": self.figures,
            "proportions": self.header.offers,
            "rises": self.rises,
            "cut_list": self.list.pieces,
            "sticks": self.sticks,
            "sprung": self.sprung,
            "profiles": {
                "bed_mold": section(&self.header.bed_mold),
                "cymatium": section(&self.header.cymatium),
            },
            "bend": self.bend.as_ref().map(|bend| match bend {
                Ok((asked, report)) => bend_json(asked, report),
                Err(why) => json!({ "why_not": why.message, "help": why.help }),
            }),
        })
    }
}
