//! Several machines, or materials, that are cut from one rack: what one takes is not there for the
//! next, so that who comes first matters. Several turns are tried; each by itself is laid out as if
//! it were alone.

use super::Member;
use super::rack::whole_sheets;
use super::sheets::{self, LaidOut};
use crate::diagnostics::{Error, Outcome, Warned, gathered};
use crate::job::Stock;
use crate::optimise::nesting::Watch;

/// How many turns are tried at the most: each lays everything out once more.
const MOST_TURNS: usize = 4;

/// Lays out every group of members that share machine and material, in the turn that costs least;
/// what comes of it is in the order of the groups.
///
/// # Errors
/// If the members of a group place different clamps.
pub(super) fn lay_out(
    members: &[Member],
    groups: &[Vec<usize>],
    effort: u32,
    (rack, watch): (Option<&Stock>, &Watch<'_>),
) -> Result<Outcome<Vec<LaidOut>>, Error> {
    let mut best: Option<(Bill, Outcome<Vec<LaidOut>>)> = None;
    for turn in turns(members, groups, rack) {
        if best.is_some() && watch.is_over() {
            break;
        }
        let found = in_turn(members, (groups, &turn), effort, (rack, watch))?;
        if best.as_ref().is_none_or(|(least, _)| found.0.is_less(least)) {
            best = Some(found);
        }
    }
    Ok(best.map_or(Ok(Warned::new(Vec::new(), Vec::new())), |(_, outcome)| outcome))
}

/// The turns that are tried: that of the groups, and where several want the same offcuts each of
/// those first.
fn turns(members: &[Member], groups: &[Vec<usize>], rack: Option<&Stock>) -> Vec<Vec<usize>> {
    let material = |group: &Vec<usize>| members[group[0]].job().cut.material.name.as_str();
    let shares = |i: usize| {
        let others = groups.iter().enumerate().filter(|(j, _)| *j != i);
        let mut same = others.filter(|(_, group)| material(group) == material(&groups[i]));
        let has_offcuts =
            |rack: &Stock| rack.sheet_offcuts_of(material(&groups[i])).next().is_some();
        same.next().is_some() && rack.is_some_and(has_offcuts)
    };
    let as_listed: Vec<usize> = (0..groups.len()).collect();
    let first =
        |i: usize| std::iter::once(i).chain((0..groups.len()).filter(move |j| *j != i)).collect();
    let others = (1..groups.len()).filter(|i| shares(*i)).map(first);
    std::iter::once(as_listed).chain(others).take(MOST_TURNS).collect()
}

/// What a turn comes to: the less of each, the first before the next.
struct Bill {
    refused: bool,
    /// Sheets that are not there.
    short: usize,
    /// Sheets whose price nobody said.
    unpriced: usize,
    cost: f64,
}

impl Bill {
    fn is_less(&self, other: &Self) -> bool {
        let counts = |of: &Self| (of.refused, of.short, of.unpriced);
        counts(self).cmp(&counts(other)).then(self.cost.total_cmp(&other.cost)).is_lt()
    }
}

fn in_turn(
    members: &[Member],
    (groups, turn): (&[Vec<usize>], &[usize]),
    effort: u32,
    (rack, watch): (Option<&Stock>, &Watch<'_>),
) -> Result<(Bill, Outcome<Vec<LaidOut>>), Error> {
    let mut bill = Bill { refused: false, short: 0, unpriced: 0, cost: 0.0 };
    let mut left = rack.cloned();
    let mut all: Vec<(usize, Vec<LaidOut>)> = Vec::new();
    let mut findings = Vec::new();
    for &group in turn {
        let laid_out = sheets::lay_out(members, &groups[group], effort, (left.as_ref(), watch))?;
        let own: Vec<LaidOut> = gathered(laid_out, &mut findings).unwrap_or_default();
        if let Some(left) = &mut left {
            own.iter().for_each(|of| bill.take(left, of));
        }
        all.push((group, own));
    }
    all.sort_by_key(|(group, _)| *group);
    let all = all.into_iter().flat_map(|(_, own)| own).collect();
    let outcome = Warned::unless_refused(findings).map(|found| found.map(|()| all));
    bill.refused = outcome.is_err();
    Ok((bill, outcome))
}

impl Bill {
    /// Takes what is laid out off what is left of a rack.
    fn take(&mut self, left: &mut Stock, of: &LaidOut) {
        let (taken, short) = match of.nest.offcut {
            Some(offcut) => (vec![(offcut.entry, of.nest.sheets)], 0),
            None => whole_sheets(left, &of.nest.material, of.nest.sheets),
        };
        self.short += short;
        for (entry, times) in taken {
            match left.sheets[entry].price {
                Some(price) => self.cost += price * times as f64,
                None => self.unpriced += times,
            }
            left.take_sheets(entry, times);
        }
    }
}
