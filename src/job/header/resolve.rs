//! From a header's file to its layout, its profiles and the part that the table cuts.

use super::molding::{Given, Section};
use super::{BendEntry, HeaderEntry, LeastRise, RiseEntry, StickEntry, StickOf};
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::job::{OnTable, PartEntry, PartKind, Stock};
use crate::layout::nest::{Sawing, Stick};
use crate::layout::proportion::{Offer, offers};
use crate::layout::{self, Layout, Standing, rise_table};
use crate::part::{BoardShape, CapShape};
use crate::units::{Length, Shown};
use std::path::Path;

/// Key of the cap's board, which is also a part that the table cuts.
pub(in crate::job) const CAP_KEY: &str = "header.corona";

/// A board within so much of the corona's thickness is the corona's board, mm: about 1/64 in, what
/// a planer leaves (common practice).
const PLANED: f64 = 0.4;

/// A header that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    /// Everything that follows from its numbers.
    pub layout: Layout,
    /// The bed mould's profile, where it is given by elements or drawn.
    pub bed_mold: Option<Profile>,
    /// The cymatium's.
    pub cymatium: Option<Profile>,
    /// Rises that a table is asked of; none for the usual ones.
    pub rises: Vec<f64>,
    /// Published proportions, where the door's height is given.
    pub offers: Vec<Offer>,
    /// Sticks on hand, each with its number in the file, from 1.
    pub sticks: Vec<(StickOf, usize, Stick)>,
    /// The saw.
    pub sawing: Sawing,
    /// How the cymatium may go round.
    pub bend: BendEntry,
    /// Spring of the bed mould's back from the wall, radians, where it is sprung.
    pub bed_spring: Option<f64>,
    /// Spring of the cymatium's back.
    pub cap_spring: Option<f64>,
    /// What was left out of drawings, and why.
    pub warnings: Vec<Diagnostic>,
}

impl Header {
    /// The bed mould as it stands, where its profile is known.
    #[must_use]
    pub fn bed_standing(&self) -> Option<Standing<'_>> {
        self.bed_mold.as_ref().map(|profile| Standing { profile, spring: self.bed_spring })
    }

    /// The cymatium as it stands, where its profile is known.
    #[must_use]
    pub fn cap_standing(&self) -> Option<Standing<'_>> {
        self.cymatium.as_ref().map(|profile| Standing { profile, spring: self.cap_spring })
    }
}

impl HeaderEntry {
    /// The header, solved.
    ///
    /// # Errors
    /// Every number that cannot be, at its key in the file, with the one that would do.
    pub(in crate::job) fn resolve(
        &self,
        shown: Shown,
        folder: &Path,
    ) -> Result<Header, Vec<Diagnostic>> {
        let mut found = Vec::new();
        let bed = self.bed_section(folder);
        let cap = self.cap_section(folder);
        let mut take = |section: Result<Section, Vec<Diagnostic>>| {
            section.map_err(|mut some| found.append(&mut some)).ok()
        };
        let (bed, cap) = (take(bed), cap.map(&mut take));
        if let (Some(_), Some(_)) = (self.rise, self.radius) {
            found.push(
                Diagnostic::error("rise and radius are both given")
                    .key("header.radius")
                    .help("leave one out; without both the front has the least rise that covers"),
            );
        }
        found.append(&mut self.on_hand_problems(shown));
        let offers = self.door_height.map_or(Ok(Vec::new()), |height| offers(height.0));
        let offers = offers.unwrap_or_else(|one| {
            found.push(one.key("header.door-height"));
            Vec::new()
        });
        let frieze_height = self.frieze_height(&offers, shown);
        let frieze_height = frieze_height.map_err(|one| found.push(one)).ok();
        let (Some(bed), Some(frieze_height), true) = (bed, frieze_height, found.is_empty()) else {
            return Err(found);
        };
        let cap = cap.flatten();
        let layout = self
            .numbers(frieze_height, &bed, cap.as_ref())
            .layout()
            .map_err(|all| all.into_iter().map(|d| self.rekeyed(d)).collect::<Vec<_>>())?;
        let rises = self.asked_rises(&layout)?;
        let mut warnings = bed.warnings;
        let (mut cymatium, mut cap_spring) = (None, None);
        if let Some(mut cap) = cap {
            warnings.append(&mut cap.warnings);
            (cymatium, cap_spring) = (cap.profile, cap.spring);
        }
        Ok(Header {
            layout,
            bed_mold: bed.profile,
            cymatium,
            bed_spring: bed.spring,
            cap_spring,
            warnings,
            rises,
            offers,
            sticks: self.sticks(),
            sawing: Sawing { kerf: self.saw.kerf.0, trim: self.saw.trim.0 },
            bend: self.bend,
        })
    }

