//! What is asked of somebody who has a tape and no job yet, in the order that he measures: each
//! question with its key, what it is for, and what is usual. Whoever asks, asks these.

use super::edit::{Answer, with_key};
use super::whole::{Part, part};
use crate::profile::{embedded, names_of};
use crate::units::Tape;

/// Where along the tape a question stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// From surface to surface.
    Rise,
    /// What lies on the surfaces, now or later.
    Finishes,
    /// Riser cut to riser cut.
    Run,
    /// The tread and the riser board.
    Tread,
    /// The upper end.
    Head,
    /// What the stringer is made of.
    Board,
    /// The lower end.
    Foot,
    /// How many risers, by whose rules.
    Risers,
    /// What is cut on what.
    Cut,
    /// What stands beside the stringers: [`super::PARTS`], and how wide the stair is.
    Whole,
    /// What it is called, and what the stringers carry.
    Beam,
}

impl Step {
    /// Every step in its order.
    pub const ALL: [Self; 11] = [
        Self::Rise,
        Self::Finishes,
        Self::Run,
        Self::Tread,
        Self::Head,
        Self::Board,
        Self::Foot,
        Self::Risers,
        Self::Cut,
        Self::Whole,
        Self::Beam,
    ];

    /// What it is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::Rise => "Rise",
            Self::Finishes => "Finishes",
            Self::Run => "Run",
            Self::Tread => "Tread",
            Self::Head => "Head",
            Self::Board => "Board",
            Self::Foot => "Foot",
            Self::Risers => "Risers",
            Self::Cut => "Cut",
            Self::Whole => "Whole stair",
            Self::Beam => "Name, beam check",
        }
    }
}

/// What an answer looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// A length with its unit.
    Length,
    /// A whole number.
    Count,
    /// One of these words, each with what it says.
    Word(&'static [(&'static str, &'static str)]),
    /// A profile of a kind.
    Profile(&'static str),
    /// Any text.
    Text,
}

/// What is usual, with an inch tape and with a metric one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Usual {
    /// Nobody but the tape knows it.
    Measured,
    /// It may be left out.
    Left,
    /// These two (common practice, no source).
    Taken(&'static str, &'static str),
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// The key it answers, `rise.total`.
    pub key: &'static str,
    /// Where it stands.
    pub step: Step,
    /// A few words.
    pub asks: &'static str,
    /// What it is for, and the comment behind its key in the job.
    pub means: &'static str,
    /// What an answer looks like.
    pub wanted: Wanted,
    /// What is usual.
    pub usual: Usual,
}

impl Question {
    /// The part of the whole stair that it belongs to; none for what every stair has.
    pub fn part(&self) -> Option<&'static Part> {
        self.key.split_once('.').and_then(|(table, _)| part(table))
    }

    /// What is taken where nothing is said.
    pub fn usual_by(&self, tape: Tape) -> Option<&'static str> {
        match (self.usual, tape) {
            (Usual::Taken(usual, _), Tape::Inches) | (Usual::Taken(_, usual), Tape::Metric) => {
                Some(usual).filter(|usual| !usual.is_empty())
            }
            _ => None,
        }
    }

    /// The words that can be chosen from, each with what it says; none where anything may be typed.
    pub fn choices(&self) -> Vec<(&'static str, String)> {
        match self.wanted {
            Wanted::Word(words) => {
                words.iter().map(|(word, says)| (*word, says.to_string())).collect()
            }
            Wanted::Profile(kind) => {
                names_of(kind).into_iter().map(|name| (name, about(kind, name))).collect()
            }
            _ => Vec::new(),
        }
    }
}

/// What a profile says of itself in a line.
fn about(kind: &str, name: &str) -> String {
    let text = embedded(Some(kind), name).map(|source| source.text).unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("about = "));
    line.unwrap_or_default().trim_matches('"').to_string()
}

/// A job that nobody has measured anything for: what is usual by this tape, without a rise.
pub fn begun(title: &str, tape: Tape) -> String {
    let named = with_key(BEGUN, "title", &Answer::Text(title.to_string()), "");
    // What is still to be laid stands behind the rise, which is nobody's but the tape's; without a
    // plate there is no notch to have a clearance.
    let is_usual = |asked: &&Question| {
        !matches!(asked.step, Step::Foot | Step::Cut | Step::Whole | Step::Beam)
            && !asked.key.starts_with("rise.")
    };
    QUESTIONS.iter().filter(is_usual).fold(named.unwrap_or_default(), |text, asked| {
        let usual = asked.usual_by(tape).map(|usual| Answer::Text(usual.to_string()));
        let with = usual.and_then(|usual| with_key(&text, asked.key, &usual, asked.means));
        with.unwrap_or(text)
    })
}

/// What every job begins with that is asked for.
const BEGUN: &str = r#"# A stair job. It is a plain text: change a figure here, or open it again with `seatcut draft`.
# A length stands in quote marks with its unit: "26 3/4 in", "26-3/4 in", "2 ft 2 3/4 in", "679.45 mm", "68 cm".
# `seatcut new FILE` writes a job with every key that there is. Decide with your local code and, where people may be
# hurt, with a licensed professional.
title = "Stair"

