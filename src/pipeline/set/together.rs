//! What to buy for treads, riser boards and skirts of several jobs at once: boards of one kind are
//! one purchase, as those of the stringers are.

use super::{Member, Stairway};
use crate::diagnostics::Warned;
use crate::pipeline::steps::StepBoards;
use crate::units::Length;

/// Boards that several jobs of a set are sawn from.
#[derive(Clone, Debug)]
pub struct SharedBoards {
    /// Which members.
    pub members: Vec<usize>,
    /// What is sawn for all of them, and what to buy.
    pub boards: StepBoards,
}

/// Widths that differ by less are one, in mm: the rounding of a double.
const SAME_MM: f64 = 1e-6;

/// Puts together what is bought for several members, and takes it out of what each buys by itself.
///
/// Flights of one stair share boards as wide as the widest piece of them, as the pieces of one job
/// do; other jobs only boards of one width, so that nobody's are ripped for another's sake.
pub(super) fn together(
    members: &mut [Member],
    stairways: &[Stairway],
) -> Warned<Vec<SharedBoards>> {
    let mut shared: Vec<SharedBoards> = Vec::new();
    for (i, member) in members.iter().enumerate() {
        // What cannot be bought by itself is told with its job.
        for of in member.workup.beside.boards.iter().filter(|of| !of.buy.is_empty()) {
            let joins = |group: &&mut SharedBoards| {
                let (first, boards) = (group.members[0], &group.boards);
                let one_stair = stairways.iter().any(|stair| stair.has(first) && stair.has(i));
                let one_width = boards.width.is_within(Length::mm(SAME_MM), of.width);
                let one_saw = members[first].saw() == member.saw();
                boards.is_sold_as(of) && one_saw && (one_stair || one_width)
            };
            match shared.iter_mut().find(joins) {
                Some(group) => {
                    group.members.push(i);
                    group.boards.add(of);
                }
                None => shared.push(SharedBoards { members: vec![i], boards: of.clone() }),
            }
        }
    }
    shared.retain(|group| group.members.len() > 1);
    let mut findings = Vec::new();
    for group in &mut shared {
        let saw = members[group.members[0]].saw();
        let Warned { value, findings: found } = group.boards.clone().bought(saw);
        group.boards = value;
        findings.extend(found);
    }
    // What finds no purchase together is bought by each as before.
    shared.retain(|group| !group.boards.buy.is_empty());
    for group in &shared {
        for &i in &group.members {
            let own = members[i].workup.beside.boards.iter_mut();
            own.filter(|of| of.is_sold_as(&group.boards)).for_each(StepBoards::leave_to_all);
        }
    }
    Warned::new(shared, findings)
}
