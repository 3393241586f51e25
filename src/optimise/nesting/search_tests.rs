use std::f64::consts::{FRAC_PI_2, PI};

use approx::assert_relative_eq;
use geo::{Distance, Euclidean, LineString, Polygon};
use oorandom::Rand64;

use super::convex::{convex_parts, doubled_area};
use super::{
    Effort, NestingError, NoFitPolygon, Piece, Placed, Problem, Rotations, SheetSize, beam_search,
    distance, overlap_removal,
};
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::units::MM_PER_INCH;

/// Of pieces that make a problem.
fn problem(pieces: &[Piece], sheet: &SheetSize, spacing: f64) -> Problem {
    Problem::new(pieces.to_vec(), sheet.clone(), spacing).unwrap()
}

fn beam_search(pieces: &[Piece], sheet: &SheetSize, spacing: f64) -> Vec<Placed> {
    beam_search::fill(&problem(pieces, sheet, spacing), QUICK)
}

fn overlap_removal(
    piece: &Piece,
    copies: usize,
    sheet: &SheetSize,
    spacing: f64,
) -> Option<Vec<Placed>> {
    overlap_removal::fill(&problem(std::slice::from_ref(piece), sheet, spacing), 0, copies, QUICK)
}

const QUICK: Effort = Effort { level: 0, seed: 1 };

/// A stringer with the measures of the design's example, along X: rise 7, run 10-1/2, board 11-1/4,
/// first riser cut 6 in.
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

/// A simple polygon that a ray from its middle leaves once, with deep notches.
fn star(random: &mut Rand64, corners: usize) -> Vec<Point> {
    let spoke = |k: usize, random: &mut Rand64| {
        let angle = (k as f64 + 0.8 * random.rand_float()) * 2.0 * PI / corners as f64;
        let out = 10.0 + 90.0 * random.rand_float();
        Point::new(out * angle.cos(), out * angle.sin())
    };
    (0..corners).map(|k| spoke(k, random)).collect()
}

fn rectangle(length: f64, width: f64) -> Vec<Point> {
    [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)].map(|(x, y)| Point::new(x, y)).into()
}

