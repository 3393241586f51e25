//! What the page shows of a job: every field as it is understood, the counts, the drawing, what was
//! found, and one verdict over all of it.

use serde::Serialize;

use super::document::Document;
use crate::cli::place::field_of;
use crate::cli::sections::rows;
use crate::cli::{input, table};
use crate::diagnostics::{Error, Finding, Severity, told};
use crate::job::{
    PARTS, Part, QUESTIONS, Question, Standing, Stringer, Wanted, part_of, question, texts_of,
};
use crate::output::content::asked;
use crate::output::drawing::{Paper, Subject, board_within, elevation_within, sheets};
use crate::output::page::to_svg;
use crate::pipeline::numbers::always;
use crate::pipeline::set::{Entry, Set};
use crate::pipeline::workup::Workup;
use crate::units::{Bare, Dressed, Tape, read_length};

/// Paper for the two views beside the form, in mm.
const ELEVATION_MM: (f64, f64) = (250.0, 150.0);
const BOARD_MM: (f64, f64) = (250.0, 110.0);
/// The effort of a layout that is only looked at.
const QUICKLY: u32 = 0;

/// Everything the page shows.
#[derive(Serialize)]
pub(super) struct State {
    revision: u64,
    name: String,
    text: String,
    unsaved: bool,
    changed_outside: bool,
    can_undo: bool,
    can_redo: bool,
    notice: String,
    /// What went wrong with what was asked for.
    pub wrong: String,
    /// What came of it, line by line.
    pub said: String,
    tape: &'static str,
    fields: Vec<Field>,
    parts: Vec<PartShown>,
    verdict: Verdict,
    /// What keeps the job from being read.
    slips: Vec<Slip>,
    shown: Option<Shown>,
    /// Jobs that lie in the same folder.
    pub jobs: Vec<String>,
    /// The files of the set that was made here.
    pub made: Vec<String>,
}

#[derive(Serialize)]
struct Field {
    key: &'static str,
    value: String,
    /// As it was understood.
    read: String,
    wrong: String,
    /// What to type instead.
    instead: Vec<String>,
}

/// A part of the whole stair.
#[derive(Serialize)]
struct PartShown {
    table: &'static str,
    is_there: bool,
    /// What stands there and is changed in the file alone.
    apart: Vec<String>,
}

/// In a word, whether there is a stair.
#[derive(Serialize)]
struct Verdict {
    kind: &'static str,
    say: String,
}

#[derive(Serialize)]
struct Slip {
    say: String,
    field: Option<&'static str>,
}

/// What there is to see of a job that can be read.
#[derive(Serialize)]
struct Shown {
    reason: String,
    counts: Vec<CountRow>,
    findings: Vec<Found>,
    on_site: Vec<[String; 3]>,
    numbers: Vec<[String; 2]>,
    sections: Vec<Sheet>,
    drawings: Vec<String>,
}

#[derive(Serialize)]
struct CountRow {
    risers: usize,
    figures: [String; 4],
    against: Vec<String>,
    chosen: bool,
}

#[derive(Serialize)]
struct Found {
    weight: &'static str,
    place: String,
    say: String,
    from: String,
    field: Option<&'static str>,
}

#[derive(Serialize)]
struct Sheet {
    heading: String,
    notes: Vec<String>,
    tables: Vec<(String, Vec<Vec<String>>)>,
}

/// The state of a document.
pub(super) fn state(document: &Document) -> State {
    let worked = worked(document);
    let tape = worked.as_ref().map_or_else(
        |_| typed_tape(document.text()),
        |set| set.members.first().map_or(Tape::Inches, |member| member.workup.job.tape),
    );
    let fields = fields(document.text(), tape);
    let (can_undo, can_redo) = document.steps();
    let (verdict, slips, shown) = tape.tells(|| match &worked {
        Ok(set) => (verdict(set), Vec::new(), shown(set)),
        Err(error) => unread(error, &fields, document.text()),
    });
    State {
        revision: document.revision,
        name: document.name().to_string(),
        text: document.text().to_string(),
        unsaved: document.is_unsaved(),
        changed_outside: document.is_changed_outside(),
        can_undo,
        can_redo,
        notice: document.notice.clone(),
        wrong: String::new(),
        said: String::new(),
        tape: tape.unit(),
        fields,
        parts: PARTS.iter().map(|part| part_shown(document.text(), part)).collect(),
        verdict,
        slips,
        shown,
        jobs: Vec::new(),
        made: Vec::new(),
    }
}

