//! Sections of sentences and tables, whatever draws them.

use super::Stamp;
use crate::geometry::Point;
use crate::output::page::Page;
use crate::pipeline::numbers::{Number, Value};
use crate::units::{Length, Tape, decimal};

/// The bench sheet of one job.
#[derive(Clone, Debug)]
pub struct BenchSheet {
    /// What it is called: a bench sheet, or what is laid out like one.
    pub called: &'static str,
    /// Title and fingerprint of the job.
    pub stamp: Stamp,
    /// What is made, on what, under which rule set: one line each.
    pub about: Vec<String>,
    /// The sections in the order they are told.
    pub sections: Vec<Section>,
    /// What is drawn beside them.
    pub pictures: Pictures,
}

/// The pictures of a bench sheet, each on paper of its own size.
#[derive(Clone, Debug, Default)]
pub struct Pictures {
    /// The stringer as it stands; none without a stringer.
    pub elevation: Option<Page>,
    /// Poles with the marks to transfer.
    pub poles: Vec<Page>,
    /// Where the numbered checks of the test-fit card are measured; none without a stringer.
    pub fit: Option<Page>,
}

impl BenchSheet {
    /// Adds a section before the appendix.
    pub fn add(&mut self, section: Section) {
        let appendix = self.sections.iter().position(|of| of.topic == Topic::Layout);
        self.sections.insert(appendix.unwrap_or(self.sections.len()), section);
    }

    /// The section about a topic.
    pub fn section(&self, topic: Topic) -> Option<&Section> {
        self.sections.iter().find(|section| section.topic == topic)
    }
}

/// What a section is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// The dozen numbers that one works with.
    Numbers,
    /// A stair of several flights as a whole.
    WholeStair,
    /// Every program in the order they are run.
    RunOrder,
    /// Marks to transfer, drawn as poles.
    Poles,
    /// The numbers the stringer is laid out with, exact.
    Layout,
    /// Cumulative marks along the board and up a story pole.
    Marks,
    /// Where the head hangs.
    HangLine,
    /// Where the stringers stand.
    Positions,
    /// Tape checks on the piece held in place.
    FitCard,
    /// What to cut from what.
    CutList,
    /// Which sheets are cut, in which order.
    Sheets,
    /// Which blanks come out of which board.
    Boards,
    /// What is cut up.
    ToBuy,
    /// What all of it comes to.
    Totals,
    /// What to set at the machine.
    Machine,
    /// Where the flight lands on ground that falls.
    Ground,
    /// One pattern on a floor out of level.
    Across,
    /// The clear height under the floor that the flight goes up through.
    Headroom,
    /// Posts, rail and balusters.
    Rail,
    /// Ways for the head to meet the framing.
    HeadJoints,
    /// The stringer as a beam.
    Strength,
    /// What moisture will change.
    Moisture,
    /// What to take care of, what was found and what was taken on.
    Cautions,
}

impl Topic {
    /// A short name for links: ASCII, no spaces.
    pub fn name(self) -> &'static str {
        match self {
            Self::Numbers => "numbers",
            Self::WholeStair => "whole-stair",
            Self::RunOrder => "run-order",
            Self::Poles => "poles",
            Self::Layout => "layout",
            Self::Marks => "marks",
            Self::HangLine => "hang-line",
            Self::Positions => "positions",
            Self::FitCard => "test-fit",
            Self::CutList => "cut-list",
            Self::Sheets => "sheets",
            Self::Boards => "boards",
            Self::ToBuy => "to-buy",
            Self::Totals => "totals",
            Self::Machine => "machine",
            Self::Ground => "ground",
            Self::Across => "across",
            Self::Headroom => "headroom",
            Self::Rail => "rail",
            Self::HeadJoints => "head-joints",
            Self::Strength => "strength",
            Self::Moisture => "moisture",
            Self::Cautions => "cautions",
        }
    }

    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Numbers => "The numbers to work with",
            Self::WholeStair => "The whole stair",
            Self::RunOrder => "Run order",
            Self::Poles => "Story pole and board marks",
            Self::Layout => "Appendix: exact figures",
            Self::Marks => "Appendix: exact marks",
            Self::HangLine => "Hang line",
            Self::Positions => "Stringer positions",
            Self::FitCard => "Test-fit card",
            Self::CutList => "Cut list",
            Self::Sheets => "Sheets",
            Self::Boards => "Boards to saw",
            Self::ToBuy => "Sheets and boards",
            Self::Totals => "Totals",
            Self::Machine => "Machine sheet",
            Self::Ground => "Ground that falls",
            Self::Across => "Floor out of level",
            Self::Headroom => "Headroom",
            Self::Rail => "Posts and rail",
            Self::HeadJoints => "Head joints",
            Self::Strength => "Strength, a first look",
            Self::Moisture => "Movement with moisture",
            Self::Cautions => "Cautions, findings and waivers",
        }
    }
}

