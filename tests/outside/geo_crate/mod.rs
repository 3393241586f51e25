//! The general geometry library `geo`: area, orientation and buffer.

use super::flight;
use crate::common::Stair;
use geo::{Area, BooleanOps, Buffer, Contains, LineString, MultiPolygon, Polygon, Winding};
use seatcut::cam::compensate::compensate;
use seatcut::geometry::{Contour, Segment};
use seatcut::stair::outline::Outline;

fn polygon<R: Copy>(contour: &Contour<R>, pieces: usize) -> Polygon<f64> {
    let along = |s: &Segment| {
        let count = if s.sweep() == 0.0 { 1 } else { pieces };
        (0..count).map(|i| s.point_at(i as f64 / count as f64)).collect::<Vec<_>>()
    };
    let points = contour.edges().iter().flat_map(|e| along(&e.segment)).map(|p| (p.x, p.y));
    Polygon::new(LineString::from_iter(points), vec![])
}

#[test]
fn an_outline_has_its_area_and_runs_counter_clockwise() {
    for risers in 2..16 {
        let stair = Stair {
            rise: format!("total = \"{} in\"\nrisers = {risers}", 7.25 * f64::from(risers)),
            ..Stair::default()
        };
        let outline = Outline::new(&flight(&stair), None).unwrap();
        let theirs = polygon(outline.contour(), 1);
        assert!((theirs.unsigned_area() - outline.contour().area()).abs() < 1e-6);
        assert!(theirs.exterior().is_ccw());
        assert!(outline.contour().is_simple_polygon());
    }
}

#[test]
fn its_buffer_and_our_path_enclose_the_same_within_its_chord_error() {
    let stair = Stair::default();
    let job = stair.job();
    let outline = Outline::new(&flight(&stair), None).unwrap();
    let path = compensate(&job, &outline).unwrap().value;
    let to_elevation = outline.to_board().inverse();
    let ours = polygon(&path.contour().placed(&to_elevation), 256);
    let theirs: MultiPolygon<f64> = polygon(outline.contour(), 1).buffer(path.radius().as_mm());
    // Inside corners are round in a true buffer's complement only; both keep them sharp. What is
    // left is the flattening of the noses' arcs: at most 1e-3 of R^2 a corner.
    let difference = theirs.xor(&MultiPolygon::from(ours)).unsigned_area();
    let corners = outline.contour().edges().len() as f64;
    assert!(difference < 2e-2 * path.radius().as_mm().powi(2) * corners, "{difference}");
    assert!(theirs.contains(&polygon(outline.contour(), 1)));
}
