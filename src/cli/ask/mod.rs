//! `ask`: the measurements in the order of the tape, one prompt a step: what is usual is shown in
//! lines and taken by Enter alone. What was typed is read back as it was understood; then the job.

mod answer;
mod block;
mod entry;
mod lines;
mod risers;
mod steps;

use std::path::Path;

use self::answer::{Typed, chosen, count, length, sentence};
use self::lines::{Lines, say};
use self::steps::STEPS;
use super::Ending;
use super::catalogue::{folder_beside, job_named, write_new};
use super::console::{Console, shown};
use super::place::field_of;
use super::told::{finding, hung};
use crate::diagnostics::{Code, Error, ErrorKind, Finding, Severity};
use crate::job::{Answer, Job, Wanted, begun, question, read_job, text_of, with_key};
use crate::pipeline::workup::Workup;
use crate::units::Tape;

/// So often a pipe may answer one question wrongly.
const MOST_WRONG: usize = 20;
/// A rule set to read a job with that has not come to that question.
const ANY_RULES: &str = "de-general";

/// Asks for a job and writes it to a file that does not exist yet.
pub(super) fn ask(file: &Path, console: &Console) -> Result<Ending, Error> {
    let to_screen = file == Path::new("-");
    let file = &if to_screen { file.to_path_buf() } else { job_named(file)? };
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
    let (name, folder) = (shown(file), shown(&folder_beside(file)?));
    let next = format!("seatcut solve {name}\n  seatcut make {name} -o {folder}");
    console.print(&format!("{name}: your job, as you answered. Next:\n  {next}\n"))?;
    Ok(Ending::Done)
}

const OPENING: &str = "\
Measure, type, Enter. Enter alone takes what is shown as usual, ? says more,
back goes a step back. A length has its unit: 26 3/4 in, 2' 2-3/4\", 679.5 mm;
once the total rise is typed, a number alone is in its unit. Where lines have
numbers, 2 = 1 1/4 changes the second, and 2 = 1 1/4; 3 = 1 two of them.
";

/// A job on its way.
struct Asking {
    lines: Lines,
    title: String,
    text: String,
    tape: Tape,
    /// What was told of a reading or of the job, and is kept.
    kept: Vec<Code>,
    /// Which step is asked for.
    at: usize,
}

/// Where an answer leads.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    On,
    Back,
}

/// What came of a line.
enum Line {
    Typed(String),
    Back,
}

/// A question that one line answers.
struct Asked<'a> {
    asks: &'a str,
    means: &'a str,
    /// The words to choose from, shown before it is asked.
    list: &'a [(&'a str, String)],
    /// More words, which `?` shows.
    more: &'a [(&'a str, String)],
    /// What Enter alone takes.
    usual: Option<String>,
}

impl Asking {
    fn new(title: String) -> Self {
        let text = begun(&title, Tape::Inches);
        let lines = Lines::open();
        Self { lines, title, text, tape: Tape::Inches, kept: Vec::new(), at: 0 }
    }

    /// All steps.
    fn through(&mut self) -> Result<(), Error> {
        while let Some((title, step)) = STEPS.get(self.at) {
            say(&format!("\n{} of {}  {}\n", self.at + 1, STEPS.len(), title.to_uppercase()));
            self.at = match step(self)? {
                Way::On => self.at + 1,
                // There is nothing before the first.
                Way::Back => self.at.saturating_sub(1),
            };
        }
        Ok(())
    }

    /// A question that sets its own key and no other.
    fn plain(&mut self, key: &'static str) -> Result<Way, Error> {
        let asked = question(key).expect("every question that is asked is one of the list");
        let (usual, tape, choices) = (self.usual(key), self.tape, asked.choices());
        let first = key == "rise.total";
        let read = |typed: &str| match asked.wanted {
            Wanted::Length => length(typed, if first { None } else { Some(tape) }),
            Wanted::Count => count(typed),
            _ => chosen(typed, &choices),
        };
        let of = Asked { asks: asked.asks, means: asked.means, list: &choices, more: &[], usual };
        self.asked(&of, |asking, typed| {
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
            "cut.thickness" => entry::thickness_of(&self.usual("cut.material")?),
            _ => asked.usual_by(self.tape).map(str::to_string),
        })
    }

