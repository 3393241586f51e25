//! Several kinds of pieces on as few sheets as are found: column generation over layouts.
//!
//! A layout of one sheet is a pattern, how many of each kind it holds. A linear programme over the
//! patterns known says what each kind is worth (`pool`); new layouts are laid for those values
//! (`fills`), worthiest kinds first, in many ways; whole numbers of sheets are found from the
//! programme's solution and a search over what it leaves (`cover`), and by laying sheet after sheet
//! (P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, 1961;
//! as in sequential value correction, G. Belov, G. Scheithauer, E. Mukhacheva, One-dimensional
//! heuristics adapted for two-dimensional rectangular strip packing, 2008; from memory). Here the
//! layouts are found by construction, so the programme bounds nothing; bounds are `least`'s.
//!
//! **Invariant**: a step more of effort goes on where the one below it ended, so it never needs
//! more sheets. **Cost**: a round is some tens of fills, whatever the counts; rounds go by effort,
//! and all ends as soon as the sheets are as few as the bound.

mod cover;
mod fills;
mod orders;
mod pool;

use self::fills::{Base, Fill, Room, Side};
use self::orders::{ordered, shaken};
use self::pool::{Layout, Pool, Uses, worth};
use super::beam_search;
use super::field::{Field, area};
use super::figures::Least;
use super::left_fill::by_size;
use super::methods::{Task, found};
use super::problem::{NestingError, Placed, Problem};
use super::watch::Watch;
use super::{Effort, layout};
use oorandom::Rand64;

/// The sheets of an order.
pub(super) struct Laid {
    /// How often each layout, its pieces, how it was found.
    pub sheets: Vec<(usize, Vec<Placed>, &'static str)>,
    /// Whether the watch ended the search before it was through.
    pub stopped: bool,
}

/// Rounds of a step of effort, and of the first above nothing; twice as many with each further. With
/// more than so many kinds there are fewer, for each costs more.
const ROUNDS: [usize; 2] = [4, 16];
const MANY_KINDS: usize = 4;
/// Of the first step of effort no fewer up to so many kinds, twice as many with each further step.
const FEWEST_ROUNDS: usize = 24;
const SOME_KINDS: usize = 16;
/// Kinds up to which sheets are searched by beams too: their tables grow with the square.
const BEAMED: usize = 8;
/// Rounds without a worthier layout or fewer sheets after which a step of effort ends.
const IDLE: usize = 24;
/// Kinds that sheets begin with in one round, the worthiest; and fills by chance.
const BASES: usize = 6;
const BY_CHANCE: usize = 4;
/// Orders of kinds in which one sheet of a row of sheets is filled, each along and across.
const ORDERS: usize = 8;
/// Kinds that one beam search is given, its table growing with their square.
const BEAM_KINDS: usize = 3;
/// Steps of effort that make a difference here.
const LONGEST: u32 = 8;

/// Lays a problem of several kinds; ends once it needs no more sheets than the least there are.
///
/// # Errors
/// If a piece finds no place on an empty sheet.
pub(super) fn lay(
    problem: &Problem,
    field: &Field,
    effort: Effort,
    watch: &Watch<'_>,
    least: &Least<'_>,
) -> Result<Laid, NestingError> {
    if least.by_area() == 1
        && let Some(all) = Room::new(problem, field, watch).with_all(&problem.counts())
    {
        // Nothing is fewer than one sheet, so nothing else is searched.
        watch.tell(1, 1);
        return Ok(Laid { sheets: vec![(1, all.placed, all.method)], stopped: false });
    }
    let mut search = Search::new(problem, field, effort, watch)?;
    let first = search.one_after_another(&problem.counts(), 0, Uses::new());
    first.into_iter().for_each(|uses| search.offer(uses));
    search.least = least.by_area();
    if search.is_done() {
        return Ok(search.laid());
    }
    search.least = least.sheets();
    for level in 0..=effort.level.min(LONGEST) {
        search.step(level);
    }
    Ok(search.laid())
}

struct Search<'a> {
    room: Room<'a>,
    effort: Effort,
    demand: Vec<usize>,
    /// No more of a kind than this go on one sheet.
    most: Vec<usize>,
    /// The blocks of each kind, of those of which a sheet may hold several.
    bases: Vec<Vec<Base>>,
    pool: Pool,
    best: Option<Uses>,
    least: usize,
    round: usize,
}

impl<'a> Search<'a> {
    fn new(
        problem: &'a Problem,
        field: &'a Field,
        effort: Effort,
        watch: &'a Watch<'a>,
    ) -> Result<Self, NestingError> {
        use rayon::prelude::*;
        let limited = layout::limited(problem, field);
        let most = limited.counts();
        let room = Room::new(problem, field, watch);
        let mut pool = Pool::default();
        let kinds: Vec<usize> = problem.wanted().map(|(kind, _)| kind).collect();
        let alone = |kind: &usize| alone(&room, &limited, *kind, effort).ok_or(*kind);
        let singles: Vec<Result<Layout, usize>> = kinds.par_iter().map(alone).collect();
        for single in singles {
            pool.insert(single.map_err(NestingError::TooLarge)?);
        }
        let sheets = Room::new(&limited, field, watch);
        let bases = |kind: usize| if most[kind] > 1 { sheets.bases(kind) } else { Vec::new() };
        let bases = (0..most.len()).into_par_iter().map(bases).collect();
        let demand = problem.counts();
        Ok(Self { room, effort, demand, most, bases, pool, best: None, least: 0, round: 0 })
    }

