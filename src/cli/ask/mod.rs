//! `ask`: the measurements one by one, in the order of the tape, each read back as it was
//! understood; then the job.

mod answer;
mod lines;

use std::path::Path;

use self::answer::{Board, Plate, Typed, board, chosen, count, length, plate, sentence};
use self::lines::{Lines, say};
use super::Ending;
use super::catalogue::write_new;
use super::console::{Console, shown};
use super::table;
use super::told::{finding, hung};
use crate::diagnostics::{Code, Error, ErrorKind, Finding, Severity};
use crate::job::{Answer, Job, Step, Wanted, begun, question, read_job, text_of, with_key};
use crate::pipeline::workup::Workup;
use crate::profile::{Material, embedded};
use crate::units::{Length, Tape, on_tape};

/// The questions in their order. Some keys are asked for two at a time, and some only where what
/// was answered before makes them one.
const ORDER: [&str; 17] = [
    "rise.total",
    "rise.finish_to_come",
    "head.finish",
    "tread.cut",
    "tread.thickness",
    "tread.overhang",
    "tread.riser_board",
    "head.meets",
    "head.rim_depth",
    BOARD,
    PLATE,
    "rules",
    "rise.risers",
    "cut.makes",
    "cut.machine",
    "cut.material",
    "cut.quantity",
];
const BOARD: &str = "board.width";
const PLATE: &str = "foot.tie_plate.width";
/// Where the choice of risers and of what is cut begin, for whoever does not keep one.
const CUT_BEGINS: &str = "cut.makes";
/// So often a pipe may answer one question wrongly.
const MOST_WRONG: usize = 20;
/// A rule set to read a job with that has not come to that question.
const ANY_RULES: &str = "de-general";
/// What is cut where nothing is.
const BY_HAND: &str = "nothing";

/// Asks for a job and writes it to a file that does not exist yet.
pub(super) fn ask(file: &Path, console: &Console) -> Result<Ending, Error> {
    let to_screen = file == Path::new("-");
    if !to_screen && file.symlink_metadata().is_ok() {
        return Err(Error::new(
            ErrorKind::File,
            "exists; nothing was asked and nothing is written",
        )
        .in_file(&file.display().to_string())
        .hint("give the name of a file that does not exist yet"));
    }
    let stem = file.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let title = stem.filter(|stem| stem != "-").unwrap_or("Stair".to_string());
    say(OPENING);
    let mut asking = Asking::new(title);
    asking.through()?;
    if to_screen {
        console.print(&asking.text)?;
        return Ok(Ending::Done);
    }
    write_new(file, &asking.text)?;
    let (name, folder) = (shown(file), shown(&file.with_extension("")));
    let next = format!("seatcut solve {name}\n  seatcut make {name} -o {folder}");
    console.print(&format!("{name}: your job, as you answered. Next:\n  {next}\n"))?;
    Ok(Ending::Done)
}

const OPENING: &str =
    "Measure, type, Enter. Enter alone takes what stands in brackets; ? says more, back goes one
back. A length has its unit: 26 3/4 in, 2' 2-3/4\", 679.5 mm; once the total rise is typed,
a bare number is in its unit.
";

/// A job on its way.
struct Asking {
    lines: Lines,
    title: String,
    text: String,
    tape: Tape,
    /// What was told of a reading, and is kept.
    kept: Vec<Code>,
    step: Option<Step>,
}

/// Where an answer leads.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    On,
    Back,
    /// Once more from that question.
    From(&'static str),
}

/// What came of a line.
enum Line {
    Typed(String),
    Back,
}

impl Asking {
    fn new(title: String) -> Self {
        let text = begun(&title, Tape::Inches);
        let lines = Lines::open();
        Self { lines, title, text, tape: Tape::Inches, kept: Vec::new(), step: None }
    }

    /// All questions.
    fn through(&mut self) -> Result<(), Error> {
        let (mut at, mut back) = (0, false);
        while let Some(key) = ORDER.get(at) {
            let way = if self.is_asked(key) { Some(self.one(key, at)?) } else { None };
            back = way.map_or(back, |way| way == Way::Back);
            at = match way {
                Some(Way::From(first)) => ORDER.iter().position(|key| *key == first).unwrap_or(0),
                _ if back => at.saturating_sub(1),
                _ => at + 1,
            };
            // There is nothing before the first.
            back &= at > 0;
        }
        Ok(())
    }

    fn is_asked(&self, key: &str) -> bool {
        !key.starts_with("cut.") || key == CUT_BEGINS || text_of(&self.text, CUT_BEGINS).is_some()
    }

