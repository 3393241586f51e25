//! A job that names no machine: the stringer is laid out and sawn by hand.

use super::job_file::JobFile;
use super::parts::{Board, Corners, Cut, Long, Makes, Outsides, Sharing};
use super::pattern::MarksAsked;
use super::resolve::Resolver;
use super::thickness::Thickness;
use super::volume::{MOST_STAIRS, usual_dowel};
use crate::diagnostics::{Error, ErrorKind, codes};
use crate::profile::{Machine, Material, Source, embedded};
use crate::units::Tape;

/// What stands where a machine and its material would: nothing is planned for them. The machine
/// counts as the tape does, so that the drawing of the part is in the tape's unit.
fn stand_in(tape: Tape) -> (&'static str, &'static str) {
    let machine = match tape {
        Tape::Inches => "router-table",
        Tape::Metric => "router-metric",
    };
    (machine, "board-2x12")
}

impl Resolver<'_> {
    /// A stringer a stair of the job's own board, and no machine that anything is made for.
    pub(super) fn by_hand(&mut self, job: &JobFile, board: &Board) -> Result<Cut, Error> {
        self.reading.push(codes::LaidOutByHand {}.at("job"));
        let (machine, material) = stand_in(Tape::in_hand());
        let of = |kind: &str, name: &str| -> Result<Source, Error> {
            embedded(Some(kind), name)
                .ok_or_else(|| Error::new(ErrorKind::Internal, format!("no profile {name}")))
        };
        let (on, from) = (of("machine", machine)?, of("material", material)?);
        let machine = Machine::read(machine, &on.file, &on.text)?;
        let material = Material::read(material, &from.file, &from.text)?;
        let stairs = job.stairs.as_ref();
        let stairs = stairs.map_or(Ok(1), |raw| self.count("stairs", raw, 1, MOST_STAIRS))?;
        let known = Thickness::Measured { profile: material.thickness };
        let material = Material { thickness: board.thickness, ..material };
        Ok(Cut {
            makes: Makes::Stringers,
            quantity: stairs,
            stairs,
            machine,
            material,
            thickness: known,
            corners: Corners::Fillet,
            sharing: Sharing {
                spacing: None,
                clamps: Vec::new(),
                layers: 1,
                dowel: usual_dowel(),
                outsides: Outsides::Single,
            },
            long: Long::Refuse,
            marks: MarksAsked::default(),
        })
    }
}
