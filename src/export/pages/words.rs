//! Letters as strokes on paper.

use crate::export::paper::{Pen, Run};
use crate::geometry::{Placement, Point, Vector};
use crate::lettering::{UnknownCharacter, strokes};

/// Which way a line of text runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Runs {
    /// To the right.
    Across,
    /// Upwards.
    Up,
}

/// A line of text with capitals `height` mm high from `at`.
pub(super) fn text(words: &str, at: Point, height: f64, runs: Runs) -> Result<Vec<Run>, UnknownCharacter> {
    let turn = match runs {
        Runs::Across => 0.0,
        Runs::Up => std::f64::consts::FRAC_PI_2,
    };
    let placement = Placement::new(Vector::new(at.x, at.y), turn);
    let place = |line: Vec<Point>| line.into_iter().map(|p| placement * p).collect();
    Ok(strokes(words, height)?.into_iter().map(|line| Run { points: place(line), pen: Pen::Narrow }).collect())
}

/// A line between two points.
pub(super) fn line(from: Point, to: Point, pen: Pen) -> Run {
    Run { points: vec![from, to], pen }
}

/// A bar of a length with ticks at its ends, to the right or upwards.
pub(super) fn bar(at: Point, length: f64, tick: f64, runs: Runs) -> Vec<Run> {
    let (along, across) = match runs {
        Runs::Across => (Vector::new(length, 0.0), Vector::new(0.0, tick)),
        Runs::Up => (Vector::new(0.0, length), Vector::new(tick, 0.0)),
    };
    let end = at + along;
    vec![
        line(at, end, Pen::Narrow),
        line(at - across, at + across, Pen::Narrow),
        line(end - across, end + across, Pen::Narrow),
    ]
}
