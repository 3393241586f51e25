//! A set of files as a value: each with its name, its bytes and how it is proven. Who wants it on
//! disk writes it there, reads every file back and has [`Bundle::proven`] hold what was read
//! against what it must be; one piece is a set of one.
//!
//! ```text
//! Set -> programs -> artifacts: programs, sheets, boards.txt, drawings, documents -> proven -> report
//! ```

mod documents;
mod frames;
pub mod names;
#[cfg(test)]
mod once_tests;
mod ordered;
mod own_words;
mod programs;
mod proof;
mod report;
mod set_ups;
mod square;
mod stages;
mod work;

pub use documents::{drawing_expectation, no_letter};
pub use frames::{frame_faults, texts};
pub use ordered::{Ordered, Reference, ordered_pieces};
pub use own_words::own_words;
pub use programs::{Stage, expectations};
pub use proof::{held, proven_figures};
pub use report::{judged_report, unmade_report};
pub use set_ups::{InSetUps, held_in_set_ups};
pub use square::SquareSet;
pub use stages::{Together, held_in_stages};

use rayon::prelude::*;

use crate::diagnostics::Error;
use crate::output::Stamp;
use crate::output::bench;
use crate::output::content::{RunOf, SheetFiles};
use crate::output::drawing::Paper;
use crate::output::dxf::DxfVersion;
use crate::output::frame::Frame;
use crate::output::page::{Page, to_svg};
use crate::output::saw_list;
use crate::output::set_text::saw_list as saw_text;
use crate::output::sheet_picture::{SheetFacts, sheet_picture};
use crate::pipeline::set::{Member, Set, SheetRun};
use crate::profile::Machine;
use crate::verify::Expectation;
use frames::FrameOf;
use programs::ProgramOf;

/// A file of a set.
#[derive(Debug)]
pub struct Artifact<'a> {
    /// Its name in the set's folder.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
    proof: Proof<'a>,
}

