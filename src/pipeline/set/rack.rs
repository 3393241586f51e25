//! A set and the rack that it is cut from: whether that holds enough, what is taken of it, what all
//! of it costs.

use super::Set;
use crate::diagnostics::{Finding, codes};
use crate::job::{Held, Stock, Taken};
use crate::profile::Form;

/// What a set costs, where a rack has prices.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// What it is in; empty where nobody said.
    pub currency: String,
    /// Of its boards.
    pub boards: f64,
    /// Of its sheets.
    pub sheets: f64,
    /// Of the machine's hours.
    pub machine: f64,
}

impl Cost {
    /// All of it.
    pub fn total(&self) -> f64 {
        self.boards + self.sheets + self.machine
    }
}

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

impl Set {
    /// What a rack has too little of.
    pub(super) fn too_little(&self, rack: &Stock) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (material, needed) in self.sheets_needed() {
            if rack.sheets_of(&material).next().is_none() {
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

    /// How many sheets of each material are cut.
    fn sheets_needed(&self) -> Vec<(String, usize)> {
        let mut needed: Vec<(String, usize)> = Vec::new();
        let of_nests = self.nests.iter().map(|nest| (nest.material.clone(), nest.sheets));
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

    /// What is taken of the rack, and the offcuts of its boards; cheap sheets first.
    pub fn taken(&self) -> Option<Taken> {
        let rack = self.rack.as_ref()?;
        let mut taken = Taken {
            boards: vec![0; rack.boards.len()],
            sheets: vec![0; rack.sheets.len()],
            offcuts: Vec::new(),
        };
        for plan in &self.boards {
            plan.taken.iter().for_each(|(entry, times)| taken.boards[*entry] += times);
            taken.offcuts.extend(
                plan.boards
                    .iter()
                    .map(|(_, _, times, left)| (plan.material.clone(), *left, *times)),
            );
        }
        for (material, needed) in self.sheets_needed() {
            let mut own: Vec<usize> =
                (0..rack.sheets.len()).filter(|&i| rack.sheets[i].material == material).collect();
            own.sort_by(|&a, &b| price(&rack.sheets[a]).total_cmp(&price(&rack.sheets[b])));
            let mut needed = needed;
            for i in own {
                let some = rack.sheets[i].count.map_or(needed, |count| count.min(needed));
                taken.sheets[i] += some;
                needed -= some;
            }
        }
        Some(taken)
    }

    /// What all of it costs; none where the rack has no price for anything.
    pub fn cost(&self) -> Option<Cost> {
        let rack = self.rack.as_ref()?;
        let taken = self.taken()?;
        let is_priced = rack.boards.iter().chain(&rack.sheets).any(|held| price(held) > 0.0)
            || rack.hour.is_some_and(|hour| hour > 0.0);
        // The sum of nothing is less than nothing by its sign, until something is added.
        let sum = |held: &[Held], counts: &[usize]| -> f64 {
            let all = held.iter().zip(counts).map(|(held, count)| price(held) * *count as f64);
            all.sum::<f64>() + 0.0
        };
        is_priced.then(|| Cost {
            currency: rack.currency.clone(),
            boards: sum(&rack.boards, &taken.boards),
            sheets: sum(&rack.sheets, &taken.sheets),
            machine: rack.hour.unwrap_or(0.0) * self.machine_s() / HOUR_S,
        })
    }

    /// How long the machines run for all of it, in seconds.
    fn machine_s(&self) -> f64 {
        let of_sheets = self.sheets.iter().map(|run| {
            run.programs.programs().map(|program| program.time_s).sum::<f64>() * run.times as f64
        });
        let alone = self.members.iter().flat_map(|member| {
            let planned = member.workup.planned.iter().flat_map(|planned| planned.programs());
            planned.map(move |program| program.time_s * member.pieces() as f64)
        });
        of_sheets.chain(alone).sum()
    }
}

fn price(held: &Held) -> f64 {
    held.price.unwrap_or(0.0)
}
