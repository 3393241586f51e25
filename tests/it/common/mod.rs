//! An invented stair whose measurements a test sets one by one, and the path to the built command.

use seatcut::bundle::Bundle;
use seatcut::diagnostics::{Error, ErrorKind};
use seatcut::job::{Job, read_job};
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::{Source, embedded};
use std::process::{Command, Output};

/// A job with every table that most stairs have, for tests that replace its lines.
pub(crate) const GARDEN_STEPS: &str = include_str!("garden_steps.toml");

/// A job as text, every value a line of TOML that a test may replace.
#[derive(Clone, Debug)]
pub(crate) struct Stair {
    pub rules: String,
    pub rise: String,
    pub tread: String,
    pub head: String,
    pub tie_plate: String,
    pub board: String,
    pub cut: String,
    pub waive: String,
    /// Profiles by path.
    pub files: Vec<(String, String)>,
}

impl Default for Stair {
    /// Seven risers of an invented deck stair that nothing refuses.
    fn default() -> Self {
        Self {
            rules: "us-irc-2021".into(),
            rise: "total = \"51 3/8 in\"\nrisers = 7".into(),
            tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in"),
            head: "meets = \"one-down\"\nfinish = \"1 in\"".into(),
            tie_plate: String::new(),
            board: "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"".into(),
            cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\""
                .into(),
            waive: String::new(),
            files: Vec::new(),
        }
    }
}

/// The lines of a `[tread]` table.
pub(crate) fn tread(cut: &str, overhang: &str, thickness: &str, riser_board: &str) -> String {
    format!(
        "cut = \"{cut}\"\noverhang = \"{overhang}\"\nthickness = \"{thickness}\"\nriser_board = \"{riser_board}\""
    )
}

impl Stair {
    /// The job file.
    pub(crate) fn toml(&self) -> String {
        let tie = if self.tie_plate.is_empty() {
            String::new()
        } else {
            format!("[foot.tie_plate]\n{}\n", self.tie_plate)
        };
        format!(
            "title = \"Invented test stair\"\nrules = \"{}\"\n[rise]\n{}\n[tread]\n{}\n[head]\n{}\n{tie}[board]\n{}\n[cut]\n{}\n{}\n",
            self.rules, self.rise, self.tread, self.head, self.board, self.cut, self.waive
        )
    }

    /// The job, or why it cannot be read.
    pub(crate) fn try_job(&self) -> Result<Job, Error> {
        read_job("job.toml", &self.toml(), &|path| {
            let found = self.files.iter().find(|(name, _)| name == path);
            let missing = || Error::new(ErrorKind::File, format!("{path} is not there"));
            found
                .map(|(file, text)| Source { file: file.clone(), text: text.clone() })
                .ok_or_else(missing)
        })
    }

    /// The job.
    pub(crate) fn job(&self) -> Job {
        self.try_job().unwrap_or_else(|e| panic!("{e}\n{}", self.toml()))
    }
}

/// An embedded profile with some of its text replaced; every replacement must hit.
pub(crate) fn profile_with(kind: &str, name: &str, replacements: &[(&str, &str)]) -> String {
    let mut text = embedded(Some(kind), name).expect("an embedded profile").text;
    for (from, to) in replacements {
        assert!(text.contains(from), "{name} has no {from}");
        text = text.replace(from, to);
    }
    text
}

/// What was wrapped for a terminal, on one line.
pub(crate) fn on_one_line(said: &str) -> String {
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A set of one job that nothing refuses.
pub(crate) fn set_of(job: Job) -> Set {
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    assert!(
        !set.refused(),
        "{:?}",
        set.all_findings().map(ToString::to_string).collect::<Vec<_>>()
    );
    set
}

/// The text of the last file of a set whose name begins so, once the whole set is proven.
pub(crate) fn proven_text(set: &Set, begins: &str) -> String {
    let mut found = None;
    Bundle::of(set, DxfVersion::R2000)
        .unwrap()
        .proven(|artifact| {
            if artifact.name.starts_with(begins) {
                found = Some(String::from_utf8(artifact.bytes.clone()).unwrap());
            }
            Ok(artifact.bytes.clone())
        })
        .unwrap();
    found.unwrap_or_else(|| panic!("no file of the set begins with {begins}"))
}

/// Runs the built command.
pub(crate) fn seatcut(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output().unwrap()
}

/// What a run ended with; -1 where it was killed.
pub(crate) fn code(run: &Output) -> i32 {
    run.status.code().unwrap_or(-1)
}

/// A folder with a job, its profile, and what was made of it.
pub(crate) struct Made(tempfile::TempDir);

impl Made {
    pub(crate) fn of(stair: &Stair) -> Self {
        let made = Self(tempfile::tempdir().unwrap());
        std::fs::write(made.path("job.toml"), stair.toml()).unwrap();
        for (name, text) in &stair.files {
            std::fs::write(made.path(name), text).unwrap();
        }
        let (code, said) = made.run(&["make", &made.path("job.toml"), "-o", &made.path("out")]);
        assert_eq!(code, 0, "{said}");
        made
    }

    pub(crate) fn path(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> (i32, String) {
        let run = std::process::Command::new(env!("CARGO_BIN_EXE_seatcut"))
            .args(arguments)
            .output()
            .unwrap();
        let said = [run.stdout, run.stderr]
            .map(|text| String::from_utf8_lossy(&text).into_owned())
            .concat();
        (run.status.code().unwrap_or(-1), on_one_line(&said))
    }

    /// A program of the set.
    pub(crate) fn program(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(&format!("out/{name}"))).unwrap()
    }

    /// What `verify` says of a text, and how it ends.
    pub(crate) fn verify(&self, text: &str) -> (i32, String) {
        std::fs::write(self.path("p.nc"), text).unwrap();
        self.run(&["verify", &self.path("job.toml"), &self.path("p.nc")])
    }
}
