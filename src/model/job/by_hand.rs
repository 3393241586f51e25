//! A job that names no machine: the stringer is laid out and sawn by hand.

use super::job_file::JobFile;
use super::parts::{Board, Corners, Cut, Long, Makes, Outsides, Sharing};
use super::pattern::MarksAsked;
use super::resolve::Resolver;
use super::thickness::Thickness;
use super::volume::{MOST_STAIRS, usual_dowel};
use crate::diagnostics::{Error, ErrorKind, codes};
use crate::profile::{Machine, Material, embedded};
use crate::units::{Length, Tape};

/// The most that a board is long, in feet: nothing is laid out on it. Common practice, no source.
const BOARD_FT: f64 = 20.0;

/// What stands where a machine would: nothing is planned for it. It counts as the tape does, so
/// that the drawing of the part is in the tape's unit.
fn stand_in(tape: Tape) -> &'static str {
    match tape {
        Tape::Inches => "router-table",
        Tape::Metric => "router-metric",
    }
}

impl Resolver<'_> {
    /// A stringer a stair of the job's own board, and no machine that anything is made for.
    pub(super) fn by_hand(&mut self, job: &JobFile, board: &Board) -> Result<Cut, Error> {
        self.reading.push(codes::LaidOutByHand {}.at("job"));
        let machine = stand_in(Tape::in_hand());
        let on = embedded(Some("machine"), machine)
            .ok_or_else(|| Error::new(ErrorKind::Internal, format!("no profile {machine}")))?;
        let machine = Machine::read(machine, &on.file, &on.text)?;
        let material =
            Material::of_board([Length::inches(12.0 * BOARD_FT), board.width, board.thickness]);
        let stairs = job.stairs.as_ref();
        let stairs = stairs.map_or(Ok(1), |raw| self.count("stairs", raw, 1, MOST_STAIRS))?;
        Ok(Cut {
            makes: Makes::Stringers,
            quantity: stairs,
            stairs,
            machine,
            material,
            thickness: Thickness::Measured { profile: board.thickness },
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
