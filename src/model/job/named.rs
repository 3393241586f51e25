//! A profile that a job names and that is not there.

use std::ops::Range;

use crate::diagnostics::{Error, ErrorKind};
use crate::profile::guess::meant;
use crate::profile::names_of;
use crate::profile::reader::Reader;

/// No profile of this kind has the name: which ones there are, and those that may be meant.
pub(super) fn no_such_profile(
    reader: &Reader<'_>,
    kind: &str,
    typed: &str,
    span: Range<usize>,
) -> Error {
    let names = names_of(kind);
    let near = meant(typed, &names);
    let quoted: Vec<String> = near.iter().map(|name| format!("\"{name}\"")).collect();
    let what = if kind == "rules" {
        "no rule set of this name".to_string()
    } else {
        format!("no {kind} of this name")
    };
    let hint = match quoted.len() {
        0 => {
            "choose one of those that are allowed; `seatcut profiles` says what each is".to_string()
        }
        1 => format!("{kind} = {}", quoted[0]),
        _ => format!("{kind} = one of {}; `seatcut profiles` says what each is", quoted.join(", ")),
    };
    Error::new(ErrorKind::Input, what)
        .at(reader.place(span))
        .found(typed)
        .allowed(format!("{}, or a path to a file of your own", names.join(", ")))
        .hint(hint)
}

/// A job in millimetres that names no rule set: none is taken, for each country has its own.
pub(super) fn no_rules(reader: &Reader<'_>) -> Error {
    Error::new(ErrorKind::Input, "rules is missing: no rule set is taken for a job in millimetres")
        .in_file(reader.file())
        .allowed(names_of("rules").join(", "))
        .hint(
            "a line above the first [table]: rules = the name of one in quote marks; `seatcut \
            profiles` says what each is",
        )
}
