//! What boards can cost at all: a bound is lifted to the least cost of any boards that are long
//! enough in all for the pieces.
//!
//! Boards at odd prices have a fine lattice of costs, most of which no boards come to: between the
//! bound of a linear programme and the cost of so many boards there is nothing. The least cost of
//! boards with room enough that is no less than the bound is a bound too (a knapsack cover over the
//! stocks, by going through how many of each: exponential in the stocks, so by steps that are
//! counted).

use super::instance::Instance;

/// How many ways to take boards are looked at.
const MOST_STEPS: usize = 30000;

/// The least cost, no less than `bound` and less than `most`, of boards that hold the pieces by
/// their length; `most` where there is none, and the bound itself where there are too many to look
/// at.
pub(super) fn lifted(instance: &Instance, bound: i64, most: i64) -> i64 {
    let widths = instance.kinds.iter().map(|kind| kind.width * kind.count as i64).sum();
    let mut ways = Ways { instance, bound, least: most, steps: MOST_STEPS };
    if ways.go_on(0, 0, widths) { ways.least } else { bound }
}

struct Ways<'a> {
    instance: &'a Instance,
    bound: i64,
    least: i64,
    steps: usize,
}

impl Ways<'_> {
    /// Every number of each stock from this one on; false where it was given up.
    fn go_on(&mut self, stock: usize, cost: i64, left: i64) -> bool {
        if cost >= self.least {
            return true;
        }
        if left <= 0 && cost >= self.bound {
            self.least = cost;
            return true;
        }
        let Some(board) = self.instance.stocks.get(stock) else { return true };
        if self.steps == 0 {
            return false;
        }
        self.steps -= 1;
        let mut n = 0;
        // Boards for nothing beyond those that are needed change nothing.
        while board.available.is_none_or(|most| n <= most)
            && cost + board.cost * (n as i64) < self.least
            && (board.cost > 0 || left > board.room * (n as i64 - 1))
        {
            let taken = n as i64;
            if !self.go_on(stock + 1, cost + board.cost * taken, left - board.room * taken) {
                return false;
            }
            n += 1;
        }
        true
    }
}
