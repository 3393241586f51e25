//! Stage 4: the limits of the rule set, and what the shape itself shows. Findings are always all
//! returned.

mod boards;
mod cleated;
mod ends;
mod fit;
mod head_notch;
mod housed;
mod landings;
mod limits;
mod looks;
mod opening;
mod sense;
mod shape;
mod steps;
mod thickness;
mod throat;
mod told;
mod waive;

pub use fit::{Lie, Room, StockBox, fit, trimmed_sheet};
pub use landings::whole_stair;
pub use limits::{breaches, holding, most_asked, spaced};
pub use opening::headroom_asked;
pub use sense::profile_sense;
pub use shape::{HeadContact, LEAST_AT_NOTCH_IN, copies, head_contact};
pub use throat::{behind_relief, throat};
pub use waive::apply_waivers;

use crate::diagnostics::Finding;
use crate::job::Job;
use crate::stair::Flight;
use crate::stair::outline::{Outline, OutlineProblem};

/// Everything that the flight and its outline give to say; waivers are not applied yet.
pub fn check(
    job: &Job,
    flight: &Flight,
    outline: Result<&Outline, &OutlineProblem>,
) -> Vec<Finding> {
    counted!("check of {} risers", flight.risers);
    let mut findings = job.reading.clone();
    findings.extend(shape::shape(job, flight, outline));
    findings.extend(boards::boards(job, flight));
    findings.extend(boards::called_sizes(job));
    findings.extend(boards::thin(job));
    findings.extend(thickness::thickness(job));
    findings.extend(housed::housed(job));
    findings.extend(cleated::cleated(job, flight, outline.ok()));
    findings.extend(limits::limits(job, flight));
    findings.extend(landings::would_do(job, flight, &findings));
    findings.extend(opening::opening(job, flight));
    findings.extend(steps::steps(job, flight));
    findings.extend(looks::looks(job, flight));
    findings
}
