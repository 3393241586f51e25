//! Where the stringers stand: only what the job knows; what it does not, to be decided.

use super::section::{Figure, Mark, Section, Table, TableRows, Topic};
use crate::check::holding;
use crate::job::{Job, Makes, Outsides};
use crate::pipeline::workup::Workup;
use crate::profile::{Limit, Measure, SiteMatter, Unchecked};
use crate::site::StringerLayout;
use crate::stair::Flight;

/// The positions of the stringers.
pub(super) fn positions(workup: &Workup) -> Section {
    let job = &workup.job;
    let layout = workup.around.stringers.as_ref();
    let mut rows =
        vec![Figure::new("thickness of a stringer", job.board.thickness).note("as measured")];
    if job.cut.makes == Makes::Stringers {
        rows.push(Figure::new("stringers in this job", job.cut.stringers()).note(
            match job.cut.stairs {
                1 => "as asked for, doublers counted".to_string(),
                stairs => format!("as asked for, doublers counted, for {stairs} stairs"),
            },
        ));
    }
    rows.extend(side_by_side(job, layout));
    rows.extend(limits(job, &workup.flight));
    let mut notes = Vec::new();
    if job.around.stair.is_none() {
        notes.push(
            "The job says nothing of the stair's width: nothing is worked out from it here."
                .to_string(),
        );
    }
    notes.push(
        "Mark every position at head and foot from the same side, to the same side of the line; \
        equal diagonals between the outer marks show that it is square."
            .to_string(),
    );
    let mut tables = vec![Table::figures("Known and to decide", rows)];
    tables.extend(layout.map(left_edges));
    Section { topic: Topic::Positions, notes, tables }
}

/// Width, number, spacing and outer stringers, or that they are to be decided.
fn side_by_side(job: &Job, layout: Option<&StringerLayout>) -> Vec<Figure> {
    let unknown = |label: &str, words: &str| Figure::new(label, "not given").note(words);
    let width = match job.around.stair {
        Some(stair) => {
            Figure::new("width of the stair", stair.width).note("over the outer stringers")
        }
        None => unknown("clear width of the stair", "decide on site"),
    };
    let number = match layout {
        Some(layout) => Figure::new("number of stringers", layout.count())
            .note("of one stair, by width and spacing, doublers counted"),
        None => unknown("number of stringers", "decide from width and spacing"),
    };
    let spacing = match layout {
        Some(layout) => Figure::new("spacing, middle to middle", layout.spacing)
            .note("even; the most is the treads'"),
        None => unknown("spacing, middle to middle", "decide by span, treads and rule"),
    };
    let outsides = match job.around.stair.map(|stair| stair.outsides) {
        Some(Outsides::Single) => Figure::new("outside stringers", "single"),
        Some(Outsides::Doubled) => Figure::new("outside stringers", "doubled"),
        None => unknown("outside stringers", "decide: single, doubled, with skirt"),
    };
    vec![width, number, spacing, outsides]
}

fn left_edges(layout: &StringerLayout) -> Table {
    let mark = |(i, mark): (usize, &crate::site::StringerMark)| Mark {
        label: format!("stringer {}, its left edge", i + 1),
        at: mark.exact,
    };
    Table {
        caption: "From the left side, the tape left hooked there".to_string(),
        rows: TableRows::Marks(layout.marks.iter().enumerate().map(mark).collect()),
    }
}

/// What the rule set says about width and spacing.
fn limits<'a>(job: &'a Job, flight: &'a Flight) -> impl Iterator<Item = Figure> {
    let here = |item: &&Unchecked| {
        matches!(item.about, SiteMatter::ClearWidth | SiteMatter::StringerSpacing)
    };
    let held = [Measure::ClearWidth, Measure::StringerSpacing]
        .into_iter()
        .flat_map(|measure| holding(job, flight, measure));
    let figure = |limit: &Limit| {
        Figure::new(format!("rule set: {}", limit.measure.words()), limit.asks().as_str())
            .note(limit.source.as_str())
    };
    held.map(figure).chain(job.rules.unchecked.iter().filter(here).map(look))
}

fn look(item: &Unchecked) -> Figure {
    Figure::new(format!("rule set: {}", item.what()), item.limit.as_str())
        .note(item.source.as_str())
}