[rise]

[tread]

[head]

[board]
"#;

/// Question by key.
pub fn question(key: &str) -> Option<&'static Question> {
    QUESTIONS.iter().find(|question| question.key == key)
}

macro_rules! questions {
    ($($step:ident $key:literal $asks:literal $wanted:expr, $usual:expr, $means:literal;)*) => {
        /// Every question, in the order of the tape.
        pub const QUESTIONS: &[Question] = &[$(Question {
            key: $key, step: Step::$step, asks: $asks, means: $means, wanted: $wanted, usual: $usual,
        }),*];
    };
}

use Usual::{Left, Measured, Taken};
use Wanted::{Count, Length, Profile, Text, Word};

const MEETS: Wanted = Word(&[
    ("one-down", "the top tread lies one riser below the upper floor"),
    ("flush", "the top tread is level with the upper floor"),
]);
const MAKES: Wanted = Word(&[
    ("stringers", "the stringers themselves"),
    ("pattern", "a master pattern that the stringers are marked or cut by"),
]);
const LONG: Wanted = Word(&[
    ("index", "in set-ups: the stock is moved on along the machine between them, on two pins"),
    ("split", "a pattern in two pieces, with a stepped joint and a strap on dowels"),
]);
const BACK: Wanted = Word(&[
    ("butt", "it stands against the riser board behind it"),
    ("under", "it runs under the riser board behind it"),
]);
const SKIRT: Wanted = Word(&[
    ("open", "it follows the steps, where one sees the side"),
    ("wall", "a board with a straight top along a wall"),
]);
const AT_RISERS: Wanted = Word(&[
    ("butt", "the riser boards run past an open skirt"),
    ("mitre", "riser boards and open skirt are mitred, no end grain shows"),
]);
const TURN: Wanted = Word(&[
    ("straight", "the next flight goes straight on"),
    ("left", "it turns left, for somebody who climbs"),
    ("right", "it turns right"),
    ("back", "it goes back beside the one that arrives"),
]);
const HAND: Wanted = Word(&[("left", "on the left"), ("right", "on the right")]);
const NEXT_ON: Wanted =
    Word(&[("framing", "on its framing, the finish comes later"), ("finish", "on its finish")]);

