//! A program's rapids gone through one by one and led off the clamps.

use super::aside::{Clearing, may_meet};
use super::clamps::{ClampBox, KEY, ROUNDING_MM, clamps_on_piece, standing, tape};
use super::program::{Program, Step, Task};
use super::travels;
use crate::diagnostics::codes::{self, Clamps, NoWay};
use crate::diagnostics::{Finding, Refusals};
use crate::geometry::{Bounds, Point};
use crate::profile::{Machine, TOOL_OVER};
use crate::units::{Length, trimmed};

impl Program {
    /// Whether the operator brings the tool over a place before it starts, which its first lines
    /// say.
    pub fn begins_aside(&self) -> bool {
        let is_over = |words: &str| words.starts_with(TOOL_OVER);
        let says = |step: &Step| matches!(step, Step::Say(words) if is_over(words));
        let of_set_up = self.set_up.iter().flat_map(|of| &of.words);
        self.steps.iter().any(says) || of_set_up.into_iter().any(|words| is_over(words))
    }
}

/// The steps of a program gone through one by one.
pub(super) struct Walk<'a> {
    program: &'a Program,
    clamps: &'a [ClampBox],
    machine: &'a Machine,
    setup: usize,
    /// At the safe height and at that of long travels.
    clearings: [Clearing; 2],
    at: Option<Point>,
    /// How high the tool is.
    z: f64,
    led: Vec<Step>,
}

impl<'a> Walk<'a> {
    pub(super) fn new(program: &'a Program, clamps: &'a [ClampBox], machine: &'a Machine) -> Self {
        let clearings = Walk::clearings(program, clamps, machine, 0);
        let z = machine.travel_height().as_mm();
        Walk { program, clamps, machine, setup: 0, clearings, at: None, z, led: Vec::new() }
    }

    /// Where rapids of a set-up may go, at the safe height and at that of long travels.
    fn clearings(
        program: &Program,
        clamps: &[ClampBox],
        machine: &Machine,
        setup: usize,
    ) -> [Clearing; 2] {
        // A dark beam's head travels at the height it cuts at.
        let lifts = machine.tool.lifts();
        let tops = clamps.iter().map(|clamp| if lifts { clamp.clear_mm() } else { f64::INFINITY });
        let on_piece = clamps_on_piece(program, machine).map(|zone| (zone, f64::INFINITY));
        let standing = standing(program, clamps, setup).into_iter().zip(tops);
        let places: Vec<_> = standing.chain(on_piece).collect();
        let table = Walk::table(program, machine, setup);
        [machine.safe_height, machine.travel_height()]
            .map(|high| Clearing::new(&places, table, machine, high.as_mm()))
    }

    /// Where rapids may go at the height that the tool is at.
    fn clearing(&self) -> &Clearing {
        &self.clearings[usize::from(self.z > self.machine.safe_height.as_mm() + ROUNDING_MM)]
    }

    /// Where the tool may go in the stock frame of a set-up: over the table, and wherever the
    /// program goes.
    fn table(program: &Program, machine: &Machine, setup: usize) -> Bounds {
        let [x, y] = [0, 1].map(|axis: usize| machine.travel[axis].as_mm());
        let shift = program.setups[setup];
        let table = Bounds { min: Point::origin() - shift, max: Point::new(x, y) - shift };
        let goes = program.steps.iter().filter_map(|step| match step {
            Step::Cut { segment, .. } => Some(segment.bounds()),
            _ => None,
        });
        match goes.reduce(Bounds::joined) {
            Some(goes) if program.setups.len() == 1 => table.joined(goes),
            _ => table,
        }
    }

    fn home(&self) -> Point {
        travels::home(self.machine) - self.program.setups[self.setup]
    }

    /// Home, or as near to it as the clamps let it where the profile does not name the place.
    fn park(&self) -> Result<Point, Refusals> {
        if self.machine.park.is_some() {
            return Ok(self.home());
        }
        self.clearings[0].park(self.home()).ok_or_else(|| {
            let all: Vec<usize> = (0..self.clamps.len()).collect();
            in_the_way(&all, NoWay::Home).into()
        })
    }

