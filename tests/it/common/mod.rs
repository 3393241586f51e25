//! What several tests share: an invented stair, a set of it, and the built command.

mod stair;

use seatcut::bundle::Bundle;
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::embedded;
use std::process::{Command, Output};

pub(crate) use stair::{Stair, tread};

/// A job with every table that most stairs have, for tests that replace its lines.
pub(crate) const GARDEN_STEPS: &str = include_str!("garden_steps.toml");

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
