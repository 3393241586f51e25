//! The steps of every set-up: its pin holes, its stretches of the path in passes, and the stop
//! before the next.

use super::breaks::{Breaks, Chain, stroke};
use super::pins::Pins;
use super::{Shifts, Site, words};
use crate::cam::plan::by_tool;
use crate::cam::plan::program::{FeedKind, Step, at_feed_of};
use crate::cam::plan::ramp::ramp;
use crate::cam::plan::round::Round;
use crate::cam::plan::router::{finishing, pass_floors};
use crate::cam::plan::tab_profile::TabProfile;
use crate::cam::plan::tabs::{self, Tab, TabShape};
use crate::geometry::{Point, Segment};
use crate::profile::Machine;
use crate::units::Length;

/// What the steps are made from.
pub(super) struct Cutting<'a> {
    pub site: &'a Site<'a>,
    pub shifts: &'a Shifts,
    pub breaks: &'a Breaks,
    pub pins: &'a Pins,
    pub tabs: &'a [Tab],
    pub shape: TabShape,
    /// What is cut last.
    pub head: Point,
}

impl Cutting<'_> {
    /// All set-ups, a stop between each and the next; stock frame.
    pub(super) fn steps(&self) -> Vec<Step> {
        let machine = self.site.machine();
        let safe = machine.safe_height.as_mm();
        let chains = self.breaks.chains();
        let head = Length::mm(self.pins.error_at_mm(self.head));
        let mut steps = words::before(self.shifts, machine, head);
        for (k, chains) in chains.iter().enumerate() {
            steps.extend([Step::RapidZ(safe), Step::ToolOn]);
            let last = k + 1 == self.shifts.count;
            if !last {
                steps.extend(self.pin_holes(k));
            }
            for chain in chains {
                self.chain(&mut steps, chain);
            }
            steps.extend([Step::ToolOff, Step::RapidXy(Point::origin() + self.shifts.offset(k))]);
            if !last {
                steps.push(Step::Stop(words::shift(k, self.shifts, self.pins, machine)));
            }
        }
        steps
    }

    fn depth(&self) -> f64 {
        (self.site.job.cut.material.thickness + self.site.router.below()).as_mm()
    }

    fn pin_holes(&self, k: usize) -> Vec<Step> {
        let (machine, thickness) = (self.site.machine(), self.site.job.cut.material.thickness);
        let name = format!("PIN HOLE FOR SET-UP {}", k + 2);
        let holes = self.pins.of_shift(k);
        holes.into_iter().flat_map(|pin| by_tool::hole(pin, &name, machine, thickness)).collect()
    }

    /// One open stretch in even passes, each let down back and forth on the path itself and then
    /// cut from its start, so that the ramp is cut again at full depth. Where they stay off the
    /// line one more follows on it, from beside where they began.
    fn chain(&self, steps: &mut Vec<Step>, chain: &Chain) {
        let Some((off_line, beside)) = self.breaks.beside(chain) else {
            self.passes(steps, (&self.breaks.round, chain, self.tabs), 0);
            return;
        };
        let tabs = tabs::beside(self.tabs, off_line);
        let (reached, count) = self.passes(steps, (off_line, &beside, &tabs), 1);
        steps.push(Step::Say(finishing(count)));
        let begun = steps.len();
        let onto = self.onto(chain).expect("passes stay off the line here");
        steps.extend([Step::RapidXy(onto.from()), Step::FeedZ(reached)]);
        steps.push(Step::Cut { segment: onto, to_z: reached, feed: FeedKind::Cut });
        steps.extend(self.profile(self.tabs).stretch(
            &self.breaks.round,
            chain.from,
            chain.to,
            reached,
        ));
        steps.push(Step::RapidZ(self.site.machine().safe_height.as_mm()));
        at_feed_of(FeedKind::Finish, &mut steps[begun..]);
    }

    /// The passes of a stretch of a round down to the depth, `after` more to come; how deep they
    /// went and how many there are with those.
    fn passes(
        &self,
        steps: &mut Vec<Step>,
        (round, chain, tabs): (&Round, &Chain, &[Tab]),
        after: usize,
    ) -> (f64, usize) {
        let router = self.site.router;
        let profile = self.profile(tabs);
        let floors = pass_floors(self.depth(), router.pass_depth.as_mm());
        let count = floors.len() + after;
        let stroke = stroke(round, chain.from);
        let mut reached = 0.0;
        for (number, floor) in floors.iter().enumerate() {
            let begun = steps.len();
            steps.push(Step::Say(format!("PASS {} OF {count}", number + 1)));
            steps.extend([Step::RapidXy(stroke.from()), Step::FeedZ(reached)]);
            steps.extend(ramp(&stroke, reached, *floor, router.ramp_deg.to_radians().tan()));
            steps.extend(profile.stretch(round, chain.from, chain.to, *floor));
            steps.push(Step::RapidZ(self.site.machine().safe_height.as_mm()));
            if number + 1 == floors.len() {
                at_feed_of(FeedKind::LastPass, &mut steps[begun..]);
            }
            reached = *floor;
        }
        (reached, count)
    }

    fn profile<'t>(&self, tabs: &'t [Tab]) -> TabProfile<'t> {
        TabProfile::new(tabs, self.shape, self.site.job.cut.material.thickness.as_mm())
    }

    /// From the passes off the line onto it, where a chain begins.
    fn onto(&self, chain: &Chain) -> Option<Segment> {
        let (off_line, beside) = self.breaks.beside(chain)?;
        let from = stroke(off_line, beside.from).from();
        Some(Segment::Line { from, to: stroke(&self.breaks.round, chain.from).from() })
    }

    /// Every stretch of the cutter that is on no round.
    pub(super) fn ways(&self) -> Vec<Segment> {
        self.breaks.chains().iter().flatten().filter_map(|chain| self.onto(chain)).collect()
    }
}

/// Whether every move of every set-up lies in the machine's travel.
pub(super) fn within_travel(steps: &[Step], shifts: &Shifts, machine: &Machine) -> bool {
    let (mut setup, slack) = (0, 1e-6);
    steps.iter().all(|step| {
        let bounds = match step {
            Step::Stop(_) => {
                setup += 1;
                return true;
            }
            Step::RapidXy(to) => Segment::Line { from: *to, to: *to }.bounds(),
            Step::Cut { segment, .. } => segment.bounds(),
            _ => return true,
        };
        let (min, max) = (bounds.min - shifts.offset(setup), bounds.max - shifts.offset(setup));
        (0..2).all(|i| min[i] >= -slack && max[i] <= machine.travel[i].as_mm() + slack)
    })
}
