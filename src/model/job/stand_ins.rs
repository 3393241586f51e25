//! What a job's text lacks, put in to look at the rest of it: every line that was added is known,
//! so that what is found elsewhere is told by the line that it was typed on.

use toml::Value;

use super::edit::{Answer, with_key};
use super::form::{Form, Key};
use super::slips::is_asked;
use crate::diagnostics::Error;
use crate::profile::names_of;

/// A text with what it lacks.
pub(super) struct StoodIn {
    pub text: String,
    /// The lines that were added, counted from 1 in this text, the first of them first.
    added: Vec<usize>,
}

impl StoodIn {
    /// A text with something in the place of each of these keys, where it can be put in.
    pub(super) fn of(text: &str, lacks: &[(String, Form)]) -> Self {
        let mut with = Self { text: text.to_string(), added: Vec::new() };
        for (path, form) in lacks {
            let put = answer(*form).and_then(|answer| with_key(&with.text, path, &answer, ""));
            put.into_iter().for_each(|text| with.put(text));
        }
        with
    }

    /// Takes a text with one key more. A key of a table on one line changes that line and adds
    /// none.
    fn put(&mut self, text: String) {
        let alike = self.text.lines().zip(text.lines()).take_while(|(a, b)| a == b).count();
        let more = text.lines().count().saturating_sub(self.text.lines().count());
        for line in self.added.iter_mut().filter(|line| **line > alike) {
            *line += more;
        }
        self.added.extend(alike + 1..=alike + more);
        self.added.sort_unstable();
        self.text = text;
    }

    /// A slip of this text as one of the text before; none of a line that nobody typed.
    pub(super) fn as_typed(&self, slip: Error) -> Option<Error> {
        let Some((line, _)) = slip.place().and_then(|place| place.line_column) else {
            return Some(slip);
        };
        match self.added.binary_search(&line) {
            Ok(_) => None,
            Err(above) => Some(slip.on_line(line - above)),
        }
    }
}

/// The keys that a missing one stands for: its own, or of a table those that it is not filled in
/// without.
pub(super) fn lacking(path: &str, key: &Key) -> Vec<(String, Form)> {
    match key.form.keys() {
        None => vec![(path.to_string(), key.form)],
        Some(keys) => keys
            .iter()
            .filter(|key| is_asked(key))
            .flat_map(|key| lacking(&format!("{path}.{}", key.name), key))
            .collect(),
    }
}

/// What can be read in the place of a value: of a length none is needed where one stands, for it is
/// read on without; nor is one of a table.
pub(super) fn stand_in(form: Form) -> Option<Value> {
    let text = |text: &str| Value::from(text);
    match form {
        Form::Count | Form::Number => Some(Value::from(1)),
        Form::YesNo => Some(Value::from(true)),
        Form::Text => Some(text("-")),
        Form::Word(words) => words.first().copied().map(text),
        Form::Profile(kind) => names_of(kind).first().map(|name| text(name)),
        _ => None,
    }
}

/// The same of a key that is missing: a length is wanted there too.
fn answer(form: Form) -> Option<Answer> {
    match stand_in(form) {
        Some(Value::Integer(count)) => Some(Answer::Count(count)),
        Some(Value::String(text)) => Some(Answer::Text(text)),
        _ => matches!(form, Form::Length).then(|| Answer::Text("10 in".to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::{ErrorKind, Position};

    #[test]
    fn lines_below_what_is_put_in_keep_the_numbers_they_were_typed_on() {
        let text = "[rise]\n# how high\nrisers = 7\n[tread]\ncut = \"10 in\"\n";
        let lacks =
            [("rise.total".to_string(), Form::Length), ("tread.thickness".into(), Form::Length)];
        let with = StoodIn::of(text, &lacks);
        assert_eq!(with.added.len(), 2);
        for (at, words) in with.text.lines().enumerate() {
            let place = Position {
                file: "stair.toml".into(),
                line_column: Some((at + 1, 1)),
                line: Some(words.into()),
            };
            let slip = with.as_typed(Error::new(ErrorKind::Input, "off").at(place));
            let typed = slip.map(|slip| slip.place().unwrap().line_column.unwrap().0);
            let known = text.lines().position(|line| line == words).map(|line| line + 1);
            assert_eq!(typed, known, "{words}");
        }
    }
}