    fn sheets(&self) -> usize {
        self.best.as_ref().map_or(usize::MAX, count)
    }

    fn is_done(&self) -> bool {
        self.sheets() <= self.least || self.room.watch.is_over()
    }

    fn offer(&mut self, uses: Uses) {
        if count(&uses) < self.sheets() {
            self.best = Some(uses);
        }
        self.room.watch.tell(self.sheets(), self.least);
    }

    /// One step of effort.
    fn step(&mut self, level: u32) {
        let rounds = match level {
            0 => ROUNDS[0],
            level => ROUNDS[1] << (level - 1),
        };
        let kinds = self.room.problem.wanted().count();
        let fewest = FEWEST_ROUNDS * SOME_KINDS / kinds.max(SOME_KINDS);
        let rounds = (rounds * MANY_KINDS / kinds.max(MANY_KINDS)).max(fewest << level);
        let mut idle = 0;
        for _ in 0..rounds {
            if self.is_done() || idle == IDLE {
                break;
            }
            let Some(values) = self.pool.values(&self.demand) else { break };
            let sheets = self.sheets();
            let is_worthier = self.lay_for(&values);
            self.round += 1;
            self.whole();
            if !self.is_done() {
                let (fixed, rest) = self.begun();
                let uses = self.one_after_another(&rest, self.round, fixed);
                uses.into_iter().for_each(|uses| self.offer(uses));
            }
            idle = if is_worthier || self.sheets() < sheets { 0 } else { idle + 1 };
        }
        if level > 0 && kinds <= BEAMED && !self.is_done() {
            self.beam(level);
            self.whole();
        }
    }

    /// Lays sheets for what pieces are worth; whether one is worth more than a sheet.
    fn lay_for(&mut self, values: &[f64]) -> bool {
        let pieces = self.room.problem.pieces();
        let density = |kind: usize| values[kind] / area(&pieces[kind].outline);
        let wanted: Vec<usize> = (0..self.most.len()).filter(|kind| self.most[*kind] > 0).collect();
        let by_density = ordered(&wanted, density);
        let by_value = ordered(&wanted, |kind| values[kind]);
        let mut fills = Vec::new();
        for order in [&by_density, &by_value] {
            for across in [false, true] {
                fills.push(Fill { base: None, order: order.clone(), across, chance: None });
            }
        }
        let seed = self.effort.seed.wrapping_add(1000 * self.round as u64);
        for turn in 0..BY_CHANCE as u64 {
            let mut random = Rand64::new(u128::from(seed + turn));
            let order = shaken(&wanted, density, &mut random);
            let chance = (turn >= 2).then_some(seed + turn);
            fills.push(Fill { base: None, order, across: turn % 2 == 1, chance });
        }
        let with_base = by_density.iter().filter(|kind| !self.bases[**kind].is_empty());
        for kind in with_base.take(BASES) {
            fills.extend(self.on_bases(*kind, &by_density));
        }
        let found = self.room.filled(&fills, &self.most);
        let mut is_worthier = false;
        for layout in found {
            is_worthier |= worth(&layout.counts, values) > 1.0 + WORTHIER;
            self.pool.insert(layout);
        }
        is_worthier
    }

