//! The clear height under the floor that the flight goes up through.

use super::section::{Figure, Section, Table, Topic};
use crate::check::headroom_asked;
use crate::pipeline::workup::Workup;
use crate::stair::Headroom;
use crate::units::Length;

/// The section of a job that says where the opening is.
pub(super) fn opening(workup: &Workup) -> Option<Section> {
    let (job, flight) = (&workup.job, &workup.flight);
    let (headroom, opening) = (Headroom::of(job, flight)?, job.opening?);
    let asked = headroom_asked(job, flight);
    let clear = Figure::new("least clear height", headroom.clear).note(match asked {
        Some(asked) => format!("the rule set asks for {asked}"),
        None => "the rule set has no figure: look at your local code".to_string(),
    });
    let mut rows = vec![
        clear,
        Figure::new("it is measured at", headroom.at)
            .note("level, behind the face of the first riser; less than 0: before it"),
        Figure::new("nosing line there", headroom.under)
            .note("over the finished lower surface; 0: the lower floor itself"),
        Figure::new("ceiling", headroom.ceiling).note("over the finished lower surface"),
        Figure::new("length of the opening", opening.length).note("level, along the flight"),
    ];
    let least = asked.and_then(|asked| headroom.least_length(asked));
    rows.extend(least.map(|least| {
        let more = least - opening.length;
        Figure::new("shortest opening that would do", least).note(if more > Length::ZERO {
            format!("{more} more than there is")
        } else {
            "there is more".to_string()
        })
    }));
    let notes = vec![
        "Plumb, from the line through the nosings up to the ceiling, finished to finished. Trim \
        and lights take from it."
            .to_string(),
    ];
    let tables = vec![Table::figures("Under the edge of the floor above", rows)];
    Some(Section { topic: Topic::Headroom, notes, tables })
}
