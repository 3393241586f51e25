//! What `?` says first: what is measured, from where to where, in a carpenter's words (common
//! practice, no source); then how an answer is typed.

/// What is measured or chosen with a question, by its key; nothing where nobody is asked.
pub(super) fn help(key: &str) -> Option<&'static str> {
    HELP.iter().find(|(of, _)| *of == key).map(|(_, says)| *says)
}

/// The keys of questions that set none of the job.
pub(super) const WHAT_ELSE: &str = "what else";
pub(super) const KEEP: &str = "keep";

const HELP: &[(&str, &str)] = &[
    (
        "rise.total",
        "Hold a level or a straight edge out from the upper floor, over the place where the foot \
        will stand, and measure plumb down from its finished surface to the finished surface \
        below. Where a finish is not laid yet, measure as if it were.",
    ),
    (
        "rise.finish_to_come",
        "From the surface that the stringer will stand on up to the finished surface that will be \
        laid around it later: flooring, tiles, paving with its bed. 0 where the finish lies \
        already.",
    ),
    (
        "head.finish",
        "From the top of the framing at the head, where the rim joist ends, up to the finished \
        upper surface: subfloor and flooring together, or the decking.",
    ),
    (
        "tread.cut",
        "Level, from the face of one riser cut to the face of the next on the stringer: what the \
        body of the square is set to. The tread itself is deeper, by its nosing.",
    ),
    (
        "tread.thickness",
        "Across the edge of the board that is stepped on, with calipers or a tape, as it is and \
        not as it is called.",
    ),
    (
        "tread.overhang",
        "Level, from the finished face of the riser, that of the riser board where there is one, \
        out to the front edge of the tread over it.",
    ),
    (
        "tread.riser_board",
        "Across the edge of the board that closes the step. 0 where one can see through between \
        the treads.",
    ),
    (
        "head.meets",
        "Look at the last step before the upper floor: is there a tread on the stringer at the \
        floor's own height (flush), or is the floor itself the last step and the top tread one \
        riser lower (one-down)?",
    ),
    (
        "head.rim_depth",
        "Plumb, from the top of the framing at the head down to the lower edge of the joist or \
        header that the stringer is fastened to.",
    ),
    (
        "board",
        "Hold the tape across the face of the board that the stringer is made of, edge to edge, \
        where it is narrowest; then across its edge. A 2x12 is not 12 in wide.",
    ),
    (
        "foot.tie_plate",
        "A plate, or kicker, is a board that is fastened flat to the floor under the toe, so that \
        the stringers cannot slide. Its width is level along the stair, its height plumb from the \
        floor to its top.",
    ),
    (
        "foot.tie_plate.clearance",
        "How much bigger the notch is than the plate: it is added once to the width and once to \
        the height. At 0 the notch binds on a plate that is swollen or not quite straight. \
        Without a plate it says nothing.",
    ),
    (
        "rules",
        "Whose limits for rise, run, nosing, headroom and the like the stair is held against: \
        those of the place where it is built, or the nearest to them. Your local code decides.",
    ),
    (
        "rise.risers",
        "Count the steps up from the lower floor until you stand on the upper one: so many risers \
        there are. Fewer are steeper, more are longer.",
    ),
    (
        "cut.makes",
        "Whether the machine cuts the stringers themselves, or one pattern of thin stuff that \
        every stringer is marked from or routed along. Nothing: you lay it out with the square \
        and saw by hand, and get the figures and the drawing.",
    ),
    (
        "cut.machine",
        "The machine that does it: how far it travels, what tool is in it. One that is like yours \
        will do until you have a file of your own.",
    ),
    (
        "cut.material",
        "The board or the sheet that is laid on the machine: its kind and its size as it is sold.",
    ),
    (
        "cut.thickness",
        "With calipers, across the edge of the very sheet or board that will lie on the machine, \
        at several places; the greatest counts, for so deep is cut.",
    ),
    (
        "cut.quantity",
        "How many stringers this stair needs, those between the outer ones counted; of patterns \
        one is enough for any number.",
    ),
    (
        "cut.long",
        "The stringer as it lies on the machine, end to end, is longer than the machine travels \
        or than what lies on it. In set-ups means: one part is cut, the stock is moved on against \
        two pins, the next part is cut. In two pieces means: a pattern that is joined on the \
        bench before it is used.",
    ),
    (
        "title",
        "What this stair is called on every drawing, list and label, so that two are not mixed up.",
    ),
    (
        "stair.width",
        "Level across the stair, from the outer face of the left outer stringer to the outer face \
        of the right one.",
    ),
    (
        "stair.most_spacing",
        "From the middle of one stringer to the middle of the next, the farthest that the tread \
        may span: it stands in the papers of the tread's maker, 16 in for much decking.",
    ),
    (
        "board.species",
        "The wood of the stringers, as the stamp on the board says it. It is only for the beam \
        check: will the stringer carry.",
    ),
    (
        "board.grade",
        "The grade on the stamp of the board: how clear of knots it was found. It is only for the \
        beam check.",
    ),
    (
        "load.live",
        "How heavy the people on it may be, on a square foot or a square metre of the stair seen \
        from above; 40 psf is usual in dwellings (check locally).",
    ),
    (
        WHAT_ELSE,
        "What else you want on the lists and drawings beside the stringers: pieces to cut, posts \
        to set, or whether heads keep clear of the floor above.",
    ),
    (
        KEEP,
        "Something is not as the rule set wants it with this count, and is with another. It is \
        your decision, or your local code's.",
    ),
    (
        "steps.past_sides",
        "Level, from the outer face of the outer stringer to the end of the tread, at one side: \
        so much longer is the tread, twice.",
    ),
    (
        "steps.back",
        "Look at the back edge of a tread: does it stop against the face of the next riser board \
        (butt), or does it run on under that board (under)?",
    ),
    (
        "skirts.left",
        "Stand at the foot and look up: what covers the side at your left hand. Open follows the \
        steps where one sees them, wall is the board between the stair and a wall.",
    ),
    ("skirts.right", "The same at your right hand, seen from the foot."),
    ("skirts.thickness", "Across the edge of the board that the skirt is made of."),
    ("skirts.width", "Across the face of the board that a wall skirt is made of, edge to edge."),
    (
        "skirts.at_risers",
        "Look at a corner where riser board and open skirt meet: does the riser board's end show \
        (butt), or are both cut at 45 degrees so that none does (mitre)?",
    ),
    (
        "rail.height",
        "Plumb, from the line through the front edges of the treads up to the top of the rail \
        that the hand lies on.",
    ),
    ("rail.post", "Across the face of a post, along the stair, as the tape says: a 4x4 is less."),
    ("rail.baluster", "Across one baluster, along the stair."),
    (
        "rail.most_gap",
        "Level and clear, from the side of one baluster to the side of the next, the widest that \
        you allow.",
    ),
    (
        "rail.most_apart",
        "Level, from the middle of one post to the middle of the next, the farthest that you \
        allow.",
    ),
    (
        "opening.length",
        "Level, along the flight, from the face of the riser at the head, where the upper floor \
        begins, to the edge of the floor that one's head could meet on the way up: finish and \
        trim on that edge counted.",
    ),
    (
        "opening.depth",
        "Plumb, from the finished upper surface down through the floor to the ceiling under it, \
        or to what hangs lower at the edge of the opening.",
    ),
    (
        "opening.from_head",
        "Level, from the face of the riser at the head to where the floor is open; none where it \
        is open right from there, as it should be.",
    ),
];

