//! `fit`: a flight as it was built against its job: which risers fail, what would bring them in; no
//! file is written.

use std::path::Path;

use super::args::ReportArguments;
use super::console::Console;
use super::table::line;
use super::{Ending, ending, input, told};
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{AsBuilt, Fingerprint, Job};
use crate::output::fit_report::FitReport;
use crate::pipeline::set::one_flight;
use crate::site::answers::{Fit, OnSite, Verdict, fit as held};
use crate::site::as_built::{OnTape, OutOfReach, Remedy, Schedule, Worn};
use crate::units::{Length, Tape, decimal, fully};

/// Holds as-built measurements against a job and prints what comes of it.
pub(super) fn fit(
    path: &Path,
    flight: Option<usize>,
    measured: Option<&Path>,
    report: &ReportArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let job = one_flight(input::job(path)?, flight, "checked as built")?;
    let site = OnSite::of(&job)?;
    let job = &site.job;
    let (file, built) = match measured {
        Some(measured) => (measured, input::built(measured)?),
        None => (path, of_job(job, path)?),
    };
    let found = held(&site, &built).map_err(|error| error.in_file(&file.display().to_string()))?;
    if report.json {
        console.print(&FitReport::of(job, &found).to_json())?;
    } else {
        console.print(&[words(job, &found), told::findings(&found.findings)].concat())?;
    }
    Ok(match found.verdict {
        Verdict::NoneDoes => Ending::Refused,
        Verdict::NotMeasured | Verdict::Keeps | Verdict::Schedule => {
            ending(&found.findings, report)
        }
    })
}

fn of_job(job: &Job, path: &Path) -> Result<AsBuilt, Error> {
    job.around.built.clone().ok_or_else(|| {
        Error::new(ErrorKind::Input, "this job has no as-built measurements")
            .in_file(&path.display().to_string())
            .found("no table [built]")
            .allowed("[built] in the job, or a file with it as the second argument")
            .hint(
                "a line [built], and below it heights: every tread top over the lower floor, as \
                measured",
            )
    })
}

fn words(job: &Job, found: &Fit) -> String {
    let mut text =
        format!("{}\njob {}, rule set {}\n", job.title, Fingerprint::of(job), job.rules.called());
    if found.verdict != Verdict::NotMeasured {
        text += &format!("\nAs built: {}\n", verdict(found));
        text += &risers(&found.risers);
    }
    text += &match &found.remedy {
        Some(Remedy::Schedule(found)) if found.total > Length::ZERO => schedule(found),
        Some(Remedy::NoneDoes(reach)) => out_of_reach(reach),
        _ => String::new(),
    };
    text.extend(found.worn.as_ref().map(pattern));
    text
}

fn verdict(found: &Fit) -> &'static str {
    match found.verdict {
        Verdict::NotMeasured => "not measured",
        Verdict::Keeps => "every riser keeps the rule set's limits",
        Verdict::Schedule => "risers fail; the schedule below brings them in",
        Verdict::NoneDoes => "risers fail, and no shims and trims inside the room bring them in",
    }
}

fn risers(risers: &[Length]) -> String {
    risers
        .iter()
        .enumerate()
        .map(|(k, riser)| format!("    riser {:<4}  {}\n", k + 1, fully(*riser)))
        .collect()
}

fn schedule(schedule: &Schedule) -> String {
    let mut text = "\nSchedule: the least total of shims and trims under the treads\n".to_string();
    text += &format!("    {:<10}  {:<22}  {}\n", "tread", "exactly", "on the tape");
    for (k, by) in schedule.moves.iter().enumerate() {
        let tape = match &schedule.on_tape {
            OnTape::Least(rounded) => {
                moved(rounded.moves[k], &rounded.grid.words(positive(rounded.moves[k])))
            }
            OnTape::NoneKeeps => "none keeps the limits".to_string(),
            OnTape::NotSearched => "not looked for".to_string(),
        };
        let exactly = moved(*by, &Tape::in_hand().finely(positive(*by)));
        text += &format!("    {:<10}  {exactly:<22}  {tape}\n", k + 1);
    }
    text += &line("in all", fully(schedule.total));
    let rounded = schedule.on_tape.rounded();
    text.extend(rounded.map(|rounded| line("in all, on the tape", fully(rounded.total))));
    let after = rounded.map_or(&schedule.risers, |rounded| &rounded.risers);
    text + "\nAfter it\n" + &risers(after)
}

fn positive(by: Length) -> Length {
    by.max(-by)
}

/// A move in words; `figure` is its amount.
fn moved(by: Length, figure: &str) -> String {
    if positive(by) <= Length::mm(crate::profile::ON_THE_LIMIT) {
        return "-".to_string();
    }
    format!("{} {figure}", if by > Length::ZERO { "shim" } else { "trim" })
}

fn out_of_reach(reach: &OutOfReach) -> String {
    let mut text = "\nNone does. In reach, each figure on its own:\n".to_string();
    text += &line("least spread", fully(reach.least_spread));
    text += &line("least between neighbours", fully(reach.least_step));
    text += &line("largest riser, at best", fully(reach.lowest_largest));
    text + &line("smallest riser, at best", fully(reach.highest_smallest))
}

fn pattern(worn: &Worn) -> String {
    let off = |length: Length| Tape::in_hand().finely(length);
    let mut text =
        "\nPattern: what it would make the part off by; more than true is positive\n".to_string();
    let along = format!(
        "{} permille, {} over its length",
        decimal(worn.along_permille, 2),
        off(worn.length_off)
    );
    let across = format!(
        "{} permille, {} over its width",
        decimal(worn.across_permille, 2),
        off(worn.width_off)
    );
    text += &line("along", along);
    text += &line("across", across);
    text += &line("unit rise", off(worn.unit_rise_off));
    text += &line("rise, first tread to last", off(worn.rise_off));
    text += &line("throat", off(worn.throat_off));
    text + &line("a tread out of level", off(worn.tread_tilt))
}