/// Two legs at a right angle.
fn angle_piece() -> Vec<Point> {
    [(0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (80.0, 80.0), (80.0, 200.0), (0.0, 200.0)]
        .map(|(x, y)| Point::new(x, y))
        .into()
}

fn polygon(outline: &[Point], moved: Vector) -> Polygon {
    let ring: LineString = outline.iter().map(|p| (p.x + moved.x, p.y + moved.y)).collect();
    Polygon::new(ring, Vec::new())
}

fn sheet(length: f64, width: f64, keep_out: Vec<Bounds>) -> SheetSize {
    SheetSize { length, width, margin: 12.0, keep_out }
}

fn piece(outline: Vec<Point>, count: usize, rotations: Rotations) -> Piece {
    Piece { outline, count, rotations }
}

/// Holds a layout against distances by a library that the search does not use.
fn assert_valid(pieces: &[Piece], lying: &[Placed], sheet: &SheetSize, spacing: f64) {
    let laid: Vec<Vec<Point>> = lying
        .iter()
        .map(|l| pieces[l.piece].outline.iter().map(|p| l.placement * p).collect())
        .collect();
    for (i, outline) in laid.iter().enumerate() {
        let b = Bounds::around(outline.iter().copied()).unwrap();
        assert!(b.min.x.min(b.min.y) >= sheet.margin - 1e-9, "{b:?}");
        assert!(
            b.max.x <= sheet.length - sheet.margin + 1e-9
                && b.max.y <= sheet.width - sheet.margin + 1e-9,
            "{b:?}"
        );
        let this = polygon(outline, Vector::zeros());
        for other in &laid[..i] {
            let distance = Euclidean.distance(&this, &polygon(other, Vector::zeros()));
            assert!(distance >= spacing - 1e-9, "{distance}");
        }
        for k in &sheet.keep_out {
            let corners =
                [(k.min.x, k.min.y), (k.max.x, k.min.y), (k.max.x, k.max.y), (k.min.x, k.max.y)];
            let kept = Polygon::new(LineString::from(corners.to_vec()), Vec::new());
            assert!(Euclidean.distance(&this, &kept) > 0.0);
        }
    }
    for (kind, piece) in pieces.iter().enumerate() {
        assert!(lying.iter().filter(|l| l.piece == kind).count() <= piece.count);
    }
}

fn same(a: &[Placed], b: &[Placed]) -> bool {
    a.len() == b.len()
        && a.iter().zip(b).all(|(a, b)| a.piece == b.piece && a.placement == b.placement)
}

#[test]
fn convex_parts_have_the_area_of_the_whole_and_bulge_everywhere() {
    let mut random = Rand64::new(1);
    for corners in 3..20 {
        let whole = star(&mut random, corners);
        let parts = convex_parts(&whole);
        let sum: f64 = parts.iter().map(|p| doubled_area(p)).sum();
        assert_relative_eq!(sum, doubled_area(&whole), max_relative = 1e-12);
        for part in &parts {
            let hull = super::convex::Convex::hull(part.clone()).unwrap();
            assert_relative_eq!(
                doubled_area(hull.corners()),
                doubled_area(part),
                max_relative = 1e-9
            );
        }
    }
}

#[test]
fn a_no_fit_polygon_allows_what_keeps_its_distance_and_nothing_else() {
    let mut random = Rand64::new(2);
    let (mut near, mut free, mut over) = (0, 0, 0);
    for round in 0..40 {
        let (a, b) = (star(&mut random, 4 + round % 9), star(&mut random, 3 + round % 7));
        let spacing = 1.0 + 30.0 * random.rand_float();
        let no_fit = NoFitPolygon::of(&a, &b, spacing);
        for _ in 0..100 {
            let v = Vector::new(random.rand_float() - 0.5, random.rand_float() - 0.5) * 400.0;
            let distance = Euclidean.distance(&polygon(&a, Vector::zeros()), &polygon(&b, v));
            assert_eq!(no_fit.allows(v), distance >= spacing, "{v} {distance} {spacing}");
            match distance {
                d if d >= spacing => free += 1,
                d if d > 0.0 => {
                    near += 1;
                    assert_relative_eq!(no_fit.overlap(v), spacing - d, epsilon = 1e-9);
                }
                _ => {
                    over += 1;
                    assert!(no_fit.overlap(v) >= spacing - 1e-9);
                }
            }
        }
    }
    assert!(near > 100 && free > 100 && over > 100, "{near} {free} {over}");
}

#[test]
fn a_polygon_wound_the_other_way_round_has_the_same_no_fit_polygon() {
    let mut random = Rand64::new(3);
    let (a, b) = (star(&mut random, 11), star(&mut random, 8));
    let turned: Vec<Point> = a.iter().rev().copied().collect();
    let (one, other) = (NoFitPolygon::of(&a, &b, 5.0), NoFitPolygon::of(&turned, &b, 5.0));
    for _ in 0..500 {
        let v = Vector::new(random.rand_float() - 0.5, random.rand_float() - 0.5) * 400.0;
        assert_eq!(one.allows(v), other.allows(v));
    }
}

#[test]
fn contacts_keep_the_spacing_and_waste_less_than_a_hundredth_of_it() {
    let mut random = Rand64::new(4);
    for _ in 0..10 {
        let (a, b) = (star(&mut random, 9), star(&mut random, 7));
        let contacts = NoFitPolygon::of(&a, &b, 10.0).contacts();
        assert!(contacts.len() > 10);
        for v in contacts {
            let distance = Euclidean.distance(&polygon(&a, Vector::zeros()), &polygon(&b, v));
            assert!((10.0 - 1e-9..10.1).contains(&distance), "{distance}");
        }
    }
}

/// The least height of a stringer and its half turn over it, their boxes shifted against each other
/// by `slip`.
fn meshed_height(no_fit: &NoFitPolygon, a: Bounds, b: Bounds, slip: f64) -> f64 {
    let x = a.min.x - b.min.x + slip;
    let allows = |y: f64| no_fit.allows(Vector::new(x, y));
    let mut high = no_fit.reach().max.y;
    while allows(high - 0.1) {
        high -= 0.1;
    }
    let mut low = high - 0.1;
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if allows(middle) { high = middle } else { low = middle }
    }
    b.max.y + high - a.min.y
}

