//! Arcs as files give them, cut into pieces that the rest takes.

use super::limits::GAP_MM;
use super::modal::Words;
use crate::geometry::{Point, Segment, Turn, Vector};
use crate::profile::ArcCentres;

/// An arc in one piece, or in two where it turns more than half way round; the same end as start is
/// a full circle.
///
/// Centre and start are kept, as controllers keep them (NISTIR 6556, 3.5.3.2): the arc ends at the
/// start's radius in the direction of the end. How far that is from the end is [`end_error`], which
/// the judgement adds to the tool's reach.
pub(super) fn halves(from: Point, to: Point, center: Point, turn: Turn) -> Vec<Segment> {
    if (to - from).norm() <= GAP_MM {
        let across = center + (center - from);
        let first = Segment::Arc { from, to: across, center, turn };
        return vec![first, Segment::Arc { from: across, to: from, center, turn }];
    }
    let (radius, out) = ((from - center).norm(), to - center);
    let to = if out.norm() > GAP_MM { center + out * (radius / out.norm()) } else { to };
    let arc = Segment::Arc { from, to, center, turn };
    if arc.sweep().abs() <= std::f64::consts::PI {
        return vec![arc];
    }
    let middle = arc.point_at(0.5);
    vec![
        Segment::Arc { from, to: middle, center, turn },
        Segment::Arc { from: middle, to, center, turn },
    ]
}

/// From an arc's start to its centre, in mm, as the file gives it: nothing where it does not.
pub(super) fn to_centre(
    words: &Words<'_>,
    unit: f64,
    told: ArcCentres,
    (from, to, turn): (Point, Point, Turn),
) -> Vector {
    let of = |letter: u8| words.get(letter).map(|number| number * unit);
    match told {
        ArcCentres::FromStart => Vector::new(of(b'I').unwrap_or(0.0), of(b'J').unwrap_or(0.0)),
        ArcCentres::Absolute => match (of(b'I'), of(b'J')) {
            (Some(i), Some(j)) => Point::new(i, j) - from,
            _ => Vector::zeros(),
        },
        // NISTIR 6556, 3.5.3.1: a positive R turns less than half round.
        ArcCentres::Radius => match of(b'R') {
            Some(r) if r > 0.0 => from_radius(from, to, r, turn),
            _ => Vector::zeros(),
        },
    }
}

/// The centre of an arc of less than half a turn by its radius, from its start; nothing where the
/// ends are farther apart than that radius reaches.
fn from_radius(from: Point, to: Point, radius: f64, turn: Turn) -> Vector {
    let chord = to - from;
    let half = chord.norm() / 2.0;
    if half < GAP_MM || half > radius + GAP_MM {
        return Vector::zeros();
    }
    let height = (radius * radius - half * half).max(0.0).sqrt();
    let left = Vector::new(-chord.y, chord.x) / chord.norm();
    let side = if turn == Turn::Left { 1.0 } else { -1.0 };
    chord / 2.0 + left * (height * side)
}

/// How much farther from the centre an arc ends than it starts, or nearer: where between both a
/// controller runs is not known.
pub(super) fn end_error(from: Point, to: Point, center: Point) -> f64 {
    ((from - center).norm() - (to - center).norm()).abs()
}

#[cfg(test)]
mod tests {
    use super::super::block::Word;
    use super::*;

    #[test]
    fn a_nearly_full_circle_keeps_its_centre_and_its_start() {
        // A short chord and radii that differ by less than a controller minds: the centre must not
        // follow the chord.
        let (from, to, center) =
            (Point::new(492.0, 9.7), Point::new(491.998, 9.694), Point::new(500.0, 9.697));
        let pieces = halves(from, to, center, Turn::Right);
        assert!((to - from).norm() < 0.007 && end_error(from, to, center) < 0.003);
        let top = pieces.iter().map(|piece| piece.bounds().max.y).fold(0.0, f64::max);
        assert!((top - 17.697).abs() < 1e-6, "{top}");
        assert_eq!((pieces.len(), pieces[0].from()), (2, from));
        assert!((pieces[1].to() - to).norm() <= end_error(from, to, center) + 1e-9);
    }

    #[test]
    fn a_centre_by_its_radius_lies_on_the_side_that_turns_less_than_half_round() {
        let (from, to) = (Point::new(10.0, 0.0), Point::new(0.0, 10.0));
        let of = |r: f64, to: Point, turn: Turn| {
            let words = [Word { letter: b'R', number: r }];
            let words = Words { words: &words, line: 1 };
            from + to_centre(&words, 2.0, ArcCentres::Radius, (from, to, turn))
        };
        let is = |p: Point, x: f64, y: f64| (p - Point::new(x, y)).norm() < 1e-9;
        // In a unit of 2 mm.
        assert!(is(of(5.0, to, Turn::Left), 0.0, 0.0) && is(of(5.0, to, Turn::Right), 10.0, 10.0));
        // 3, 4, 5: the chord is 6, the radius 5, the centre 4 from the chord.
        let up = Point::new(10.0, 6.0);
        assert!(is(of(2.5, up, Turn::Left), 6.0, 3.0) && is(of(2.5, up, Turn::Right), 14.0, 3.0));
        // Half round, and farther than the radius reaches; without a length or a radius: nothing.
        assert!(is(of(1.5, up, Turn::Left), 10.0, 3.0));
        for (r, to) in [(1.4, up), (5.0, from), (0.0, up), (-2.5, up)] {
            assert_eq!(of(r, to, Turn::Left), from, "{r}");
        }
    }

    #[test]
    fn an_absolute_centre_is_where_it_says() {
        let of = |words: &[Word]| {
            let (from, to) = (Point::new(10.0, 5.0), Point::new(0.0, 10.0));
            let words = Words { words, line: 1 };
            to_centre(&words, 2.0, ArcCentres::Absolute, (from, to, Turn::Left))
        };
        let (i, j) = (Word { letter: b'I', number: 3.0 }, Word { letter: b'J', number: 4.0 });
        assert_eq!(of(&[i, j]), Vector::new(-4.0, 3.0));
        assert_eq!((of(&[i]), of(&[j])), (Vector::zeros(), Vector::zeros()));
    }
}