    fn one(&mut self, key: &'static str, at: usize) -> Result<Way, Error> {
        self.heading(key);
        match key {
            BOARD => self.board(at),
            PLATE => self.plate(at),
            "rise.risers" => self.risers(at),
            "cut.makes" => self.makes(at),
            "cut.quantity" => match self.plain(key, at)? {
                Way::On => self.whole(at),
                way => Ok(way),
            },
            _ => self.plain(key, at),
        }
    }

    /// The step that a question belongs to, where it is the first of it, and what it is for.
    fn heading(&mut self, key: &str) {
        let asked = question(key).expect("every key of the order is a question");
        if self.step != Some(asked.step) {
            self.step = Some(asked.step);
            let number = Step::ALL.iter().position(|step| *step == asked.step).unwrap_or(0) + 1;
            let of = Step::ALL.len() - 1;
            say(&format!("\n{number} of {of}  {}\n", asked.step.title().to_uppercase()));
        }
    }

    /// A question that sets its own key and no other.
    fn plain(&mut self, key: &'static str, at: usize) -> Result<Way, Error> {
        let asked = question(key).expect("every key of the order is a question");
        let usual = self.usual(key);
        let (tape, choices) = (self.tape, asked.choices());
        // A long list is shown where nothing on it is usual.
        let is_long = asked.wanted == Wanted::Profile("rules") && usual.is_some();
        let list = if is_long { String::new() } else { listed(&choices) };
        let first = key == "rise.total";
        let read = |typed: &str| match asked.wanted {
            Wanted::Length => length(typed, if first { None } else { Some(tape) }),
            Wanted::Count => count(typed),
            _ => chosen(typed, &choices),
        };
        self.asked((asked.asks, asked.means, &list), usual, at, |asking, typed| {
            let Typed { answer, told, by } = read(typed)?;
            if first {
                asking.measured_with(by.unwrap_or_default());
            }
            let told = if told.is_empty() { length_told(typed, asking.tape) } else { told };
            asking.take(&[(key, answer)])?;
            Ok(told)
        })
    }

    /// Takes a tape in hand. What was answered with another one is asked anew, for what is usual
    /// hangs on the tape; with the same one it stays.
    fn measured_with(&mut self, tape: Tape) {
        tape.take_in_hand();
        if tape != self.tape {
            self.tape = tape;
            self.text = begun(&self.title, tape);
        }
    }

    /// What Enter alone takes: what stands already, or what is usual.
    fn usual(&self, key: &str) -> Option<String> {
        let asked = question(key)?;
        let stands = text_of(&self.text, key);
        stands.or_else(|| match key {
            "cut.material" => Some(self.usual_material().to_string()),
            _ => asked.usual_by(self.tape).map(str::to_string),
        })
    }

