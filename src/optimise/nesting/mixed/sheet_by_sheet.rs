//! Sheet after sheet, each as full as it is found of what is left.

use super::fills::{Fill, Side, Start};
use super::orders::shaken;
use super::pool::{Layout, Uses};
use super::{BASES, Search, count, cover};
use crate::nesting::field::area;
use crate::nesting::left_fill::by_size;
use oorandom::Rand64;

/// Orders of kinds in which one sheet of a row of sheets is filled, each along and across.
const ORDERS: usize = 8;
/// Of these orders so many are laid in pairs too.
const PAIRED: usize = 3;

impl Search<'_> {
    /// Sheet after sheet, each as full as it is found of what is left, and used as often as that
    /// allows (R. W. Haessler, A heuristic programming solution to a nonlinear cutting stock
    /// problem, 1971, from memory). The first turn goes by area; further ones weigh the kinds by
    /// what they are worth, shaken by chance, and end where they come to no fewer sheets than were
    /// found. `uses` are taken before.
    pub(super) fn one_after_another(
        &mut self,
        demand: &[usize],
        turn: usize,
        mut uses: Uses,
    ) -> Option<Uses> {
        let weights = self.weights(turn);
        let mut random = Rand64::new(u128::from(self.effort.seed.wrapping_add(turn as u64)));
        let mut left = demand.to_vec();
        while left.iter().any(|n| *n > 0) {
            let most: Vec<usize> = left.iter().zip(&self.most).map(|(a, b)| *a.min(b)).collect();
            let chosen = self.fullest(&most, &weights, turn, &mut random);
            let counts = &self.pool.layouts()[chosen].counts;
            // A layout of the pool may hold more than what is left: it is used once, then.
            let of_each = counts.iter().zip(&left).filter(|(n, left)| **n > 0 && **left > 0);
            let times = of_each.map(|(n, left)| left / n).min().unwrap_or(1).max(1);
            cover::take(&mut left, counts, times);
            uses.push((chosen, times));
            if turn > 0 && count(&uses) >= self.sheets() {
                return None;
            }
        }
        Some(uses)
    }

    /// What a piece of each kind weighs when a sheet is chosen.
    fn weights(&self, turn: usize) -> Vec<f64> {
        let by_area = self.room.problem.pieces().iter().zip(&self.demand);
        let by_area: Vec<f64> =
            by_area.map(|(p, n)| if *n > 0 { area(&p.outline) } else { 0.0 }).collect();
        match self.pool.values() {
            Some(values) if turn > 0 => {
                let sum = by_area.iter().sum::<f64>().max(f64::MIN_POSITIVE);
                let shares = by_area.iter().map(|a| a / sum);
                // Half and half: kinds that the programme finds worth nothing still fill a sheet.
                values.iter().zip(shares).map(|(v, share)| v + share).collect()
            }
            _ => by_area,
        }
    }

    /// The number of the layout that weighs most of those found for what is left.
    fn fullest(
        &mut self,
        most: &[usize],
        weights: &[f64],
        turn: usize,
        random: &mut Rand64,
    ) -> usize {
        let pieces = self.room.problem.pieces();
        let by_size = by_size(pieces, most);
        let mut fills = Vec::new();
        let mut orders = if turn == 0 { vec![by_size.clone()] } else { Vec::new() };
        while orders.len() < ORDERS {
            orders.push(shaken(&by_size, |kind| weights[kind], random));
        }
        for order in &orders {
            for across in [false, true] {
                fills.push(Fill {
                    start: Start::Nothing,
                    order: order.clone(),
                    across,
                    chance: None,
                });
            }
        }
        let with_base = by_size.iter().filter(|kind| most[**kind] > 1);
        for kind in with_base.take(if turn == 0 { BASES } else { 1 }) {
            if let Some(base) = self.bases[*kind].first() {
                let start = Start::Block(base, base.len().min(most[*kind]), Side::Left);
                fills.push(Fill { start, order: by_size.clone(), across: false, chance: None });
            }
        }
        if self.is_paired {
            // Behind the others: of equal weights the layout without pairs of two kinds stays.
            fills.extend(orders.iter().take(PAIRED).flat_map(|order| self.in_pairs(order)));
        }
        let mut found = self.room.filled(&fills, most);
        if found.is_empty() {
            // Told to stop, or the work of all fills was spent: one way is worked off all the same.
            let plain =
                Fill { start: Start::Nothing, order: by_size.clone(), across: false, chance: None };
            found.extend(self.room.layout(&plain, most));
        }
        let of_left = |layout: &Layout| -> f64 {
            let held = layout.counts.iter().zip(most).map(|(n, most)| (*n).min(*most) as f64);
            held.zip(weights).map(|(n, weight)| n * weight).sum()
        };
        let mut best: Option<(f64, usize)> = None;
        for layout in found {
            let weight = of_left(&layout);
            let number = self.pool.insert(layout);
            if best.is_none_or(|b| weight > b.0) {
                best = Some((weight, number));
            }
        }
        // Every kind lies alone on a layout of the pool, so one always holds something.
        let known =
            || (0..self.pool.layouts().len()).map(|i| (of_left(&self.pool.layouts()[i]), i));
        best.or_else(|| known().max_by(|a, b| a.0.total_cmp(&b.0)))
            .expect("a pool holds every kind alone")
            .1
    }
}
