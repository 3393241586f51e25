//! Where a program can be taken up again after a break: at each pass of one piece, at each of
//! several pieces, at what is cut before them: holes, pockets, scored marks. It begins there from
//! above, or with the beam dark, so that nothing before it is needed.

use super::marks::SECOND;
use super::program::{Program, Step, Task};
use super::rough::{AFTER_MARKS, AFTER_ROUGHING};
use crate::profile::Machine;

/// How a program announces a pass, and the first of several.
const PASS: &str = "PASS ";
const FIRST_PASS: &str = "PASS 1 ";

/// Whether words stand at the top of what a cutter does, and name nothing that comes next.
fn is_of_the_top(words: &str) -> bool {
    [SECOND, AFTER_ROUGHING, AFTER_MARKS].concat().contains(&words)
}

/// Whether the last of these steps are words.
fn said_before(steps: &[Step]) -> bool {
    matches!(steps.last(), Some(Step::Say(_)))
}

/// The words that these steps begin with, where a rapid follows them.
fn said(steps: &[Step]) -> Option<Vec<&str>> {
    let mut run = Vec::new();
    for step in steps {
        match step {
            Step::Say(words) => run.push(words.as_str()),
            Step::RapidXy(_) | Step::RapidZ(_) if !run.is_empty() => return Some(run),
            _ => return None,
        }
    }
    None
}

/// A place to go on from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// The number of its step.
    pub step: usize,
    /// What comes next, as the program says it.
    pub next: String,
}

impl Program {
    /// Every place to go on from, in order: where words are said with the tool over the stock, or
    /// the beam dark, and the next motion is a rapid. Holes of one name in a row are one place, for
    /// to cut them again cuts air; of several pieces each is one, whatever its passes. None of
    /// marks.
    pub fn again(&self) -> Vec<Again> {
        if self.task != Task::Cut || self.pieces.is_empty() {
            return Vec::new();
        }
        let mut places: Vec<Again> = Vec::new();
        let (mut is_on, mut is_over) = (false, true);
        let mut heading: Option<&str> = None;
        let mut last: Option<&str> = None;
        for (at, step) in self.steps.iter().enumerate() {
            match step {
                Step::ToolOn => is_on = true,
                Step::RapidZ(z) | Step::FeedZ(z) | Step::Cut { to_z: z, .. } => is_over = *z > 0.0,
                Step::BeamOn | Step::BeamScore => is_over = false,
                Step::BeamDark => is_over = true,
                _ => {}
            }
            let begins = is_on && is_over && !said_before(&self.steps[..at]);
            let Some(run) = said(&self.steps[at..]).filter(|_| begins) else { continue };
            let pass = run.iter().copied().find(|words| words.starts_with(PASS));
            // What is said last is what comes next; words for the operator may stand before it.
            let is_name = |words: &&str| !words.starts_with(PASS) && !is_of_the_top(words);
            let named = run.iter().copied().rfind(is_name);
            match named {
                Some(_) => heading = named,
                None if pass.is_some_and(|words| words.starts_with(FIRST_PASS)) => heading = None,
                None => {}
            }
            let many = self.pieces.len() > 1;
            let next = match (heading, pass) {
                (None, Some(_)) if many => continue,
                (Some(_), Some(_)) if many && named.is_none() => continue,
                (Some(heading), Some(pass)) if !many => format!("{heading}, {pass}"),
                (Some(heading), _) => heading.to_string(),
                (None, pass) => pass.unwrap_or(run[0]).to_string(),
            };
            let said = named.unwrap_or(run[0]);
            if last.replace(said) != Some(said) {
                places.push(Again { step: at, next });
            }
        }
        places
    }

    /// The same program, but that each place to go on from begins from above: a pass of one piece
    /// where the one before has ended, and all of them as high as a program begins, for nobody
    /// knows where the tool comes from.
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
        // Behind all that is said there: a lift amid the words would make two places of one.
        let last_word = |again: &Again| {
            let run = said(&self.steps[again.step..]).map_or(1, |run| run.len());
            again.step + run - 1
        };
        let places: Vec<usize> = self.again().iter().map(last_word).collect();
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
        let is_pass = |step: &Step| matches!(step, Step::Say(words) if words.starts_with(PASS));
        let passes: Vec<usize> =
            (0..self.steps.len()).filter(|step| is_pass(&self.steps[*step])).collect();
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
