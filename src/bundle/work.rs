//! The files of several jobs that are cut together, or of an order: the list of its work, and a
//! label for every piece.

use super::documents::no_letter;
use super::{Artifact, names, stamp};
use crate::diagnostics::Error;
use crate::output::content::{RunOf, SheetFiles, work_list};
use crate::output::page::pdf;
use crate::output::{bench, labels};
use crate::pipeline::set::Set;

/// All of them.
///
/// # Errors
/// If a title has a character that a document cannot show.
pub(super) fn files(
    set: &Set,
    runs: &[RunOf<'_>],
    sheets: &[SheetFiles],
) -> Result<Vec<Artifact<'static>>, Error> {
    let stamp = stamp(set);
    let list = work_list(set, stamp.clone(), runs, sheets);
    let paper = bench::paper();
    let printed = bench::printed(&list, paper).map_err(no_letter)?;
    let labels_printed = pdf(&stamp, &labels::pages(set, paper)).map_err(no_letter)?;
    Ok(vec![
        Artifact::document(names::WORK_LIST_PAGE, bench::page(&list, &[])),
        Artifact::document(names::WORK_LIST_PRINT, printed),
        Artifact::document(names::LABELS_TABLE, labels::to_csv(set)),
        Artifact::document(names::LABELS_PRINT, labels_printed),
    ])
}
