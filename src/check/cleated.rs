//! What is asked of a cleated stringer beside the limits of the rule set: whether every cleat finds
//! room under its tread and on its board, and every hole enough round it.

use crate::diagnostics::codes::{self, CleatEnd, CleatedWithout};
use crate::diagnostics::{Finding, Numbered, Place};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Contour, Point, cross, distance_to_segment};
use crate::job::{CleatHoles, CleatOf, Cleated, Job, Joint, Long, Seat};
use crate::stair::outline::{Cleat, Outline, Role, depth_on_board, least_length};
use crate::stair::{Flight, bays, between_stringers};
use crate::units::Length;

/// A hole is wide enough for a tool to go round in if it is this much wider, in mm: a thirty-second
/// of an inch.
const WIDER_MM: f64 = 0.79;

/// Everything a cleated stringer gives to say; nothing for another.
pub(super) fn cleated(job: &Job, flight: &Flight, outline: Option<&Outline>) -> Vec<Finding> {
    let Some(cleated) = job.stringer.cleated() else { return Vec::new() };
    let mut findings = Vec::new();
    if !cleated.taken.is_empty() {
        findings.push(codes::CleatTaken { keys: cleated.taken.clone() }.at(cleated.with.names()));
    }
    findings.extend(asked(job).map(|(what, key)| codes::CleatedNot { what }.at(key)));
    findings.extend(sizes(cleated));
    findings.extend(too_small(job, cleated));
    let cleats = Cleat::all(job, flight, cleated);
    let of_each = cleats.iter().flat_map(|cleat| of_one(job, flight, (cleated, cleat), outline));
    findings.extend(once(of_each));
    findings.extend(middle(job));
    findings.push(fasteners(cleated));
    findings
}

/// Stringers between the outer two: treads end at both faces of each.
fn middle(job: &Job) -> Option<Finding> {
    let bays = bays(job);
    let wide = between_stringers(job).map_or(String::new(), |wide| format!(", each {wide} wide"));
    let found =
        || codes::CleatMiddle { count: (bays + 1).into(), bays: bays.into(), wide }.at("stringers");
    (bays > 1).then(found)
}

/// Cleats are alike: what is said of several in the same words is said of the lowest.
fn once(found: impl Iterator<Item = Finding>) -> Vec<Finding> {
    let mut all: Vec<Finding> = Vec::new();
    for finding in found {
        let is_said = |of: &Finding| of.code == finding.code && of.sentence() == finding.sentence();
        if !all.iter().any(is_said) {
            all.push(finding);
        }
    }
    all
}

/// What a job asks for that a cleated stringer has not, each with the key.
fn asked(job: &Job) -> impl Iterator<Item = (CleatedWithout, &'static str)> {
    let joint = matches!(job.around.joint, Some(Joint::LedgerNotch { .. } | Joint::TopOver { .. }));
    let follows = job.around.ground.as_ref().is_some_and(|ground| ground.seat == Seat::Follow);
    [
        (job.cut.sharing.layers > 1, CleatedWithout::Layers, "cut.layers"),
        (job.cut.long != Long::Refuse, CleatedWithout::Long, "cut.long"),
        (job.foot.plate_asked().is_some(), CleatedWithout::Plate, "foot.tie_plate"),
        (joint, CleatedWithout::Joint, "head.joint"),
        (follows, CleatedWithout::Ground, "ground.seat"),
        (job.around.moisture.is_some(), CleatedWithout::Moisture, "moisture"),
    ]
    .into_iter()
    .filter_map(|(is_asked, what, key)| is_asked.then_some((what, key)))
}

/// What of the cleat itself does not go together.
fn sizes(cleated: &Cleated) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let CleatOf::Angle { thickness, leg } = cleated.with {
        let limit = leg.min(cleated.height);
        if thickness >= limit {
            findings.push(codes::CleatLeg { measured: thickness, limit }.at("cleat.thickness"));
        }
    }
    let (measured, limit) = (cleated.height - cleated.with.leg_above(), cleated.edge * 2.0);
    if cleated.holes != CleatHoles::None && measured < limit - Length::mm(COINCIDENT_MM) {
        findings.push(codes::CleatLow { measured, limit }.at("cleat.height"));
    }
    findings
}

/// Holes that the job's own tool cannot make.
fn too_small(job: &Job, cleated: &Cleated) -> Option<Finding> {
    let is_made = !job.by_hand && cleated.holes == CleatHoles::Drilled;
    let tool = job.cut.machine.tool_radius() * 2.0;
    let (measured, limit) = (cleated.hole, tool + Length::mm(WIDER_MM));
    let is_bored =
        job.cut.machine.tool.lifts() && (measured - tool).as_mm().abs() <= 2.0 * AS_WIDE_MM;
    (is_made && !is_bored && measured < limit)
        .then(|| codes::CleatHoleSmall { measured, limit, tool }.at("cleat.hole"))
}

/// A hole whose radius is this near to the tool's is as wide as the tool, in mm.
const AS_WIDE_MM: f64 = 0.005;

/// What one cleat gives to say.
fn of_one(
    job: &Job,
    flight: &Flight,
    (cleated, cleat): (&Cleated, &Cleat),
    outline: Option<&Outline>,
) -> Vec<Finding> {
    let place = || Place::Nth(Numbered::Cleat, cleat.number);
    let mut findings = under_tread(job, flight, cleated, cleat);
    let (measured, limit) = (cleat.length(), least_length(cleated));
    if cleated.holes != CleatHoles::None && measured < limit - Length::mm(COINCIDENT_MM) {
        findings.push(codes::CleatShort { measured, limit }.at(place()));
    }
    if let Some((outline, own)) =
        outline.and_then(|outline| Some((outline, outline.cleats().get(cleat.number - 1)?)))
    {
        let board = outline.contour();
        findings.extend(off(job, board, own).map(|found| found.at_place(place())));
        findings.extend(at_edge(cleated, board, own).map(|found| found.at(place())));
        findings.extend(tread_past(job, flight, outline, own).map(|found| found.at(place())));
    }
    findings
}

