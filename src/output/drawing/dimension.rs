//! Dimensions as ISO 129-1 draws them: extension lines, filled arrowheads, superimposed running
//! dimensions from one origin.

use super::canvas::{Canvas, FIGURE_MM, moved};
use crate::geometry::{Point, Vector, left_of};
use crate::output::page::{Anchor, Ink, Line, Weight, text_width};
use crate::units::{Length, on_tape};

/// Length of an arrowhead in mm.
const ARROW_MM: f64 = 2.5;
/// Half the angle at an arrowhead's tip: 20 degrees over all, within the 15 to 30 of ISO 129-1.
const ARROW_HALF_DEG: f64 = 10.0;
/// Between a feature and its extension line.
const GAP_MM: f64 = 0.8;
/// How far an extension line passes its dimension line.
const OVERSHOOT_MM: f64 = 1.5;
/// Room of a label across its reading direction, descenders and what stays free round it included.
const LABEL_MM: f64 = FIGURE_MM + 2.4;
/// Radius of the origin's circle.
const ORIGIN_MM: f64 = 0.9;

fn arrowhead(canvas: &mut Canvas, tip: Point, pointing: Vector, length: f64) {
    let back = tip - pointing * length;
    let half = left_of(pointing) * (length * ARROW_HALF_DEG.to_radians().tan());
    canvas.fill(vec![tip, back + half, back - half], Ink::Blue);
}

/// A dimension line with an arrowhead at each end; where it is too short for both, they come from
/// outside.
pub(super) fn dimension_line(canvas: &mut Canvas, from: Point, to: Point) {
    let span = to - from;
    if span.norm() <= 1e-9 {
        return;
    }
    let along = span.normalize();
    if span.norm() >= 2.5 * ARROW_MM {
        canvas.line(from, to, Line::Dimension);
        arrowhead(canvas, from, -along, ARROW_MM);
        arrowhead(canvas, to, along, ARROW_MM);
        return;
    }
    let outside = along * (2.0 * ARROW_MM);
    canvas.line(from - outside, to + outside, Line::Dimension);
    arrowhead(canvas, from, along, ARROW_MM);
    arrowhead(canvas, to, -along, ARROW_MM);
}

/// An extension line from a feature to just beyond its dimension line.
pub(super) fn extension(canvas: &mut Canvas, feature: Point, to: Point) {
    let span = to - feature;
    if span.norm() <= GAP_MM {
        return;
    }
    let along = span.normalize();
    canvas.line(feature + along * GAP_MM, to + along * OVERSHOOT_MM, Line::Dimension);
}

/// A leader from a text to a dot within what it names.
pub(super) fn leader(canvas: &mut Canvas, text_end: Point, dot: Point) {
    canvas.line(text_end, dot, Line::Dimension);
    let r = 0.5;
    canvas.fill(
        vec![moved(dot, -r, 0.0), moved(dot, 0.0, -r), moved(dot, r, 0.0), moved(dot, 0.0, r)],
        Ink::Blue,
    );
}

/// One place on a running dimension.
pub(super) struct Mark {
    /// From the origin along the line, in paper mm.
    pub offset: f64,
    /// Where its extension line comes from.
    pub feature: Point,
    /// What is printed.
    pub value: Length,
}

/// Which way a running dimension runs, and on which side its labels stand.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Runs {
    /// Up the paper, labels to the left.
    Up,
    /// To the right, labels above.
    RightLabelsAbove,
    /// To the left, labels above.
    LeftLabelsAbove,
    /// To the right, labels below.
    RightLabelsBelow,
}

impl Runs {
    fn along(self) -> Vector {
        match self {
            Self::Up => Vector::y(),
            Self::RightLabelsAbove | Self::RightLabelsBelow => Vector::x(),
            Self::LeftLabelsAbove => -Vector::x(),
        }
    }

    fn outward(self) -> Vector {
        match self {
            Self::Up => -Vector::x(),
            Self::RightLabelsAbove | Self::LeftLabelsAbove => Vector::y(),
            Self::RightLabelsBelow => -Vector::y(),
        }
    }
}

