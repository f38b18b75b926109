//! From a panel as it is written to a relief: motifs drawn, files read.

use super::drawing::read_drawing;
use super::incised::{Incision, incision};
use super::place::PlaceShape;
use super::{CarveShape, MeshShape, Panel, PictureShape};
use crate::diagnostic::{Diagnostic, Failure};
use crate::files::read_bytes;
use crate::geometry::{Contour, Point, point};
use crate::ornament::{self, Acanthus, Festoon, Frame, HuskDrop, Motif, Rosette};
use crate::relief::source::{MeshUse, PictureUse, mesh_field, picture_field, read_mesh};
use crate::relief::{Carving, Cushion, Ground, Meeting, Placed, Relief, Stage};
use std::path::Path;
use std::sync::Arc;

/// Largest picture, mesh or font, bytes.
const MOST_BYTES: u64 = 1 << 30;

/// Fillet between two flutes over a flute (Ware, The American Vignola, from memory).
pub(super) const FILLET: f64 = 1.0 / 3.0;

/// A panel's carvings, drawn and read: what is modelled, and what is cut into that with V
/// cutters.
#[derive(Clone, Debug, PartialEq)]
pub struct Carved {
    /// The board with its border and everything that is modelled.
    pub modelled: Relief,
    /// Incised work.
    pub incised: Vec<Incision>,
    /// What was left out of the drawings.
    pub warnings: Vec<Diagnostic>,
}

impl Carved {
    /// All of it as it is to be.
    #[must_use]
    pub fn designed(&self) -> Relief {
        let mut relief = self.modelled.clone();
        relief.carvings.extend(self.incised.iter().map(|one| Placed {
            carving: Carving::Cushion(Arc::new(one.cushion())),
            frames: vec![Frame::HOME],
            deep: 1.0,
            meeting: Meeting::Incised,
        }));
        relief
    }
}

impl Carved {
    /// Hollows under overhangs, of meshes and of the border, in the part's frame: where, and how
    /// high; the highest first.
    #[must_use]
    pub fn undercuts(&self, panel: &Panel) -> Vec<(Point, f64)> {
        let mut all = Vec::new();
        for placed in &self.modelled.carvings {
            if let Carving::Grid(grid) = &placed.carving {
                let own = grid.undercut();
                all.extend(own.iter().flat_map(|u| {
                    placed.frames.iter().map(|frame| (frame.place(u.at), u.high * placed.deep))
                }));
            }
        }
        let mut inward = 0.0;
        for stage in &panel.border {
            inward += stage.width();
            let Stage::Moulding(profile) = stage else { continue };
            let Some((at, high)) = profile.undercut() else { continue };
            // The face's upper end is the outer one; shown on the near side of the panel.
            all.push((point(0.5 * self.modelled.size.x, inward - at.y), high));
        }
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }
}

impl Panel {
    /// The carvings: motifs drawn, files read, which are taken from `folder`.
    ///
    /// # Errors
    /// What is wrong with a file that a carving names, each at its key.
    pub fn carved(&self, folder: &Path) -> Result<Carved, Vec<Diagnostic>> {
        let size = point(self.board.length, self.board.width);
        let (mut carvings, mut incised, mut found) = (Vec::new(), Vec::new(), Vec::new());
        let mut warnings = Vec::new();
        for (key, shape) in &self.carvings {
            let made = match incision(key, shape, (folder, size), &mut warnings) {
                Ok(Some(one)) => {
                    incised.push(one);
                    continue;
                }
                Ok(None) => carving(&shape.what, folder, self.grid, &mut warnings),
                Err(wrong) => Err(wrong),
            };
            match made {
                Ok(carving) => {
                    let frames = shape.place.frames(size);
                    found.extend(odd_size(&carving, &frames, size).map(|message| {
                        Diagnostic::error(message).key(key.clone()).help(resize(&shape.what))
                    }));
                    match off_board(&carving, &frames, size) {
                        0 => {}
                        off if off == frames.len() => found.push(nowhere(key, &shape.place)),
                        off => warnings.push(Diagnostic::warning(format!(
                            "{off} of {} repeats of `{key}` lie off the panel and are not carved",
                            frames.len()
                        ))),
                    }
                    let meeting = shape.place.meeting();
                    carvings.push(Placed { carving, frames, deep: 1.0, meeting });
                }
                Err((name, one)) => found.push(one.key(format!("{key}.{name}"))),
            }
        }
        let ground = Ground::new(&self.border);
        if !found.is_empty() {
            return Err(found);
        }
        Ok(Carved { modelled: Relief { size, ground, carvings }, incised, warnings })
    }

