//! Where a program can be taken up again after a break: at each pass of one piece, at each of several
//! pieces. A pass begins there from above, so that nothing before it is needed.

use super::program::{Program, Step, Task};
use crate::profile::Machine;

/// A place to go on from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// The number of its step.
    pub step: usize,
    /// What comes next, as the program says it.
    pub next: String,
}

impl Program {
    /// Every place to go on from, in order; none of marks, and of a beam that cuts one piece.
    pub fn again(&self) -> Vec<Again> {
        let word = if self.pieces.len() > 1 { "PIECE " } else { "PASS " };
        let is_cut = self.task == Task::Cut && !self.pieces.is_empty();
        let steps = self.steps.iter().enumerate().filter(|_| is_cut);
        let place = |(step, of): (usize, &Step)| match of {
            Step::Say(next) if next.starts_with(word) => Some(Again { step, next: next.clone() }),
            _ => None,
        };
        steps.filter_map(place).collect()
    }

    /// The same program, but that each place to go on from begins from above: a pass of one piece
    /// where the one before has ended, and all of them as high as a program begins, for nobody knows
    /// where the tool comes from.
    pub(super) fn begun_from_above(self, machine: &Machine) -> Self {
        if !machine.tool.lifts() {
            return self;
        }
        let lifted =
            if self.pieces.len() == 1 { self.lifted_between_passes(machine) } else { self };
        match machine.clear_height {
            Some(_) => lifted.entered_from_above(machine),
            None => lifted,
        }
    }

    /// With the way across behind each place at the height of long travels.
    fn entered_from_above(self, machine: &Machine) -> Self {
        let places: Vec<usize> = self.again().iter().map(|again| again.step).collect();
        let [clear, safe] = [machine.travel_height(), machine.safe_height].map(|z| z.as_mm());
        let mut steps = Vec::with_capacity(self.steps.len() + 2 * places.len());
        let mut is_begun = false;
        for (i, step) in self.steps.iter().enumerate() {
            steps.push(step.clone());
            if places.contains(&i) {
                steps.push(Step::RapidZ(clear));
                is_begun = true;
            } else if is_begun && matches!(step, Step::RapidXy(_)) {
                steps.push(Step::RapidZ(safe));
                is_begun = false;
            }
        }
        self.with_steps(steps, machine)
    }

    /// With the tool up between two passes.
    fn lifted_between_passes(self, machine: &Machine) -> Self {
        let passes: Vec<usize> = self.again().iter().map(|again| again.step).collect();
        let safe = machine.safe_height.as_mm();
        let (mut at, mut z) = (None, safe);
        let mut steps = Vec::with_capacity(self.steps.len() + 3 * passes.len());
        for (i, step) in self.steps.iter().enumerate() {
            match step {
                Step::RapidZ(to) | Step::FeedZ(to) => z = *to,
                Step::RapidXy(to) => at = Some(*to),
                Step::Cut { segment, to_z, .. } => (at, z) = (Some(segment.to()), *to_z),
                _ => {}
            }
            let down = at.filter(|_| passes.contains(&i) && z < safe);
            match down {
                // It has come down for this pass and cut nothing yet.
                Some(_) if matches!(steps[..], [.., Step::RapidXy(_), Step::FeedZ(_)]) => {
                    steps.insert(steps.len() - 2, step.clone());
                }
                Some(at) => steps.extend([
                    Step::RapidZ(safe),
                    step.clone(),
                    Step::RapidXy(at),
                    Step::FeedZ(z),
                ]),
                None => steps.push(step.clone()),
            }
        }
        self.with_steps(steps, machine)
    }
}
