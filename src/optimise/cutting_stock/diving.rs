//! Rounding the linear programme: fix the patterns sawn a whole number of times, else one in part, and solve the rest.

use super::branch_and_bound::{Outcome, search};
use super::budget::Budget;
use super::first_fit::least_per_use;
use super::instance::{Demand, Instance};
use super::linear_bound::{self, LinearBound, on_lattice};
use super::pattern::{Pattern, Plan};

/// What counts as a whole number of times.
const WHOLE: f64 = 1e-6;

/// The best plan met on one way down, if it is cheaper than `best`. Each `turn` takes another way: its bits say at which
/// of the first choices the second best pattern is fixed.
pub(super) fn dive(
    instance: &Instance,
    pool: &mut Vec<Pattern>,
    whole: &LinearBound,
    best: Option<&Plan>,
    turn: usize,
    budget: &Budget,
) -> Option<Plan> {
    let mut least = best.map_or(i64::MAX, |plan| plan.cost);
    let (mut found, mut fixed, mut choices) = (None, Plan::default(), 0);
    let mut demand = instance.demand();
    let mut prices = whole.clone();
    while !demand.is_met() && fixed.cost + on_lattice(prices.of(&demand)) < least {
        let finish = finished(instance, &demand, &prices, &fixed, whole.rounded(), budget);
        if let Some(plan) = finish.filter(|plan| plan.cost < least) {
            least = plan.cost;
            found = Some(plan);
            continue;
        }
        let Some(times) = linear_bound::divided(instance, &demand, pool) else { break };
        if fix_whole(instance, pool, &times, &mut demand, &mut fixed) == Fixed::None {
            let second = turn >> choices.min(usize::BITS as usize - 1) & 1;
            choices += 1;
            if fix_part(instance, pool, times, second, &mut demand, &mut fixed) == Fixed::None {
                break;
            }
        }
        if demand.is_met() {
            found = Some(fixed.clone()).filter(|plan| plan.cost < least).or(found);
            break;
        }
        let Some(next) = linear_bound::relax(instance, &demand, pool, budget) else { break };
        prices = next;
    }
    found
}

#[derive(PartialEq, Eq)]
enum Fixed {
    Some,
    None,
}

/// The rest filled by first fit, or by a short search at the bound if it is small.
fn finished(
    instance: &Instance,
    demand: &Demand,
    prices: &LinearBound,
    fixed: &Plan,
    bound: i64,
    budget: &Budget,
) -> Option<Plan> {
    let plain = least_per_use(instance, demand).map(|rest| fixed.clone().and(rest));
    if demand.pieces() > budget.search_pieces
        || plain.as_ref().is_some_and(|plan| plan.cost <= bound)
    {
        return plain;
    }
    let target = on_lattice(prices.of(demand)).max(bound - fixed.cost);
    match search(instance, demand, prices, target, &mut budget.finish_steps.clone()) {
        Outcome::Found(rest) => Some(fixed.clone().and(rest)),
        _ => plain,
    }
}

fn fix_whole(
    instance: &Instance,
    pool: &[Pattern],
    times: &[(usize, f64)],
    demand: &mut Demand,
    fixed: &mut Plan,
) -> Fixed {
    let mut outcome = Fixed::None;
    for &(index, times) in times {
        let n = ((times + WHOLE).floor().max(0.0) as usize).min(pool[index].times(demand));
        if n > 0 {
            pool[index].take(demand, n);
            fixed.push(instance, pool[index].clone(), n);
            outcome = Fixed::Some;
        }
    }
    outcome
}

/// Fixes once the pattern that is nearest to being sawn once, or the second nearest.
fn fix_part(
    instance: &Instance,
    pool: &[Pattern],
    mut times: Vec<(usize, f64)>,
    second: usize,
    demand: &mut Demand,
    fixed: &mut Plan,
) -> Fixed {
    times.retain(|&(index, times)| times > WHOLE && pool[index].times(demand) > 0);
    times.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| pool[a.0].cmp(&pool[b.0])));
    let Some(&(index, _)) = times.get(second).or(times.first()) else { return Fixed::None };
    pool[index].take(demand, 1);
    fixed.push(instance, pool[index].clone(), 1);
    Fixed::Some
}
