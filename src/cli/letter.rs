//! What a file says to people beside what it does, which nobody judges: whether it is to the letter
//! what is written here, and how much of it is not.

use std::cell::OnceCell;
use std::path::Path;

use super::told::hung;
use crate::bundle::{own_words, texts};
use crate::diagnostics::visible::visible;
use crate::job::Fingerprint;
use crate::output::TO_VERIFY_OFFCUTS;
use crate::pipeline::set::Set;
use crate::units::counted;
use crate::verify::{Verdict, drawing_words};

/// The names and texts that `make` writes for the programs of a set, in the order in which they are
/// run; written once.
#[derive(Default)]
pub(super) struct OwnTexts(OnceCell<Vec<(String, String)>>);

impl OwnTexts {
    fn of(&self, set: &Set) -> &[(String, String)] {
        self.0.get_or_init(|| if set.refused() { Vec::new() } else { texts(set) })
    }
}

/// What is said of how a file is written.
pub(super) struct Letter {
    pub words: String,
    /// Which of the set's programs it is to the letter, by number.
    pub is: Option<usize>,
}

/// Whether a program that says it is of a set is just what `make` writes for it: what it says to
/// people beside its words is not judged by what it does. What says no such thing is somebody
/// else's.
pub(super) fn to_the_letter(bytes: &[u8], set: &Set, own: &OwnTexts) -> Letter {
    let told = |words: &str, is| Letter { words: hung(words, "  "), is };
    if !carries(bytes, set) {
        let words = "it carries no number of this job: held by what it does, wherever on the stock \
            it lies and however it is tied; holes and marks that it leaves out are not asked of it";
        return told(words, None);
    }
    let own = own.of(set);
    if let Some(is) = own.iter().position(|(_, text)| text.as_bytes() == bytes) {
        return told("to the letter what `make` writes here", Some(is));
    }
    let alike = |own: &[u8]| {
        let line = |of: u8| of == b'\n';
        own.split(|c| line(*c)).zip(bytes.split(|c| line(*c))).take_while(|(a, b)| a == b).count()
    };
    match own.iter().map(|(_, text)| alike(text.as_bytes())).max() {
        None => Letter { words: String::new(), is: None },
        Some(lines) => {
            let words = format!(
                "not to the letter what `make` writes here, from line {} on: its comments are not \
                judged, read them before it is run",
                lines + 1
            );
            told(&words, None)
        }
    }
}

/// A program that was held: its file's name, and which of the set's programs it is to the letter.
pub(super) type Given = (String, Option<usize>);

/// What several programs are together: in what order they are run, which of the set's are not there
/// as `make` writes them, which are there more than once, how many nobody knows to belong there.
pub(super) fn together_are(given: &[Given], set: &Set, own: &OwnTexts) -> String {
    let own = own.of(set);
    let files = |i: usize| given.iter().filter(move |(_, is)| *is == Some(i)).map(|(name, _)| name);
    let base = |name: &str| {
        Path::new(name).file_name().map_or(name.into(), |base| base.to_string_lossy().into_owned())
    };
    let named = |(i, name): (usize, &String)| match base(name) {
        base if base == own[i].0 => visible(&base),
        base => format!("{} ({} of this job)", visible(&base), own[i].0),
    };
    let here: Vec<String> =
        (0..own.len()).flat_map(|i| files(i).map(move |name| (i, name))).map(named).collect();
    let missing: Vec<String> = own
        .iter()
        .enumerate()
        .filter(|(i, _)| files(*i).count() == 0)
        .map(|(_, (name, _))| name.clone())
        .collect();
    let twice: Vec<String> = own
        .iter()
        .enumerate()
        .filter(|(i, _)| files(*i).count() > 1)
        .map(|(_, (name, _))| name.clone())
        .collect();
    let all = counted(own.len(), "program");
    let mut words = String::new();
    if !here.is_empty() {
        words += &match missing.len() {
            0 => format!("together: all {all} of this job"),
            1 => format!(
                "together: of the {all} of this job this is not here as `make` writes it: {}",
                missing[0]
            ),
            _ => format!(
                "together: of the {all} of this job these are not here as `make` writes them: {}",
                some(&missing)
            ),
        };
        if !twice.is_empty() {
            words += &format!("; here more than once: {}", some(&twice));
        }
        if here.len() > 1 {
            words += &format!("; run in this order: {}", some(&here));
        }
    }
    let strange = given.iter().filter(|(_, is)| is.is_none()).count();
    if strange > 0 {
        words += if words.is_empty() { "together: " } else { "; " };
        let (are, they) = match strange {
            1 => ("one is not to the letter this job's and was".to_string(), "it lies"),
            _ => (format!("{strange} are not to the letter this job's, each was"), "they lie"),
        };
        words += &format!(
            "{are} held by itself: whether {they} on the stock as the others do, nobody looked"
        );
    }
    hung(&words, "")
}

/// Names in one sentence, the first of many.
fn some(names: &[String]) -> String {
    match names.len().checked_sub(MOST_NAMED) {
        None | Some(0) => names.join(", "),
        Some(more) => format!("{} and {more} more", names[..MOST_NAMED].join(", ")),
    }
}

/// No more programs than this are named in one sentence.
const MOST_NAMED: usize = 12;

/// How many texts and comments of a drawing are none that is written on the drawings of a set's
/// jobs: they are judged by nobody. Those that a finding tells with their layer are not told again.
pub(super) fn strange_words<'s>(
    bytes: &[u8],
    name: &str,
    set: impl FnOnce() -> Option<&'s Set>,
) -> String {
    let mut words = drawing_words(bytes, name).unwrap_or_default();
    words.retain(|words| !words.told);
    if words.is_empty() {
        return String::new();
    }
    let own = set().map(own_words).unwrap_or_default();
    let strange = words.iter().filter(|words| !own.contains(&words.text)).count();
    if strange == 0 {
        return String::new();
    }
    let are = if strange == 1 { "is none" } else { "are none" };
    let told = format!(
        "{} of it {are} that `make` or `order` writes for this job: what a text says is not \
        judged, read it before the drawing is used",
        counted(strange, "text")
    );
    hung(&told, "  ")
}

/// Whether a program says that it is of this set, or of one of its jobs.
pub(super) fn carries(bytes: &[u8], set: &Set) -> bool {
    let whole = Fingerprint::of_all(set.members.iter().map(|member| &member.workup.fingerprint));
    let mut each = set.members.iter().map(|member| &member.workup.fingerprint);
    whole.is_in(bytes) || each.any(|own| own.is_in(bytes))
}

/// A verdict by a layout on whole sheets: of a program that says it is for an offcut, that is all
/// that is wrong with it as far as anybody knows.
pub(super) fn of_whole_sheets(bytes: &[u8], name: &str, verdict: Verdict) -> Verdict {
    let is_for_offcut = || {
        let mut lines = bytes.split(|byte| *byte == b'\n');
        lines.any(|line| String::from_utf8_lossy(line).contains(TO_VERIFY_OFFCUTS))
    };
    if verdict.is_this_part() || !is_for_offcut() {
        return verdict;
    }
    Verdict { findings: Vec::new(), ..verdict }.of_another_layout(name)
}