    /// The steps with every rapid across led round the clamps or lifted over them.
    pub(super) fn led(mut self) -> Result<Vec<Step>, Refusals> {
        self.led = self.words_before(self.park()?);
        for step in &self.program.steps {
            match step {
                Step::RapidXy(to) => self.go(*to)?,
                Step::Stop(lines) => self.stop(lines)?,
                Step::RapidZ(z) => {
                    self.z = *z;
                    self.led.push(step.clone());
                }
                Step::Cut { segment, .. } => {
                    self.at = Some(segment.to());
                    self.led.push(step.clone());
                }
                _ => self.led.push(step.clone()),
            }
        }
        Ok(self.led)
    }

    fn go(&mut self, to: Point) -> Result<(), Refusals> {
        let is_home = (to - self.home()).norm() < ROUNDING_MM;
        let to = if is_home { self.park()? } else { to };
        if self.at.is_none() && self.begins_aside() {
            let park = self.park()?;
            self.led.push(Step::RapidXy(park));
            self.at = Some(park);
        }
        match self.at {
            Some(from) => self.lead(from, to)?,
            None => self.led.push(Step::RapidXy(to)),
        }
        self.at = Some(to);
        Ok(())
    }

    /// Whether the operator brings the tool clear of the clamps before it starts, for the first
    /// move comes from nobody knows where: not where it is higher than they are. Those on a board's
    /// piece are as high as they are.
    fn begins_aside(&self) -> bool {
        if clamps_on_piece(self.program, self.machine).is_some() {
            return true;
        }
        let is_over = |clamp: &ClampBox| {
            self.machine.tool.lifts()
                && clamp.clear_mm() <= self.machine.travel_height().as_mm()
                && self.machine.clear_height.is_some()
        };
        !self.clamps.iter().all(is_over)
    }

    /// From one place to another: round what is in the way, else lifted over it. What is not the
    /// straight way goes at the clear height, where the profile has one.
    fn lead(&mut self, from: Point, to: Point) -> Result<(), Refusals> {
        let way = self.clearing().way(from, to);
        let (clear, low) = (self.machine.travel_height().as_mm(), self.z);
        if low < clear && way.as_ref().is_none_or(|between| !between.is_empty()) {
            self.led.push(Step::RapidZ(clear));
            self.z = clear;
            self.lead(from, to)?;
            self.led.push(Step::RapidZ(low));
            self.z = low;
            return Ok(());
        }
        if let Some(between) = way {
            self.led.extend(between.into_iter().chain([to]).map(Step::RapidXy));
            return Ok(());
        }
        let blocking = self.clearing().blocking(from, to);
        if blocking.iter().all(|&i| i >= self.clamps.len()) {
            // A board that takes all of the table leaves no way round what holds clamps in its zone
            // beyond its edges, where none was said to stand.
            self.led.extend(self.off_zone(from, to).into_iter().map(Step::RapidXy));
            return Ok(());
        }
        let lift = blocking
            .iter()
            .filter_map(|&i| self.clamps.get(i))
            .map(ClampBox::clear_mm)
            .fold(0.0, f64::max);
        if lift.is_finite()
            && self.is_reached(lift)
            && blocking.iter().all(|&i| i < self.clamps.len())
        {
            self.led.extend([Step::RapidZ(lift), Step::RapidXy(to), Step::RapidZ(self.z)]);
            return Ok(());
        }
        Err(in_the_way(&blocking, NoWay::Between(tape(from), tape(to))).into())
    }

    /// In one, or along the axes where that keeps off the zone itself.
    fn off_zone(&self, from: Point, to: Point) -> Vec<Point> {
        let zone =
            self.program.clamp_zone.map(|zone| zone.grown(self.machine.tool_radius().as_mm()));
        let keeps_off = |way: &Vec<Point>| {
            let ends = [&[from][..], way].concat();
            let meets = |zone: &Bounds| ends.windows(2).any(|leg| may_meet(leg[0], leg[1], zone));
            !zone.as_ref().is_some_and(meets)
        };
        let bent = [Point::new(from.x, to.y), Point::new(to.x, from.y)].map(|by| vec![by, to]);
        let ways = [vec![to]].into_iter().chain(bent);
        ways.into_iter().find(keeps_off).unwrap_or_else(|| vec![to])
    }