/// The job as `solve` works it up.
fn worked(document: &Document) -> Result<Set, Error> {
    let job = input::job_of(&document.path(), document.text())?.what;
    Set::of(vec![Entry { job, times: 1 }], QUICKLY)
}

/// By which tape a bare number is read: that of the rise, or that the job names.
pub(super) fn typed_tape(text: &str) -> Tape {
    let keys = ["rise.total", "rise.rough", "ground.at_head", "units", "tread.cut", "board.width"];
    let all = texts_of(text, keys).unwrap_or_default();
    let tape = |typed: &String| match typed.as_str() {
        "mm" => Some(Tape::Metric),
        "in" => Some(Tape::Inches),
        typed => read_length(typed, Bare::Refused).ok().map(|read| read.tape),
    };
    all.iter().flatten().find_map(tape).unwrap_or_default()
}

fn fields(text: &str, tape: Tape) -> Vec<Field> {
    let keys = QUESTIONS.iter().map(|asked| asked.key);
    let typed = texts_of(text, keys.chain(["board", "units"])).unwrap_or_default();
    let named = typed.iter().rev().nth(1).cloned().flatten();
    let bare = match typed.last() {
        Some(Some(units)) if units == "mm" => Bare::Millimetres,
        Some(Some(_)) => Bare::Inches,
        _ => Bare::Refused,
    };
    let board = named.as_deref().and_then(Dressed::named);
    QUESTIONS
        .iter()
        .enumerate()
        .map(|(i, asked)| {
            let typed = typed.get(i).cloned().flatten();
            let of_board = |dressed: Dressed| match asked.key {
                "board.width" => Some(Tape::Inches.reads(dressed.width)),
                "board.thickness" => Some(Tape::Inches.reads(dressed.thickness)),
                _ => None,
            };
            let value = typed.or_else(|| board.and_then(of_board)).unwrap_or_default();
            field(asked, value, bare, tape)
        })
        .collect()
}

fn field(asked: &Question, value: String, bare: Bare, tape: Tape) -> Field {
    let mut field = Field {
        key: asked.key,
        value,
        read: String::new(),
        wrong: String::new(),
        instead: Vec::new(),
    };
    if asked.wanted == Wanted::Length && !field.value.is_empty() {
        match read_length(&field.value, bare) {
            Ok(read) => field.read = tape.tells(|| read.length.to_string()),
            Err(problem) => {
                field.instead.clone_from(&problem.instead);
                field.wrong = problem.to_string();
            }
        }
    }
    field
}

fn part_shown(text: &str, part: &Part) -> PartShown {
    let standing = part_of(text, part);
    let is_there = !matches!(standing, Some(Standing::Nowhere) | None);
    let apart = match standing {
        Some(Standing::Apart(each)) => each,
        _ => Vec::new(),
    };
    PartShown { table: part.table, is_there, apart }
}

fn verdict(set: &Set) -> Verdict {
    let of = |severity: Severity| {
        set.all_findings().filter(|of| of.severity == severity && of.waived.is_none()).count()
    };
    let (refusals, warnings) = (of(Severity::Refusal), of(Severity::Warning));
    let said = |count: usize, one: &str, several: &str| {
        format!("{count} {}", if count == 1 { one } else { several })
    };
    let by_hand = set.is_by_hand();
    let (kind, say) = match (refusals, warnings) {
        (0, 0) if by_hand => ("clear", "Nothing found against it; laid out by hand".to_string()),
        (0, 0) => ("clear", "Nothing found against it; it can be made".to_string()),
        (0, warnings) => {
            ("warned", format!("It can be made, with {}", said(warnings, "warning", "warnings")))
        }
        (refusals, _) => {
            let broken = said(refusals, "thing stands against it", "things stand against it");
            ("refused", format!("Refused: {broken}"))
        }
    };
    Verdict { kind, say }
}

/// Whether a word is the key of a question, or the table of which it is the first.
fn is_of(asked: &Question, word: &str) -> bool {
    let table = word.trim_matches(['[', ']']);
    let first = || QUESTIONS.iter().find(|of| of.part().is_some_and(|part| part.table == table));
    word == asked.key || word.starts_with('[') && first() == Some(asked)
}

/// The question whose key stands on a line of a text, below the heading of its table.
fn on_line(text: &str, line: usize) -> Option<&'static Question> {
    let heading = |line: &&str| line.trim_start().starts_with('[');
    let above: Vec<&str> = text.lines().take(line).collect();
    let table =
        above.iter().rev().copied().find(heading).map_or("", |of| {
            of.split('#').next().unwrap_or_default().trim().trim_matches(['[', ']'])
        });
    let (key, _) = above.last()?.split_once('=')?;
    question([table, key.trim()].join(".").trim_start_matches('.'))
}