/// Whether a cleat keeps within the tread over it and off what is below it.
fn under_tread(job: &Job, flight: &Flight, cleated: &Cleated, cleat: &Cleat) -> Vec<Finding> {
    let place = || Place::Nth(Numbered::Cleat, cleat.number);
    let on = Length::mm(COINCIDENT_MM);
    let (k, height) = (cleat.number, cleated.height);
    let mut findings = Vec::new();
    let room =
        if k == 1 { flight.first_riser_cut() } else { flight.unit_rise - flight.tread_thickness };
    if height > room + on {
        findings.push(codes::CleatTall { measured: height, limit: room }.at(place()));
    }
    // The one below reaches back under this one where both are longer than the run.
    let lies_over = k > 1 && cleat.length() > flight.unit_run + on;
    if lies_over && height > flight.unit_rise + on {
        let limit = flight.unit_rise;
        findings.push(codes::CleatsMeet { measured: height, limit }.at(place()));
    }
    let deep = depth_on_board(k, job, flight);
    let reaches = cleated.set_back + cleat.length();
    if cleat.length() <= on {
        let measured = cleated.set_back;
        findings.push(codes::CleatNoLength { measured, limit: deep }.at(place()));
    } else if reaches > deep + on {
        findings.push(codes::CleatLong { measured: reaches, limit: deep }.at(place()));
    }
    let riser = job.tread.overhang + job.tread.riser_board;
    if job.tread.riser_board > Length::ZERO && cleated.set_back < riser - on {
        let measured = cleated.set_back;
        findings.push(codes::CleatAtRiser { measured, limit: riser }.at(place()));
    }
    findings
}

/// How far a cleat reaches past an edge of the board.
enum Off {
    /// Past a cut or the upper edge.
    End(codes::CleatOff),
    /// Past the lower edge.
    Lower(codes::CleatNarrow),
}

impl Off {
    fn at_place(self, place: Place) -> Finding {
        match self {
            Self::End(off) => off.at(place),
            Self::Lower(narrow) => narrow.at(place),
        }
    }
}

/// Each edge that a cleat reaches past.
fn off(job: &Job, board: &Contour<Role>, cleat: &Cleat) -> impl Iterator<Item = Off> {
    let past = past_edges(board, &cleat.corners);
    past.into_iter().filter_map(move |(role, measured)| {
        let end = match role {
            Role::FootCut => CleatEnd::Foot,
            Role::SeatCut => CleatEnd::Seat,
            Role::HeadCut => CleatEnd::Head,
            Role::HeadLevel => CleatEnd::Level,
            Role::UpperEdge => CleatEnd::Upper,
            Role::LowerEdge => {
                let wider = job.board.width + measured;
                return Some(Off::Lower(codes::CleatNarrow { measured, wider }));
            }
            _ => return None,
        };
        Some(Off::End(codes::CleatOff { end, measured }))
    })
}

/// How far the farthest of some points lies past each edge of a board, which is convex: it lies to
/// the left of the line of every edge.
fn past_edges(board: &Contour<Role>, points: &[Point]) -> Vec<(Role, Length)> {
    let past = |edge: &crate::geometry::Edge<Role>| {
        let (from, along) = (edge.segment.from(), edge.segment.direction_at(0.0));
        let beyond = points.iter().map(|p| -cross(along, p - from)).fold(f64::MIN, f64::max);
        (beyond > COINCIDENT_MM).then(|| (edge.role, Length::mm(beyond)))
    };
    board.edges().iter().filter_map(past).collect()
}

/// The hole that is nearest to an edge of the board, where that is too near.
fn at_edge(
    cleated: &Cleated,
    board: &Contour<Role>,
    cleat: &Cleat,
) -> Option<codes::CleatHoleAtEdge> {
    let to_edge = |p: &Point| {
        let edges = board.edges().iter();
        let nearest = edges.map(|edge| distance_to_segment(*p, &edge.segment));
        let least = nearest.fold(f64::INFINITY, f64::min);
        if board.holds(*p) { least } else { -least }
    };
    let measured = Length::mm(cleat.holes.iter().map(to_edge).reduce(f64::min)?);
    let limit = cleated.edge;
    (measured < limit - Length::mm(COINCIDENT_MM))
        .then_some(codes::CleatHoleAtEdge { measured, limit })
}

/// Whether the back of the tread on a cleat is covered by the board; said of the first alone, for
/// all are alike.
fn tread_past(
    job: &Job,
    flight: &Flight,
    outline: &Outline,
    cleat: &Cleat,
) -> Option<codes::CleatTreadPast> {
    let deep = depth_on_board(cleat.number, job, flight);
    let [.., back, front] = cleat.corners;
    let along = (back - front).normalize();
    let to_front = job.stringer.cleated()?.set_back.as_mm();
    let end = front + along * (deep.as_mm() - to_front);
    let past = past_edges(outline.contour(), &[end]);
    let lower = past.into_iter().find(|(role, _)| *role == Role::LowerEdge)?;
    let measured = lower.1;
    (cleat.number == 1)
        .then(|| codes::CleatTreadPast { measured, wider: job.board.width + measured })
}

/// What holds a cleat is not worked out here.
fn fasteners(cleated: &Cleated) -> Finding {
    let name = cleated.with.names();
    let asks = format!(
        "that the fasteners of the {name}, their number and their size, carry what the treads bring"
    );
    codes::CleatFasteners { asks }.at(format!("fasteners of the {name}"))
}
