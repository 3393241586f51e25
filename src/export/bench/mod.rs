//! The bench sheet: what a person needs beside the boards and at the machine, as content, and as one page for a browser
//! that also plays the program.
//!
//! [`bench_sheet`] gives the content, independent of how it is drawn; [`page`] draws it as HTML, [`printed`] on paper.

mod around;
mod cautions;
mod clamping;
mod corners;
mod cut_list;
mod fit_card;
mod html;
mod layout;
mod machine_sheet;
mod marks;
mod page;
mod plan_picture;
mod playback;
mod positions;
mod printed;
mod sheet;
mod value;

pub use page::page;
pub use printed::{paper, printed, printed_pages};
pub use sheet::{BenchSheet, Check, Figure, Mark, Piece, Section, Table, TableRows, Topic};
pub use value::{Value, nearest_sixteenth};

use super::Stamp;
use crate::measure::Job;
use crate::workup::Workup;

/// The bench sheet of a worked-up job. It decides no geometry and rounds nothing: every value is exact until it is
/// printed. Where the flight has no stringer or no program, the rows that need one are not there.
pub fn bench_sheet(job: &Job, workup: &Workup) -> BenchSheet {
    let mut sections = vec![
        layout::layout(job, workup),
        marks::marks(workup),
        layout::hang_line(job, workup),
        positions::positions(job, workup),
        fit_card::fit_card(job, workup),
        cut_list::cut_list(job, workup),
        machine_sheet::machine_sheet(job, workup),
    ];
    sections.extend(around::sections(&workup.around));
    sections.push(cautions::cautions(job, workup));
    BenchSheet { stamp: Stamp::of(job), about: layout::about(job, workup), sections }
}
