//! What an operator reads at the top of a program before it is run: what lies on the table, which
//! tool, how deep, what holds it, how far everything travels.

use super::content::machine_sheet::passes;
use super::spelling::said_in_program;
use super::tool_words::{ToolWords, held};
use super::{Stamp, board_edge};
use crate::cam::compensate::LedgerEntry;
use crate::cam::plan::{Down, Extents, FeedKind, Program, Task, feed_mm_min};
use crate::pipeline::set::SheetNumbers;
use crate::profile::{Laser, Machine, MarkTool, PathControl, Router, TabEnds, ZZero};
use crate::units::{Length, minutes, trimmed};

/// What a program for an offcut says of how it is verified.
pub const TO_VERIFY_OFFCUTS: &str = "To verify it give --stock cut-from.toml";

/// The comments at the top, in the program's unit.
pub(super) fn heading(
    stamp: &Stamp,
    machine: &Machine,
    compensated: &[&LedgerEntry],
    program: &Program,
) -> Vec<String> {
    let head = Heading { machine, program };
    let mut lines = vec![
        Stamp::tool().to_string(),
        said_in_program(&format!("Title {}", stamp.title)),
        format!("Job {}", stamp.fingerprint),
    ];
    lines.extend(stamp.order.iter().map(|line| said_in_program(line)));
    if let Some(run) = stamp.run {
        let times =
            if run.times == 1 { "once".to_string() } else { format!("{} times", run.times) };
        lines.push(format!("Program {} of {}, run {times}", run.number, run.of));
        lines.extend(run.sheets.map(|sheets| sheets.to_string()));
        if let Some(SheetNumbers { offcut: Some(size), lies_along, .. }) = run.sheets {
            let [length, width] = size.map(|side| head.number(side.as_mm()));
            let along = if lies_along { "X" } else { "Y" };
            lines.push(format!(
                "On an offcut {length} x {width} {}, the {length} along {along}",
                machine.units.name()
            ));
            lines.push(TO_VERIFY_OFFCUTS.to_string());
        }
    }
    lines.extend(by_hand(&stamp.numbers));
    if let Some(set_up) = &program.set_up {
        if set_up.number > 0 {
            lines.push(format!("Set-up {} of {}. Before it is started", set_up.number, set_up.of));
        }
        lines.extend(set_up.words.iter().cloned());
    }
    lines.push(format!("Machine {}", machine.name));
    let of_table = program.set_up.as_ref().is_some_and(|set_up| set_up.number == 0);
    if !of_table {
        lines.push(format!("Material {}", stamp.material));
        lines.extend(head.stock());
    }
    lines.extend(machine.tool.cutter().into_iter().flat_map(|cutter| head.cutter(cutter)));
    lines.extend(machine.tool.beam().into_iter().flat_map(|beam| head.beam(beam)));
    if !of_table {
        lines.extend(head.holding());
    }
    lines.extend(head.travel());
    lines.push(format!("Estimated time {}", minutes(program.time_s)));
    lines.extend(board_edge::comments(machine, program));
    match program.task {
        Task::Cut if of_table => {}
        Task::Cut => lines.extend(compensated.iter().map(|entry| {
            format!("{} {}, {}", head.length(entry.amount.as_mm()), entry.side, entry.what)
        })),
        Task::Mark => lines.extend(head.marks()),
    }
    lines.extend(ToolWords::of(&machine.tool).cautions.iter().map(ToString::to_string));
    lines
}

/// Stretches of numbers on a line of a comment.
const ON_A_LINE: usize = 3;

/// The numbers that are written on pieces by hand, in stretches.
fn by_hand(numbers: &[String]) -> Vec<String> {
    if numbers.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = numbers.chunks(ON_A_LINE).map(|of| of.join(", ") + ",").collect();
    if let Some(last) = lines.last_mut() {
        last.push_str(" the run order has a box for each");
    }
    let first = "Each run makes one piece. Write its number on it by hand".to_string();
    [first].into_iter().chain(lines).collect()
}

struct Heading<'a> {
    machine: &'a Machine,
    program: &'a Program,
}