    /// Asks until it is answered; `take` takes the answer and says how it was understood, or why it
    /// is none.
    fn asked(
        &mut self,
        of: &Asked<'_>,
        mut take: impl FnMut(&mut Self, &str) -> Result<String, String>,
    ) -> Result<Way, Error> {
        let Asked { asks, means, list, more, usual } = of;
        say(&(hung(&format!("{asks}: {means}"), "  ") + &listed(list)));
        let shown = usual.as_ref().map_or(String::new(), |usual| format!(" [{usual}]"));
        let mut wrong = 0;
        loop {
            let typed = match self.line(&format!("  {asks}{shown}"))? {
                Line::Back => return Ok(Way::Back),
                Line::Typed(typed) => typed,
            };
            let typed = match (typed.as_str(), usual) {
                ("", Some(usual)) => usual.clone(),
                _ => typed,
            };
            if typed == "?" {
                say(&(listed(list) + &listed(more) + &hung(FORMS, "    ")));
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
            self.still_reads(wrong)?;
        }
    }

    fn line(&self, prompt: &str) -> Result<Line, Error> {
        match self.lines.next(prompt)? {
            None => Err(self.ended("the input ended before the last question")),
            Some(line) if line.eq_ignore_ascii_case("back") => Ok(Line::Back),
            Some(line) => Ok(Line::Typed(line)),
        }
    }

    /// Whether so many wrong answers in a row come from somebody who reads why.
    fn still_reads(&self, wrong: usize) -> Result<(), Error> {
        if wrong < MOST_WRONG || self.lines.is_read() {
            return Ok(());
        }
        Err(self.ended(&format!("{MOST_WRONG} answers in a row are none")))
    }

    /// What was left when nothing more came.
    fn ended(&self, what: &str) -> Error {
        let left: Vec<&str> = STEPS[self.at..].iter().map(|(title, _)| *title).collect();
        let read = self.lines.count();
        Error::new(ErrorKind::Input, format!("{what}; nothing was written"))
            .found(format!("after line {read}, not answered: {}", left.join(", ")))
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

    /// Tells what stands against the job as it is and was not told before. Whether it may stay:
    /// what refuses may not.
    fn may_stay(&mut self) -> bool {
        let workup = match worked(&self.text) {
            Ok(workup) => workup,
            // What can be read and means nothing together.
            Err(error) => {
                say(&hung(&sentence(&error), "    NO: "));
                return false;
            }
        };
        let refused: Vec<&Finding> = workup.findings.iter().filter(|of| of.refuses()).collect();
        let is_new = |of: &&Finding| {
            of.severity == Severity::Warning && of.waived.is_none() && !self.kept.contains(&of.code)
        };
        let warned: Vec<&Finding> = workup.findings.iter().filter(is_new).collect();
        say(&refused.iter().chain(&warned).map(|of| finding(of)).collect::<String>());
        if !refused.is_empty() {
            let change = to_change(&refused, "");
            say(&hung(&format!("what is refused cannot stay: {change}"), "    NO: "));
            return false;
        }
        if !warned.is_empty() {
            say(&hung("it stays so; back goes to what you may change", "    = "));
        }
        self.kept.extend(warned.iter().map(|of| of.code));
        true
    }
}

/// What somebody changes where something refuses, the answer left out that is just asked for.
fn to_change(refused: &[&Finding], asked: &str) -> String {
    let mut names: Vec<&str> = Vec::new();
    for key in refused.iter().filter_map(|of| field_of(of)).filter(|key| *key != asked) {
        names.extend(question(key).map(|of| of.asks).filter(|name| !names.contains(name)));
    }
    match &names[..] {
        [] => "change an answer before: back goes a step back".to_string(),
        names => format!("change {}: back goes a step back", names.join(" or ")),
    }
}

const FORMS: &str = "A length: 26 3/4 in, 26-3/4 in, 2 ft 2 3/4 in, 2' 2-3/4\", 679.5 mm, 68 cm. A \
    word of a list: the word, its number, or as much of it as tells it from the others. Of several \
    lines: 2 = 1 1/4 in changes the second, 2 = 1 1/4 in; 3 = 1 in two of them, ? 2 says more of \
    it. none: it is left out. back: the step before.";

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
