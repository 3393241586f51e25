//! One thing to be marked, drawn about its own origin: its strokes and the outline it keeps to
//! itself.

use crate::geometry::stroke_font;
use crate::geometry::{Point, Vector};

/// From one line of a block to the next, as a share of the letters' height.
const LINE_PITCH: f64 = 1.6;
/// From the left of an arrow to its words, as a share of their height.
const ARROW_TO_WORDS: f64 = 1.4;
/// From the middle of a cross to its words, as a share of their height.
const CROSS_TO_WORDS: f64 = 1.1;

/// Strokes that are placed together.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// What it says or is.
    pub name: String,
    /// Its strokes.
    pub strokes: Vec<Vec<Point>>,
    /// The convex outline of all of them.
    pub hull: Vec<Point>,
}

fn boxed(width: f64, height: f64) -> Vec<Point> {
    vec![
        Point::origin(),
        Point::new(width, 0.0),
        Point::new(width, height),
        Point::new(0.0, height),
    ]
}

impl Shape {
    /// Lines of text, the last on the base line; every character has a letter.
    pub(super) fn text(lines: &[String], height: f64) -> Self {
        let mut strokes = Vec::new();
        let mut width = 0.0_f64;
        for (row, line) in lines.iter().rev().enumerate() {
            let up = Vector::new(0.0, height * LINE_PITCH * row as f64);
            let drawn = stroke_font::strokes(line, height)
                .expect("marks are capitals and figures, and a checked title");
            strokes.extend(
                drawn
                    .into_iter()
                    .map(|stroke| stroke.into_iter().map(|p| p + up).collect::<Vec<_>>()),
            );
            width = width.max(stroke_font::width(line, height));
        }
        let rows = lines.len().max(1) as f64;
        let whole = height * (1.0 + LINE_PITCH * (rows - 1.0));
        Self { name: lines.join(" / "), strokes, hull: boxed(width, whole) }
    }

    /// One word or line.
    pub(super) fn word(word: &str, height: f64) -> Self {
        Self::text(&[word.to_string()], height)
    }

    /// A straight line about its middle.
    pub(super) fn line(name: &str, half: Vector) -> Self {
        let ends = vec![Point::origin() - half, Point::origin() + half];
        Self { name: name.to_string(), strokes: vec![ends.clone()], hull: ends }
    }

    /// An arrow that points up, words at its right.
    pub(super) fn arrow_up(words: &str, height: f64) -> Self {
        let (x, head) = (height / 3.0, height / 3.0);
        let tip = Point::new(x, height);
        let mut shape = Self::word(words, height).moved(Vector::new(height * ARROW_TO_WORDS, 0.0));
        shape.strokes.push(vec![Point::new(x, 0.0), tip]);
        shape.strokes.push(vec![
            tip + Vector::new(-head, -head),
            tip,
            tip + Vector::new(head, -head),
        ]);
        let width = height * ARROW_TO_WORDS + stroke_font::width(words, height);
        Self { hull: boxed(width, height), ..shape }
    }

    /// A cross about the origin, words at its right.
    pub(super) fn cross_before(words: &str, height: f64) -> Self {
        Self::cross(words, height, height * CROSS_TO_WORDS)
    }

    /// A cross about the origin, words at its left.
    pub(super) fn cross_after(words: &str, height: f64) -> Self {
        Self::cross(words, height, -height * CROSS_TO_WORDS - stroke_font::width(words, height))
    }

    fn cross(words: &str, height: f64, left: f64) -> Self {
        let half = height / 2.0;
        let mut shape = Self::word(words, height).moved(Vector::new(left, -half));
        for arm in [Vector::new(half, 0.0), Vector::new(0.0, half)] {
            shape.strokes.push(vec![Point::origin() - arm, Point::origin() + arm]);
        }
        let (from, to) = (left.min(-half), (left + stroke_font::width(words, height)).max(half));
        Self {
            hull: boxed(to - from, height)
                .into_iter()
                .map(|p| p + Vector::new(from, -half))
                .collect(),
            ..shape
        }
    }

    /// The shape elsewhere.
    pub(super) fn moved(&self, by: Vector) -> Self {
        let all = |points: &[Point]| points.iter().map(|p| p + by).collect::<Vec<_>>();
        Self {
            name: self.name.clone(),
            strokes: self.strokes.iter().map(|stroke| all(stroke)).collect(),
            hull: all(&self.hull),
        }
    }

    /// The middle of its outline.
    pub(super) fn middle(&self) -> Point {
        let sum = self.hull.iter().fold(Vector::zeros(), |sum, p| sum + p.coords);
        Point::from(sum / self.hull.len().max(1) as f64)
    }
}
