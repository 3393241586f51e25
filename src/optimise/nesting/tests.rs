//! Layouts of invented pieces, and the mesh of teeth against exact contact.

use super::no_fit_slice::NoFitSlicer;
use super::{
    Capacity, Effort, Fault, Nesting, NestingError, PairMesh, Piece, Placed, Problem, Rotations,
    SheetLayout, SheetSize, Teeth, distance,
};
use crate::geometry::{Bounds, Placement, Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Lays pieces as they come.
fn nest(
    pieces: &[Piece],
    sheet: &SheetSize,
    spacing: f64,
    effort: Effort,
) -> Result<Nesting, NestingError> {
    super::nest(&Problem::new(pieces.to_vec(), sheet.clone(), spacing)?, effort)
}

fn capacity(piece: &Piece, sheet: &SheetSize, spacing: f64, effort: Effort) -> Capacity {
    super::capacity(&Problem::new(vec![piece.clone()], sheet.clone(), spacing).unwrap(), effort)
}

fn check(
    pieces: &[Piece],
    sheet: &SheetSize,
    spacing: f64,
    placed: &[Placed],
) -> Result<(), Fault> {
    super::check(&Problem::new(pieces.to_vec(), sheet.clone(), spacing).unwrap(), placed)
}

const PLAIN: Effort = Effort { level: 0, seed: 7 };

fn rectangle(length: f64, width: f64) -> Vec<Point> {
    [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

/// An L of arms 40 long and 10 wide.
fn ell() -> Vec<Point> {
    let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)];
    corners.map(|(x, y)| Point::new(x, y)).to_vec()
}

fn piece(outline: Vec<Point>, count: usize, rotations: Rotations) -> Piece {
    Piece { outline, count, rotations }
}

fn sheet(length: f64, width: f64) -> SheetSize {
    SheetSize { length, width, margin: 5.0, keep_out: Vec::new() }
}

fn at(piece: usize, x: f64, y: f64, angle: f64) -> Placed {
    Placed { piece, placement: Placement::new(Vector::new(x, y), angle) }
}

/// A stringer of four treads in the frame of its board.
fn stringer(teeth: Teeth) -> Vec<Point> {
    let Teeth { rise, run, board, first } = teeth;
    let pitch = rise.atan2(run);
    let under = board / pitch.cos();
    let lower = Point::new(4.0 * run, first + 4.0 * rise - under);
    let mut points = vec![Point::origin(), Point::new((under - first) * run / rise, 0.0), lower];
    for k in (0..4).rev() {
        let y = first + f64::from(k) * rise;
        points.extend([Point::new(f64::from(k + 1) * run, y), Point::new(f64::from(k) * run, y)]);
    }
    points.iter().map(|p| Placement::rotation(-pitch) * p).collect()
}

#[test]
fn the_figures_of_a_meshed_pair_agree_with_exact_contact() {
    let mut random = oorandom::Rand64::new(11);
    let mut between = |low: f64, high: f64| low + (high - low) * random.rand_float();
    for _ in 0..25 {
        let teeth = Teeth {
            rise: between(150.0, 200.0),
            run: between(230.0, 300.0),
            board: between(235.0, 350.0),
            first: between(110.0, 200.0),
        };
        let spacing = between(2.0, 20.0);
        let mesh = PairMesh::of(teeth, spacing);
        let a = stringer(teeth);
        let b: Vec<Point> = a.iter().map(|p| Point::new(-p.x, -p.y)).collect();
        let box_of = |ring: &[Point]| Bounds::around(ring.iter().copied()).unwrap();
        let (box_a, box_b) = (box_of(&a), box_of(&b));
        let seats = NoFitSlicer::along_y(&a, &b, spacing).seats();
        let off = |(x, y): &(f64, f64)| {
            let slip = (x + box_b.min.x - box_a.min.x - mesh.slip).rem_euclid(mesh.tooth);
            let width = y + box_b.max.y - box_a.min.y;
            (width - mesh.width).abs().max(slip.min(mesh.tooth - slip))
        };
        let nearest = seats.iter().min_by(|p, q| off(p).total_cmp(&off(q))).unwrap();
        assert!(off(nearest) < 1e-6, "{teeth:?}, spacing {spacing}: off by {}", off(nearest));
        let moved: Vec<Point> = b.iter().map(|p| p + Vector::new(nearest.0, nearest.1)).collect();
        assert!((distance(&a, &moved) - spacing).abs() < 1e-6);
    }
}

#[test]
fn a_slip_off_the_seat_brings_teeth_nearer_than_the_spacing() {
    // Figures of a measured pair, in inches: 17.196 wide at slip 3.224.
    let teeth = Teeth { rise: 7.0, run: 10.5, board: 11.25, first: 6.0 };
    let mesh = PairMesh::of(teeth, 0.375);
    assert!((mesh.width - 17.196).abs() < 5e-4 && (mesh.slip - 3.224).abs() < 5e-4);
    assert!((mesh.stack_width(5, 11.25, 0.375) - 46.39).abs() < 5e-3);
    assert!((mesh.stack_width(6, 11.25, 0.375) - 52.34).abs() < 5e-3);
    let a = stringer(teeth);
    let moved = |slip: f64| -> Vec<Point> {
        let right = a.iter().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
        let low = a.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        a.iter().map(|p| Point::new(right + slip - p.x, mesh.width + 2.0 * low - p.y)).collect()
    };
    assert!((distance(&a, &moved(mesh.slip)) - 0.375).abs() < 1e-9);
    assert!((distance(&a, &moved(3.203)) - 0.363).abs() < 1e-3);
}

#[test]
fn a_layout_with_overlap_or_too_little_spacing_is_caught() {
    let pieces = [piece(rectangle(100.0, 20.0), 2, Rotations::Half)];
    let sheet = sheet(300.0, 100.0);
    let second = |x: f64, y: f64| [at(0, 5.0, 5.0, 0.0), at(0, x, y, 0.0)];
    assert_eq!(check(&pieces, &sheet, 6.0, &second(111.0, 5.0)), Ok(()));
    assert_eq!(check(&pieces, &sheet, 6.0, &second(50.0, 15.0)), Err(Fault::Near(0, 1, 0.0)));
    assert_eq!(
        check(&pieces, &sheet, 6.0, &second(5.0, 5.0)),
        Err(Fault::Near(0, 1, 0.0)),
        "one on the other"
    );
    assert!(
        matches!(check(&pieces, &sheet, 6.0, &second(110.9, 5.0)), Err(Fault::Near(0, 1, d)) if d > 5.0)
    );
    assert_eq!(check(&pieces, &sheet, 6.0, &second(196.0, 5.0)), Err(Fault::Outside(1)));
    assert_eq!(check(&pieces, &sheet, 6.0, &[at(0, 50.0, 5.0, 0.3)]), Err(Fault::Rotated(0)));
    assert_eq!(check(&pieces, &sheet, 6.0, &[at(1, 5.0, 5.0, 0.0)]), Err(Fault::Unknown(0)));
}

#[test]
fn a_small_piece_in_the_middle_of_a_large_one_is_caught() {
    let pieces = [
        piece(rectangle(90.0, 90.0), 1, Rotations::Half),
        piece(rectangle(2.0, 2.0), 1, Rotations::Half),
    ];
    let lying = [at(0, 5.0, 5.0, 0.0), at(1, 50.0, 50.0, 0.0)];
    assert_eq!(check(&pieces, &sheet(100.0, 100.0), 1.0, &lying), Err(Fault::Near(0, 1, 0.0)));
}

#[test]
fn nothing_lies_on_what_is_kept_out_and_the_rest_of_the_sheet_is_used() {
    let clamp = Bounds { min: Point::new(95.0, 0.0), max: Point::new(105.0, 40.0) };
    let sheet = SheetSize { keep_out: vec![clamp], ..sheet(200.0, 60.0) };
    let pieces = [piece(rectangle(40.0, 20.0), 6, Rotations::Half)];
    assert_eq!(check(&pieces, &sheet, 5.0, &[at(0, 60.0, 10.0, 0.0)]), Err(Fault::KeptOut(0)));
    let nest = nest(&pieces, &sheet, 5.0, PLAIN).unwrap();
    assert!(nest.sheets.iter().all(|s| check(&pieces, &sheet, 5.0, &s.placed) == Ok(())));
    assert_eq!(nest.sheets.iter().map(|s| s.times * s.placed.len()).sum::<usize>(), 6);
    assert!(nest.sheets[0].placed.len() >= 4, "{} beside a clamp", nest.sheets[0].placed.len());
}

#[test]
fn what_cannot_be_laid_is_told_apart() {
    let fits = |outline: Vec<Point>, sheet: &SheetSize, spacing: f64| {
        nest(
            &[piece(rectangle(10.0, 10.0), 1, Rotations::Half), piece(outline, 1, Rotations::Half)],
            sheet,
            spacing,
            PLAIN,
        )
        .err()
    };
    assert_eq!(
        fits(rectangle(91.0, 10.0), &sheet(100.0, 100.0), 1.0),
        Some(NestingError::TooLarge(1))
    );
    assert_eq!(fits(rectangle(90.0, 10.0), &sheet(100.0, 100.0), 1.0), None);
    assert_eq!(
        fits(rectangle(10.0, -10.0), &sheet(100.0, 100.0), 1.0),
        Some(NestingError::NoPolygon(1))
    );
    assert_eq!(fits(rectangle(9.0, 9.0), &sheet(10.0, 100.0), 1.0), Some(NestingError::NoSheet));
    assert_eq!(
        fits(rectangle(9.0, 9.0), &sheet(100.0, 100.0), f64::NAN),
        Some(NestingError::NoSheet)
    );
    let covered = Bounds { min: Point::new(0.0, 0.0), max: Point::new(100.0, 100.0) };
    let covered = SheetSize { keep_out: vec![covered], ..sheet(100.0, 100.0) };
    assert_eq!(fits(rectangle(9.0, 9.0), &covered, 1.0), Some(NestingError::Covered));
}

#[test]
fn under_grain_pieces_lie_at_half_turns_only() {
    let nest =
        nest(&[piece(ell(), 20, Rotations::Half)], &sheet(200.0, 130.0), 3.0, PLAIN).unwrap();
    for one in nest.sheets.iter().flat_map(|s| &s.placed) {
        let halves = one.placement.rotation.angle() / PI;
        assert!((halves - halves.round()).abs() < 1e-9);
    }
}

#[test]
fn quarter_turns_are_used_where_they_help() {
    let upright = capacity(
        &piece(rectangle(80.0, 30.0), 1, Rotations::Half),
        &sheet(123.0, 90.0),
        3.0,
        PLAIN,
    );
    let turned = capacity(
        &piece(rectangle(80.0, 30.0), 1, Rotations::Quarter),
        &sheet(123.0, 90.0),
        3.0,
        PLAIN,
    );
    assert_eq!((upright.best.len(), turned.best.len()), (2, 3));
    let quarter = |l: &Placed| (l.placement.rotation.angle().abs() - FRAC_PI_2).abs() < 1e-9;
    assert!(turned.best.iter().any(quarter));
    assert!(turned.proven && turned.bound == Some(3));
}

#[test]
fn the_same_problem_gives_the_same_nesting() {
    let pieces =
        [piece(ell(), 4, Rotations::Quarter), piece(rectangle(25.0, 12.0), 5, Rotations::Half)];
    let laid = || format!("{:?}", nest(&pieces, &sheet(110.0, 80.0), 3.0, PLAIN).unwrap());
    assert_eq!(laid(), laid());
}

#[test]
fn mixed_kinds_are_all_laid_and_no_sheet_is_invalid() {
    let pieces =
        [piece(ell(), 5, Rotations::Quarter), piece(rectangle(25.0, 12.0), 12, Rotations::Half)];
    let sheet = sheet(110.0, 90.0);
    let nest = nest(&pieces, &sheet, 3.0, PLAIN).unwrap();
    for (kind, wanted) in pieces.iter().enumerate() {
        let laid = |s: &SheetLayout| s.times * s.placed.iter().filter(|l| l.piece == kind).count();
        assert_eq!(nest.sheets.iter().map(laid).sum::<usize>(), wanted.count);
    }
    assert!(nest.sheets.iter().all(|s| check(&pieces, &sheet, 3.0, &s.placed) == Ok(())));
    let figures = nest.figures;
    assert!(
        figures.bound_sheets <= figures.sheets
            && figures.sheets <= figures.sheets_by_boxes.unwrap()
    );
}

#[test]
fn ten_thousand_copies_are_two_layouts_and_the_last_leaves_a_remnant() {
    let pieces = [piece(rectangle(100.0, 30.0), 10_003, Rotations::Half)];
    let nest = nest(&pieces, &sheet(325.0, 80.0), 5.0, PLAIN).unwrap();
    assert_eq!(
        nest.sheets.iter().map(|s| (s.times, s.placed.len())).collect::<Vec<_>>(),
        [(1667, 6), (1, 1)]
    );
    assert!(nest.figures.proven, "{:?}", nest.figures);
    assert!((nest.figures.yield_share - 10_003.0 * 3000.0 / (1668.0 * 325.0 * 80.0)).abs() < 1e-12);
    let remnant = nest.sheets[1].remnant;
    assert!(
        (remnant.width() - 215.0).abs() < 1e-6 && (remnant.height() - 80.0).abs() < 1e-6,
        "{remnant:?}"
    );
}

#[test]
fn spacing_zero_and_a_sheet_just_large_enough_work() {
    let exact = capacity(
        &piece(rectangle(90.0, 20.0), 1, Rotations::Half),
        &sheet(100.0, 30.0),
        0.0,
        PLAIN,
    );
    assert_eq!(exact.best.len(), 1);
    let nothing = nest(&[], &sheet(100.0, 30.0), 0.0, PLAIN).unwrap();
    assert!(nothing.sheets.is_empty() && nothing.figures.sheets == 0);
}