/// How a length is typed.
pub(super) const LENGTH: &str =
    "A length: 26 3/4 in, 26-3/4 in, 2 ft 2 3/4 in, 2' 2-3/4\", 679.5 mm, 68 cm.";
/// How a word of a list is typed.
pub(super) const WORD: &str =
    "A word of the list: the word, its number, or as much of it as tells it from the others.";
/// How a count is typed.
pub(super) const COUNT: &str = "A whole number in digits: 7.";
/// How lines of a step are changed.
pub(super) const LINES: &str = "Of several lines: 2 = 1 1/4 in changes the second, 2 = 1 1/4 in; \
    3 = 1 in two of them, ? 2 says more of it alone. none: it is left out.";
/// How one goes back.
pub(super) const BACK: &str = "back: the step before.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::ask::steps::asked;
    use crate::job::question;

    #[test]
    fn every_question_says_what_is_measured_in_words_that_its_line_has_not() {
        for key in asked() {
            let says = help(key).unwrap_or_else(|| panic!("{key} says nothing"));
            assert!(says.len() > 30 && says.ends_with(['.', '?', ')']), "{key}: {says}");
            let means = question(key).map_or("", |asked| asked.means);
            assert_ne!(says.trim_end_matches('.'), means, "{key}");
            let same = HELP.iter().filter(|(_, other)| *other == says).count();
            assert_eq!(same, 1, "{key}");
        }
        // And none that nobody asks.
        let asked = asked();
        assert!(HELP.iter().all(|(key, _)| asked.contains(key)));
    }
}
