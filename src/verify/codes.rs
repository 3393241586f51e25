//! Every finding that `verify` can make: how much it weighs, where its limit comes from, what it means, what to do.

use crate::finding::{GEOMETRY, PRACTICE, Severity};

/// One kind of finding.
#[derive(Debug)]
pub(super) struct Code {
    pub name: &'static str,
    pub severity: Severity,
    pub source: &'static str,
}

const LANGUAGE: &str = "RS-274/NGC, NISTIR 6556, 2000";
const PROFILE: &str = "machine profile";

macro_rules! codes {
    ($($id:ident $name:literal $severity:ident $source:expr, $meaning:literal, $what:literal;)*) => {
        $(pub(super) const $id: &Code = &Code {
            name: $name, severity: Severity::$severity, source: $source,
        };)*

        /// Every code that `verify` can give: its name, what it means, what to do.
        pub const CODES: &[(&str, &str, &str)] = &[$(($name, $meaning, $what),)*];
    };
}

codes! {
    MODAL_CLASH "modal-clash" Refusal LANGUAGE,
        "two words of one modal group stand on one line; controllers differ in which of them counts",
        "put each word on a line of its own";
    WORD_TWICE "word-twice" Refusal LANGUAGE,
        "a letter stands twice on one line",
        "remove one of the two words";
    STRAY_WORD "stray-word" Refusal LANGUAGE,
        "a word stands where nothing uses it",
        "remove the word, or write the command that it belongs to";
    UNITS_MISSING "units-missing" Refusal LANGUAGE,
        "a feed or a motion comes before G20 or G21, so its unit is whatever the controller held before",
        "write G20 or G21 on a line of its own at the start";
    UNITS_CHANGED "units-changed" Refusal PROFILE,
        "the unit changes after the first motion, or is not the machine's",
        "write the whole program in the machine's unit";
    MOTION_MISSING "motion-missing" Refusal LANGUAGE,
        "axis words stand on a line while no motion command is in force",
        "write G0, G1, G2 or G3 on the line";
    MODE_NOT_SAID "mode-not-said" Refusal LANGUAGE,
        "the program relies on a mode that it never sets, so it does what the last program left behind",
        "write G17, G90 and G94 before the first motion";
    STATE_NOT_SAID "state-not-said" Warning LANGUAGE,
        "the program does not cancel an offset or a cycle that an earlier program may have left on",
        "write G40, G49, G54 and G80 before the first motion, and G91.1 where the machine profile asks for it";
    WORD_NOT_TAKEN "word-not-taken" Refusal PROFILE,
        "the machine profile says that this machine does not take this word",
        "make the program for this machine, or correct the profile";
    ARC_CENTRE "arc-centre-missing" Refusal LANGUAGE,
        "an arc has no centre, or starts at it",
        "write I and J";
    ARC_RADIUS "arc-radius" Refusal LANGUAGE,
        "the start and the end of an arc are not equally far from its centre; a controller stops or cuts a spiral",
        "correct X, Y, I or J";
    LINE_TOO_LONG "line-too-long" Refusal PRACTICE,
        "a line has more characters than many controllers take; the rest may be cut off silently",
        "break the line or shorten its comment";
    COMMENT_STYLE "comment-style" Warning PROFILE,
        "a comment is written in a way that the machine profile does not name",
        "write comments as the profile says";
    ARC_SHORT "arc-short" Refusal LANGUAGE,
        "an arc starts and ends in the same direction from its centre, but not at one point: some controllers take it for a full turn",
        "write a line, or the full circle";
    COMMENT_ACTIVE "comment-active" Refusal PRACTICE,
        "a comment holds what some controllers act on: !, ~, ? or % anywhere, or a command such as LOGOPEN at its start",
        "write letters, digits, spaces and . , - + / only";
    PERCENT_PLACE "percent-place" Refusal LANGUAGE,
        "a % stands inside the program, or at one of its ends only; many controllers end the program there, whatever the tool is doing",
        "write % as the first and as the last line, or not at all";
    PERCENT_LINES "percent-lines" Warning PROFILE,
        "the program is framed by % lines and the profile does not ask for it, or the other way round",
        "follow the profile";
    DWELL_TIME "dwell-without-time" Refusal LANGUAGE,
        "a dwell has no P word, or a negative one",
        "write P";
    END_MISSING "end-missing" Refusal LANGUAGE,
        "the program does not end with M2 or M30: it may have been cut off",
        "make the program again";
    END_WORD "end-word" Warning PROFILE,
        "the program ends with another word than the profile names",
        "follow the profile";
    AFTER_END "after-end" Refusal LANGUAGE,
        "something stands after the end of the program",
        "remove it";
    FEED_MISSING "feed-missing" Refusal LANGUAGE,
        "a feed move has no feed",
        "write F on the first feed move";
    FEED_RANGE "feed-range" Refusal PROFILE,
        "the feed is not above 0, or above what the machine can do",
        "correct F, or the profile";
    FEED_FAST "feed-fast" Refusal PROFILE,
        "the feed in material is above what the profile's tool allows",
        "correct F, or the profile";
    FEED_SLOW "feed-slow" Warning PROFILE,
        "the feed in material is far below the profile's: a cutter rubs and a beam burns",
        "correct F";
    UNKNOWN_START "unknown-start" Refusal PRACTICE,
        "the tool moves sideways or cuts before the program has said how high or where it is",
        "begin with G0 and a safe Z, then X and Y";
    RAPID_IN_MATERIAL "rapid-in-material" Refusal PRACTICE,
        "a rapid goes through material",
        "lift the tool first, or make it a feed move";
    RAPID_LOW "rapid-low" Refusal PROFILE,
        "a rapid moves sideways below the safe height",
        "lift the tool to the profile's safe height first";
    BELOW_FLOOR "below-floor" Refusal PROFILE,
        "the tool goes deeper below the material than the profile's cut_through",
        "correct Z, or the thickness of the material";
    DEEPER_THAN_CUTTER "deeper-than-cutter" Refusal PROFILE,
        "the cutter goes deeper than it can cut",
        "use a longer cutter, or thinner material";
    SPINDLE_OFF "spindle-off-in-material" Refusal PRACTICE,
        "the cutter is pushed into material without turning",
        "write M3 with S before the first cut";
    SPINDLE_WRONG_WAY "spindle-wrong-way" Refusal PRACTICE,
        "the spindle turns counter-clockwise: a right-hand cutter rubs and burns",
        "write M3";
    SPINDLE_SPEED "spindle-speed" Refusal PROFILE,
        "the S word is below 0, or asks for more speed than the spindle has",
        "correct S, or the profile";
    SPINDLE_SLOW "spindle-slow" Warning PROFILE,
        "the spindle turns far slower than the profile's speed, so each chip is far thicker",
        "correct S";
    SPINDLE_STALLED "spindle-stalled" Refusal PRACTICE,
        "the spindle turns at less than half of the profile's speed in material: the cutter is pushed through the wood and breaks",
        "correct S";
    TURNED_IN_WOOD "tool-switched-in-material" Refusal PRACTICE,
        "the spindle is started, turned round or stopped while the cutter is in material",
        "lift the tool first; start it again above the material, with its time to spin up";
    STOP_IN_WOOD "stop-in-material" Refusal PRACTICE,
        "the program stops and waits for the operator with the cutter in material",
        "lift the tool before M0";
    STANDS_IN_WOOD "stands-in-material" Refusal PRACTICE,
        "the cutter stands in material so long that the wood burns",
        "lift the tool before the dwell";
    COOLANT "coolant-on" Warning PRACTICE,
        "coolant is switched on: wood swells with it",
        "remove M7 and M8";
    SPIN_UP "spin-up-short" Refusal PROFILE,
        "the cutter enters material before the spindle had the time that the profile gives it",
        "write a dwell after M3";
    SPINDLE_AT_END "spindle-on-at-end" Warning PRACTICE,
        "the program ends with the spindle turning and relies on the controller to stop it",
        "write M5 before the end";
    ENDS_LOW "ends-low" Refusal PROFILE,
        "the spindle stops or the program ends with the cutter below the safe height",
        "lift the tool before M5 and before the end";
    DWELL_IN_MATERIAL "dwell-in-material" Warning PRACTICE,
        "the cutter stands in material and heats it",
        "lift the tool before the dwell";
    PLUNGE "plunge" Warning PRACTICE,
        "the cutter is let straight down into material; many cannot cut with their middle",
        "enter by a ramp";
    PASS_DEPTH "pass-too-deep" Refusal PROFILE,
        "one pass takes more depth than the profile allows",
        "add passes, or correct the profile";
    OUTSIDE_TRAVEL "outside-travel" Refusal PROFILE,
        "the program needs more travel than the machine has",
        "turn or split the part, or use a larger machine";
    OUTSIDE_STOCK "outside-stock" Refusal PRACTICE,
        "the tool cuts well outside the material, where clamps and the bed are",
        "correct the coordinates or the size of the material";
    BEAM_RAPID "beam-on-rapid" Refusal PRACTICE,
        "the beam is on during a rapid",
        "write S0 or M5 before it";
    BEAM_STANDS "beam-stands" Refusal PRACTICE,
        "the beam stands still while it is on: a fire can start",
        "remove the dwell, or switch the beam off before it";
    PIERCE_ON_PART "pierce-on-part" Refusal PRACTICE,
        "the beam pierces on the part instead of the waste",
        "pierce in the waste and lead in";
    BEAM_POWER "beam-power" Refusal PROFILE,
        "the beam's S word is not what the profile gives for this cut",
        "correct S, or the profile";
    BEAM_WORD "beam-word" Refusal PROFILE,
        "the beam is lit by another word than the profile names: its power follows the speed where it must not, or does not where it must",
        "write the profile's word";
    BEAM_BURNS "beam-burns" Warning PROFILE,
        "the beam puts more than a tenth more energy into each mm of the part's edge than the profile's power and feed do",
        "correct S and F together";
    HEIGHT_OF_BEAM "beam-height" Refusal PROFILE,
        "the program moves the head of a beam up or down, where nothing is planned: it runs into the material, or out of focus",
        "remove the Z words";
    BEAM_AT_END "beam-on-at-end" Refusal PRACTICE,
        "the program ends with the beam on",
        "write M5 before the end";
    GOUGE "gouge" Refusal GEOMETRY,
        "the tool cuts into the part",
        "do not run this program; make it again from the job";
    UNCUT "uncut" Refusal GEOMETRY,
        "a stretch of the part's edge is not cut free, and it is no accepted tab",
        "do not run this program; make it again from the job";
    NOTHING_CUT "nothing-cut" Refusal GEOMETRY,
        "nothing in the file goes through the material",
        "check the thickness of the material and the tool's words";
    NOT_THIS_PART "not-this-part" Refusal GEOMETRY,
        "what the file cuts has another size than this job's part",
        "check that file and job belong together, and the unit of the file";
    UNPROVEN "not-proven" Refusal GEOMETRY,
        "the file was not judged to its end, or a figure of the proof is beyond the tolerance, though nothing else was found",
        "do not run it; please report it with the file";
    PIECES_MISSING "not-all-pieces" Refusal GEOMETRY,
        "some of the pieces are made and others are not; what else the file cuts was not judged",
        "make the program again from the job, or have every piece in it";
    OTHER_LAYOUT "other-layout" Refusal GEOMETRY,
        "the file carries this set's fingerprint and is none of its programs as the pieces are laid out now",
        "give the --effort that it was made with, or make it again";
    CUT_UNPLANNED "cut-unplanned" Refusal GEOMETRY,
        "the tool cuts where nothing is planned: neither along a piece, nor in a hole or pocket, nor on a way in or out",
        "do not run this program; make it again from the job";
    CUT_BESIDE_TAB "cut-beside-tab" Refusal PRACTICE,
        "a cut in the waste runs so near to a tab's outer side that the tab hangs on a strip, if on anything",
        "leave the waste about the tabs whole";
    CUT_IN_WASTE "cut-in-waste" Advice PRACTICE,
        "the program cuts through in the waste too, away from the part and its tabs",
        "look whether these cuts are meant";
    PIECE_OFF_STOCK "piece-off-stock" Refusal GEOMETRY,
        "a piece lies partly outside the material: it cannot be whole",
        "lay it farther in";
    TAB_FOUND "tab-found" Advice PRACTICE,
        "a short stretch is left standing low and is taken for a tab",
        "cut it by hand and clean the edge";
    TAB_UNDECLARED "tab-undeclared" Refusal PRACTICE,
        "a tab stands where none was declared",
        "make the program again from the job";
    TAB_MISSING "tab-missing" Refusal PRACTICE,
        "a declared tab is cut away: the part may come loose",
        "make the program again from the job";
    TAB_DIFFERS "tab-differs" Refusal PRACTICE,
        "a tab has another place, length or height than was declared, or is not low and short enough to be one",
        "make the program again from the job";
    LOOSE_PART "loose-part" Warning PRACTICE,
        "the part is held by fewer than three tabs when it is cut free, or hangs on nothing that is clamped, unless something else holds it",
        "add tabs, or hold the part down by other means";
    PART_FREE "part-cut-free" Refusal GEOMETRY,
        "the program declares tabs, but when it has run no wood of the least width ties this part to what holds the stock: not every tab ends in wood that hangs",
        "make the program again from the job; with a cut that was added, leave it out";
    WASTE_LOOSE "waste-loose" Warning PRACTICE,
        "a piece of waste larger than a coin is cut free, or hangs by less wood than the least width: it may fly, unless something else holds it",
        "clamp it, or stop before the last pass and saw it off";
    WASTE_FREE "waste-cut-free" Refusal GEOMETRY,
        "a piece of waste larger than a coin is cut free, or hangs by less wood than the least width: it may fly",
        "make the program again from the job; with a cut that was added, leave it out";
    MARK_MISSING "mark-missing" Refusal GEOMETRY,
        "a declared mark, or a stretch of it, is not made: a pattern that does not say what it is gets mistaken",
        "make the program again from the job";
    MARK_UNDECLARED "mark-undeclared" Refusal GEOMETRY,
        "a shallow stroke lies where no mark was declared",
        "make the program again from the job";
    MARK_DEPTH "mark-depth" Refusal GEOMETRY,
        "a mark is deeper or shallower than declared, or a beam scores it with another power",
        "make the program again from the job";
    POCKET_DEEP "pocket-deep" Refusal GEOMETRY,
        "a pocket is cut deeper than it was declared: the board behind it is weaker than was asked for",
        "do not run this program; make it again from the job";
    POCKET_UNCUT "pocket-uncut" Refusal GEOMETRY,
        "a stretch of a pocket's side is not cut down to its floor: the tread or the riser does not go in",
        "do not run this program; make it again from the job";
    POCKET_FLOOR "pocket-floor" Refusal GEOMETRY,
        "wood stands on the floor of a pocket between its sides: the tread or the riser does not go home",
        "do not run this program; make it again from the job";
    POCKET_DRAWN "pocket-drawn-off" Refusal GEOMETRY,
        "the pockets on layer POCKET of the drawing are missing, or are not the part's",
        "make the drawing again from the job";
    HOLE_DRAWN "hole-drawn-off" Refusal GEOMETRY,
        "a hole of the part is missing on layer DRILL of the drawing, or one stands there that the part does not have",
        "make the drawing again from the job, or ask who changed it";
    PIECES_OVERLAP "pieces-overlap" Refusal GEOMETRY,
        "two pieces lie on each other or touch: no cut can make both",
        "lay them apart";
    PIECES_NEAR "pieces-near" Refusal GEOMETRY,
        "two pieces lie nearer to each other than was asked for",
        "lay them apart, or ask for less spacing";
    OUTSIDE_MARGIN "outside-margin" Refusal GEOMETRY,
        "a piece comes nearer to the edge of the material than was asked for, or out of it",
        "lay it farther in, or ask for a smaller margin";
    CUT_OUTSIDE_MARGIN "cut-outside-margin" Refusal GEOMETRY,
        "a cut, with the tool's whole width, comes nearer to the edge of the material than was asked for",
        "lay the pieces farther in, or ask for a smaller margin";
    CLAMP_UNDER_PIECE "clamp-on-piece" Refusal GEOMETRY,
        "a clamp stands where a piece lies",
        "move the clamp or the piece";
    CLAMP_HIT "clamp-hit" Refusal GEOMETRY,
        "the tool runs into a clamp, or passes over it lower than a quarter inch above its height; over one without a height it may not pass",
        "do not run this program; move the clamp and make it again";
    PIN_MISSING "pin-missing" Refusal GEOMETRY,
        "a hole for a registration pin, or a stretch of its edge, is not cut",
        "do not run this program; make it again from the job";
    PIN_DIFFERS "pin-differs" Refusal GEOMETRY,
        "a hole for a registration pin is cut too wide or beside its place: the stock would shift askew",
        "do not run this program; make it again from the job";
    PIN_ON_PIECE "pin-on-piece" Refusal GEOMETRY,
        "a hole for a registration pin touches a piece",
        "put the pin into the waste";
    SECTIONS_DIFFER "sections-differ" Refusal GEOMETRY,
        "the program has another number of sections, ended by M0, than the stock has set-ups",
        "do not run this program; make it again from the job";
    TOOL_AT_SHIFT "tool-on-at-shift" Refusal PRACTICE,
        "the spindle or the beam is on while the stock is to be moved by hand",
        "write M5 before M0";
    LOW_AT_SHIFT "low-at-shift" Refusal PROFILE,
        "the tool is below the safe height while the stock is to be moved",
        "lift the tool before M0";
    EXPECTATION "expectation-unclear" Refusal PRACTICE,
        "what is expected is not one program: nothing can be held against it",
        "name every piece with its place, and cut all pieces or only mark them";
    CORNER_NOT_SQUARE "corner-not-square" Refusal GEOMETRY,
        "an inside corner of the part is not square; no relief is known for it",
        "nothing: the part cannot be proven";
    CORNER_DOES_NOT_FIT "corner-does-not-fit" Refusal GEOMETRY,
        "an edge beside an inside corner is too short for the tool",
        "use a smaller tool, or another choice for inside corners";
    TOO_TANGLED "too-tangled" Refusal PRACTICE,
        "the file crosses itself so often that proving it would take minutes",
        "simplify the file";
    DRAWING_UNITS "drawing-units-assumed" Advice PRACTICE,
        "the drawing does not say its unit with $INSUNITS",
        "set $INSUNITS to 1 for inches or 4 for millimetres";
    DRAWING_OPEN "drawing-open" Refusal PRACTICE,
        "a line of the shape does not close",
        "close the shape: its ends must meet within a thousandth of an inch";
    DRAWING_SEVERAL "drawing-several" Refusal PRACTICE,
        "the drawing holds more than one shape to cut",
        "leave one closed shape on the layer CUT";
    DRAWING_ZERO "drawing-zero-length" Refusal PRACTICE,
        "a segment has no length; many programs stumble over it",
        "remove the repeated vertex";
    DRAWING_DOUBLED "drawing-doubled" Refusal PRACTICE,
        "a segment is drawn twice: the shop would cut it twice",
        "remove one of the two";
    DRAWING_CROSSING "drawing-crossing" Refusal PRACTICE,
        "the shape crosses itself, so what is inside is not clear",
        "redraw the shape there as one line that does not cross itself";
    TURNED_PART "turned-part" Advice GEOMETRY,
        "the part lies turned or moved in the drawing; its shape is judged where it lies",
        "nothing, if the shop may lay it as it likes; mind the grain";
    DRAWING_MIRRORED "drawing-mirrored" Refusal GEOMETRY,
        "the shape is this part's mirror image: the other hand, which no turn makes right",
        "flip the drawing back, or have it drawn again from the nominal drawing";
    DRAWING_KERF "drawing-kerf-applied" Refusal GEOMETRY,
        "every edge is off by one distance: the kerf or the cutter's radius is in the drawing already",
        "send the nominal drawing, and let the offset be applied once, where it is cut";
    DRAWING_EDGE "drawing-edge-off" Refusal GEOMETRY,
        "an edge of the drawing is not where the part's edge is",
        "have that edge corrected, and verify the drawing again";
    DRAWING_ENTITY "drawing-entity" Refusal PRACTICE,
        "an entity is not a line, an arc, a circle or a polyline of them, or is one that shops take differently: mirrored by its axis, invisible, with a width, off the plane, or with a value said twice",
        "draw the shape as one closed polyline without width in the plane";
    DRAWING_HIDDEN "drawing-hidden" Refusal PRACTICE,
        "the layer to cut is off or frozen: a shop does not see the part",
        "switch the layer on";
    DRAWING_LAYER "drawing-other-layer" Refusal GEOMETRY,
        "a line on a layer that is not the part's touches the part or lies inside it: a shop that cuts it spoils the part",
        "remove it, or put what is no cut on the layers MARK, REF or STOCK";
    DRAWING_UNJUDGED "drawing-layer-not-judged" Warning PRACTICE,
        "a layer beside the part was not judged",
        "tell the shop to cut the layer CUT only, or remove the layer";
    DRAWING_MARK "drawing-mark" Refusal GEOMETRY,
        "a line on layer MARK, or of a pocket on layer POCKET, is none that the job declares",
        "make the drawing again from the job";
    DRAWING_NOTHING "drawing-nothing" Refusal PRACTICE,
        "no line to cut is in the drawing",
        "draw the shape on the layer CUT";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_has_one_entry_with_words_to_say() {
        let mut names: Vec<_> = CODES.iter().map(|(name, ..)| name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), CODES.len());
        assert!(CODES.iter().all(|(_, meaning, what)| meaning.len() > 15 && what.len() > 6));
    }
}
