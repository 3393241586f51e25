//! What stands in a program that was read back: its words, modes, comments and ends.

use super::super::code::findings;
use super::super::{Count, Millimetres, PRACTICE};
use super::words::words;

/// The source of what the language itself asks.
pub(super) const LANGUAGE: &str = "RS-274/NGC, NISTIR 6556, 2000";
/// The source of what the machine at hand asks.
pub(super) const PROFILE: &str = "machine profile";

words! {
    /// Words that nothing on their line uses.
    Stray {
        Dwell "a P without G4",
        Centre "I or J without G2 or G3",
        Radius "R without G2 or G3",
        AxisBesideDwell "an axis word beside G4",
    }
    /// What needs a unit that was not said.
    Unitless { Feed "a feed (F)", Motion "a motion", Blend "the rounding of corners (G64 P)" }
    /// How a unit is not what it was or has to be.
    OddUnit {
        Changed "changes the unit after the first motion",
        NotTheMachines "sets a unit that is not the machine's",
    }
    /// What a mode must be said before.
    Before { Motion "the first motion", Arc "the first arc" }
    /// What a machine does not take.
    NotTaken {
        ArcCentreMode "G91.1",
        Arc "an arc (G2 or G3)",
        Helix "an arc that goes up or down while it turns",
    }
    /// How comments are written.
    CommentsIn { Parentheses "( )", Semicolon ";" }
    /// What some controllers act on within a comment; its name follows.
    ActedOn { Character "the character", Command "the command" }
    /// Where a `%` stands.
    PercentAt {
        Inside "stands inside the program",
        FirstOnly "opens the program and none closes it",
        LastOnly "closes the program and none opens it",
    }
    /// How a program is framed.
    Framed { Percent "a first and a last line of %", Bare "no lines of %" }
    /// What a frame does that it must not.
    FrameFault {
        Runs "switches the tool or the beam on",
        NotOff "moves before M5 has switched the tool or the beam off",
        Low "goes lower than the clear height, or moves before its height is known",
        High "goes higher than the clear height",
        Waits "stands still",
        Pace "goes at another feed than the machine profile's",
        Meets "goes where a clamp stands",
        Beyond "goes beyond the box of all motion of its set",
        Box "does not go once round the box of all motion of its set, side by side, and home",
    }
    /// What stands after the end of a program.
    AfterIt { Words "words stand", Comment "a comment stands" }
}