    /// The rises of the table that is asked for, each of which must be one; whether it covers is
    /// told in its row.
    fn asked_rises(&self, layout: &Layout) -> Result<Vec<f64>, Vec<Diagnostic>> {
        let mut found = Vec::new();
        for (i, rise) in self.rises.iter().enumerate() {
            if let Err(some) = rise_table(&layout.header, &[rise.0], None) {
                let key = format!("header.rises[{}]", i + 1);
                found.extend(some.into_iter().map(|d| d.key(key.clone())));
            }
        }
        if found.is_empty() {
            Ok(self.rises.iter().map(|rise| rise.0).collect())
        } else {
            Err(found)
        }
    }

    /// The frieze's height, or the published ones to choose from.
    fn frieze_height(&self, offers: &[Offer], shown: Shown) -> Result<f64, Diagnostic> {
        if let Some(height) = self.frieze.height {
            return Ok(height.0);
        }
        let choices: Vec<String> = offers
            .iter()
            .map(|offer| format!("{} ({}; {})", shown.both(offer.frieze), offer.name, offer.source))
            .collect();
        let help = if choices.is_empty() {
            "give it, or the `door-height` in [header] and published ones are offered".to_string()
        } else {
            format!("published proportions give {}", choices.join(", or "))
        };
        Err(Diagnostic::error("the frieze has no height").key("header.frieze").help(help))
    }

    fn bed_section(&self, folder: &Path) -> Result<Section, Vec<Diagnostic>> {
        let bed = &self.bed_mold;
        Given {
            key: "header.bed-mold",
            element: &bed.element,
            drawn: bed.profile.as_ref(),
            folder,
            back: bed.back,
            height: bed.height,
            out: bed.projection,
            out_word: "projection",
            spring: bed.spring,
            sprung: bed.sprung,
        }
        .section()
    }

    fn cap_section(&self, folder: &Path) -> Option<Result<Section, Vec<Diagnostic>>> {
        let cap = self.cymatium.as_ref()?;
        let given = Given {
            key: "header.cymatium",
            element: &cap.element,
            drawn: cap.profile.as_ref(),
            folder,
            back: cap.back,
            height: cap.height,
            out: cap.thickness,
            out_word: "thickness",
            spring: cap.spring,
            sprung: cap.sprung,
        };
        Some(given.section())
    }

    fn numbers(&self, frieze_height: f64, bed: &Section, cap: Option<&Section>) -> layout::Header {
        layout::Header {
            cased_width: self.cased_width.0,
            frieze: layout::Frieze {
                height: frieze_height,
                thickness: self.frieze.thickness.0,
                reveal: self.frieze.reveal.0,
            },
            panel: self.panel.as_ref().map(|panel| layout::Panel {
                width: panel.width.0,
                height: panel.height.0,
                thickness: panel.thickness.0,
                offset: panel.offset.0,
            }),
            bed_mold: layout::BedMold { height: bed.height, projection: bed.out },
            corona: layout::Corona { thickness: self.corona.thickness.0 },
            cymatium: cap.map(|c| layout::Cymatium { thickness: c.out, height: c.height }),
            overhang: layout::Overhang {
                ends: self.overhang.ends.0,
                front: self.overhang.front.0,
                at_break: self.overhang.at_break.0,
            },
            front: match (self.rise, self.radius) {
                (Some(RiseEntry::Length(rise)), _) => layout::Front::Rise(rise.0),
                (Some(RiseEntry::Word(LeastRise::Least)), _) => layout::Front::Least,
                (None, Some(radius)) => layout::Front::Radius(radius.0),
                (None, None) => layout::Front::Least,
            },
        }
    }

    fn sticks(&self) -> Vec<(StickOf, usize, Stick)> {
        let one = |(i, stick): (usize, &StickEntry)| {
            let count = stick.count.map(|count| count as usize);
            (stick.of, i + 1, Stick { length: stick.length.0, count })
        };
        self.stick.iter().enumerate().map(one).collect()
    }

