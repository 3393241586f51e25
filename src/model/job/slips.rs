//! All slips of a job that cannot be read, in one run: unknown keys and tables, values of the wrong
//! kind, texts that are no length, what is missing. Each is told with its line and, where it can be
//! told from what was typed, with what to type instead; nothing is guessed.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::form::{Form, JOB, Key, Section, sections};
use super::named::no_such_profile;
use super::stand_ins::{StoodIn, lacking, stand_in};
use super::unknown_key::form_at_top;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::guess::nearest;
use crate::profile::reader::{RawLength, Reader, typed_as};
use crate::profile::typing::typed;
use crate::profile::{embedded, is_path};
use crate::units::{Bare, Dressed};

/// The most characters of a value that are repeated in what to type.
const LONGEST_VALUE: usize = 60;

/// What is wrong with a job's text.
pub(super) struct Swept {
    /// Everything that cannot be read, in no order.
    pub slips: Vec<Error>,
    /// The text with something that can be read in the place of what cannot and of what is missing:
    /// only to look at the rest of it.
    pub mended: StoodIn,
}

/// Looks at a job's text as a whole.
pub(super) fn swept(file: &str, text: &str) -> Swept {
    let reader = Reader::new(file, text);
    let typed = typed(&reader);
    let (mut slips, mut mended, mut lacks) = (typed.slips, typed.text.clone(), Vec::new());
    if let Ok(table) = DeTable::parse(&typed.text) {
        let table = table.get_ref();
        let reader = reader.reading(&typed.text).with_bare(bare(table));
        let (sections, told) = (sections(), typed.lines);
        let (found, mends) = (Vec::new(), Vec::new());
        let on_ground = table.keys().any(|key| key.get_ref() == "ground");
        let below = Vec::new();
        let mut sweep =
            Sweep { reader, told, sections, slips: found, mends, lacks, on_ground, below };
        sweep.keys(&Place { name: "", span: None }, JOB, table);
        slips.extend(sweep.slips);
        lacks = sweep.lacks;
        sweep.mends.sort_by_key(|(span, _)| std::cmp::Reverse(span.start));
        for (span, instead) in sweep.mends {
            // What stands below keeps its line.
            let lines = mended[span.clone()].matches('\n').count();
            mended.replace_range(span, &(instead + &"\n".repeat(lines)));
        }
    }
    Swept { slips, mended: StoodIn::of(&mended, &lacks) }
}

/// What a bare number is taken for in a job.
fn bare(job: &DeTable<'_>) -> Bare {
    let units = job.iter().find(|(key, _)| key.get_ref() == "units");
    match units.and_then(|(_, units)| units.get_ref().as_str()) {
        Some("in") => Bare::Inches,
        Some("mm") => Bare::Millimetres,
        _ => Bare::Refused,
    }
}

/// A table: its name in brackets, nothing for the job itself, and where it stands.
pub(super) struct Place<'a> {
    pub name: &'a str,
    span: Option<Range<usize>>,
}

impl Place<'_> {
    pub(super) fn path(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_string() } else { format!("{}.{key}", self.name) }
    }
}

pub(super) struct Sweep<'a> {
    pub reader: Reader<'a>,
    /// Lines of which something is told already, with their keys.
    told: BTreeMap<usize, String>,
    pub sections: Vec<Section>,
    slips: Vec<Error>,
    /// What is put in the place of what cannot be read.
    mends: Vec<(Range<usize>, String)>,
    /// What is missing, key by key.
    lacks: Vec<(String, Form)>,
    /// Whether the rise is given by the ground.
    on_ground: bool,
    /// Keys of the job itself that were typed below a table.
    below: Vec<String>,
}

