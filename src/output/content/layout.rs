//! The layout numbers, and the line the head hangs from.

use super::section::{Figure, Section, Table, Topic};
use crate::job::{Follow, Job, Joint, Makes, Meets, Stringer};
use crate::pipeline::numbers::{Number, Of, Value, all_of};
use crate::pipeline::workup::Workup;
use crate::stair::{Flight, HeadFace};
use crate::units::Length;

/// What is made, on what, under which rule set.
pub(super) fn about(job: &Job, workup: &Workup, times: usize) -> Vec<String> {
    let made = match job.cut.makes {
        Makes::Stringers if job.by_hand => "Laid out and sawn by hand: no machine is named.".into(),
        Makes::Stringers => {
            let count = job.cut.quantity as usize * times;
            format!("Makes the stringers themselves, {count} in all.")
        }
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
    let notes =
        vec![
        "A sixteenth with + or - is a little more or less than printed; the exact value stands \
        beside it.".to_string(),
        "Lay out from the exact values or the cumulative marks; never step off a rounded \
        rise.".to_string(),
    ];
    Section { topic: Topic::Layout, notes, tables }
}

fn figures(numbers: &[Number], of: Of) -> Vec<Figure> {
    all_of(numbers, of).map(Figure::from).collect()
}

/// What the head of a stringer hangs by, and how far below the top of the framing it lies: the hang
/// line. A housed board has no cut and no cleat; its pockets begin at the finished tops.
pub(super) fn hung_by(job: &Job, flight: &Flight) -> (&'static str, Length) {
    match job.stringer {
        Stringer::Cut => ("top tread cut", flight.hang_line),
        Stringer::Cleated(_) => ("line of the top cleat", flight.hang_line),
        Stringer::Housed(_) => {
            ("upper side of the top tread's pocket", flight.hang_line - flight.tread_thickness)
        }
    }
}

/// Where the head hangs and how it is measured.
pub(super) fn hang_line(workup: &Workup) -> Section {
    let mut notes = vec![
        hang_words(&workup.job, &workup.flight),
        "Strike the line level across the rim, through every stringer position, and check it with \
        a level."
            .to_string(),
        "Measure from the framing, before the upper finish is laid; where it is laid already, add \
        its thickness."
            .to_string(),
    ];
    if matches!(workup.job.around.joint, Some(Joint::HangerBoard { .. })) {
        notes.push(
            "The hanger board goes on first; the riser board at the head stands on it, and the \
            runs are counted so. Where it is itself that riser, give head.riser_board = 0."
                .to_string(),
        );
    }
    let numbers = workup.numbers();
    let mut rows = figures(&numbers, Of::Head);
    rows.push(match workup.job.head.meets {
        Meets::OneDown => Figure::new("the top tread", "is one riser below the upper finish"),
        Meets::Flush => Figure::new("the top tread", "is level with the upper finish"),
    });
    let unknown = numbers.iter().filter(|number| {
        number.key == "contact_height_mm"
            && number.value.is_none()
            && HeadFace::of_job(&workup.job, &workup.flight)
                .is_some_and(|face| face.depth.is_none())
    });
    let how = "measure the rim and give head.rim_depth";
    rows.extend(unknown.map(|number| Figure::new(number.label, "not known").note(how)));
    Section { topic: Topic::HangLine, notes, tables: vec![Table::figures("At the head", rows)] }
}

fn hang_words(job: &Job, flight: &Flight) -> String {
    let (what, hang) = hung_by(job, flight);
    if hang < Length::ZERO {
        return format!(
            "The {what} lies {} above the top of the framing: plumb up from it.",
            -hang
        );
    }
    format!(
        "From the top of the framing at the head measure {hang} plumb down: there lies the {what}."
    )
}
