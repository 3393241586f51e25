//! The frame of a set: once round the box of all its motion with the tool or the beam off, clear of
//! the stock, so that an operator sees where everything will go before anything is cut.

use std::ops::Range;

use super::Stamp;
use super::gcode::written;
use super::spelling::said_in_program;
use crate::cam::plan::{
    ClampBox, Extents, FROM_CLAMP_MM, FeedKind, OVER_CLAMP_IN, Program, Step, crosses, home,
};
use crate::check::StockBox;
use crate::geometry::{Bounds, Point, Segment, Vector};
use crate::profile::Machine;
use crate::units::{Length, trimmed};

/// Whose motion a frame goes round: all of its set, or where several machines cut that, what its
/// own does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoundAll {
    /// The set.
    OfSet,
    /// One of several machines.
    OfMachine,
}

/// What a frame goes round, and how high.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The box of all motion on the machine, overrun beyond the stock included.
    pub plane: Bounds,
    /// Over the thickest stock's top, in mm; 0 for a beam, whose head stays where it is.
    pub clear_mm: f64,
    /// Where it goes at the end.
    pub home: Point,
    /// How high it stands there, over the same top, where the profile names a height; in mm.
    home_mm: Option<f64>,
    /// The clamps that stand as high as that, with what holds them and the tool's own width.
    pub standing: Vec<Bounds>,
    /// Whether clamps stand on the piece, where no height of theirs was said.
    on_piece: bool,
    program: Program,
}

/// A board is clamped on the piece itself, from its edges, and the frame goes along those: higher
/// over the stock than such clamps are, in inches (common practice, no source).
const OVER_A_BOARDS_CLAMPS_IN: f64 = 2.0;

/// Heights this near to each other are one in the digits of any program, in mm.
const SAME_HEIGHT_MM: f64 = 0.01;

impl Frame {
    /// The frame of programs that one machine runs; `None` if nothing moves, if the height of a
    /// clamp was not said, if the machine does not lift its tool over the tallest, or if one stands
    /// in the way of a head that is not lifted: a frame that might hit one shows nobody anything.
    pub fn of(programs: &[&Program], machine: &Machine) -> Option<Self> {
        let boxes: Vec<Extents> = programs.iter().filter_map(|p| p.extents()).collect();
        // A place to park at that the profile names is shown by the way there, not gone round.
        let of = |of: &Extents| if machine.park.is_some() { of.work } else { of.plane };
        let plane = boxes.iter().map(of).reduce(Bounds::joined)?;
        let thickest = programs
            .iter()
            .max_by(|a, b| a.stock.thickness.as_mm().total_cmp(&b.stock.thickness.as_mm()))?;
        let lifts = machine.tool.lifts();
        let clamps = programs.iter().flat_map(|program| &program.clamps);
        let on_piece = programs.iter().any(|program| program.clamp_zone.is_some());
        let least =
            if on_piece { Length::inches(OVER_A_BOARDS_CLAMPS_IN) } else { machine.safe_height };
        let least = least.max(machine.travel_height()).as_mm();
        let clear_mm =
            if lifts { clamps.map(ClampBox::clear_mm).fold(least, f64::max) } else { 0.0 };
        let deepest = boxes.iter().map(|of| of.z_mm.0).fold(0.0, f64::min);
        // As high as it is already it does not go to its place to park once more.
        let home_mm = machine.park.and_then(|park| park.z).map(|z| z.as_mm());
        let home_mm = home_mm.filter(|z| (z - clear_mm).abs() > SAME_HEIGHT_MM);
        let highest = clear_mm.max(home_mm.unwrap_or(0.0));
        if lifts && highest - deepest > machine.travel[2].as_mm() {
            return None;
        }
        let corners = [
            plane.min,
            Point::new(plane.max.x, plane.min.y),
            plane.max,
            Point::new(plane.min.x, plane.max.y),
            plane.min,
        ];
        let tool = (machine.tool.widest() / 2.0).as_mm();
        let standing: Vec<Bounds> = programs
            .iter()
            .flat_map(|of| of.clamps.iter().map(|clamp| (clamp, &of.stock)))
            .filter(|(clamp, _)| clamp.clear_mm() > clear_mm)
            .map(|(clamp, stock)| clamp.standing(stock).grown(tool))
            .collect();
        // The program after it begins where it ends itself: beside a clamp at X0 Y0.
        let home = programs[0].ends_at().unwrap_or_else(|| home(machine));
        let ways = [[home].as_slice(), &corners].concat();
        let meets = |place: &Bounds| {
            let place = place.grown(FROM_CLAMP_MM);
            ways.windows(2).any(|pair| crosses(pair[0], pair[1], &place))
        };
        if standing.iter().any(meets) {
            return None;
        }
        let lift = lifts.then_some(Step::RapidZ(clear_mm));
        let round = corners.windows(2).map(|pair| Step::Cut {
            segment: Segment::Line { from: pair[0], to: pair[1] },
            to_z: clear_mm,
            feed: FeedKind::Cut,
        });
        // What runs before may have left the tool on.
        let steps = std::iter::once(Step::ToolOff)
            .chain(lift)
            .chain([Step::RapidXy(plane.min)])
            .chain(round)
            .chain([Step::RapidXy(home)])
            .chain(home_mm.map(Step::RapidZ))
            .collect();
        // Of several stocks the box that holds each of them: it goes as far as the longest program.
        let most = |of: fn(&StockBox) -> Length| {
            programs.iter().map(|program| of(&program.stock)).fold(Length::ZERO, Length::max)
        };
        let (length, width) = (most(|of| of.length), most(|of| of.width));
        let stock = StockBox { length, width, ..thickest.stock };
        let setups = vec![Vector::zeros()];
        let program =
            Program { setups, tabs: Vec::new(), stock, roughs: false, ..Program::clone(thickest) };
        let program = program.with_steps(steps, machine);
        Some(Self { plane, clear_mm, home, home_mm, standing, on_piece, program })
    }

