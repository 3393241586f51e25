//! The trade's words as they are used here, for `seatcut explain WORD`.

/// A word, what else it is called, and what it is.
pub(super) struct Term {
    pub word: &'static str,
    /// Other words that find it.
    pub also: &'static [&'static str],
    pub means: &'static str,
}

/// The term that a word names, whatever its case and its spaces; of a figure with a sign or a word
/// behind it, `7 1/4+ in`, what that says.
pub(super) fn term(word: &str) -> Option<&'static Term> {
    let asked = plain(behind_figure(word).unwrap_or(word));
    if asked.is_empty() {
        return None;
    }
    TERMS
        .iter()
        .find(|term| plain(term.word) == asked || term.also.iter().any(|also| plain(also) == asked))
}

/// The word for the sign that stands alone or behind a figure; of a word behind one, the word.
fn behind_figure(word: &str) -> Option<&'static str> {
    let word = word.trim();
    let figure = word.trim_end_matches(['"', '.']).trim_end_matches("in").trim_end();
    let is_figure = word.starts_with(|c: char| c.is_ascii_digit());
    let words = ["full", "scant"];
    match figure {
        "+" => Some("full"),
        "-" => Some("scant"),
        _ if is_figure && figure.ends_with('+') => Some("full"),
        _ if is_figure && figure.ends_with('-') => Some("scant"),
        _ => words.into_iter().find(|said| is_figure && word.ends_with(said)),
    }
}

