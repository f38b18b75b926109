//! From a panel as it is written to a relief: motifs drawn, files read.

use super::{CarveShape, LetteringShape, MeshShape, Panel, PictureShape};
use crate::diagnostic::{Diagnostic, Failure};
use crate::files::read_bytes;
use crate::geometry::{Contour, Point, point};
use crate::ornament::{self, Acanthus, Festoon, HuskDrop, Motif, Rosette};
use crate::relief::source::{MeshUse, PictureUse, lettering, mesh_field, picture_field, read_mesh};
use crate::relief::{Carving, Cushion, CushionProfile, Ground, Placed, Relief};
use std::path::Path;
use std::sync::Arc;

/// Largest picture, mesh or font, bytes.
const MOST_BYTES: u64 = 1 << 30;

/// Fillet between two flutes over a flute (Ware, The American Vignola, from memory).
const FILLET: f64 = 1.0 / 3.0;

impl Panel {
    /// The relief: motifs drawn, files read, which are taken from `folder`.
    ///
    /// # Errors
    /// What is wrong with a file that a carving names, each at its key.
    pub fn relief(&self, folder: &Path) -> Result<Relief, Vec<Diagnostic>> {
        let size = point(self.board.length, self.board.width);
        let mut carvings = Vec::new();
        let mut found = Vec::new();
        for (key, shape) in &self.carvings {
            match carving(&shape.what, folder, self.grid) {
                Ok(carving) => carvings.push(Placed {
                    carving,
                    frames: shape.place.frames(size),
                    deep: 1.0,
                    meeting: shape.place.meeting(),
                }),
                Err((name, one)) => found.push(one.key(format!("{key}.{name}"))),
            }
        }
        let ground = Ground::new(&self.border);
        if found.is_empty() { Ok(Relief { size, ground, carvings }) } else { Err(found) }
    }
}

