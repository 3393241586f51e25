//! How the head of a stringer can meet the framing, one beside the other in figures.

use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::job::{Job, Joint, Meets};
use crate::site::beam::{HeadEnd, HeadHeld};
use crate::stair::outline::SeatLine;
use crate::stair::{Flight, HeadFace};
use crate::units::Length;

/// One joint in figures; elevation frame of the flight.
///
/// With top tread cut `y_m`, framing top F, and `y_low` the lower edge at the joint's own plumb cut
/// X (the rim's face less a hanger board; y1 + r X / g - W L / g, not below the seat), the plumb
/// cut reaches from `y_low` to `y_m` and the contact is what it shares with the framing's face: the
/// rim from F down by its depth; the hanger board likewise; the dropped header from F - below down
/// by its depth; the rim above a let-in ledger of height h from `y_low` + h; the header's face
/// below its top where the head lies over it. Formulas: common practice, no source; the first is
/// the project's own contact height.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadJoint {
    /// How the head meets the framing.
    pub kind: Joint,
    /// Height of plumb contact; `None` where the depth of the rim is not known.
    pub contact: Option<Length>,
    /// Level length that rests on something: the ledger's width, the bearing over the framing, or
    /// nothing.
    pub bearing: Length,
    /// What the stringer is shorter by than one against the rim, whatever spacer the job has;
    /// longer where negative.
    pub run_lost: Length,
    /// What the plumb cut is shorter by.
    pub height_lost: Length,
    /// Wood left above the notch; the whole plumb cut where there is none.
    pub wood_above: Length,
    /// From the top of the plumb cut down to the lowest point that is held: the notch, or the end
    /// of the contact; `None` where that is not known or nothing is held.
    pub held: Option<Length>,
    /// What the stringer stands on.
    pub(super) seat: SeatLine,
    /// The plumb cut: its foot and its top.
    pub(super) plumb: (f64, f64),
    /// Where it stands.
    pub(super) head_x: f64,
    /// The middle of the contact, up and down; of the plumb cut where there is none.
    pub(super) contact_y: f64,
}

impl HeadJoint {
    /// The joint of a flight.
    ///
    /// # Errors
    /// Where a length of the joint is less than nothing, or a thickness, depth or bearing is
    /// nothing.
    pub fn new(job: &Job, flight: &Flight, kind: Joint) -> Result<Self, Error> {
        checked(kind)?;
        let head_x = flight.head_cut_x + job.head.spacer - kind.gap();
        let seat = SeatLine::of(job);
        let (low, top) = (lower_end_y(flight, seat, head_x), flight.tread_cut_y(flight.treads));
        let framing = flight.framing_top_y();
        let plumb = top - low;
        let meets_from = |low| HeadFace::of(flight, kind).and_then(|face| face.shared(low, top));
        let shared = |low| meets_from(low).map(|[from, to]| to - from);
        let none = Length::ZERO;
        let (contact, bearing, run_lost, height_lost) = match kind {
            Joint::AgainstRim => (shared(low), none, none, none),
            Joint::HangerBoard { thickness, .. } => (shared(low), none, thickness, none),
            Joint::LedgerNotch { width, height } => {
                (shared(low + height), width, none, height.min(plumb))
            }
            Joint::DroppedHeader { .. } => (shared(low), none, none, none),
            Joint::TopOver { below, bearing } => {
                let header = framing - below;
                let left = (top - header).max(none);
                (
                    Some((header - low).max(none).min(plumb)),
                    bearing,
                    -bearing,
                    plumb - left.min(plumb),
                )
            }
        };
        let wood_above = plumb - height_lost;
        // The contact reaches down to the plumb cut's own foot or to the lower end of what it
        // meets.
        let held = match kind {
            Joint::LedgerNotch { .. } | Joint::TopOver { .. } => Some(wood_above),
            _ => meets_from(low).map(|[from, _]| top - from),
        };
        let meets = bearing > none || contact.is_some_and(|contact| contact > none);
        let held = held.filter(|held| meets && *held > none);
        let ends = match kind {
            Joint::TopOver { .. } => contact.map(|contact| [low, low + contact]),
            Joint::LedgerNotch { height, .. } => meets_from(low + height),
            _ => meets_from(low),
        };
        let [from, to] = ends.unwrap_or([low, top]);
        let contact_y = (from + to).as_mm() / 2.0;
        let plumb = (low.as_mm(), top.as_mm());
        let head_x = head_x.as_mm();
        Ok(Self {
            kind,
            contact,
            bearing,
            run_lost,
            height_lost,
            wood_above,
            held,
            seat,
            plumb,
            head_x,
            contact_y,
        })
    }

    /// What of the plumb cut carries; `None` where it is not known what holds it.
    pub fn end(&self) -> Option<HeadEnd> {
        let how = match self.kind {
            Joint::LedgerNotch { .. } | Joint::TopOver { .. } => HeadHeld::Notch,
            Joint::AgainstRim | Joint::HangerBoard { .. } | Joint::DroppedHeader { .. } => {
                HeadHeld::Fastened
            }
        };
        let depth = self.wood_above + self.height_lost;
        self.held.map(|held| HeadEnd { depth, held: held.min(depth), how })
    }

    /// What is worth saying about the joint.
    pub fn findings(&self) -> Vec<Finding> {
        let joint = self.kind.words();
        let mut findings = Vec::new();
        if self.contact.is_some_and(|contact| contact <= Length::ZERO)
            && self.bearing <= Length::ZERO
        {
            findings.push(codes::HeadNoContact { joint }.at("head"));
        }
        if self.wood_above <= Length::ZERO {
            findings.push(codes::HeadNoWood { joint }.at("head"));
        }
        findings
    }
}

/// What a flush top tread asks for at the handrail, where the head of the job is flush.
pub fn flush_caution(job: &Job) -> Option<Finding> {
    (job.head.meets == Meets::Flush).then(|| codes::FlushHandrail {}.at("head"))
}

/// Height of the lowest wood at x: the lower edge, not below the seat.
pub(super) fn lower_end_y(flight: &Flight, seat: SeatLine, x: Length) -> Length {
    flight.lower_edge_y(x).max(Length::mm(seat.at(x.as_mm())))
}

fn checked(kind: Joint) -> Result<(), Error> {
    let (more_than_nothing, below) = match kind {
        Joint::AgainstRim => return Ok(()),
        Joint::HangerBoard { thickness, depth } => ([thickness, depth], Length::ZERO),
        Joint::LedgerNotch { width, height } => ([width, height], Length::ZERO),
        Joint::DroppedHeader { below, depth } => ([depth, depth], below),
        Joint::TopOver { below, bearing } => ([bearing, bearing], below),
    };
    match more_than_nothing.into_iter().find(|length| *length <= Length::ZERO) {
        None if below >= Length::ZERO => Ok(()),
        bad => Err(Error::new(
            ErrorKind::Input,
            format!("a length of the head joint means nothing: {kind}"),
        )
        .found(bad.unwrap_or(below).to_string())
        .allowed("more than 0; how far a header lies below may be 0")
        .hint("measure the joint's sizes again")),
    }
}