    /// Its clear height in the program's own Z, in mm; `None` for a beam.
    pub fn z_mm(&self, machine: &Machine) -> Option<f64> {
        machine.tool.lifts().then(|| self.clear_mm + self.program.z_shift_mm(machine.z_zero))
    }

    /// The height that it ends at, in the program's own Z, in mm; `None`: its clear height.
    pub fn home_z_mm(&self, machine: &Machine) -> Option<f64> {
        self.home_mm.map(|z| z + self.program.z_shift_mm(machine.z_zero))
    }

    /// What it runs.
    pub fn program(&self) -> &Program {
        &self.program
    }

    /// The text of the program, and the lines that each step wrote.
    pub fn write(
        &self,
        stamp: &Stamp,
        machine: &Machine,
        round: RoundAll,
    ) -> (String, Vec<Range<usize>>) {
        let number = |mm: f64| trimmed(mm / machine.units.in_mm(), 4);
        let [x, to_x, y, to_y] =
            [self.plane.min.x, self.plane.max.x, self.plane.min.y, self.plane.max.y].map(number);
        let unit = machine.units.name();
        let mut lines = vec![
            Stamp::tool().to_string(),
            said_in_program(&format!("Frame of {}", stamp.title)),
            format!("Job {}", stamp.fingerprint),
        ];
        lines.extend(stamp.order.iter().map(|line| said_in_program(line)));
        lines.push(format!("Machine {}", machine.name));
        lines.extend(self.program.set_up.iter().map(|set_up| {
            format!("Set-up {} of {}, the stock lying for it", set_up.number, set_up.of)
        }));
        let whose = match (round, &self.program.set_up) {
            (_, Some(_)) => "in this set-up",
            (RoundAll::OfSet, None) => "of this set",
            (RoundAll::OfMachine, None) => "on this machine",
        };
        lines.extend([
            format!("It cuts nothing: once round the box of all motion {whose}"),
            format!("X {x} to {to_x}, Y {y} to {to_y} {unit}"),
        ]);
        if machine.tool.lifts() {
            lines.push("Spindle off, same X0 Y0 and Z0 as the programs".to_string());
            lines.push(format!("{} {unit} over the stock", number(self.clear_mm)));
            if self.on_piece {
                let tallest = self.clear_mm - Length::inches(OVER_CLAMP_IN).as_mm();
                let tallest = number(tallest);
                lines.push(format!(
                    "Only if no clamp is taller than {tallest} {unit} over the stock"
                ));
            }
        } else {
            lines.push("Beam off, same X0 Y0 as the programs".to_string());
        }
        lines.push("Stay at the stop. Nothing may stand where it goes.".to_string());
        written(&lines, machine, &self.program)
    }
}
