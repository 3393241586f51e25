//! `verify`: files that anybody made, held against a job.

use std::path::{Path, PathBuf};

use super::args::ReportArguments;
use super::console::Console;
use super::{Ending, ending, input};
use crate::error::{Error, ErrorKind};
use crate::export::report::Report;
use crate::finding::Finding;
use crate::measure::Job;
use crate::outline::Outline;
use crate::proof;
use crate::units::trimmed;
use crate::verify::Verdict;
use crate::workup::Workup;

/// The largest file that is read.
const LARGEST_FILE: u64 = 64 << 20;

/// Verifies files against a job.
pub(super) fn verify(
    path: &Path,
    files: &[PathBuf],
    report: &ReportArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let job = input::job(path)?;
    let workup = Workup::of(&job);
    let Some(outline) = &workup.outline else {
        let codes: Vec<&str> = workup.findings.iter().filter(|f| f.refuses()).map(|f| f.code).collect();
        return Err(Error::new(
            ErrorKind::Refused,
            format!("this job has no part to hold a file against: {}", codes.join(", ")),
        )
        .hint("seatcut solve JOB"));
    };
    let mut all: Vec<Finding> = Vec::new();
    let mut text = String::new();
    let mut unreadable = Ending::Done;
    for file in files {
        let name = file.display().to_string();
        let bytes = input::read_bytes(file, LARGEST_FILE)?;
        match hold(&bytes, &name, &job, &workup, outline) {
            Ok(verdict) => {
                text.push_str(&lines(&name, &verdict, console));
                all.extend(verdict.findings);
            }
            Err(error) if error.kind() == ErrorKind::NotThisPart => {
                console.complain(&error);
                unreadable = Ending::NotThisPart;
            }
            Err(error) => return Err(error),
        }
    }
    let end = match ending(&all, report) {
        Ending::Refused => Ending::NotThisPart,
        _ if unreadable == Ending::NotThisPart => Ending::NotThisPart,
        other => other,
    };
    if report.json {
        let mut whole = Report::of(&job, &workup);
        whole.findings = all;
        console.print(&whole.to_json())?;
    } else {
        console.print(&text)?;
    }
    Ok(end)
}

/// First as if it were a program planned here, each of them in turn. A file that carries this job's fingerprint has to be
/// just one of those; any other may lie elsewhere and be tied otherwise, with the job's hole and marks or as the plain part.
/// Where nothing fits, the marks' program explains a file that cuts nothing, and the cut's any other.
fn hold(bytes: &[u8], name: &str, job: &Job, workup: &Workup, outline: &Outline) -> Result<Verdict, Error> {
    let anybodys = proof::anybodys(job, outline);
    let Some(planned) = &workup.planned else { return proof::hold(bytes, name, &anybodys) };
    let programs = || planned.mark_program.iter().chain([&planned.program]);
    let mut held: Vec<Verdict> = Vec::new();
    for program in programs() {
        held.push(proof::hold(bytes, name, &proof::planned(job, outline, program))?);
    }
    if let Some(taken) = held.iter().position(Verdict::is_this_part) {
        return Ok(held.swap_remove(taken));
    }
    let says_ours = String::from_utf8_lossy(bytes).contains(&workup.fingerprint.to_string());
    if !says_ours {
        let elsewhere = programs().map(|program| proof::elsewhere(job, outline, program));
        for expectation in elsewhere.chain([anybodys]) {
            let verdict = proof::hold(bytes, name, &expectation)?;
            if verdict.is_this_part() {
                return Ok(verdict);
            }
        }
    }
    let cuts_nothing = held.iter().all(|v| v.findings.iter().any(|finding| finding.code == "nothing-cut"));
    let telling = if cuts_nothing { 0 } else { held.len() - 1 };
    Ok(held.swap_remove(telling))
}

fn lines(name: &str, verdict: &Verdict, console: &Console) -> String {
    let judged =
        if verdict.findings.iter().any(Finding::refuses) { "NOT this job's part" } else { "is this job's part" };
    let mut text = format!(
        "{name}: {judged} ({:?}): gouge {} mm, left {} mm, {} tabs leave {} mm uncut\n",
        verdict.what,
        trimmed(verdict.gouge_mm, 5),
        trimmed(verdict.left_mm, 5),
        verdict.tabs.len(),
        trimmed(verdict.boundary_uncut_mm, 1),
    );
    if verdict.marks > 0 {
        text.push_str(&format!("  {} strokes of marks in place and depth\n", verdict.marks));
    }
    for finding in &verdict.findings {
        text.push_str(&format!("  {}\n", console.finding(finding)));
    }
    text
}
