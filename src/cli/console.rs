//! What goes to the terminal: results to standard output, messages to standard error.

use std::io::{self, ErrorKind as IoKind, IsTerminal, Write};
use std::path::Path;

use anstyle::{AnsiColor, Style};

use crate::diagnostics::visible::{visible, visible_lines};
use crate::diagnostics::{Error, ErrorKind};

/// The two streams, and whether they may be coloured.
pub(super) struct Console {
    colour: bool,
}

impl Console {
    /// Colour only on a terminal and only where `NO_COLOR` is unset or empty.
    pub(super) fn new() -> Self {
        let forbidden = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        Self { colour: io::stdout().is_terminal() && !forbidden }
    }

    /// Prints a result: what does not print is spelled out, findings are coloured where colour is
    /// on.
    pub(super) fn print(&self, text: &str) -> Result<(), Error> {
        let text = visible_lines(text);
        self.print_bytes(if self.colour { coloured(&text) } else { text }.as_bytes())
    }

    /// Prints a result as it is. A reader that went away is no error.
    pub(super) fn print_bytes(&self, bytes: &[u8]) -> Result<(), Error> {
        let mut out = io::stdout().lock();
        match out.write_all(bytes).and_then(|()| out.flush()) {
            Err(e) if e.kind() != IoKind::BrokenPipe => {
                Err(Error::new(ErrorKind::File, format!("standard output cannot be written: {e}")))
            }
            _ => Ok(()),
        }
    }

    /// Prints an error; where that fails there is nobody to tell.
    pub(super) fn complain(&self, error: &Error) {
        let _ = writeln!(io::stderr().lock(), "seatcut: {error}");
    }

    /// Prints what is wrong with the arguments.
    pub(super) fn complain_of_usage(&self, text: &str) {
        let _ = write!(io::stderr().lock(), "{}", visible_lines(text));
    }

    /// Prints a message that is no result.
    pub(super) fn tell(&self, text: &str) {
        let _ = writeln!(io::stderr().lock(), "seatcut: {}", visible_lines(text));
    }
}

/// A path as it is shown: on one line, whatever its name holds.
pub(super) fn shown(path: &Path) -> String {
    visible(&path.display().to_string())
}

/// What lines begin with that stand out, and how: only colours that read on light and on dark.
const STYLES: [(&str, Style); 5] = [
    ("WARNING  ", AnsiColor::Yellow.on_default().bold()),
    ("REFUSED  ", AnsiColor::Red.on_default().bold()),
    ("PROVEN", AnsiColor::Green.on_default().bold()),
    ("->", Style::new().bold()),
    ("CHECK ON SITE", Style::new().bold()),
];

/// The text with the lines of findings coloured. Colour is put on last, after everything that could
/// steer the terminal was spelled out: nothing that comes from a file can bring colours of its own.
fn coloured(text: &str) -> String {
    text.split_inclusive('\n')
        .map(|whole| {
            let line = whole.trim_end_matches('\n');
            let style = STYLES.iter().find(|(begins, _)| line.trim_start().starts_with(begins));
            let Some((_, style)) = style else { return whole.to_string() };
            format!("{style}{line}{style:#}{}", &whole[line.len()..])
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::told::finding;
    use super::*;
    use crate::diagnostics::Severity;
    use crate::diagnostics::codes;

    #[test]
    fn what_is_found_against_a_stair_is_coloured_and_nothing_else() {
        let found = codes::HeadNoContact { joint: "hanger board" }.at("head");
        for severity in [Severity::Warning, Severity::Refusal] {
            let shown = coloured(&finding(&found.clone().weighing(severity)));
            assert!(shown.starts_with("\x1b[1m\x1b[3") && shown.contains("\x1b[0m\n"), "{shown:?}");
        }
        let note = finding(&found.weighing(Severity::Advice));
        assert_eq!(coloured(&note), note);
        assert_eq!(coloured("a WARNING that is none\n"), "a WARNING that is none\n");
    }
}
