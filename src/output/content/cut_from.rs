//! What the pieces of a job are cut from, and how often the job is made: what only the set that it
//! is cut in knows.

use super::run_order::RunOf;
use super::section::{Figure, Table};
use crate::job::Job;
use crate::pipeline::numbers::Value;
use crate::pipeline::set::counted_up;
use crate::pipeline::steps::StepBoards;
use crate::profile::Form;
use crate::units::{Length, Tape, trimmed};

/// How many of the stock lengths that hold a blank are listed, shortest first.
const LISTED: usize = 3;

/// How a job is cut: how many times, and from what.
#[derive(Clone, Debug)]
pub struct CutFrom<'a> {
    /// How many times the job is made.
    pub times: usize,
    /// The sheets that have pieces of it.
    pub sheets: Vec<SheetsAlike>,
    /// The boards that are bought, a length and how many of it.
    pub boards: Vec<(Length, usize)>,
    /// Which of its blanks come out of which board, where boards are told apart.
    pub saw: Option<Table>,
    /// Whether blanks of other jobs are sawn from those boards too.
    pub boards_shared: bool,
    /// What is bought for its treads, riser boards and skirts together with those of other jobs:
    /// for which jobs, and the boards.
    pub with_others: Vec<(Vec<&'a str>, &'a StepBoards)>,
    /// Every program of the set in the order they are run; none: those of one piece alone.
    pub runs: Vec<RunOf<'a>>,
}

/// One piece of stock of its own, cut once.
impl Default for CutFrom<'_> {
    fn default() -> Self {
        Self {
            times: 1,
            sheets: Vec::new(),
            boards: Vec::new(),
            saw: None,
            boards_shared: false,
            with_others: Vec::new(),
            runs: Vec::new(),
        }
    }
}

/// Sheets that are cut alike.
#[derive(Clone, Debug)]
pub struct SheetsAlike {
    /// The file with their picture.
    pub picture: String,
    /// The programs that are run on each, in order.
    pub programs: Vec<String>,
    /// How many such sheets.
    pub times: usize,
    /// The size of the offcut that it is, along the grain and across; none: whole sheets.
    pub offcut: Option<[Length; 2]>,
    /// How many pieces of this job lie on each.
    pub pieces: usize,
    /// How many pieces of other jobs.
    pub others: usize,
}

impl CutFrom<'_> {
    /// How many stairs alike are made in all.
    pub(super) fn stairs(&self, job: &Job) -> usize {
        job.cut.stairs as usize * self.times
    }

    /// The stock that is really used: sheets for what is cut from sheets, boards for what is sawn
    /// from boards, and what a stringer is marked on where a pattern is cut.
    pub(super) fn stock(&self, job: &Job, blank: Option<Length>) -> Vec<Table> {
        let on_machine = match job.cut.material.form {
            Form::Sheet => Some(Table::figures("Sheets", self.sheets(job))),
            Form::Board => self.boards_to_buy(),
        };
        let marked_on = blank.filter(|_| job.cut.is_of_boards()).map(|blank| {
            Table::figures("Stock for a stringer", lengths(&job.boards.lengths, blank))
        });
        on_machine.into_iter().chain(self.saw.clone()).chain(marked_on).collect()
    }

    fn sheets(&self, job: &Job) -> Vec<Figure> {
        let material = &job.cut.material;
        let size =
            format!("{} x {}, {} thick", material.length, material.width, material.thickness);
        if self.sheets.is_empty() {
            let count = job.cut.pieces() * self.times;
            let note = format!("{size}; or an offcut that holds the piece");
            return vec![Figure::new(format!("{}, one a piece", material.name), count).note(note)];
        }
        let row = |alike: &SheetsAlike| {
            let times = match alike.times {
                1 => "once".to_string(),
                times => format!("{times} times"),
            };
            let others = match alike.others {
                0 => String::new(),
                others => format!(" and {others} of other jobs"),
            };
            let size = match alike.offcut {
                None => size.clone(),
                Some([length, width]) => {
                    format!("an offcut of {length} x {width}, {} thick", material.thickness)
                }
            };
            let note = format!(
                "{size}; run {} {times}; pieces of this job on each: {}{others}",
                alike.programs.join(", then "),
                alike.pieces
            );
            Figure::new(format!("{} as {}", material.name, alike.picture), alike.times).note(note)
        };
        self.sheets.iter().map(row).collect()
    }

    fn boards_to_buy(&self) -> Option<Table> {
        let note = match self.boards_shared {
            true => "for all jobs that share these boards; boards.txt says how each is sawn",
            false => "boards.txt says how each is sawn",
        };
        let rows = counted_up(self.boards.iter().copied()).into_iter().map(|(length, count)| {
            Figure::new(format!("boards of {}", in_feet(length)), count).note(note)
        });
        (!self.boards.is_empty()).then(|| Table::figures("Boards to buy", rows.collect()))
    }
}

/// The shortest lengths at hand that hold the blank, with what they leave.
fn lengths(at_hand: &[Length], blank: Length) -> Vec<Figure> {
    let mut fitting: Vec<Length> = at_hand.iter().copied().filter(|&n| n >= blank).collect();
    fitting.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
    let mut rows = vec![Figure::new("blank length", blank).note("without end trim")];
    let row = |&n: &Length| Figure::new(format!("stock of {}, slack", in_feet(n)), n - blank);
    rows.extend(fitting.iter().take(LISTED).map(row));
    if fitting.is_empty() {
        let longest = at_hand.iter().copied().fold(Length::ZERO, Length::max);
        let note = format!("longer than {}: no length at hand holds it", in_feet(longest));
        rows.push(Figure::new("stock", Value::Words("none".to_string())).note(note));
    }
    rows
}

/// Many boards' length in all, as the trade counts it: feet, or metres.
pub fn run_of(feet: f64) -> String {
    match Tape::in_hand() {
        Tape::Inches => format!("{} ft", trimmed(feet, 2)),
        Tape::Metric => format!("{} m", trimmed(Length::inches(feet * 12.0).as_mm() / 1000.0, 2)),
    }
}

/// A length of a board as it is sold: whole feet as such, metres on a metric tape.
pub(in crate::output) fn in_feet(length: Length) -> String {
    let feet = length.as_feet();
    if Tape::in_hand() == Tape::Metric {
        return format!("{} m", trimmed(length.as_mm() / 1000.0, 3));
    }
    if (feet - feet.round()).abs() < 1e-9 {
        format!("{} ft", trimmed(feet, 0))
    } else {
        length.to_string()
    }
}