    /// Common practice, no source.
    fn usual_material(&self) -> &'static str {
        let width = text_of(&self.text, BOARD);
        let is = |inches: &str| width.as_deref() == Some(inches);
        match text_of(&self.text, CUT_BEGINS).as_deref() {
            Some("pattern") => "hardboard-6",
            _ if is("9 1/4 in") => "board-2x10",
            _ if is("11 1/4 in") => "board-2x12",
            _ => "plywood-18",
        }
    }

    /// Asks until it is answered; `take` takes the answer and says how it was understood, or why it
    /// is none.
    fn asked(
        &mut self,
        (asks, means, list): (&str, &str, &str),
        usual: Option<String>,
        at: usize,
        mut take: impl FnMut(&mut Self, &str) -> Result<String, String>,
    ) -> Result<Way, Error> {
        say(&(hung(&format!("{asks}: {means}"), "  ") + list));
        let shown = usual.as_ref().map_or(String::new(), |usual| format!(" [{usual}]"));
        let mut wrong = 0;
        loop {
            let typed = match self.line(&format!("  {asks}{shown}"), at)? {
                Line::Back => return Ok(Way::Back),
                Line::Typed(typed) => typed,
            };
            let typed = match (typed.as_str(), &usual) {
                ("", Some(usual)) => usual.clone(),
                _ => typed,
            };
            if typed == "?" {
                let key = ORDER.get(at).and_then(|key| question(key));
                say(&key.map_or(String::new(), |asked| listed(&asked.choices())));
                say(&hung(FORMS, "    "));
                continue;
            }
            match take(self, &typed) {
                Ok(told) => {
                    say(&hung(&told, "    = "));
                    return Ok(Way::On);
                }
                Err(why) => say(&hung(&why, "    NO: ")),
            }
            wrong += 1;
            if wrong == MOST_WRONG && !self.lines.is_read() {
                return Err(self.ended(at, &format!("{MOST_WRONG} answers in a row are none")));
            }
        }
    }

    fn line(&self, prompt: &str, at: usize) -> Result<Line, Error> {
        match self.lines.next(prompt)? {
            None => Err(self.ended(at, "the input ended before the last question")),
            Some(line) if line.eq_ignore_ascii_case("back") => Ok(Line::Back),
            Some(line) => Ok(Line::Typed(line)),
        }
    }

    /// What was left when nothing more came.
    fn ended(&self, at: usize, what: &str) -> Error {
        let left = ORDER[at..].iter().filter_map(|key| question(key)).map(|asked| asked.asks);
        Error::new(ErrorKind::Input, format!("{what}; nothing was written"))
            .found(format!("not answered: {}", left.collect::<Vec<_>>().join(", ")))
            .hint("answer these too, each on a line of its own; an empty line takes what is usual")
    }

    /// Sets keys, where the job can be read with them; a reading that is odd is kept only by
    /// whoever says so.
    fn take(&mut self, keys: &[(&str, Answer)]) -> Result<(), String> {
        let set = |text: Option<String>, (key, answer): &(&str, Answer)| {
            let means = question(key).map_or("", |asked| asked.means);
            with_key(&text?, key, answer, means)
        };
        let text = keys.iter().fold(Some(self.text.clone()), set);
        let text = text.ok_or("this cannot be put into a job")?;
        let job = read(&text).map_err(|error| sentence(&error))?;
        let is_new = |finding: &&Finding| {
            finding.severity == Severity::Warning && !self.kept.contains(&finding.code)
        };
        if let Some(odd) = job.reading.iter().find(is_new) {
            self.kept.push(odd.code);
            return Err(format!("{}. Type it once more to keep it", odd.sentence()));
        }
        self.text = text;
        Ok(())
    }

    fn board(&mut self, at: usize) -> Result<Way, Error> {
        let stands = |key| text_of(&self.text, key).unwrap_or_default();
        let usual = format!("{} x {}", stands("board.width"), stands("board.thickness"));
        let tape = self.tape;
        let means = "width x thickness, as your tape says, or what it is called: 2x12";
        self.asked(("Board", means, ""), Some(usual), at, |asking, typed| {
            let Board { width, thickness, told } = board(typed, tape)?;
            asking.take(&[("board.width", width), ("board.thickness", thickness)])?;
            Ok(told)
        })
    }

    fn plate(&mut self, at: usize) -> Result<Way, Error> {
        let tape = self.tape;
        let means = "width along the stair x height, or none: then there is no notch";
        self.asked(
            ("Plate let in at the foot", means, ""),
            Some("none".into()),
            at,
            |asking, typed| {
                let Plate { width, height, told } = plate(typed, tape)?;
                asking
                    .take(&[("foot.tie_plate.width", width), ("foot.tie_plate.height", height)])?;
                Ok(told)
            },
        )
    }

    /// The counts with what each would break, and the one that is taken.
    fn risers(&mut self, at: usize) -> Result<Way, Error> {
        let unset = with_key(&self.text, "rise.risers", &Answer::Left, "");
        let unset = unset.expect("a job that was asked for can be read");
        let workup = worked(&unset).map_err(|error| error.hint("go back with the word back"))?;
        say(&table::counts(&workup));
        let usual = workup.flight.risers.to_string();
        let counts: Vec<usize> = workup.choices.iter().map(|of| of.flight.risers).collect();
        let means = "one of the table; what stands against each is in its last column";
        let way = self.asked(("Risers", means, ""), Some(usual), at, |asking, typed| {
            let Typed { answer, .. } = count(typed)?;
            if !matches!(answer, Answer::Count(n) if counts.iter().any(|of| *of as i64 == n)) {
                return Err("no count of the table".to_string());
            }
            asking.take(&[("rise.risers", answer)])?;
            let flight = worked(&asking.text).map_err(|error| sentence(&error))?.flight;
            let (rise, run) = (on_tape(flight.unit_rise), on_tape(flight.unit_run));
            Ok(format!("{} risers of {rise}, treads of {run}", flight.risers))
        })?;
        match way {
            Way::On => self.kept_or("rise.risers", at),
            way => Ok(way),
        }
    }

    fn makes(&mut self, at: usize) -> Result<Way, Error> {
        let asked = question(CUT_BEGINS).expect("it is one of the order");
        let mut choices = asked.choices();
        choices.push((BY_HAND, "it is laid out by hand".to_string()));
        let list = listed(&choices);
        let told = (asked.asks, asked.means, list.as_str());
        self.asked(told, Some(BY_HAND.into()), at, |asking, typed| {
            let Typed { answer, told, .. } = chosen(typed, &choices)?;
            if answer == Answer::Text(BY_HAND.into()) {
                let keys = ["makes", "machine", "material", "thickness", "quantity"];
                let left = keys.map(|key| (format!("cut.{key}"), Answer::Left));
                let left = left.iter().map(|(key, left)| (key.as_str(), left.clone()));
                asking.take(&left.collect::<Vec<_>>())?;
                return Ok(told);
            }
            // Machine and material are asked for next; until then the usual ones stand.
            let pattern = answer == Answer::Text("pattern".into());
            let machine = asking.usual("cut.machine").unwrap_or_default();
            let material =
                if pattern { "hardboard-6" } else { asking.usual_material() }.to_string();
            let (machine, material) = (Answer::Text(machine), Answer::Text(material));
            asking.take(&[
                (CUT_BEGINS, answer),
                ("cut.machine", machine),
                ("cut.material", material),
                // What was measured is another sheet's.
                ("cut.thickness", Answer::Left),
            ])?;
            Ok(told)
        })
    }

    /// The whole job, once the last is said of what is cut.
    fn whole(&mut self, at: usize) -> Result<Way, Error> {
        let material = text_of(&self.text, "cut.material").unwrap_or_default();
        if let Some(thickness) = profile_thickness(&material)
            && text_of(&self.text, CUT_BEGINS).as_deref() == Some("pattern")
        {
            let means = "as measured: so deep is cut; Enter alone: as the material's file says";
            let usual = Some(on_tape(thickness));
            let tape = self.tape;
            let way = self.asked(
                ("Thickness of the sheet", means, ""),
                usual.clone(),
                at,
                |of, typed| {
                    if usual.as_deref() == Some(typed) {
                        of.take(&[("cut.thickness", Answer::Left)])?;
                        return Ok(format!("{typed}, not measured"));
                    }
                    let Typed { answer, told, .. } = length(typed, Some(tape))?;
                    of.take(&[("cut.thickness", answer)])?;
                    Ok(told)
                },
            )?;
            if way == Way::Back {
                return Ok(Way::From("cut.quantity"));
            }
        }
        self.kept_or(CUT_BEGINS, at)
    }

    /// What stands against the job as it is, and whether it is kept all the same.
    fn kept_or(&mut self, from: &'static str, at: usize) -> Result<Way, Error> {
        let workup = worked(&self.text)?;
        let is_new = |finding: &&Finding| {
            (finding.refuses() || finding.severity == Severity::Warning)
                && !self.kept.contains(&finding.code)
        };
        let against: Vec<&Finding> = workup.findings.iter().filter(is_new).collect();
        if against.is_empty() {
            return Ok(Way::On);
        }
        say(&against.iter().map(|of| finding(of)).collect::<String>());
        let codes: Vec<Code> = against.iter().map(|of| of.code).collect();
        let choices = [("yes", "it stays"), ("no", "choose again")];
        let choices: Vec<_> = choices.map(|(word, says)| (word, says.to_string())).to_vec();
        let mut keeps = false;
        let means = "yes or no; back, to change an answer before";
        let way =
            self.asked(("Keep it all the same", means, ""), Some("no".into()), at, |_, typed| {
                let Typed { answer, told, .. } = chosen(typed, &choices)?;
                keeps = answer == Answer::Text("yes".into());
                Ok(told)
            })?;
        match (way, keeps) {
            (Way::On, true) => {
                self.kept.extend(codes);
                Ok(Way::On)
            }
            (Way::On, false) => Ok(Way::From(from)),
            (way, _) => Ok(way),
        }
    }
}

