//! Drawings as SVG: shapes, groups and transforms, in millimetres, y up.
//!
//! The frame's origin is the page's lower left corner. Sizes come from the page's `width`,
//! `height` and `viewBox`; a px is 1/96 in (CSS Values 3, section 6.2).

use super::curve::Curve;
use super::page::{self, Map};
use super::path_data::{self, Run, Scanner};
use super::{Drawing, MOST_SHAPES, Options, Stroke, fault};
use crate::diagnostic::{Diagnostic, Place};
use crate::geometry::{Point, point};
use resvg::usvg::roxmltree::{Document, Node, NodeId, ParsingOptions, TextPos};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Groups within groups, and uses of uses, deeper than this are a trap.
const DEEPEST: usize = 64;

/// Nodes of a document: a tracing has thousands at most.
const MOST_NODES: u32 = 1_000_000;

/// What draws nothing where it stands.
const SILENT: [&str; 14] = [
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "linearGradient",
    "radialGradient",
    "filter",
    "metadata",
    "title",
    "desc",
    "namedview",
    "style",
];

/// Reads a drawing.
///
/// # Errors
/// What cannot be read, with its place in the file.
pub(super) fn read(name: &str, text: &str, options: &Options) -> Result<Drawing, Diagnostic> {
    let parsing =
        ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, parsing).map_err(|e| {
        fault(format!("not SVG: {e}")).place(super::place(name, text, offset_of(text, e.pos())))
    })?;
    let root = document.root_element();
    let mut reader = Reader {
        name,
        text,
        options,
        document: &document,
        drawing: Drawing::default(),
        ids: BTreeMap::new(),
    };
    if root.tag_name().name() != "svg" {
        let found = root.tag_name().name();
        return Err(fault(format!("the file's first element is `{found}`, not `svg`"))
            .place(reader.place(root)));
    }
    reader.ids =
        document.descendants().filter_map(|n| Some((n.attribute("id")?, n.id()))).collect();
    let map = page::map(root, options)
        .map_err(|(message, help)| fault(message).help(help).place(reader.place(root)))?;
    reader.note_layers(root);
    reader.children(root, map, options.layer.is_none(), 0)?;
    Ok(reader.drawing)
}

/// The byte at a row and a column.
fn offset_of(text: &str, at: TextPos) -> usize {
    let rows = (at.row as usize).saturating_sub(1);
    let before: usize = text.split_inclusive('\n').take(rows).map(str::len).sum();
    before + (at.col as usize).saturating_sub(1)
}

struct Reader<'a, 'input> {
    name: &'a str,
    text: &'a str,
    options: &'a Options,
    document: &'a Document<'input>,
    drawing: Drawing,
    ids: BTreeMap<&'a str, NodeId>,
}

impl<'a, 'input> Reader<'a, 'input> {
    fn place(&self, node: Node) -> Place {
        super::place(self.name, self.text, node.range().start)
    }

    /// The names that a layer may be chosen by.
    fn note_layers(&mut self, root: Node<'a, 'input>) {
        for group in root.descendants().filter(|n| n.tag_name().name() == "g") {
            self.drawing.layers.extend(names_of(group).map(str::to_string));
        }
    }

    fn children(
        &mut self,
        node: Node<'a, 'input>,
        map: Map,
        chosen: bool,
        depth: usize,
    ) -> Result<(), Diagnostic> {
        if depth > DEEPEST {
            return Err(fault(format!("groups or uses stand {DEEPEST} deep in one another"))
                .help("ungroup the drawing")
                .place(self.place(node)));
        }
        for child in node.children().filter(Node::is_element) {
            self.element(child, map, chosen, depth)?;
        }
        Ok(())
    }

    fn element(
        &mut self,
        node: Node<'a, 'input>,
        map: Map,
        chosen: bool,
        depth: usize,
    ) -> Result<(), Diagnostic> {
        let tag = node.tag_name().name();
        if SILENT.contains(&tag) {
            return Ok(());
        }
        if is_hidden(node) {
            if chosen {
                self.skip(node, format!("hidden `{tag}`"));
            }
            return Ok(());
        }
        let map = self.moved(node, map)?;
        match tag {
            "g" | "a" | "switch" => {
                let wanted = self.options.layer.as_deref();
                let named = wanted.is_some_and(|layer| names_of(node).any(|n| n == layer));
                self.children(node, map, chosen || named, depth + 1)
            }
            "use" => self.used(node, map, chosen, depth),
            _ if !chosen => Ok(()),
            _ => self.shape(node, tag, map),
        }
    }

