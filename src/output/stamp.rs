//! What every file carries: title, tool version, fingerprint.

use super::spelling;
use crate::job::{Fingerprint, LONGEST_TITLE, OrderHead};
use crate::pipeline::set::{OrderFacts, SheetNumbers};
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
    /// Which of a set's programs it is, where it is one.
    pub run: Option<Run>,
}

/// Which program of a set, and how often it is run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
            material: material_words(&job.cut.material),
            order: Vec::new(),
            run: None,
        }
    }

    /// The stamp of what is cut for no stair.
    pub fn of_no_stair(title: String, figures: &impl std::fmt::Debug, material: &Material) -> Self {
        let (fingerprint, material) = (Fingerprint::of_figures(figures), material_words(material));
        Self { title, fingerprint, material, order: Vec::new(), run: None }
    }

    /// The stamp of jobs that are cut together: their titles in a row, as far as a title goes.
    pub fn of_all(jobs: &[&Workup]) -> Self {
        let titles: Vec<&str> = jobs.iter().map(|of| of.job.title.as_str()).collect();
        let title = titles.join(" + ").chars().take(LONGEST_TITLE).collect();
        let mut materials: Vec<String> = Vec::new();
        for words in jobs.iter().map(|of| material_words(&of.job.cut.material)) {
            if !materials.contains(&words) {
                materials.push(words);
            }
        }
        Self {
            title,
            fingerprint: Fingerprint::of_all(jobs.iter().map(|of| &of.fingerprint)),
            material: materials.join("; "),
            order: Vec::new(),
            run: None,
        }
    }

    /// The same for an order: its title over those of the jobs.
    pub fn of_order(self, order: Option<&OrderFacts>) -> Self {
        let Some(OrderFacts { head, .. }) = order else { return self };
        let lines = OrderHead { title: None, ..head.clone() }.lines();
        Self { title: head.title.clone().unwrap_or(self.title), order: lines, ..self }
    }

    /// The same on what one job of a set is cut from.
    pub fn cut_from(self, material: &Material) -> Self {
        Self { material: material_words(material), ..self }
    }

    /// The same on one program of a set.
    pub fn on(self, run: Run) -> Self {
        Self { run: Some(run), ..self }
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

/// A material's name and what its profile says of its treatment.
fn material_words(material: &Material) -> String {
    let treatment = match material.treatment {
        Treatment::Untreated => "untreated",
        Treatment::Treated => "TREATED",
        Treatment::Unknown => "treated or not: unknown",
    };
    format!("{}, {treatment} as its profile says", material.name)
}
