//! Words, bars, frames and crosses of the full-size pages.

use crate::geometry::{Bounds, Point, Vector};
use crate::output::page::{Item, Layer, Line, Text, Weight, corners, set_width};

/// Which way a line of text runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Runs {
    /// To the right.
    Across,
    /// Upwards.
    Up,
}

/// A line of text with capitals `height` mm high from `at`, its letters as wide as they are.
pub(super) fn text(words: &str, at: Point, height: f64, runs: Runs) -> Text {
    let turn_deg = match runs {
        Runs::Across => 0.0,
        Runs::Up => 90.0,
    };
    Text { turn_deg, ..Text::new(words, at, height).set(f64::MAX) }
}

/// The same to the right, lower where it would be wider than `room`.
pub(super) fn fitted(words: &str, at: Point, height: f64, room: f64) -> Text {
    text(
        words,
        at,
        height.min(height * room / set_width(words, height, Weight::Regular)),
        Runs::Across,
    )
}

/// A bar of a length with ticks at its ends, to the right or upwards.
pub(super) fn bar(layer: &mut Layer, at: Point, length: f64, tick: f64, runs: Runs) {
    let (along, across) = match runs {
        Runs::Across => (Vector::new(length, 0.0), Vector::new(0.0, tick)),
        Runs::Up => (Vector::new(0.0, length), Vector::new(tick, 0.0)),
    };
    let end = at + along;
    let lines = [(at, end), (at - across, at + across), (end - across, end + across)];
    layer.items.extend(lines.map(|(from, to)| Item::line(from, to, Line::Rule)));
}

/// The line round a box.
pub(super) fn frame(of: &Bounds, line: Line) -> Item {
    Item::closed(corners(of), line)
}

/// A cross with arms of a length and its name beside it.
pub(super) fn cross(layer: &mut Layer, at: Point, arm: f64, name: &str, runs: Runs) {
    for half in [Vector::new(arm, 0.0), Vector::new(0.0, arm)] {
        layer.items.push(Item::line(at - half, at + half, Line::Rule));
    }
    let beside = match runs {
        Runs::Up => at + Vector::new(-1.0, arm + 2.0),
        Runs::Across => at + Vector::new(arm + 2.0, -1.0),
    };
    layer.texts.push(text(name, beside, 2.0, runs));
}
