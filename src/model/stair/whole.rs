//! A stair of several flights with landings between them: one unit rise for all of it, the job of
//! each flight, where everything lies in plan.
//!
//! Plan frame: x in the direction of the first flight, y to its left, origin at the left end of the
//! face of the first riser, over the outer stringers.

use super::{Flight, Reason, chosen_count};
use crate::geometry::{Bounds, Point, Vector, left_of};
use crate::job::{FlightOf, Hand, Job, Landing, Meets, NextOn, RiserChoice, Turn};
use crate::units::Length;

/// Why a stair of several flights cannot be: its uppermost landing and the count of its risers do
/// not go together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LandingTooHigh {
    /// Risers below that landing.
    pub after: usize,
    /// All risers.
    pub risers: usize,
    /// The most risers that may lie below it; `None` where the stair is too low for any landing.
    pub most: Option<usize>,
}

/// A stair of several flights.
#[derive(Clone, Debug)]
pub struct WholeStair {
    /// The job as it was asked.
    pub job: Job,
    /// All risers.
    pub risers: usize,
    /// Why so many.
    pub reason: Reason,
    /// The whole rise over all risers: that of every flight.
    pub unit_rise: Length,
    /// Width over the outer stringers.
    pub width: Length,
    /// The flights, from the bottom up.
    pub flights: Vec<OneFlight>,
    /// The landings, from the bottom up.
    pub landings: Vec<LandingPlace>,
}

/// One flight of it.
#[derive(Clone, Debug)]
pub struct OneFlight {
    /// A job of its own.
    pub job: Job,
    /// Its risers.
    pub risers: usize,
    /// The finished surface at its foot over that of the whole stair.
    pub foot: Length,
    /// Level, from the face of its first riser to that of its last.
    pub going: Length,
    /// Where the face of its first riser lies along the way up, every landing taken as deep as it
    /// is.
    pub along: Length,
    /// Where it begins in plan, and which way it goes.
    pub plan: PlanFrame,
}

/// One landing of it.
#[derive(Clone, Debug)]
pub struct LandingPlace {
    /// The landing as asked.
    pub asked: Landing,
    /// Its finished surface over that at the stair's foot.
    pub height: Length,
    /// The top of its framing over the same.
    pub framing: Length,
    /// Across the flight that arrives.
    pub across: Length,
    /// From the face of the riser at its front edge back to where its framing begins.
    pub framing_back: Length,
    /// From the face of the next flight's first riser to its first riser cut, away from the
    /// landing: the framing goes on under the next flight by this and the seat.
    pub next_cut: Length,
    /// The face of its front edge along the way up.
    pub along: Length,
    /// Its walking surface in plan, in mm.
    pub plan: Bounds,
}

/// A place in plan and a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanFrame {
    /// The left end of the face of the first riser, in mm.
    pub left: Point,
    /// The way up, of length 1.
    pub ahead: Vector,
}

impl PlanFrame {
    /// The place so far ahead, and so far to the right.
    fn at(&self, ahead: Length, right: Length) -> Point {
        self.left + self.ahead * ahead.as_mm() - left_of(self.ahead) * right.as_mm()
    }

    /// The box from its front line on: so far ahead, and from one to another place to the right.
    fn span(&self, ahead: Length, (from, to): (Length, Length)) -> Bounds {
        let (a, b) = (self.at(Length::ZERO, from), self.at(ahead, to));
        Bounds {
            min: Point::new(a.x.min(b.x), a.y.min(b.y)),
            max: Point::new(a.x.max(b.x), a.y.max(b.y)),
        }
    }
}

impl OneFlight {
    /// Its treads in plan, from face to face and over the outer stringers, in mm.
    pub fn plan_box(&self, width: Length) -> Bounds {
        self.plan.span(self.going, (Length::ZERO, width))
    }
}

