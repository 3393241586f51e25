//! A second construction of the same path by a general library; where the two differ, features
//! interfere.

use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};

use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::Clash;
use crate::geometry::tolerance::AGREEMENT_MM;
use crate::geometry::{Contour, Point};

/// Closeness of points for the library, in mm: the equality that its authors' and our measurements
/// are good at.
const LIBRARY_EQUALITY_MM: f64 = AGREEMENT_MM;

/// Compares `path`, the parallel of `piece` at `distance` without reliefs, with the library's;
/// outside for a positive distance.
pub(super) fn disagreement<R: Copy, S: Copy>(
    piece: &Contour<R>,
    path: &Contour<S>,
    distance: f64,
) -> Option<Clash> {
    let mut polyline = Polyline::new_closed();
    for vertex in piece.vertices() {
        polyline.add(vertex.x, vertex.y, 0.0);
    }
    let options = cavalier_contours::polyline::PlineOffsetOptions {
        pos_equal_eps: LIBRARY_EQUALITY_MM,
        offset_dist_eps: 10.0 * LIBRARY_EQUALITY_MM,
        ..Default::default()
    };
    let loops = polyline.parallel_offset_opt(-distance, &options);
    let [only] = loops.as_slice() else { return Some(Clash::Ways(loops.len())) };
    let area = (only.area() - path.area()).abs();
    if area > AGREEMENT_MM * path.perimeter() {
        return Some(Clash::Area(area));
    }
    farthest_vertex(only, &path.vertices())
}

/// Walks both rings in step from the vertex nearest to the first one.
fn farthest_vertex(theirs: &Polyline<f64>, ours: &[Point]) -> Option<Clash> {
    let theirs: Vec<Point> = theirs.iter_vertexes().map(|v| Point::new(v.x, v.y)).collect();
    if theirs.len() != ours.len() {
        return Some(Clash::Corners(ours.len(), theirs.len()));
    }
    let distance = |i: &usize| (theirs[*i] - ours[0]).norm();
    let start = (0..theirs.len()).min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let rotated = theirs.iter().cycle().skip(start);
    let worst = ours.iter().zip(rotated).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
    (worst > AGREEMENT_MM).then_some(Clash::Corner(Millimetres(worst)))
}
