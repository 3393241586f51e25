//! Sheets, bound and processor time of invented mixed orders of stringers:
//! `cargo run --release -p seatcut-benches --example mixed_orders [NAME...]`.

use oorandom::Rand64;
use seatcut_model::geometry::{Placement, Point};
use seatcut_model::units::MM_PER_INCH;
use seatcut_optimise::nesting::{Effort, Piece, Problem, Rotations, SheetSize, nest};

/// The measures of an invented stair, in inches.
#[derive(Clone, Copy)]
struct Stair {
    treads: usize,
    rise: f64,
    run: f64,
    board: f64,
    first: f64,
}

/// A stringer along X, in mm: top tread full, no notch for a plate.
fn stringer(stair: Stair) -> Vec<Point> {
    let Stair { treads, rise, run, board, first } = stair;
    let under = board * rise.hypot(run) / run;
    let head = treads as f64 * run;
    let lower = Point::new(head, first + head * rise / run - under);
    let mut corners = vec![Point::origin(), Point::new((under - first) * run / rise, 0.0), lower];
    for k in (0..treads).rev() {
        let tread = first + k as f64 * rise;
        corners.extend([((k + 1) as f64 * run), (k as f64 * run)].map(|x| Point::new(x, tread)));
    }
    let along = Placement::rotation(-(rise / run).atan());
    corners.iter().map(|p| along * p * MM_PER_INCH).collect()
}

/// The same with its teeth down.
fn turned(outline: &[Point]) -> Vec<Point> {
    outline.iter().map(|p| Point::new(-p.x, -p.y)).collect()
}

fn order(name: &str) -> Option<(Vec<Piece>, f64)> {
    let (family, rest) = name.split_at_checked(1)?;
    let (number, seed) = rest.split_once('.').unwrap_or((rest, rest));
    let (number, seed): (usize, u64) = (number.parse().ok()?, seed.parse().ok()?);
    let piece = |outline: Vec<Point>, count| Piece { outline, count, rotations: Rotations::Half };
    let mut random = Rand64::new(u128::from(seed));
    let mut about = |middle: f64, off: f64| middle + off * (2.0 * random.rand_float() - 1.0);
    let near = |about: &mut dyn FnMut(f64, f64) -> f64| Stair {
        treads: 6,
        rise: about(7.0, 0.2),
        run: about(10.5, 0.2),
        board: 13.0,
        first: about(6.0, 0.2),
    };
    let pieces = match family {
        // Near-alike, one of each; with teeth down.
        "a" => (0..number).map(|_| piece(stringer(near(&mut about)), 1)).collect(),
        "b" => (0..number).map(|_| piece(turned(&stringer(near(&mut about))), 1)).collect(),
        // Five kinds of two to six treads, as many of each; the second tight.
        "k" | "t" => (2..=6)
            .map(|treads| Stair { treads, rise: 7.0, run: 10.5, board: 11.25, first: 6.0 })
            .map(|stair| piece(stringer(stair), number))
            .collect(),
        // Different stairs, one stringer of each.
        "d" => (0..number)
            .map(|_| Stair {
                treads: about(4.5, 2.4).round() as usize,
                rise: about(7.1, 0.6),
                run: about(10.5, 0.75),
                board: 11.25,
                first: about(6.0, 0.5),
            })
            .map(|stair| piece(turned(&stringer(stair)), 1))
            .collect(),
        _ => return None,
    };
    Some((pieces, if family == "t" { 0.625 } else { 0.875 }))
}

/// Processor time of this process so far, in seconds, where the system says.
fn processor_seconds() -> f64 {
    let Ok(stat) = std::fs::read_to_string("/proc/self/stat") else { return 0.0 };
    let fields = stat.rsplit(')').next().unwrap_or_default().split_whitespace();
    let ticks: f64 = fields.skip(11).take(2).filter_map(|t| t.parse::<f64>().ok()).sum();
    ticks / 100.0
}

fn main() {
    let mut names: Vec<String> = std::env::args().skip(1).collect();
    let level = names
        .iter()
        .position(|n| n.starts_with('e'))
        .map_or(1, |at| names.remove(at)[1..].parse().expect("an effort is a number"));
    if names.is_empty() {
        names =
            ["a12", "b12", "a16", "b16", "a61", "b61", "k200", "d5", "d10", "d20", "d30", "d60"]
                .map(String::from)
                .to_vec();
    }
    for name in names {
        let Some((pieces, spacing)) = order(&name) else {
            println!("{name}: no such order");
            continue;
        };
        let sheet = SheetSize {
            length: 96.0 * MM_PER_INCH,
            width: 48.0 * MM_PER_INCH,
            margin: 0.5 * MM_PER_INCH,
            keep_out: Vec::new(),
        };
        let problem = Problem::new(pieces, sheet, spacing * MM_PER_INCH).expect("a problem");
        let (from, start) = (processor_seconds(), std::time::Instant::now());
        match nest(&problem, Effort { level, seed: 1 }) {
            Ok(nesting) => println!(
                "{name:5} {:4} sheets, {:4} at the least, boxes {:?}; {:6.2} s of CPU, {:6.2} s",
                nesting.figures.sheets,
                nesting.figures.bound_sheets,
                nesting.figures.sheets_by_boxes,
                processor_seconds() - from,
                start.elapsed().as_secs_f64(),
            ),
            Err(error) => println!("{name}: {error}"),
        }
    }
}