impl Sweep<'_> {
    fn keys(&mut self, here: &Place<'_>, keys: &[Key], table: &DeTable<'_>) {
        for (name, value) in table {
            if self.is_told(&name.span()) {
                continue;
            }
            match keys.iter().find(|key| key.name == name.get_ref()) {
                Some(key) => self.value(&here.path(key.name), key, value),
                None => {
                    let slip = match form_at_top(here, name.get_ref(), value.get_ref()) {
                        Some(form) => {
                            self.below.push(name.get_ref().to_string());
                            self.of_the_top(here, form, name, value)
                        }
                        None => self.unknown(here, keys, name, value),
                    };
                    self.slips.push(slip);
                    self.mends.push((name.span().start..value.span().end, String::new()));
                }
            }
        }
        let is_below =
            |name: &str| here.name.is_empty() && self.below.iter().any(|key| key == name);
        let has = |name: &str| {
            table.keys().any(|key| key.get_ref() == name)
                || self.told.values().any(|key| key == name)
                || is_below(name)
        };
        let wanted = keys.iter().filter(|key| !has(key.name));
        let mut missing: Vec<(Key, &str)> =
            wanted.filter_map(|key| Some((*key, key.wanted?))).collect();
        if here.name == "tread" && !has("cut") && !has("boards") {
            let cut = Key { name: "cut", form: Form::Length, wanted: None };
            missing.push((cut, "the unit run, riser cut to riser cut, or boards"));
        }
        // Falling ground gives the rise, and the count follows from it.
        if here.name.is_empty() && !has("rise") && !has("ground") {
            let rise = keys.iter().find(|key| key.name == "rise").expect("a job has a rise");
            missing.push((*rise, "the total rise and the risers"));
        }
        // Of what is told already the line is gone, and with it what it said; a line that said
        // nothing may have been any key that some jobs do without.
        let is_there = |name: &str| table.keys().any(|key| key.get_ref() == name);
        let is_unread = self.told.values().any(String::is_empty);
        let may_be = |name: &str| match name {
            "total" => !is_there("rough") && !self.on_ground,
            "cut" => !is_there("boards"),
            _ => false,
        };
        let is_gone =
            |key: &&Key| !is_there(key.name) && (has(key.name) || is_unread && may_be(key.name));
        let gone = keys.iter().filter(is_gone).flat_map(|key| lacking(&here.path(key.name), key));
        self.lacks.extend(gone.collect::<Vec<_>>());
        for (key, says) in missing {
            self.slips.push(self.missing(here, &key, says));
            self.lacks.extend(lacking(&here.path(key.name), &key));
        }
    }

    fn is_told(&self, span: &Range<usize>) -> bool {
        let place = self.reader.place(span.clone());
        place.line_column.is_some_and(|(line, _)| self.told.contains_key(&(line - 1)))
    }

    pub(super) fn slip(&self, span: Range<usize>, what: impl Into<String>) -> Error {
        Error::new(ErrorKind::Input, what).at(self.reader.place(span))
    }

    /// A value as it was typed, if it is short and on one line.
    pub(super) fn typed(&self, value: &Spanned<DeValue<'_>>) -> Option<String> {
        let text = self.reader.text().get(value.span())?;
        (text.len() <= LONGEST_VALUE && !text.contains('\n')).then(|| text.to_string())
    }

    fn value(&mut self, path: &str, key: &Key, value: &Spanned<DeValue<'_>>) {
        let found = match (key.form, value.get_ref()) {
            (Form::Length, _) => self.length(path, key.name, value),
            (Form::Lengths, DeValue::Array(all)) => {
                let slips: Vec<Error> =
                    all.iter().filter_map(|one| self.length(path, key.name, one)).collect();
                self.slips.extend(slips);
                None
            }
            (form, DeValue::Table(table)) if form.keys().is_some() => {
                let keys = form.keys().unwrap_or_default();
                let here = Place { name: path, span: Some(value.span()) };
                if matches!(form, Form::Tables(_)) {
                    let what = format!("[{path}] is one of several: it stands in double brackets");
                    self.slips.push(self.slip(value.span(), what).hint(format!("[[{path}]]")));
                }
                self.keys(&here, keys, table);
                None
            }
            (Form::Tables(keys), DeValue::Array(all)) => {
                for one in all.iter() {
                    self.one_of_several(path, key, keys, one);
                }
                None
            }
            _ => self.plain(path, key, value),
        };
        if found.is_some() {
            self.mends
                .extend(stand_in(key.form).map(|instead| (value.span(), instead.to_string())));
        }
        self.slips.extend(found);
    }

    fn one_of_several(&mut self, path: &str, key: &Key, keys: &[Key], one: &Spanned<DeValue<'_>>) {
        match one.get_ref() {
            DeValue::Table(table) => {
                self.keys(&Place { name: path, span: Some(one.span()) }, keys, table);
            }
            _ => self.slips.push(self.no_table(path, key, one)),
        }
    }

    fn length(&self, path: &str, name: &str, value: &Spanned<DeValue<'_>>) -> Option<Error> {
        let raw = match value.get_ref() {
            DeValue::String(text) => RawLength::Text(text.to_string()),
            DeValue::Integer(number) => RawLength::Number(number.as_str().parse().ok()?),
            DeValue::Float(number) => RawLength::Number(number.as_str().parse().ok()?),
            _ => {
                let what = format!("{path}: a length in quotes with its unit stands here");
                return Some(self.slip(value.span(), what).hint_if(None));
            }
        };
        let is_board = path == "board.width" || path == "board.thickness";
        let error = self
            .reader
            .length_with_warning(path, &Spanned::new(value.span(), raw.clone()))
            .err()?;
        match raw {
            RawLength::Text(text) if is_board && Dressed::named(&text).is_some() => {
                Some(error.hint(format!(
                    "{name} = what your tape says; or, without the table [board], a line at the \
                    top: board = \"{}\"",
                    text.trim()
                )))
            }
            _ => Some(error),
        }
    }

    /// What is wrong with a value that is neither length nor table.
    fn plain(&self, path: &str, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<Error> {
        let name = key.name;
        let text = value.get_ref().as_str();
        match key.form {
            Form::Count => self.count(path, name, value),
            Form::Number => match value.get_ref() {
                DeValue::Integer(_) | DeValue::Float(_) => None,
                _ => {
                    let number = text.map(|text| text.trim_end_matches('%').trim());
                    let number = number.filter(|text| text.parse::<f64>().is_ok());
                    let what = format!("{path} is a number, without quote marks");
                    let instead = number.map(|number| format!("{name} = {number}"));
                    Some(self.slip(value.span(), what).hint_if(instead))
                }
            },
            Form::YesNo if matches!(value.get_ref(), DeValue::Boolean(_)) => None,
            Form::YesNo => {
                let answer = text.and_then(|text| match text.to_lowercase().as_str() {
                    "true" | "yes" => Some(format!("{name} = true")),
                    "false" | "no" => Some(format!("{name} = false")),
                    _ => None,
                });
                let what = format!("{path} is answered by true or false, without quote marks");
                Some(self.slip(value.span(), what).hint_if(answer))
            }
            Form::Text if text.is_some() => None,
            Form::Text => {
                let instead = self.typed(value).filter(|typed| !typed.contains(['"', '[', '{']));
                let what = format!("{path} is a text in quote marks");
                let instead = instead.map(|typed| typed_as(name, &[typed]));
                Some(self.slip(value.span(), what).hint_if(instead))
            }
            Form::Word(words) => self.word(path, name, words, value),
            Form::TableOrWord(_, words) => self.word(path, name, words, value),
            Form::Profile(kind) => match text {
                Some(text) if is_path(text) || embedded(Some(kind), text).is_some() => None,
                Some(text) => Some(no_such_profile(&self.reader, kind, text, value.span())),
                None => {
                    let what = format!("{path} is the name of a profile, in quote marks");
                    Some(self.slip(value.span(), what))
                }
            },
            Form::TableOrBoard(_) if text.is_some_and(|text| Dressed::named(text).is_some()) => {
                None
            }
            Form::Lengths => {
                let what = format!("{path} lists lengths between brackets");
                let instead = text.map(|text| format!("{name} = [\"{}\"]", text.trim()));
                Some(self.slip(value.span(), what).hint_if(instead))
            }
            _ => Some(self.no_table(path, key, value)),
        }
    }

    fn count(&self, path: &str, name: &str, value: &Spanned<DeValue<'_>>) -> Option<Error> {
        let digits = match value.get_ref() {
            DeValue::Integer(_) => return None,
            DeValue::String(text) => text.trim().to_string(),
            DeValue::Float(number) => {
                number.as_str().trim_end_matches('0').trim_end_matches('.').to_string()
            }
            _ => String::new(),
        };
        let is_whole =
            !digits.is_empty() && digits.len() < 7 && digits.chars().all(|c| c.is_ascii_digit());
        let what = format!("{path} is a whole number in digits, without quote marks");
        let found = self.typed(value).unwrap_or_default();
        let instead = is_whole.then(|| format!("{name} = {digits}"));
        Some(self.slip(value.span(), what).found(found).hint_if(instead))
    }

    fn word(
        &self,
        path: &str,
        name: &str,
        words: &[&str],
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Error> {
        let text = value.get_ref().as_str().unwrap_or_default().trim();
        if words.contains(&text) && value.get_ref().as_str() == Some(text) {
            return None;
        }
        let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        let near = nearest(&text.replace([' ', '_'], "-"), words);
        Some(
            self.slip(value.span(), format!("{path}: unknown word"))
                .found(self.typed(value).unwrap_or_default())
                .allowed(quoted.join(", "))
                .hint_if(near.map(|near| typed_as(name, &[near.to_string()]))),
        )
    }

    fn no_table(&self, path: &str, key: &Key, value: &Spanned<DeValue<'_>>) -> Error {
        let double = matches!(key.form, Form::Tables(_));
        let what = match (key.form, value.get_ref()) {
            (Form::TableOrBoard(_), DeValue::String(_)) => {
                format!("{path}: no board that is sold by this name is known")
            }
            (Form::Tables(_), _) => format!("{path} is a table, as many of them as are wanted"),
            (_, DeValue::Array(_)) => format!("{path} is one table: it stands in single brackets"),
            _ => format!("{path} is a table"),
        };
        let names = asked(key.form.keys().unwrap_or_default());
        let heading = if double { format!("[[{path}]]") } else { format!("[{path}]") };
        let error = self.slip(value.span(), what).hint(below(&heading, &names));
        if matches!(key.form, Form::TableOrBoard(_)) {
            return error.allowed("the table [board], or what a board is called, from 2x4 to 4x14");
        }
        error
    }

    fn missing(&self, here: &Place<'_>, key: &Key, says: &str) -> Error {
        let path = here.path(key.name);
        let own = self.sections.iter().find(|section| section.name == here.name);
        let place = below_what(own.expect("a table that is swept is one of the form"));
        let (what, hint) = match key.form {
            Form::Table(keys) | Form::TableOrBoard(keys) | Form::TableOrWord(keys, _) => (
                format!("the table [{path}] is missing: {says}"),
                below(&format!("[{path}]"), &asked(keys)),
            ),
            Form::Length => (
                format!("{path} is missing: {says}"),
                format!(
                    "a line {place}: {} = your own measure with its unit in quote marks (only the \
                    form: \"26 3/4 in\", \"680 mm\")",
                    key.name
                ),
            ),
            Form::Word(words) => (
                format!("{path} is missing: {says}"),
                format!("a line {place}: {} = \"{}\"", key.name, words.join("\" or \"")),
            ),
            Form::Profile(_) => (
                format!("{path} is missing: {says}"),
                format!(
                    "a line {place}: {} = the name of one in quote marks; `seatcut profiles` lists \
                    them",
                    key.name
                ),
            ),
            _ => {
                (format!("{path} is missing: {says}"), format!("a line {place} with {}", key.name))
            }
        };
        let error = Error::new(ErrorKind::Input, what).hint(hint);
        match &here.span {
            Some(span) => error.at(self.reader.place(span.clone())),
            None => error.in_file(self.reader.file()),
        }
    }
}

/// Where the keys of a table stand.
pub(super) fn below_what(section: &Section) -> String {
    match section.name.as_str() {
        "" => "above the first [table]".to_string(),
        name if matches!(section.form, Form::Tables(_)) => format!("below [[{name}]]"),
        name => format!("below [{name}]"),
    }
}

/// The keys of a table that it is not filled in without.
fn asked(keys: &[Key]) -> Vec<&str> {
    keys.iter().filter(|key| is_asked(key)).map(|key| key.name).collect()
}

/// Whether a table is not filled in without this key, or without another one in its place.
pub(super) fn is_asked(key: &Key) -> bool {
    key.wanted.is_some() || ["total", "risers", "cut", "rim_depth"].contains(&key.name)
}

/// What to type for a table.
fn below(heading: &str, names: &[&str]) -> String {
    if names.is_empty() {
        return format!("a line {heading}, and its keys below it");
    }
    format!("a line {heading}, and below it its keys: {}", names.join(", "))
}