findings! {
    ModalClash { measured: Count } "modal-clash" Refusal Never LANGUAGE,
        "this line has {measured} words that exclude each other, and controllers differ in which \
        of them they obey",
        "Two words of one modal group stand on one line; controllers differ in which of them \
        counts.",
        "Put each word on a line of its own.";
    SeveralSwitches { measured: Count } "several-switches" Warning Never PRACTICE,
        "this line has {measured} M words; some controllers take one a line, and leave out the \
        others without a word",
        "Several M words stand on one line, and some controllers obey one of them only.",
        "Put each M word on a line of its own.";
    WordTwice { letter: &'static str } "word-twice" Refusal Never LANGUAGE,
        "the letter {letter} stands twice on this line, and only one of its numbers can count",
        "A letter stands twice on one line.",
        "Remove one of the two words.";
    StrayWord { word: Stray } "stray-word" Refusal Never LANGUAGE,
        "there is {word} on this line: nothing uses it, and a controller may stop there",
        "A word stands where nothing uses it.",
        "Remove the word, or write the command that it belongs to.";
    UnitsMissing { what: Unitless } "units-missing" Refusal Never LANGUAGE,
        "{what} comes before G20 or G21, so its unit is whatever the controller held before",
        "A feed or a motion comes before G20 or G21, so its unit is whatever the controller held \
        before.",
        "Write G20 or G21 on a line of its own at the start.";
    // `unit`: the machine's, `inches` or `millimetres`.
    UnitsChanged { how: OddUnit, unit: &'static str } "units-changed" Refusal Never PROFILE,
        "this line {how}; the whole program has to be written in {unit}",
        "The unit changes after the first motion, or is not the machine's.",
        "Write the whole program in the machine's unit.";
    MotionMissing {} "motion-missing" Refusal Never LANGUAGE,
        "this line gives a place to go to while none of G0, G1, G2 and G3 is in force",
        "Axis words stand on a line while no motion command is in force.",
        "Write G0, G1, G2 or G3 on the line.";
    // `missing`: the words, `G90, G94`.
    ModeNotSaid { missing: String, before: Before } "mode-not-said" Refusal Never LANGUAGE,
        "the program has no {missing} before {before}, so it does what the last program left \
        behind",
        "The program relies on a mode that it never sets, so it does what the last program left \
        behind.",
        "Write G17, G90 and G94 before the first motion.";
    StateNotSaid { missing: String, before: Before } "state-not-said" Warning Never LANGUAGE,
        "the program has no {missing} before {before}: an offset, a cycle or a mode of an earlier \
        program may be on",
        "The program does not cancel an offset or a cycle that an earlier program may have left \
        on.",
        "Write G40, G49, G54 and G80 before the first motion.";
    StateLate { word: String } "state-late" Refusal Never LANGUAGE,
        "{word} is said here for the first time, and the tool has moved before: nobody knows what \
        was on till now",
        "An offset, a cycle or a mode changes in the middle of the program: what was cut before \
        may lie elsewhere.",
        "Write G40, G49, G54 and G80 before the first motion, and G91.1 before the first arc.";
    WordNotTaken { word: NotTaken } "word-not-taken" Refusal Never PROFILE,
        "{word} stands on this line, and the machine profile says that this machine does not take \
        it",
        "The machine profile says that this machine does not take this word.",
        "Make the program for this machine, or correct the profile.";
    FrameOff { what: FrameFault } "frame-off" Refusal Never PRACTICE,
        "this frame {what}",
        "A frame shows where a set will go: tool off, clear of everything, once round the box of \
        all motion.",
        "Make the set anew: a frame is not changed by hand.";
    // NISTIR 6556, 3.5.3.2: of X and Y one at least.
    ArcEndMissing {} "arc-end-missing" Refusal Never LANGUAGE,
        "this arc says neither X nor Y, so that nothing says where it ends: some controllers stop \
        here, in the wood",
        "An arc has neither X nor Y.",
        "Write where it ends, for a full circle too.";
    ArcCentreMissing {} "arc-centre-missing" Refusal Never LANGUAGE,
        "this arc has no I and J, or both are 0: its centre has to lie away from its start",
        "An arc has no centre, or starts at it.",
        "Write I and J.";
    // `measured`: the difference of the two.
    ArcRadius { start: Millimetres, end: Millimetres, measured: Millimetres, limit: Millimetres }
        "arc-radius" Refusal Never LANGUAGE,
        "the arc starts {start} from its centre and ends {end} from it: {measured} apart, and \
        {limit} is the most",
        "The start and the end of an arc are not equally far from its centre; a controller stops \
        or cuts a spiral.",
        "Correct X, Y, I or J.";
    LineUnnumbered {} "line-unnumbered" Advice Never PROFILE,
        "the line has no number, and the machine's profile says that every line has one",
        "A line with words has no N word where the machine's profile asks for line numbers.",
        "Number the lines, or write the program again from the job.";
    LineEndsDiffer {} "line-ends-differ" Warning Never PROFILE,
        "the line ends in a line feed alone, and the machine's profile says carriage return and \
        line feed",
        "Some controllers read a file without carriage returns as one line, or stop.",
        "Save the file with the line ends of the machine's profile.";
    ArcShort { measured: Millimetres, limit: Millimetres } "arc-short" Refusal Never LANGUAGE,
        "the arc is {measured} long only, and below {limit} some controllers take both of its ends \
        for one point, and it for a full turn",
        "An arc starts and ends in the same direction from its centre, or at one point to the \
        machine's last digit: some controllers take it for a full turn.",
        "Write a line, or the full circle.";
    LineTooLong { measured: Count, limit: Count } "line-too-long" Refusal Never PRACTICE,
        "the line has {measured} characters, and many controllers cut off what is beyond {limit}",
        "A line has more characters than many controllers take; the rest may be cut off silently.",
        "Break the line or shorten its comment.";
    CommentStyle { found: CommentsIn, named: CommentsIn } "comment-style" Warning Never PROFILE,
        "a comment is written with {found}, and the machine profile names {named} for comments",
        "A comment is written in a way that the machine profile does not name.",
        "Write comments as the profile says.";
    // `name`: the character or the command itself.
    CommentActive { what: ActedOn, name: String } "comment-active" Refusal Never PRACTICE,
        "the comment holds {what} {name}, and some controllers act on that within a comment too",
        "A comment holds what some controllers act on: !, ~, ? or % anywhere, or a command such as \
        LOGOPEN at its start.",
        "Write letters, digits, spaces and . , - + / only.";
    PercentPlace { how: PercentAt } "percent-place" Refusal Never LANGUAGE,
        "a % {how}: many controllers end the program at a %, whatever the tool is doing",
        "A % stands inside the program, or at one of its ends only; many controllers end the \
        program there, whatever the tool is doing.",
        "Write % as the first and as the last line, or not at all.";
    PercentLines { found: Framed, named: Framed } "percent-lines" Warning Never PROFILE,
        "the program has {found}, and the machine profile asks for {named}",
        "The program is framed by % lines and the profile does not ask for it, or the other way \
        round.",
        "Follow the profile.";
    DwellWithoutTime {} "dwell-without-time" Refusal Never LANGUAGE,
        "this dwell (G4) has no P, or a P below 0, so nothing says how long it lasts",
        "A dwell has no P word, or a negative one.",
        "Write P.";
    EndMissing {} "end-missing" Refusal Never LANGUAGE,
        "the program does not end with M2 or M30: its last lines may have been cut off",
        "The program does not end with M2 or M30: it may have been cut off.",
        "Make the program again.";
    // Both `M2` or `M30`.
    EndWord { found: &'static str, named: &'static str } "end-word" Warning Never PROFILE,
        "the program ends with {found}, and the machine profile names {named} for that",
        "The program ends with another word than the profile names.",
        "Follow the profile.";
    AfterEnd { found: AfterIt } "after-end" Refusal Never LANGUAGE,
        "{found} after the end of the program, where nothing but a last % belongs",
        "Something stands after the end of the program.",
        "Remove it.";
    FeedMissing {} "feed-missing" Refusal Never LANGUAGE,
        "this feed move has no feed: there is no F on its line nor on any before it",
        "A feed move has no feed.",
        "Write F on the first feed move.";
}