    /// Whether the machine lifts its cutter as high over the stock.
    fn is_reached(&self, height: f64) -> bool {
        self.machine.tool.lifts() && height + self.deepest() <= self.machine.travel[2].as_mm()
    }

    /// How deep the program goes, in mm.
    fn deepest(&self) -> f64 {
        let depths = self.program.steps.iter().filter_map(|step| match step {
            Step::FeedZ(z) | Step::Cut { to_z: z, .. } => Some(-z),
            _ => None,
        });
        depths.fold(0.0, f64::max)
    }

    /// How far the cutter has to stick out for its nut to stay over the clamps, in mm, where that
    /// is farther than its flutes, which stick out in any case.
    fn sticks_out(&self) -> Option<f64> {
        let cutter = self.machine.tool.cutter()?;
        let heights = self.clamps.iter().filter_map(|clamp| clamp.height);
        let highest = heights.reduce(Length::max)?.as_mm();
        let needed = highest + self.deepest();
        // Of a pointed cutter nobody said how long it is.
        let flutes = match self.program.task {
            Task::Mark => 0.0,
            Task::Cut => cutter.flute_length.as_mm(),
        };
        (needed > flutes).then_some(needed)
    }

    fn stop(&mut self, lines: &[String]) -> Result<(), Refusals> {
        self.setup += 1;
        self.clearings = Walk::clearings(self.program, self.clamps, self.machine, self.setup);
        self.at = None;
        let mut lines = lines.to_vec();
        if !self.clamps.is_empty() {
            lines.insert(
                lines.len().saturating_sub(1),
                "CLAMPS GO BACK TO THEIR PLACES ON THE TABLE".to_string(),
            );
        }
        if self.begins_aside() {
            let park = self.park()?;
            lines.insert(lines.len().saturating_sub(1), self.over(park));
        }
        self.led.push(Step::Stop(lines));
        Ok(())
    }

    fn figure(&self, mm: f64) -> String {
        trimmed(mm / self.machine.units.in_mm(), 3)
    }

    fn over(&self, park: Point) -> String {
        let at = park + self.program.setups[self.setup];
        format!(
            "{TOOL_OVER} X {} Y {}, CLEAR OF THE CLAMPS, BEFORE IT STARTS",
            self.figure(at.x),
            self.figure(at.y)
        )
    }

    /// What the program says of the clamps at its top.
    fn words_before(&self, park: Point) -> Vec<Step> {
        let clamp = |(i, clamp): (usize, &ClampBox)| {
            let [x, to_x, y, to_y] =
                [clamp.place.min.x, clamp.place.max.x, clamp.place.min.y, clamp.place.max.y]
                    .map(|mm| self.figure(mm));
            let height = match clamp.height {
                Some(height) => format!("{} HIGH OR LESS", self.figure(height.as_mm())),
                None => "NOTHING PASSES OVER IT".to_string(),
            };
            Step::Say(format!("CLAMP {}, X {x} TO {to_x}, Y {y} TO {to_y}, {height}", i + 1))
        };
        let mut words: Vec<Step> = self.clamps.iter().enumerate().map(clamp).collect();
        words.extend(self.sticks_out().map(|out| {
            let out = self.figure(out);
            Step::Say(format!(
                "LET THE CUTTER STICK OUT {out} OR MORE: ITS NUT MAY COME OVER A CLAMP"
            ))
        }));
        if !self.clamps.is_empty() && self.program.setups.len() > 1 {
            words.push(Step::Say(
                "CLAMPS STAND ON THE TABLE, IN THE SAME PLACES IN EVERY SET-UP".to_string(),
            ));
        }
        if self.begins_aside() {
            words.push(Step::Say(self.over(park)));
        }
        words
    }
}

fn in_the_way(clamps: &[usize], way: NoWay) -> Finding {
    let clamps = Clamps(clamps.iter().map(|i| i + 1).collect());
    codes::ClampInTheWay { clamps, way }.at(KEY)
}
