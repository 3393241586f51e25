//! What goes to the terminal: results to standard output, messages to standard error.

use std::io::{self, ErrorKind as IoKind, IsTerminal, Write};
use std::path::Path;

use crate::diagnostics::Finding;
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

    /// A finding as one line.
    pub(super) fn finding(&self, finding: &Finding) -> String {
        visible(&finding.to_string())
    }
}

/// A path as it is shown: on one line, whatever its name holds.
pub(super) fn shown(path: &Path) -> String {
    visible(&path.display().to_string())
}

/// The severities as findings begin with them, and the colour of each.
const COLOURS: [(&str, &str); 3] = [("advice   ", "2"), ("warning  ", "33"), ("refusal  ", "1;31")];

/// The text with the lines of findings coloured. Colour is put on last, after everything that could
/// steer the terminal was spelled out: nothing that comes from a file can bring colours of its own.
fn coloured(text: &str) -> String {
    text.split_inclusive('\n')
        .map(|whole| {
            let line = whole.trim_end_matches('\n');
            let colour =
                COLOURS.iter().find(|(severity, _)| line.trim_start().starts_with(severity));
            let Some((_, colour)) = colour else { return whole.to_string() };
            format!("\x1b[{colour}m{line}\x1b[0m{}", &whole[line.len()..])
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Severity;
    use crate::diagnostics::codes;

    #[test]
    fn every_severity_has_its_colour_and_nothing_else_is_coloured() {
        for severity in [Severity::Advice, Severity::Warning, Severity::Refusal] {
            let line = codes::HeadNoContact { joint: "hanger board" }
                .at("head")
                .weighing(severity)
                .to_string();
            let shown = coloured(&format!("  {line}\nplain\n"));
            assert!(shown.starts_with("\x1b[") && shown.contains("\x1b[0m\nplain\n"), "{shown:?}");
        }
        assert_eq!(coloured("a warning that is none\n"), "a warning that is none\n");
    }
}
