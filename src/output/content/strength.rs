//! The beam check: what it carries, every check, every factor, the published limits, the remedies,
//! the sources.

use super::section::{Figure, Section, Table, Topic};
use crate::job::Middle;
use crate::pipeline::numbers::Value;
use crate::profile::PointOn;
use crate::site::answers::Beam;
use crate::site::beam::{
    Adjusted, Bound, CAUTION, Check, HeadHeld, PublishedLimit, Remedy, Sawn, Strength,
};
use crate::units::{Length, decimal, trimmed};

/// The section about strength.
pub(super) fn strength(beam: &Beam) -> Section {
    let strength = &beam.strength;
    let mut sources = Sources::default();
    let mut tables = vec![
        Table::figures("What is carried, by what", carried(beam)),
        checks("Beam checks on the line that governs", &strength.checks, &mut sources),
        Table::plain(
            "What would lower it, and whether that would do",
            &[("What", 60.0), ("Share of what it may be", 22.0), ("In", 40.0), ("Enough", 18.0)],
            strength.remedies.iter().map(remedy).collect(),
        ),
        Table::plain(
            "Published limits, a second opinion",
            &[("What", 40.0), ("Found", 24.0), ("Limit", 30.0), ("Holds", 12.0), ("Source", 34.0)],
            strength.published.iter().map(published).collect(),
        ),
        design(strength, &mut sources),
    ];
    if !strength.beside.is_empty() {
        let title = "Beside: the point load of one tread, not asked of a stringer";
        tables.insert(2, checks(title, &strength.beside, &mut sources));
    }
    tables.push(Table::plain("Sources", &[("No.", 8.0), ("Source", 112.0)], sources.listed()));
    Section { topic: Topic::Strength, notes: notes(beam), tables }
}

/// What the figures leave out or take for granted.
fn notes(beam: &Beam) -> Vec<String> {
    let mut notes = vec![CAUTION.to_string()];
    notes.push(
        "Not in these figures: hangers, screws, bolts, posts, guards, sway, and the treads \
        themselves."
            .to_string(),
    );
    if beam.input.middle == Middle::Supported {
        notes.push(
            match beam.input.sawn {
                Sawn::Notched => {
                    "The middle support makes two spans of their own of each stringer: over it the \
                    notched upper edge is stretched and counts for nothing (NDS 2018 3.2.3, check \
                    locally)."
                }
                Sawn::Solid => {
                    "The middle support makes two spans of each stringer, and each is figured as \
                    one of its own."
                }
            }
            .to_string(),
        );
    }
    if beam.input.head.is_none() {
        notes.push(
            "What holds the head is not known or is nothing, so its plumb cut is not looked at."
                .to_string(),
        );
    }
    notes
}

fn carried(beam: &Beam) -> Vec<Figure> {
    let (input, strength) = (&beam.input, &beam.strength);
    let load = |psf: f64| format!("{} psf", trimmed(psf, 2));
    let mut rows = vec![
        Figure::new("wood", format!("{} {}", input.wood.species, input.wood.grade)),
        Figure::new("live load", load(input.loads.live_psf)).note(input.loads.source.as_str()),
    ];
    if input.loads.times > 1.0 {
        let borne = load(input.loads.live_psf * input.loads.times);
        let how = format!("{} times what is expected", trimmed(input.loads.times, 2));
        rows.push(Figure::new("to be borne", borne).note(how));
    }
    let on = match input.loads.point_on {
        PointOn::Tread => "of a tread alone, not of a stringer",
        PointOn::Stringer => "at any point, of a stringer by itself too",
    };
    let point = input.loads.point_lb.map(|pounds| format!("{} lb", trimmed(pounds, 1)));
    rows.extend(point.map(|pounds| Figure::new("or on one spot", pounds).note(on)));
    rows.extend([
        Figure::new("dead load", load(input.loads.dead_psf)).note(beam.dead_source),
        Figure::new("governs", format!("the {} stringers", strength.line)),
        Figure::new("clear span of a bay", Length::inches(strength.bay_in)),
        Figure::new("width carried by a ply", Length::inches(strength.load_width_in)),
        Figure::new("depth of the section", Length::inches(strength.section.depth_in)).note(
            match input.sawn {
                Sawn::Notched => "the throat",
                Sawn::Solid => "the board, less one hole",
            },
        ),
        Figure::new("breadth of the section", Length::inches(strength.section.breadth_in))
            .note("the thickness"),
    ]);
    if let Some(head) = input.head {
        let how = match head.how {
            HeadHeld::Notch => "above the notch",
            HeadHeld::Fastened => "down to the lowest point that is held",
        };
        rows.push(Figure::new("plumb cut at the head", head.depth));
        rows.push(Figure::new("of it carries", head.held).note(how));
    }
    rows
}

