//! The layout numbers of a stair: every figure of the flight and of its stringer with its key, its
//! label, its value and what is meant by it, in one list for whoever tells them: terminal, bench
//! sheet, drawing, report, comparison.

use serde::{Serialize, Serializer};

use crate::check::{head_contact, throat};
use crate::job::{Job, Meets};
use crate::stair::outline::{Outline, cleat_marks};
use crate::stair::{Flight, HeadBearsOn};
use crate::units::{Length, Tape, decimal, on_tape, trimmed};

/// The value of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number of things.
    Count(usize),
    /// A length.
    Length(Length),
    /// An angle in degrees.
    Degrees(f64),
    /// Words, or a figure with a unit of its own.
    Words(String),
}

impl Value {
    /// The value as a number: a count, millimetres or degrees; words are none.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Count(count) => Some(*count as f64),
            Self::Length(length) => Some(length.as_mm()),
            Self::Degrees(degrees) => Some(*degrees),
            Self::Words(_) => None,
        }
    }

    /// As the tape in hand reads; everything else as it is.
    pub fn on_tape(&self) -> String {
        match self {
            Self::Length(length) => on_tape(*length),
            Self::Count(_) | Self::Degrees(_) | Self::Words(_) => self.to_string(),
        }
    }

    /// In millimetres to one decimal; empty for what is no length.
    pub fn in_mm(&self) -> String {
        match self {
            Self::Length(length) => format!("{} mm", decimal(length.as_mm(), 1)),
            Self::Count(_) | Self::Degrees(_) | Self::Words(_) => String::new(),
        }
    }

    /// To the last digit that matters, from a tape in inches in millimetres too; empty for what is
    /// no length.
    pub fn exact(&self) -> String {
        match self {
            Self::Length(length) => match Tape::in_hand() {
                Tape::Metric => Tape::Metric.finely(*length),
                tape => format!("{}, {} mm", tape.finely(*length), trimmed(length.as_mm(), 3)),
            },
            Self::Count(_) | Self::Degrees(_) | Self::Words(_) => String::new(),
        }
    }
}

/// Lengths in both systems, degrees to hundredths.
impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&match self {
            Self::Count(count) => count.to_string(),
            Self::Length(length) => length.to_string(),
            Self::Degrees(degrees) => format!("{} deg", trimmed(*degrees, 2)),
            Self::Words(words) => words.clone(),
        })
    }
}

/// As the report writes it: whole, in mm, in degrees.
impl Serialize for Value {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Count(count) => count.serialize(serializer),
            Self::Length(length) => length.as_mm().serialize(serializer),
            Self::Degrees(degrees) => degrees.serialize(serializer),
            Self::Words(words) => words.serialize(serializer),
        }
    }
}

impl From<Length> for Value {
    fn from(length: Length) -> Self {
        Self::Length(length)
    }
}

impl From<usize> for Value {
    fn from(count: usize) -> Self {
        Self::Count(count)
    }
}

impl From<String> for Value {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Value {
    fn from(words: &str) -> Self {
        Self::Words(words.to_string())
    }
}

/// What a layout number belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// The flight as a whole.
    Flight,
    /// One step.
    Step,
    /// The stringer.
    Stringer,
    /// The notch for the tie plate.
    Notch,
    /// The head.
    Head,
}

/// How much a layout number matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// In every list of them.
    Always,
    /// Where all of them are listed.
    InFull,
    /// To programs only: this part has nothing that a person could measure by it.
    ByKey,
}

/// One layout number.
#[derive(Clone, Debug)]
pub struct Number {
    /// Its key in report and comparison, with its unit.
    pub key: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// Its value; none where the job or its part has none.
    pub value: Option<Value>,
    /// How it is meant; empty where the label says it all.
    pub note: &'static str,
    /// What it belongs to.
    pub of: Of,
    /// Who is told.
    pub told: Told,
}

/// What a job has or has not.
trait Had {
    fn value(self) -> Option<Value>;
}

impl<V: Into<Value>> Had for V {
    fn value(self) -> Option<Value> {
        Some(self.into())
    }
}

