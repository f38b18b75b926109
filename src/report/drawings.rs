//! The full-size drawings of a job, and the files that hold them.

use super::header::cap_figures;
use crate::diagnostic::Failure;
use crate::drawing::{self, Drawing, HeaderViews, Paper};
use crate::geometry::profile::Profile;
use crate::job::{Job, Shape};
use crate::layout::{Role, Standing};
use rayon::prelude::*;

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawnFile {
    /// Its name, without a folder.
    pub name: String,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// The drawings of a header, and a template of each cap that somebody wrote as a part.
#[must_use]
pub fn drawings(job: &Job) -> Vec<Drawing> {
    let mut all = Vec::new();
    if let Some(header) = &job.header {
        let milled = job.milled_roles();
        let bed = made_solid(header.bed_standing(), milled.contains(&Role::BedFront));
        let cap = made_solid(header.cap_standing(), milled.contains(&Role::CapFront));
        let upright = |profile| Standing { profile, spring: None };
        all.extend(drawing::header_drawings(&HeaderViews {
            title: &job.file.title,
            layout: &header.layout,
            bed_mold: bed.as_ref().map(upright).or(header.bed_standing()),
            cymatium: cap.as_ref().map(upright).or(header.cap_standing()),
            ordinates: &cap_figures(&header.layout.cap).ordinates,
            shown: job.shown,
        }));
    }
    // A header's own cap is among the header's drawings.
    for part in job.parts.iter().filter(|part| part.key.starts_with("part")) {
        if let Shape::Cap(cap) = &part.shape {
            all.push(drawing::cap_template(&part.name, &job.file.title, cap, job.shown));
        }
    }
    all
}

/// The section of a sprung moulding whose pieces on the centre line are milled: solid, not hollow
/// behind. `None` where it is drawn as it was given.
fn made_solid(standing: Option<Standing<'_>>, milled: bool) -> Option<Profile> {
    let sprung = standing.filter(|standing| milled && standing.spring.is_some())?;
    // One that cannot be solid is refused where its programs are asked for.
    sprung.solid().ok()
}

/// Each drawing as SVG, DXF, PDF on one sheet and PDF on pages of `paper`; a drawing that would
/// take more than 400 pages comes without these.
///
/// # Errors
/// [`Failure::System`] if a format's writer fails.
pub fn drawing_files(drawings: &[Drawing], paper: Paper) -> Result<Vec<DrawnFile>, Failure> {
    let each: Vec<Result<Vec<DrawnFile>, Failure>> =
        drawings.par_iter().map(|drawing| files_of(drawing, paper)).collect();
    Ok(each.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

fn files_of(drawing: &Drawing, paper: Paper) -> Result<Vec<DrawnFile>, Failure> {
    let file = |ending: &str, bytes| DrawnFile { name: format!("{}{ending}", drawing.name), bytes };
    // The pages take as long as all the rest: two tasks for two cores.
    let (plain, printed) = rayon::join(
        || {
            let svg = drawing.sheet().svg().into_bytes();
            drawing::dxf(drawing).map(|dxf| (svg, dxf))
        },
        || drawing::pdf_and_pages(drawing, paper),
    );
    let ((svg, dxf), (pdf, pages)) =
        (plain.map_err(Failure::System)?, printed.map_err(Failure::System)?);
    let mut files = vec![file(".svg", svg), file(".dxf", dxf), file(".pdf", pdf)];
    if let Some(pages) = pages {
        files.push(file(&format!("-{}.pdf", paper.name()), pages));
    }
    Ok(files)
}
