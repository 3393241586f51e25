//! A stair of several flights: what is told of it as a whole.

use super::section::{Figure, Mark, Section, Table, TableRows, Topic};
use crate::job::{Hand, NextOn, Turn};
use crate::pipeline::numbers::Value;
use crate::pipeline::set::{Member, Stairway};
use crate::stair::outline::Outline;
use crate::stair::{LandingPlace, WholeStair};
use crate::units::{Length, on_tape};

/// Flights, landings and the story pole of a stair, told in one section.
pub fn whole_stair(of: &Stairway, members: &[Member]) -> Section {
    let (whole, flights) = (&of.whole, of.flights(members));
    let mut tables = vec![flight_table(flights)];
    let landings = whole.landings.iter().enumerate();
    tables.extend(landings.map(|(i, landing)| landing_table(whole, i, landing, &flights[i + 1])));
    tables.push(pole(whole));
    Section { topic: Topic::WholeStair, notes: notes(whole), tables }
}

fn notes(whole: &WholeStair) -> Vec<String> {
    let plan = whole.plan_box();
    let mut notes = vec![
        format!(
            "{} risers of {} in {} flights: {}. Every riser of every flight is the same.",
            whole.risers,
            whole.unit_rise,
            whole.flights.len(),
            whole.reason
        ),
        format!(
            "In plan the stair takes {} along the lowest flight by {} across, treads from face to \
            face of the risers, landings with it.",
            Length::mm(plan.width()),
            Length::mm(plan.height())
        ),
        "In the papers of one flight its upper finish is the landing above it, its lower surface \
        the landing below it."
            .to_string(),
    ];
    if whole.job.foot.plate_asked().is_some() {
        notes.push("The plate is let into the foot of every flight.".to_string());
    }
    if let Some(on) = &whole.job.foot.stands_on {
        notes.push(format!("The {} lies under the lowest flight alone.", on.what));
    }
    notes
}

fn flight_table(flights: &[Member]) -> Table {
    let row = |(i, member): (usize, &Member)| {
        let flight = &member.workup.flight;
        let blank = member.workup.outline.as_ref().map(Outline::blank_length);
        let going = flight.unit_run * (flight.risers as f64 - 1.0);
        vec![
            Value::from(format!("{}", i + 1)),
            flight.risers.into(),
            flight.total_rise.into(),
            going.into(),
            flight.first_riser_cut().into(),
            flight.hang_line.into(),
            blank.map_or(Value::from("no stringer"), Value::Length),
        ]
    };
    Table::plain(
        "Flights, from the bottom up",
        &[
            ("Flight", 12.0),
            ("Risers", 12.0),
            ("Rise", 26.0),
            ("First riser's face to last's", 26.0),
            ("First riser cut", 24.0),
            ("Hang line", 24.0),
            ("Blank", 26.0),
        ],
        flights.iter().enumerate().map(row).collect(),
    )
}

fn landing_table(whole: &WholeStair, i: usize, of: &LandingPlace, next: &Member) -> Table {
    let asked = &of.asked;
    let least = whole.job.rules.landing.as_ref().map(|rule| rule.least(whole.width));
    let depth = Figure::new("depth", asked.depth);
    let mut rows = vec![
        Figure::new("finished height", of.height)
            .note("over the finished lower surface of the stair"),
        Figure::new("top of its framing", of.framing)
            .note(format!("under {} of finish", on_tape(asked.finish))),
        depth.note(match least {
            Some(least) => format!("the rule set asks for {}", on_tape(least)),
            None => "the rule set has no figure: look at your local code".to_string(),
        }),
        Figure::new("across", of.across),
        Figure::new("framing begins", of.framing_back)
            .note("behind the face of the riser at its front edge"),
    ];
    let seat = next.workup.outline.as_ref().map(Outline::seat_length);
    rows.extend(seat.map(|seat| {
        Figure::new("framing goes on", of.next_cut + seat)
            .note("past the face of the next flight's first riser, under that flight's feet")
    }));
    rows.push(Figure::new("the next flight", turn_words(asked.turn)).note(stands(asked.next_on)));
    Table::figures(format!("Landing {}, after {} risers", i + 1, asked.after), rows)
}

/// Where the next flight goes on.
pub(in crate::output) fn turn_words(turn: Turn) -> String {
    let side = |hand: Hand| hand.name();
    match turn {
        Turn::Straight => "goes straight on".to_string(),
        Turn::Side(hand) => format!("turns {}, from the landing's far end", side(hand)),
        Turn::Back { hand, well } if well == Length::ZERO => {
            format!("turns back on the {}, beside the one that arrives", side(hand))
        }
        Turn::Back { hand, well } => {
            format!(
                "turns back on the {}, {} beside the one that arrives",
                side(hand),
                on_tape(well)
            )
        }
    }
}

fn stands(next_on: NextOn) -> &'static str {
    match next_on {
        NextOn::Framing => "its stringers stand on the framing; the finish is laid afterwards",
        NextOn::Finish => "its stringers stand on the finish",
    }
}

/// One pole for the whole stair. Where finish is still to come it stands lower than the figures of
/// the finished heights say, and that is in every mark.
fn pole(whole: &WholeStair) -> Table {
    let come = whole.job.rise.finish_to_come;
    let caption = if come > Length::ZERO {
        "Story pole of the whole stair: finished heights above the lower surface as it is now"
    } else {
        "Story pole of the whole stair: finished heights above the finished lower surface"
    };
    let mark = |(label, at): (String, Length)| Mark { label, at: at + come };
    let marks = whole.surfaces().into_iter().map(mark).collect();
    Table { caption: caption.to_string(), rows: TableRows::Marks(marks) }
}