    /// What cannot be of sticks, saw and board.
    fn on_hand_problems(&self, shown: Shown) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        let mut check = |good: bool, key: String, value: Length, allowed: &str| {
            if !good {
                let message = format!("{} cannot be", shown.one(value.0));
                found.push(Diagnostic::error(message).key(key).help(allowed));
            }
        };
        for (i, stick) in self.stick.iter().enumerate() {
            let key = format!("header.stick[{}].length", i + 1);
            check(stick.length.0 > 0.0, key, stick.length, "more than 0");
        }
        let saw = &self.saw;
        check(saw.kerf.0 > 0.0, "header.saw.kerf".to_string(), saw.kerf, "more than 0");
        check(saw.trim.0 >= 0.0, "header.saw.trim".to_string(), saw.trim, "0 or more");
        if let Some(skin) = self.bend.skin {
            check(skin.0 > 0.0, "header.bend.skin".to_string(), skin, "more than 0");
        }
        if let Some(board) = self.bend.board {
            let sides =
                [("length", board.length), ("width", board.width), ("thickness", board.thickness)];
            for (word, side) in sides {
                check(side.0 > 0.0, format!("header.bend.board.{word}"), side, "more than 0");
            }
        }
        if self.cymatium.is_none()
            && let Some(i) = self.stick.iter().position(|s| s.of == StickOf::Cymatium)
        {
            found.push(
                Diagnostic::error("there is no cymatium to cut from these sticks")
                    .key(format!("header.stick[{}].of", i + 1))
                    .help("give a [header.cymatium], or leave the sticks out"),
            );
        }
        found
    }

    /// A finding about a moulding's size stands at its elements or its drawing where these give it.
    fn rekeyed(&self, d: Diagnostic) -> Diagnostic {
        let by_form = |element: bool, drawn: bool| match (element, drawn) {
            (true, _) => Some("element"),
            (_, true) => Some("profile"),
            _ => None,
        };
        let (molding, form) = match d.key.as_deref() {
            Some("header.bed-mold.height" | "header.bed-mold.projection") => {
                let bed = &self.bed_mold;
                ("header.bed-mold", by_form(!bed.element.is_empty(), bed.profile.is_some()))
            }
            Some("header.cymatium.height" | "header.cymatium.thickness") => {
                let form = self
                    .cymatium
                    .as_ref()
                    .and_then(|cap| by_form(!cap.element.is_empty(), cap.profile.is_some()));
                ("header.cymatium", form)
            }
            _ => return d,
        };
        let key = form.map(|word| format!("{molding}.{word}"));
        Diagnostic { key: key.or(d.key), ..d }
    }

    /// The boards as parts that somebody could have written, each with its key: what the table
    /// cuts. Frieze and panel are cut where they have a stock of their own; the cap's may be the
    /// job's.
    pub(in crate::job) fn parts(&self, layout: &Layout, stock: Option<Stock>) -> Vec<BoardPart> {
        let board =
            |length: f64, width: f64| BoardShape { length: Length(length), width: Length(width) };
        let part = |key, thickness, table: &OnTable, kind: PartKind, name: &str| BoardPart {
            key,
            thickness,
            entry: PartEntry {
                table: OnTable {
                    name: table.name.clone().or_else(|| Some(name.to_string())),
                    ..table.clone()
                },
                kind,
            },
        };
        let mut parts = Vec::new();
        let corona = &self.corona;
        if corona.table.stock.or(stock).is_some() {
            let cap = CapShape::new(layout.cap.chord, layout.cap.rise, layout.cap.end_depth);
            let kind = PartKind::Cap(cap);
            parts.push(part(CAP_KEY, corona.thickness, &corona.table, kind, "cap"));
        }
        if self.frieze.table.stock.is_some() {
            let header = &layout.header;
            let kind = PartKind::Frieze(board(header.frieze_length(), header.frieze.height));
            parts.push(part(
                "header.frieze",
                self.frieze.thickness,
                &self.frieze.table,
                kind,
                "frieze",
            ));
        }
        if let Some(panel) = self.panel.as_ref().filter(|panel| panel.table.stock.is_some()) {
            let kind = PartKind::Board(board(panel.width.0, panel.height.0));
            parts.push(part("header.panel", panel.thickness, &panel.table, kind, "panel-blank"));
        }
        parts
    }
}

/// A board of a header that the table cuts.
pub(in crate::job) struct BoardPart {
    /// Where it stands in the file.
    pub key: &'static str,
    /// As it was written.
    thickness: Length,
    /// As a part of its own.
    pub entry: PartEntry,
}

impl BoardPart {
    /// A stock that is not this board's.
    pub(in crate::job) fn stock_problem(
        &self,
        shared: Option<Stock>,
        shown: Shown,
    ) -> Option<Diagnostic> {
        let (stock, key) = match (self.entry.table.stock, shared) {
            (Some(own), _) => (own, format!("{}.stock.thickness", self.key)),
            (None, shared) => (shared?, "stock.thickness".to_string()),
        };
        let (board, own) = (stock.thickness.0, self.thickness.0);
        if (board - own).abs() <= PLANED || board <= 0.0 {
            return None;
        }
        let name = self.key.trim_start_matches("header.");
        let (of, short) = match name {
            "corona" => ("the cap's board", "corona"),
            other => ("the board", other),
        };
        let message =
            format!("{of} is {} thick, the {short} {}", shown.both(board), shown.both(own));
        Some(Diagnostic::error(message).key(key).help(format!(
            "plane the board to the {short}'s thickness, or give the board's as the {short}'s"
        )))
    }
}
