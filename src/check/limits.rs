//! The rule set's limits held against the flight.

use super::looks;
use super::throat::throat;
use super::told::broken;
use crate::diagnostics::{Finding, Severity, codes};
use crate::job::{Job, Meets, Middle};
use crate::profile::{Breach, Held, Limit, Measure, ON_THE_LIMIT, Risers, SawnTo, Scope};
use crate::stair::{Flight, Headroom, RailLine, between_stringers, largest_step, spread};
use crate::units::Length;

/// The figure that a limit is about, in mm, degrees, a count or a slope.
pub(super) enum Known {
    /// The job gives it.
    Figure(f64),
    /// No more than this, and how much less the job does not say.
    UpTo(f64),
    /// The stair has no such thing.
    Nothing,
    /// The job does not say.
    Unknown,
}

/// Every breach of a limit, in the order of the rule set, and each limit that the job says too
/// little for. What depends on where the stringers stand is told by [`spaced`].
pub(super) fn limits(job: &Job, flight: &Flight) -> Vec<Finding> {
    let alone = job.rules.limits.iter().filter(|limit| !needs_spacing(limit));
    alone.flat_map(|limit| held(limit, job, flight, None)).collect()
}

/// The same for the limits that depend on where the stringers stand.
pub fn spaced(job: &Job, flight: &Flight, spacing: Option<Length>) -> Vec<Finding> {
    let beside = job.rules.limits.iter().filter(|limit| needs_spacing(limit));
    beside.flat_map(|limit| held(limit, job, flight, spacing)).collect()
}

/// The breaches of the limits on one measure by a figure that is not the flight's own: of a
/// stringer that moved, of a tread that was trimmed.
pub fn breaches(job: &Job, flight: &Flight, measure: Measure, figure: f64) -> Vec<Finding> {
    holding(job, flight, measure).filter_map(|limit| broken(limit, figure)).collect()
}

/// The most that the limits on one measure ask this flight to keep, mere advice left out, and the
/// limit that asks it.
pub fn most_asked<'a>(
    job: &'a Job,
    flight: &'a Flight,
    measure: Measure,
) -> Option<(f64, &'a Limit)> {
    let binding = holding(job, flight, measure).filter(|limit| limit.severity > Severity::Advice);
    let least = binding.filter_map(|limit| limit.at_least.map(|least| (least, limit)));
    least.max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The limits on one measure that hold for this flight, as far as the job says.
pub fn holding<'a>(
    job: &'a Job,
    flight: &'a Flight,
    measure: Measure,
) -> impl Iterator<Item = &'a Limit> {
    let limits = job.rules.limits_on(measure);
    limits.filter(move |limit| applies(limit, job, flight, None) != Some(false))
}

fn needs_spacing(limit: &Limit) -> bool {
    limit.measure == Measure::StringerSpacing || limit.when.spacing_over.is_some()
}

fn held(limit: &Limit, job: &Job, flight: &Flight, spacing: Option<Length>) -> Vec<Finding> {
    let upper_floor = at_upper_floor(limit, job, flight);
    let other_flights = (limit.over == Scope::Stairway).then(|| looks::other_flights(limit));
    let own = match (applies(limit, job, flight, spacing), figure(limit, job, flight, spacing)) {
        (Some(false), _) | (_, Known::Nothing) => None,
        (Some(true), Known::Figure(figure)) => broken(limit, figure),
        (Some(true), Known::UpTo(most)) => match limit.breach(most) {
            Some(Breach::Below(_)) => broken(limit, most),
            _ => Some(looks::limit(limit, codes::Shown::OverStringers)),
        },
        // What does not break it anyhow need not be looked at.
        (None, Known::Figure(figure)) if limit.breach(figure).is_none() => None,
        _ => Some(looks::limit(limit, codes::Shown::NotInJob)),
    };
    own.into_iter().chain(upper_floor).chain(other_flights).collect()
}

/// The upper floor's own edge over the top tread, where it reaches further or less far than the
/// treads do.
fn at_upper_floor(limit: &Limit, job: &Job, flight: &Flight) -> Option<Finding> {
    let of_edges = match limit.measure {
        Measure::Nosing => true,
        Measure::Overlap => job.tread.risers() == Risers::Open,
        _ => false,
    };
    let edge = job.head.overhang.filter(|_| job.head.meets == Meets::OneDown)?;
    let differs = !edge.is_within(Length::mm(ON_THE_LIMIT), job.tread.overhang);
    let asked = of_edges && differs && applies(limit, job, flight, None) == Some(true);
    let mut found = broken(limit, edge.as_mm()).filter(|_| asked)?;
    found.place = "upper floor".into();
    Some(found)
}

/// Whether a limit holds for this flight; `None` where the job does not say.
fn applies(limit: &Limit, job: &Job, flight: &Flight, spacing: Option<Length>) -> Option<bool> {
    let (when, on) = (&limit.when, Length::mm(ON_THE_LIMIT));
    let certain = when.run_below.is_none_or(|run| flight.unit_run < run - on)
        && when.higher_than.is_none_or(|height| reach(limit, job, flight) > height + on)
        && when.risers.is_none_or(|risers| risers == job.tread.risers())
        && when.held.is_none_or(|held| held == held_of(job))
        && when.from_risers.is_none_or(|least| flight.risers >= least)
        && when.stringers.is_none_or(|sawn| (sawn == SawnTo::Cut) == job.stringer.has_steps());
    match (certain, when.spacing_over, spacing) {
        (false, ..) => Some(false),
        (true, Some(over), Some(spacing)) => Some(spacing > over + on),
        (true, Some(_), None) => None,
        (true, None, _) => Some(true),
    }
}

