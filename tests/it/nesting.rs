//! How many stringers go on a sheet, against the counts that were reached before and the bounds.

use seatcut::geometry::{Bounds, Placement, Point};
use seatcut::optimise::nesting::{
    Capacity, Effort, Piece, Problem, Rotations, SheetSize, capacity, check,
};
use std::time::Instant;

const INCH: f64 = 25.4;
const SPACING: f64 = 0.375 * INCH;
const PLAIN: Effort = Effort { level: 0, seed: 1 };
const LONGER: Effort = Effort { level: 1, seed: 1 };

/// A stringer of `treads` treads in the frame of its board, in mm: r 7, g 10-1/2, W 11-1/4, first
/// riser 6 in, cut plumb at the end of its last tread. Geometry as for any flight: nose k at ((k -
/// 1) g, r1 + (k - 1) r), the lower edge W below the nose line.
fn stringer(treads: usize) -> Vec<Point> {
    let (rise, run, board, first) = (7.0, 10.5, 11.25, 6.0);
    let pitch = f64::atan2(rise, run);
    let under = board / pitch.cos();
    let head = treads as f64 * run;
    let lower = Point::new(head, first + head * rise / run - under);
    let mut points = vec![Point::new((under - first) * run / rise, 0.0), lower];
    for k in (0..treads).rev() {
        let y = first + k as f64 * rise;
        points.extend([Point::new((k + 1) as f64 * run, y), Point::new(k as f64 * run, y)]);
    }
    points.push(Point::origin());
    let turned: Vec<Point> =
        points.iter().map(|p| Placement::rotation(-pitch) * p * INCH).collect();
    let corner = Bounds::around(turned.iter().copied()).unwrap().min;
    turned.iter().map(|p| Point::from(p - corner)).collect()
}

fn sheet(width: f64, length: f64) -> SheetSize {
    SheetSize {
        length: length * INCH,
        width: width * INCH,
        margin: 0.5 * INCH,
        keep_out: Vec::new(),
    }
}

fn laid(treads: usize, rotations: Rotations, sheet: &SheetSize, effort: Effort) -> Capacity {
    let piece = Piece { outline: stringer(treads), count: 1, rotations };
    let problem = Problem::new(vec![piece], sheet.clone(), SPACING).unwrap();
    let capacity = capacity(&problem, effort);
    assert_eq!(check(&problem, &capacity.best), Ok(()));
    capacity
}

/// Sheet, treads, and what was reached before: boxes, and counts under grain, quarter turns and any
/// turn.
const REACHED: [(f64, f64, usize, [usize; 4]); 14] = [
    (48.0, 96.0, 3, [9, 10, 12, 12]),
    (48.0, 96.0, 4, [4, 7, 7, 8]),
    (48.0, 96.0, 5, [4, 5, 5, 5]),
    (48.0, 96.0, 6, [4, 5, 5, 5]),
    (48.0, 96.0, 7, [4, 5, 5, 5]),
    (48.0, 96.0, 8, [0, 0, 0, 2]),
    (60.0, 120.0, 3, [15, 18, 19, 19]),
    (60.0, 120.0, 4, [11, 12, 14, 14]),
    (60.0, 120.0, 5, [5, 8, 8, 10]),
    (60.0, 120.0, 6, [5, 6, 6, 6]),
    (60.0, 120.0, 7, [5, 6, 6, 6]),
    (60.0, 120.0, 8, [5, 6, 6, 6]),
    (60.0, 120.0, 9, [5, 6, 6, 6]),
    (60.0, 120.0, 10, [0, 0, 0, 2]),
];

#[test]
#[ignore = "minutes without optimisation; run with --release -- --ignored --nocapture"]
fn the_whole_table_of_counts() {
    for (width, length, treads, reached) in REACHED {
        for (rotations, before) in
            [Rotations::Half, Rotations::Quarter, Rotations::Any].into_iter().zip(&reached[1..])
        {
            let start = Instant::now();
            let found = laid(treads, rotations, &sheet(width, length), LONGER);
            println!(
                "{width}x{length} n {treads:2} {rotations:?}: {} of {before}, boxes {} of {}, \
                bound {:?}, proven {}, {:.2} s, {}",
                found.best.len(),
                found.boxes,
                reached[0],
                found.bound,
                found.proven,
                start.elapsed().as_secs_f64(),
                found.method
            );
            let (boxes, n) = (found.boxes, found.best.len());
            assert!(n >= *before, "{width} n {treads} {rotations:?}: {n} of {before}");
            assert!(boxes <= n && found.bound.is_some_and(|b| n <= b));
            let long_enough = treads >= if width < 50.0 { 5 } else { 6 };
            assert!(
                rotations == Rotations::Any || !long_enough || found.proven,
                "{width} n {treads} {rotations:?} is not proven"
            );
        }
    }
}

#[test]
fn stacks_reach_five_of_six_treads_under_grain_and_that_is_proven() {
    let found = laid(6, Rotations::Half, &sheet(48.0, 96.0), PLAIN);
    assert_eq!((found.best.len(), found.boxes, found.bound, found.proven), (5, 4, Some(5), true));
}

#[test]
fn a_stringer_longer_than_the_sheet_lies_at_an_angle_only() {
    let sheet = sheet(48.0, 96.0);
    assert_eq!(laid(8, Rotations::Half, &sheet, PLAIN).best.len(), 0);
    assert_eq!(laid(8, Rotations::Any, &sheet, PLAIN).best.len(), 2);
}
