//! Several kinds on sheets: invented pieces, counts that are known, and bounds held against what
//! was laid.

use super::{
    BoundBy, Effort, Nesting, NestingError, Piece, Problem, Rotations, SheetLayout, SheetSize,
    Watch, check, nest, nest_watched,
};
use crate::geometry::Point;

fn rectangle(length: f64, width: f64) -> Vec<Point> {
    [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

/// A strip with `treads` teeth, 40 long and 25 high each, on a straight back.
fn toothed(treads: usize) -> Vec<Point> {
    let length = 40.0 * treads as f64;
    let mut points = vec![Point::new(0.0, 0.0), Point::new(length, 0.0), Point::new(length, 30.0)];
    for k in (0..treads).rev() {
        let x = 40.0 * k as f64;
        points.extend([Point::new(x + 30.0, 55.0), Point::new(x, 30.0)]);
    }
    points
}

fn piece(outline: Vec<Point>, count: usize) -> Piece {
    Piece { outline, count, rotations: Rotations::Half }
}

fn problem(pieces: &[Piece], length: f64, width: f64, spacing: f64) -> Problem {
    let sheet = SheetSize { length, width, margin: 5.0, keep_out: Vec::new() };
    Problem::new(pieces.to_vec(), sheet, spacing).unwrap()
}

fn at(level: u32) -> Effort {
    Effort { level, seed: 1 }
}

fn used(nesting: &Nesting) -> usize {
    nesting.sheets.iter().map(|sheet| sheet.times).sum()
}

/// All pieces are laid, just so often as asked, and every sheet passes the check.
fn assert_laid(problem: &Problem, nesting: &Nesting) {
    for (kind, wanted) in problem.pieces().iter().enumerate() {
        let laid = |s: &SheetLayout| s.times * s.placed.iter().filter(|p| p.piece == kind).count();
        assert_eq!(nesting.sheets.iter().map(laid).sum::<usize>(), wanted.count, "kind {kind}");
    }
    for sheet in &nesting.sheets {
        assert_eq!(check(problem, &sheet.placed), Ok(()));
    }
    assert_eq!(used(nesting), nesting.figures.sheets);
    assert!(nesting.figures.bound_sheets <= nesting.figures.sheets, "{:?}", nesting.figures);
}

/// Strips of which a long and a short one fill a sheet's width: long ones alone waste a third.
#[test]
fn small_pieces_are_kept_for_the_gaps_of_the_large_ones() {
    // 90 wide within the margin: one of 58 and one of 30 with 2 between.
    let pieces = [piece(rectangle(90.0, 58.0), 60), piece(rectangle(90.0, 30.0), 60)];
    let problem = problem(&pieces, 100.0, 100.0, 2.0);
    let nesting = nest(&problem, at(0)).unwrap();
    assert_laid(&problem, &nesting);
    assert_eq!((used(&nesting), nesting.figures.proven), (60, true), "{:?}", nesting.figures);
}

/// Three of 44 to two sheets would be their area; no sheet holds two of them beside anything.
#[test]
fn a_bound_counts_whole_pieces_and_says_so() {
    let pieces = [piece(rectangle(90.0, 50.0), 20), piece(rectangle(90.0, 52.0), 20)];
    let problem = problem(&pieces, 100.0, 100.0, 2.0);
    let nesting = nest(&problem, at(0)).unwrap();
    assert_laid(&problem, &nesting);
    let figures = nesting.figures;
    assert_eq!((figures.sheets, figures.bound_sheets, figures.proven), (40, 40, true));
    assert_eq!((figures.bound_by, figures.sheets_by_boxes), (BoundBy::Layouts, Some(40)));
}

#[test]
fn boxes_are_counted_packed_together() {
    // Alone each kind would take a sheet of its own.
    let pieces: Vec<Piece> =
        (1..=6).map(|k| piece(rectangle(40.0 + f64::from(k), 20.0), 1)).collect();
    let problem = problem(&pieces, 110.0, 90.0, 2.0);
    let nesting = nest(&problem, at(0)).unwrap();
    assert_laid(&problem, &nesting);
    assert_eq!((used(&nesting), nesting.figures.sheets_by_boxes), (1, Some(1)));
}

fn toothed_order(seed: u128) -> Problem {
    let mut random = oorandom::Rand64::new(seed);
    let mut drawn = |most: u64| 1 + random.rand_range(0..most) as usize;
    let pieces: Vec<Piece> = (1..=3).map(|treads| piece(toothed(treads), drawn(9))).collect();
    problem(&pieces, 200.0, 150.0, 4.0)
}

#[test]
fn more_effort_never_takes_more_sheets_and_no_bound_is_above_what_was_laid() {
    for seed in 0..4 {
        let problem = toothed_order(seed);
        let counts: Vec<usize> = (0..3)
            .map(|level| {
                let nesting = nest(&problem, at(level)).unwrap();
                assert_laid(&problem, &nesting);
                // What lies on one sheet needs no more than one, by any bound.
                for sheet in &nesting.sheets {
                    let of = |kind| sheet.placed.iter().filter(|p| p.piece == kind).count();
                    let held: Vec<usize> = (0..3).map(of).collect();
                    let alone = nest(&problem.with_counts(&held), at(0)).unwrap();
                    assert_eq!(alone.figures.bound_sheets, 1, "{held:?}");
                }
                used(&nesting)
            })
            .collect();
        assert!(counts.is_sorted_by(|a, b| a >= b), "{counts:?}");
    }
}

#[test]
fn the_answer_does_not_hang_on_the_number_of_threads() {
    let problem = toothed_order(9);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| format!("{:?}", nest(&problem, at(1)).unwrap()))
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn a_search_that_is_told_to_stop_lays_every_piece_all_the_same() {
    let problem = toothed_order(3);
    let nesting = nest_watched(&problem, at(8), &Watch::new(&|| true, &|_| ())).unwrap();
    assert_laid(&problem, &nesting);
    assert_eq!(nesting.stopped, !nesting.figures.proven);
    let told = std::sync::atomic::AtomicUsize::new(0);
    let tell = |progress: super::Progress| {
        assert!(progress.least <= progress.sheets);
        told.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
    };
    let whole = nest_watched(&problem, at(0), &Watch::new(&|| false, &tell)).unwrap();
    assert!(!whole.stopped && told.into_inner() > 0);
    assert!(used(&whole) <= used(&nesting));
}

#[test]
fn a_kind_that_goes_on_no_sheet_is_named_among_others_that_do() {
    let pieces = [piece(toothed(1), 3), piece(rectangle(300.0, 20.0), 1), piece(toothed(2), 3)];
    let refused = nest(&problem(&pieces, 200.0, 150.0, 4.0), at(0)).err();
    assert_eq!(refused, Some(NestingError::TooLarge(1)));
}
