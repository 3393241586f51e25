//! What a set on disk says it consists of: its files and their digests. `make` and `batch` say it
//! in their report, which seals itself with a digest of its own; an order in its `SHA256SUMS`,
//! which the order sheet seals. Only a list whose seal holds is believed.

use std::fs;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::swap::is_still;
use crate::output::file_report;
use crate::output::order::order_seal_holds;
use crate::output::report::seal_holds;

/// Which command a set is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum SetKind {
    Made,
    Ordered,
    Batch,
}

impl SetKind {
    /// Every kind.
    pub(crate) const ALL: [Self; 3] = [Self::Made, Self::Ordered, Self::Batch];

    /// What it is called.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Made => "a set of `make`",
            Self::Ordered => "a set of `order`",
            Self::Batch => "the tables of a `batch`",
        }
    }

    /// The file that lists the others.
    pub(crate) fn list_name(self) -> &'static str {
        match self {
            Self::Made => "report.json",
            Self::Ordered => "SHA256SUMS",
            Self::Batch => "summary.json",
        }
    }
}

/// A file that a set lists.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Listed {
    pub name: String,
    /// In hex.
    pub sha256: String,
}

impl Listed {
    pub(super) fn of(name: &str, bytes: &[u8]) -> Self {
        Self { name: name.to_string(), sha256: file_report(name, bytes).sha256 }
    }
}

/// What a set says it consists of, the list itself among its files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct SetList {
    pub kind: SetKind,
    /// The fingerprints of its jobs.
    pub revisions: Vec<String>,
    pub files: Vec<Listed>,
}

/// A list of this program that was changed, or never sealed: nothing that it says is believed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Broken {
    pub kind: SetKind,
    /// The file that is not as it was written.
    pub name: &'static str,
}

/// What a directory's list is.
type Read = Result<SetList, Broken>;

/// The largest list that is read.
const LARGEST: u64 = 1 << 28;

/// The lists in a directory, of any kind; what is no list of this program is passed over.
pub(super) fn lists(dir: &Path) -> (Vec<SetList>, Vec<Broken>) {
    let (mut whole, mut broken) = (Vec::new(), Vec::new());
    for read in SetKind::ALL.into_iter().filter_map(|kind| list_of(dir, kind)) {
        match read {
            Ok(list) => whole.push(list),
            Err(list) => broken.push(list),
        }
    }
    (whole, broken)
}

fn list_of(dir: &Path, kind: SetKind) -> Option<Read> {
    let text = text_of(&dir.join(kind.list_name()))?;
    let list = match kind {
        SetKind::Made => {
            reported(&text, kind, &["seatcut.report/", "seatcut.set/", "seatcut.square/"])
        }
        SetKind::Batch => reported(&text, kind, &["seatcut.batch/"]),
        SetKind::Ordered => ordered(&text, &text_of(&dir.join(ORDER))?),
    }?;
    let is_plain = |list: &SetList| list.files.iter().all(|file| is_within(&file.name));
    match list {
        Ok(list) if !is_plain(&list) => None,
        list => Some(list),
    }
}

/// The list of a set that stands in a directory whole: its seal holds, and every file that it names
/// is there as it was written.
pub(in crate::cli) fn standing_list(dir: &Path, kind: SetKind) -> Option<String> {
    let list = list_of(dir, kind)?.ok()?;
    let whole = list.files.iter().all(|file| is_still(dir, file));
    text_of(&dir.join(kind.list_name())).filter(|_| whole)
}

fn text_of(path: &Path) -> Option<String> {
    let about = path.symlink_metadata().ok()?;
    if !about.is_file() || about.len() > LARGEST {
        return None;
    }
    fs::read_to_string(path).ok()
}

/// A name that stays in the set's directory: a file's, or a folder's and a file's in it.
fn is_within(name: &str) -> bool {
    let is_plain =
        |part: &str| !part.is_empty() && !part.starts_with('.') && !part.contains(['\\', '\0']);
    match name.split_once('/') {
        Some((folder, file)) => is_plain(folder) && is_plain(file) && !file.contains('/'),
        None => is_plain(name),
    }
}

/// The list that a report is.
fn reported(text: &str, kind: SetKind, schemas: &[&str]) -> Option<Read> {
    let report: serde_json::Value = serde_json::from_str(text).ok()?;
    let schema = report["schema"].as_str()?;
    if !schemas.iter().any(|of| schema.starts_with(of)) {
        return None;
    }
    if !seal_holds(text) {
        return Some(Err(Broken { kind, name: kind.list_name() }));
    }
    let mut files: Vec<Listed> = match report.get("files") {
        Some(files) => serde_json::from_value(files.clone()).ok()?,
        None => Vec::new(),
    };
    files.push(Listed::of(kind.list_name(), text.as_bytes()));
    let fingerprint =
        |report: &serde_json::Value| report["job"]["fingerprint"].as_str().map(str::to_string);
    let jobs = report["jobs"].as_array().map(Vec::as_slice).unwrap_or_default();
    let revisions = match kind {
        SetKind::Batch => Vec::new(),
        _ => fingerprint(&report).into_iter().chain(jobs.iter().filter_map(fingerprint)).collect(),
    };
    Some(Ok(SetList { kind, revisions, files }))
}

/// The file of an order that says which revision it is, and seals the digests.
const ORDER: &str = "order.txt";

/// The list of an order: digests in the form of `sha256sum`, beside an order of this program that
/// seals them.
fn ordered(sums: &str, order: &str) -> Option<Read> {
    let kind = SetKind::Ordered;
    let (revision, tool) = order.lines().nth(1)?.strip_prefix("revision ")?.split_once(", ")?;
    if !tool.starts_with("seatcut ") {
        return None;
    }
    let line = |line: &str| {
        let (sha256, name) = line.split_once("  ")?;
        Some(Listed { name: name.to_string(), sha256: sha256.to_string() })
    };
    let mut files: Vec<Listed> = sums.lines().map(line).collect::<Option<_>>()?;
    let sheet = Listed::of(ORDER, order.as_bytes());
    if files.iter().any(|file| file.name == ORDER && *file != sheet) {
        return Some(Err(Broken { kind, name: ORDER }));
    }
    let others = sums.lines().filter(|said| line(said).is_none_or(|file| file.name != ORDER));
    let others: String = others.map(|line| format!("{line}\n")).collect();
    if !files.contains(&sheet) || !order_seal_holds(order, &others) {
        return Some(Err(Broken { kind, name: kind.list_name() }));
    }
    files.push(Listed::of(kind.list_name(), sums.as_bytes()));
    Some(Ok(SetList { kind, revisions: vec![revision.to_string()], files }))
}

#[cfg(test)]
mod tests {
    use super::is_within;

    #[test]
    fn a_listed_name_is_of_the_directory_or_of_a_folder_in_it_and_of_nothing_else() {
        for name in ["report.json", "garden-steps/nominal.dxf", "a/b"] {
            assert!(is_within(name), "{name}");
        }
        for name in [
            "", "/", "a/", "/a", "a//b", "../a", "a/..", "a/../b", "a/b/c", ".a", "a/.b", "a\\b",
            "a/b\\c",
        ] {
            assert!(!is_within(name), "{name}");
        }
    }
}
