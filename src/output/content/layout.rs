//! The layout numbers, and the line the head hangs from.

use super::section::{Figure, Section, Table, Topic};
use crate::job::{Follow, Job, Makes, Meets};
use crate::pipeline::numbers::{Number, Of, Value, all_of};
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::units::Length;

/// What is made, on what, under which rule set.
pub(super) fn about(job: &Job, workup: &Workup) -> Vec<String> {
    let made = match job.cut.makes {
        Makes::Stringers if job.by_hand => "Laid out and sawn by hand: no machine is named.".into(),
        Makes::Stringers => format!("Makes the stringers themselves, {} in all.", job.cut.quantity),
        Makes::Pattern(follow) => format!("Makes a master pattern. {}", followed(follow)),
    };
    let profiles = format!(
        "Machine profile {}, material profile {}.",
        job.cut.machine.name, job.cut.material.name
    );
    let rules = format!(
        "Rule set {}; {} risers, {} treads.",
        job.rules.called(),
        workup.flight.risers,
        workup.flight.treads
    );
    let mut about = vec![made];
    about.extend((!job.by_hand).then_some(profiles));
    about.push(rules);
    about
}

fn followed(follow: Follow) -> String {
    match follow {
        Follow::Edge => {
            "It is followed along its very edge: it has the size of the part.".to_string()
        }
        Follow::BearingBit => {
            "It is followed by a bearing bit: it has the size of the part.".to_string()
        }
        Follow::Pencil { .. } => format!("It is followed with a pencil: {}", smaller(follow)),
        Follow::Bushing { .. } => format!("It is followed with a bushing: {}", smaller(follow)),
    }
}

fn smaller(follow: Follow) -> String {
    format!("smaller by {} all round.", Value::Length(follow.inset()).exact())
}

/// The numbers the stringer is laid out with.
pub(super) fn layout(workup: &Workup) -> Section {
    let numbers = workup.numbers();
    let groups = [
        ("The flight", Of::Flight),
        ("One step", Of::Step),
        ("The stringer", Of::Stringer),
        ("The notch for the tie plate", Of::Notch),
    ];
    let table = |(caption, of): (&str, Of)| Table::figures(caption, figures(&numbers, of));
    let tables = groups.into_iter().map(table).filter(Table::is_filled).collect();
    let notes = vec![
        "A sixteenth with + or - is a little more or less than printed; the exact value stands beside it.".to_string(),
        "Lay out from the exact values or the cumulative marks; never step off a rounded rise.".to_string(),
    ];
    Section { topic: Topic::Layout, notes, tables }
}

fn figures(numbers: &[Number], of: Of) -> Vec<Figure> {
    all_of(numbers, of).map(Figure::from).collect()
}

/// Where the head hangs and how it is measured.
pub(super) fn hang_line(workup: &Workup) -> Section {
    let notes = vec![
        hang_words(&workup.flight),
        "Strike the line level across the rim, through every stringer position, and check it with a level.".to_string(),
        "Measure from the framing, before the upper finish is laid; where it is laid already, add its thickness."
            .to_string(),
    ];
    let numbers = workup.numbers();
    let mut rows = figures(&numbers, Of::Head);
    rows.push(match workup.job.head.meets {
        Meets::OneDown => Figure::new("the top tread", "is one riser below the upper finish"),
        Meets::Flush => Figure::new("the top tread", "is level with the upper finish"),
    });
    let unknown = numbers.iter().filter(|number| {
        number.key == "contact_height_mm"
            && number.value.is_none()
            && workup.flight.rim_depth.is_none()
    });
    let how = "measure the rim and give head.rim_depth";
    rows.extend(unknown.map(|number| Figure::new(number.label, "not known").note(how)));
    Section { topic: Topic::HangLine, notes, tables: vec![Table::figures("At the head", rows)] }
}

fn hang_words(flight: &Flight) -> String {
    let hang = flight.hang_line;
    if hang < Length::ZERO {
        return format!(
            "The top tread cut lies {} above the top of the framing: plumb up from it.",
            -hang
        );
    }
    format!(
        "From the top of the framing at the head measure {hang} plumb down: there lies the top tread cut."
    )
}
