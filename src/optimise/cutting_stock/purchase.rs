//! The boards to buy and how each is sawn.

use super::instance::Instance;
use super::pattern::Plan;
use crate::units::Length;

/// Boards sawn alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Sawing {
    /// The entry of the problem's stock.
    pub stock: usize,
    /// The problem's wanted entries in the sequence they are cut, one for each piece, longest
    /// first.
    pub cuts: Vec<usize>,
    /// How many boards.
    pub times: usize,
    /// What is left of each, without the end trims and the kerf that cuts it free.
    pub left: Length,
}

/// What to buy for a problem.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// The boards, longest pieces first.
    pub boards: Vec<Sawing>,
    /// What they cost, in the unit of the stock's costs.
    pub cost: f64,
    /// No boards that hold all pieces cost less, in the same unit.
    pub bound: f64,
    /// Whether the cost is the bound: nothing cheaper exists.
    pub proven: bool,
    /// What first-fit decreasing would have cost; `None` where it runs out of boards on offer.
    pub first_fit_cost: Option<f64>,
}

impl Purchase {
    pub(super) fn new(
        instance: &Instance,
        plan: &Plan,
        bound: i64,
        first_fit: Option<i64>,
    ) -> Self {
        Self {
            boards: sawings(instance, plan),
            cost: instance.cost(plan.cost),
            bound: instance.cost(bound.min(plan.cost)),
            proven: plan.cost <= bound,
            first_fit_cost: first_fit.map(|cost| instance.cost(cost)),
        }
    }

    /// How many boards in all.
    pub fn board_count(&self) -> usize {
        self.boards.iter().map(|sawing| sawing.times).sum()
    }
}

/// Gives every piece of a plan the entry of the problem that it fills; boards sawn alike are told
/// once.
fn sawings(instance: &Instance, plan: &Plan) -> Vec<Sawing> {
    let mut boards = plan.boards.clone();
    // Patterns compare by stock, then by their longest pieces.
    boards.sort();
    let mut entries: Vec<Vec<(usize, usize)>> =
        instance.kinds.iter().map(|kind| kind.entries.iter().rev().copied().collect()).collect();
    let mut boards_left: Vec<Vec<(usize, Option<usize>)>> =
        instance.stocks.iter().map(|stock| stock.entries.iter().rev().copied().collect()).collect();
    let mut sawings: Vec<Sawing> = Vec::new();
    for (pattern, times) in &boards {
        let left = instance.left(pattern.stock, pattern.used(instance));
        let mut times_left = *times;
        while times_left > 0 {
            let (stock, most) = board(&mut boards_left[pattern.stock], times_left);
            let (cuts, run) = cut(&mut entries, &pattern.pieces, most);
            times_left -= run;
            // What of the run is not sawn alike goes back for the next.
            give_back(&mut boards_left[pattern.stock], stock, most - run);
            match sawings.last_mut() {
                Some(last) if last.stock == stock && last.cuts == cuts => last.times += run,
                _ => sawings.push(Sawing { stock, cuts, times: run, left }),
            }
        }
    }
    sawings
}

/// Takes boards of one entry of a stock, the next that has any, as many as it has and are wanted.
///
/// # Panics
/// Never: a plan uses no board that is not there.
fn board(left: &mut Vec<(usize, Option<usize>)>, wanted: usize) -> (usize, usize) {
    while left.last().is_some_and(|(_, count)| *count == Some(0)) {
        left.pop();
    }
    let (entry, count) = left.last_mut().expect("a plan uses no board that is not there");
    let taken = count.map_or(wanted, |count| count.min(wanted));
    *count = count.map(|count| count - taken);
    (*entry, taken)
}

/// Puts boards of an entry that were taken last back.
fn give_back(left: &mut [(usize, Option<usize>)], entry: usize, boards: usize) {
    let own = left.iter_mut().filter(|(of, _)| *of == entry);
    own.for_each(|(_, count)| *count = count.map(|count| count + boards));
}

/// The entries of one board, and on how many boards in a row they stay the same.
fn cut(
    entries: &mut [Vec<(usize, usize)>],
    pieces: &[(usize, usize)],
    most: usize,
) -> (Vec<usize>, usize) {
    let lasts =
        |&(kind, n): &(usize, usize)| entries[kind].last().map_or(0, |&(_, count)| count / n);
    // As long as no entry runs out in the middle, boards in a row get the same entries.
    let run = pieces.iter().map(lasts).min().unwrap_or(0).clamp(1, most);
    let mut cuts = Vec::new();
    for &(kind, n) in pieces {
        for _ in 0..n {
            let Some((entry, count)) = entries[kind].last_mut() else { continue };
            cuts.push(*entry);
            *count -= run.min(*count);
            if *count == 0 {
                entries[kind].pop();
            }
        }
    }
    (cuts, run)
}
