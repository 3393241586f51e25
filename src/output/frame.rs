//! The frame of a set: once round the box of all its motion with the tool or the beam off, clear of
//! the stock, so that an operator sees where everything will go before anything is cut.

use super::Stamp;
use super::gcode::written;
use crate::cam::plan::{Extents, FeedKind, Process, Program, Step};
use crate::geometry::{Bounds, Point, Segment, Vector};
use crate::profile::Machine;
use crate::units::trimmed;

/// What a frame goes round, and how high.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The box of all motion on the machine, overrun beyond the stock included.
    pub plane: Bounds,
    /// Over the thickest stock's top, in mm; 0 for a beam, whose head stays where it is.
    pub clear_mm: f64,
    /// A clamp's height was not said: nobody knows whether the frame clears it.
    pub is_blind: bool,
    program: Program,
}

impl Frame {
    /// The frame of programs that one machine runs; `None` if nothing moves.
    pub fn of(programs: &[&Program], machine: &Machine) -> Option<Self> {
        let boxes: Vec<Extents> = programs.iter().filter_map(|p| p.extents()).collect();
        let plane = boxes.iter().map(|of| of.plane).reduce(Bounds::joined)?;
        let thickest = programs
            .iter()
            .max_by(|a, b| a.stock.thickness.as_mm().total_cmp(&b.stock.thickness.as_mm()))?;
        let clamps = || programs.iter().flat_map(|program| &program.clamps);
        let tallest = clamps().map(|clamp| clamp.clear_mm()).filter(|mm| mm.is_finite());
        let is_beam = thickest.process == Process::Laser;
        let clear_mm =
            if is_beam { 0.0 } else { tallest.fold(machine.safe_height.as_mm(), f64::max) };
        let corners = [
            plane.min,
            Point::new(plane.max.x, plane.min.y),
            plane.max,
            Point::new(plane.min.x, plane.max.y),
            plane.min,
        ];
        let lift = (!is_beam).then_some(Step::RapidZ(clear_mm));
        let round = corners.windows(2).map(|pair| Step::Cut {
            segment: Segment::Line { from: pair[0], to: pair[1] },
            to_z: clear_mm,
            feed: FeedKind::Cut,
        });
        let steps = lift
            .into_iter()
            .chain([Step::RapidXy(plane.min)])
            .chain(round)
            .chain([Step::RapidXy(Point::origin())])
            .collect();
        let program = Program {
            steps,
            setups: vec![Vector::zeros()],
            tabs: Vec::new(),
            ..Program::clone(thickest)
        };
        let is_blind = clamps().any(|clamp| clamp.height.is_none());
        Some(Self { plane, clear_mm, is_blind, program })
    }

    /// Its clear height in the program's own Z, in mm.
    pub fn z_mm(&self, machine: &Machine) -> f64 {
        self.clear_mm + self.program.z_shift_mm(machine.z_zero)
    }

    /// The text of the program.
    pub fn write(&self, stamp: &Stamp, machine: &Machine) -> String {
        let number = |mm: f64| trimmed(mm / machine.units.in_mm(), 4);
        let [x, to_x, y, to_y] =
            [self.plane.min.x, self.plane.max.x, self.plane.min.y, self.plane.max.y].map(number);
        let unit = machine.units.name();
        let mut lines = vec![
            Stamp::tool().to_string(),
            format!("Frame of {}", stamp.title),
            format!("Job {}", stamp.fingerprint),
            format!("Machine {}", machine.name),
            "It cuts nothing: once round the box of all motion of this set".to_string(),
            format!("X {x} to {to_x}, Y {y} to {to_y} {unit}"),
        ];
        if self.program.process == Process::Router {
            lines.push("Spindle off, same X0 Y0 and Z0 as the programs".to_string());
            lines.push(format!("{} {unit} over the stock", number(self.clear_mm)));
        } else {
            lines.push("Beam off, same X0 Y0 as the programs".to_string());
        }
        if self.is_blind {
            lines.push("A clamp's height was not said: look whether this clears it".to_string());
        }
        lines.push("Stay at the stop. Nothing may stand where it goes.".to_string());
        written(&lines, machine, &self.program).0
    }
}
