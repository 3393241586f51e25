//! What the words mean that a job's keys are answered by, for `seatcut explain WORD`: what is asked
//! in questions is said there, everything else here.

use crate::job::{key_words, question};

/// A key of a job, a word that it may be answered by, and what that says.
pub(super) struct KeyWord {
    pub key: String,
    pub word: &'static str,
    pub means: String,
}

/// Every key that has this word, or every word of the key that is called this; none where it is
/// neither.
pub(super) fn named(name: &str) -> Vec<KeyWord> {
    let asked = plain(name);
    let all = key_words()
        .into_iter()
        .flat_map(|(key, words)| words.iter().map(move |word| (key.clone(), *word)));
    let is_it = |(key, word): &(String, &str)| {
        let last = key.rsplit('.').next().unwrap_or_default();
        [word, key.as_str(), last].iter().any(|of| plain(of) == asked)
    };
    all.filter(is_it).map(|(key, word)| KeyWord { means: means(&key, word), key, word }).collect()
}

/// A word whatever its case, its quote marks and whether blanks or hyphens stand in it.
fn plain(word: &str) -> String {
    let word = word.trim().trim_matches(['"', '\'']).to_lowercase();
    word.replace([' ', '_'], "-")
}

/// What a word says behind a key.
fn means(key: &str, word: &str) -> String {
    let asked = question(key).map_or(Vec::new(), |asked| asked.choices());
    let of_question = asked.into_iter().find(|(own, _)| *own == word).map(|(_, says)| says);
    let here = WORDS.iter().find(|(keys, own, _)| keys.contains(&key) && *own == word);
    of_question.or(here.map(|(.., says)| says.to_string())).unwrap_or_default()
}

const FOLLOW: &[&str] = &["cut.follow", "cut.follow.with"];
const HANDS: &[&str] = &["housed.hand", "cleat.hand"];

const WORDS: &[(&[&str], &str, &str)] = &[
    (&["units"], "in", "a length without a unit is in inches"),
    (&["units"], "mm", "a length without a unit is in millimetres"),
    (
        &["head.joint.with"],
        "against-rim",
        "the plumb cut stands against the rim and is fastened to it",
    ),
    (
        &["head.joint.with"],
        "hanger-board",
        "a board hangs on the rim, and the plumb cut is fastened to that",
    ),
    (&["head.joint.with"], "ledger-notch", "a notch in the head rests on a ledger"),
    (
        &["head.joint.with"],
        "dropped-header",
        "the plumb cut stands against a header that lies lower than the framing",
    ),
    (
        &["head.joint.with"],
        "top-over",
        "the head is notched and bears on top of the header or the wall",
    ),
    (HANDS, "left", "the one on the left, for somebody who climbs"),
    (HANDS, "right", "the one on the right, for somebody who climbs"),
    (&["cleat.with"], "wood", "the cleats are strips of wood"),
    (&["cleat.with"], "angle", "steel angles stand in the place of wooden cleats"),
    (
        &["cleat.holes"],
        "drilled",
        "the holes of the cleats are bored through the stringer; what is done if left out",
    ),
    (&["cleat.holes"], "marked", "the holes are marked only and bored by hand"),
    (&["cleat.holes"], "none", "no holes: cleats are fastened otherwise"),
    (&["boards.narrow"], "refuse", "a board narrower than the stringer is laid out on is refused"),
    (
        &["boards.narrow"],
        "re-solve",
        "every stringer is laid out anew on the narrowest board, and that is said",
    ),
    (
        &["cut.corners"],
        "fillet",
        "inside corners keep the cutter's round; what is done if left out",
    ),
    (
        &["cut.corners"],
        "bisector",
        "inside corners are cleared by a relief along the line that halves them",
    ),
    (&["cut.corners"], "riser", "inside corners are cleared by a relief into the riser cut"),
    (&["cut.corners"], "tread", "inside corners are cleared by a relief into the tread cut"),
    (
        FOLLOW,
        "edge",
        "the pattern is followed along its edge by what cuts just there; it is cut to full size",
    ),
    (FOLLOW, "pencil", "a pencil goes round it: the pattern is smaller by half the pencil's line"),
    (FOLLOW, "bearing-bit", "a bit with a bearing of its own width runs along it"),
    (
        FOLLOW,
        "bushing",
        "a guide bushing runs along it: the pattern is smaller by half the difference",
    ),
    (&["cut.tabs"], "none", "no tab holds a piece: a vacuum, a skin or clamps have to"),
    (
        &["cut.tabs.shape"],
        "flanks",
        "the tool ramps up onto a tab and down behind it; what is done if left out",
    ),
    (
        &["cut.tabs.shape"],
        "square",
        "the tool goes straight up before a tab and straight down behind it",
    ),
    (
        &["cut.marks"],
        "full",
        "on a pattern: title, numbers, lines, check lengths, dimensions; what is done if left out",
    ),
    (&["cut.marks"], "short", "on a pattern: numbers, lines and check lengths alone"),
    (&["cut.marks"], "none", "nothing is marked"),
    (&["cut.marks"], "number", "stringers out of a sheet get their number alone"),
    (&["ground.seat"], "level", "the seat is cut level, as on a floor"),
    (&["ground.seat"], "follow", "the seat is cut along the slope of the ground"),
    (&["stair.outsides"], "single", "each outside stringer is one board"),
    (&["stair.outsides"], "doubled", "each outside stringer is two boards fastened together"),
    (&["stair.held"], "at-ends", "the stringers are held at foot and head, and span between"),
    (&["stair.held"], "along", "a wall carries the stringers along their whole length"),
    (
        &["moisture.sawn"],
        "flat",
        "sawn so that the rings lie along the face: such a board moves most",
    ),
    (
        &["moisture.sawn"],
        "quarter",
        "sawn so that the rings stand up across the board: it moves less",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_that_a_key_is_answered_by_says_something_and_none_is_said_of_no_key() {
        let all = key_words();
        for (key, words) in &all {
            assert!(!named(key).is_empty(), "{key}");
            for word in *words {
                assert!(!means(key, word).is_empty(), "{key} = {word}");
                assert!(named(word).iter().any(|of| of.key == *key), "{key} = {word}");
            }
        }
        for (keys, word, _) in WORDS {
            let is_of =
                |key: &&str| all.iter().any(|(own, words)| own == key && words.contains(word));
            assert!(keys.iter().all(is_of), "{keys:?} {word}");
        }
        assert!(named("ploughshare").is_empty() && named("").is_empty());
    }
}