impl Heading<'_> {
    fn unit(&self) -> &'static str {
        self.machine.units.name()
    }

    fn number(&self, mm: f64) -> String {
        trimmed(mm / self.machine.units.in_mm(), 4)
    }

    fn length(&self, mm: f64) -> String {
        format!("{} {}", self.number(mm), self.unit())
    }

    /// A length too small for the decimals of a coordinate.
    fn fine(&self, mm: f64) -> String {
        format!("{} {}", trimmed(mm / self.machine.units.in_mm(), 6), self.unit())
    }

    fn feed(&self, kind: FeedKind) -> String {
        trimmed(feed_mm_min(self.machine, kind) / self.machine.units.in_mm(), 1)
    }

    fn stock(&self) -> Vec<String> {
        let stock = &self.program.stock;
        let [x, y, z] =
            [stock.length, stock.width, stock.thickness].map(|length| self.number(length.as_mm()));
        let zero = match self.machine.z_zero {
            ZZero::StockTop => "at its top face",
            ZZero::Bed => "on the bed",
        };
        let corner = match self.program.set_up.as_ref().map(|of| of.number) {
            None | Some(0 | 1) => "at the lower left corner of the stock",
            Some(_) => "where that corner lay in set-up 1",
        };
        vec![
            format!("Stock X {x} Y {y} Z {z} {}", self.unit()),
            format!("X0 Y0 {corner}, Z0 {zero}"),
        ]
    }

    fn cutter(&self, router: &Router) -> Vec<String> {
        let program = self.program;
        let tools = self.machine.words.tools;
        let number = tools.and_then(|tools| tools.number(program.task == Task::Mark));
        let number = number.map_or(String::new(), |number| format!(", tool {number}"));
        let deepest = self.length(self.deepest_mm());
        let tool = match (program.task, &program.marking) {
            (Task::Mark, Some(marking)) => {
                let angle = router.mark.map_or(0.0, MarkTool::angle_deg);
                format!(
                    "Pointed cutter of {} degrees, stroke width {}{number}",
                    trimmed(angle, 0),
                    self.length(marking.width.as_mm())
                )
            }
            _ => format!(
                "{} cutter, diameter {}, {} edges{number}",
                if program.roughs { "Roughing" } else { "Straight" },
                self.length(router.cutter.as_mm()),
                router.flutes
            ),
        };
        let depth = match program.task {
            Task::Mark => format!("Depth of the strokes {deepest}"),
            Task::Cut if program.set_up.as_ref().is_some_and(|of| of.number == 0) => {
                format!(
                    "Depth {deepest}, {} a pass at most",
                    self.length(router.pass_depth.as_mm())
                )
            }
            Task::Cut => format!(
                "Depth {deepest}, {}, {} a pass at most",
                match router.hold.skin() {
                    Some(skin) => format!("a skin of {} stays below", self.length(skin.as_mm())),
                    None => format!("{} of it through", self.length(router.cut_through.as_mm())),
                },
                self.length(router.pass_depth.as_mm())
            ),
        };
        let mut lines = vec![tool, format!("Spindle {} rpm", trimmed(router.speed_rpm, 1))];
        lines.extend(self.feeds());
        lines.push(depth);
        if program.task == Task::Cut && !program.pieces.is_empty() {
            lines.push(format!("Passes {}", passes(program)));
            lines.extend(self.of_two(router));
            lines.extend(router.finish.map(|finish| {
                format!(
                    "Finishing allowance {}, taken in the last pass of each piece at feed {} {} a \
                    minute",
                    self.length(finish.allowance.as_mm()),
                    self.feed(FeedKind::Finish),
                    self.unit()
                )
            }));
        }
        lines
    }

    /// Which of two cutters it is, what it leaves or finds.
    fn of_two(&self, router: &Router) -> Option<String> {
        if self.program.roughs {
            let left = self.length(router.leaves.as_mm());
            return Some(format!(
                "Roughing, leaves {left} beside the line and every tab, cut to the line next"
            ));
        }
        let rough = router.rough.as_deref()?;
        let [cutter, left] = [rough.cutter, rough.allowance].map(|of| self.length(of.as_mm()));
        Some(format!(
            "To the line, after roughing with the cutter of diameter {cutter}, which left {left}"
        ))
    }

    /// The feeds of a cutter; a pointed one never ramps.
    fn feeds(&self) -> Vec<String> {
        let [cut, entry, plunge, last] =
            [FeedKind::Cut, FeedKind::Entry, FeedKind::Plunge, FeedKind::LastPass]
                .map(|kind| self.feed(kind));
        let unit = self.unit();
        match self.program.task {
            Task::Mark => {
                let mark = self.feed(FeedKind::Mark);
                vec![format!("Feed {mark}, straight down {plunge} {unit} a minute")]
            }
            Task::Cut => vec![
                format!("Feed {cut}, the pass that goes through {last} {unit} a minute"),
                format!("On the way in {entry}, straight down {plunge} {unit} a minute"),
            ],
        }
    }

    fn beam(&self, laser: &Laser) -> Vec<String> {
        vec![
            format!("Kerf {}", self.length(laser.kerf.as_mm())),
            format!(
                "Power S{}, feed {}, at the pierce {} {} a minute, {} round",
                trimmed(laser.cut_s(), 1),
                self.feed(FeedKind::Cut),
                self.feed(FeedKind::Entry),
                self.unit(),
                match laser.passes {
                    1 => "once".to_string(),
                    passes => format!("{passes} times"),
                }
            ),
        ]
    }

    fn holding(&self) -> Vec<String> {
        let program = self.program;
        let mut lines = vec![match program.tabs.iter().map(|tab| tab.height_mm).reduce(f64::max) {
            Some(height) => {
                format!("Tabs {}, {} high{}", program.tabs.len(), self.length(height), self.ends())
            }
            None => "Tabs 0".to_string(),
        }];
        lines.extend(self.down_behind_tabs());
        if program.task == Task::Cut {
            lines.extend(held(&self.machine.tool).iter().map(ToString::to_string));
        }
        if program.clamps.is_empty() && program.clamp_zone.is_none() {
            lines.push("No clamps named".to_string());
        }
        lines.extend(program.clamps.iter().enumerate().map(|(i, clamp)| {
            let [x, to_x, y, to_y] =
                [clamp.place.min.x, clamp.place.max.x, clamp.place.min.y, clamp.place.max.y]
                    .map(|mm| self.number(mm));
            let tall = clamp.height.map_or("height not said".to_string(), |height| {
                self.length(height.as_mm()) + " high"
            });
            format!("Clamp {} at X {x} to {to_x}, Y {y} to {to_y}, {tall}", i + 1)
        }));
        lines
    }

    /// How the cutter goes down behind the tabs, where their ends slope.
    fn down_behind_tabs(&self) -> Option<String> {
        let cutter = self.machine.tool.cutter()?;
        let sloped = self.program.tabs.iter().filter(|tab| tab.down_mm > 0.0);
        let count = |down: Down| sloped.clone().filter(|tab| tab.down == down).count();
        let ramp = format!("on a ramp of {} degrees", trimmed(cutter.ramp_deg, 1));
        match (count(Down::Ramp), count(Down::Plunge)) {
            (0, 0) => None,
            (_, 0) => Some(format!("Down behind the tabs {ramp}")),
            (0, _) => Some("Down behind the tabs at the feed straight down".to_string()),
            (on, at) => Some(format!(
                "Down behind {on} of the tabs {ramp}, behind {at} at the feed straight down"
            )),
        }
    }

    /// What is to be said of the ends of tabs.
    fn ends(&self) -> &'static str {
        let sizes = self.machine.tool.cutter().and_then(|cutter| cutter.hold.tabs());
        match sizes.map(|sizes| sizes.shape) {
            Some(TabEnds::Square) => ", square, straight up and down at both ends",
            Some(TabEnds::Flanks) | None => "",
        }
    }

    /// The box of all motion on the machine, in its coordinates.
    fn travel(&self) -> Vec<String> {
        let Some(Extents { plane, z_mm: z, .. }) = self.program.extents() else {
            return Vec::new();
        };
        let [x, to_x, y, to_y] =
            [plane.min.x, plane.max.x, plane.min.y, plane.max.y].map(|mm| self.number(mm));
        let mut lines =
            vec![format!("All motion X {x} to {to_x}, Y {y} to {to_y} {}", self.unit())];
        if self.machine.tool.lifts() {
            let shift = self.program.z_shift_mm(self.machine.z_zero);
            let [low, high] = [z.0 + shift, z.1 + shift].map(|mm| self.number(mm));
            lines.push(format!(
                "Z {low} to {high} {}, rapids {} over the stock or higher",
                self.unit(),
                self.length(self.machine.safe_height.as_mm())
            ));
        }
        lines.extend(self.far());
        match self.machine.words.path {
            Some(PathControl::Blend(most)) => {
                lines
                    .push(format!("The control may round a corner by {}", self.fine(most.as_mm())));
            }
            Some(PathControl::Exact) | None => {}
        }
        lines
    }

    /// How high it travels far and where it stands at the end, where the profile says it.
    fn far(&self) -> Vec<String> {
        let machine = self.machine;
        let over = |height: Length| format!("{} over the stock", self.length(height.as_mm()));
        let clear = machine
            .clear_height
            .map(|clear| format!("Starts, travels far and ends {}", over(clear)));
        let parked = machine.park.map(|park| {
            let [x, y] = [park.x, park.y].map(|at| self.number(at.as_mm()));
            let high = match machine.tool.lifts() {
                true => format!(", {}", over(machine.park_height())),
                false => String::new(),
            };
            format!("Parks at X {x} Y {y} {}{high}", self.unit())
        });
        clear.into_iter().chain(parked).collect()
    }

    fn deepest_mm(&self) -> f64 {
        self.program.extents().map_or(0.0, |of| -of.z_mm.0.min(0.0))
    }

    fn marks(&self) -> Vec<String> {
        let mut lines =
            vec!["Marks are made on their own lines, nothing is compensated".to_string()];
        if self.machine.z_zero == ZZero::Bed {
            let thick = self.length(self.program.stock.thickness.as_mm());
            lines.push(format!(
                "Marks count on stock of {thick} over the bed, thinner stays unmarked"
            ));
        }
        lines
    }
}
