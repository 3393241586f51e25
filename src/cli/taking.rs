//! That a set is about to be put in its place and what it uses is then taken off a stock file: a
//! note beside that file, there from just before the one until just after the other. A run that is
//! killed between the two leaves it, and whoever reads the stock file next learns of it.

use std::fs;
use std::path::{Path, PathBuf};

use super::output_file::put_in_place;
use super::output_set::parent_of;
use crate::bundle::names::REPORT;
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind};
use crate::output::file_report;

/// What a note says.
#[derive(Clone, Debug, PartialEq)]
struct Note {
    /// The folder of the set.
    set: PathBuf,
    /// The digest of its report: the set is in its place where it has that one.
    report: String,
    /// The digest of the stock file before anything is taken off it.
    before: String,
}

/// What a run that was broken off has not taken off a stock file.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BrokenOff {
    set: PathBuf,
    note: PathBuf,
}

/// Leaves the note.
///
/// # Errors
/// If it cannot be written: then nothing is made, for nothing could be taken off either.
pub(super) fn begin(stock: &Path, text: &str, set: &Path, report: &[u8]) -> Result<(), Error> {
    let whole = |e: std::io::Error| {
        Error::new(ErrorKind::File, format!("cannot be followed: {e}"))
            .in_file(&set.display().to_string())
    };
    let set = std::path::absolute(set).map_err(whole)?;
    let [report, before] = [digest(report), digest(text.as_bytes())];
    let note = Note { set, report, before };
    let place = place(stock);
    let is_none = |bytes: Vec<u8>| Note::read(&String::from_utf8_lossy(&bytes)).is_none();
    if fs::read(&place).is_ok_and(is_none) {
        return Err(Error::new(ErrorKind::Foreign, "is none of seatcut's; nothing was written")
            .in_file(&place.display().to_string())
            .hint("move it away: the note of a run with --take has this name"));
    }
    put_in_place(&place, note.text().as_bytes())
}

/// Takes the note away.
pub(super) fn end(stock: &Path) {
    // One that stays says of what was taken off that it was, by the digests in it.
    let _ = fs::remove_file(place(stock));
}

/// What a note beside a stock file says that holds still: the set is in its place, and the stock
/// file is as it was before. Any other note is taken away; what is no note stays.
pub(super) fn broken_off(stock: &Path, text: &str) -> Option<BrokenOff> {
    let note = place(stock);
    let said = Note::read(&fs::read_to_string(&note).ok()?)?;
    let holds = |said: &Note| {
        let made = fs::read(said.set.join(REPORT));
        digest(text.as_bytes()) == said.before && made.is_ok_and(|of| digest(&of) == said.report)
    };
    if holds(&said) {
        return Some(BrokenOff { set: said.set, note });
    }
    end(stock);
    None
}

impl BrokenOff {
    /// Whether it is the set in that folder.
    pub(super) fn is_of(&self, set: &Path) -> bool {
        std::path::absolute(set).is_ok_and(|set| set == self.set)
    }

    /// What is said of it.
    pub(super) fn words(&self) -> String {
        format!(
            "a `make --take` was broken off when its set was in {} and nothing was taken off this \
            file yet",
            visible(&self.set.display().to_string())
        )
    }

    /// The same where something else is to be taken off.
    pub(super) fn refused(&self, stock: &str) -> Error {
        let note = self.note.display().to_string();
        let note = visible(&note);
        let hint = format!(
            "run that `make` again with --take, or take off by hand what it uses and delete {note}"
        );
        Error::new(ErrorKind::File, self.words()).in_file(stock).hint(hint)
    }
}

impl Note {
    fn text(&self) -> String {
        format!("{}\n{}\n{}\n", self.report, self.before, self.set.display())
    }

    fn read(text: &str) -> Option<Self> {
        let [report, before, set] = text.splitn(3, '\n').collect::<Vec<_>>().try_into().ok()?;
        let is_digest =
            |of: &str| of.len() == 64 && of.bytes().all(|byte| byte.is_ascii_hexdigit());
        let set = PathBuf::from(set.strip_suffix('\n')?);
        let note = Self { set, report: report.into(), before: before.into() };
        (is_digest(report) && is_digest(before)).then_some(note)
    }
}

fn place(stock: &Path) -> PathBuf {
    let name = stock.file_name().unwrap_or_default().to_string_lossy();
    parent_of(stock).join(format!(".{name}.taking"))
}

fn digest(bytes: &[u8]) -> String {
    file_report("", bytes).sha256
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_holds_while_the_set_is_there_and_the_file_is_as_it_was() {
        let home = tempfile::tempdir().unwrap();
        let [stock, set] = ["rack.toml", "out"].map(|name| home.path().join(name));
        fs::create_dir(&set).unwrap();
        begin(&stock, "six boards", &set, b"report").unwrap();
        assert_eq!(broken_off(&stock, "six boards"), None, "nothing was put in its place");
        assert!(!place(&stock).exists());
        begin(&stock, "six boards", &set, b"report").unwrap();
        fs::write(set.join(REPORT), b"report").unwrap();
        let told = broken_off(&stock, "six boards").unwrap();
        assert!(told.is_of(&set) && !told.is_of(home.path()), "{told:?}");
        assert!(told.words().contains(&set.display().to_string()));
        assert!(broken_off(&stock, "six boards").is_some(), "until something is done");
        assert_eq!(broken_off(&stock, "five boards"), None, "it was taken off");
        assert_eq!(broken_off(&stock, "six boards"), None, "and is not asked again");
        // What somebody else keeps under this name is let be.
        fs::write(place(&stock), "mine\n").unwrap();
        assert_eq!(broken_off(&stock, "six boards"), None);
        assert!(begin(&stock, "six boards", &set, b"report").is_err());
        assert_eq!(fs::read_to_string(place(&stock)).unwrap(), "mine\n");
    }
}