    /// The map with the element's own transform before it.
    fn moved(&self, node: Node, map: Map) -> Result<Map, Diagnostic> {
        let css = node.attribute("style").is_some_and(|s| s.contains("transform"));
        if css || node.has_attribute("transform-origin") {
            return Err(fault("a transform by style, or about an origin of its own, is not read")
                .help("apply the transform in the drawing program, or write it as `transform`")
                .place(self.place(node)));
        }
        let Some(text) = node.attribute("transform") else { return Ok(map) };
        page::transform(text)
            .map(|own| map * own)
            .ok_or_else(|| fault(format!("`{text}` is no transform")).place(self.place(node)))
    }

    fn used(
        &mut self,
        node: Node<'a, 'input>,
        map: Map,
        chosen: bool,
        depth: usize,
    ) -> Result<(), Diagnostic> {
        let link = node.attributes().find(|a| a.name() == "href").map_or("", |a| a.value());
        let target = link.strip_prefix('#').and_then(|id| self.ids.get(id));
        let Some(target) = target.and_then(|id| self.document.get_node(*id)) else {
            return Err(fault(format!("a `use` of `{link}`, which is not in the file"))
                .place(self.place(node)));
        };
        let by = point(self.length(node, "x", 0.0)?, self.length(node, "y", 0.0)?);
        let map = map * Map::translate((by.x, by.y));
        self.count(node)?;
        match target.tag_name().name() {
            "symbol" => self.children(target, map, chosen, depth + 1),
            _ if depth > DEEPEST => self.children(target, map, chosen, depth),
            _ => self.element(target, map, chosen, depth + 1),
        }
    }

    /// Counts what is drawn: uses of uses may ask for more than a lifetime can draw.
    fn count(&mut self, node: Node) -> Result<(), Diagnostic> {
        self.drawing.shapes += 1;
        if self.drawing.shapes <= MOST_SHAPES {
            return Ok(());
        }
        Err(fault(format!("the drawing has more than {MOST_SHAPES} shapes"))
            .help("trace less finely, or draw one part in a file")
            .place(self.place(node)))
    }

    fn skip(&mut self, node: Node, message: String) {
        self.drawing.skip(message, node.range().start);
    }

    fn shape(&mut self, node: Node<'a, 'input>, tag: &str, map: Map) -> Result<(), Diagnostic> {
        let runs = match tag {
            "path" => path_data::read(node.attribute("d").unwrap_or(""))
                .map_err(|why| fault(why).place(self.place(node)))?,
            "line" => self.line(node)?,
            "polyline" => self.poly(node, false)?,
            "polygon" => self.poly(node, true)?,
            "rect" => self.rect(node)?,
            "circle" | "ellipse" => self.ellipse(node, tag)?,
            _ => {
                self.skip(node, format!("`{tag}`"));
                return Ok(());
            }
        };
        self.count(node)?;
        let offset = node.range().start;
        for run in runs {
            let curves = run.curves.iter().map(|c| c.mapped(map)).collect();
            self.drawing.strokes.push(Stroke { curves, closed: run.closed, offset });
        }
        Ok(())
    }

    fn length(&self, node: Node, key: &str, without: f64) -> Result<f64, Diagnostic> {
        let Some(text) = node.attribute(key) else { return Ok(without) };
        page::user_length(text).ok_or_else(|| {
            fault(format!("`{text}` is no length for `{key}`"))
                .help("a number, or one with mm, cm, in, pt, pc or px")
                .place(self.place(node))
        })
    }

    fn line(&self, node: Node) -> Result<Vec<Run>, Diagnostic> {
        let end = |x, y| {
            Ok::<_, Diagnostic>(point(self.length(node, x, 0.0)?, self.length(node, y, 0.0)?))
        };
        let curves = vec![Curve::Line(end("x1", "y1")?, end("x2", "y2")?)];
        Ok(vec![Run { curves, closed: false }])
    }

