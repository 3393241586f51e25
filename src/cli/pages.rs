//! `pages`: the part at full size on paper.

use std::path::Path;

use super::console::{Console, shown};
use super::input::FromFiles;
use super::make::cut_only;
use super::output_file::write_whole;
use super::output_set::Existing;
use super::table::refusing;
use super::{Ending, input};
use crate::bundle::no_letter;
use crate::diagnostics::{Error, ErrorKind};
use crate::output::Stamp;
use crate::output::page::{Size, is_own_pdf, pdf};
use crate::output::pages::{PaperProblem, full_size_pages};
use crate::pipeline::set::one_flight;
use crate::pipeline::workup::Workup;
use crate::units::{Bare, Length, Tape, read_length};

/// Writes the pages of a job.
pub(super) fn pages(
    job: &Path,
    flight: Option<usize>,
    output: &Path,
    paper: Option<&str>,
    existing: Existing,
    console: &Console,
) -> Result<Ending, Error> {
    let FromFiles { what: job, files: inputs, .. } = input::job_and_files(job)?;
    let job = one_flight(job, flight, "printed at full size")?;
    cut_only(&job, "drawn on pages: they would lack its pockets")?;
    if job.stringer.cleated().is_some() {
        return Err(Error::new(
            ErrorKind::Refused,
            "a cleated stringer is not drawn on pages: they would lack its cleats",
        )
        .found(job.stringer.table())
        .allowed("a cut stringer: a job without a table [cleat]")
        .hint(
            "seatcut make JOB -o DIR: its drawing has every cleat's place, its bench sheet the \
            marks",
        ));
    }
    let workup = Workup::designed(&job)?;
    let Some(outline) = &workup.outline else {
        let what = format!("this job has no part to draw: {}", refusing(&workup.findings));
        return Err(Error::new(ErrorKind::Refused, what).hint("seatcut solve JOB"));
    };
    let blank = outline.in_board_frame().bounds().width();
    let paper = paper.unwrap_or(match job.tape {
        Tape::Inches => "letter",
        Tape::Metric => "a4",
    });
    let size = paper_size(paper, blank)?;
    let stamp = Stamp::of(&workup);
    let pages = full_size_pages(&stamp, &workup.flight, outline, size)
        .map_err(|problem| refused(paper, &problem))?;
    let bytes = pdf(&stamp, &pages).map_err(no_letter)?;
    write_whole(output, &bytes, existing, &inputs, is_own_pdf)?;
    console.print(&format!(
        "{}: {} pages; print at 100 percent and measure the bars on a page before you paste\n",
        shown(output),
        pages.len()
    ))?;
    Ok(Ending::Done)
}

/// A named paper, or a width and a height.
fn paper_size(paper: &str, blank_mm: f64) -> Result<Size, Error> {
    let in_mm = |inches: f64| Length::inches(inches).as_mm();
    match paper {
        "letter" => return Ok(Size::LETTER),
        "a4" => return Ok(Size::A4),
        "roll-36" => return Ok(Size { width_mm: blank_mm + in_mm(4.0), height_mm: in_mm(36.0) }),
        _ => {}
    }
    let length = |text: &str| {
        read_length(text, Bare::Refused).ok().map(|r| r.length.as_mm()).filter(|mm| *mm > 0.0)
    };
    let size =
        paper.split_once(" x ").and_then(|(width, height)| Some((length(width)?, length(height)?)));
    size.map(|(width_mm, height_mm)| Size { width_mm, height_mm }).ok_or_else(|| {
        Error::new(ErrorKind::Usage, "this is no paper")
            .found(paper)
            .allowed("letter, a4, roll-36, or a width and a height with units")
            .hint("--paper \"11 in x 17 in\"")
    })
}

fn refused(paper: &str, problem: &PaperProblem) -> Error {
    match problem {
        PaperProblem::TooSmall(width, height) => Error::new(
            ErrorKind::Refused,
            "the paper is too small for a tile or for the pitch block",
        )
        .found(format!("{paper}: {width:.0} x {height:.0} mm left of it"))
        .allowed("60 x 60 mm for a tile, and one step for the pitch block")
        .hint("--paper letter"),
        PaperProblem::TooMany(count) => {
            Error::new(ErrorKind::Refused, "the part takes too many pages")
                .found(format!("{count} pages of {paper}"))
                .allowed("400 pages")
                .hint("--paper roll-36")
        }
    }
}