    /// The relief as it is to be, incised work and all.
    ///
    /// # Errors
    /// As [`Panel::carved`].
    pub fn relief(&self, folder: &Path) -> Result<Relief, Vec<Diagnostic>> {
        Ok(self.carved(folder)?.designed())
    }
}

/// How many of a carving's frames put it beside the board.
fn off_board(carving: &Carving, frames: &[Frame], size: Point) -> usize {
    let Some((low, high)) = carving.bounds() else { return 0 };
    let off = |frame: &&Frame| {
        let (low, high) = frame.bounds(low, high);
        low.x >= size.x || low.y >= size.y || high.x <= 0.0 || high.y <= 0.0
    };
    frames.iter().filter(off).count()
}

/// That a carving's size tells of another unit than its file's.
fn odd_size(carving: &Carving, frames: &[Frame], size: Point) -> Option<String> {
    /// No cutter leaves anything of what is smaller, mm.
    const SPECK: f64 = 0.5;
    /// Whoever carves a part of a larger thing cuts off less than this, in panels.
    const GIANT: f64 = 8.0;
    let ((low, high), frame) = carving.bounds().zip(frames.first())?;
    let (low, high) = frame.bounds(low, high);
    let extent = high - low;
    let times = extent.x.min(extent.y) / size.x.max(size.y);
    match () {
        () if extent.x.max(extent.y) < SPECK => Some(format!(
            "the carving is less than {SPECK} mm wide on the panel: no cutter could carve it"
        )),
        () if times > GIANT => Some(format!(
            "the carving is {times:.0} times as large as the panel: most of it would be left out"
        )),
        () => None,
    }
}

/// What to do about a size that is not meant.
fn resize(what: &CarveShape) -> String {
    match what {
        CarveShape::Mesh(s) if s.fit.is_none() => format!(
            "the file's numbers are taken as `unit = \"{}\"`: give its own unit, or a box with `fit`",
            s.unit.name()
        ),
        CarveShape::Mesh(_) => "give another box with `fit`".to_string(),
        CarveShape::Cushion(_) => "give its `width` on the panel".to_string(),
        _ => "give other lengths, or a `scale`".to_string(),
    }
}

/// A carving of which nothing lies on the board.
fn nowhere(key: &str, place: &PlaceShape) -> Diagnostic {
    let at = place.at.is_some();
    Diagnostic::error("the carving lies off the panel: nothing of it would be carved")
        .key(if at { format!("{key}.at") } else { format!("{key}.repeat") })
        .help("give a place on the panel, from its lower left corner")
}

type Wrong = (&'static str, Diagnostic);

fn carving(
    what: &CarveShape,
    folder: &Path,
    grid: f64,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Carving, Wrong> {
    Ok(match what {
        CarveShape::Cushion(s) => {
            let corners: Vec<Point> = s.corners.iter().map(|p| point(p[0].0, p[1].0)).collect();
            let outlines = match s.drawing() {
                Some(drawing) => {
                    read_drawing(&drawing, folder, true, warnings).map_err(|d| ("file", d))?
                }
                None => vec![Contour::polygon(&corners)],
            };
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
        | CarveShape::Incised(_)
        | CarveShape::Cushion(_)
        | CarveShape::Picture(_)
        | CarveShape::Mesh(_) => Motif::default(),
    }
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
    let grid = mesh_field(&s.file, &mesh, &how).map_err(|d| match d.key.as_deref() {
        Some("crop") => ("crop", d),
        _ => ("file", d),
    })?;
    Ok(Carving::Grid(Arc::new(grid)))
}

pub(super) fn read(folder: &Path, name: &str) -> Result<Vec<u8>, Diagnostic> {
    read_bytes(&folder.join(name), MOST_BYTES).map_err(|failure| match failure {
        Failure::Input(mut all) | Failure::Refused(mut all) if all.len() == 1 => {
            all.remove(0).help("the path is taken from the job file's folder")
        }
        other => Diagnostic::error(other.to_string()),
    })
}
