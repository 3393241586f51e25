//! A program on the line after one with another, larger cutter, which leaves its allowance beside
//! it: each is held against what it is to leave by itself, and what hangs once both have run, here.
//!
//! The roughing program is held against the boundary of what it is to leave, so that what is gouged
//! there is allowance that is gone. The one on the line is held as if nothing had been cut before.

use super::expectation::{DeclaredTab, Expectation, Tabs};
use super::findings::Findings;
use super::levels::Levels;
use super::limits::TAB_MM;
use super::motion::read_motion;
use super::said::Errand;
use super::stroke::{parting, strokes};
use crate::diagnostics::codes;
use crate::diagnostics::{Error, Millimetres};
use crate::geometry::Segment;

/// A roughing program that runs before another one on the same stock.
#[derive(Clone, Copy, Debug)]
pub struct Roughed<'a> {
    /// The name of its file.
    pub file: &'a str,
    /// What it says.
    pub text: &'a [u8],
    /// What it is held against.
    pub expectation: &'a Expectation<'a>,
}

/// Where it has left nothing that holds, and its radius in mm.
pub(super) struct First {
    pub ways: Vec<Segment>,
    pub radius: f64,
}

impl Roughed<'_> {
    /// Where it leaves nothing that holds; tells where it takes of a tab that the one after it
    /// leaves.
    ///
    /// # Errors
    /// Only if it cannot be read as a program at all.
    pub(super) fn first(
        &self,
        after: &Expectation<'_>,
        findings: &mut Findings<'_>,
    ) -> Result<First, Error> {
        let e = self.expectation;
        // What is wrong with it by itself is told of its own file.
        let mut own = Findings::new(self.file);
        let motion = read_motion(self.text, self.file, (e.machine, Errand::Cut), &mut own)?;
        let levels = Levels::new(e);
        let cut = parting(&strokes(&motion, e.machine, &levels), &levels);
        self.check_tabs(after, findings);
        let ways = cut.iter().map(|stroke| stroke.path).collect();
        Ok(First { ways, radius: e.machine.tool_radius().as_mm() })
    }

    /// Its own program leaves its declared tabs, which is proven of it: each tab of the one after
    /// it must stand within one of them.
    fn check_tabs(&self, after: &Expectation<'_>, findings: &mut Findings<'_>) {
        let (Tabs::Declared(left), Tabs::Declared(asked)) = (&self.expectation.tabs, &after.tabs)
        else {
            return;
        };
        let (first, own) = (self.expectation.machine, after.machine);
        let radii = (first.tool_radius().as_mm(), own.tool_radius().as_mm());
        let apart = radii.0 + first.tool.leaves().as_mm() - radii.1;
        let half = |tab: &DeclaredTab, radius: f64| tab.length_mm / 2.0 - radius;
        let stands_in = |tab: &DeclaredTab, left: &DeclaredTab| {
            let along = ((tab.at - left.at).norm_squared() - apart * apart).max(0.0).sqrt();
            along + half(tab, radii.1) <= half(left, radii.0) + TAB_MM
                && tab.height_mm <= left.height_mm + TAB_MM
        };
        for tab in asked.iter().filter(|tab| !left.iter().any(|left| stands_in(tab, left))) {
            let (x, y) = (Millimetres(tab.at.x), Millimetres(tab.at.y));
            findings.at_file(codes::RoughTabMissing { x, y });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{TAB, expectation, job_on, placed_path, sheet_program, tied};
    use super::*;
    use crate::geometry::Vector;
    use crate::job::{Corners, Job};
    use crate::profile::Machine;
    use crate::{Verdict, verify_after_roughing, verify_program};

    /// What the program on the line is held against, with tabs on its lower edge.
    fn on_line(job: &Job) -> Expectation<'_> {
        tied(expectation(job, Corners::Bisector))
    }

    /// What the roughing program is held against: the same tabs, longer by an allowance at both
    /// ends, on the path of its own cutter.
    fn roughing<'a>(job: &'a Job, machine: &'a Machine) -> Expectation<'a> {
        let line = on_line(job);
        let left = machine.tool.leaves();
        let mut e = Expectation { machine, ..expectation(job, Corners::Fillet) };
        e.pieces[0].left = left;
        let own = placed_path(&e)[0];
        let foot = |tab: &DeclaredTab| {
            let ahead: Vector = own.direction_at(0.0);
            let at = own.from() + ahead * (tab.at - own.from()).dot(&ahead);
            let wider = 2.0 * (machine.tool_radius() - job.cut.machine.tool_radius()).as_mm();
            DeclaredTab::even(at, TAB.0 + wider + 2.0 * left.as_mm(), TAB.1)
        };
        let Tabs::Declared(tabs) = &line.tabs else { unreachable!("tabs are declared") };
        e.tabs = Tabs::Declared(tabs.iter().map(foot).collect());
        e
    }

    fn codes_of(verdict: &Verdict) -> Vec<&'static str> {
        let refused = verdict.findings.iter().filter(|finding| finding.refuses());
        refused.map(|finding| finding.code.name()).collect()
    }

    fn held(line: &Expectation<'_>, rough: &Expectation<'_>, text: &str) -> Vec<&'static str> {
        let first = Roughed { file: "p-1.nc", text: text.as_bytes(), expectation: rough };
        let own = sheet_program(line);
        codes_of(&verify_after_roughing(own.as_bytes(), "p-2.nc", line, &first).unwrap())
    }

    #[test]
    fn two_programs_that_leave_the_same_tabs_are_taken() {
        let job = job_on("router-two-cutters");
        let machine = job.cut.machine.roughing().unwrap();
        let (line, rough) = (on_line(&job), roughing(&job, &machine));
        let text = sheet_program(&rough);
        let alone = verify_program(text.as_bytes(), "p-1.nc", &rough).unwrap();
        assert!(alone.is_this_part() && codes_of(&alone).is_empty(), "{:?}", alone.findings);
        assert_eq!(held(&line, &rough, &text), Vec::<&str>::new());
        // Held against the part itself, roughing leaves its allowance standing all round.
        let bare = Expectation { pieces: line.pieces.clone(), ..roughing(&job, &machine) };
        let verdict = verify_program(text.as_bytes(), "p-1.nc", &bare).unwrap();
        assert!(codes_of(&verdict).contains(&"uncut"), "{:?}", verdict.findings);
    }

    #[test]
    fn a_tab_that_roughing_takes_or_makes_shorter_or_lower_is_missing() {
        let job = job_on("router-two-cutters");
        let machine = job.cut.machine.roughing().unwrap();
        let (line, rough) = (on_line(&job), roughing(&job, &machine));
        let Tabs::Declared(tabs) = &rough.tabs else { unreachable!("tabs are declared") };
        let with = |change: &dyn Fn(&DeclaredTab) -> DeclaredTab| {
            let mut tabs = tabs.clone();
            tabs[1] = change(&tabs[1]);
            let rough = Expectation { tabs: Tabs::Declared(tabs), ..rough.clone() };
            held(&line, &rough, &sheet_program(&rough))
        };
        let even = DeclaredTab::even;
        let missing = ["rough-tab-missing"];
        assert_eq!(with(&|tab| *tab), Vec::<&str>::new());
        assert_eq!(with(&|tab| even(tab.at, tab.length_mm - 2.0, tab.height_mm)), missing);
        assert_eq!(with(&|tab| even(tab.at, tab.length_mm, tab.height_mm - 0.1)), missing);
        let beside = Vector::new(1.0, 0.0);
        assert_eq!(with(&|tab| even(tab.at + beside, tab.length_mm, tab.height_mm)), missing);
        // An allowance longer at both ends, it may stand so much aside.
        let aside = Vector::new(0.7, 0.0);
        let direction = placed_path(&rough)[0].direction_at(0.0);
        let aside = direction * aside.norm();
        assert_eq!(
            with(&|tab| even(tab.at + aside, tab.length_mm, tab.height_mm)),
            Vec::<&str>::new()
        );
    }

    #[test]
    fn what_hangs_is_followed_through_the_cuts_of_both() {
        let job = job_on("router-two-cutters");
        let machine = job.cut.machine.roughing().unwrap();
        let (line, rough) = (on_line(&job), roughing(&job, &machine));
        // It goes all the way through where its tabs are declared: alone the second would hang on
        // its.
        let bare = Expectation { tabs: Tabs::Declared(Vec::new()), ..rough.clone() };
        assert_eq!(held(&line, &rough, &sheet_program(&bare)), ["part-cut-free"]);
    }
}
