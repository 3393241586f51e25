//! The sheets of a search, each with just the pieces that are wanted.

use super::fills::Side;
use super::pool::Layout;
use super::{Laid, Search};
use crate::nesting::field::area;
use crate::nesting::problem::Placed;

impl Search<'_> {
    /// The fewest sheets found, each with just the pieces that are wanted.
    pub(super) fn laid(self) -> Laid {
        let stopped = self.sheets() > self.least && self.room.watch.is_over();
        let uses = self.best.clone().unwrap_or_default();
        let layouts = self.pool.layouts();
        let filled = |layout: usize| {
            let pieces = self.room.problem.pieces();
            let counts = layouts[layout].counts.iter().zip(pieces);
            counts.map(|(n, p)| if *n > 0 { *n as f64 * area(&p.outline) } else { 0.0 }).sum()
        };
        let mut uses: Vec<(f64, usize, usize)> =
            uses.into_iter().map(|(layout, times)| (filled(layout), layout, times)).collect();
        uses.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut left = self.demand.clone();
        let mut sheets = Vec::new();
        for (_, number, times) in uses {
            let layout = &layouts[number];
            let mut times = times;
            while times > 0 {
                // Layouts may hold more than is wanted: what is too much is left off.
                let whole = layout.counts.iter().zip(&left).filter(|(n, _)| **n > 0);
                let run = whole.map(|(n, left)| left / n).min().unwrap_or(0).min(times);
                let placed = match run {
                    0 => self.wanted_of(layout, &left),
                    _ => layout.placed.clone(),
                };
                let run = run.max(1);
                times -= run;
                for one in &placed {
                    left[one.piece] -= run;
                }
                if !placed.is_empty() {
                    sheets.push((run, placed, layout.method));
                }
            }
        }
        if let Some(last) = sheets.last_mut().filter(|last| last.0 == 1) {
            self.drawn_together(last);
        }
        Laid { sheets, stopped }
    }

    /// Of a layout no more of each kind than are left, those that reach least far.
    fn wanted_of(&self, layout: &Layout, left: &[usize]) -> Vec<Placed> {
        let mut placed = Vec::new();
        for (kind, left) in left.iter().enumerate().filter(|(kind, _)| layout.counts[*kind] > 0) {
            let own: Vec<Placed> =
                layout.placed.iter().filter(|p| p.piece == kind).copied().collect();
            placed.extend(self.room.kept(&own, *left, Side::Left));
        }
        placed
    }

    /// The last sheet laid anew, if that leaves a larger rest of it.
    fn drawn_together(&self, sheet: &mut (usize, Vec<Placed>, &'static str)) {
        let mut counts = vec![0; self.demand.len()];
        sheet.1.iter().for_each(|p| counts[p.piece] += 1);
        let laid = self.room.with_all(&counts);
        let rest = |placed: &[Placed]| self.room.remnant(placed);
        if let Some(found) = laid.filter(|l| rest(&l.placed) > rest(&sheet.1)) {
            (sheet.1, sheet.2) = (found.placed, found.method);
        }
    }
}
