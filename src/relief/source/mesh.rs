//! A mesh as heights: STL or OBJ, seen from above.

use super::grid::{Grid, Undercut};
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, Point3, point, point3};
use std::collections::BTreeMap;
use std::io::Cursor;

/// Which axis of the mesh points out of the board.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    serde::Serialize,
    serde::Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum UpAxis {
    /// x: y then runs to the right.
    X,
    /// y: x runs to the right, -z up the board.
    Y,
    /// z: x runs to the right, y up the board.
    #[default]
    Z,
}

/// The triangles of a mesh, and whether they close.
#[derive(Clone, Debug, PartialEq)]
pub struct Triangles {
    /// Corners, in the file's own unit.
    pub all: Vec<[Point3; 3]>,
    /// Whether every edge is shared by just two triangles that run along it opposite ways.
    pub watertight: bool,
}

/// Reads STL (text or binary) or, for a name that ends in `.obj`, OBJ.
///
/// # Errors
/// What is wrong with the file, named `name`.
pub fn read_mesh(name: &str, bytes: &[u8]) -> Result<Triangles, Diagnostic> {
    let all = if name.to_ascii_lowercase().ends_with(".obj") {
        read_obj(name, bytes)?
    } else {
        read_stl(name, bytes)?
    };
    if all.is_empty() {
        return Err(Diagnostic::error(format!("{name}: the mesh has no triangles"))
            .help("save it again as a mesh of triangles, STL or OBJ"));
    }
    if let Some(i) = all.iter().position(|t| t.iter().any(|p| !finite(p))) {
        return Err(Diagnostic::error(format!(
            "{name}: triangle {} has a corner that is no finite point",
            i + 1
        ))
        .help(REPAIR));
    }
    let watertight = watertight(&all);
    Ok(Triangles { all, watertight })
}

fn finite(p: &Point3) -> bool {
    [p.x, p.y, p.z].iter().all(|v| v.is_finite())
}

/// What to do about corners that are nowhere.
const REPAIR: &str =
    "every corner is three finite numbers: mend the mesh where it was made, and save it again";

/// The first word of a text STL's corners that is no finite number, with its line.
fn no_number(bytes: &[u8]) -> Option<(usize, &str)> {
    let text = std::str::from_utf8(bytes).ok()?;
    text.lines().enumerate().find_map(|(k, line)| {
        let mut words = line.split_whitespace();
        let numbers = (words.next() == Some("vertex")).then_some(words)?;
        let mut wrong = numbers.filter(|n| !n.parse::<f32>().is_ok_and(f32::is_finite));
        wrong.next().map(|number| (k + 1, number))
    })
}

fn read_stl(name: &str, bytes: &[u8]) -> Result<Vec<[Point3; 3]>, Diagnostic> {
    let wrong = |e: std::io::Error| {
        let why = match e.kind() {
            std::io::ErrorKind::UnexpectedEof => "is cut short, or is no STL".to_string(),
            _ => format!("is no STL that can be read ({e})"),
        };
        Diagnostic::error(format!("{name}: {why}")).help("save it again, as STL or as OBJ")
    };
    if let Some((line, number)) = no_number(bytes) {
        return Err(Diagnostic::error(format!(
            "{name}: line {line}: `{number}` is no place for a corner"
        ))
        .help(REPAIR));
    }
    let mut cursor = Cursor::new(bytes);
    let reader = stl_io::create_stl_reader(&mut cursor).map_err(wrong)?;
    let corner = |v: &stl_io::Vertex| {
        let [x, y, z] = v.0.map(f64::from);
        point3(x, y, z)
    };
    reader
        .map(|t| {
            t.map(|t| [corner(&t.vertices[0]), corner(&t.vertices[1]), corner(&t.vertices[2])])
        })
        .collect::<Result<_, _>>()
        .map_err(wrong)
}

