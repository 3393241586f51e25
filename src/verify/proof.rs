//! The proof by distance: the tool's centre path against the boundary that it must leave.
//!
//! Left: every point of the boundary lies within R + tau of the path that goes through. Gouge: none
//! lies nearer than R - tau to any path in material, and no such path lies inside the part. Where
//! an arc's end is off its circle, the tool may run so much beside the path: that is taken off the
//! one and added to the other.

use super::boundary::Feature;
use super::farthest::{Farthest, TooTangled};
use super::limits::{FIGURE_MM, GAP_MM, MOST_PAIRS};
use super::pair::least_distance;
use super::shape::Shape;
use super::stroke::Stroke;
use crate::diagnostics::Place;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Edge, Point};

/// The boundaries of all copies on the machine, one after the other.
pub(super) struct Target {
    pub edges: Vec<Edge<Feature>>,
    pub shape: Shape,
    /// Which copy each edge belongs to.
    owners: Vec<usize>,
    /// What the copies are called; empty for the only one.
    labels: Vec<String>,
}

impl Target {
    /// The boundary of the only copy.
    pub(crate) fn single(edges: Vec<Edge<Feature>>) -> Self {
        Self::new(vec![edges], vec![String::new()])
    }

    /// The boundaries of copies and what each is called.
    pub(crate) fn new(copies: Vec<Vec<Edge<Feature>>>, labels: Vec<String>) -> Self {
        let owners = copies
            .iter()
            .enumerate()
            .flat_map(|(i, edges)| std::iter::repeat_n(i, edges.len()))
            .collect();
        let edges: Vec<Edge<Feature>> = copies.into_iter().flatten().collect();
        let shape = Shape::new(edges.iter().map(|edge| edge.segment).collect());
        Self { edges, shape, owners, labels }
    }

    /// Which copy an edge belongs to.
    pub(crate) fn owner(&self, edge: usize) -> usize {
        self.owners[edge]
    }

    /// The name of an edge, with its copy's where there are several.
    pub(crate) fn place(&self, edge: usize) -> Place {
        let role = self.edges[edge].role;
        match self.labels[self.owners[edge]].as_str() {
            "" => role.into(),
            label => Place::Part(format!("{label}, {role}")),
        }
    }

    /// What a copy is called, the only one too.
    pub(crate) fn label(&self, copy: usize) -> String {
        let label = &self.labels[copy];
        if label.is_empty() { format!("part {}", copy + 1) } else { label.clone() }
    }
}

/// The tool comes too near to one edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gouge {
    pub edge: usize,
    pub depth_mm: f64,
    pub line: usize,
}

/// A stretch of one edge, as shares, that is not reached.
#[derive(Clone, Copy, Debug)]
pub(super) struct Uncut {
    pub edge: usize,
    pub from: f64,
    pub to: f64,
}

/// What the proof found.
#[derive(Debug, Default)]
pub(super) struct Gouging {
    /// The worst of each edge that is cut into by more than the tolerance.
    pub gouges: Vec<Gouge>,
    /// The depth of the deepest, sub-tolerance figures included.
    pub deepest_mm: f64,
}

/// Holds every stretch in material against the boundary.
pub(super) fn gouging(
    target: &Target,
    strokes: &[Stroke],
    radius: f64,
) -> Result<Gouging, TooTangled> {
    let (mut found, close) = nearing(target, strokes, radius)?;
    inside(target, strokes, radius, &close, &mut found);
    Ok(found)
}

/// Where strokes come too near to the boundary, wherever else they run, and which of them do.
pub(super) fn nearing(
    target: &Target,
    strokes: &[Stroke],
    radius: f64,
) -> Result<(Gouging, Vec<bool>), TooTangled> {
    let paths = Shape::of_strokes(strokes);
    let reach = radius + paths.most_off();
    let mut found = Gouging::default();
    let (mut near, mut pairs) = (Vec::new(), 0);
    let mut close = vec![false; strokes.len()];
    for (i, edge) in target.edges.iter().enumerate() {
        paths.near(edge.segment.bounds().grown(reach), &mut near);
        pairs += near.len();
        if pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        let mut worst = Gouge { edge: i, depth_mm: 0.0, line: 0 };
        for &at in &near {
            let depth_mm =
                radius + paths.off(at) - least_distance(&edge.segment, &strokes[at].path).0;
            close[at] |= depth_mm > PROOF_MM;
            if depth_mm > worst.depth_mm {
                worst = Gouge { edge: i, depth_mm, line: strokes[at].line };
            }
        }
        found.note(worst);
    }
    Ok((found, close))
}

