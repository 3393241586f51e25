//! Several pieces cut together: jobs and their copies become sheets with a program each, and boards
//! to buy.
//!
//! ```text
//! jobs -> members (worked up, tooled) -> kinds of pieces -> sheets: nest -> plan
//!                                                        -> boards: lumber
//! ```

mod boards;
mod hanging;
mod kinds;
mod member;
mod nested;
mod offcuts;
mod pieces;
mod rack;
mod saw_list;
mod share;
mod sharing;
mod sheets;
mod split;
mod stairway;
mod table;
mod together;

pub use boards::{BoardPlan, Chosen, SawnBoards, SawnPiece, counted_up};
pub use kinds::{Kind, kinds};
pub use member::{Entry, Member};
pub use nested::{BoundBy, NestFigures};
pub use offcuts::SheetOffcut;
pub use pieces::{CutOf, NumberedPiece, SheetNumbers};
pub use rack::Cost;
pub use saw_list::{BlankToSaw, BoardToSaw};
pub use sheets::{SheetRun, on_sheets};
pub use stairway::{Stairway, one_flight};
pub use together::SharedBoards;

use self::stairway::{Parted, parted};
use crate::cam::plan::lies_alone;
use crate::diagnostics::{Error, ErrorKind, Finding, Warned, codes, gathered};
use crate::job::{Fingerprint, Job, Long, MarksAsked, OrderHead, Stock, Whose};
use crate::optimise::nesting::Watch;
use crate::pipeline::workup::Workup;
use crate::profile::Form;
use crate::units::Tape;

/// What a set is made of: the same asked of the same version gives the same files.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Every job as it was read, and how many times its own quantity is made.
    pub jobs: Vec<(Fingerprint, usize)>,
    /// How hard was searched.
    pub effort: u32,
    /// Whose it is, where an order file lists the jobs.
    pub order: Option<OrderFacts>,
    /// A short name for what lies in the rack that it is cut from.
    pub rack: Option<Fingerprint>,
}

/// Whose a set is: for each of its jobs what the order says of the line that lists it, with the
/// line's own customer. Jobs of several orders keep each its own.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderFacts {
    lines: Vec<OrderHead>,
}

impl OrderFacts {
    /// Of the lines of all jobs, in their order.
    pub fn of(lines: Vec<OrderHead>) -> Self {
        Self { lines }
    }

    /// Whether anybody said anything: an order may only list its jobs.
    pub fn says_anything(&self) -> bool {
        self.lines.iter().any(|line| *line != OrderHead::default())
    }

    /// The line of each job.
    pub fn lines(&self) -> &[OrderHead] {
        &self.lines
    }
}

impl Asked {
    /// What is asked with jobs and an effort.
    pub fn of(entries: &[Entry], effort: u32) -> Self {
        let job = |entry: &Entry| (Fingerprint::as_read(&entry.job), entry.times);
        Self { jobs: entries.iter().map(job).collect(), effort, order: None, rack: None }
    }

    /// The same cut from a rack.
    pub fn out_of(self, rack: Option<&Stock>) -> Self {
        Self { rack: rack.map(Fingerprint::of_stock), ..self }
    }
}

/// Everything that follows from several jobs that are cut together.
#[derive(Clone, Debug)]
pub struct Set {
    /// The jobs, worked up.
    pub members: Vec<Member>,
    /// The sheets with their programs, in the order they are cut.
    pub sheets: Vec<SheetRun>,
    /// How well the sheets are used: one for every kind of sheet.
    pub nests: Vec<NestFigures>,
    /// The boards to buy: one plan for every kind of board.
    pub boards: Vec<BoardPlan>,
    /// The boards to buy for treads, riser boards and skirts of several of the jobs.
    pub step_boards: Vec<SharedBoards>,
    /// The stairs of several flights among them.
    pub stairways: Vec<Stairway>,
    /// What there is to say of the set as a whole; each job's own findings are with it.
    pub findings: Vec<Finding>,
    /// What it is made of.
    pub asked: Asked,
    /// The rack that it is cut from, where one was named.
    pub rack: Option<Stock>,
}