impl WholeStair {
    /// The stair of a job that has landings.
    ///
    /// # Errors
    /// Where the last flight has no tread.
    ///
    /// # Panics
    /// Where the job has no landings, or no width, which the job's reader asks for with them.
    pub fn of(job: &Job) -> Result<Self, LandingTooHigh> {
        let (risers, reason) = chosen_count(job);
        let width = job.around.stair.expect("a stair with landings has a width").width;
        below_the_floor(job, risers)?;
        let unit_rise = job.rise.total / risers as f64;
        let mut whole = Self {
            job: job.clone(),
            risers,
            reason,
            unit_rise,
            width,
            flights: Vec::new(),
            landings: Vec::new(),
        };
        let mut plan = PlanFrame { left: Point::origin(), ahead: Vector::x() };
        let (mut below, mut along) = (0, Length::ZERO);
        for landing in job.landings.iter().map(Some).chain([None]) {
            let after = landing.map_or(risers, |landing| landing.after);
            let number = whole.flights.len() + 1;
            let flight = whole.flight(number, (below, after), (along, plan));
            let top = along + flight.going;
            let front = PlanFrame { left: plan.at(flight.going, Length::ZERO), ..plan };
            whole.flights.push(flight);
            let Some(landing) = landing else { break };
            whole.landings.push(whole.landing(landing, top, &front));
            plan = whole.next(landing, &front);
            (below, along) = (after, top + landing.depth);
        }
        Ok(whole)
    }

    /// The flight between two counts of risers, as a job of its own.
    fn flight(
        &self,
        number: usize,
        (below, after): (usize, usize),
        (along, plan): (Length, PlanFrame),
    ) -> OneFlight {
        let (risers, of) = (after - below, self.job.landings.len() + 1);
        let foot = self.unit_rise * below as f64;
        let mut job = self.job.clone();
        let landings = std::mem::take(&mut job.landings);
        job.title = format!("{}, flight {number} of {of}", self.job.title);
        job.rise.total = self.unit_rise * risers as f64;
        job.rise.rough = None;
        job.rise.risers = RiserChoice::Forced(risers);
        if let Some(under) = number.checked_sub(2).map(|i| &landings[i]) {
            job.rise.finish_to_come = match under.next_on {
                NextOn::Framing => under.finish,
                NextOn::Finish => Length::ZERO,
            };
            job.foot.stands_on = None;
            job.around.across.clear();
            job.reading.clear();
        }
        // What is read under the lowest flight: how the floor lies across it.
        for reading in &mut job.around.across {
            reading.total = reading.total - (self.job.rise.total - job.rise.total);
        }
        if let Some(over) = landings.get(number - 1) {
            job.head.finish = over.finish;
            job.head.rim_depth = over.rim_depth;
            // The highest flight alone goes up through the floor.
            job.opening = None;
        }
        let rule = job.rules.landing.clone();
        job.flight_of = Some(FlightOf { number, of, foot, landings, rule });
        let going = job.tread.cut * (risers as f64 - 1.0);
        OneFlight { job, risers, foot, going, along, plan }
    }

    fn landing(&self, asked: &Landing, along: Length, front: &PlanFrame) -> LandingPlace {
        let width = self.width;
        let (from, to) = match asked.turn {
            Turn::Straight | Turn::Side(_) => (Length::ZERO, width),
            Turn::Back { hand: Hand::Left, well } => (-(width + well), width),
            Turn::Back { hand: Hand::Right, well } => (Length::ZERO, width * 2.0 + well),
        };
        let height = self.unit_rise * asked.after as f64;
        let (head, tread) = (&self.job.head, &self.job.tread);
        LandingPlace {
            asked: asked.clone(),
            height,
            framing: height - asked.finish,
            across: to - from,
            // A hanger board stands before the framing.
            framing_back: self.job.head.spacer - self.job.head_gap()
                + match head.meets {
                    Meets::OneDown => head.riser_board,
                    // The top tread lies level with the landing, before its framing.
                    Meets::Flush => tread.riser_board + head.top_tread,
                },
            next_cut: tread.riser_board,
            along,
            plan: front.span(asked.depth, (from, to)),
        }
    }