type Wrong = (&'static str, Diagnostic);

fn carving(what: &CarveShape, folder: &Path, grid: f64) -> Result<Carving, Wrong> {
    Ok(match what {
        CarveShape::KeyFret(s) if s.v_angle.is_some() => {
            let outline = ornament::key_fret_outline(s.length.0, s.height.0);
            let angle = s.v_angle.map_or(0.0, |a| a.0);
            incised(&[outline], s.depth.0, angle)
        }
        CarveShape::Lettering(s) => letters(s, folder)?,
        CarveShape::Cushion(s) => {
            let corners: Vec<Point> = s.corners.iter().map(|p| point(p[0].0, p[1].0)).collect();
            let outlines = [Contour::polygon(&corners)];
            Carving::Cushion(Arc::new(Cushion::new(&outlines, s.depth.0, s.over.0, s.profile)))
        }
        CarveShape::Picture(s) => picture(s, folder)?,
        CarveShape::Mesh(s) => mesh(s, folder, grid)?,
        motif => Carving::Motif(Arc::new(drawn(motif))),
    })
}

/// Ornament by rule; nothing for what is none.
fn drawn(what: &CarveShape) -> Motif {
    match what {
        CarveShape::Festoon(s) => ornament::festoon(&Festoon {
            span: s.span.0,
            sag: s.sag.0,
            full: s.full.0,
            depth: s.depth.0,
            swag: s.of.into(),
            ribbons: !s.plain_ties,
        }),
        CarveShape::Rosette(s) => ornament::rosette(&Rosette {
            diameter: s.diameter.0,
            petals: s.petals as usize,
            whorls: s.whorls as usize,
            depth: s.depth.0,
        }),
        CarveShape::HuskDrop(s) => ornament::husk_drop(&HuskDrop {
            length: s.length.0,
            count: s.count as usize,
            // Each drop tapers to about this (from memory).
            taper: s.taper.unwrap_or(0.6),
            depth: s.depth.0,
        }),
        CarveShape::Acanthus(s) => ornament::acanthus(&Acanthus {
            height: s.height.0,
            width: s.width.0,
            lobes: s.lobes as usize,
            depth: s.depth.0,
        }),
        CarveShape::Laurel(s) => ornament::laurel_band(s.length.0, s.height.0, s.depth.0),
        CarveShape::BeadAndReel(s) => ornament::bead_and_reel(s.length.0, s.height.0, s.depth.0),
        CarveShape::EggAndDart(s) => ornament::egg_and_dart(s.length.0, s.height.0, s.depth.0),
        CarveShape::Guilloche(s) => ornament::guilloche(s.length.0, s.height.0, s.depth.0),
        CarveShape::KeyFret(s) => ornament::key_fret(s.length.0, s.height.0, s.depth.0),
        CarveShape::Fluting(s) => {
            ornament::fluting(s.width.0, s.height.0, s.count as usize, FILLET, s.depth.0)
        }
        CarveShape::Reeding(s) => {
            ornament::reeding(s.width.0, s.height.0, s.count as usize, s.depth.0)
        }
        CarveShape::Lettering(_)
        | CarveShape::Cushion(_)
        | CarveShape::Picture(_)
        | CarveShape::Mesh(_) => Motif::default(),
    }
}

/// Sunk as a V cutter of this included angle cuts it: depth = distance to the outline over the
/// tangent of half the angle, and no deeper than `deepest`.
fn incised(outlines: &[Contour], deepest: f64, angle: f64) -> Carving {
    let width = deepest * (angle / 2.0).tan();
    Carving::Cushion(Arc::new(Cushion::new(outlines, -deepest, width, CushionProfile::Bevel)))
}

fn letters(s: &LetteringShape, folder: &Path) -> Result<Carving, Wrong> {
    let file = match &s.font {
        Some(name) => Some((name.as_str(), read(folder, name).map_err(|d| ("font", d))?)),
        None => None,
    };
    let font = file.as_ref().map(|(name, bytes)| (*name, bytes.as_slice()));
    let lettering = lettering(&s.text, s.height.0, s.spacing.0, font).map_err(|d| ("text", d))?;
    Ok(incised(&lettering.outlines, s.depth.0, s.v_angle.0))
}

fn picture(s: &PictureShape, folder: &Path) -> Result<Carving, Wrong> {
    let bytes = read(folder, &s.file).map_err(|d| ("file", d))?;
    let how = PictureUse {
        width: s.width.0,
        depth: s.depth.0,
        white_high: !s.black_high,
        gamma: s.gamma.unwrap_or(1.0),
        smoothing: s.smoothing.unwrap_or(1.0),
    };
    let grid = picture_field(&s.file, &bytes, &how).map_err(|d| ("file", d))?;
    Ok(Carving::Grid(Arc::new(grid)))
}

fn mesh(s: &MeshShape, folder: &Path, cell: f64) -> Result<Carving, Wrong> {
    let bytes = read(folder, &s.file).map_err(|d| ("file", d))?;
    let mesh = read_mesh(&s.file, &bytes).map_err(|d| ("file", d))?;
    let how = MeshUse {
        up: s.up,
        fit: s.fit.map(|f| f.map(|l| l.0)),
        unit: s.unit.mm(),
        depth: s.depth.map(|d| d.0),
        crop: s.crop,
        floor: s.floor,
        cell,
    };
    let grid = mesh_field(&s.file, &mesh, &how).map_err(|d| ("file", d))?;
    Ok(Carving::Grid(Arc::new(grid)))
}

fn read(folder: &Path, name: &str) -> Result<Vec<u8>, Diagnostic> {
    read_bytes(&folder.join(name), MOST_BYTES).map_err(|failure| match failure {
        Failure::Input(mut all) | Failure::Refused(mut all) if all.len() == 1 => {
            all.remove(0).help("the path is taken from the job file's folder")
        }
        other => Diagnostic::error(other.to_string()),
    })
}