/// The formulas of the design's page on nesting, sheets: pair width and slip.
#[test]
fn two_stringers_mesh_at_the_width_and_the_slip_of_the_formulas() {
    let (rise, run, board, first, spacing) = (7.0_f64, 10.5_f64, 11.25_f64, 6.0_f64, 0.375_f64);
    let h = rise.hypot(run);
    let width = (2.0 * board - rise * run / h + spacing * (run + rise) / h) * MM_PER_INCH;
    let slip = ((first * rise - spacing * (run - rise)) / h).rem_euclid(h) * MM_PER_INCH;
    let a = stringer(5);
    let b: Vec<Point> = a.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    let no_fit = NoFitPolygon::of(&a, &b, spacing * MM_PER_INCH);
    let around = |o: &[Point]| Bounds::around(o.iter().copied()).unwrap();
    let height = |slip: f64| meshed_height(&no_fit, around(&a), around(&b), slip);
    assert_relative_eq!(width / MM_PER_INCH, 17.196, epsilon = 5e-4);
    assert_relative_eq!(height(slip), width, epsilon = 1e-6);
    for off in [-40.0, -5.0, -0.5, 0.5, 5.0, 40.0] {
        assert!(height(slip + off) > width + 0.01, "{off}");
    }
}

#[test]
fn distances_of_outlines_are_those_of_another_library() {
    let mut random = Rand64::new(5);
    for _ in 0..300 {
        let (a, b) = (star(&mut random, 7), star(&mut random, 5));
        let v = Vector::new(random.rand_float() - 0.5, random.rand_float() - 0.5) * 400.0;
        let moved: Vec<Point> = b.iter().map(|p| p + v).collect();
        let expected = Euclidean.distance(&polygon(&a, Vector::zeros()), &polygon(&b, v));
        assert_relative_eq!(distance(&a, &moved), expected, epsilon = 1e-9);
    }
}

#[test]
fn a_beam_search_fills_a_sheet_with_rectangles_that_leave_no_choice() {
    let pieces = [piece(rectangle(100.0, 50.0), 99, Rotations::Half)];
    let exact = sheet(
        24.0 + 3.0 * 100.0 + 2.0 * 10.0 + 1e-3,
        24.0 + 4.0 * 50.0 + 3.0 * 10.0 + 1e-3,
        vec![],
    );
    let found = beam_search(&pieces, &exact, 10.0);
    assert_valid(&pieces, &found, &exact, 10.0);
    assert_eq!(found.len(), 12);
    let short = sheet(exact.length - 0.01, exact.width, vec![]);
    assert_eq!(beam_search(&pieces, &short, 10.0).len(), 8);
}

#[test]
fn a_beam_search_gives_the_same_valid_layout_again() {
    let pieces =
        [piece(angle_piece(), 9, Rotations::Quarter), piece(stringer(2), 2, Rotations::Half)];
    let room = sheet(1100.0, 800.0, vec![]);
    let found = beam_search(&pieces, &room, 9.5);
    assert_valid(&pieces, &found, &room, 9.5);
    assert!(found.iter().any(|l| l.piece == 0) && found.iter().any(|l| l.piece == 1));
    assert!(same(&found, &beam_search(&pieces, &room, 9.5)));
}