fn read_obj(name: &str, bytes: &[u8]) -> Result<Vec<[Point3; 3]>, Diagnostic> {
    let wrong = |e: tobj::LoadError| {
        Diagnostic::error(format!("{name}: is no OBJ that can be read: {e}"))
            .help("faces must name corners that stand before them in the file")
    };
    let options = tobj::LoadOptions { triangulate: true, ..tobj::LoadOptions::default() };
    // Materials are not read: nothing beside the file is opened.
    let none = |_: &std::path::Path| Ok(Default::default());
    let (models, _) = tobj::load_obj_buf(&mut Cursor::new(bytes), &options, none).map_err(wrong)?;
    let mut all = Vec::new();
    for model in models {
        let positions = &model.mesh.positions;
        let corner = |i: u32| {
            let at = 3 * i as usize;
            positions.get(at..at + 3).map(|p| point3(p[0].into(), p[1].into(), p[2].into()))
        };
        for t in model.mesh.indices.chunks_exact(3) {
            match (corner(t[0]), corner(t[1]), corner(t[2])) {
                (Some(a), Some(b), Some(c)) => all.push([a, b, c]),
                _ => {
                    return Err(Diagnostic::error(format!(
                        "{name}: a face names a corner that is not there"
                    ))
                    .help("faces must name corners that stand before them in the file"));
                }
            }
        }
    }
    Ok(all)
}

/// Whether every edge is run along once each way.
fn watertight(all: &[[Point3; 3]]) -> bool {
    // Adding zero turns minus zero into zero: one value, one pattern of bits.
    let key = |p: &Point3| [p.x + 0.0, p.y + 0.0, p.z + 0.0].map(f64::to_bits);
    let mut edges: BTreeMap<_, i64> = BTreeMap::new();
    for t in all {
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            let (a, b) = (key(&t[a]), key(&t[b]));
            let (edge, way) = if a < b { ((a, b), 1) } else { ((b, a), -1) };
            // Ways sum to nothing, and 1 << 32 counts the uses.
            *edges.entry(edge).or_default() += way + (1 << 32);
        }
    }
    edges.values().all(|v| *v == 2 << 32)
}

/// How a mesh is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshUse {
    /// Out of the board.
    pub up: UpAxis,
    /// Box in plan that it must fit, mm: it is made as large as fits, keeping its proportions.
    pub fit: Option<[f64; 2]>,
    /// Millimetres in the file's unit, where there is no box to fit.
    pub unit: f64,
    /// Height from its lowest place to its highest, mm; in proportion without it.
    pub depth: Option<f64>,
    /// Left, front, right and back margins cut off, as shares of its extent.
    pub crop: [f64; 4],
    /// Everything lower than this share of its height is left out: the plate that it stands on.
    pub floor: f64,
    /// Cell, mm.
    pub cell: f64,
}

/// A mesh as heights over its floor, about the origin.
///
/// A height is that of the topmost triangle over the middle of a cell, exact: a faceted copy of a
/// smooth solid lies within the facets' own sagitta of it.
///
/// # Errors
/// If the mesh has no extent in plan or the crop leaves nothing.
pub fn mesh_field(name: &str, mesh: &Triangles, how: &MeshUse) -> Result<Grid, Diagnostic> {
    let turn = |p: &Point3| match how.up {
        UpAxis::X => point3(p.y, p.z, p.x),
        UpAxis::Y => point3(p.x, -p.z, p.y),
        UpAxis::Z => *p,
    };
    let all: Vec<[Point3; 3]> = mesh.all.iter().map(|t| [0, 1, 2].map(|i| turn(&t[i]))).collect();
    let mut bounds = crate::geometry::Box3::EMPTY;
    for p in all.iter().flatten() {
        bounds = bounds.with(*p);
    }
    let size = bounds.size();
    let kept = [1.0 - how.crop[0] - how.crop[2], 1.0 - how.crop[1] - how.crop[3]];
    let wide = [size.x * kept[0], size.y * kept[1]];
    if !(kept[0] > 0.0 && kept[1] > 0.0) {
        return Err(Diagnostic::error(format!(
            "{name}: nothing is left of the mesh after the crop"
        ))
        .key("crop")
        .help("left and right together less than 1, and so front and back"));
    }
    if size.x.max(size.y).max(size.z) <= 0.0 {
        return Err(Diagnostic::error(format!("{name}: all corners of the mesh lie in one place"))
            .help("save it again with its sizes: it has none in any direction"));
    }
    if !(wide[0] > 0.0 && wide[1] > 0.0) {
        return Err(Diagnostic::error(format!(
            "{name}: seen from above, the mesh is {:.3} by {:.3} of its units: nothing to carve",
            wide[0].max(0.0),
            wide[1].max(0.0)
        ))
        .help("give another `up` axis"));
    }
    let scale = how.fit.map_or(how.unit, |fit| (fit[0] / wide[0]).min(fit[1] / wide[1]));
    let tall = match how.depth {
        Some(depth) if size.z > 0.0 => depth / size.z,
        _ => scale,
    };
    let corner = point3(
        bounds.min.x + how.crop[0] * size.x,
        bounds.min.y + how.crop[1] * size.y,
        bounds.min.z + how.floor * size.z,
    );
    let extent = point(wide[0] * scale, wide[1] * scale);
    let mut field = HeightField::new(extent * -0.5, extent, how.cell, 0.0)
        .map_err(|e| Diagnostic::error(format!("{name}: {e}")))?;
    field.raw_mut().fill(f32::NEG_INFINITY);
    let place = |p: &Point3| {
        let d = *p - corner;
        point3(d.x * scale - 0.5 * extent.x, d.y * scale - 0.5 * extent.y, d.z * tall)
    };
    for t in &all {
        raise(&mut field, [place(&t[0]), place(&t[1]), place(&t[2])]);
    }
    let undercut = undercut(&field, || all.iter().map(|t| t.each_ref().map(place)));
    for z in field.raw_mut() {
        // What lies below the floor is not there.
        if *z <= 0.0 {
            *z = f32::NEG_INFINITY;
        }
    }
    Ok(Grid::new(field, false).over(undercut))
}

