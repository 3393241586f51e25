//! The stock file on disk: read, and written anew when somebody asks for it, whole or not at all.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use super::input::{read_text, shown};
use super::io_words::why;
use super::output_file::put_in_place;
use super::told::hung;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{Stock, taken_off};
use crate::pipeline::set::Set;

/// A stock file as it was read.
#[derive(Clone, Debug)]
pub(super) struct Rack {
    pub path: PathBuf,
    text: String,
    pub stock: Stock,
}

impl Rack {
    /// Reads one.
    ///
    /// # Errors
    /// If it cannot be read, or means nothing.
    pub(super) fn read(path: &Path) -> Result<Self, Error> {
        let text = read_text(path)?;
        let stock = Stock::read(&shown(path), &text)?;
        Ok(Self { path: path.to_path_buf(), text, stock })
    }

    /// Takes off what a set uses and puts back the offcuts that are worth keeping, in the file itself;
    /// what was typed beside the counts stays.
    ///
    /// # Errors
    /// If the file is no longer as it was read, or cannot be written; it is then as it was.
    pub(super) fn take(&self, set: &Set) -> Result<String, Error> {
        let Some(taken) = set.taken() else { return Ok(String::new()) };
        let text = taken_off(&self.stock, &self.text, &taken, set.tape())?;
        Stock::read(&shown(&self.path), &text).map_err(|error| {
            self.untaken(&format!(
                "offcuts cannot be added to it as it is typed ({}); every board is to be a table [[board]] of its own",
                error.what()
            ))
        })?;
        let untaken = |e: &io::Error| self.untaken(&why(e));
        // A link stays one: what it leads to is written.
        let real = self.path.canonicalize().map_err(|e| untaken(&e))?;
        // Two runs take turns, and the later one finds that the file is no longer what it read.
        let held = File::open(&real).map_err(|e| untaken(&e))?;
        held.lock().map_err(|e| untaken(&e))?;
        if fs::read(&real).map_err(|e| untaken(&e))? != self.text.as_bytes() {
            return Err(self.untaken("it was changed since it was read"));
        }
        put_in_place(&real, text.as_bytes()).map_err(|e| self.untaken(e.what()))?;
        let kept = match self.stock.keep {
            Some(keep) => format!("offcuts of boards of {keep} or more were put back"),
            None => "no offcut was put back, for the file does not say keep =".to_string(),
        };
        let said = hung(&format!("What this set uses was taken off; {kept}."), "  ");
        Ok(format!("\nSTOCK {}\n{said}", shown(&self.path)))
    }

    fn untaken(&self, cause: &str) -> Error {
        Error::new(ErrorKind::File, format!("the stock file was not written: {cause}; it is as it was"))
            .in_file(&shown(&self.path))
            .hint("the set is in its place: run the same `make` with --take again, or take off by hand what it uses")
    }
}
