//! The pockets of a drawing: layer POCKET held against the sides of the pockets, or as the tool's
//! way along them.

use super::boundary::Feature;
use super::expectation::Pocket;
use super::farthest::{Farthest, TooTangled};
use super::proof::{Target, nearing, reach};
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Edge, Placement, Segment};

/// How much of what is drawn, or of what should be, is off, in mm of length: nothing where the
/// pockets are drawn right as the finished part has them.
pub(super) fn off_as_part(
    drawn: Vec<Segment>,
    pockets: &[Pocket],
    at: &Placement,
) -> Result<f64, TooTangled> {
    let wanted = pockets
        .iter()
        .flat_map(|pocket| pocket.boundary.edges().iter().map(|e| e.segment.placed(at)));
    let (drawn, wanted) = (Shape::new(drawn), Shape::new(wanted.collect()));
    Ok(beyond(&drawn, &wanted)? + beyond(&wanted, &drawn)?)
}

/// The same for the tool's way along their sides.
pub(super) fn off_as_path(
    drawn: Vec<Segment>,
    sides: &[Vec<Edge<Feature>>],
    at: &Placement,
    radius: f64,
) -> Result<f64, TooTangled> {
    let stroke = |path: &Segment| Stroke {
        path: *path,
        from_z: 0.0,
        to_z: 0.0,
        line: 0,
        work: Work::Cutting,
        off_mm: 0.0,
        energy: 1.0,
    };
    let strokes: Vec<Stroke> = drawn.iter().map(stroke).collect();
    let drawn = Shape::new(drawn);
    let (mut off, mut inside) = (0.0, vec![false; strokes.len()]);
    for pocket in sides {
        let placed =
            |edge: &Edge<Feature>| Edge { segment: edge.segment.placed(at), role: edge.role };
        let target = Target::single(pocket.iter().map(placed).collect());
        let (gouging, _) = nearing(&target, &strokes, radius)?;
        off += gouging.gouges.iter().map(|gouge| gouge.depth_mm).sum::<f64>();
        let reach = reach(&target, &drawn, radius, |_| true)?;
        off += reach
            .uncut
            .iter()
            .map(|u| (u.to - u.from) * target.edges[u.edge].segment.length())
            .sum::<f64>();
        for (known, stroke) in inside.iter_mut().zip(&strokes) {
            *known |= target.shape.holds(stroke.path.point_at(0.5));
        }
    }
    let stray = strokes.iter().zip(&inside).filter(|(_, inside)| !**inside);
    Ok(off + stray.map(|(stroke, _)| stroke.path.length()).sum::<f64>())
}

/// How much of one shape lies farther than tau from another, in mm.
fn beyond(shape: &Shape, other: &Shape) -> Result<f64, TooTangled> {
    let (mut farthest, mut all) = (Farthest::new(other), 0.0);
    for segment in &shape.segments {
        let gaps = farthest.beyond(segment, PROOF_MM)?;
        all += gaps.iter().map(|(from, to)| to - from).sum::<f64>() * segment.length();
    }
    Ok(all)
}