/// One section.
#[derive(Clone, Debug)]
pub struct Section {
    /// What it is about.
    pub topic: Topic,
    /// Sentences above the tables.
    pub notes: Vec<String>,
    /// The tables.
    pub tables: Vec<Table>,
}

/// A table with its caption.
#[derive(Clone, Debug)]
pub struct Table {
    /// What the table shows.
    pub caption: String,
    /// Its rows, all of one kind.
    pub rows: TableRows,
}

impl Table {
    /// Whether it has figures.
    pub fn is_filled(&self) -> bool {
        !matches!(&self.rows, TableRows::Figures(rows) if rows.is_empty())
    }

    /// Labels with values.
    pub fn figures(caption: impl Into<String>, rows: Vec<Figure>) -> Self {
        Self { caption: caption.into(), rows: TableRows::Figures(rows) }
    }

    /// Values in columns, each with its heading and its share of the width.
    pub fn plain(
        caption: &str,
        columns: &'static [(&'static str, f64)],
        rows: Vec<Vec<Value>>,
    ) -> Self {
        Self { caption: caption.to_string(), rows: TableRows::Plain { columns, rows } }
    }
}

/// The rows of a table.
#[derive(Clone, Debug)]
pub enum TableRows {
    /// Labels with values.
    Figures(Vec<Figure>),
    /// Cumulative marks.
    Marks(Vec<Mark>),
    /// Predicted and measured.
    Checks(Vec<Check>),
    /// Pieces to cut.
    Pieces(Vec<Piece>),
    /// Values in columns, each with its heading and its share of the width.
    Plain {
        /// Headings and shares.
        columns: &'static [(&'static str, f64)],
        /// The rows, a value for every column.
        rows: Vec<Vec<Value>>,
    },
}

/// A label and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub label: String,
    /// How much.
    pub value: Value,
    /// How it is meant; empty where the label says it all.
    pub note: String,
}

impl Figure {
    /// A figure that needs no note.
    pub fn new(label: impl Into<String>, value: impl Into<Value>) -> Self {
        Self { label: label.into(), value: value.into(), note: String::new() }
    }

    /// With a note.
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }
}

impl From<(&Number, &Value)> for Figure {
    fn from((number, value): (&Number, &Value)) -> Self {
        Self::new(number.label, value.clone()).note(number.note)
    }
}

/// A mark at a distance from the beginning, from the exact value and not from the mark before it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What is marked.
    pub label: String,
    /// The exact distance.
    pub at: Length,
}

impl Mark {
    /// The distance by the nearest line of the tape in hand.
    pub fn on_tape(&self) -> Length {
        Tape::in_hand().nearest_line(self.at)
    }

    /// What that line is too far (positive) or too near.
    pub fn residual(&self) -> Length {
        self.on_tape() - self.at
    }

    /// The residual in the tape's unit, with its sign: to four decimals of an inch, two of a
    /// millimetre.
    pub fn off(&self) -> String {
        let tape = Tape::in_hand();
        let places = if tape == Tape::Inches { 4 } else { 2 };
        let off = decimal(tape.count(self.residual()), places);
        let is_plain = off.starts_with('-') || !off.bytes().any(|b| (b'1'..=b'9').contains(&b));
        format!("{}{off}", if is_plain { "" } else { "+" })
    }
}

/// One tape check: what it should be, and room for what it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What is measured, from where to where.
    pub label: String,
    /// How.
    pub how: String,
    /// What the finished stringer should show.
    pub predicted: Length,
    /// What a pattern should show that is smaller than the part; none where it is the same piece or
    /// cannot be measured on it.
    pub on_pattern: Option<Length>,
    /// The two ends of what is measured on the stringer, in the elevation frame, in mm; none where
    /// it is not measured on it.
    pub ends: Option<[Point; 2]>,
    /// Whether it is a height of the flight as it was built.
    pub built: bool,
    /// Whether that is the upper floor's, and not a tread's.
    pub upper: bool,
}

/// Pieces of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is.
    pub what: String,
    /// How many; words where the job does not know.
    pub count: Value,
    /// Its length; words where the job does not know.
    pub length: Value,
    /// Its width or height; words where the job does not know.
    pub width: Value,
    /// Its thickness; words where the job does not know.
    pub thickness: Value,
    /// How it is meant.
    pub note: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::sixteenths;

    #[test]
    fn the_nearest_sixteenth_is_the_one_that_is_printed() {
        for thousandths in 0..3000 {
            let length = Length::inches(f64::from(thousandths) / 1000.0);
            if length >= Length::inches(1.0 / 16.0) {
                let printed = sixteenths(length).replace(['+', '-'], "");
                let printed = printed.replace(" full", "").replace(" scant", "");
                assert_eq!(sixteenths(Tape::Inches.nearest_line(length)), printed);
            }
        }
    }
}
