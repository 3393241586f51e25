//! What every file carries: title, tool version, fingerprint.

use super::spelling;
use crate::job::{Fingerprint, Job, LONGEST_TITLE, Whose};
use crate::pipeline::set::SheetNumbers;
use crate::pipeline::workup::Workup;
use crate::profile::{Material, Treatment};

/// The identity of a set of files.
#[derive(Clone, Debug)]
pub struct Stamp {
    /// The job's title.
    pub title: String,
    /// The job's fingerprint.
    pub fingerprint: Fingerprint,
    /// The material's name and whether it is treated, as its profile says: who stands at the
    /// machine can compare.
    pub material: String,
    /// Whose it is, a line each; none without an order.
    pub order: Vec<String>,
    /// Number, customer and due in one line, for the foot of every page; empty without an order.
    pub whose: String,
    /// Which of a set's programs it is, where it is one.
    pub run: Option<Run>,
    /// The numbers of the pieces that it makes, one a run, where people write them on by hand:
    /// stretches in which no other program's lie.
    pub numbers: Vec<String>,
}

/// Which program of a set, and how often it is run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Its number, from 1.
    pub number: usize,
    /// How many programs the set has.
    pub of: usize,
    /// How often it is run.
    pub times: usize,
    /// The sheets that it is run on; none of stock of its own.
    pub sheets: Option<SheetNumbers>,
}

/// The name of a program's file: by its number from 0, and of how many; it ends as the machine's
/// control wants it.
pub fn program_name(number: usize, of: usize, extension: &str) -> String {
    match of {
        1 => format!("program.{extension}"),
        _ => format!("program-{}.{extension}", number + 1),
    }
}

impl Stamp {
    /// The stamp of a job.
    pub fn of(workup: &Workup) -> Self {
        let job = &workup.job;
        Self {
            title: job.title.clone(),
            fingerprint: workup.fingerprint.clone(),
            material: job_material(job),
            order: Vec::new(),
            whose: String::new(),
            run: None,
            numbers: Vec::new(),
        }
    }

    /// The stamp of what is cut for no stair.
    pub fn of_no_stair(title: String, figures: &impl std::fmt::Debug, material: &Material) -> Self {
        let (fingerprint, material) = (Fingerprint::of_figures(figures), material_words(material));
        let (order, whose) = (Vec::new(), String::new());
        Self { title, fingerprint, material, order, whose, run: None, numbers: Vec::new() }
    }

    /// The stamp of jobs that are cut together: their titles in a row, as many of them as go into a
    /// title whole, and how many more there are.
    pub fn of_all(jobs: &[&Workup]) -> Self {
        let titles: Vec<&str> = jobs.iter().map(|of| of.job.title.as_str()).collect();
        let title = in_a_row(&titles);
        let mut materials: Vec<String> = Vec::new();
        for words in jobs.iter().map(|of| job_material(&of.job)) {
            if !materials.contains(&words) {
                materials.push(words);
            }
        }
        Self {
            title,
            fingerprint: Fingerprint::of_all(jobs.iter().map(|of| &of.fingerprint)),
            material: materials.join("; "),
            order: Vec::new(),
            whose: String::new(),
            run: None,
            numbers: Vec::new(),
        }
    }

    /// The same for an order: its title over those of the jobs.
    pub fn of_order(self, whose: &Whose) -> Self {
        let title = whose.title().map_or(self.title, str::to_string);
        let (order, whose) = (whose.untitled().lines(), whose.in_a_line());
        Self { title, order, whose, ..self }
    }

    /// The same on what one job of an order is made with, under the job's own title.
    pub fn made_for(self, whose: &Whose) -> Self {
        Self { order: whose.lines(), whose: whose.in_a_line(), ..self }
    }

    /// The same on what one job of a set is cut from.
    pub fn cut_from(self, material: &Material) -> Self {
        Self { material: material_words(material), ..self }
    }

    /// The same on one program of a set.
    pub fn on(self, run: Run) -> Self {
        Self { run: Some(run), ..self }
    }

    /// The same on a program that makes pieces of these numbers, one a run.
    pub fn numbering(self, numbers: Vec<String>) -> Self {
        Self { numbers, ..self }
    }

    /// Name and version of this program.
    pub fn tool() -> &'static str {
        concat!("seatcut ", env!("CARGO_PKG_VERSION"))
    }

    /// The title in ASCII, for files that hold nothing else: accents are spelled plainly.
    pub fn ascii_title(&self) -> String {
        spelling::ascii(&self.title)
    }
}

/// Titles one after the other, none of them cut off: what is left of a title is another job's.
fn in_a_row(titles: &[&str]) -> String {
    let more = |count: usize| match titles.len() - count {
        0 => String::new(),
        rest => format!(" and {rest} more"),
    };
    let row = |count: usize| titles[..count].join(" + ") + &more(count);
    let fits = |row: &String| row.chars().count() <= LONGEST_TITLE;
    let rows = (1..=titles.len()).rev().map(row);
    rows.into_iter().find(fits).unwrap_or_else(|| format!("{} jobs cut together", titles.len()))
}

/// What a job is cut from: of a board that no profile describes its sizes.
fn job_material(job: &Job) -> String {
    if job.by_hand { job.cut.material.name.clone() } else { material_words(&job.cut.material) }
}

/// A material's name and what its profile says of its treatment.
fn material_words(material: &Material) -> String {
    let treatment = match material.treatment {
        Treatment::Untreated => "untreated",
        Treatment::Treated => "TREATED",
        Treatment::Unknown => "treated or not: unknown",
    };
    format!("{}, {treatment} as its profile says", material.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_in_a_row_are_whole_and_those_left_out_are_counted() {
        assert_eq!(in_a_row(&["Garden steps", "Porch stair"]), "Garden steps + Porch stair");
        let long = ["Garden steps of the inn", "Porch stair of the mill house", "Porch stair"];
        assert_eq!(in_a_row(&long), "Garden steps of the inn and 2 more");
        let longest = "W".repeat(LONGEST_TITLE);
        assert_eq!(in_a_row(&[&longest]), longest);
        assert_eq!(in_a_row(&[&longest, &longest]), "2 jobs cut together");
    }
}