    /// Fills that begin with blocks of a kind: another block, and another part of it, each round.
    fn on_bases(&self, kind: usize, order: &[usize]) -> Vec<Fill<'_>> {
        let bases = &self.bases[kind];
        let base = &bases[self.round % bases.len()];
        let fewer = self.round / bases.len();
        let fill = |less: usize, side: Side| {
            let keep = base.len().checked_sub(less % base.len().max(1))?;
            let mut order = order.to_vec();
            if less > 0 {
                // The block was cut short to make room for others: they come first.
                order.retain(|k| *k != kind);
                order.push(kind);
            }
            Some(Fill { base: Some((base, keep, side)), order, across: false, chance: None })
        };
        let ways = [(fewer, Side::Left), (fewer + 1, Side::Bottom)];
        ways.into_iter().filter_map(|(less, side)| fill(less, side)).collect()
    }

    /// Beam searches among the worthiest kinds, three at a time.
    fn beam(&mut self, level: u32) {
        use rayon::prelude::*;
        let Some(values) = self.pool.values(&self.demand) else { return };
        let Some(shares) = self.pool.divided(&self.demand) else { return };
        // Kinds that share the sheets of the solution go well together: each such sheet is searched
        // again.
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for (layout, _) in shares {
            let counts = &self.pool.layouts()[layout].counts;
            let held: Vec<usize> = (0..counts.len()).filter(|kind| counts[*kind] > 0).collect();
            let mut group = ordered(&held, |kind| values[kind] * counts[kind] as f64);
            group.truncate(BEAM_KINDS);
            group.sort_unstable();
            if !groups.contains(&group) {
                groups.push(group);
            }
        }
        groups.truncate(BEAM_KINDS << level.min(3));
        let effort = Effort { level, ..self.effort };
        let search = |group: &Vec<usize>| {
            if self.room.watch.is_over() {
                return None;
            }
            let counts: Vec<usize> = (0..self.most.len())
                .map(|kind| if group.contains(&kind) { self.most[kind] } else { 0 })
                .collect();
            let problem = self.room.problem.with_counts(&counts);
            let placed = beam_search::fill_watched(&problem, effort, self.room.watch);
            self.room.valid(placed, "beam search")
        };
        let found: Vec<Option<Layout>> = groups.par_iter().map(search).collect();
        found.into_iter().flatten().for_each(|layout| {
            self.pool.insert(layout);
        });
    }

    /// Whole sheets from the layouts known, if they are fewer than the fewest so far.
    fn whole(&mut self) {
        let (Some(values), Some(shares)) =
            (self.pool.values(&self.demand), self.pool.divided(&self.demand))
        else {
            return;
        };
        let divided = (worth(&self.demand, &values) - WORTHIER).ceil().max(0.0) as usize;
        for sheets in divided.max(self.least)..self.sheets() {
            if self.is_done() {
                break;
            }
            let layouts = self.pool.layouts();
            if let Some(uses) = cover::cover(&self.demand, layouts, &values, &shares, sheets) {
                self.offer(uses);
                break;
            }
        }
    }

    /// What sheets are begun with: the whole uses of the programme's solution, with what they leave;
    /// where that is nothing, as of pieces that are all different, no sheet and all of them.
    fn begun(&self) -> (Uses, Vec<usize>) {
        let (fixed, rest) = self.rest();
        if rest.iter().all(|n| *n == 0) {
            (Uses::new(), self.demand.clone())
        } else {
            (fixed, rest)
        }
    }

    /// The whole uses of the programme's solution, and what they leave.
    fn rest(&self) -> (Uses, Vec<usize>) {
        let shares = self.pool.divided(&self.demand).unwrap_or_default();
        let whole = shares.iter().map(|(layout, share)| (*layout, (share + WORTHIER) as usize));
        let fixed: Uses = whole.filter(|(_, times)| *times > 0).collect();
        let mut left = self.demand.clone();
        for (layout, times) in &fixed {
            cover::take(&mut left, &self.pool.layouts()[*layout].counts, *times);
        }
        (fixed, left)
    }

    /// Sheet after sheet, each as full as it is found of what is left, and used as often as that
    /// allows (R. W. Haessler, A heuristic programming solution to a nonlinear cutting stock
    /// problem, 1971, from memory). The first turn goes by area; further ones weigh the kinds by
    /// what they are worth, shaken by chance, and end where they come to no fewer sheets than were
    /// found. `uses` are taken before.
    fn one_after_another(&mut self, demand: &[usize], turn: usize, mut uses: Uses) -> Option<Uses> {
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
        match self.pool.values(&self.demand) {
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
        for order in orders {
            for across in [false, true] {
                fills.push(Fill { base: None, order: order.clone(), across, chance: None });
            }
        }
        let with_base = by_size.iter().filter(|kind| most[**kind] > 1);
        for kind in with_base.take(if turn == 0 { BASES } else { 1 }) {
            if let Some(base) = self.bases[*kind].first() {
                let base = Some((base, base.len().min(most[*kind]), Side::Left));
                fills.push(Fill { base, order: by_size.clone(), across: false, chance: None });
            }
        }
        let mut found = self.room.filled(&fills, most);
        if found.is_empty() {
            // Told to stop, or the work of all fills was spent: one way is worked off all the same.
            let plain = Fill { base: None, order: by_size.clone(), across: false, chance: None };
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

    /// The fewest sheets found, each with just the pieces that are wanted.
    fn laid(self) -> Laid {
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

/// What a layout has to be worth beyond a sheet, to be no rounding.
const WORTHIER: f64 = 1e-6;

/// A piece of a kind alone on a sheet, or the fullest sheet of it where it lies tilted only.
fn alone(room: &Room<'_>, limited: &Problem, kind: usize, effort: Effort) -> Option<Layout> {
    let mut counts = vec![0; limited.pieces().len()];
    counts[kind] = 1;
    let plain = Fill { base: None, order: vec![kind], across: false, chance: None };
    room.layout(&plain, &counts).or_else(|| {
        let problem = limited.with_counts(&counts);
        let task = Task { problem: &problem, field: room.field, effort, watch: room.watch };
        let tilted = found(&task, 1).into_iter().next()?;
        room.valid(tilted.placed, tilted.method)
    })
}

fn count(uses: &Uses) -> usize {
    uses.iter().map(|(_, times)| times).sum()
}
