//! What the rule set asks for and the job cannot show: to be looked at on site.

use crate::diagnostics::{Finding, codes};
use crate::job::Job;
use crate::profile::{Limit, ON_THE_LIMIT, SiteMatter, Unchecked};
use crate::stair::Flight;
use crate::units::Length;

/// Everything that the rule set has to be looked at for, where this flight is one that it is asked
/// of.
pub(super) fn looks(job: &Job, flight: &Flight) -> Vec<Finding> {
    job.rules.unchecked.iter().filter_map(|item| look(item, job, flight)).collect()
}

fn look(item: &Unchecked, job: &Job, flight: &Flight) -> Option<Finding> {
    let rail = if job.rail.is_some() { codes::RailShown::Held } else { codes::RailShown::No };
    let found = match (item.about, asked(item, job, flight)) {
        (SiteMatter::Handrail, Asked::OfThis) => codes::HandrailWanted {
            risers: flight.risers.into(),
            rise: flight.total_rise,
            asks: item.limit.clone(),
            shown: rail,
        }
        .at(item.what()),
        (SiteMatter::Guards, Asked::OfThis) => {
            let rise = job.stands_over() + flight.total_rise;
            codes::GuardWanted { rise, asks: item.limit.clone(), shown: rail }.at(item.what())
        }
        // How far somebody falls beside the flight the job does not know.
        (SiteMatter::Guards, Asked::NotOfThis) | (_, Asked::Always | Asked::OfThis) => {
            let shown = match item.about {
                SiteMatter::Handrail | SiteMatter::Guards if job.rail.is_some() => {
                    codes::Shown::RailHeld
                }
                about if in_job(about, job) => codes::Shown::InJob,
                _ => codes::Shown::NotInJob,
            };
            codes::NotChecked { asks: item.limit.clone(), shown }.at(item.what())
        }
        (_, Asked::NotOfThis) => return None,
    };
    Some(found.source(item.source.as_str()))
}

/// Whether an item is asked of this flight.
enum Asked {
    /// Of every flight.
    Always,
    /// Of this one, by its risers or its rise.
    OfThis,
    /// Of longer or higher ones.
    NotOfThis,
}

fn asked(item: &Unchecked, job: &Job, flight: &Flight) -> Asked {
    let by_risers = item.from_risers.map(|least| flight.risers >= least);
    let on = Length::mm(ON_THE_LIMIT);
    // Beside a flight above a landing somebody falls to the floor below it.
    let rise = match item.about {
        SiteMatter::Guards => job.stands_over() + flight.total_rise,
        _ => flight.total_rise,
    };
    let by_rise = item.above.map(|most| rise > most + on);
    match (by_risers, by_rise) {
        (None, None) => Asked::Always,
        (risers, rise) if risers == Some(true) || rise == Some(true) => Asked::OfThis,
        _ => Asked::NotOfThis,
    }
}

/// A limit whose figure the job does not say.
pub(super) fn limit(limit: &Limit, shown: codes::Shown) -> Finding {
    codes::NotChecked { asks: limit.asks(), shown }
        .at(limit.measure.words())
        .source(limit.source.as_str())
}

/// A limit that reaches over all flights of a stair, of which the job is one.
pub(super) fn other_flights(limit: &Limit) -> Finding {
    let asks = format!("{} over all flights together: {}", limit.measure.words(), limit.asks());
    codes::NotChecked { asks, shown: codes::Shown::NotInJob }
        .at(SiteMatter::OtherFlights.words())
        .source(limit.source.as_str())
}

/// Whether the job says something of a matter that is looked at on site.
fn in_job(matter: SiteMatter, job: &Job) -> bool {
    let stair = job.around.stair;
    match matter {
        SiteMatter::ClearWidth => stair.is_some(),
        SiteMatter::Headroom => {
            job.opening.is_some() || stair.is_some_and(|stair| stair.headroom.is_some())
        }
        SiteMatter::StringerSpacing => stair.is_some_and(|stair| stair.most_spacing.is_some()),
        SiteMatter::LandingSlope => job.around.ground.is_some(),
        SiteMatter::LiveLoad => job.around.load.is_some(),
        SiteMatter::Handrail
        | SiteMatter::Guards
        | SiteMatter::Landing
        | SiteMatter::Lighting
        | SiteMatter::TreadSurface
        | SiteMatter::NosingShape
        | SiteMatter::OtherFlights
        | SiteMatter::Use
        | SiteMatter::Other => false,
    }
}