    fn poly(&self, node: Node, closed: bool) -> Result<Vec<Run>, Diagnostic> {
        let mut scan = Scanner::new(node.attribute("points").unwrap_or(""));
        let mut corners = Vec::new();
        while !scan.done() {
            let pair = scan.number().zip(scan.number()).ok_or_else(|| {
                fault(format!("`{}` stands where a point belongs", scan.rest()))
                    .place(self.place(node))
            })?;
            corners.push(point(pair.0, pair.1));
        }
        if closed {
            corners.extend(corners.first().copied());
        }
        let curves = corners.windows(2).map(|w| Curve::Line(w[0], w[1])).collect();
        Ok(vec![Run { curves, closed }])
    }

    fn ellipse(&self, node: Node, tag: &str) -> Result<Vec<Run>, Diagnostic> {
        let center = point(self.length(node, "cx", 0.0)?, self.length(node, "cy", 0.0)?);
        let (rx, ry) = if tag == "circle" {
            let r = self.length(node, "r", 0.0)?;
            (r, r)
        } else {
            (self.length(node, "rx", 0.0)?, self.length(node, "ry", 0.0)?)
        };
        // A radius of zero draws nothing (section 9.3).
        if rx <= 0.0 || ry <= 0.0 {
            return Ok(Vec::new());
        }
        let (u, v) = (point(rx, 0.0), point(0.0, ry));
        Ok(vec![Run {
            curves: vec![Curve::Ellipse { center, u, v, start: 0.0, sweep: TAU }],
            closed: true,
        }])
    }

    fn rect(&self, node: Node) -> Result<Vec<Run>, Diagnostic> {
        let at = point(self.length(node, "x", 0.0)?, self.length(node, "y", 0.0)?);
        let (w, h) = (self.length(node, "width", 0.0)?, self.length(node, "height", 0.0)?);
        if w <= 0.0 || h <= 0.0 {
            return Ok(Vec::new());
        }
        // One radius serves for both, and none is more than half the side (section 9.2).
        let (rx, ry) = (node.has_attribute("rx"), node.has_attribute("ry"));
        let mut r = (self.length(node, "rx", 0.0)?, self.length(node, "ry", 0.0)?);
        r = if rx { (r.0, if ry { r.1 } else { r.0 }) } else { (r.1, r.1) };
        Ok(vec![rounded(at, (w, h), (r.0.clamp(0.0, w / 2.0), r.1.clamp(0.0, h / 2.0)))])
    }
}

/// A rectangle with quarters of ellipses for corners.
fn rounded(at: Point, size: (f64, f64), r: (f64, f64)) -> Run {
    let (low, high) = (at, at + point(size.0, size.1));
    let square = r.0 <= 0.0 || r.1 <= 0.0;
    let (rx, ry) = if square { (0.0, 0.0) } else { r };
    // Each corner's middle, and where its quarter begins, travelling with y down.
    let corners = [
        (point(high.x - rx, low.y + ry), -0.25),
        (point(high.x - rx, high.y - ry), 0.0),
        (point(low.x + rx, high.y - ry), 0.25),
        (point(low.x + rx, low.y + ry), 0.5),
    ];
    let on = |(center, turn): (Point, f64)| {
        let (sin, cos) = (turn * TAU).sin_cos();
        center + point(rx * cos, ry * sin)
    };
    let mut curves = Vec::new();
    for (i, &(center, turn)) in corners.iter().enumerate() {
        if !square {
            let (u, v) = (point(rx, 0.0), point(0.0, ry));
            curves.push(Curve::Ellipse { center, u, v, start: turn * TAU, sweep: TAU / 4.0 });
        }
        let next = corners[(i + 1) % 4];
        let line = Curve::Line(on((center, turn + 0.25)), on(next));
        if !matches!(line, Curve::Line(a, b) if a.distance(b) < 1e-12) {
            curves.push(line);
        }
    }
    Run { curves, closed: true }
}

/// What a group may be called by: its `id`, and a `label` of any name space.
fn names_of<'a>(node: Node<'a, '_>) -> impl Iterator<Item = &'a str> {
    node.attributes().filter(|a| matches!(a.name(), "id" | "label")).map(|a| a.value())
}

fn is_hidden(node: Node) -> bool {
    let style: String = node.attribute("style").unwrap_or("").split_whitespace().collect();
    node.attribute("display") == Some("none")
        || node.attribute("visibility") == Some("hidden")
        || style.contains("display:none")
        || style.contains("visibility:hidden")
}
