//! Whether all that a planned program cuts hangs on what holds the stock: the last look before it
//! is handed on.
//!
//! A cut only takes wood away, so that with the same hold the end is the worst moment, and what
//! hangs then did so all along. Clamps stand on the table: after a shift they hold other wood, so
//! that the end of every set-up is looked at, with all that was cut until then. It is asked of
//! cutters only: they push, and throw what comes loose. A beam does not, and what it frees lies on
//! the bed by its own weight.

use super::program::Step;
use crate::check::StockBox;
use crate::diagnostics::codes::{self, NotTied, OffcutBy, On, ToHold};
use crate::diagnostics::{Figure, Finding, Numbered, PRACTICE, Place};
use crate::geometry::hanging::{Anchor, Cutting, Hanging, Loose, Piece};
use crate::geometry::tolerance::{COIN_MM2, LEAST_WEB_MM};
use crate::geometry::{Bounds, Point, Segment, Vector};
use crate::profile::{Form, TabSizes};
use crate::units::Length;

/// The planner asks for this much wider webs than the proof does, in mm: the file's numbers are
/// rounded.
pub(super) const MORE_WEB_MM: f64 = 0.2;
/// A stretch of waste that is only just as wide as a web is none at a wider one, and is looked at
/// by the proof all the same: the planner looks at what is so much thinner as well, in mm.
const LESS_WEB_MM: f64 = 0.02;
/// The planner looks at waste down to this share of what the proof looks at: its area is an
/// estimate.
pub(super) const MORE_WASTE: f64 = 0.9;
/// So much lower than the lowest tab a cut leaves nothing that holds, in mm: what its height is
/// printed to.
const BELOW_TAB_MM: f64 = 0.005;

/// What is on the machine.
pub(super) struct Bench {
    pub stock: StockBox,
    pub form: Form,
    /// Where clamps stand on the table.
    pub clamps: Vec<Bounds>,
    /// Where the stock lies in each set-up: table = stock + set-up; one at least.
    pub setups: Vec<Vector>,
    pub radius: Length,
    /// What each piece is called, and its outline in the stock frame.
    pub pieces: Vec<(String, Vec<Segment>)>,
    /// What to type where something comes loose.
    pub remedy: ToHold,
}

impl Bench {
    /// A refusal for every piece and for all waste larger than a coin that the steps cut loose, in
    /// the first set-up that leaves something so. `before`: what another cutter cut first, and its
    /// radius.
    pub(super) fn refusals(
        &self,
        steps: &[Step],
        before: Option<(&[Step], Length)>,
    ) -> Vec<Finding> {
        let last = self.setups.len() - 1;
        // The rim, and a board's own edges, hold in every set-up what they hold in the last.
        let first = if self.clamps.is_empty() { last } else { 0 };
        let mut each = (first..=last)
            .map(|setup| self.refusals_at_end_of(setup, until_end_of(setup, steps), before));
        each.find(|refusals| !refusals.is_empty()).unwrap_or_default()
    }

    fn refusals_at_end_of(
        &self,
        setup: usize,
        steps: &[Step],
        before: Option<(&[Step], Length)>,
    ) -> Vec<Finding> {
        let thickness = self.stock.thickness.as_mm();
        let ways = through(steps, thickness);
        let first = before.map(|(steps, radius)| (through(steps, thickness), radius.as_mm()));
        let by = self.setups[setup];
        let clamps: Vec<Bounds> = self
            .clamps
            .iter()
            .map(|clamp| Bounds { min: clamp.min - by, max: clamp.max - by })
            .collect();
        let bodies: Vec<Vec<Segment>> = self.pieces.iter().map(|(_, ring)| ring.clone()).collect();
        let plate = Bounds {
            min: Point::origin(),
            max: Point::new(self.stock.length.as_mm(), self.stock.width.as_mm()),
        };
        let cutting = Cutting {
            plate,
            ways: &ways,
            radius: self.radius.as_mm(),
            before: first.as_ref().map(|(ways, radius)| (&ways[..], *radius)),
            bodies: &bodies,
            anchor: self.anchor(plate, &bodies, &clamps),
            web: LEAST_WEB_MM + MORE_WEB_MM,
            crumb: COIN_MM2 * MORE_WASTE,
        };
        let narrow = Cutting { web: LEAST_WEB_MM - LESS_WEB_MM, ..cutting };
        let mut looks = [cutting, narrow].into_iter().map(|look| match look.hanging() {
            Some(hanging) => self.told(&hanging, setup),
            None => {
                let loose =
                    codes::PieceLoose { why: NotTied::NotFollowed, remedy: ToHold::FewerPieces };
                vec![loose.at("program").source(PRACTICE)]
            }
        });
        looks.find(|refusals| !refusals.is_empty()).unwrap_or_default()
    }

