//! An invented stair whose measurements a test sets one by one.

use seatcut::diagnostics::{Error, ErrorKind};
use seatcut::job::{Job, read_job};
use seatcut::profile::Source;

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
        "cut = \"{cut}\"\noverhang = \"{overhang}\"\nthickness = \"{thickness}\"\nriser_board \
            = \"{riser_board}\""
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
            "title = \"Invented test stair\"\nrules \
                = \"{}\"\n[rise]\n{}\n[tread]\n{}\n[head]\n{}\n{tie}[board]\n{}\n[cut]\n{}\n{}\n",
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
