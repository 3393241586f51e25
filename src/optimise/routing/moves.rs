//! The moves of the local search: what each adds, whether precedence allows it, and how it is made.
//!
//! All are of segments of one rank, so ranks stay as they are; precedence is asked for each.

use super::sequence::Sequence;

/// Which way round a moved segment comes to lie.
#[derive(Clone, Copy, Debug)]
pub(super) enum Facing {
    Kept,
    Reversed,
}

/// A change of a sequence; positions are those before it.
#[derive(Clone, Copy, Debug)]
pub(super) enum Move {
    /// The stop at a position visited by another way.
    Switch { position: usize, way: usize },
    /// 2-opt: the segment from `low` to `high` reversed, which replaces the links at its two ends.
    TwoOpt { low: usize, high: usize },
    /// Or-opt: the segment `low..=high` put between `gap` and `gap + 1`.
    OrOpt { low: usize, high: usize, gap: usize, facing: Facing },
    /// The stop at `from` put between `gap` and `gap + 1` and visited by another way.
    Reinsert { from: usize, gap: usize, way: usize },
}

/// The positions around the seams of a move, some of them twice.
pub(super) type Seams = [usize; 6];

/// What reversing a segment adds to the sequence, in mm.
pub(super) fn reversal_adds(sequence: &Sequence<'_>, low: usize, high: usize) -> f64 {
    let n = sequence.nodes();
    let new = sequence.link(n[low - 1], sequence.opposite(n[high]))
        + sequence.link(sequence.opposite(n[low]), n[high + 1]);
    let old = sequence.link(n[low - 1], n[low]) + sequence.link(n[high], n[high + 1]);
    new - old + sequence.reversed_inside(low, high)
}

/// What an Or-opt move adds to the sequence, in mm.
pub(super) fn or_opt_adds(
    sequence: &Sequence<'_>,
    low: usize,
    high: usize,
    gap: usize,
    facing: Facing,
) -> f64 {
    let n = sequence.nodes();
    let closed = sequence.link(n[low - 1], n[high + 1])
        - sequence.link(n[low - 1], n[low])
        - sequence.link(n[high], n[high + 1]);
    let (first, last, inside) = match facing {
        Facing::Kept => (n[low], n[high], 0.0),
        Facing::Reversed => (
            sequence.opposite(n[high]),
            sequence.opposite(n[low]),
            sequence.reversed_inside(low, high),
        ),
    };
    closed + sequence.link(n[gap], first) + sequence.link(last, n[gap + 1])
        - sequence.link(n[gap], n[gap + 1])
        + inside
}

/// Whether precedence lets a segment of one rank be reversed.
pub(super) fn may_reverse(sequence: &Sequence<'_>, low: usize, high: usize) -> bool {
    is_none_before(sequence, (low, high), (low, high))
}

/// Whether precedence lets two neighbouring segments of one rank, `low..middle` and
/// `middle..=high`, change places.
pub(super) fn may_exchange(
    sequence: &Sequence<'_>,
    low: usize,
    middle: usize,
    high: usize,
) -> bool {
    is_none_before(sequence, (low, middle - 1), (middle, high))
}

/// Whether no stop of the first segment must come before one of the second.
fn is_none_before(sequence: &Sequence<'_>, first: (usize, usize), second: (usize, usize)) -> bool {
    if !sequence.problem().has_precedence() {
        return true;
    }
    let second = second.0..=second.1;
    (first.0..=first.1).all(|position| {
        let successors = sequence.problem().successors(sequence.nodes()[position].stop);
        !successors.iter().any(|&stop| second.contains(&sequence.position(stop)))
    })
}

/// Whether precedence lets a move be made.
pub(super) fn is_allowed(sequence: &Sequence<'_>, change: Move) -> bool {
    match change {
        Move::Switch { .. } => true,
        Move::TwoOpt { low, high } => may_reverse(sequence, low, high),
        Move::Reinsert { from, gap, .. } => may_pass(sequence, from, from, gap),
        Move::OrOpt { low, high, gap, facing: Facing::Kept } => may_pass(sequence, low, high, gap),
        Move::OrOpt { low, high, gap, facing: Facing::Reversed } => {
            may_pass(sequence, low, high, gap) && may_reverse(sequence, low, high)
        }
    }
}

/// Whether a segment may change places with all that lies between it and a gap.
fn may_pass(sequence: &Sequence<'_>, low: usize, high: usize, gap: usize) -> bool {
    if gap > high {
        may_exchange(sequence, low, high + 1, gap)
    } else {
        may_exchange(sequence, gap + 1, low, high)
    }
}

/// Makes a move and tells the positions at its seams.
pub(super) fn make(sequence: &mut Sequence<'_>, change: Move) -> Seams {
    match change {
        Move::Switch { position, way } => {
            sequence.set_way(position, way);
            [position - 1, position, position + 1, position, position, position]
        }
        Move::TwoOpt { low, high } => {
            sequence.reverse(low, high);
            [low - 1, low, high, high + 1, low, high]
        }
        Move::OrOpt { low, high, gap, facing } => {
            // Reversed where it lies, then shifted: both can be undone one by one.
            if matches!(facing, Facing::Reversed) {
                sequence.reverse(low, high);
            }
            shift(sequence, low, high, gap)
        }
        Move::Reinsert { from, gap, way } => {
            sequence.set_way(from, way);
            shift(sequence, from, from, gap)
        }
    }
}

/// Puts the segment `low..=high` between `gap` and `gap + 1` and tells the positions at the seams.
fn shift(sequence: &mut Sequence<'_>, low: usize, high: usize, gap: usize) -> Seams {
    // Shifting a segment past others is exchanging it with them: one rotation of the array.
    if gap > high {
        sequence.exchange(low, high + 1, gap);
        let first = gap + low - high;
        [low - 1, low, first - 1, first, gap, gap + 1]
    } else {
        sequence.exchange(gap + 1, low, high);
        let last = gap + 1 + high - low;
        [gap, gap + 1, last, last + 1, high, high + 1]
    }
}
