//! Drawings of what a job has beside its stringer: skirts, treads and riser boards.

use crate::diagnostics::Error;
use crate::pipeline::proof;
use crate::pipeline::workup::Workup;
use crate::stair::outline::Skirt;
use crate::verify::Verdict;

/// A drawing as the skirt of a job that it is, by what that is called, if it is one.
pub(super) fn as_skirt(
    bytes: &[u8],
    name: &str,
    workup: &Workup,
) -> Result<Option<(String, Verdict)>, Error> {
    for of in &workup.beside.skirts {
        let expectation = proof::anybodys(&workup.job, of.skirt.outline());
        let verdict = proof::hold(bytes, name, &expectation)?;
        if verdict.is_this_part() {
            return Ok(Some((of.name(), verdict)));
        }
    }
    // An order of a job that asks for no skirts has one all the same.
    if workup.beside.skirts.is_empty()
        && let Ok(skirt) = Skirt::of(&workup.job, &workup.flight)
    {
        let verdict = proof::hold(bytes, name, &proof::anybodys(&workup.job, skirt.outline()))?;
        return Ok(verdict.is_this_part().then(|| (PLAIN_SKIRT.to_string(), verdict)));
    }
    Ok(None)
}

/// What the skirt of a job that asks for none is called.
const PLAIN_SKIRT: &str = "skirt";

/// A drawing as the tread or riser board of a job that it is, by what that is called, if it is one.
pub(super) fn as_step(
    bytes: &[u8],
    name: &str,
    workup: &Workup,
) -> Result<Option<(String, Verdict)>, Error> {
    for of in workup.beside.from_sheet.iter().filter(|of| of.what.is_some()) {
        let expectation = proof::anybodys_piece(&workup.job, &of.name, &of.contour);
        let verdict = proof::hold(bytes, name, &expectation)?;
        if verdict.is_this_part() {
            return Ok(Some((of.name.clone(), verdict)));
        }
    }
    Ok(None)
}