/// Letters and digits alone, small.
pub(super) fn plain(word: &str) -> String {
    let letters = word.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

const fn of(word: &'static str, also: &'static [&'static str], means: &'static str) -> Term {
    Term { word, also, means }
}

/// In the order of the alphabet.
pub(super) const TERMS: &[Term] = &[
    of(
        "baluster",
        &["balusters"],
        "An upright between two posts. No opening may be wider than your local code allows.",
    ),
    of(
        "blank",
        &[],
        "The piece of board that one stringer is cut from: as long as the part along the pitch, \
        with what the tool needs before and behind it.",
    ),
    of(
        "bushing",
        &["guide bushing"],
        "A collar on the router's base that follows a pattern. The bit inside is smaller, so the \
        pattern is made smaller by half the difference.",
    ),
    of("clearance", &[], "What a notch is cut bigger than the plate that goes into it."),
    of(
        "cleat",
        &["cleats", "cleated stringer", "solid stringer", "steel angle"],
        "A strip of wood, or a steel angle, on the face of a solid stringer that one end of a \
        tread lies on. Its top is a tread's thickness below the tread's top. The stringer has no \
        steps cut out of it, so the whole board carries.",
    ),
    of(
        "contact",
        &["contact at head", "head contact"],
        "How much of the plumb cut at the head touches the rim or the hanger board behind it.",
    ),
    of("crown", &["crown up"], "The bow in the edge of a board. It goes up: load presses it flat."),
    of(
        "cutter relief",
        &["relief", "dog-bone"],
        "A round tool leaves a round inside corner. A relief cuts past the corner so that a square \
        board fits in; it takes a little of the throat.",
    ),
    of(
        "doubler",
        &["doublers", "doubled"],
        "A second board of the same shape, fastened to a stringer along its length: the two carry \
        together. A job asks for them with doubled_outsides below [cut].",
    ),
    of(
        "drop",
        &["drop the stringer", "taken once"],
        "What comes off the foot of the stringer, once: the tread's thickness, less what finish is \
        still to come on the floor below. With it the first finished riser is as high as the \
        others. Taken twice, or forgotten, the first step is wrong by a tread.",
    ),
    of(
        "fillet",
        &["fillets"],
        "The round that a cutter leaves in an inside corner, of its own radius. It takes nothing \
        of the throat; a square board stands off it until the corner is cleared with a chisel.",
    ),
    of(
        "finish to come",
        &["finish"],
        "Flooring that will be laid on the lower floor after the stair stands there.",
    ),
    of(
        "fit card",
        &["test-fit card", "test fit"],
        "The list of what to measure when the first stringer is tried in place, with what each \
        should be.",
    ),
    of(
        "flush",
        &["flush head"],
        "The top tread is level with the upper floor. The other way is one riser down.",
    ),
    of(
        "frame",
        &["frame program"],
        "A program that cuts nothing: tool off and clear, once round everything that the others \
        will reach, so that you see where they go.",
    ),
    of(
        "framing square",
        &["square", "tongue", "body", "on the square"],
        "The carpenter's steel square: its short arm is the tongue, its long one the body. A step \
        is laid out with the rise on the tongue and the run on the body.",
    ),
    of(
        "full",
        &["a little more"],
        "Behind a figure: a little more than the line of the tape, by less than half a sixteenth. \
        7 in full is that of whole inches, 7 1/4+ in of a figure with a fraction.",
    ),
    of(
        "guard",
        &["guards", "guardrail"],
        "What keeps people from falling off the side of a stair or a deck. Your local code says \
        from what height on; no file here designs one.",
    ),
    of(
        "hanger board",
        &["hanger"],
        "A board that hangs on the rim from the framing's top down, before the stringers: it gives \
        the plumb cut more to be fastened to. The riser board at the head stands on it; where the \
        hanger board itself is that riser, give head.riser_board = 0. In a job it is head.joint \
        with \"hanger-board\".",
    ),
    of(
        "hang line",
        &["framing to top tread cut", "hanging"],
        "From the top of the framing, or of the rim, plumb down to the top tread cut: where the \
        stringer hangs. Mark it on the rim and set the top tread cut to it. Of a flush stair the \
        cut may lie above the framing: then it is marked on what stands there, a hanger board or a \
        block.",
    ),
    of("head", &[], "The upper end of the stringer, where it meets the framing."),
    of("heel", &[], "The back end of the seat cut, where it meets the lower edge of the board."),
    of(
        "housed stringer",
        &["housed"],
        "A stringer with pockets that treads and risers are wedged into, in place of steps cut out \
        of it.",
    ),
    of("kerf", &[], "What a saw, a bit or a beam takes away by its own width."),
    of(
        "landing",
        &["landings"],
        "A floor between two flights, to rest or to turn on. Its surface counts as a step of both: \
        the last of the lower flight, the first of the upper one.",
    ),
    of(
        "ledger",
        &["ledger notch"],
        "A board fastened to the framing that the head of the stringer rests on, let into it by a \
        notch.",
    ),
    of(
        "marks program",
        &["marks"],
        "The program that writes on a pattern with a pointed cutter: names, figures and lines, \
        never through.",
    ),
    of(
        "master pattern",
        &["pattern"],
        "A stringer in hardboard or plywood that every other one is marked from or routed along.",
    ),
    of(
        "mitre",
        &["miter"],
        "Two boards cut at half the angle they meet at, so that no end grain shows: an open skirt \
        and the ends of the riser boards.",
    ),
    of(
        "nest",
        &["nesting", "layout"],
        "How pieces are laid into each other on a sheet so that few sheets are needed.",
    ),
    of(
        "nose line",
        &["tip line"],
        "The line through the corners of the steps, along the upper edge of the board; the nosings \
        of the treads stick out past it.",
    ),
    of("nosing", &["overhang"], "What a tread sticks out past the face of the riser below it."),
    of(
        "offcut",
        &["offcuts", "remnant"],
        "What is left of a board or a sheet once the pieces are cut from it. A stock file with \
        keep = gets those of boards back, if they are as long as that.",
    ),
    of(
        "one down",
        &["one-down"],
        "The top tread is one riser below the upper floor, and the floor is the last step. The \
        other way is flush.",
    ),
    of("pass", &["passes"], "Once round at one depth. A bit goes through in several."),
    of("pitch", &[], "How steep the flight is: rise over run, as an angle."),
    of("pitch block", &[], "A triangle cut to one step, to mark plumb and level lines by."),
    of(
        "plumb cut",
        &["head cut"],
        "A cut that stands plumb: the riser cuts, and at the head the top plumb cut.",
    ),
    of(
        "rake",
        &["on the rake", "along the rake"],
        "Along the slope of the stair, as the line through the nosings runs: a rail follows the \
        rake, and square to the rake is square to that line. How steep it is, is the pitch.",
    ),
    of(
        "reserve",
        &[],
        "What every blank is sawn longer than the machine needs it, against a saw that wanders. \
        The stock file says how much.",
    ),
    of(
        "rim",
        &["rim joist", "band"],
        "The board at the edge of the framing that the stringers are fastened to.",
    ),
    of(
        "riser",
        &["risers"],
        "One step up, and the board that closes it. A flight has a riser more than treads where \
        the floor above is the last step.",
    ),
    of(
        "rough rise",
        &["rough"],
        "A rise measured before the finishes lie: to framing, or from a slab. The finishes are \
        added and taken off, and the stair is solved for finished surfaces.",
    ),
    of(
        "scant",
        &["a little less"],
        "Behind a figure: a little less than the line of the tape, by less than half a sixteenth. \
        7 in scant is that of whole inches, 7 1/4- in of a figure with a fraction.",
    ),
    of("seat cut", &["seat"], "The level cut at the foot that the stringer stands on."),
    of(
        "skirt",
        &["skirt board"],
        "The finished board at the side of a stair. An open skirt follows the steps over the \
        stringer's outer face; a wall skirt has a straight top and stands between the stair and a \
        wall.",
    ),
    of(
        "sole plate",
        &["stands on"],
        "A board under the foot of the stringers. Its height adds to the drop.",
    ),
    of("spoilboard", &["bed"], "The board on the machine's table that tools may cut into."),
    of(
        "stock",
        &["stock file", "rack"],
        "What lies on the machine to be cut. The stock file lists what lies in the rack, how many \
        of each and what one costs.",
    ),
    of(
        "story pole",
        &["storey pole"],
        "A stick with every tread's height marked on it, held up plumb at the stair to see that \
        each step comes where it should.",
    ),
    of("stringer", &["stringers", "carriage"], "The sawtooth board that carries the steps."),
    of(
        "strongback",
        &["strongbacks"],
        "A board fastened across the lower edges of the stringers of a long flight, or along their \
        sides, so that they stay straight and move together. No strength is counted for it here.",
    ),
    of(
        "tab",
        &["tabs", "bridge"],
        "A bridge of stock left uncut to hold a piece in its sheet; saw it through and plane it \
        off.",
    ),
    of(
        "throat",
        &["effective depth"],
        "The wood left between the inner corner of a step and the lower edge, square to the edge. \
        It is what carries. Many codes and guides want 5 in at least: check locally.",
    ),
    of(
        "tie plate",
        &["tie", "kicker", "plate notch"],
        "A board fastened to the floor that the foot of the stringer is notched over, so that it \
        cannot slide.",
    ),
    of(
        "tip inset",
        &["tip_inset"],
        "How far the points of the steps stay below the upper edge of the board, square to it: \
        room to saw off an edge that is bruised or round. board.tip_inset in a job; 0 where \
        nothing is said.",
    ),
    of("toe", &[], "The front end of the seat cut, at the first riser."),
    of(
        "top plumb cut",
        &["plumb cut at the head"],
        "The cut at the head that stands plumb against the rim, the hanger board or the header.",
    ),
    of(
        "top tread cut",
        &["uppermost tread cut"],
        "The uppermost level cut of a stringer, that the top tread lies on; the hang line is \
        measured down to it.",
    ),
    of(
        "total rise",
        &["rise"],
        "From finished surface to finished surface, plumb. Everything follows from it: measure it \
        twice.",
    ),
    of("total run", &[], "From the first riser cut to the plumb cut at the head, level."),
    of(
        "tread",
        &["treads"],
        "What you step on. Its cut on the stringer is the run; what lies on it sticks out past the \
        riser below by the nosing.",
    ),
    of(
        "unit rise",
        &[],
        "The total rise over the number of risers. It is not rounded to step off: the rounding \
        adds up at the top. Mark every step from the beginning.",
    ),
    of(
        "unit run",
        &["run", "tread cut"],
        "From riser cut to riser cut, level: what a step gives to the foot, without its nosing.",
    ),
    of(
        "yield",
        &[],
        "How much of the sheets becomes pieces, by area. The rest is kerf, rim and offcuts.",
    ),
    of(
        "Z0",
        &["z zero"],
        "The height that a program counts from: the top of the stock, or the bed of the machine. \
        Each program's first lines say which.",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_finds_its_own_term_and_the_terms_are_in_order() {
        for own in TERMS {
            for word in own.also.iter().chain([&own.word]) {
                let found = term(&word.to_uppercase()).expect("a word of the list");
                assert_eq!(found.word, own.word, "{word}");
            }
        }
        let words: Vec<String> = TERMS.iter().map(|term| plain(term.word)).collect();
        assert!(words.is_sorted());
        assert!(term("story  pole").is_some() && term("ploughshare").is_none());
    }

    #[test]
    fn what_stands_behind_a_figure_is_found_with_it_or_alone() {
        let found = |word: &str| term(word).map(|term| term.word);
        for word in ["+", "7 1/4+", "4 3/8+ in", "26-3/4+\"", "7 in full", "full"] {
            assert_eq!(found(word), Some("full"), "{word}");
        }
        for word in ["-", "7 1/4-", "5 5/16- in", "8 in scant", "SCANT"] {
            assert_eq!(found(word), Some("scant"), "{word}");
        }
        assert_eq!([found("7 1/4 in"), found("26-3/4"), found(" "), found("?")], [None; 4]);
    }
}