/// Whether a job's pieces are laid out together: several, or around clamps, or those of a split
/// pattern, on sheets.
pub fn is_laid_out(job: &Job) -> bool {
    let sharing = &job.cut.sharing;
    job.cut.material.form == Form::Sheet
        && !lies_alone(job)
        && (job.cut.pieces() > 1
            || !sharing.clamps.is_empty()
            || sharing.spacing.is_some()
            || job.cut.marks == MarksAsked::Number
            || job.cut.long == Long::Split
            || job.steps.as_ref().is_some_and(|steps| steps.from_sheet))
}

/// Whether a job's pieces are cut from blanks that are sawn from boards: what to buy is told of one
/// piece as of many. A housed stringer is only made alone.
fn is_sawn(job: &Job) -> bool {
    job.cut.material.form == Form::Board && !job.stringer.is_made_alone()
}

/// Whether a job is one piece that shares its material with nothing, and that no board is bought
/// and sawn for.
fn is_alone(job: &Job) -> bool {
    job.by_hand || job.cut.pieces() == 1 && !is_laid_out(job) && !is_sawn(job)
}

/// Whether offcuts of a job's sheets lie in a rack, and its pieces may be laid out on them.
fn may_lie_on_offcut(job: &Job, rack: &Stock) -> bool {
    let material = &job.cut.material;
    let on_sheet = !job.by_hand && material.form == Form::Sheet && !lies_alone(job);
    on_sheet && rack.sheet_offcuts_of(&material.name).next().is_some()
}

impl Set {
    /// Whether no machine is named for any of its jobs: nothing is cut, and nothing is to be run.
    pub fn is_by_hand(&self) -> bool {
        self.members.iter().all(|member| member.job().by_hand)
    }

    /// Works jobs up and lays their pieces out, searching as hard as `effort` says. Nothing is laid
    /// out where a refusal stands.
    ///
    /// # Errors
    /// If two jobs have one title, or jobs that share a sheet place different clamps; those of
    /// [`Workup::designed`](crate::pipeline::workup::Workup::designed).
    pub fn of(entries: Vec<Entry>, effort: u32) -> Result<Self, Error> {
        Self::out_of(entries, effort, None, &Watch::nobody())
    }

    /// The same cut from what lies in a rack, where one is named, and watched: told to stop, sheets
    /// are laid out as best was found, which is said.
    ///
    /// # Errors
    /// As above.
    pub fn out_of(
        entries: Vec<Entry>,
        effort: u32,
        rack: Option<Stock>,
        watch: &Watch<'_>,
    ) -> Result<Self, Error> {
        let tape = entries.first().map(|first| first.job.tape).unwrap_or_default();
        let asked = Asked::of(&entries, effort).out_of(rack.as_ref());
        let worked = tape.tells(|| Self::worked(entries, effort, (rack.as_ref(), watch)))?;
        let mut set = Self { asked, ..worked };
        if let Some(rack) = rack.filter(|_| !set.refused()) {
            set.findings.extend(tape.tells(|| set.too_little(&rack)));
            set.rack = Some(rack);
        }
        Ok(set)
    }