impl Gouging {
    fn note(&mut self, gouge: Gouge) {
        self.deepest_mm = self.deepest_mm.max(gouge.depth_mm);
        if gouge.depth_mm > PROOF_MM {
            self.gouges.push(gouge);
        }
    }
}

/// Adds the paths that lie inside a part. A path that stays away from the boundary is wholly in or
/// wholly out, and so is the next one that continues it.
fn inside(target: &Target, strokes: &[Stroke], radius: f64, close: &[bool], found: &mut Gouging) {
    let mut before: Option<(Point, bool)> = None;
    for (stroke, &is_close) in strokes.iter().zip(close) {
        let start = stroke.path.from();
        let continued = before.filter(|(end, _)| (end - start).norm() <= GAP_MM);
        let points: &[f64] = if is_close { &[0.0, 0.5, 1.0] } else { &[0.5] };
        let mut is_inside = false;
        if let (Some((_, known)), false) = (continued, is_close) {
            is_inside = known;
        } else {
            is_inside = points.iter().any(|&share| target.shape.holds(stroke.path.point_at(share)))
                || is_inside;
        }
        if is_inside {
            note_inside(target, stroke, radius, found);
        }
        before = (!is_close).then_some((stroke.path.to(), is_inside));
    }
}

fn note_inside(target: &Target, stroke: &Stroke, radius: f64, found: &mut Gouging) {
    for share in [0.0, 0.5, 1.0] {
        let p = stroke.path.point_at(share);
        if let Some((edge, distance)) = target.shape.nearest(p).filter(|_| target.shape.holds(p)) {
            found.note(Gouge { edge, depth_mm: radius + distance, line: stroke.line });
        }
    }
}

/// The stretches of the boundary that the path does not reach, and how far the rest is from its
/// tool at most.
pub(super) struct Reach {
    pub uncut: Vec<Uncut>,
    /// The most that is left within the tolerance, in mm.
    pub left_mm: f64,
}

/// Holds the boundary against the path that goes through; edges that `needs` refuses are not looked
/// at.
pub(super) fn reach(
    target: &Target,
    through: &Shape,
    radius: f64,
    needs: impl Fn(Feature) -> bool,
) -> Result<Reach, TooTangled> {
    let mut farthest = Farthest::new(through);
    let (mut uncut, mut known) = (Vec::new(), radius);
    for (i, edge) in target.edges.iter().enumerate().filter(|(_, edge)| needs(edge.role)) {
        if farthest.beyond(&edge.segment, known + FIGURE_MM)?.is_empty() {
            continue;
        }
        let gaps = farthest.beyond(&edge.segment, radius + PROOF_MM)?;
        if gaps.is_empty() {
            known = farthest.at_least(&edge.segment, known)?;
        }
        uncut.extend(gaps.into_iter().map(|(from, to)| Uncut { edge: i, from, to }));
    }
    Ok(Reach { uncut, left_mm: (known - radius).max(0.0) })
}

/// How much is left at the worst point of unaccepted stretches, in mm.
pub(super) fn left_at(
    target: &Target,
    through: &Shape,
    radius: f64,
    stretches: impl Iterator<Item = Uncut>,
) -> Result<f64, TooTangled> {
    let mut farthest = Farthest::new(through);
    let mut known = radius;
    for stretch in stretches {
        let segment = target.edges[stretch.edge].segment.piece(stretch.from, stretch.to);
        known = farthest.at_least(&segment, known)?;
    }
    Ok((known - radius).max(0.0))
}