    /// Where the flight begins that goes on from a landing. One that turns to a side goes on from
    /// the landing's far end.
    fn next(&self, landing: &Landing, front: &PlanFrame) -> PlanFrame {
        let (depth, width) = (landing.depth, self.width);
        let to_left = left_of(front.ahead);
        let (left, ahead) = match landing.turn {
            Turn::Straight => (front.at(depth, Length::ZERO), front.ahead),
            Turn::Side(Hand::Left) => (front.at(depth - width, Length::ZERO), to_left),
            Turn::Side(Hand::Right) => (front.at(depth, width), -to_left),
            Turn::Back { hand: Hand::Left, well } => (front.at(Length::ZERO, -well), -front.ahead),
            Turn::Back { hand: Hand::Right, well } => {
                (front.at(Length::ZERO, width * 2.0 + well), -front.ahead)
            }
        };
        PlanFrame { left, ahead }
    }

    /// The box of everything in plan, in mm.
    pub fn plan_box(&self) -> Bounds {
        let flights = self.flights.iter().map(|flight| flight.plan_box(self.width));
        let landings = self.landings.iter().map(|landing| landing.plan);
        flights.chain(landings).reduce(Bounds::joined).expect("there is a flight")
    }

    /// Level, along the way up: from the face of the first riser to that of the last.
    pub fn way(&self) -> Length {
        self.flights.last().map_or(Length::ZERO, |last| last.along + last.going)
    }

    /// Every walking surface over that at the stair's foot, from the bottom up: treads, landings,
    /// the upper finish.
    pub fn surfaces(&self) -> Vec<(String, Length)> {
        let mut all = Vec::new();
        for (i, flight) in self.flights.iter().enumerate() {
            let tread = |k: usize| {
                (format!("flight {}, tread {k}", i + 1), flight.foot + self.unit_rise * k as f64)
            };
            all.extend((1..flight.risers).map(tread));
            let top = flight.foot + self.unit_rise * flight.risers as f64;
            all.push(match self.landings.get(i) {
                Some(_) => (format!("landing {}", i + 1), top),
                None => ("upper finish".to_string(), top),
            });
        }
        all
    }

    /// The flight of a job of one of its flights.
    pub fn solved(&self, number: usize) -> Flight {
        let flight = &self.flights[number];
        Flight::new(&flight.job, flight.risers)
    }
}

