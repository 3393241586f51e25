//! The boards of a set: which lengths to buy, and how to saw them into blanks.

use super::Member;
use crate::diagnostics::{Error, ErrorKind, Exact, Finding, Outcome, Warned, codes};
use crate::job::StockBoards;
use crate::optimise::cutting_stock::{
    self, CuttingError, Effort, Problem, Saw, StockLength, Wanted,
};
use crate::units::Length;

/// Lengths that differ by less are one: the rounding of a double, in mm.
const SAME_LENGTH_MM: f64 = 1e-6;

/// What to buy of one kind of board, and how to saw it.
#[derive(Clone, Debug)]
pub struct BoardPlan {
    /// The material's name.
    pub material: String,
    /// The blanks that are sawn.
    pub blanks: Vec<SawnPiece>,
    /// The boards: a length, the blanks sawn from it by number, how often, and what is left of it.
    pub boards: Vec<(Length, Vec<usize>, usize, Length)>,
    /// Feet of board bought.
    pub feet: f64,
    /// No purchase takes less.
    pub bound_feet: f64,
    /// Whether that was reached.
    pub proven: bool,
    /// What the longest blank first would take, where that ends.
    pub first_fit_feet: Option<f64>,
    /// Saw kerf and end trim that were counted.
    pub kerf: Length,
    /// Cut off each end.
    pub end_trim: Length,
}

/// How many of each length, the lengths in the order in which they come first.
pub fn counted_up(boards: impl IntoIterator<Item = (Length, usize)>) -> Vec<(Length, usize)> {
    let mut counts: Vec<(Length, usize)> = Vec::new();
    for (length, times) in boards {
        match counts.iter_mut().find(|(of, _)| of.is_within(Length::mm(SAME_LENGTH_MM), length)) {
            Some((_, count)) => *count += times,
            None => counts.push((length, times)),
        }
    }
    counts
}

/// Blanks of one length.
#[derive(Clone, Debug)]
pub struct SawnPiece {
    /// Which member they are for.
    pub member: usize,
    /// How long.
    pub length: Length,
    /// How many.
    pub count: usize,
}

/// Saws the members of a group; all share machine and material, and nothing refuses one of them.
///
/// # Errors
/// Internal, where the search finds its problem faulty.
pub(super) fn saw(
    members: &[Member],
    group: &[usize],
    effort: u32,
) -> Result<Outcome<BoardPlan>, Error> {
    let first = members[group[0]].job();
    let boards: &StockBoards = &first.boards;
    let blanks: Vec<SawnPiece> = group.iter().map(|&i| blank(members, i)).collect();
    let wanted: Vec<Wanted> =
        blanks.iter().map(|b| Wanted { length: b.length, count: b.count }).collect();
    let stock: Vec<StockLength> =
        boards.lengths.iter().map(|&length| StockLength::by_the_foot(length)).collect();
    let saw = Saw { kerf: boards.kerf, end_trim: boards.end_trim };
    // The exact search is quick: less than its first step is not worth saving.
    let effort = Effort { level: effort.max(1), seed: 1 };
    let purchase =
        Problem::new(&wanted, &stock, saw).and_then(|problem| cutting_stock::buy(&problem, effort));
    let purchase = match purchase {
        Ok(purchase) => purchase,
        Err(problem) => return Ok(Err(no_board(&problem, boards)?.into())),
    };
    Ok(Ok(Warned::plain(BoardPlan {
        material: first.cut.material.name.clone(),
        boards: purchase
            .boards
            .iter()
            .map(|b| (boards.lengths[b.stock], b.cuts.clone(), b.times, b.left))
            .collect(),
        blanks,
        feet: purchase.cost,
        bound_feet: purchase.bound,
        proven: purchase.proven,
        first_fit_feet: purchase.first_fit_cost,
        kerf: boards.kerf,
        end_trim: boards.end_trim,
    })))
}

/// The blank of one piece: the piece with what the tool needs before and behind it.
fn blank(members: &[Member], i: usize) -> SawnPiece {
    let member = &members[i];
    let planned = member.workup.planned.as_ref().expect("a job that nothing refuses is planned");
    let part = planned.path.piece().placed(&planned.program.placement()).bounds();
    // It begins where the program's X0 Y0 is, and ends as far behind the piece as the piece lies
    // from there.
    let (extent, before) = if part.width() >= part.height() {
        (part.width(), part.min.x)
    } else {
        (part.height(), part.min.y)
    };
    let length = Length::mm(extent + 2.0 * before.max(0.0));
    SawnPiece { member: i, length, count: member.pieces() }
}

/// Why no boards are bought.
///
/// # Errors
/// Internal: anything but a length or a count that a job may ask for is a slip of this file.
fn no_board(problem: &CuttingError, boards: &StockBoards) -> Result<Finding, Error> {
    let board =
        boards.lengths.iter().copied().reduce(Length::max).expect("boards are sold in some length");
    match *problem {
        CuttingError::TooLong { length, longest, .. } => {
            let found =
                codes::BoardTooShort { measured: Exact(length), limit: Exact(longest), board };
            Ok(found.at("boards.lengths"))
        }
        CuttingError::TooMany { pieces: asked, most }
        | CuttingError::TooManyKinds { kinds: asked, most } => {
            Ok(codes::TooManyBlanks { measured: asked.into(), limit: most.into() }
                .at("cut.quantity"))
        }
        _ => {
            Err(Error::new(ErrorKind::Internal, format!("boards could not be laid out: {problem}")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Narrow;

    #[test]
    fn more_blanks_than_a_plan_takes_are_refused_with_their_number() {
        let boards = StockBoards {
            lengths: vec![Length::inches(96.0)],
            kerf: Length::ZERO,
            end_trim: Length::ZERO,
            narrow: Narrow::Refuse,
            measured: Vec::new(),
        };
        let many = no_board(&CuttingError::TooMany { pieces: 1_000_001, most: 1_000_000 }, &boards)
            .unwrap();
        assert!(
            many.is::<codes::TooManyBlanks>() && many.sentence().contains("1000001 blanks"),
            "{many}"
        );
        assert!(no_board(&CuttingError::NothingWanted, &boards).is_err());
    }
}
