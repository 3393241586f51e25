//! `ask`: the measurements in the order of the tape, one prompt a step: what is usual is shown in
//! lines and taken by Enter alone. What was typed is read back as it was understood; then the job.

mod answer;
mod block;
mod entry;
mod help;
mod lines;
mod remedy;
mod risers;
mod steps;
#[cfg(test)]
mod tests;

use std::path::Path;

use self::answer::{Typed, chosen, count, length, sentence};
use self::lines::{Lines, say};
use self::remedy::{Enough, would_do};
use self::steps::{STEPS, place_of};
use super::Ending;
use super::catalogue::{folder_beside, job_named, write_new};
use super::console::{Console, shown};
use super::place::field_of;
use super::told::{finding, hung};
use crate::diagnostics::{Code, Error, ErrorKind, Finding, Severity};
use crate::job::{Answer, Job, Long, Wanted, begun, question, read_job, text_of, with_key};
use crate::pipeline::set::{Entry, Set};
use crate::pipeline::workup::Workup;
use crate::units::Tape;

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
    /// Whether the answer before was refused for an odd reading alone, which it is kept with if it
    /// is typed once more.
    is_odd: bool,
    /// A line that was read and not answered with yet.
    again: Option<String>,
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
    /// What `?` says more by.
    key: &'static str,
    asks: &'a str,
    means: &'a str,
    /// The words to choose from, shown before it is asked.
    list: &'a [(&'a str, String)],
    /// More words, which `?` shows.
    more: &'a [(&'a str, String)],
    /// How an answer is typed.
    how: &'static str,
    /// What Enter alone takes.
    usual: Option<String>,
}

impl Asking {
    fn new(title: String) -> Self {
        let text = begun(&title, Tape::Inches);
        let lines = Lines::open();
        let (tape, kept) = (Tape::Inches, Vec::new());
        Self { lines, title, text, tape, kept, at: 0, is_odd: false, again: None }
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
        let how = match asked.wanted {
            Wanted::Length => help::LENGTH,
            Wanted::Count => help::COUNT,
            _ => help::WORD,
        };
        let (asks, means) = (asked.asks, asked.means);
        let of = Asked { key, asks, means, list: &choices, more: &[], how, usual };
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
        let Asked { key, asks, means, list, more, how, usual } = of;
        say(&(hung(&format!("{asks}: {means}"), "  ") + &listed(list)));
        let shown = usual.as_ref().map_or(String::new(), |usual| format!(" [{usual}]"));
        loop {
            let typed = match self.line(&format!("  {asks}{shown}"))? {
                Line::Back => return Ok(Way::Back),
                Line::Typed(typed) => typed,
            };
            if typed.starts_with('?') {
                let says = hung(help::help(key).unwrap_or_default(), "    ");
                let how = hung(&format!("{how} {}", help::BACK), "    ");
                say(&(says + &listed(list) + &listed(more) + &how));
                continue;
            }
            let typed = match (typed.as_str(), usual) {
                ("", Some(usual)) => usual.clone(),
                _ => typed,
            };
            match take(self, &typed) {
                Ok(told) => {
                    say(&hung(&told, "    = "));
                    return Ok(Way::On);
                }
                Err(why) => self.refused(&typed, &format!("{asks}: {why}"))?,
            }
        }
    }

    fn line(&mut self, prompt: &str) -> Result<Line, Error> {
        let line = match self.again.take() {
            Some(line) => Some(line),
            None => self.lines.next(prompt)?,
        };
        match line {
            None => Err(self.ended("the input ended before the last question")),
            Some(line) if line.eq_ignore_ascii_case("back") => Ok(Line::Back),
            Some(line) => Ok(Line::Typed(line)),
        }
    }

