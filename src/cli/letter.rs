//! What a file says to people beside what it does, which nobody judges: whether it is to the letter
//! what is written here, and how much of it is not.

use super::told::hung;
use crate::bundle::{own_words, texts};
use crate::job::Fingerprint;
use crate::output::TO_VERIFY_OFFCUTS;
use crate::pipeline::set::Set;
use crate::units::counted;
use crate::verify::{Verdict, drawing_words};

/// Whether a program that says it is of a set is just what `make` writes for it: what it says to
/// people beside its words is not judged by what it does. What says no such thing is somebody
/// else's.
pub(super) fn to_the_letter(bytes: &[u8], set: &Set) -> String {
    if !carries(bytes, set) {
        let words = "it carries no number of this job: held by what it does, wherever it lies and \
            however it is tied; holes and marks are not asked of it";
        return hung(words, "  ");
    }
    if set.refused() {
        return String::new();
    }
    let alike = |own: &[u8]| {
        let line = |of: u8| of == b'\n';
        own.split(|c| line(*c)).zip(bytes.split(|c| line(*c))).take_while(|(a, b)| a == b).count()
    };
    let same = texts(set).into_iter().map(|own| (own.as_bytes() == bytes, alike(own.as_bytes())));
    let words = match same.max() {
        Some((true, _)) => "to the letter what `make` writes here".to_string(),
        nearest => {
            let from = nearest.map_or(1, |(_, lines)| lines + 1);
            format!(
                "not to the letter what `make` writes here, from line {from} on: its comments are \
                not judged, read them before it is run"
            )
        }
    };
    hung(&words, "  ")
}

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
    let text = String::from_utf8_lossy(bytes);
    let whole = Fingerprint::of_all(set.members.iter().map(|member| &member.workup.fingerprint))
        .to_string();
    text.contains(&whole)
        || set.members.iter().any(|member| text.contains(&member.workup.fingerprint.to_string()))
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