const FORMS: &str = "A length: 26 3/4 in, 26-3/4 in, 2 ft 2 3/4 in, 2' 2-3/4\", 679.5 mm, 68 cm. A word of a list: \
    the word, its number, or as much of it as tells it from the others. back: the question before.";

/// Choices with their numbers.
fn listed(choices: &[(&str, String)]) -> String {
    let wide = choices.iter().map(|(word, _)| word.len()).max().unwrap_or(0);
    let line = |(i, (word, says)): (usize, &(&str, String))| {
        hung(says, &format!("    {:>2}  {word:<wide$}  ", i + 1))
    };
    choices.iter().enumerate().map(line).collect()
}

/// A length as it is said where no other words are.
fn length_told(typed: &str, tape: Tape) -> String {
    length(typed, Some(tape)).map_or(typed.to_string(), |read| read.told)
}

/// The thickness that a material's file says.
fn profile_thickness(name: &str) -> Option<Length> {
    let source = embedded(Some("material"), name)?;
    Some(Material::read(name, &source.file, &source.text).ok()?.thickness)
}

/// The job, its rule set open where it was not asked for yet.
fn read(text: &str) -> Result<Job, Error> {
    let open = text_of(text, "rules").is_none();
    let rules = Answer::Text(ANY_RULES.to_string());
    let whole = if open { with_key(text, "rules", &rules, "") } else { None };
    read_job("the job", whole.as_deref().unwrap_or(text), &|path| {
        Err(Error::new(ErrorKind::Input, format!("{path}: a path is not asked for here")))
    })
}

fn worked(text: &str) -> Result<Workup, Error> {
    Workup::designed(&read(text)?)
}
