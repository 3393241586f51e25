//! The boards of a set: which lengths to buy, and how to saw them into blanks.

use super::Member;
use crate::diagnostics::{Error, ErrorKind, Exact, Finding, Outcome, Refusals, Warned, codes};
use crate::job::{Held, KnownBy, SAME_WIDTH_IN, Stock, StockBoards};
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
    /// The boards, those that are sawn alike together.
    pub boards: Vec<SawnBoards>,
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
    /// What the boards were chosen by.
    pub chosen: Chosen,
}

/// Boards that are sawn alike.
#[derive(Clone, Debug)]
pub struct SawnBoards {
    /// How long they are, as bought or found.
    pub length: Length,
    /// What tells them from others of that length.
    pub known: KnownBy,
    /// The blanks sawn from each, by number, in the order in which they are sawn.
    pub blanks: Vec<usize>,
    /// How many boards.
    pub times: usize,
    /// What is left of each.
    pub left: Length,
}

impl SawnBoards {
    /// How wide a blank is ripped once it is sawn off: where its board was measured to be wider
    /// than its stringer is laid out on.
    pub fn ripped_to(&self, blank: &SawnPiece) -> Option<Length> {
        let is_wide = |width: Length| width > blank.width + Length::inches(SAME_WIDTH_IN);
        self.known.width.is_some_and(is_wide).then_some(blank.width)
    }
}

/// What boards are chosen by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// The fewest feet of what the yard sells.
    Bought,
    /// The fewest feet of a rack that has no price for them.
    RackByFeet,
    /// The least that boards of a rack cost, each with its price.
    RackByPrice,
    /// Of a rack that has prices for some of them: those first.
    RackPricedFirst,
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
    /// How wide the board is that its stringer is laid out on.
    pub width: Length,
    /// How many.
    pub count: usize,
}

/// Saws the members of a group; all share a material, and a rack or the lengths that a yard sells,
/// and nothing refuses one of them.
///
/// # Errors
/// Internal, where the search finds its problem faulty.
pub(super) fn saw(
    members: &[Member],
    group: &[usize],
    effort: u32,
    rack: Option<&Stock>,
) -> Result<Outcome<BoardPlan>, Error> {
    let material = members[group[0]].job().cut.material.name.as_str();
    let all: Vec<&StockBoards> = group.iter().map(|&i| &members[i].job().boards).collect();
    let (saw, said) = saw_of_all(&all);
    let blanks_in_all = group.iter().map(|&i| members[i].pieces()).sum();
    let offer = Offer::of(&all[0].lengths, rack, material, blanks_in_all);
    if offer.lengths.is_empty() {
        let material = material.to_string();
        let is_listed = rack.is_some_and(|rack| rack.boards_of(&material).next().is_some());
        let found = match is_listed {
            false => codes::StockWithout { material }.at("stock"),
            true => codes::StockUsedUp { material }.at("stock"),
        };
        return Ok(Err(found.into()));
    }
    let reserve = rack.map_or(Length::ZERO, |rack| rack.reserve);
    let blanks: Vec<SawnPiece> = group.iter().map(|&i| blank(members, i, reserve)).collect();
    let wanted: Vec<Wanted> = blanks.iter().map(|blank| offer.wanted(blank)).collect();
    // The exact search is quick: less than its first step is not worth saving.
    let effort = Effort { level: effort.max(1), seed: 1 };
    let purchase = Problem::new(&wanted, &offer.lengths, saw)
        .and_then(|problem| cutting_stock::buy(&problem, effort));
    let purchase = match purchase {
        Ok(purchase) => purchase,
        Err(problem) => {
            let found = no_board(&problem, &offer, &blanks, material)?;
            return Ok(Err(Refusals::new(said.into_iter().chain([found]).collect())));
        }
    };
    let length_of = |stock: usize| offer.lengths[stock].length;
    let feet: f64 =
        purchase.boards.iter().map(|b| length_of(b.stock).as_feet() * b.times as f64).sum();
    let blanks_feet: f64 = blanks.iter().map(|b| b.length.as_feet() * b.count as f64).sum();
    let of_rack = rack.is_some();
    let plan = BoardPlan {
        material: material.to_string(),
        boards: purchase.boards.iter().map(|sawing| offer.sawn(sawing, rack)).collect(),
        blanks,
        feet,
        bound_feet: if of_rack { blanks_feet } else { purchase.bound },
        proven: purchase.proven,
        first_fit_feet: purchase.first_fit_cost.filter(|_| !of_rack),
        reserve,
        taken: offer.taken(&purchase.boards),
        chosen: offer.chosen,
        kerf: saw.kerf,
        end_trim: saw.end_trim,
    };
    Ok(Ok(Warned::plain(plan).and_say(said)))
}

/// What a saw takes of boards that several jobs share: the most that any of them says, and what is
/// said where they do not say the same.
fn saw_of_all(all: &[&StockBoards]) -> (Saw, Option<Finding>) {
    let most = |of: fn(&StockBoards) -> Length| {
        all.iter().map(|boards| of(boards)).fold(Length::ZERO, Length::max)
    };
    let (kerf, end_trim) = (most(|of| of.kerf), most(|of| of.end_trim));
    let differs = all.iter().any(|of| of.kerf != kerf || of.end_trim != end_trim);
    let found = || codes::BoardsDiffer { kerf, end_trim }.at("boards");
    (Saw { kerf, end_trim }, differs.then(found))
}