/// That every landing lies below the upper floor, with a flight of a tread or more up to it.
fn below_the_floor(job: &Job, risers: usize) -> Result<(), LandingTooHigh> {
    let after = job.landings.last().map_or(0, |last| last.after);
    let least = job.head.meets.fewest_risers();
    if after + least <= risers {
        return Ok(());
    }
    let most = risers.checked_sub(least).filter(|most| *most >= least);
    Err(LandingTooHigh { after, risers, most })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{STARTER, read_job};

    fn whole(landings: &str) -> Result<WholeStair, String> {
        let text = STARTER
            .replace("total = \"51 3/8 in\"", "total = \"112 in\"")
            .replace("risers = 7 ", "risers = 16 ");
        let text = format!("{text}\n[stair]\nwidth = \"36 in\"\n{landings}");
        let job = read_job("job.toml", &text, &|path| panic!("{path}"));
        let job = job.map_err(|error| error.to_string())?;
        WholeStair::of(&job).map_err(|error| format!("{error:?}"))
    }

    fn landing(after: usize, depth: &str, turn: &str) -> String {
        format!(
            "[[landing]]\nafter = {after}\ndepth = \"{depth}\"\nfinish = \"3/4 in\"\nturn = \
            {turn}\n"
        )
    }

    fn near(a: Point, x: f64, y: f64) -> bool {
        (a - Point::new(x * 25.4, y * 25.4)).norm() < 1e-9
    }

    #[test]
    fn every_turn_goes_on_where_it_should() {
        // Seven risers of 10 1/4 in run: 61 1/2 in from face to face.
        for (turn, left, ahead) in [
            ("\"straight\"", (61.5 + 40.0, 0.0), (1.0, 0.0)),
            ("\"left\"", (61.5 + 4.0, 0.0), (0.0, 1.0)),
            ("\"right\"", (61.5 + 40.0, -36.0), (0.0, -1.0)),
            ("\"back\"\nwell = \"2 in\"", (61.5, 2.0), (-1.0, 0.0)),
            ("\"back\"\nhand = \"right\"\nwell = \"2 in\"", (61.5, -74.0), (-1.0, 0.0)),
        ] {
            let whole = whole(&landing(7, "40 in", turn)).unwrap();
            let plan = whole.flights[1].plan;
            assert!(near(plan.left, left.0, left.1), "{turn}: {:?}", plan.left);
            assert!((plan.ahead - Vector::new(ahead.0, ahead.1)).norm() < 1e-12, "{turn}");
        }
    }

    #[test]
    fn a_landing_lies_beside_the_flight_that_it_turns_back_to() {
        for (turn, from, to) in [
            ("\"straight\"", -36.0, 0.0),
            ("\"back\"\nwell = \"2 in\"", -36.0, 38.0),
            ("\"back\"\nhand = \"right\"\nwell = \"2 in\"", -74.0, 0.0),
        ] {
            let whole = whole(&landing(7, "40 in", turn)).unwrap();
            let plan = whole.landings[0].plan;
            let corners = [(plan.min, 61.5, from), (plan.max, 101.5, to)];
            assert!(corners.iter().all(|(at, x, y)| near(*at, *x, *y)), "{turn}: {plan:?}");
            let across = whole.landings[0].across;
            assert!(across.is_within(Length::mm(1e-9), Length::inches(to - from)), "{turn}");
        }
    }

    #[test]
    fn all_risers_are_alike_and_each_foot_knows_what_is_still_laid() {
        let two = [
            landing(6, "40 in", "\"left\""),
            landing(11, "40 in", "\"back\"\nnext_on = \"finish\""),
        ];
        let whole = whole(&two.concat()).unwrap();
        let mut risers = Vec::new();
        for (i, flight) in whole.flights.iter().enumerate() {
            let solved = whole.solved(i);
            risers.extend(solved.finished_risers());
            assert!(
                solved
                    .total_rise
                    .is_within(Length::mm(1e-9), whole.unit_rise * flight.risers as f64)
            );
        }
        assert_eq!(risers.len(), 16);
        assert!(risers.iter().all(|riser| riser.is_within(Length::mm(1e-9), Length::inches(7.0))));
        let to_come: Vec<Length> =
            whole.flights.iter().map(|of| of.job.rise.finish_to_come).collect();
        assert_eq!(to_come, [Length::ZERO, Length::inches(0.75), Length::ZERO]);
        assert_eq!(whole.surfaces().len(), 16);
        assert!(whole.landings[1].height.is_within(Length::mm(1e-9), Length::inches(77.0)));
    }

    #[test]
    fn landings_that_cannot_be_are_told_with_what_would() {
        let refused = |landings: &str, words: &str| {
            let error = whole(landings).unwrap_err();
            assert!(error.contains(words), "{error}");
        };
        refused(
            &landing(16, "40 in", "\"left\""),
            "LandingTooHigh { after: 16, risers: 16, most: Some(14) }",
        );
        refused(
            &landing(20, "40 in", "\"left\""),
            "LandingTooHigh { after: 20, risers: 16, most: Some(14) }",
        );
        refused(
            &landing(15, "40 in", "\"left\""),
            "LandingTooHigh { after: 15, risers: 16, most: Some(14) }",
        );
        refused(&landing(0, "40 in", "\"left\""), "landing.after is out of its range");
        refused(&landing(1, "40 in", "\"left\""), "no tread, and no stringer");
        let two =
            |a, b| [landing(a, "40 in", "\"left\""), landing(b, "40 in", "\"left\"")].concat();
        refused(&two(8, 8), "two landings lie at the same place");
        refused(&two(9, 6), "the landings do not rise");
        refused(&two(9, 10), "from the landing below it has no tread");
        refused(&landing(8, "40 in", "\"left\"\nwell = \"2 in\""), "for a turn back only");
        refused(&landing(8, "40 in", "\"round\""), "round");
    }
}
