//! Moves so short that they say nothing by themselves: as many as follow on each other are judged
//! as one.
//!
//! Every bound of a move has a slack for printed digits. Granted to each of a thousand moves of a
//! digit's length it would grant anything: a slot of full depth in slivers, a plunge in scratches.
//! So what is shorter than [`SHORT_MM`] is taken together with what goes on from its end, until
//! together they are that long, and the slack is granted once.

use std::ops::Range;

use crate::geometry::Point;

/// A way along the path that is long against every printed digit and short against every pass, in
/// mm: a run of moves no longer than this is one move.
const SHORT_MM: f64 = 0.5;
/// Ends that are the same but for the arithmetic, in mm.
const SAME_END_MM: f64 = 1e-6;

/// Where a move begins and ends, and how long its path is; heights in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    pub from: (Point, f64),
    pub to: (Point, f64),
    pub length: f64,
}

impl Way {
    fn goes_on_from(&self, before: &Self) -> bool {
        let ((at, z), (end, end_z)) = (self.from, before.to);
        (at - end).norm() <= SAME_END_MM && (z - end_z).abs() <= SAME_END_MM
    }
}

/// How a run goes down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Descent {
    /// From its start to where it is deepest, in mm.
    pub down: f64,
    /// How far it has gone along by there, in mm.
    pub along: f64,
    /// How many of its moves that takes.
    pub moves: usize,
}

/// How a run goes down to where it is deepest.
pub(super) fn descent(run: &[Way]) -> Descent {
    let Some(first) = run.first() else { return Descent::default() };
    let mut along = 0.0;
    let mut deepest = Descent::default();
    for (i, way) in run.iter().enumerate() {
        along += way.length;
        let down = first.from.1 - way.to.1;
        // What goes on level is no deeper for the last digit of its sum.
        if down > deepest.down + SAME_END_MM {
            deepest = Descent { down, along, moves: i + 1 };
        }
    }
    deepest
}

/// The runs of a motion, in order; what is no way of the tool through material, or a long one, is a
/// run of its own. All numbers stand in exactly one.
pub(super) fn runs(ways: &[Option<Way>]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    let mut length = f64::INFINITY;
    for (i, way) in ways.iter().enumerate() {
        let own = way.map_or(f64::INFINITY, |way| way.length);
        let before = i.checked_sub(1).and_then(|before| ways[before].as_ref());
        let goes_on =
            before.zip(way.as_ref()).is_some_and(|(before, way)| way.goes_on_from(before));
        match runs.last_mut() {
            Some(last) if goes_on && length + own <= SHORT_MM => {
                last.end = i + 1;
                length += own;
            }
            _ => {
                runs.push(i..i + 1);
                length = own;
            }
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn along(from: f64, to: f64) -> Option<Way> {
        let at = |x: f64| (Point::new(x, 0.0), 0.0);
        Some(Way { from: at(from), to: at(to), length: (to - from).abs() })
    }

    #[test]
    fn short_moves_that_go_on_from_each_other_are_one_and_all_others_their_own() {
        // By hand: 0.2 + 0.2 fit in half a millimetre, a third does not.
        let ways = [along(0.0, 0.2), along(0.2, 0.4), along(0.4, 0.6), along(0.6, 9.0)];
        assert_eq!(runs(&ways), [0..2, 2..3, 3..4]);
        // What begins elsewhere, or is no cut, ends a run.
        let ways = [along(0.0, 0.1), along(0.2, 0.3), None, along(0.3, 0.4), along(0.4, 0.5)];
        assert_eq!(runs(&ways), [0..1, 1..2, 2..3, 3..5]);
        // Straight down is no way at all: any number of steps is one.
        let down = |from: f64, to: f64| {
            let at = |z: f64| (Point::new(3.0, 4.0), z);
            Some(Way { from: at(from), to: at(to), length: 0.0 })
        };
        let steps: Vec<_> =
            (0..50).map(|i| down(-0.04 * f64::from(i), -0.04 * f64::from(i + 1))).collect();
        assert_eq!((runs(&steps).len(), runs(&steps)[0].clone()), (1, 0..50));
        assert!(runs(&[]).is_empty());
        // Up again at its end, it has gone down all the same.
        let way = |from: f64, to: f64| down(from, to).unwrap();
        let deepest = Descent { down: 0.75, along: 0.0, moves: 2 };
        assert_eq!(descent(&[way(1.0, 0.5), way(0.5, 0.25), way(0.25, 1.0)]), deepest);
        assert_eq!(descent(&[way(0.0, 1.0)]), Descent::default());
        // Level at its bottom, but for the arithmetic: the plunge has ended before.
        let level = along(0.0, 0.4).map(|of| Way { to: (of.to.0, -1.0 - 1e-15), ..of }).unwrap();
        assert_eq!(descent(&[way(0.0, -1.0), level]).moves, 1);
    }
}
