//! From the job file to the job: units, defaults, ranges, profiles.

use std::cell::RefCell;
use std::ops::Range;

use toml::Spanned;

use super::bounds::{Unread, told_together};
use super::job_file::{BoardFile, BoardsFile, JobFile, TreadFile, UnitsFile};
use super::named::{no_rules, no_such_profile};
use super::parts::{Board, Corners, Cut, Job, Tread, TreadBoards, Waiver};
use super::slips::{Swept, swept};
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::profile::reader::{Len, RawLength, Reader};
use crate::profile::{Machine, Material, Rules, Source, embedded, is_path};
use crate::units::{Bare, Length, LengthWarning, Tape, on_tape};

/// Reads a profile from a path; the library itself opens no file.
pub type ProfileLoader<'a> = &'a dyn Fn(&str) -> Result<Source, Error>;

/// The most characters of a title.
pub const LONGEST_TITLE: usize = 60;
/// The most copies that are read.
const MOST_COPIES: i64 = 10_000;

/// Reads a job from the text of a file.
///
/// # Errors
/// With file, line and column, what was found, what is allowed and what to type.
///
/// Where the ground falls the total rise is not known yet: it is the rise at the head until the job
/// is worked up.
pub fn read_job(file: &str, text: &str, load: ProfileLoader<'_>) -> Result<Job, Error> {
    let unread = match read_whole(file, text, load) {
        Ok(job) => return Ok(job),
        Err(Unread::Other(error)) if error.kind() != ErrorKind::Input => return Err(error),
        Err(unread) => unread,
    };
    // What cannot be read is looked at once more as a whole, so that every slip is told: its
    // figures, where it was not read as far as those, with what cannot be read stood in for.
    let Swept { mut slips, mended } = swept(file, text);
    let (error, figures) = match unread {
        Unread::Figures(figures) => (None, figures),
        Unread::Other(error) => match read_whole(file, &mended.text, load) {
            Err(Unread::Figures(figures)) => {
                let typed = figures.into_iter().filter_map(|figure| mended.as_typed(figure));
                (Some(error), typed.collect())
            }
            _ => (Some(error), Vec::new()),
        },
    };
    let place = |slip: &Error| slip.place().and_then(|place| place.line_column);
    let told: Vec<_> = slips.iter().map(place).collect();
    slips.extend(figures.into_iter().filter(|figure| !told.contains(&place(figure))));
    Err(told_together(slips).or(error).expect("a text that is not read has a slip"))
}

fn read_whole(file: &str, text: &str, load: ProfileLoader<'_>) -> Result<Job, Unread> {
    let raw: JobFile = Reader::new(file, text).parse("job").map_err(Unread::Other)?;
    let resolver = Resolver::new(file, text, raw.units, load);
    let tape = resolver.tape(&raw);
    tape.tells(|| resolver.through(|resolver| resolver.job(&raw, tape)))
}

pub(super) struct Resolver<'a> {
    reader: Reader<'a>,
    load: ProfileLoader<'a>,
    pub(super) reading: Vec<Finding>,
    /// What the job leaves out and what is taken for it.
    taken: Vec<String>,
    /// Figures outside their range. What can be read is read on with the nearest that is allowed,
    /// so that all of them are told; nothing is made of it.
    pub(super) outside: RefCell<Vec<Error>>,
}

/// What is said of a length that can be read and is odd.
fn odd(key: &str, typed: String, read: Length, warning: LengthWarning) -> Finding {
    match warning {
        LengthWarning::TwelveInchesAfterFeet => codes::FeetAndInches { typed, read }.at(key),
        LengthWarning::NoLineOfATape => {
            let nearest = Tape::Inches.nearest_line(read);
            codes::OddFraction { typed, read, nearest }.at(key)
        }
    }
}

/// The rule set of a job in inches that names none.
const USUAL_RULES: &str = "us-irc-2021";
/// What is taken for keys that a job leaves out, in inches and in millimetres (common practice, no
/// source).
const USUAL_OVERHANG: (f64, f64) = (1.0, 25.0);
const USUAL_RISER_BOARD: (f64, f64) = (0.75, 18.0);