    /// Clamps where there are some; a board whose own edges are the piece's is clamped on the
    /// piece.
    fn anchor<'a>(
        &self,
        plate: Bounds,
        bodies: &[Vec<Segment>],
        clamps: &'a [Bounds],
    ) -> Anchor<'a> {
        match (clamps, self.form) {
            ([], Form::Board) if bodies.iter().all(|ring| comes_to_edge(ring, plate)) => {
                Anchor::Bodies
            }
            ([], _) => Anchor::Edge,
            (clamps, _) => Anchor::Under(clamps),
        }
    }

    fn told(&self, hanging: &Hanging, setup: usize) -> Vec<Finding> {
        let on = match (&self.clamps[..], self.form) {
            ([_, ..], _) => On::Clamped,
            (_, Form::Board) => On::Board,
            (_, Form::Sheet) => On::Rim,
        };
        let free = self.pieces.iter().zip(&hanging.bodies).filter(|(_, hangs)| !**hangs).map(
            |((name, _), _)| {
                let why = NotTied::NoWood(Length::mm(LEAST_WEB_MM), on);
                codes::PieceLoose { why, remedy: self.remedy }.at(self.place(name.clone(), setup))
            },
        );
        let waste = hanging.loose.iter().map(|(piece, how)| {
            offcut(piece, *how, on, self.remedy).at(self.place(place(piece), setup))
        });
        free.chain(waste).collect()
    }

    fn place(&self, what: String, setup: usize) -> Place {
        match self.setups.len() {
            0 | 1 => what.into(),
            _ => Place::NthNamed(Numbered::SetUp, setup + 1, what),
        }
    }
}

fn offcut(piece: &Piece, how: Loose, on: On, remedy: ToHold) -> codes::OffcutLoose {
    let how = match how {
        Loose::Free => OffcutBy::AllRound,
        Loose::ByThinWood => OffcutBy::ThinWood,
    };
    let measured = Figure { value: piece.area / 100.0, unit: "cm2", digits: 0 };
    let (length, width) = (Length::mm(piece.bounds.width()), Length::mm(piece.bounds.height()));
    codes::OffcutLoose { measured, length, width, how, on, limit: Length::mm(LEAST_WEB_MM), remedy }
}

/// The steps up to the stop that ends a set-up; all of them for the last.
fn until_end_of(setup: usize, steps: &[Step]) -> &[Step] {
    let stops = steps.iter().enumerate().filter(|(_, step)| matches!(step, Step::Stop(_)));
    let end = stops.map(|(at, _)| at).nth(setup).unwrap_or(steps.len());
    &steps[..end]
}

/// Whether a ring comes to the edge of a plate, to within a millimetre.
pub(super) fn comes_to_edge(ring: &[Segment], plate: Bounds) -> bool {
    let Some(bounds) = ring.iter().map(Segment::bounds).reduce(Bounds::joined) else {
        return false;
    };
    let (low, high) = (bounds.min - plate.min, plate.max - bounds.max);
    low.x.min(low.y).min(high.x).min(high.y) < 1.0
}

fn place(piece: &Piece) -> String {
    let at = |mm: f64| Length::mm(mm).to_string();
    format!("offcut at X {} Y {}", at(piece.within.x), at(piece.within.y))
}

/// The ways of the tool's centre where it leaves nothing of a thickness in mm that holds.
pub(super) fn through(steps: &[Step], thickness: f64) -> Vec<Segment> {
    // What the proof takes for no wood at all either.
    let skin = TabSizes::least_wood_mm(thickness) - BELOW_TAB_MM;
    let (level, mut z) = (skin - thickness, 0.0);
    let mut ways = Vec::new();
    for step in steps {
        match step {
            Step::RapidZ(to) | Step::FeedZ(to) => z = *to,
            Step::Cut { segment, to_z, .. } => {
                let (from, to) = (z - level, to_z - level);
                let share = from / (from - to);
                match (from <= 0.0, to <= 0.0) {
                    (true, true) => ways.push(*segment),
                    (true, false) => ways.push(segment.piece(0.0, share)),
                    (false, true) => ways.push(segment.piece(share, 1.0)),
                    (false, false) => {}
                }
                z = *to_z;
            }
            _ => {}
        }
    }
    ways
}