#[test]
fn a_clamp_in_a_full_sheet_costs_the_one_piece_that_lay_there() {
    let clamp = Bounds { min: Point::new(0.0, 100.0), max: Point::new(20.0, 110.0) };
    let pieces = [piece(rectangle(100.0, 50.0), 99, Rotations::Half)];
    let full = sheet(
        24.0 + 3.0 * 100.0 + 2.0 * 10.0 + 1e-3,
        24.0 + 4.0 * 50.0 + 3.0 * 10.0 + 1e-3,
        vec![clamp],
    );
    let found = beam_search(&pieces, &full, 10.0);
    assert_valid(&pieces, &found, &full, 10.0);
    assert_eq!(found.len(), 11);
}

#[test]
fn pieces_lie_at_allowed_angles_only() {
    let room = sheet(900.0, 700.0, vec![]);
    let angles_of = |rotations: Rotations| -> Vec<f64> {
        let found = beam_search(&[piece(angle_piece(), 99, rotations)], &room, 9.5);
        found.iter().map(|l| l.placement.rotation.angle()).collect()
    };
    let is_multiple = |angle: &f64, of: f64| (angle / of - (angle / of).round()).abs() < 1e-12;
    assert!(angles_of(Rotations::Half).iter().all(|a| is_multiple(a, PI)));
    assert!(angles_of(Rotations::Quarter).iter().all(|a| is_multiple(a, FRAC_PI_2)));
}

#[test]
fn a_piece_longer_than_the_sheet_lies_at_a_tilt_if_any_turn_is_allowed() {
    let long = rectangle(600.0, 20.0);
    let room = sheet(524.0, 524.0, vec![]);
    for (rotations, count) in [(Rotations::Quarter, 0), (Rotations::Any, 1)] {
        let pieces = [piece(long.clone(), 1, rotations)];
        let found = beam_search(&pieces, &room, 9.5);
        assert_valid(&pieces, &found, &room, 9.5);
        assert_eq!(found.len(), count);
        assert_eq!(overlap_removal(&pieces[0], 1, &room, 9.5).is_some(), count == 1);
    }
}

#[test]
fn easing_overlap_comes_to_a_valid_layout_and_to_the_same_again() {
    let clamp = Bounds { min: Point::new(0.0, 200.0), max: Point::new(60.0, 260.0) };
    let room = sheet(800.0, 500.0, vec![clamp]);
    let pieces = [piece(angle_piece(), 4, Rotations::Quarter)];
    let found = overlap_removal(&pieces[0], 4, &room, 9.5).expect("four fit");
    assert_eq!(found.len(), 4);
    assert_valid(&pieces, &found, &room, 9.5);
    assert!(same(&found, &overlap_removal(&pieces[0], 4, &room, 9.5).expect("four fit")));
}

#[test]
fn easing_overlap_ends_where_the_copies_do_not_fit() {
    let room = sheet(400.0, 300.0, vec![]);
    assert!(overlap_removal(&piece(angle_piece(), 9, Rotations::Half), 3, &room, 9.5).is_none());
    assert!(overlap_removal(&piece(angle_piece(), 9, Rotations::Half), 90, &room, 9.5).is_none());
}

#[test]
fn what_is_no_polygon_is_no_problem_and_nothing_on_too_small_a_sheet() {
    let room = sheet(400.0, 300.0, vec![]);
    for outline in
        [vec![], vec![Point::new(0.0, 0.0)], vec![Point::new(0.0, 0.0), Point::new(9.0, 9.0)]]
    {
        let pieces = vec![piece(outline, 3, Rotations::Any)];
        assert_eq!(Problem::new(pieces, room.clone(), 9.5).err(), Some(NestingError::NoPolygon(0)));
    }
    let no_sheet = Problem::new(vec![], sheet(20.0, 20.0, vec![]), 9.5);
    assert_eq!(no_sheet.err(), Some(NestingError::NoSheet));
    let small = sheet(26.0, 26.0, vec![]);
    assert!(beam_search(&[piece(angle_piece(), 3, Rotations::Any)], &small, 9.5).is_empty());
    assert!(overlap_removal(&piece(angle_piece(), 3, Rotations::Any), 1, &small, 9.5).is_none());
    assert!(beam_search(&[], &room, 9.5).is_empty());
}
