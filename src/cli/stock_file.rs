//! The stock file on disk: read, and written anew when somebody asks for it, whole or not at all.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use super::input::{read_text, shown};
use super::io_words::why;
use super::output_file::put_in_place;
use super::taking;
use super::told::hung;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{Offcut, Stock, put_back, taken_off};
use crate::pipeline::set::Set;
use crate::units::{Length, on_tape};

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

    /// That which is given, else the one that an order names, where either is.
    ///
    /// # Errors
    /// As those of each.
    pub(super) fn of(given: Option<&Path>, named: Option<&Path>) -> Result<Option<Self>, Error> {
        match (given, named) {
            (Some(given), _) => Self::read(given).map(Some),
            (None, Some(named)) => Self::of_order(named).map(Some),
            (None, None) => Ok(None),
        }
    }

    /// Reads the one that an order names.
    ///
    /// # Errors
    /// As above; where it is not there, with what named it.
    pub(super) fn of_order(path: &Path) -> Result<Self, Error> {
        Self::read(path).map_err(|error| match error.kind() {
            ErrorKind::File => Error::new(
                ErrorKind::File,
                format!("the stock file that the order names {}", error.what()),
            )
            .in_file(&shown(path))
            .allowed("the path of a stock file, from the order's folder")
            .hint("mend stock = in the order, or give --stock FILE"),
            _ => error,
        })
    }

    /// What the file says once what a set uses is taken off and the offcuts that are worth keeping
    /// are put back; what was typed beside the counts stays.
    ///
    /// # Errors
    /// If that cannot be written into it so that it is read again. Nothing is written here.
    pub(super) fn after(&self, set: &Set) -> Result<String, Error> {
        let Some(taken) = set.taken() else { return Ok(self.text.clone()) };
        let name = shown(&self.path);
        if fs::metadata(&self.path).is_ok_and(|of| of.permissions().readonly()) {
            return Err(Error::new(
                ErrorKind::File,
                "is write-protected, and --take writes into it",
            )
            .in_file(&name)
            .hint("take the protection off, or make the set without --take"));
        }
        let text = taken_off(&self.stock, &self.text, &taken, set.tape())
            .map_err(|error| error.in_file(&name))?;
        match Stock::read(&name, &text) {
            Ok(_) => Ok(text),
            Err(_) => Err(Error::new(
                ErrorKind::Refused,
                "offcuts cannot be added to this stock file as it is typed",
            )
            .in_file(&name)
            .found("a list of one key, board = [...] or sheet = [...]")
            .allowed("a table [[board]] or [[sheet]] of its own for every kind")
            .hint(
                "type each kind below a line [[board]] or [[sheet]], or make the set without \
                --take",
            )),
        }
    }

    /// What is to be said of a run with `--take` that was broken off before it took anything off,
    /// if there was one.
    ///
    /// # Errors
    /// Where this run is to take something off too and is not that run again: the file would count
    /// what is used already.
    pub(super) fn broken_off(&self, take: bool, output: &Path) -> Result<Option<String>, Error> {
        match taking::broken_off(&self.real(), &self.text) {
            Some(of) if take && of.is_of(output) => Ok(None),
            Some(of) if take => Err(of.refused(&shown(&self.path))),
            other => Ok(other.map(|of| hung(&of.words(), &format!("{}: ", shown(&self.path))))),
        }
    }

    /// Notes that a set is about to be put in its place, before what it uses is taken off.
    ///
    /// # Errors
    /// If the note cannot be written.
    pub(super) fn begin_taking(&self, output: &Path, report: &[u8]) -> Result<(), Error> {
        taking::begin(&self.real(), &self.text, output, report)
    }

    /// Where the file lies; a link stays one.
    fn real(&self) -> PathBuf {
        self.path.canonicalize().unwrap_or_else(|_| self.path.clone())
    }

    /// Writes the file as [`Rack::after`] says.
    ///
    /// # Errors
    /// If the file is no longer as it was read, or cannot be written; it is then as it was.
    pub(super) fn take(&self, set: &Set, after: &str) -> Result<String, Error> {
        let untaken = |e: &io::Error| self.untaken(&why(e));
        // A link stays one: what it leads to is written.
        let real = self.real();
        // Two runs take turns, and the later one finds that the file is no longer what it read.
        let held = File::open(&real).map_err(|e| untaken(&e))?;
        held.lock().map_err(|e| untaken(&e))?;
        if fs::read(&real).map_err(|e| untaken(&e))? != self.text.as_bytes() {
            return Err(self.untaken("it was changed since it was read"));
        }
        put_in_place(&real, after.as_bytes()).map_err(|e| self.untaken(e.what()))?;
        taking::end(&real);
        let said =
            hung(&format!("What this set uses was taken off; {}.", self.put_back(set)), "  ");
        Ok(format!("\nSTOCK {}\n{said}", shown(&self.path)))
    }

    /// What of the offcuts was put back, in words.
    fn put_back(&self, set: &Set) -> String {
        let Some(taken) = set.taken() else { return "no offcut was left".to_string() };
        let told = |of: &Offcut| {
            let width = of.width.map_or_else(String::new, |width| format!(" x {}", on_tape(width)));
            format!("{} of {}{width} of {}", of.count, on_tape(of.length), of.material)
        };
        let all = set.tape().tells(|| {
            let all = put_back(&self.stock, &taken, set.tape()).concat();
            all.iter().map(told).collect::<Vec<_>>()
        });
        if !all.is_empty() {
            return format!("put back: {}", all.join("; "));
        }
        let lacks = |left: &[Offcut], keep: Option<Length>| !left.is_empty() && keep.is_none();
        if lacks(&taken.offcuts, self.stock.keep) {
            "no offcut was put back, for the file does not say keep =".to_string()
        } else if lacks(&taken.sheet_offcuts, self.stock.keep_sheet) {
            "no offcut was put back, for the file does not say keep_sheet =".to_string()
        } else if set.sheets.is_empty() && taken.sheets.iter().any(|count| *count > 0) {
            "what is left of the sheet beside one single piece was not put back: add it by hand"
                .to_string()
        } else {
            "no offcut was large enough to be put back".to_string()
        }
    }

    fn untaken(&self, cause: &str) -> Error {
        Error::new(
            ErrorKind::File,
            format!("the stock file was not written: {cause}; it is as it was"),
        )
        .in_file(&shown(&self.path))
        .hint(
            "the set is in its place: run the same `make` with --take again, or take off by hand \
            what it uses",
        )
    }
}
