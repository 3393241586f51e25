//! How many stringers the searches lay on a sheet, and in what time: run in release, by
//! `cargo test --release --test it packing -- --ignored --nocapture`.

use std::time::Instant;

use seatcut::geometry::{Placement, Point, Vector};
use seatcut::optimise::nesting::{
    Effort, Piece, Problem, Rotations, SheetSize, beam_search, overlap_removal,
};
use seatcut::units::MM_PER_INCH;

const SPACING: f64 = 0.375 * MM_PER_INCH;
const SMALL: (f64, f64) = (96.0, 48.0);
const LARGE: (f64, f64) = (120.0, 60.0);
const NORMAL: Effort = Effort { level: 2, seed: 0 };

/// Sheet, treads, turns, and the count of the design's page on nesting.
const COUNTS: &[((f64, f64), usize, Rotations, usize)] = &[
    (SMALL, 3, Rotations::Half, 10),
    (SMALL, 3, Rotations::Quarter, 12),
    (SMALL, 4, Rotations::Half, 7),
    (SMALL, 4, Rotations::Quarter, 7),
    (SMALL, 4, Rotations::Any, 8),
    (SMALL, 5, Rotations::Quarter, 5),
    (SMALL, 8, Rotations::Any, 2),
    (LARGE, 3, Rotations::Half, 18),
    (LARGE, 3, Rotations::Quarter, 19),
    (LARGE, 3, Rotations::Any, 19),
    (LARGE, 4, Rotations::Half, 12),
    (LARGE, 4, Rotations::Quarter, 14),
    (LARGE, 4, Rotations::Any, 14),
    (LARGE, 5, Rotations::Quarter, 8),
    (LARGE, 5, Rotations::Any, 10),
    (LARGE, 6, Rotations::Quarter, 6),
    (LARGE, 9, Rotations::Quarter, 6),
    (LARGE, 10, Rotations::Any, 2),
];

/// A stringer along X: rise 7, run 10-1/2, board 11-1/4, first riser cut 6 in, top tread full, no
/// notch.
fn stringer(treads: usize) -> Vec<Point> {
    let (rise, run, board, first) = (7.0_f64, 10.5_f64, 11.25_f64, 6.0_f64);
    let drop = board * rise.hypot(run) / run;
    let head = treads as f64 * run;
    let mut corners = vec![
        (0.0, 0.0),
        ((drop - first) * run / rise, 0.0),
        (head, first + rise / run * head - drop),
    ];
    for k in (0..treads).rev() {
        let tread = first + k as f64 * rise;
        corners.extend([((k + 1) as f64 * run, tread), (k as f64 * run, tread)]);
    }
    let along = Placement::new(Vector::zeros(), -(rise / run).atan());
    corners
        .into_iter()
        .map(|(x, y)| Point::from((along * Point::new(x, y)).coords * MM_PER_INCH))
        .collect()
}

fn sheet((length, width): (f64, f64)) -> SheetSize {
    let margin = 0.5 * MM_PER_INCH;
    SheetSize {
        length: length * MM_PER_INCH,
        width: width * MM_PER_INCH,
        margin,
        keep_out: Vec::new(),
    }
}

#[test]
#[ignore = "a measurement: minutes, and in release only"]
fn the_beam_search_lays_as_many_as_the_table() {
    let mut short = Vec::new();
    for &(size, treads, rotations, wanted) in COUNTS {
        let start = Instant::now();
        let pieces = vec![Piece { outline: stringer(treads), count: 99, rotations }];
        let problem = Problem::new(pieces, sheet(size), SPACING).unwrap();
        let count = beam_search::fill(&problem, NORMAL).len();
        println!(
            "beam search {size:?} n {treads} {rotations:?}: {count} of {wanted}, {:.1} s",
            start.elapsed().as_secs_f64()
        );
        if count < wanted {
            short.push((size, treads, rotations, count));
        }
    }
    assert!(short.is_empty(), "{short:?}");
}

#[test]
#[ignore = "a measurement: minutes, and in release only"]
fn overlap_removal_lays_as_many_as_the_table() {
    let mut short = Vec::new();
    for &(size, treads, rotations, wanted) in COUNTS {
        let start = Instant::now();
        let piece = Piece { outline: stringer(treads), count: 99, rotations };
        let problem = Problem::new(vec![piece], sheet(size), SPACING).unwrap();
        let is_found = overlap_removal::fill(&problem, 0, wanted, NORMAL).is_some();
        let outcome = if is_found { "found" } else { "not found" };
        println!(
            "overlap removal {size:?} n {treads} {rotations:?}: {wanted} {outcome}, {:.1} s",
            start.elapsed().as_secs_f64()
        );
        if !is_found {
            short.push((size, treads, rotations, wanted));
        }
    }
    assert!(short.is_empty(), "{short:?}");
}