/// What is said of a job that cannot be read.
fn unread(error: &Error, fields: &[Field], text: &str) -> (Verdict, Vec<Slip>, Option<Shown>) {
    let field = |what: &str| {
        let named = |of: &&Question| what.split([' ', ':', ',']).any(|word| is_of(of, word));
        let asked = QUESTIONS.iter().filter(named).map(|of| of.key).next();
        // A table is missing where its first key is.
        asked.or_else(|| match what {
            what if what.contains("`total`") || what.contains("no `total`") => Some("rise.total"),
            what if what.starts_with("rules is missing") => Some("rules"),
            _ => None,
        })
    };
    let slip = |slip: &Error| {
        let say = slip.sentence();
        let line = slip.place().and_then(|place| place.line_column).map(|(line, _)| line);
        let field = field(slip.what()).or_else(|| field(&say));
        let field = field.or_else(|| on_line(text, line?).map(|asked| asked.key));
        Slip { field, say }
    };
    let slips: Vec<Slip> = error.slips().map(slip).collect();
    let is_open = |key: &str| fields.iter().any(|of| of.key == key && of.value.is_empty());
    let wanted = slips.iter().filter_map(|slip| slip.field).filter(|key| is_open(key)).count();
    let wrong = slips.len() - wanted;
    let say = match (wanted, wrong) {
        (0, 1) => "One thing cannot be read yet".to_string(),
        (0, wrong) => format!("{wrong} things cannot be read yet"),
        (1, 0) => "One measure is wanted yet".to_string(),
        (wanted, 0) => format!("{wanted} measures are wanted yet"),
        (wanted, wrong) => format!("Wanted yet: {wanted}; cannot be read: {wrong}"),
    };
    (Verdict { kind: "open", say }, slips, None)
}

fn shown(set: &Set) -> Option<Shown> {
    let workup = &set.members.first()?.workup;
    let all: Vec<Finding> = set.all_findings().cloned().collect();
    let (found, on_site) = told(&all);
    let counts = table::counted(workup).into_iter().map(|of| CountRow {
        risers: of.risers,
        figures: of.figures,
        against: of.against,
        chosen: of.is_chosen,
    });
    let numbers = always(&workup.numbers())
        .map(|(number, value)| [number.label.to_string(), table::told(value)])
        .collect();
    Some(Shown {
        reason: table::reason(workup),
        counts: counts.collect(),
        findings: found.into_iter().map(one).collect(),
        on_site: on_site.into_iter().map(|of| [of.what, of.asks, of.source]).collect(),
        numbers,
        sections: asked(workup)
            .iter()
            .map(|section| Sheet {
                heading: section.topic.heading().to_string(),
                notes: section.notes.clone(),
                tables: section
                    .tables
                    .iter()
                    .map(|table| (table.caption.to_string(), rows(table)))
                    .collect(),
            })
            .collect(),
        drawings: drawings(workup),
    })
}

fn one(finding: &Finding) -> Found {
    let weight = match (&finding.waived, finding.severity) {
        (Some(_), _) => "waived",
        (None, Severity::Refusal) => "refused",
        (None, Severity::Warning) => "warning",
        (None, Severity::Advice) => "note",
    };
    Found {
        weight,
        place: finding.place.to_string(),
        say: finding.sentence(),
        from: format!("{}; {}", finding.code, finding.note()),
        field: field_of(finding),
    }
}

fn drawings(workup: &Workup) -> Vec<String> {
    let Some(outline) = &workup.outline else { return Vec::new() };
    let subject = Subject::of(workup, outline);
    let face = || sheets(&subject, Some(Paper::A3)).into_iter().next();
    match workup.job.stringer {
        Stringer::Housed(_) => return face().iter().map(to_svg).collect(),
        Stringer::Cleated(_) => {
            let standing = elevation_within(&subject, ELEVATION_MM.0, ELEVATION_MM.1);
            return std::iter::once(standing).chain(face()).map(|page| to_svg(&page)).collect();
        }
        Stringer::Cut => {}
    }
    let (elevation, board) = (ELEVATION_MM, BOARD_MM);
    [elevation_within(&subject, elevation.0, elevation.1), board_within(&subject, board.0, board.1)]
        .iter()
        .map(to_svg)
        .collect()
}