fn held_of(job: &Job) -> Held {
    job.around.stair.map(|stair| stair.held).unwrap_or_default()
}

/// How high the thing that a limit is about reaches, over the lowest surface that the job knows:
/// the highest gap between treads, by its upper end, or the highest tread. The gap over a top tread
/// below the floor is closed by the framing at the head.
fn reach(limit: &Limit, job: &Job, flight: &Flight) -> Length {
    let highest_tread = flight.unit_rise * flight.treads as f64;
    // Ground that rises away from the head lies lower under the head than at the foot.
    let below = job.around.ground.as_ref().map_or(0.0, |ground| (-ground.fall).max(0.0));
    let over_foot = match limit.measure {
        Measure::OpenGap => highest_tread - flight.tread_thickness,
        _ => highest_tread,
    };
    job.stands_over() + over_foot + flight.total_run() * below
}

fn figure(limit: &Limit, job: &Job, flight: &Flight, spacing: Option<Length>) -> Known {
    let mm = |length: Length| Known::Figure(length.as_mm());
    let open = job.tread.risers() == Risers::Open;
    match limit.measure {
        Measure::UnitRise => mm(flight.unit_rise),
        Measure::UnitRun => mm(flight.unit_run),
        Measure::RiserSpread => mm(spread(&flight.finished_risers())),
        Measure::RunSpread => mm(spread(&flight.finished_runs)),
        Measure::RiserStep => mm(largest_step(&flight.finished_risers())),
        Measure::RunStep => mm(largest_step(&flight.finished_runs)),
        Measure::Nosing => mm(job.tread.overhang),
        Measure::TreadOverRun => mm(job.tread.finish() - job.tread.cut),
        Measure::Overlap if open => mm(job.tread.overhang),
        Measure::OpenGap if open => mm(flight.unit_rise - flight.tread_thickness),
        Measure::Overlap | Measure::OpenGap => Known::Nothing,
        Measure::TreadThickness => mm(flight.tread_thickness),
        // The tread cuts are level; what moisture makes of them is told with it.
        Measure::TreadSlope => Known::Figure(0.0),
        Measure::FlightRise => mm(flight.total_rise),
        Measure::Pitch => Known::Figure(flight.pitch_rad().to_degrees()),
        Measure::StepSum => mm(flight.unit_rise * 2.0 + flight.unit_run),
        Measure::RiseRunSum => mm(flight.unit_rise + flight.unit_run),
        Measure::RiserCount => Known::Figure(flight.risers as f64),
        Measure::Throat => throat(job, flight).map_or(Known::Nothing, mm),
        Measure::BoardDepth => mm(job.board.width),
        Measure::BoardThickness => mm(job.board.thickness),
        Measure::StringerSpan => span(job, flight).map_or(Known::Nothing, mm),
        Measure::StringerSpacing => spacing.map_or(Known::Unknown, mm),
        Measure::ClearWidth => clear_width(job),
        Measure::LandingSlope => {
            let ground = job.around.ground.as_ref();
            ground.map_or(Known::Unknown, |ground| Known::Figure(ground.fall.abs()))
        }
        Measure::Headroom => {
            let measured = job.around.stair.and_then(|stair| stair.headroom);
            // A ceiling lower than the nosings leaves none.
            let solved = Headroom::of(job, flight).map(|room| room.clear.max(Length::ZERO));
            let least = measured.into_iter().chain(solved).reduce(least);
            least.map_or(Known::Unknown, mm)
        }
        Measure::RailHeight => job.rail.map_or(Known::Nothing, |rail| mm(rail.height)),
        Measure::BalusterOpening => opening(job, flight),
    }
}

/// The widest opening between balusters; what fills a rail without any the job does not say.
fn opening(job: &Job, flight: &Flight) -> Known {
    let Some(line) = RailLine::of(job, flight) else { return Known::Nothing };
    let widest = line.bays.iter().map(|bay| bay.gap).reduce(Length::max);
    match widest {
        None => Known::Nothing,
        Some(_) if job.rail.is_none_or(|rail| rail.baluster.is_none()) => Known::Unknown,
        Some(widest) => Known::Figure(widest.as_mm()),
    }
}

fn least(a: Length, b: Length) -> Length {
    if a < b { a } else { b }
}

/// Horizontal length between supports; none where the stringer is held along its length.
fn span(job: &Job, flight: &Flight) -> Option<Length> {
    if held_of(job) == Held::Along {
        return None;
    }
    let load = job.around.load.as_ref();
    let whole = load.and_then(|load| load.clear_span).unwrap_or(flight.total_run());
    Some(load.map_or(Middle::Free, |load| load.middle).bay(whole))
}

/// The clear width as measured; else what is left of the width over the outer stringers between two
/// solid ones, which skirts, walls and handrails may take from.
fn clear_width(job: &Job) -> Known {
    let Some(stair) = job.around.stair else { return Known::Unknown };
    let between = between_stringers(job).unwrap_or(stair.width);
    match stair.clear_width {
        Some(clear) => Known::Figure(clear.as_mm()),
        None => Known::UpTo(between.as_mm()),
    }
}
