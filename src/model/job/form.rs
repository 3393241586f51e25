//! Every key of a job, what stands behind it, and which ones have to be there: what a text is held
//! against when it cannot be read, so that all its slips are told together. A test holds it against
//! the types that a job is read into.

/// What stands behind a key.
#[derive(Clone, Copy, Debug)]
pub(super) enum Form {
    /// A length in quote marks.
    Length,
    /// Several of them.
    Lengths,
    /// A whole number.
    Count,
    /// A number.
    Number,
    /// `true` or `false`.
    YesNo,
    /// A text.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A profile of a kind, by name or path.
    Profile(&'static str),
    /// A table of its own.
    Table(&'static [Key]),
    /// A table, or a word instead of it.
    TableOrWord(&'static [Key], &'static [&'static str]),
    /// The table of the board, or what a board is called.
    TableOrBoard(&'static [Key]),
    /// Any number of tables.
    Tables(&'static [Key]),
}

/// A key.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key {
    pub name: &'static str,
    pub form: Form,
    /// What it says, in a few words, where a job has to have it.
    pub wanted: Option<&'static str>,
}

const fn key(name: &'static str, form: Form) -> Key {
    Key { name, form, wanted: None }
}

const fn wanted(name: &'static str, form: Form, says: &'static str) -> Key {
    Key { name, form, wanted: Some(says) }
}

use Form::{
    Count, Length, Lengths, Number, Profile, Table, TableOrBoard, TableOrWord, Tables, Text, Word,
    YesNo,
};

/// A job.
pub(super) const JOB: &[Key] = &[
    key("title", Text),
    key("rules", Profile("rules")),
    key("stairs", Count),
    key("units", Word(&["in", "mm"])),
    key("rise", Table(RISE)),
    wanted("tread", Table(TREAD), "the treads"),
    wanted("head", Table(HEAD), "the upper end"),
    key("foot", Table(FOOT)),
    key("housed", Table(HOUSED)),
    key("cleat", Table(CLEAT)),
    wanted("board", TableOrBoard(BOARD), "the board that the stringer is made of"),
    key("boards", Table(STOCK)),
    key("cut", Table(CUT)),
    key("waive", Tables(WAIVE)),
    key("ground", Table(GROUND)),
    key("across", Tables(ACROSS)),
    key("landing", Tables(LANDING)),
    key("opening", Table(OPENING)),
    key("stair", Table(STAIR)),
    key("steps", Table(STEPS)),
    key("skirts", Table(SKIRTS)),
    key("rail", Table(RAIL)),
    key("load", Table(LOAD)),
    key("moisture", Table(MOISTURE)),
    key("built", Table(BUILT)),
];

const RISE: &[Key] = &[
    key("total", Length),
    key("rough", Length),
    key("risers", Count),
    key("aim", Length),
    key("finish_to_come", Length),
];

const TREAD: &[Key] = &[
    key("cut", Length),
    key("boards", Table(TREAD_BOARDS)),
    key("overhang", Length),
    wanted("thickness", Length, "how thick the tread is"),
    key("riser_board", Length),
];

const TREAD_BOARDS: &[Key] = &[
    wanted("count", Count, "how many boards"),
    wanted("width", Length, "how wide each board is"),
    wanted("gap", Length, "the gap between them"),
    wanted("gap_at_riser", YesNo, "whether there is a gap at the riser too"),
];

const HEAD: &[Key] = &[
    key("meets", Word(&["one-down", "flush"])),
    wanted("finish", Length, "how thick the upper finish is above its framing"),
    key("riser_board", Length),
    key("spacer", Length),
    key("rim_depth", Length),
    key("top_tread", Length),
    key("overhang", Length),
    key("joint", Table(JOINT)),
];

const JOINT: &[Key] = &[
    wanted(
        "with",
        Word(&["against-rim", "hanger-board", "ledger-notch", "dropped-header", "top-over"]),
        "which joint",
    ),
    key("thickness", Length),
    key("depth", Length),
    key("width", Length),
    key("height", Length),
    key("below", Length),
    key("bearing", Length),
];

const FOOT: &[Key] = &[key("tie_plate", Table(TIE)), key("stands_on", Table(STANDS_ON))];

const TIE: &[Key] = &[
    wanted("width", Length, "the plate's width along the stair"),
    wanted("height", Length, "the plate's height"),
    key("set_back", Length),
    key("clearance", Length),
];

const STANDS_ON: &[Key] = &[
    wanted("what", Text, "what the seat stands on"),
    wanted("height", Length, "its height over the lower surface"),
];

const HOUSED: &[Key] = &[
    wanted("hand", Word(&["left", "right"]), "the side of the stair, for somebody who climbs"),
    wanted("depth", Length, "how deep the pockets are"),
    key("clearance", Length),
    key("wedge", Length),
    key("edge_above", Length),
    key("land", Length),
];

const CLEAT: &[Key] = &[
    key("with", Word(&["wood", "angle"])),
    wanted("thickness", Length, "how thick the cleat is, or the steel of the angle"),
    wanted("height", Length, "how high the cleat is, or the angle's leg on the stringer"),
    key("leg", Length),
    key("length", Length),
    key("set_back", Length),
    key("edge_above", Length),
    key("hand", Word(&["left", "right"])),
    key("holes", Word(&["drilled", "marked", "none"])),
    key("hole", Length),
    key("count", Count),
    key("end", Length),
    key("edge", Length),
];

const BOARD: &[Key] = &[
    wanted("width", Length, "the board's width as your tape says"),
    wanted("thickness", Length, "the board's thickness as your tape says"),
    key("tip_inset", Length),
    key("species", Text),
    key("grade", Text),
    key("wet", YesNo),
    key("incised", YesNo),
];

const STOCK: &[Key] = &[
    key("lengths", Lengths),
    key("kerf", Length),
    key("end_trim", Length),
    key("narrow", Word(&["refuse", "re-solve"])),
    key("measured", Tables(MEASURED)),
];

const MEASURED: &[Key] = &[
    wanted("width", Length, "the board's width as your tape says"),
    wanted("crown", Length, "how far its edge is off a straight line at the middle"),
];

const CUT: &[Key] = &[
    wanted("makes", Word(&["pattern", "stringers"]), "what is cut"),
    key("quantity", Count),
    wanted("machine", Profile("machine"), "the machine"),
    wanted("material", Profile("material"), "what lies on the machine"),
    key("thickness", Length),
    key("corners", Word(&["fillet", "bisector", "riser", "tread"])),
    key("long", Word(&["index", "split"])),
    key("follow", TableOrWord(FOLLOW, FOLLOWERS)),
    key("spacing", Length),
    key("clamps", Tables(CLAMP)),
    key("layers", Count),
    key("dowel", Length),
    key("tabs", TableOrWord(TABS, &["none"])),
    key("skin", Length),
    key("marks", Word(&["full", "short", "none", "number"])),
    key("doubled_outsides", YesNo),
];

const TABS: &[Key] = &[
    key("count", Count),
    key("height", Length),
    key("width", Length),
    key("shape", Word(&["flanks", "square"])),
];

/// What follows a pattern.
const FOLLOWERS: &[&str] = &["edge", "pencil", "bearing-bit", "bushing"];

const FOLLOW: &[Key] = &[
    wanted("with", Word(FOLLOWERS), "what follows the pattern"),
    key("lead", Length),
    key("outside", Length),
    key("bit", Length),
];

const CLAMP: &[Key] = &[
    wanted("x", Length, "from X0 to the clamp's left side"),
    wanted("y", Length, "from Y0 to its lower side"),
    wanted("length", Length, "its size along X"),
    wanted("width", Length, "its size along Y"),
    key("height", Length),
];

const WAIVE: &[Key] = &[
    wanted("rule", Text, "the refusal that you take on"),
    wanted("reason", Text, "why it is right here"),
];

const GROUND: &[Key] = &[
    wanted("at_head", Length, "the rise measured plumb at the head"),
    key("slope", Text),
    key("drop", Length),
    key("over", Length),
    key("edge_out", Length),
    key("seat", Word(&["level", "follow"])),
];

const ACROSS: &[Key] = &[
    wanted("offset", Length, "how far from the left side of the stair"),
    wanted("total", Length, "the total rise measured there"),
];

const LANDING: &[Key] = &[
    wanted("after", Count, "how many risers of the whole stair lie below the landing"),
    wanted("depth", Length, "how deep it is, along the flight that arrives"),
    wanted("finish", Length, "how thick its finish is above its framing"),
    wanted("turn", Word(&["straight", "left", "right", "back"]), "where the next flight goes on"),
    key("hand", Word(&["left", "right"])),
    key("well", Length),
    key("next_on", Word(&["framing", "finish"])),
    key("rim_depth", Length),
];

const OPENING: &[Key] = &[
    wanted("length", Length, "how long the opening in the upper floor is, along the flight"),
    wanted("depth", Length, "from the upper finish down to the ceiling under it"),
    key("from_head", Length),
];

const STAIR: &[Key] = &[
    wanted("width", Length, "the stair's width over the outer stringers"),
    key("most_spacing", Length),
    key("outsides", Word(&["single", "doubled"])),
    key("clear_width", Length),
    key("headroom", Length),
    key("held", Word(&["at-ends", "along"])),
];

const STEPS: &[Key] = &[
    key("back", Word(&["butt", "under"])),
    key("past_sides", Length),
    key("lengths", Lengths),
    key("riser_lengths", Lengths),
    key("from_sheet", YesNo),
    key("density", Text),
    key("wood", Text),
    key("riser_wood", Text),
];

const SKIRTS: &[Key] = &[
    key("left", Word(&["open", "wall"])),
    key("right", Word(&["open", "wall"])),
    wanted("thickness", Length, "how thick the skirt boards are"),
    key("width", Length),
    key("at_risers", Word(&["butt", "mitre"])),
    key("above", Length),
    key("lengths", Lengths),
];

const RAIL: &[Key] = &[
    wanted(
        "height",
        Length,
        "how high the top of the rail stands over the line through the nosings",
    ),
    wanted("post", Length, "how wide a post is along the stair"),
    key("most_apart", Length),
    key("baluster", Length),
    key("most_gap", Length),
];

const LOAD: &[Key] =
    &[key("live", Text), key("dead", Text), key("mid_support", YesNo), key("clear_span", Length)];

const MOISTURE: &[Key] = &[
    wanted("now", Number, "moisture in percent when the board is cut"),
    wanted("service", Number, "moisture in percent where the stair stands"),
    key("sawn", Word(&["flat", "quarter"])),
];

const BUILT: &[Key] = &[
    key("heights", Lengths),
    key("upper", Length),
    key("finish_to_come", Length),
    key("upper_finish_to_come", Length),
    key("shim_most", Length),
    key("trim_most", Length),
    key("room", Tables(ROOM)),
    key("neighbours_most", Length),
    key("pattern", Table(PATTERN)),
];

const ROOM: &[Key] = &[
    wanted("tread", Count, "which tread, counted from the bottom"),
    key("shim", Length),
    key("trim", Length),
];

const PATTERN: &[Key] = &[
    wanted("along", Table(REMEASURED), "the check length along the pattern"),
    wanted("across", Table(REMEASURED), "the check length across it"),
];

const REMEASURED: &[Key] = &[
    wanted("marked", Length, "the length as it was marked"),
    wanted("measured", Length, "the length as it measures now"),
];

/// What some call a key, by the table it is in; none where its name is the same in every table.
pub(super) const OTHER_NAMES: &[(&str, &str, &str)] = &[
    ("nosing", "tread", "overhang"),
    ("run", "tread", "cut"),
    ("unit_run", "tread", "cut"),
    ("going", "tread", "cut"),
    ("depth", "tread", "cut"),
    ("riser", "tread", "riser_board"),
    ("height", "rise", "total"),
    ("total_rise", "rise", "total"),
    ("count", "rise", "risers"),
    ("rim", "head", "rim_depth"),
    ("rim_height", "head", "rim_depth"),
    ("depth", "board", "width"),
    ("height", "board", "width"),
    ("diameter", "cleat", "hole"),
    ("setback", "cleat", "set_back"),
    ("copies", "cut", "quantity"),
    ("count", "cut", "quantity"),
    ("number", "cut", "quantity"),
    ("tool", "cut", "machine"),
    ("router", "cut", "machine"),
    ("stock", "cut", "material"),
    ("sheet", "cut", "material"),
];

impl Form {
    /// The keys of a table.
    pub(super) fn keys(self) -> Option<&'static [Key]> {
        match self {
            Self::Table(keys)
            | Self::TableOrWord(keys, _)
            | Self::TableOrBoard(keys)
            | Self::Tables(keys) => Some(keys),
            _ => None,
        }
    }
}

/// A table of the form: its name as it is written in brackets, and its keys.
pub(super) struct Section {
    pub name: String,
    pub form: Form,
    pub keys: &'static [Key],
}

/// Every table of a job, the job itself first, without a name.
pub(super) fn sections() -> Vec<Section> {
    let mut all = vec![Section { name: String::new(), form: Table(JOB), keys: JOB }];
    let mut at = 0;
    while at < all.len() {
        let (above, keys) = (all[at].name.clone(), all[at].keys);
        for key in keys {
            let Some(keys) = key.form.keys() else { continue };
            let name = [above.as_str(), key.name].join(".").trim_start_matches('.').to_string();
            all.push(Section { name, form: key.form, keys });
        }
        at += 1;
    }
    all
}

/// Every key of a job that is answered by words of a list, with its words: `cut.corners`.
pub fn key_words() -> Vec<(String, &'static [&'static str])> {
    let of = |section: &Section| -> Vec<(String, &'static [&'static str])> {
        let path = |key: &Key| {
            [section.name.as_str(), key.name].join(".").trim_start_matches('.').to_string()
        };
        let words = |key: &Key| match key.form {
            Form::Word(words) | Form::TableOrWord(_, words) => Some((path(key), words)),
            _ => None,
        };
        section.keys.iter().filter_map(words).collect()
    };
    sections().iter().flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::super::job_file::JobFile;
    use super::*;
    use crate::diagnostics::Error;

    /// The names that a refusal of the parser lists behind the one that it refuses.
    fn listed(error: &toml::de::Error) -> Vec<String> {
        let all = error.message().split('`').skip(1).step_by(2);
        let mut names: Vec<String> = all.skip(1).map(str::to_string).collect();
        names.sort();
        names
    }

    fn refused(text: &str) -> toml::de::Error {
        match toml::from_str::<JobFile>(text) {
            Err(error) => error,
            Ok(_) => panic!("{text} is read"),
        }
    }

    #[test]
    fn the_form_has_the_keys_and_words_that_a_job_is_read_by_and_no_others() {
        for section in sections() {
            let heading = match section.form {
                _ if section.name.is_empty() => String::new(),
                Form::Tables(_) => format!("[[{}]]\n", section.name),
                _ => format!("[{}]\n", section.name),
            };
            let mut names: Vec<String> = section.keys.iter().map(|k| k.name.to_string()).collect();
            names.sort();
            let error = refused(&format!("{heading}zzz = 1\n"));
            assert_eq!(listed(&error), names, "[{}]: {error}", section.name);
            for key in section.keys {
                let Form::Word(words) = key.form else { continue };
                let error = refused(&format!("{heading}{} = \"zzz\"\n", key.name));
                let mut words: Vec<String> = words.iter().map(|w| w.to_string()).collect();
                words.sort();
                assert_eq!(listed(&error), words, "{}.{}: {error}", section.name, key.name);
            }
        }
    }

    #[test]
    fn what_the_form_wants_is_what_a_job_cannot_be_read_without() {
        let read = |text: &str| -> Result<super::super::Job, Error> {
            super::super::read_job("job.toml", text, &|path| panic!("{path}"))
        };
        assert!(read(crate::job::STARTER).is_ok());
        for (name, table, meant) in OTHER_NAMES {
            let sections = sections();
            let section = sections.iter().find(|section| section.name == *table).unwrap();
            let has = |name: &str| section.keys.iter().any(|key| key.name == name);
            assert!(has(meant) && !has(name), "[{table}] {name} is {meant}");
        }
    }
}