/// A running dimension: every mark has its extension line and arrowhead. Every mark has its label
/// too, unless they lie closer than labels do: then those that have room, the last always.
pub(super) fn running(
    canvas: &mut Canvas,
    runs: Runs,
    origin: Point,
    origin_feature: Point,
    marks: &[Mark],
) {
    let Some(last) = marks.last() else { return };
    let end = origin + runs.along() * last.offset;
    canvas.line(origin, end, Line::Dimension);
    canvas.arc(origin, ORIGIN_MM, 0.0, 360.0, Line::Dimension);
    extension(canvas, origin_feature, origin);
    let zero = Mark { offset: 0.0, feature: origin_feature, value: Length::ZERO };
    let mut before = 0.0;
    for mark in marks {
        let at = origin + runs.along() * mark.offset;
        extension(canvas, mark.feature, at);
        arrowhead(canvas, at, runs.along(), ARROW_MM.min(0.6 * (mark.offset - before)).max(0.5));
        before = mark.offset;
    }
    let labelled = labelled(&zero, marks);
    let places = spread(labelled.iter().map(|mark| mark.offset));
    for (mark, place) in labelled.into_iter().zip(places) {
        label(canvas, runs, origin, mark, place);
    }
}

/// The marks that get a label: all, or where all of them would be pushed far from their places,
/// every so many.
fn labelled<'a>(zero: &'a Mark, marks: &'a [Mark]) -> Vec<&'a Mark> {
    let all: Vec<&Mark> = std::iter::once(zero).chain(marks).collect();
    let pushed = spread(all.iter().map(|mark| mark.offset))
        .into_iter()
        .zip(&all)
        .map(|(place, mark)| place - mark.offset)
        .fold(0.0, f64::max);
    if pushed <= LABEL_MM {
        return all;
    }
    let end = all[all.len() - 1].offset;
    let mut kept = vec![zero];
    for mark in &marks[..marks.len() - 1] {
        if mark.offset - kept[kept.len() - 1].offset >= LABEL_MM && end - mark.offset >= LABEL_MM {
            kept.push(mark);
        }
    }
    kept.push(all[all.len() - 1]);
    kept
}

/// The room of the longest label of some lengths along its reading direction.
pub(super) fn longest(of: impl IntoIterator<Item = Length>) -> f64 {
    let wide = |length| text_width(&on_tape(length), FIGURE_MM, Weight::Regular);
    of.into_iter().map(wide).fold(0.0, f64::max)
}

/// Places at least a label apart, each at its offset or just beyond it.
fn spread(offsets: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut free = f64::NEG_INFINITY;
    offsets
        .map(|offset| {
            let place = offset.max(free);
            free = place + LABEL_MM;
            place
        })
        .collect()
}

/// The label of a mark on its level; joined by a bent line if it was pushed.
fn label(canvas: &mut Canvas, runs: Runs, origin: Point, mark: &Mark, place: f64) {
    let (along, outward) = (runs.along(), runs.outward());
    let on_line = origin + along * mark.offset + outward * OVERSHOOT_MM;
    let foot = origin + along * place + outward * (OVERSHOOT_MM + 2.0);
    if place - mark.offset > 0.1 {
        canvas.line(on_line, foot, Line::Dimension);
    }
    let start = foot + outward * 0.8;
    let anchor = match runs {
        Runs::Up | Runs::RightLabelsBelow => Anchor::End,
        Runs::RightLabelsAbove | Runs::LeftLabelsAbove => Anchor::Start,
    };
    let half = FIGURE_MM / 2.0;
    match runs {
        Runs::Up => canvas.figure(moved(start, 0.0, -half), anchor, on_tape(mark.value)),
        Runs::RightLabelsAbove | Runs::LeftLabelsAbove | Runs::RightLabelsBelow => {
            canvas.upright(moved(start, half, 0.0), anchor, on_tape(mark.value));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spread_labels_are_a_label_apart_and_never_before_their_mark() {
        let offsets = [0.0, 3.0, 16.0, 17.0, 60.0];
        let places = spread(offsets.into_iter());
        assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= LABEL_MM - 1e-9));
        assert!(places.iter().zip(offsets).all(|(place, offset)| *place >= offset));
        assert!((places[4] - 60.0).abs() < 1e-12);
    }

    #[test]
    fn of_marks_too_close_for_labels_some_are_labelled_and_the_last_always() {
        let marks: Vec<Mark> = (1..=40)
            .map(|i| Mark {
                offset: f64::from(i),
                feature: Point::origin(),
                value: Length::mm(f64::from(i)),
            })
            .collect();
        let zero = Mark { offset: 0.0, feature: Point::origin(), value: Length::ZERO };
        let kept = labelled(&zero, &marks);
        assert!(kept.len() > 4 && kept.len() < 9);
        assert!((kept[kept.len() - 1].offset - 40.0).abs() < 1e-12);
    }
}
