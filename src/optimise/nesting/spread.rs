//! A layout drawn apart where the sheet has room left: the same pieces in the same order, more
//! between them.

use super::layout::{SheetLayout, remnant};
use super::layout_check::check;
use super::problem::{Placed, Problem};
use crate::geometry::{Bounds, Vector};

/// The shares of what could be given that are tried, the most first.
const SHARES: [f64; 4] = [1.0, 0.5, 0.25, 0.1];

/// Draws the pieces of a layout apart, across the sheet first and then along it, by `gain.1` mm
/// more between neighbours or until the room is used up; where that gives less than `gain.0`, they
/// stay: a rib that holds nothing is worse than none. The layout keeps its pieces, their turns and
/// its distances of at least the spacing, or stays as it is.
pub fn spread(problem: &Problem, gain: (f64, f64), layout: &mut SheetLayout) {
    let mut has_moved = false;
    for axis in [1, 0] {
        let steps = steps(problem, &layout.placed, axis);
        let most = steps.iter().copied().max().unwrap_or(0);
        let free = room(problem, &layout.placed, axis);
        let each = (free / most.max(1) as f64).min(gain.1);
        if most == 0 || each <= 0.0 {
            continue;
        }
        let worth = SHARES.iter().map(|share| each * share).filter(|each| *each >= gain.0);
        let moved = worth.map(|each| drawn(&layout.placed, &steps, axis, each));
        if let Some(apart) = moved.into_iter().find(|placed| check(problem, placed).is_ok()) {
            layout.placed = apart;
            has_moved = true;
        }
    }
    if has_moved {
        layout.remnant = remnant(problem, problem.spacing_mm(), &layout.placed);
    }
}

/// Boxes that overlap along an axis by less than this share of the shorter one lie one after the
/// other along it: teeth in teeth do, pieces side by side do not.
const BEHIND: f64 = 0.75;

/// How many pieces lie before each along an axis: in its way if it moved back.
fn steps(problem: &Problem, lying: &[Placed], axis: usize) -> Vec<usize> {
    let (across, spacing) = (1 - axis, problem.spacing_mm());
    let boxes: Vec<Bounds> =
        lying.iter().filter_map(|one| Bounds::around(problem.corners(one))).collect();
    let middle = |i: usize| f64::midpoint(boxes[i].min[axis], boxes[i].max[axis]);
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|&a, &b| middle(a).total_cmp(&middle(b)).then(a.cmp(&b)));
    let mut steps = vec![0; lying.len()];
    for (at, &i) in order.iter().enumerate() {
        let faces = |&&j: &&usize| {
            boxes[i].min[across] < boxes[j].max[across] + spacing
                && boxes[j].min[across] < boxes[i].max[across] + spacing
        };
        let behind = |j: usize| {
            let common = boxes[j].max[axis] - boxes[i].min[axis];
            let extent = |b: Bounds| b.max[axis] - b.min[axis];
            usize::from(common < BEHIND * extent(boxes[i]).min(extent(boxes[j])))
        };
        let before = order[..at].iter().filter(faces).map(|&j| steps[j] + behind(j));
        steps[i] = before.max().unwrap_or(0);
    }
    steps
}

/// What is free between the last piece along an axis and the sheet's margin.
fn room(problem: &Problem, lying: &[Placed], axis: usize) -> f64 {
    let sheet = problem.sheet();
    let end = if axis == 0 { sheet.length } else { sheet.width } - sheet.margin;
    let taken = Bounds::around(lying.iter().flat_map(|one| problem.corners(one)));
    taken.map_or(0.0, |taken| end - taken.max[axis])
}

fn drawn(lying: &[Placed], steps: &[usize], axis: usize, each: f64) -> Vec<Placed> {
    let by = |step: usize| {
        if axis == 0 {
            Vector::new(each * step as f64, 0.0)
        } else {
            Vector::new(0.0, each * step as f64)
        }
    };
    let moved = |(one, &step): (&Placed, &usize)| {
        let mut one = *one;
        one.placement.translation.vector += by(step);
        one
    };
    lying.iter().zip(steps).map(moved).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Placement, Point};
    use crate::nesting::{Piece, Rotations, SheetSize};

    fn sheet(width: f64) -> SheetSize {
        SheetSize { length: 500.0, width, margin: 10.0, keep_out: Vec::new() }
    }

    fn layout(places: &[(f64, f64)]) -> SheetLayout {
        let lying = places
            .iter()
            .map(|&(x, y)| Placed { piece: 0, placement: Placement::translation(x, y) });
        let remnant = Bounds { min: Point::origin(), max: Point::origin() };
        SheetLayout { times: 1, placed: lying.collect(), method: "by hand", remnant }
    }

    fn oblong() -> Vec<Piece> {
        let outline =
            [(0.0, 0.0), (400.0, 0.0), (400.0, 60.0), (0.0, 60.0)].map(|(x, y)| Point::new(x, y));
        vec![Piece { outline: outline.to_vec(), count: 3, rotations: Rotations::Half }]
    }

    fn problem(sheet: SheetSize, spacing_mm: f64) -> Problem {
        Problem::new(oblong(), sheet, spacing_mm).unwrap()
    }

    fn heights(layout: &SheetLayout) -> Vec<f64> {
        layout.placed.iter().map(|one| one.placement.translation.y).collect()
    }

    #[test]
    fn room_that_is_left_goes_between_the_pieces() {
        let mut three = layout(&[(10.0, 10.0), (10.0, 80.0), (10.0, 150.0)]);
        spread(&problem(sheet(260.0), 10.0), (0.0, 100.0), &mut three);
        // 40 mm are free above the last: 20 more in each gap.
        assert_eq!(heights(&three), [10.0, 100.0, 190.0]);
        assert!(check(&problem(sheet(260.0), 30.0), &three.placed).is_ok());
        assert!(three.remnant.width() > 0.0);
    }

    #[test]
    fn no_more_is_given_than_asked_for_and_a_full_sheet_stays_as_it_is() {
        let mut few = layout(&[(10.0, 10.0), (10.0, 80.0)]);
        spread(&problem(sheet(1000.0), 10.0), (0.0, 15.0), &mut few);
        assert_eq!(heights(&few), [10.0, 95.0]);
        let mut full = layout(&[(10.0, 10.0), (10.0, 80.0)]);
        spread(&problem(sheet(150.0), 10.0), (0.0, 15.0), &mut full);
        assert_eq!(heights(&full), [10.0, 80.0]);
    }

    #[test]
    fn less_than_is_worth_it_is_not_given() {
        let mut three = layout(&[(10.0, 10.0), (10.0, 80.0), (10.0, 150.0)]);
        spread(&problem(sheet(260.0), 10.0), (21.0, 100.0), &mut three);
        assert_eq!(heights(&three), [10.0, 80.0, 150.0]);
    }

    #[test]
    fn a_piece_is_not_pushed_onto_a_clamp() {
        let clamped = SheetSize {
            keep_out: vec![Bounds { min: Point::new(0.0, 150.0), max: Point::new(50.0, 170.0) }],
            ..sheet(1000.0)
        };
        let mut two = layout(&[(10.0, 10.0), (10.0, 80.0)]);
        spread(&problem(clamped.clone(), 10.0), (0.0, 15.0), &mut two);
        assert!(check(&problem(clamped.clone(), 10.0), &two.placed).is_ok());
        assert!(heights(&two)[1] > 80.0 && heights(&two)[1] + 60.0 < 150.0);
    }
}