/// Sources by number, each listed once.
#[derive(Default)]
struct Sources(Vec<String>);

impl Sources {
    fn number(&mut self, source: &str) -> Value {
        let known = self.0.iter().position(|known| known == source).unwrap_or_else(|| {
            self.0.push(source.to_string());
            self.0.len() - 1
        });
        format!("[{}]", known + 1).into()
    }

    fn listed(&self) -> Vec<Vec<Value>> {
        let row = |(i, source): (usize, &String)| {
            vec![format!("[{}]", i + 1).into(), source.as_str().into()]
        };
        self.0.iter().enumerate().map(row).collect()
    }
}

fn checks(title: &'static str, checks: &[Check], sources: &mut Sources) -> Table {
    let mut row = |check: &Check| {
        let unit = check.quantity.unit();
        let places = if unit == "in" { 3 } else { 0 };
        let figure = |value: f64| Value::from(format!("{} {unit}", decimal(value, places)));
        let name = format!("{}, {}", check.quantity, check.case);
        let share = decimal(check.utilisation(), 2);
        vec![
            name.into(),
            figure(check.demand),
            figure(check.capacity),
            share.into(),
            sources.number(&check.source),
        ]
    };
    Table::plain(
        title,
        &[
            ("Check", 60.0),
            ("Demand", 18.0),
            ("Capacity", 18.0),
            ("Share of what it may be", 22.0),
            ("Source", 12.0),
        ],
        checks.iter().map(&mut row).collect(),
    )
}

fn design(strength: &Strength, sources: &mut Sources) -> Table {
    let design = &strength.design;
    let values = [&design.bending, &design.shear, &design.modulus, &design.bearing];
    Table::plain(
        "Design values and every factor on them",
        &[("Sign", 14.0), ("Figure", 22.0), ("What", 70.0), ("Source", 12.0)],
        values.into_iter().flat_map(|value| factors(value, sources)).collect(),
    )
}

fn factors(adjusted: &Adjusted, sources: &mut Sources) -> Vec<Vec<Value>> {
    let psi = |value: f64| format!("{} psi", trimmed(value, 1));
    let from = format!("from {}", psi(adjusted.reference));
    let source = sources.number(&adjusted.source);
    let mut rows = vec![vec![
        format!("{}'", adjusted.symbol).into(),
        psi(adjusted.value()).into(),
        from.into(),
        source,
    ]];
    for factor in &adjusted.factors {
        let source = sources.number(&factor.source);
        rows.push(vec![
            factor.symbol.as_str().into(),
            trimmed(factor.value, 4).into(),
            factor.name.as_str().into(),
            source,
        ]);
    }
    rows
}

fn published(limit: &PublishedLimit) -> Vec<Value> {
    let bound = match limit.bound {
        Bound::AtMost => "at most",
        Bound::AtLeast => "at least",
    };
    let met = if limit.is_met() { "met" } else { "not met" };
    let most = format!("{bound} {}", limit.limit);
    vec![limit.what.into(), limit.found.into(), most.into(), met.into(), limit.source.into()]
}

fn remedy(remedy: &Remedy) -> Vec<Value> {
    let share = remedy.utilisation.map_or("no figure".to_string(), |share| decimal(share, 2));
    let of = remedy.governs.map_or(String::new(), |(quantity, _)| quantity.to_string());
    let passes = match remedy.utilisation {
        None => "",
        Some(_) if remedy.suffices() => "would do",
        Some(_) => "would not do",
    };
    vec![remedy.what.as_str().into(), share.into(), of.into(), passes.into()]
}