/// Surfaces nearer than this to what is seen from above are the same one, mm: facets of a smooth
/// solid, and skins of a scan.
const SKIN: f64 = 0.2;

/// The highest hollow under an overhang: from a triangle that looks down, down to the next one
/// that looks up, or to the floor. Of a solid's triangles those that run clockwise in plan look
/// down.
fn undercut<I>(field: &HeightField, triangles: impl Fn() -> I) -> Option<Undercut>
where
    I: Iterator<Item = [Point3; 3]>,
{
    let up = |t: &[Point3; 3]| (t[1].xy() - t[0].xy()).cross(t[2].xy() - t[0].xy()) > 0.0;
    let (columns, mut roofs) = (field.columns(), Vec::new());
    for t in triangles().filter(|t| !up(t)) {
        cells(field, t, |i, j, z| {
            if z > SKIN && f64::from(field.row(j)[i]) - z > SKIN {
                roofs.push((j * columns + i, z as f32));
            }
        });
    }
    if roofs.is_empty() {
        return None;
    }
    roofs.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut under = vec![0.0_f32; roofs.len()];
    for t in triangles().filter(up) {
        cells(field, t, |i, j, z| {
            let (cell, z) = (j * columns + i, z as f32);
            let first = roofs.partition_point(|r| r.0 < cell || (r.0 == cell && r.1 < z));
            for k in (first..roofs.len()).take_while(|k| roofs[*k].0 == cell) {
                under[k] = under[k].max(z);
            }
        });
    }
    let highs = roofs.iter().zip(under).map(|(roof, under)| (roof.0, f64::from(roof.1 - under)));
    let highs = highs.filter(|(_, high)| *high > SKIN);
    let (cell, high) = highs.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
    Some(Undercut { at: field.middle(cell % columns, cell / columns), high })
}

/// Raises the cells under a triangle to it.
fn raise(field: &mut HeightField, t: [Point3; 3]) {
    let stride = field.stride();
    let mut found = Vec::new();
    cells(field, t, |i, j, z| found.push((j * stride + i, z as f32)));
    for (k, z) in found {
        let height = &mut field.raw_mut()[k];
        *height = height.max(z);
    }
}

/// The cells under or over a triangle, by column and row, with its height there.
fn cells(field: &HeightField, t: [Point3; 3], mut take: impl FnMut(usize, usize, f64)) {
    let [a, b, c] = t;
    let twice = (b.xy() - a.xy()).cross(c.xy() - a.xy());
    // Upright triangles are seen edge on.
    if twice.abs() < 1e-12 {
        return;
    }
    let least = |f: fn(f64, f64) -> f64, v: [f64; 3]| f(f(v[0], v[1]), v[2]);
    let rows = field.rows_in(least(f64::min, [a.y, b.y, c.y]), least(f64::max, [a.y, b.y, c.y]));
    let columns =
        field.columns_in(least(f64::min, [a.x, b.x, c.x]), least(f64::max, [a.x, b.x, c.x]));
    // A hair beyond the edges: a cell on an edge between two triangles belongs to both.
    let hair = -1e-9;
    for j in rows {
        for i in columns.clone() {
            let p = field.middle(i, j);
            let u = (b.xy() - p).cross(c.xy() - p) / twice;
            let v = (c.xy() - p).cross(a.xy() - p) / twice;
            let w = 1.0 - u - v;
            if u >= hair && v >= hair && w >= hair {
                take(i, j, u * a.z + v * b.z + w * c.z);
            }
        }
    }
}