    /// An answer that is none: somebody at a keyboard is asked again. From a pipe it ends here, for
    /// the lines behind it answer other questions; unless it is odd alone and the next line is the
    /// same.
    fn refused(&mut self, typed: &str, why: &str) -> Result<(), Error> {
        say(&hung(why, "    NO: "));
        let is_odd = std::mem::take(&mut self.is_odd);
        if self.lines.is_read() {
            return Ok(());
        }
        let read = self.lines.count();
        if is_odd {
            self.again = self.lines.next("  once more")?;
            if self.again.as_deref() == Some(typed) {
                return Ok(());
            }
        }
        let step = STEPS.get(self.at).map_or("", |(title, _)| title);
        let what = format!("{step}, line {read} of the input: {why}; nothing was written");
        let typed = if typed.is_empty() { "an empty line" } else { typed };
        Err(Error::new(ErrorKind::Input, what).found(typed).hint(format!(
            "put line {read} right, or what it hangs on, and give all lines again: those behind it \
             answer what comes after"
        )))
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
            self.is_odd = true;
            return Err(format!("{}. Type it once more to keep it", odd.sentence()));
        }
        self.text = text;
        Ok(())
    }

    /// Tells what stands against the job as it is and was not told before. Whether it may stay:
    /// what refuses may not.
    fn may_stay(&mut self) -> Result<bool, Error> {
        let workup = match worked(&self.text) {
            Ok(workup) => workup,
            // What can be read and means nothing together.
            Err(error) => {
                self.refused("", &sentence(&error))?;
                return Ok(false);
            }
        };
        let refused: Vec<&Finding> = workup.findings.iter().filter(|of| of.refuses()).collect();
        let is_new = |of: &&Finding| {
            of.severity == Severity::Warning && of.waived.is_none() && !self.kept.contains(&of.code)
        };
        let warned: Vec<&Finding> = workup.findings.iter().filter(is_new).collect();
        say(&refused.iter().chain(&warned).map(|of| finding(of)).collect::<String>());
        if !refused.is_empty() {
            let change = self.to_change(&refused, "", Some(&workup));
            self.refused("", &format!("what is refused cannot stay: {change}"))?;
            return Ok(false);
        }
        if !warned.is_empty() {
            say(&hung("it stays so; back goes to what you may change", "    = "));
        }
        self.kept.extend(warned.iter().map(|of| of.code));
        Ok(true)
    }

    /// What somebody changes where something refuses, each answer by its step and line, with what
    /// would do where that is known; the answer left out that is just asked for.
    fn to_change(&self, refused: &[&Finding], asked: &str, workup: Option<&Workup>) -> String {
        let mut ways: Vec<String> = Vec::new();
        for of in refused {
            let key = field_of(of).filter(|key| *key != asked);
            let enough = workup.zip(key).map(|(workup, key)| would_do(workup, key, of));
            let way = match (key, enough) {
                (Some(key), None | Some(Enough::Untold)) => Some(changed(key)),
                (Some(key), Some(Enough::Answer(enough))) => {
                    Some(format!("{} to {enough}", changed(key)))
                }
                // Nobody was asked for it, or no answer is enough: what is to be done in any job.
                (Some(_), Some(Enough::Not)) => Some(to_do(of)),
                (None, _) if asked.is_empty() => Some(to_do(of)),
                (None, _) => None,
            };
            ways.extend(way.filter(|way| !ways.contains(way)));
        }
        let ways = match ways.is_empty() {
            true => "change an answer before".to_string(),
            false => ways.join(", or "),
        };
        if self.lines.is_read() { format!("{ways}: back goes a step back") } else { ways }
    }
}

/// An answer to change: its name, and where it was given.
fn changed(key: &str) -> String {
    let name = question(key).map_or(key, |asked| asked.asks);
    format!("change {name} ({})", place_of(key).unwrap_or(key.to_string()))
}

/// What is to be done about a finding in any job, as a part of a sentence.
fn to_do(of: &Finding) -> String {
    let remedy = of.code.row().remedy.trim_end_matches('.');
    let mut letters = remedy.chars();
    let first = letters.next().map(|first| first.to_ascii_lowercase());
    first.into_iter().chain(letters).collect()
}

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

/// The job worked up. A pattern in two pieces is refused whole, and judged by its pieces.
fn worked(text: &str) -> Result<Workup, Error> {
    let job = read(text)?;
    if job.cut.long != Long::Split {
        return Workup::designed(&job);
    }
    let set = Set::of(vec![Entry { job, times: 1 }], QUICKLY)?;
    let findings = set.all_findings().cloned().collect();
    let first = set.members.into_iter().next().expect("a set of one job has that job");
    Ok(Workup { findings, ..first.workup })
}

/// Sheets are laid out at first sight: it is asked only whether they can be.
const QUICKLY: u32 = 0;