/// How a file is proven.
#[derive(Debug)]
enum Proof<'a> {
    /// It must be read back as it was written, no more: people read it.
    Bytes,
    /// It is read by the judge's own reader and held against the part.
    Drawing(Box<Expectation<'a>>),
    /// It is run by the judge and what it leaves is held against the pieces. The number of its
    /// program.
    Program(usize, Box<Expectation<'a>>),
    /// It is one of several that are run one after the other with the stock moved on: all of them
    /// are run by the judge and held against the pieces together.
    SetUp(programs::OneOf, Box<Expectation<'a>>),
    /// It is one of two with a cutter each: the first is run by the judge and held against what it
    /// is to leave, the second held against the pieces, and both together against what holds. The
    /// number of its program; the first's is one less than the second's.
    Stage(Stage, usize, Box<Expectation<'a>>),
    /// It is run by the judge, which finds that it goes round the box and cuts nothing.
    Frame(&'a Machine, Box<Frame>),
}

impl Artifact<'_> {
    /// A file for people, proven by being read back.
    pub fn document(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Artifact<'static> {
        Artifact { name: name.into(), bytes: bytes.into(), proof: Proof::Bytes }
    }

    /// Which of several programs that are proven together it is, if it is one.
    fn set_up(&self) -> Option<programs::OneOf> {
        match self.proof {
            Proof::SetUp(one, _) => Some(one),
            _ => None,
        }
    }
}

/// The files of a set in the order they are named: programs as they are run, sheets, boards, then
/// the documents of each job.
#[derive(Debug)]
pub struct Bundle<'a> {
    set: &'a Set,
    /// The version of its DXF files, and the paper of its drawings where one is asked for.
    form: (DxfVersion, Option<Paper>),
    programs: Vec<ProgramOf<'a>>,
    frames: Vec<FrameOf<'a>>,
    artifacts: Vec<Artifact<'a>>,
}

impl<'a> Bundle<'a> {
    /// Writes every file of a set that nothing refuses, the report left out: it tells how the
    /// others were proven.
    ///
    /// # Errors
    /// If a title has a character that a document cannot show, or a program more lines than
    /// numbers.
    pub fn of(set: &'a Set, version: DxfVersion) -> Result<Self, Error> {
        Self::on_paper(set, version, None)
    }

    /// The same with drawings on a paper, where one is asked for.
    ///
    /// # Errors
    /// As above.
    pub fn on_paper(
        set: &'a Set,
        version: DxfVersion,
        paper: Option<Paper>,
    ) -> Result<Self, Error> {
        set.tape().tells(|| Self::written(set, (version, paper)))
    }

    fn written(set: &'a Set, form: (DxfVersion, Option<Paper>)) -> Result<Self, Error> {
        let programs = programs::of(set);
        let frames = frames::named(set, &programs);
        let mut bundle = Bundle { set, form, programs, frames, artifacts: Vec::new() };
        let text = |(i, of): (usize, &ProgramOf<'a>)| of.artifact(set, i);
        let programs = bundle.programs.par_iter().enumerate().map(text);
        let programs = programs.collect::<Result<Vec<_>, Error>>()?;
        bundle.artifacts.extend(programs);
        bundle.artifacts.extend(bundle.frames.iter().map(FrameOf::artifact));
        let sheets = bundle.sheet_pictures();
        let pictures =
            sheets.iter().map(|(name, page)| Artifact::document(name.as_str(), to_svg(page)));
        bundle.artifacts.extend(pictures);
        if let Some(rack) = set.rack.as_ref().filter(|_| set.is_on_offcuts()) {
            bundle.artifacts.push(Artifact::document(names::CUT_FROM, rack.text.as_str()));
        }
        if !set.boards.is_empty() {
            bundle.artifacts.push(Artifact::document(names::BOARDS, saw_text(set, &title(set))));
        }
        // Where nothing is cut there is no work to list and no piece to label.
        let is_listed = !set.is_by_hand() && (set.members.len() > 1 || set.asked.order.is_some());
        let boards = || set.boards.iter().flat_map(|plan| &plan.boards);
        if is_listed && boards().count() > 0 || boards().any(|of| of.known.is_told_apart()) {
            bundle.artifacts.push(Artifact::document(names::BOARDS_TABLE, saw_list::to_csv(set)));
        }
        if is_listed {
            let runs = bundle.runs();
            let files = work::files(set, &runs, &bundle.sheet_files())?;
            drop(runs);
            bundle.artifacts.extend(files);
        }
        let runs = (&bundle.programs[..], &bundle.frames[..]);
        let prefixes = names::prefixes(set);
        let of_job =
            |(member, prefix): (usize, &String)| documents::of(set, runs, member, prefix, form);
        let documents = prefixes.par_iter().enumerate().map(of_job);
        let documents = documents.collect::<Result<Vec<_>, Error>>()?;
        bundle.artifacts.extend(documents.into_iter().flatten());
        bundle.artifacts.extend(documents::whole_stairs(set, form.1)?);
        let page = bundle.set_page(&sheets);
        bundle.artifacts.extend(page);
        Ok(bundle)
    }

    /// A picture of each sheet, by the name of its file.
    fn sheet_pictures(&self) -> Vec<(String, Page)> {
        let all = stamp(self.set);
        let picture = |(i, run): (usize, &SheetRun)| {
            let sheets = self.set.sheet_numbers(i);
            let title = format!("{sheets}: {} (job {})", all.title, all.fingerprint);
            let own = self.programs.iter().filter(|of| of.is_of(run));
            let member = run.first_member();
            let whose = self.set.whose(run.members());
            let facts = SheetFacts {
                title: &title,
                whose: &whose.in_a_line(),
                numbers: sheets,
                programs: own.map(|of| of.name.as_str()).collect(),
                grain: self.set.members[member].job().cut.material.grain,
            };
            let tape = self.set.members[member].job().tape;
            (names::sheet_picture(i), tape.tells(|| sheet_picture(run, &facts)))
        };
        self.set.sheets.iter().enumerate().map(picture).collect()
    }

    /// Of several jobs the page that plays all of their programs; each has its own where there is
    /// one.
    fn set_page(&self, sheets: &[(String, Page)]) -> Option<Artifact<'static>> {
        if self.set.members.len() < 2 || self.programs.is_empty() {
            return None;
        }
        let job = |(i, member): (usize, &Member)| {
            let whose = self.set.whose([i]).in_a_line();
            let whose = if whose.is_empty() { whose } else { format!(": {whose}") };
            format!("{} (job {}){whose}", member.job().title, member.workup.fingerprint)
        };
        let jobs = self.set.members.iter().enumerate().map(job);
        let played = documents::played(self.set, (&self.programs, &self.frames));
        let page = bench::set_page(stamp(self.set), &jobs.collect::<Vec<_>>(), &played, sheets);
        Some(Artifact::document(names::BENCH_PAGE, page))
    }

    /// What the files of each layout are called.
    fn sheet_files(&self) -> Vec<SheetFiles> {
        let of = |(i, run): (usize, &SheetRun)| SheetFiles {
            picture: names::sheet_picture(i),
            programs: self
                .programs
                .iter()
                .filter(|p| p.is_of(run))
                .map(|p| p.name.clone())
                .collect(),
        };
        self.set.sheets.iter().enumerate().map(of).collect()
    }

    /// How long the machines run for all of it, frames included, in seconds.
    pub fn machine_s(&self) -> f64 {
        self.runs().iter().map(RunOf::whole_s).sum()
    }

    /// Every program in the order they are run, the frames first.
    pub fn runs(&self) -> Vec<RunOf<'_>> {
        documents::runs(self.set, (&self.programs, &self.frames), 0)
    }

    /// Every file.
    pub fn artifacts(&self) -> &[Artifact<'a>] {
        &self.artifacts
    }
}

/// What every file of a set carries.
fn stamp(set: &Set) -> Stamp {
    Stamp::of_all(&set.members.iter().map(|member| &member.workup).collect::<Vec<_>>())
        .of_order(&set.all_whose())
}

/// What carries only some of a set's pieces is stamped with whose they are.
fn stamp_of(set: &Set, members: impl IntoIterator<Item = usize>) -> Stamp {
    stamp(set).of_order(&set.whose(members))
}

fn title(set: &Set) -> String {
    let of =
        |member: &Member| format!("{} (job {})", member.job().title, member.workup.fingerprint);
    let titles: Vec<String> = set.members.iter().map(of).collect();
    let order = set.all_whose().lines();
    let order: String = order.iter().map(|line| format!("{line}\n")).collect();
    format!("Boards for {}\n{order}{}", titles.join(", "), Stamp::tool())
}