    fn worked(
        entries: Vec<Entry>,
        effort: u32,
        laid: (Option<&Stock>, &Watch<'_>),
    ) -> Result<Self, Error> {
        let Parted { mut entries, stairways, mut findings } = parted(entries)?;
        if entries.len() == 1
            && let Some(only) = entries.pop_if(|only| only.times == 1 && is_alone(&only.job))
        {
            return match Self::on_offcut(&only, effort, laid)? {
                Some(on_offcut) => Ok(on_offcut),
                None => Ok(Self::bare(vec![Member::alone(only)?], Vec::new())),
            };
        }
        one_title_each(&entries)?;
        let mut members =
            entries.into_iter().map(Member::of).collect::<Result<Vec<Member>, Error>>()?;
        stairway::waived_once(&mut members, &stairways);
        findings.extend(housed_together(&members));
        let Warned { value: step_boards, findings: said } =
            together::together(&mut members, &stairways);
        findings.extend(said);
        let set = Self { stairways, step_boards, ..Self::bare(members, findings) };
        if set.refused() || set.is_by_hand() { Ok(set) } else { set.laid_out(effort, laid) }
    }

    /// One piece that shares its material with nothing, where an offcut of the rack is what it is
    /// cut from.
    fn on_offcut(
        only: &Entry,
        effort: u32,
        laid: (Option<&Stock>, &Watch<'_>),
    ) -> Result<Option<Self>, Error> {
        if !laid.0.is_some_and(|rack| may_lie_on_offcut(&only.job, rack)) {
            return Ok(None);
        }
        let members = vec![Member::of(only.clone())?];
        let set = Self::bare(members, Vec::new());
        let set = if set.refused() { set } else { set.laid_out(effort, laid)? };
        Ok(Some(set).filter(|set| set.is_on_offcuts() && !set.refused()))
    }

    /// The same made for an order.
    pub fn for_order(mut self, order: Option<OrderFacts>) -> Self {
        self.asked.order = order;
        self
    }

    /// Jobs worked up as far as they mean something, of which nothing is laid out: for the report
    /// of what [`Set::of`] refuses.
    pub fn refused_of(entries: Vec<Entry>) -> Self {
        let member = |entry: Entry| Member::worked_up(Workup::of(&entry.job), entry.times);
        match parted(entries.clone()) {
            Ok(Parted { entries, stairways, findings }) => Self {
                stairways,
                ..Self::bare(entries.into_iter().map(member).collect(), findings)
            },
            Err(_) => Self::bare(entries.into_iter().map(member).collect(), Vec::new()),
        }
    }

    /// Jobs of which nothing is laid out.
    fn bare(members: Vec<Member>, findings: Vec<Finding>) -> Self {
        Self {
            members,
            sheets: Vec::new(),
            nests: Vec::new(),
            boards: Vec::new(),
            step_boards: Vec::new(),
            stairways: Vec::new(),
            findings,
            asked: Asked::default(),
            rack: None,
        }
    }

    /// The same with everything laid out that is cut together; nothing of it where one part of it
    /// is refused.
    fn laid_out(
        self,
        effort: u32,
        (rack, watch): (Option<&Stock>, &Watch<'_>),
    ) -> Result<Self, Error> {
        let Self { members, stairways, step_boards, mut findings, .. } = self;
        let (of_sheets, of_boards): (Vec<Group>, Vec<Group>) =
            groups(&members, rack).into_iter().partition(|group| group.form == Form::Sheet);
        let of_sheets: Vec<Vec<usize>> = of_sheets.into_iter().map(|of| of.members).collect();
        let sheets = sharing::lay_out(&members, &of_sheets, effort, (rack, watch))?;
        let laid_out = gathered(sheets, &mut findings).unwrap_or_default();
        let mut boards = Vec::new();
        for group in of_boards {
            let sawn = boards::saw(&members, &group.members, effort, rack)?;
            boards.extend(gathered(sawn, &mut findings));
        }
        let bare = Self { stairways, step_boards, ..Self::bare(members, each_once(findings)) };
        if bare.refused() {
            return Ok(bare);
        }
        let (nests, sheets): (Vec<_>, Vec<_>) =
            laid_out.into_iter().map(|of| (of.nest, of.sheets)).unzip();
        Ok(Self { nests, sheets: sheets.into_iter().flatten().collect(), boards, ..bare })
    }

    /// The tape by which the set is told: its first job's.
    pub fn tape(&self) -> Tape {
        self.members.first().map(|first| first.job().tape).unwrap_or_default()
    }

    /// Whether a refusal stands that nobody took on, in a job or in the set.
    pub fn refused(&self) -> bool {
        self.all_findings().any(Finding::refuses)
    }

    /// What the order says of the line that a member is of; nothing where no order lists it. The
    /// flights of one stair are all of its line.
    pub fn line_of(&self, member: usize) -> OrderHead {
        let before = |of: &Stairway| {
            let last = of.first + of.whole.flights.len() - 1;
            member.clamp(of.first, last) - of.first
        };
        let entry = member - self.stairways.iter().map(before).sum::<usize>();
        let lines = self.asked.order.as_ref().map(OrderFacts::lines);
        lines.and_then(|lines| lines.get(entry)).cloned().unwrap_or_default()
    }

    /// Whose something is that is made for some of its members.
    pub fn whose(&self, members: impl IntoIterator<Item = usize>) -> Whose {
        let lines: Vec<OrderHead> = members.into_iter().map(|of| self.line_of(of)).collect();
        Whose::of(&lines)
    }

    /// Whose all of it is.
    pub fn all_whose(&self) -> Whose {
        self.whose(0..self.members.len())
    }

    /// Whether some of it is cut from offcuts of sheets.
    pub fn is_on_offcuts(&self) -> bool {
        self.sheets.iter().any(|run| run.offcut.is_some())
    }

    /// Every finding, of the jobs and of the set.
    pub fn all_findings(&self) -> impl Iterator<Item = &Finding> {
        self.members.iter().flat_map(|member| &member.workup.findings).chain(&self.findings)
    }
}

/// What is said of several sheets is said once.
fn each_once(findings: Vec<Finding>) -> Vec<Finding> {
    let mut once: Vec<Finding> = Vec::with_capacity(findings.len());
    for finding in findings {
        if !once.contains(&finding) {
            once.push(finding);
        }
    }
    once
}

/// A title is what tells the pieces apart once they are cut.
fn one_title_each(entries: &[Entry]) -> Result<(), Error> {
    for (i, entry) in entries.iter().enumerate() {
        if entries[..i].iter().any(|before| before.job.title == entry.job.title) {
            return Err(Error::new(ErrorKind::Input, "two jobs of one set have the same title")
                .found(format!("\"{}\" twice", entry.job.title))
                .allowed("a title for each job: it is what tells the pieces apart")
                .hint(format!(
                    "title = \"{} 2\"",
                    entry.job.title.chars().take(50).collect::<String>()
                )));
        }
    }
    Ok(())
}

/// Pockets are cut one piece a program: a housed stringer is no part of a set.
fn housed_together(members: &[Member]) -> Option<Finding> {
    let housed = members.iter().filter(|member| member.job().stringer.is_made_alone()).count();
    let found =
        || codes::HousedSeveral { asked: codes::Together::Set, pieces: housed.into() }.at("set");
    (housed > 0).then(found)
}

/// Members that are laid out together.
struct Group {
    form: Form,
    members: Vec<usize>,
}

/// Members that share sheets, by material and machine, or a purchase of boards, whichever machines
/// cut them: boards of one name are one purchase out of a rack, for what lies there is there once;
/// of a yard each job is sold the lengths that it names. In the order of their first.
fn groups(members: &[Member], rack: Option<&Stock>) -> Vec<Group> {
    let mut groups: Vec<(String, Group)> = Vec::new();
    for (i, member) in members.iter().enumerate() {
        let cut = &member.job().cut;
        let form = cut.material.form;
        let key = match form {
            Form::Sheet => format!("{:?}{:?}", cut.machine, cut.material),
            Form::Board => match rack {
                Some(_) => cut.material.name.clone(),
                None => format!("{}{:?}", cut.material.name, member.job().boards.lengths),
            },
        };
        match groups.iter_mut().find(|(of, group)| group.form == form && *of == key) {
            Some((_, group)) => group.members.push(i),
            None => groups.push((key, Group { form, members: vec![i] })),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}
