//! A view at a standard scale in a box of the sheet, and the dimensions that both views use.

use super::svg::{Anchor, LETTER_WIDTH, Line, Svg};
use crate::geometry::{Bounds, Point, Vector};
use crate::units::Length;

/// The standard reductions (ISO 5455) and some between them, so that a long flight is not drawn needlessly small.
const SCALES: [f64; 12] = [1.0, 2.0, 2.5, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 50.0, 100.0];
/// Height of dimension text, in mm.
pub(super) const TEXT_MM: f64 = 2.2;
/// Marks closer on paper than this carry no text of their own; the table has them all.
const CLOSEST_TEXT_MM: f64 = 2.6;

/// From mm of the part to mm on the sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// 1 to this.
    pub reduction: f64,
    home: Vector,
}

impl View {
    /// The largest standard scale at which `content` fits the box from `corner` (upper left) of `size`; set at its lower left.
    pub fn fitted(content: Bounds, corner: Point, size: Vector) -> View {
        let fits = |reduction: &f64| content.width() / reduction <= size.x && content.height() / reduction <= size.y;
        let least = (content.width() / size.x).max(content.height() / size.y);
        let reduction = SCALES.into_iter().find(fits).unwrap_or(least.ceil());
        let spare = size.x - content.width() / reduction;
        let home = Vector::new(
            corner.x + spare / 2.0 - content.min.x / reduction,
            corner.y + size.y + content.min.y / reduction,
        );
        View { reduction, home }
    }

    /// A point of the part on the sheet.
    pub fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.home.x + x / self.reduction, self.home.y - y / self.reduction)
    }

    /// A point of the part on the sheet.
    pub fn point(&self, p: Point) -> Point {
        self.at(p.x, p.y)
    }

    /// The scale as it is written.
    pub fn name(&self) -> String {
        format!("1:{}", self.reduction)
    }
}

/// A length with both units in short: `10 1/4 in / 260.4`.
pub(super) fn both(length: Length) -> String {
    format!("{} / {:.1}", crate::units::sixteenths(length), length.as_mm())
}

/// A dimension line with arrow heads between two points of the sheet, its text in the middle.
pub(super) fn dimension(svg: &mut Svg, from: Point, to: Point, words: &str) {
    let along = to - from;
    let length = along.norm();
    svg.line(from, to, Line::Dimension);
    let (head, tail) = if length > 7.0 { (1.0, -1.0) } else { (-1.0, 1.0) };
    svg.arrow(to, along * head);
    svg.arrow(from, along * tail);
    let middle = from + along / 2.0;
    if along.x.abs() >= along.y.abs() {
        svg.text(middle - Vector::new(0.0, 0.8), TEXT_MM, Anchor::Middle, 0.0, words);
    } else if length > text_width(words) {
        svg.text(middle - Vector::new(0.8, 0.0), TEXT_MM, Anchor::Middle, 90.0, words);
    } else {
        // Too short to carry its text along itself.
        svg.text(middle + Vector::new(1.2, TEXT_MM * 0.35), TEXT_MM, Anchor::Start, 0.0, words);
    }
}

/// Width of a dimension text on the sheet, on the wide side.
pub(super) fn text_width(words: &str) -> f64 {
    words.chars().count() as f64 * TEXT_MM * LETTER_WIDTH
}

/// Which way a line of running dimensions runs on the sheet.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Running {
    /// To the right; its texts hang below it, upright.
    Right,
    /// To the right; its texts stand above it, upright.
    RightAbove,
    /// Up; its texts lie to its left.
    Up,
}

/// Running dimensions from one datum: a circle-less base tick, then a tick and its exact value at every mark.
pub(super) fn running(svg: &mut Svg, datum: Point, marks: &[(f64, Length)], way: Running) {
    let along = match way {
        Running::Right | Running::RightAbove => Vector::new(1.0, 0.0),
        Running::Up => Vector::new(0.0, -1.0),
    };
    let across = Vector::new(-along.y, along.x);
    let end = marks.iter().map(|(at, _)| *at).fold(0.0, f64::max);
    svg.line(datum, datum + along * end, Line::Dimension);
    svg.line(datum - across * 1.2, datum + across * 1.2, Line::Dimension);
    let mut last = f64::NEG_INFINITY;
    for (at, value) in marks {
        let p = datum + along * *at;
        svg.line(p - across * 1.2, p + across * 1.2, Line::Dimension);
        if at - last < CLOSEST_TEXT_MM {
            continue;
        }
        last = *at;
        let nudge = along * (TEXT_MM * 0.35);
        match way {
            Running::Up => svg.text(p + Vector::new(-1.8, TEXT_MM * 0.35), TEXT_MM, Anchor::End, 0.0, &both(*value)),
            Running::Right => svg.text(p + nudge + Vector::new(0.0, 2.0), TEXT_MM, Anchor::End, 90.0, &both(*value)),
            Running::RightAbove => {
                svg.text(p + nudge - Vector::new(0.0, 2.0), TEXT_MM, Anchor::Start, 90.0, &both(*value))
            }
        }
    }
}
