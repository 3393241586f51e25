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
//! Stringers of stairs that are nearly alike, one or few of each, mesh as well as equal ones:
//! blocks of two pieces of any kinds (`pairs`) stand in columns at the start of a sheet, in the
//! rounds (`fills`) and where sheet follows sheet (`sheet_by_sheet`), the last ones too.
//!
//! **Invariant**: a step more of effort goes on where the one below it ended, so it never needs
//! more sheets. **Cost**: a round is some tens of fills, whatever the counts; rounds go by effort,
//! and all ends as soon as the sheets are as few as the bound.

mod cover;
mod fills;
mod orders;
mod pairs;
mod pool;
mod result;
mod sheet_by_sheet;

use self::fills::{Base, Fill, Room, Side, Start};
use self::orders::{ordered, shaken};
use self::pool::{Layout, Pool, Uses, worth};
use super::beam_search;
use super::field::{Field, area};
use super::figures::Least;
use super::methods::{Task, found};
use super::problem::{NestingError, Placed, Problem, Rotations};
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

/// Rounds of a step of effort, and of the first above nothing; twice as many with each further.
/// With more than so many kinds there are fewer, for each costs more.
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
    // Pairs of any kinds come behind what is found without: an order that needs none lies as it
    // did.
    search.is_paired = search.room.pairs().is_any();
    if search.is_paired {
        let paired = search.one_after_another(&problem.counts(), 0, Uses::new());
        paired.into_iter().for_each(|uses| search.offer(uses));
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
    /// Whether sheets are laid in pairs of any kinds too.
    is_paired: bool,
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
        let mut pool = Pool::new(problem.counts());
        let kinds: Vec<usize> = problem.wanted().map(|(kind, _)| kind).collect();
        let alone = |kind: &usize| alone(&room, &limited, *kind, effort).ok_or(*kind);
        let singles: Vec<Result<Layout, usize>> = kinds.par_iter().map(alone).collect();
        for single in singles {
            pool.insert(single.map_err(NestingError::TooLarge)?);
        }
        let sheets = Room::new(&limited, field, watch);
        let bases = |kind: usize| if most[kind] > 1 { sheets.bases(kind) } else { Vec::new() };
        let bases = (0..most.len()).into_par_iter().map(bases).collect();
        let (demand, best, is_paired) = (problem.counts(), None, false);
        Ok(Self { room, effort, demand, most, bases, pool, best, is_paired, least: 0, round: 0 })
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
            let Some(values) = self.pool.values().cloned() else { break };
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
                fills.push(Fill {
                    start: Start::Nothing,
                    order: order.clone(),
                    across,
                    chance: None,
                });
            }
        }
        let seed = self.effort.seed.wrapping_add(1000 * self.round as u64);
        for turn in 0..BY_CHANCE as u64 {
            let mut random = Rand64::new(u128::from(seed + turn));
            let order = shaken(&wanted, density, &mut random);
            let chance = (turn >= 2).then_some(seed + turn);
            fills.push(Fill { start: Start::Nothing, order, across: turn % 2 == 1, chance });
        }
        if self.is_paired {
            for order in [&by_density, &by_value] {
                fills.extend(self.in_pairs(order));
            }
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

    /// Fills that begin with columns of pairs, a quarter turned too where pieces may lie so.
    fn in_pairs(&self, order: &[usize]) -> Vec<Fill<'_>> {
        let turned = self.room.problem.wanted().any(|(_, p)| p.rotations != Rotations::Half);
        let ways: &[bool] = if turned { &[false, true] } else { &[false] };
        let fill = |across: &bool| {
            let (order, across) = (order.to_vec(), *across);
            Fill { start: Start::Pairs, order, across, chance: None }
        };
        ways.iter().map(fill).collect()
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
            Some(Fill { start: Start::Block(base, keep, side), order, across: false, chance: None })
        };
        let ways = [(fewer, Side::Left), (fewer + 1, Side::Bottom)];
        ways.into_iter().filter_map(|(less, side)| fill(less, side)).collect()
    }

    /// Beam searches among the worthiest kinds, three at a time.
    fn beam(&mut self, level: u32) {
        use rayon::prelude::*;
        let Some(values) = self.pool.values() else { return };
        let Some(shares) = self.pool.divided() else { return };
        // Kinds that share the sheets of the solution go well together: each such sheet is searched
        // again.
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for &(layout, _) in shares {
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
            (self.pool.values().cloned(), self.pool.divided().cloned())
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

    /// What sheets are begun with: the whole uses of the programme's solution, with what they
    /// leave; where that is nothing, as of pieces that are all different, no sheet and all of them.
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
        let shares = self.pool.divided().cloned().unwrap_or_default();
        let whole = shares.iter().map(|(layout, share)| (*layout, (share + WORTHIER) as usize));
        let fixed: Uses = whole.filter(|(_, times)| *times > 0).collect();
        let mut left = self.demand.clone();
        for (layout, times) in &fixed {
            cover::take(&mut left, &self.pool.layouts()[*layout].counts, *times);
        }
        (fixed, left)
    }
}

/// What a layout has to be worth beyond a sheet, to be no rounding.
const WORTHIER: f64 = 1e-6;

/// A piece of a kind alone on a sheet, or the fullest sheet of it where it lies tilted only.
fn alone(room: &Room<'_>, limited: &Problem, kind: usize, effort: Effort) -> Option<Layout> {
    let mut counts = vec![0; limited.pieces().len()];
    counts[kind] = 1;
    let plain = Fill { start: Start::Nothing, order: vec![kind], across: false, chance: None };
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
