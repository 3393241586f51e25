//! What goes to the terminal: results to standard output, messages to standard error.

use std::io::{self, ErrorKind as IoKind, IsTerminal, Write};

use crate::error::{Error, ErrorKind};
use crate::finding::{Finding, Severity};

/// The two streams, and whether they may be coloured.
pub(super) struct Console {
    colour: bool,
}

impl Console {
    /// Colour only on a terminal and only where `NO_COLOR` is unset or empty.
    pub fn new() -> Console {
        let forbidden = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        Console { colour: io::stdout().is_terminal() && !forbidden }
    }

    /// Prints a result.
    pub fn print(&self, text: &str) -> Result<(), Error> {
        self.print_bytes(text.as_bytes())
    }

    /// Prints a result as it is. A reader that went away is no error.
    pub fn print_bytes(&self, bytes: &[u8]) -> Result<(), Error> {
        let mut out = io::stdout().lock();
        match out.write_all(bytes).and_then(|()| out.flush()) {
            Err(e) if e.kind() != IoKind::BrokenPipe => {
                Err(Error::new(ErrorKind::File, format!("standard output cannot be written: {e}")))
            }
            _ => Ok(()),
        }
    }

    /// Prints an error; where that fails there is nobody to tell.
    pub fn complain(&self, error: &Error) {
        let _ = writeln!(io::stderr().lock(), "seatcut: {error}");
    }

    /// Prints a message that is no result.
    pub fn tell(&self, text: &str) {
        let _ = writeln!(io::stderr().lock(), "seatcut: {text}");
    }

    /// A finding as a line, its severity told by colour too where colour is on.
    pub fn finding(&self, finding: &Finding) -> String {
        let line = finding.to_string();
        let code = match finding.severity {
            _ if !self.colour => return line,
            Severity::Advice => "2",
            Severity::Warning => "33",
            Severity::Refusal => "1;31",
        };
        format!("\x1b[{code}m{line}\x1b[0m")
    }
}
