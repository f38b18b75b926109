//! The edges of one face.

use super::Side;
use super::sequence::{Phase, Task};
use crate::cuts::edge_break::{self, passes};
use crate::cuts::pen::Pen;
use crate::cuts::track::Track;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Piece};
use crate::part::features::{EdgeForm, EdgeShape, EdgeSide};
use crate::shop::{Cutter, CutterShape};

/// Places where an edge all round can be begun, evenly along it.
const STARTS: usize = 8;

/// One edge, or the edges all round. `contour` is the part's outline in its own frame.
pub(super) fn plan(
    side: &Side<'_>,
    key: &str,
    edge: &EdgeShape,
    contour: &Contour,
) -> Result<Task, Diagnostic> {
    let bench = side.bench;
    let (cutter, data) = bench.cutter(edge.cutter, &format!("{key}.cutter"))?;
    let wrong = |what: &str, message: String, help: String| {
        Diagnostic::error(message).key(format!("{}.{key}.{what}", bench.part.key)).help(help)
    };
    fits(edge, cutter).map_err(|(message, help)| wrong("cutter", message, help))?;
    let passes = passes(edge.form, edge.size.0, cutter, data.stepdown.value);
    let depth = passes.iter().map(|pass| pass.depth).fold(0.0, f64::max);
    let shown = bench.job.shown;
    if depth > cutter.flute_length.0 + 1e-6 {
        return Err(wrong(
            "size",
            format!(
                "the edge takes {} {} deep, its flutes are {} long",
                cutter.title(),
                shown.both(depth),
                shown.both(cutter.flute_length.0)
            ),
            "use a cutter with longer flutes, or a smaller edge".to_string(),
        ));
    }
    if depth > bench.stock.size().z {
        return Err(wrong(
            "size",
            format!("the cutter's tip would go {} deep, through the board", shown.both(depth)),
            "make the edge smaller, or use a smaller ball".to_string(),
        ));
    }
    let top = bench.stock.max.z;
    let mut ways = Vec::new();
    if edge.side == EdgeSide::All {
        let outline = side.contour(contour);
        let rings = edge_break::rings(&outline, &passes)
            .map_err(|why| wrong("side", why.to_string(), "check the outline".to_string()))?;
        let track = Track::new(&outline);
        for i in 0..STARTS {
            let from = track.at(track.length() * i as f64 / STARTS as f64);
            let mut pen = Pen::new(side.rules(&data));
            edge_break::around(&mut pen, &data, &rings, from, top);
            ways.push(pen.toolpath);
        }
    } else {
        let mut pen = Pen::new(side.rules(&data));
        // The cutter runs out over both ends of the side by its own width.
        let beyond = cutter.diameter.0;
        for piece in sides(contour, edge.side) {
            let mut piece = side.piece(&piece);
            if side.face == crate::part::features::Face::Bottom {
                piece = piece.reversed();
            }
            edge_break::along(&mut pen, (cutter, &data), &piece, top, beyond, &passes);
        }
        ways.push(pen.toolpath);
    }
    Ok(Task::new(Phase::Edges, cutter, data, vec![ways]))
}

/// Whether this cutter makes such an edge; else why not, and which would.
fn fits(edge: &EdgeShape, cutter: &Cutter) -> Result<(), (String, String)> {
    let title = cutter.title();
    match (edge.form, cutter.shape) {
        (EdgeForm::Chamfer, CutterShape::V) => {
            let slope = (cutter.included_angle.0 / 2.0).tan();
            // The whole chamfer lies on the cone: the cone's top is as wide as the cutter.
            let cone = (cutter.radius() - cutter.tip_diameter.0 / 2.0) / slope;
            let whole = passes(edge.form, edge.size.0, cutter, f64::INFINITY);
            let depth = whole.iter().map(|pass| pass.depth).fold(0.0, f64::max);
            if depth > cone + 1e-6 {
                return Err((
                    format!("the cone of {title} is too small for this chamfer"),
                    "use a wider V cutter, or a smaller chamfer".to_string(),
                ));
            }
            Ok(())
        }
        (EdgeForm::Chamfer, _) => {
            Err((format!("{title} cuts no chamfer"), "use a V cutter".to_string()))
        }
        (EdgeForm::Roundover, CutterShape::Ball) => Ok(()),
        (EdgeForm::Roundover, _) => {
            Err((format!("{title} cuts no roundover"), "use a ball cutter".to_string()))
        }
    }
}

/// The pieces of an outline on one side, counter-clockwise.
pub(super) fn sides(contour: &Contour, side: EdgeSide) -> Vec<Piece> {
    let (low, high) = contour.bounds().unwrap_or_default();
    let touches = |value: f64, end: f64| (value - end).abs() < 1e-6;
    let lies = |p: &Piece| match side {
        EdgeSide::All => true,
        EdgeSide::Left => touches(p.from.x, low.x) && touches(p.to.x, low.x),
        EdgeSide::Right => touches(p.from.x, high.x) && touches(p.to.x, high.x),
        EdgeSide::Near => touches(p.from.y, low.y) && touches(p.to.y, low.y),
        // The far side of a cap bows: all that runs against x.
        EdgeSide::Far => p.from.x > p.to.x + 1e-6 && !touches(p.at(0.5).y, low.y),
    };
    contour.pieces().filter(lies).collect()
}