impl<'a> Resolver<'a> {
    pub(super) fn new(
        file: &'a str,
        text: &'a str,
        units: Option<UnitsFile>,
        load: ProfileLoader<'a>,
    ) -> Self {
        let bare = match units {
            None => Bare::Refused,
            Some(UnitsFile::Inches) => Bare::Inches,
            Some(UnitsFile::Millimetres) => Bare::Millimetres,
        };
        Resolver {
            reader: Reader::new(file, text).with_bare(bare),
            load,
            reading: Vec::new(),
            taken: Vec::new(),
            outside: RefCell::default(),
        }
    }
}

impl Resolver<'_> {
    /// The tape that the rise was measured with, or that the job names; inches where neither says.
    fn tape(&self, raw: &JobFile) -> Tape {
        let rise = raw.rise();
        let at_head = raw.ground.as_ref().map(|ground| &ground.get_ref().at_head);
        let measured = rise.total.as_ref().or(rise.rough.as_ref()).or(at_head);
        let read = measured.and_then(|text| self.reader.tape_of(text));
        raw.units.map(UnitsFile::tape).or(read).unwrap_or_default()
    }

    fn job(&mut self, raw: &JobFile, tape: Tape) -> Result<Job, Error> {
        let title = match &raw.title {
            Some(title) => self.title(title)?,
            None => self.usual_title(),
        };
        let rules = match &raw.rules {
            Some(rules) => self.profile("rules", rules, Rules::read)?,
            None => self.usual_rules(tape)?,
        };
        let tread = self.tread(&raw.tread)?;
        let joint = raw.head.joint.as_ref().map(|joint| self.joint(joint)).transpose()?;
        let head = self.head(&raw.head, &tread, joint)?;
        let foot = self.foot(&raw.foot)?;
        let rise = self.rise(raw, &head, &foot)?;
        let stringer = self.stringer(raw, &tread)?;
        let board = self.board(&raw.board)?;
        let boards = self.stock_boards(raw.boards.as_ref())?;
        let board = self.narrowed(board, &boards);
        let cut = self.cut(raw, &board)?;
        let by_hand = raw.cut.is_none();
        let landings = self.landings(raw, &head)?;
        let opening = self.opening(raw.opening.as_ref(), rise.total)?;
        let around = self.around(raw, &rise, &cut.sharing, joint)?;
        let is_on_sheet = !by_hand && !stringer.is_made_alone() && cut.is_of_sheet();
        let beside = (around.stair.as_ref(), &boards);
        let steps = self.steps(raw.steps.as_ref(), (&tread, &stringer), beside, is_on_sheet)?;
        let skirts = self.skirts(raw.skirts.as_ref(), (&tread, &stringer), &boards)?;
        let rail = self.rail(raw.rail.as_ref(), &stringer)?;
        self.few("waive", raw.waive.len())?;
        let mut waivers = Vec::new();
        for waive in &raw.waive {
            waivers.push(Waiver {
                rule: self.text("waive.rule", &waive.rule)?,
                reason: self.text("waive.reason", &waive.reason)?,
            });
        }
        if !self.taken.is_empty() {
            self.reading.push(codes::TakenAs { keys: self.taken.join("; ") }.at("job"));
        }
        let reading = std::mem::take(&mut self.reading);
        Ok(Job {
            title,
            tape,
            rules,
            rise,
            tread,
            head,
            foot,
            stringer,
            board,
            boards,
            cut,
            around,
            landings,
            opening,
            steps,
            skirts,
            rail,
            flight_of: None,
            by_hand,
            waivers,
            reading,
        })
    }

    /// Notes what is taken for a key that is left out.
    pub(super) fn take(&mut self, key: &str, value: &str) {
        self.taken.push(format!("{key} {value}"));
    }

    /// A length for a key that is left out, in the unit of the tape.
    pub(super) fn usual(&mut self, key: &str, (inches, mm): (f64, f64)) -> Length {
        let length = match Tape::in_hand() {
            Tape::Inches => Length::inches(inches),
            Tape::Metric => Length::mm(mm),
        };
        self.take(key, &on_tape(length));
        length
    }

    /// A stair without a title is called as its file is.
    fn usual_title(&mut self) -> String {
        let name = self.reader.file().rsplit(['/', '\\']).next().unwrap_or("");
        let stem = name.strip_suffix(".toml").filter(|stem| !stem.is_empty()).unwrap_or("Stair");
        let title: String = visible(stem).chars().take(LONGEST_TITLE).collect();
        self.take("title", &title);
        title
    }

    /// Where inches are typed a rule set is taken; another country's is nobody's guess.
    fn usual_rules(&mut self, tape: Tape) -> Result<Rules, Error> {
        if tape == Tape::Metric {
            return Err(no_rules(&self.reader));
        }
        self.take("rules", USUAL_RULES);
        let source = embedded(Some("rules"), USUAL_RULES).ok_or_else(|| no_rules(&self.reader))?;
        Rules::read(USUAL_RULES, &source.file, &source.text)
    }

    fn title(&self, raw: &Spanned<String>) -> Result<String, Error> {
        self.line_of("title", raw)
    }

    /// A line of words for people.
    pub(super) fn line_of(&self, key: &str, raw: &Spanned<String>) -> Result<String, Error> {
        let line = self.text(key, raw)?;
        let count = line.chars().count();
        if count > LONGEST_TITLE {
            return Err(self.refuse(
                key,
                raw.span(),
                format!("{count} characters"),
                "1 to 60 characters",
            ));
        }
        if line.chars().any(char::is_control) {
            return Err(self.refuse(
                key,
                raw.span(),
                "a control character",
                "printable characters",
            ));
        }
        Ok(line)
    }

    fn text(&self, key: &str, raw: &Spanned<String>) -> Result<String, Error> {
        let text = raw.get_ref().trim();
        if text.is_empty() {
            return Err(self.refuse(
                key,
                raw.span(),
                "an empty text",
                "a text of one character or more",
            ));
        }
        Ok(text.to_string())
    }

    pub(super) fn refuse(
        &self,
        key: &str,
        span: Range<usize>,
        found: impl Into<String>,
        allowed: &str,
    ) -> Error {
        self.reader.out_of_range(key, span, &found.into(), allowed)
    }

    /// A length of 0 or more; of an odd one something is said.
    pub(super) fn length(&mut self, key: &str, raw: &Len) -> Result<Length, Error> {
        let (length, warning) = self.reader.length_with_warning(key, raw)?;
        let typed = match raw.get_ref() {
            RawLength::Text(text) => text.clone(),
            RawLength::Number(number) => number.to_string(),
        };
        self.reading.extend(warning.map(|warning| odd(key, typed, length, warning)));
        Ok(length)
    }

    fn tread(&mut self, raw: &TreadFile) -> Result<Tread, Error> {
        let overhang = match &raw.overhang {
            Some(raw) => self.within("tread.overhang", raw, Length::ZERO, Length::mm(150.0))?,
            None => self.usual("tread.overhang", USUAL_OVERHANG),
        };
        let (cut, boards) = match (&raw.cut, &raw.boards) {
            (Some(cut), None) => (self.positive("tread.cut", cut, 3_000.0)?, None),
            (None, Some(boards)) => self.tread_of_boards(boards, overhang)?,
            (Some(cut), Some(_)) => {
                return Err(self.one_of(
                    cut.span(),
                    "tread.cut and tread.boards both set the unit run",
                    "both",
                ));
            }
            (None, None) => {
                let span = raw.thickness.span();
                return Err(self.one_of(
                    span,
                    "the unit run is missing: tread.cut or tread.boards",
                    "neither",
                ));
            }
        };
        Ok(Tread {
            cut,
            overhang,
            thickness: self.positive("tread.thickness", &raw.thickness, 200.0)?,
            riser_board: match &raw.riser_board {
                Some(raw) => {
                    self.within("tread.riser_board", raw, Length::ZERO, Length::mm(100.0))?
                }
                None => self.usual("tread.riser_board", USUAL_RISER_BOARD),
            },
            boards,
        })
    }

    /// Where a piece of the text stands.
    pub(super) fn place(&self, span: Range<usize>) -> crate::diagnostics::Position {
        self.reader.place(span)
    }

    fn one_of(&self, span: Range<usize>, what: &str, found: &str) -> Error {
        Error::new(ErrorKind::Input, what)
            .at(self.reader.place(span))
            .found(found)
            .allowed("one of the two")
            .hint("keep one of the two: cut as measured, or boards by their count, width and gap")
    }

    fn tread_of_boards(
        &mut self,
        raw: &Spanned<BoardsFile>,
        overhang: Length,
    ) -> Result<(Length, Option<TreadBoards>), Error> {
        let boards = raw.get_ref();
        let count = self.count("tread.boards.count", &boards.count, 1, 20)?;
        let width = self.positive("tread.boards.width", &boards.width, 1_000.0)?;
        let gap = self.within("tread.boards.gap", &boards.gap, Length::ZERO, Length::mm(50.0))?;
        let gaps = if boards.gap_at_riser { count } else { count - 1 };
        let finish = width * f64::from(count) + gap * f64::from(gaps);
        if finish <= overhang {
            let allowed = format!("boards and gaps of more than the overhang of {overhang}");
            return Err(self.refuse("tread.boards", raw.span(), finish.to_string(), &allowed));
        }
        Ok((finish - overhang, Some(TreadBoards { count, width, gap })))
    }

    fn board(&mut self, raw: &BoardFile) -> Result<Board, Error> {
        let width = self.positive("board.width", &raw.width, 2_000.0)?;
        let thickness = self.positive("board.thickness", &raw.thickness, 500.0)?;
        if let Some(name) = &raw.called {
            let name = name.clone();
            self.reading.push(codes::BoardByName { name, width, thickness }.at("board"));
        }
        Ok(Board {
            width,
            thickness,
            tip_inset: self.optional(
                "board.tip_inset",
                &raw.tip_inset,
                width.as_mm() / 2.0,
                Length::ZERO,
            )?,
            species: raw.species.as_ref().map(|species| species.get_ref().clone()),
            grade: raw.grade.as_ref().map(|grade| grade.get_ref().clone()),
            wet: raw.wet,
            incised: raw.incised,
        })
    }

    fn cut(&mut self, job: &JobFile, board: &Board) -> Result<Cut, Error> {
        let Some(raw) = &job.cut else { return self.by_hand(job, board) };
        let makes = self.makes(raw)?;
        let quantity = raw
            .quantity
            .as_ref()
            .map_or(Ok(1), |quantity| self.count("cut.quantity", quantity, 1, MOST_COPIES))?;
        let stairs = self.stairs(job, raw, quantity)?;
        let machine = self.profile("machine", &raw.machine, Machine::read)?;
        let material = self.profile("material", &raw.material, Material::read)?;
        let corners = raw.corners.unwrap_or(Corners::Fillet);
        let long = raw.long.unwrap_or_default();
        let sharing = self.sharing(raw, &material)?;
        let (material, thickness) =
            self.as_thick_as_measured(raw, material, board, (makes, sharing.layers))?;
        let machine = self.holding(raw, machine, &material)?.cutting(material.thickness);
        let marks = self.marks(job, raw, material.form)?;
        Ok(Cut {
            makes,
            quantity,
            stairs,
            machine,
            material,
            thickness,
            corners,
            sharing,
            long,
            marks,
        })
    }

    /// A profile's file that cannot be read, with the line that names it.
    fn unread_profile(&self, kind: &str, raw: &Spanned<String>, error: &Error) -> Error {
        let found = error.place().map_or(raw.get_ref().clone(), |place| place.file.clone());
        Error::new(ErrorKind::File, format!("the {kind} profile {}", error.what()))
            .at(self.reader.place(raw.span()))
            .found(found)
            .allowed(
                "the path of a profile, from this file's folder, or the name of one that is built \
                in",
            )
            .hint("`seatcut profiles` lists those that are built in")
    }

    /// A profile by name or path.
    fn profile<T>(
        &self,
        kind: &str,
        raw: &Spanned<String>,
        read: impl Fn(&str, &str, &str) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let reference = raw.get_ref().as_str();
        let unknown = || no_such_profile(&self.reader, kind, reference, raw.span());
        if is_path(reference) {
            // A fraction in a name makes no path of it.
            let source = (self.load)(reference).map_err(|error| match error.kind() {
                ErrorKind::File if !reference.ends_with(".toml") => unknown(),
                ErrorKind::File => self.unread_profile(kind, raw, &error),
                _ => error,
            })?;
            // The path itself stays out of every file: the name is the file's stem.
            let file_name = reference.rsplit(['/', '\\']).next().unwrap_or(reference);
            return read(&visible(file_name.trim_end_matches(".toml")), &source.file, &source.text);
        }
        let source = embedded(Some(kind), reference).ok_or_else(unknown)?;
        read(reference, &source.file, &source.text)
    }
}
