//! Words, bars, frames and crosses of the full-size pages.

use crate::geometry::{Bounds, Point, Vector};
use crate::output::drawing::passes;
use crate::output::page::{Item, Layer, Line, Text, Weight, corners, set_width};

/// Height of the letters of a cross's name, what is free round it, in mm, and how many places it
/// looks for one at.
const NAME_MM: f64 = 2.0;
const NAME_FREE_MM: f64 = 0.8;
const NAME_PLACES: u32 = 10;

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

/// A cross with arms of a length and its name beside it, where it lies on nothing that is drawn
/// already: behind the cross or before it along the joint, nearest first.
pub(super) fn cross(layer: &mut Layer, at: Point, arm: f64, name: &str, runs: Runs) {
    let wide = set_width(name, NAME_MM, Weight::Regular);
    let place = |i: u32| {
        let on = arm + 2.0 + 5.0 * f64::from(i / 2);
        let along = if i.is_multiple_of(2) { on } else { -on - wide };
        let by = match runs {
            Runs::Up => Vector::new(1.0, along),
            Runs::Across => Vector::new(along, -1.0),
        };
        text(name, at + by, NAME_MM, runs)
    };
    let is_free = |of: &Text| {
        let room = of.bounds().grown(NAME_FREE_MM);
        !layer.items.iter().any(|item| passes(item, room))
    };
    let free = (0..NAME_PLACES).map(place).find(is_free);
    for half in [Vector::new(arm, 0.0), Vector::new(0.0, arm)] {
        layer.items.push(Item::line(at - half, at + half, Line::Rule));
    }
    layer.texts.push(free.unwrap_or_else(|| place(0)));
}
