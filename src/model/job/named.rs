//! A profile that a job names and that is not there.

use std::ops::Range;

use crate::diagnostics::{Error, ErrorKind};
use crate::profile::embedded_names;
use crate::profile::guess::meant;
use crate::profile::reader::Reader;

/// No profile of this kind has the name: which ones there are, and those that may be meant.
pub(super) fn no_such_profile(
    reader: &Reader<'_>,
    kind: &str,
    typed: &str,
    span: Range<usize>,
) -> Error {
    let names: Vec<&str> =
        embedded_names().filter(|(of, _)| *of == kind).map(|(_, name)| name).collect();
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
