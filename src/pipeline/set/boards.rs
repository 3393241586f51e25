//! The boards of a set: which lengths to buy, and how to saw them into blanks.

use super::Member;
use crate::diagnostics::{Error, ErrorKind, Exact, Finding, Outcome, Warned, codes};
use crate::job::{Held, Stock, StockBoards};
use crate::optimise::cutting_stock::{
    self, CuttingError, Effort, Problem, Saw, Sawing, StockLength, Wanted,
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
    /// No purchase takes less; of boards out of a rack what the blanks alone come to.
    pub bound_feet: f64,
    /// Whether no purchase takes less, or costs less where boards have prices.
    pub proven: bool,
    /// What the longest blank first would take, where that ends.
    pub first_fit_feet: Option<f64>,
    /// Saw kerf and end trim that were counted.
    pub kerf: Length,
    /// Cut off each end.
    pub end_trim: Length,
    /// What every blank has over what the machine needs, against a saw that wanders.
    pub reserve: Length,
    /// Where they are taken from a rack: entries of its boards, and how many of each.
    pub taken: Vec<(usize, usize)>,
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
    rack: Option<&Stock>,
) -> Result<Outcome<BoardPlan>, Error> {
    let first = members[group[0]].job();
    let boards: &StockBoards = &first.boards;
    let material = first.cut.material.name.as_str();
    let offer = Offer::of(boards, rack, material);
    if offer.lengths.is_empty() {
        let found = codes::StockWithout { material: material.to_string() }.at("stock");
        return Ok(Err(found.into()));
    }
    let reserve = rack.map_or(Length::ZERO, |rack| rack.reserve);
    let blanks: Vec<SawnPiece> = group.iter().map(|&i| blank(members, i, reserve)).collect();
    let wanted: Vec<Wanted> =
        blanks.iter().map(|b| Wanted { length: b.length, count: b.count }).collect();
    let saw = Saw { kerf: boards.kerf, end_trim: boards.end_trim };
    // The exact search is quick: less than its first step is not worth saving.
    let effort = Effort { level: effort.max(1), seed: 1 };
    let purchase = Problem::new(&wanted, &offer.lengths, saw)
        .and_then(|problem| cutting_stock::buy(&problem, effort));
    let purchase = match purchase {
        Ok(purchase) => purchase,
        Err(problem) => return Ok(Err(no_board(&problem, &offer, material)?.into())),
    };
    let length_of = |stock: usize| offer.lengths[stock].length;
    let feet: f64 =
        purchase.boards.iter().map(|b| length_of(b.stock).as_feet() * b.times as f64).sum();
    let blanks_feet: f64 = blanks.iter().map(|b| b.length.as_feet() * b.count as f64).sum();
    let of_rack = rack.is_some();
    Ok(Ok(Warned::plain(BoardPlan {
        material: first.cut.material.name.clone(),
        boards: purchase
            .boards
            .iter()
            .map(|b| (length_of(b.stock), b.cuts.clone(), b.times, b.left))
            .collect(),
        blanks,
        feet,
        bound_feet: if of_rack { blanks_feet } else { purchase.bound },
        proven: purchase.proven,
        first_fit_feet: purchase.first_fit_cost.filter(|_| !of_rack),
        reserve,
        taken: offer.taken(&purchase.boards),
        kerf: boards.kerf,
        end_trim: boards.end_trim,
    })))
}

/// What a foot of board weighs where prices are the same, in their unit: of two ways that cost the
/// same the one that takes less is taken. Ten thousand feet weigh less than the smallest coin.
const FOOT: f64 = 1e-6;

/// The boards that can be had: what the yard sells, or what lies in a rack.
struct Offer {
    lengths: Vec<StockLength>,
    /// The entry of the rack that each is; none of what the yard sells.
    entries: Vec<usize>,
}

impl Offer {
    fn of(boards: &StockBoards, rack: Option<&Stock>, material: &str) -> Self {
        let Some(rack) = rack else {
            let lengths = boards.lengths.iter().map(|&of| StockLength::by_the_foot(of)).collect();
            return Self { lengths, entries: Vec::new() };
        };
        let own = || rack.boards.iter().enumerate().filter(|(_, held)| held.material == material);
        // Without any price the fewest feet are the cheapest.
        let priced = own().any(|(_, held)| held.price.is_some_and(|price| price > 0.0));
        let board = |held: &Held| {
            let length = held.length.expect("a board has a length");
            let feet = length.as_feet();
            let cost = if priced { held.price.unwrap_or(0.0) + FOOT * feet } else { feet };
            StockLength { length, available: held.count, cost }
        };
        let (entries, lengths) = own().map(|(entry, held)| (entry, board(held))).unzip();
        Self { lengths, entries }
    }

    /// How many of each entry of the rack are taken.
    fn taken(&self, sawings: &[Sawing]) -> Vec<(usize, usize)> {
        let mut taken: Vec<(usize, usize)> = Vec::new();
        for sawing in sawings.iter().filter(|_| !self.entries.is_empty()) {
            let entry = self.entries[sawing.stock];
            match taken.iter_mut().find(|(of, _)| *of == entry) {
                Some((_, times)) => *times += sawing.times,
                None => taken.push((entry, sawing.times)),
            }
        }
        taken
    }
}

/// The blank of one piece: the piece with what the tool needs before and behind it.
fn blank(members: &[Member], i: usize, reserve: Length) -> SawnPiece {
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
    let length = Length::mm(extent + 2.0 * before.max(0.0)) + reserve;
    SawnPiece { member: i, length, count: member.pieces() }
}

/// Why no boards are bought.
///
/// # Errors
/// Internal: anything but a length or a count that a job may ask for is a slip of this file.
fn no_board(problem: &CuttingError, offer: &Offer, material: &str) -> Result<Finding, Error> {
    let lengths = offer.lengths.iter().map(|of| of.length);
    let board = lengths.reduce(Length::max).expect("boards are sold in some length");
    match *problem {
        CuttingError::TooLong { length, longest, .. } => {
            let found =
                codes::BoardTooShort { measured: Exact(length), limit: Exact(longest), board };
            Ok(found.at("boards.lengths"))
        }
        CuttingError::TooFewBoards { wanted, offered, .. } => {
            let material = material.to_string();
            Ok(codes::StockShort { material, measured: wanted, limit: offered }.at("stock"))
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

    #[test]
    fn more_blanks_than_a_plan_takes_are_refused_with_their_number() {
        let lengths = vec![StockLength::by_the_foot(Length::inches(96.0))];
        let offer = Offer { lengths, entries: Vec::new() };
        let problem = CuttingError::TooMany { pieces: 1_000_001, most: 1_000_000 };
        let many = no_board(&problem, &offer, "board-2x12").unwrap();
        assert!(
            many.is::<codes::TooManyBlanks>() && many.sentence().contains("1000001 blanks"),
            "{many}"
        );
        assert!(no_board(&CuttingError::NothingWanted, &offer, "").is_err());
    }
}
