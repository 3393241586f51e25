//! A set and the rack that it is cut from: whether that holds enough, what is taken of it, what all
//! of it costs.

use super::{Set, SheetRun};
use crate::diagnostics::{Finding, codes};
use crate::job::{Held, Offcut, Stock, Taken};
use crate::profile::Form;
use crate::units::{money, on_tape};

/// What a set costs, where a rack has prices.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// What it is in; empty where nobody said.
    pub currency: String,
    /// Of its boards, as far as they have prices.
    pub boards: f64,
    /// Of its sheets, as far as they have prices.
    pub sheets: f64,
    /// Of the machine's hours.
    pub machine: f64,
    /// What is taken and has no price; none of it is in the figures.
    pub unpriced: Vec<String>,
}

impl Cost {
    /// All of it; none where something of it has no price.
    pub fn total(&self) -> Option<f64> {
        self.unpriced.is_empty().then(|| self.priced())
    }

    /// What has a price.
    pub fn priced(&self) -> f64 {
        self.boards + self.sheets + self.machine
    }

    /// What it comes to in words: what is not in a sum is said with it.
    pub fn told(&self) -> String {
        let amount = self.money(self.priced());
        match &self.unpriced[..] {
            [] => amount,
            of => format!("not known: no price for {}; all else is {amount}", of.join(", ")),
        }
    }

    /// An amount in its currency, where one was said.
    pub fn money(&self, amount: f64) -> String {
        format!("{} {}", money(amount), self.currency).trim_end().to_string()
    }
}

/// What the whole sheets of a material cost, the cheapest first, as they are taken.
#[derive(Clone, Debug)]
pub(super) struct SheetPrices(Vec<Held>);

/// What one sheet less would save.
#[derive(Clone, Copy, Debug)]
pub(super) enum Saved {
    /// So much.
    Price(f64),
    /// Nobody said what it costs: offcuts are used first.
    Unpriced,
    /// There is no such sheet, so that no price is too high.
    Short,
}

impl SheetPrices {
    pub(super) fn of(rack: &Stock, material: &str) -> Self {
        Self(whole_by_price(rack, material).into_iter().map(|i| rack.sheets[i].clone()).collect())
    }

    /// What the last one of so many costs.
    pub(super) fn of_last(&self, sheets: usize) -> Saved {
        let mut before = 0_usize;
        let last = self.0.iter().find(|held| {
            before = before.saturating_add(held.count.unwrap_or(usize::MAX));
            before >= sheets
        });
        match last.map(|held| held.price) {
            None => Saved::Short,
            Some(None) => Saved::Unpriced,
            Some(Some(price)) => Saved::Price(price),
        }
    }
}

/// The entries of a rack's whole sheets of a material in the sequence in which they are taken: one
/// without a price is not for nothing, so that those with theirs come first.
fn whole_by_price(rack: &Stock, material: &str) -> Vec<usize> {
    let is_whole = |held: &Held| held.material == material && held.size().is_none();
    let mut own: Vec<usize> =
        (0..rack.sheets.len()).filter(|&i| is_whole(&rack.sheets[i])).collect();
    let price = |i: usize| rack.sheets[i].price.unwrap_or(f64::INFINITY);
    own.sort_by(|&a, &b| price(a).total_cmp(&price(b)));
    own
}

/// So many whole sheets of a material as they are taken, cheap ones first: how many of which entry
/// of the rack, and how many there are too few.
pub(super) fn whole_sheets(
    rack: &Stock,
    material: &str,
    needed: usize,
) -> (Vec<(usize, usize)>, usize) {
    let (mut taken, mut needed) = (Vec::new(), needed);
    for entry in whole_by_price(rack, material) {
        let some = rack.sheets[entry].count.map_or(needed, |count| count.min(needed));
        taken.push((entry, some));
        needed -= some;
    }
    (taken, needed)
}

impl Saved {
    /// Whether it is more than offcuts cost. What has no price costs without end: it is not for
    /// nothing beside a sheet that has one.
    pub(super) fn is_above(self, cost: f64) -> bool {
        match self {
            Self::Short | Self::Unpriced => true,
            Self::Price(saved) => cost < saved,
        }
    }
}

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

