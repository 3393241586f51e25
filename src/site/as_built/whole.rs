//! The least schedule in whole steps of a grid, tread by tread.
//!
//! Where every riser lies between some least figure and that plus the spread, the least total up to
//! each tread depends only on how far that tread is moved: dynamic programming (Bellman's
//! principle). The smallest riser is one of the risers as built, so many steps away, so every least
//! figure that can matter is tried.

use super::grid::Grid;
use super::limits::RiserLimits;
use super::programme::Programme;
use crate::profile::ON_THE_LIMIT;
use crate::units::Length;

/// More steps of computing than this are not taken: a few hundredths of a second.
const MOST_WORK: usize = 20_000_000;

/// The moves in whole steps of least total, limits on neighbours left aside; `None` where there are
/// none, or the flight and its rooms are too large to look.
pub(super) fn least_whole(
    exact: &Programme<'_>,
    limits: &RiserLimits,
    grid: Grid,
) -> Option<Vec<Length>> {
    let step = grid.step().as_mm();
    let steps = |length: Length| (grid.below(length).as_mm() / step).round() as i64;
    let rooms: Vec<(i64, i64)> =
        exact.room.iter().map(|room| (-steps(room.trim()), steps(room.shim()))).collect();
    let risers: Vec<f64> = exact.flight.risers().into_iter().map(Length::as_mm).collect();
    let windows = windows(&risers, &rooms, limits, step);
    let widest = rooms.iter().map(|(low, high)| (high - low + 1) as usize).max()?;
    let work = windows.len().checked_mul(rooms.len())?.checked_mul(widest.checked_mul(widest)?)?;
    if work > MOST_WORK {
        return None;
    }
    let found = windows.iter().filter_map(|window| least_inside(&risers, &rooms, *window, step));
    let (_, moves) = found.min_by_key(|(total, _)| *total)?;
    Some(moves.into_iter().map(|by| grid.step() * by as f64).collect())
}

/// Every least and most figure of a riser that can matter.
fn windows(
    risers: &[f64],
    rooms: &[(i64, i64)],
    limits: &RiserLimits,
    step: f64,
) -> Vec<(f64, f64)> {
    let figure = |bound: &Option<super::Bound>| bound.as_ref().map(|bound| bound.figure.as_mm());
    let least = figure(&limits.least).unwrap_or(0.0);
    let most = figure(&limits.most).unwrap_or(f64::INFINITY);
    let Some(spread) = figure(&limits.spread) else { return vec![(least, most)] };
    // The smallest riser is no more than the middle of all, and no less than the spread below it.
    let middle = risers.iter().sum::<f64>() / risers.len() as f64;
    let reach: i64 = rooms.iter().map(|(low, high)| high - low).max().unwrap_or(0);
    let mut smallest: Vec<f64> = risers
        .iter()
        .flat_map(|riser| (-reach..=reach).map(move |by| riser + by as f64 * step))
        .filter(|figure| (middle - spread - ON_THE_LIMIT..=middle + ON_THE_LIMIT).contains(figure))
        .collect();
    smallest.sort_by(f64::total_cmp);
    smallest.dedup_by(|a, b| (*a - *b).abs() < ON_THE_LIMIT / 4.0);
    smallest
        .into_iter()
        .map(|smallest| (smallest.max(least), (smallest + spread).min(most)))
        .collect()
}

/// The least total in steps, and the moves, with every riser inside a window.
fn least_inside(
    risers: &[f64],
    rooms: &[(i64, i64)],
    (low, high): (f64, f64),
    step: f64,
) -> Option<(i64, Vec<i64>)> {
    let slack = ON_THE_LIMIT / 2.0;
    let inside = |riser: f64| (low - slack..=high + slack).contains(&riser);
    // For each move of the last tread: the least total, and the move of the tread before it.
    let mut layers: Vec<Vec<(i64, i64, i64)>> = vec![vec![(0, 0, 0)]];
    for (riser, &(least, most)) in risers.iter().zip(rooms) {
        let before = layers.last()?;
        let reached = (least..=most).filter_map(|by| {
            let from = before.iter().filter(|(last, ..)| inside(riser + (by - last) as f64 * step));
            from.min_by_key(|(_, total, _)| *total)
                .map(|(last, total, _)| (by, total + by.abs(), *last))
        });
        let reached = reached.collect();
        layers.push(reached);
    }
    let top = risers.last()?;
    let ends = layers.last()?.iter().filter(|(last, ..)| inside(top - *last as f64 * step));
    let &(mut at, total, _) = ends.min_by_key(|(_, total, _)| *total)?;
    let mut moves = Vec::new();
    for layer in layers.iter().skip(1).rev() {
        moves.push(at);
        at = layer.iter().find(|(by, ..)| *by == at)?.2;
    }
    moves.reverse();
    Some((total, moves))
}