questions! {
    Rise "rise.total" "Total rise" Length, Measured,
        "plumb, from the finished lower surface to the finished upper surface";
    Finishes "rise.finish_to_come" "Finish still to be laid below" Length, Taken("0 in", "0 mm"),
        "flooring or paving that will raise the lower surface; it comes out of the foot";
    Finishes "head.finish" "Upper finish" Length, Taken("1 in", "20 mm"),
        "thickness of the upper finish above its framing";
    Run "tread.cut" "Run" Length, Taken("10 1/4 in", "270 mm"),
        "riser cut to riser cut, level; the nosing not counted";
    Tread "tread.thickness" "Tread thickness" Length, Taken("1 in", "30 mm"),
        "it comes off the foot of the stringer, once";
    Tread "tread.overhang" "Nosing" Length, Taken("1 in", "25 mm"),
        "how far the tread stands out over the riser's face";
    Tread "tread.riser_board" "Riser board" Length, Taken("3/4 in", "18 mm"),
        "its thickness; 0 for open risers";
    Head "head.meets" "Top tread" MEETS, Taken("one-down", "one-down"),
        "one riser below the upper floor, or level with it";
    Head "head.rim_depth" "Rim joist" Length, Taken("11 1/4 in", "280 mm"),
        "how deep the joist is that the stringer hangs on: is there enough to bear on";
    Head "head.overhang" "Nosing of the upper floor" Length, Left,
        "how far the upper finish stands out over the last riser; left out: as the treads";
    Board "board.width" "Board width" Length, Taken("11 1/4 in", "300 mm"),
        "as your tape says, not as the board is called";
    Board "board.thickness" "Board thickness" Length, Taken("1 1/2 in", "40 mm"),
        "as your tape says";
    Foot "foot.tie_plate.width" "Plate let in at the foot, width" Length, Left,
        "the plate under the toe, along the stair; no plate: no notch";
    Foot "foot.tie_plate.height" "Plate let in at the foot, height" Length, Left,
        "how thick that plate is";
    Foot "foot.tie_plate.clearance" "Clearance of its notch" Length, Taken("1/16 in", "1.5 mm"),
        "so much is the notch cut wider and higher than the plate, so that it goes over it";
    Risers "rules" "Rule set" Profile("rules"), Taken("us-irc-2021", ""),
        "whose limits the stair is held against; your local code decides";
    Risers "rise.risers" "Risers" Count, Left,
        "how many: the steps up, from the lower floor until you stand on the upper one";
    Cut "cut.makes" "What is cut" MAKES, Left,
        "the stringers, or a pattern to make them by; nothing: the stringer is laid out by hand";
    Cut "cut.machine" "Machine" Profile("machine"), Taken("router-table", "router-metric"),
        "by what it can do";
    Cut "cut.material" "What lies on it" Profile("material"), Left,
        "what is cut";
    Cut "cut.thickness" "Its thickness" Length, Left,
        "of what lies there, as measured: so deep is cut";
    Cut "cut.quantity" "How many" Count, Taken("1", "1"),
        "stringers, or patterns";
    Cut "cut.long" "Longer than the machine" LONG, Left,
        "only where it is longer than the machine or what lies on it takes: how it is made then";
    Whole "stair.width" "Width of the stair" Length, Left,
        "over the outer stringers: how many there have to be, how long the treads are";
    Whole "steps.past_sides" "Treads past the stringers" Length, Taken("0 in", "0 mm"),
        "how far they run past the outer stringers, at each side";
    Whole "steps.back" "Back of the treads" BACK, Taken("butt", "butt"),
        "against the riser board behind it, or under it";
    Whole "skirts.left" "Skirt on the left" SKIRT, Left,
        "for somebody who climbs";
    Whole "skirts.right" "Skirt on the right" SKIRT, Left,
        "for somebody who climbs";
    Whole "skirts.thickness" "Skirt thickness" Length, Taken("3/4 in", "18 mm"),
        "as your tape says";
    Whole "skirts.width" "Width of a wall skirt" Length, Left,
        "of the board that it is made of";
    Whole "skirts.at_risers" "Open skirt at the risers" AT_RISERS, Taken("butt", "butt"),
        "whether it is mitred to the riser boards";
    Whole "rail.height" "Rail height" Length, Taken("36 in", "900 mm"),
        "plumb, from the line through the nosings to the top of the rail; your local code decides";
    Whole "rail.post" "Post" Length, Taken("3 1/2 in", "90 mm"),
        "its width along the stair";
    Whole "rail.baluster" "Baluster" Length, Left,
        "its width along the stair; left out: none are set";
    Whole "rail.most_gap" "Gap between balusters" Length, Left,
        "the widest that may be; left out: 3 7/8 in, your local code decides";
    Whole "rail.most_apart" "Posts apart at most" Length, Left,
        "centre to centre, level; left out: 6 ft";
    Whole "opening.length" "Length of the opening" Length, Measured,
        "level, along the flight, from the riser at its head to the edge of the floor over the \
        foot";
    Whole "opening.depth" "Floor and ceiling" Length, Measured,
        "how deep they are: from the upper finish down to the ceiling under it";
    Whole "opening.from_head" "Opening off the head" Length, Left,
        "from the riser at the head to where the opening begins; left out: at the head";
    Whole "landing.after" "Risers below the landing" Count, Measured,
        "of all risers of the stair";
    Whole "landing.depth" "Depth of the landing" Length, Measured,
        "level, along the flight that arrives";
    Whole "landing.finish" "Finish of the landing" Length, Taken("1 in", "20 mm"),
        "thickness of its finish above its framing";
    Whole "landing.turn" "Turn" TURN, Taken("straight", "straight"),
        "where the next flight goes on";
    Whole "landing.hand" "Side of a turn back" HAND, Left,
        "for a turn back only: on which side of the flight that arrives; left out: left";
    Whole "landing.well" "Well of a turn back" Length, Left,
        "for a turn back only: between the two flights; left out: none";
    Whole "landing.next_on" "Next flight stands" NEXT_ON, Taken("framing", "framing"),
        "what its stringers stand on";
    Beam "title" "Name of the stair" Text, Left,
        "printed on everything; left out: the name of its file";
    Beam "stair.most_spacing" "Stringers apart at most" Length, Left,
        "the limit of the tread's own material, as its maker gives it";
    Beam "board.species" "Species" Text, Left,
        "what wood it is, for the beam check: southern-pine, say";
    Beam "board.grade" "Grade" Text, Left,
        "as the stamp says: no2, no1, select-structural";
    Beam "load.live" "Live load" Text, Left,
        "what people weigh, 40 psf say, for the beam check: it is made with all three of these";
}

#[cfg(test)]
mod tests {
    use super::super::form::sections;
    use super::*;
    use crate::units::{Bare, read_length};

    #[test]
    fn every_question_has_its_key_in_a_job_and_what_is_usual_can_be_read() {
        for asked in QUESTIONS {
            let (table, name) = asked.key.rsplit_once('.').unwrap_or(("", asked.key));
            let sections = sections();
            let section = sections.iter().find(|section| section.name == table);
            let key = section.and_then(|of| of.keys.iter().find(|key| key.name == name));
            assert!(key.is_some(), "{}", asked.key);
            for tape in [Tape::Inches, Tape::Metric] {
                let Some(usual) = asked.usual_by(tape) else { continue };
                let choices = asked.choices();
                let reads = match asked.wanted {
                    Length => read_length(usual, Bare::Refused).is_ok(),
                    Count => usual.parse::<u32>().is_ok(),
                    _ => choices.iter().any(|(word, _)| *word == usual),
                };
                assert!(reads, "{} {usual}", asked.key);
            }
        }
    }
}