impl Had for Option<Length> {
    fn value(self) -> Option<Value> {
        self.map(Value::Length)
    }
}

/// One number a row: what it belongs to and who is told, key, label, value, note.
macro_rules! rows {
    ($($of:expr, $key:literal, $label:literal, $value:expr, $note:expr;)*) => {
        vec![$(Number { key: $key, label: $label, value: $value.value(), note: $note, of: $of.0, told: $of.1 }),*]
    };
}

/// What the head of a stringer stands against.
fn against(on: HeadBearsOn) -> &'static str {
    match on {
        HeadBearsOn::Rim => "stringer against the rim",
        HeadBearsOn::HangerBoard => "stringer against the hanger board",
        HeadBearsOn::Header => "stringer against the header",
    }
}

/// Every layout number in the order of the report; `behind_relief` is what notches leave of the
/// board after the relief that will be cut.
pub fn numbers(
    job: &Job,
    flight: &Flight,
    outline: Option<&Outline>,
    behind_relief: Length,
) -> Vec<Number> {
    let full = |of: Of| (of, Told::InFull);
    let main = |of: Of| (of, Told::Always);
    // A stringer without steps has no top tread cut to hang by.
    let if_cut = |of: Of, there: bool| (of, if there { Told::Always } else { Told::ByKey });
    let (cut, corner) = (job.stringer.has_steps(), throat(job, flight).is_some());
    // Nothing comes off the foot of a housed board: its pockets begin at the finished tops.
    let sawn = job.stringer.housed().is_none();
    let part = |measured: fn(&Outline) -> Length| outline.map(measured);
    let plate = |measured: fn(&crate::job::Tie) -> Length| job.foot.plate_asked().map(measured);
    let contact = outline.and_then(|outline| head_contact(job, flight, outline));
    let against = contact.map_or("", |contact| against(contact.on));
    let contact = contact.map(|contact| contact.height());
    let pitch = Value::Degrees(flight.pitch_rad().to_degrees());
    let reach = (job.head.meets == Meets::OneDown).then(|| job.head_overhang());
    let head_notch = outline.and_then(Outline::head_notch);
    let marks = cleat_marks(job, flight);
    let first = marks.first();
    let to_rim = flight.hang_line + flight.head_finish;
    use Of::{Flight as Whole, Head, Notch, Step, Stringer};
    rows! {
        main(Whole), "risers", "risers", flight.risers, "";
        main(Whole), "treads", "treads", flight.treads, "";
        main(Whole), "total_rise_mm", "total rise", flight.total_rise,
            "finished surface to finished surface, plumb";
        main(Step), "unit_rise_mm", "unit rise", flight.unit_rise, "total rise over risers";
        main(Step), "unit_run_mm", "unit run", flight.unit_run, "riser cut to riser cut";
        full(Step), "pitch_length_mm", "nose to nose along the pitch", flight.pitch_length(), "";
        main(Step), "tread_finish_mm", "tread finish", flight.tread_finish, "overhang included";
        full(Step), "overhang_mm", "overhang", job.tread.overhang, "";
        full(Step), "tread_thickness_mm", "tread thickness", flight.tread_thickness, "";
        main(Whole), "finish_to_come_mm", "finish to come", flight.finish_to_come, "on the lower floor";
        main(Whole), "stands_on_mm", "the seat stands \
            on", job.foot.stands_on.as_ref().map(|on| on.height),
            "its height over the lower surface";
        full(Step), "riser_board_mm", "riser board", job.tread.riser_board, "its thickness";
        main(Whole), "total_run_mm", "total run", flight.total_run(),
            if cut { "first riser cut to top plumb cut, level" } else { "of the stair, level" };
        main(Whole), "pitch_deg", "pitch", pitch, "";
        if_cut(Stringer, sawn), "first_riser_cut_mm", "first riser cut", flight.first_riser_cut(),
            "over the surface the stringer stands on";
        if_cut(Stringer, sawn), "drop_mm", "drop, taken once", flight.drop(),
            "at the foot: tread thickness less finish to come, with what the seat stands on";
        if_cut(Head, cut), "hang_line_mm", "hang line", flight.hang_line,
            if flight.hang_line < Length::ZERO {
                "minus: so far ABOVE the top of the framing lies the top tread cut, plumb"
            } else {
                "top of the framing down to the top tread cut, plumb"
            };
        full(Head), "hang_from_finish_mm", "hang line from the upper finish", to_rim, "";
        full(Head), "head_cut_x_mm", "top plumb cut, from the first riser \
            cut", flight.head_cut_x, "level";
        if_cut(Stringer, cut), "top_tread_cut_mm", "top tread cut", flight.top_tread_cut, "level";
        full(Head), "head_finish_mm", "upper finish above its framing", flight.head_finish, "";
        full(Head), "head_overhang_mm", "upper finish past its riser", reach, "";
        full(Head), "rim_board_mm", "riser board at the head", job.head.riser_board, "";
        full(Head), "spacer_mm", "spacer between stringer and rim", job.head.spacer, "";
        full(Head), "rim_depth_mm", "depth of the rim", flight.rim_depth, "";
        full(Stringer), "board_width_mm", "board width", job.board.width, "as measured";
        full(Stringer), "board_thickness_mm", "board thickness", job.board.thickness, "as measured";
        full(Stringer), "board_depth_mm", "board from nose line to lower edge", flight.board_depth,
            "square to the edge";
        if_cut(Stringer, corner), "throat_mm", "throat", flight.behind_notches(),
            "square to the edge, behind a notch";
        if_cut(Stringer, corner), "throat_cut_mm", "throat as cut", behind_relief,
            "after the relief of the inside corners";
        main(Stringer), "blank_length_mm", "blank length", part(Outline::blank_length),
            "along the pitch, without end trim";
        main(Stringer), "seat_length_mm", "seat cut", part(Outline::seat_length),
            "along it, first riser cut to heel, a notch included";
        main(Stringer), "head_cut_length_mm", "top plumb cut", part(Outline::head_cut_length), "";
        full(Head), "head_notch_length_mm", "notch at the head, \
            level", head_notch.map(|n| n.length), "";
        full(Head), "head_notch_height_mm", "notch at the head, \
            upright", head_notch.map(|n| n.height), "";
        full(Head), "head_notch_above_mm", "wood above that \
            notch", head_notch.map(|n| n.wood_above),
            "plumb, up to the top tread cut";
        main(Head), "contact_height_mm", "contact at head", contact, against;
        main(Stringer), "first_cleat_top_mm", "top of the first cleat", first.map(|mark| mark.top),
            "over the surface the stringer stands on";
        main(Stringer), "first_cleat_along_mm", "line of the first \
            cleat", first.map(|mark| mark.along),
            "along the upper edge, from the toe end of the blank";
        main(Stringer), "cleat_step_mm", "cleat line to cleat \
            line", first.map(|_| flight.pitch_length()),
            "along the upper edge";
        main(Stringer), "cleat_front_mm", "front of a cleat", first.map(|mark| mark.front),
            "along its level line, from the upper edge";
        main(Stringer), "cleat_length_mm", "length of a cleat", first.map(|mark| mark.length), "along the tread";
        full(Notch), "notch_length_mm", "notch, along the seat", plate(|p| p.width + p.clearance),
            "plate and clearance";
        full(Notch), "notch_height_mm", "notch, height", plate(|p| p.height + p.clearance),
            "plate and clearance";
        full(Notch), "notch_set_back_mm", "notch, set back from the first riser \
            cut", plate(|p| p.set_back),
            "";
    }
}

/// Those of the numbers that every list for people has, with their values.
pub fn always(numbers: &[Number]) -> impl Iterator<Item = (&Number, &Value)> {
    numbers
        .iter()
        .filter(|number| number.told == Told::Always)
        .filter_map(|number| Some((number, number.value.as_ref()?)))
}

/// Those that a person can measure by and that belong to one thing, with their values.
pub fn all_of(numbers: &[Number], of: Of) -> impl Iterator<Item = (&Number, &Value)> {
    let told = numbers.iter().filter(move |number| number.of == of && number.told != Told::ByKey);
    told.filter_map(|number| Some((number, number.value.as_ref()?)))
}
