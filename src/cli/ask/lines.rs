//! Lines that somebody types: at a terminal with an editor for the line, from a pipe as they come.

use std::cell::Cell;
use std::io::{self, BufRead, IsTerminal, Read, Write};
#[cfg(test)]
use std::{cell::RefCell, collections::VecDeque};

use dialoguer::Input;

use crate::cli::io_words::why;
use crate::diagnostics::visible::visible_lines;
use crate::diagnostics::{Error, ErrorKind};

/// The longest line that is an answer, in bytes.
const LONGEST_LINE: u64 = 1 << 10;

/// Where answers come from.
pub(super) enum Lines {
    /// Somebody at a keyboard.
    Keyboard,
    /// A pipe or a file, told to the end, and how many lines came of it.
    Pipe(Cell<usize>),
    /// Lines that a test types as somebody at a keyboard does.
    #[cfg(test)]
    Typed(RefCell<VecDeque<String>>),
}

impl Lines {
    /// A keyboard needs both: keys to read, and a screen to show the line on.
    pub(super) fn open() -> Self {
        match io::stdin().is_terminal() && io::stderr().is_terminal() {
            true => Self::Keyboard,
            false => Self::Pipe(Cell::new(0)),
        }
    }

    /// Whether wrong answers come from somebody who reads why.
    pub(super) fn is_read(&self) -> bool {
        !matches!(self, Self::Pipe(_))
    }

    /// How many lines were read.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Pipe(count) => count.get(),
            _ => 0,
        }
    }

    /// The next line behind a prompt, trimmed; none at the end of a pipe.
    pub(super) fn next(&self, prompt: &str) -> Result<Option<String>, Error> {
        match self {
            Self::Keyboard => {
                let typed = Input::<String>::new().with_prompt(prompt).allow_empty(true);
                let line = typed.interact_text().map_err(|dialoguer::Error::IO(e)| failed(&e))?;
                Ok(Some(line.trim().to_string()))
            }
            #[cfg(test)]
            Self::Typed(lines) => Ok(lines.borrow_mut().pop_front()),
            Self::Pipe(count) => {
                say(&format!("{prompt}: "));
                let line = piped()?;
                count.set(count.get() + usize::from(line.is_some()));
                say(&format!("{}\n", line.as_deref().unwrap_or_default()));
                Ok(line)
            }
        }
    }
}

/// Tells somebody who answers; where that fails there is nobody.
pub(super) fn say(text: &str) {
    let mut out = io::stderr().lock();
    let _ = out.write_all(visible_lines(text).as_bytes()).and_then(|()| out.flush());
}

/// A line of standard input; what is too long for an answer is read past and is none.
fn piped() -> Result<Option<String>, Error> {
    let mut input = io::stdin().lock();
    let mut line = Vec::new();
    let mut all = 0;
    loop {
        let mut part = Vec::new();
        let read = (&mut input).take(LONGEST_LINE).read_until(b'\n', &mut part);
        let count = read.map_err(|e| failed(&e))?;
        all += count;
        let is_end = count == 0 || part.ends_with(b"\n");
        if line.is_empty() {
            line = part;
        }
        if is_end {
            break;
        }
    }
    match all {
        0 => Ok(None),
        // Whatever it is, it is no answer, and the question says so.
        _ => Ok(Some(String::from_utf8_lossy(&line).trim().to_string())),
    }
}

fn failed(e: &io::Error) -> Error {
    Error::new(ErrorKind::File, format!("no answer can be read: {}", why(e)))
        .hint("nothing was written; begin again with the same command")
}