impl Set {
    /// What a rack has too little of.
    pub(super) fn too_little(&self, rack: &Stock) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (material, needed) in self.sheets_needed() {
            let offcuts_alone = rack.sheet_offcuts_of(&material).next().is_some();
            if rack.sheets_of(&material).next().is_none() && !offcuts_alone {
                findings.push(codes::StockWithout { material }.at("stock"));
                continue;
            }
            let limit: Option<usize> = rack.sheets_of(&material).map(|of| of.count).sum();
            if let Some(limit) = limit.filter(|limit| *limit < needed) {
                let (measured, limit) = (needed.into(), limit.into());
                findings.push(codes::StockSheets { material, measured, limit }.at("stock"));
            }
        }
        findings
    }

    /// How many whole sheets of each material are cut.
    fn sheets_needed(&self) -> Vec<(String, usize)> {
        let mut needed: Vec<(String, usize)> = Vec::new();
        let whole = self.nests.iter().filter(|nest| nest.offcut.is_none());
        let of_nests = whole.map(|nest| (nest.material.clone(), nest.sheets));
        let is_of_sheets = |form: Form| form == Form::Sheet && self.nests.is_empty();
        let alone = self.members.iter().filter_map(|member| {
            let material = &member.job().cut.material;
            let is_cut = member.workup.planned.is_some() && is_of_sheets(material.form);
            is_cut.then(|| (material.name.clone(), member.pieces()))
        });
        for (material, count) in of_nests.chain(alone) {
            match needed.iter_mut().find(|(of, _)| *of == material) {
                Some((_, sum)) => *sum += count,
                None => needed.push((material, count)),
            }
        }
        needed
    }

    /// What stays of its sheets in one rectangle each.
    fn sheet_offcuts(&self) -> Vec<Offcut> {
        let offcut = |run: &SheetRun| {
            let member = run.kinds.first()?.member;
            let [length, width] = run.remnant_size;
            let material = self.members[member].job().cut.material.name.clone();
            Some(Offcut { material, length, width: Some(width), count: run.times })
        };
        self.sheets.iter().filter_map(offcut).collect()
    }

    /// What is taken of the rack, and what is left of it; cheap sheets first.
    pub fn taken(&self) -> Option<Taken> {
        let rack = self.rack.as_ref()?;
        let mut taken = Taken {
            boards: vec![0; rack.boards.len()],
            sheets: vec![0; rack.sheets.len()],
            offcuts: Vec::new(),
            sheet_offcuts: self.sheet_offcuts(),
        };
        for nest in &self.nests {
            nest.offcut.iter().for_each(|of| taken.sheets[of.entry] += nest.sheets);
        }
        for plan in &self.boards {
            plan.taken.iter().for_each(|(entry, times)| taken.boards[*entry] += times);
            taken.offcuts.extend(plan.boards.iter().map(|of| Offcut {
                material: plan.material.clone(),
                length: of.left,
                width: of.known.width,
                count: of.times,
            }));
        }
        for (material, needed) in self.sheets_needed() {
            let (whole, _) = whole_sheets(rack, &material, needed);
            whole.into_iter().for_each(|(entry, count)| taken.sheets[entry] += count);
        }
        Some(taken)
    }

    /// What all of it costs with the machines running for so long; none where the rack has no price
    /// for anything.
    pub fn cost(&self, machine_s: f64) -> Option<Cost> {
        let rack = self.rack.as_ref()?;
        let taken = self.taken()?;
        let prices = rack.boards.iter().chain(&rack.sheets).filter_map(|held| held.price);
        if !prices.chain(rack.hour).any(|price| price > 0.0) {
            return None;
        }
        let both = [(&rack.boards, &taken.boards, "board"), (&rack.sheets, &taken.sheets, "sheet")];
        let mut unpriced: Vec<String> = Vec::new();
        let [boards, sheets] = both.map(|(held, counts, what)| {
            let used = held.iter().zip(counts).filter(|(_, count)| **count > 0);
            // The sum of nothing is less than nothing by its sign, until something is added.
            let mut sum = 0.0;
            for (held, count) in used {
                match held.price {
                    Some(price) => sum += price * *count as f64,
                    None => unpriced.push(unpriced_words(held, what)),
                }
            }
            sum
        });
        let alone = self.members.iter().flat_map(|member| &member.workup.beside.boards);
        if !self.step_boards.is_empty() || alone.count() > 0 {
            unpriced.push("the boards of treads, riser boards and skirts".to_string());
        }
        if rack.hour.is_none() && machine_s > 0.0 {
            unpriced.push("an hour of the machine".to_string());
        }
        let machine = rack.hour.unwrap_or(0.0) * machine_s / HOUR_S;
        Some(Cost { currency: rack.currency.clone(), boards, sheets, machine, unpriced })
    }
}

fn unpriced_words(held: &Held, what: &str) -> String {
    match held.length {
        Some(length) => format!("a {what} of {}, {}", held.material, on_tape(length)),
        None => format!("a {what} of {}", held.material),
    }
}