/// What a foot of board weighs where prices are the same, in their unit: of two ways that cost the
/// same the one that takes less is taken. Ten thousand feet weigh less than the smallest coin.
const FOOT: f64 = 1e-6;

/// The boards that can be had: what the yard sells, or what lies in a rack.
struct Offer {
    lengths: Vec<StockLength>,
    /// The entry of the rack that each is; none of what the yard sells.
    entries: Vec<usize>,
    chosen: Chosen,
}

/// The most that a board is taken to cost where its price is not said: what a search takes at most.
const MOST_UNSAID: f64 = 900_000.0;

impl Offer {
    /// A board without a price is none for nothing: where others have theirs, it is taken to cost
    /// more than a priced board for each of the blanks, so that it is taken only where those are
    /// too few or too short.
    fn of(yard: &[Length], rack: Option<&Stock>, material: &str, blanks: usize) -> Self {
        let Some(rack) = rack else {
            let lengths = yard.iter().map(|&of| StockLength::by_the_foot(of)).collect();
            return Self { lengths, entries: Vec::new(), chosen: Chosen::Bought };
        };
        let is_own = |held: &Held| held.material == material && held.count != Some(0);
        let own = || rack.boards.iter().enumerate().filter(|(_, held)| is_own(held));
        // Without any price the fewest feet are the cheapest.
        let dearest = own().filter_map(|(_, held)| held.price).fold(0.0, f64::max);
        let priced = dearest > 0.0;
        let unsaid = (dearest * blanks as f64 + 1.0).min(MOST_UNSAID);
        let board = |held: &Held| {
            let length = held.length.expect("a board has a length");
            let feet = length.as_feet();
            let cost = if priced { held.price.unwrap_or(unsaid) + FOOT * feet } else { feet };
            StockLength { length, width: held.known.width, available: held.count, cost }
        };
        let chosen = match (priced, own().all(|(_, held)| held.price.is_some())) {
            (false, _) => Chosen::RackByFeet,
            (true, true) => Chosen::RackByPrice,
            (true, false) => Chosen::RackPricedFirst,
        };
        let (entries, lengths) = own().map(|(entry, held)| (entry, board(held))).unzip();
        Self { lengths, entries, chosen }
    }

    /// A blank, with the width that its board must have where any board was measured: of others
    /// nobody knows that they are too narrow.
    fn wanted(&self, blank: &SawnPiece) -> Wanted {
        let wanted = Wanted::of(blank.length, blank.count);
        match self.lengths.iter().any(|of| of.width.is_some()) {
            true => Wanted { width: blank.width - Length::inches(SAME_WIDTH_IN), ..wanted },
            false => wanted,
        }
    }

    /// Boards of the offer that are sawn alike.
    fn sawn(&self, sawing: &Sawing, rack: Option<&Stock>) -> SawnBoards {
        let held = rack.map(|rack| &rack.boards[self.entries[sawing.stock]]);
        SawnBoards {
            length: self.lengths[sawing.stock].length,
            known: held.map(|held| held.known.clone()).unwrap_or_default(),
            blanks: sawing.cuts.clone(),
            times: sawing.times,
            left: sawing.left,
        }
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
    SawnPiece { member: i, length, width: member.job().board.width, count: member.pieces() }
}

/// Why no boards are bought.
///
/// # Errors
/// Internal: anything but a length or a count that a job may ask for is a slip of this file.
fn no_board(
    problem: &CuttingError,
    offer: &Offer,
    blanks: &[SawnPiece],
    material: &str,
) -> Result<Finding, Error> {
    match *problem {
        CuttingError::TooLong { wanted, length, longest } => {
            let least = offer.wanted(&blanks[wanted]).width;
            let is_wide = |of: &&StockLength| of.width.is_none_or(|width| width >= least);
            let wide = offer.lengths.iter().filter(is_wide).map(|of| of.length);
            let Some(board) = wide.reduce(Length::max) else {
                let widest = offer.lengths.iter().filter_map(|of| of.width).reduce(Length::max);
                let measured = widest.expect("a board that is too narrow was measured");
                let (material, limit) = (material.to_string(), blanks[wanted].width);
                return Ok(codes::StockNarrow { material, measured, limit }.at("stock"));
            };
            let found =
                codes::BoardTooShort { measured: Exact(length), limit: Exact(longest), board };
            Ok(found.at(if offer.chosen == Chosen::Bought { "boards.lengths" } else { "stock" }))
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
        let offer = Offer { lengths, entries: Vec::new(), chosen: Chosen::Bought };
        let problem = CuttingError::TooMany { pieces: 1_000_001, most: 1_000_000 };
        let many = no_board(&problem, &offer, &[], "board-2x12").unwrap();
        assert!(
            many.is::<codes::TooManyBlanks>() && many.sentence().contains("1000001 blanks"),
            "{many}"
        );
        assert!(no_board(&CuttingError::NothingWanted, &offer, &[], "").is_err());
    }
}
