//! A key that is none of the table it was typed in: misspelled, called otherwise, or of another
//! place.

use std::borrow::Cow;

use toml::Spanned;
use toml::de::DeValue;

use super::form::{Form, JOB, Key, OTHER_NAMES, Section};
use super::slips::{Place, Sweep, below_what};
use crate::diagnostics::Error;
use crate::profile::guess::nearest;

/// What stands behind a key of the job itself that was typed below a table, if it is one: a table's
/// key of that name is another thing, and stands behind another form.
pub(super) fn form_at_top(here: &Place<'_>, name: &str, value: &DeValue<'_>) -> Option<Form> {
    let key = JOB.iter().find(|key| key.name == name && !here.name.is_empty())?;
    let fits = match (key.form, value) {
        (Form::TableOrBoard(_), DeValue::String(_)) => true,
        (form, DeValue::Table(_) | DeValue::Array(_)) => form.keys().is_some(),
        (form, _) => form.keys().is_none(),
    };
    fits.then_some(key.form)
}

impl Sweep<'_> {
    /// A key of the job itself below a table: above the first table it would be read.
    pub(super) fn of_the_top(
        &self,
        here: &Place<'_>,
        form: Form,
        key: &Spanned<Cow<'_, str>>,
        value: &Spanned<DeValue<'_>>,
    ) -> Error {
        let name = key.get_ref().as_ref();
        let within = here.name;
        if matches!(value.get_ref(), DeValue::Table(_) | DeValue::Array(_)) {
            let heading = if let Form::Tables(_) = form {
                format!("[[{name}]]")
            } else {
                format!("[{name}]")
            };
            let what = format!("the table {heading} is none of [{within}]: it stands by itself");
            return self.slip(key.span(), what).hint(heading);
        }
        let what = format!("`{name}` is no key of [{within}]: it stands above the first [table]");
        let is_heading = |line: &str| line.trim_start().starts_with('[');
        let first = self.reader.text().lines().position(is_heading).map_or(1, |line| line + 1);
        let typed = self.typed(value).map_or(String::new(), |typed| format!(": {name} = {typed}"));
        let hint = format!("put this line above the first [table], which is line {first}{typed}");
        self.slip(key.span(), what).hint(hint)
    }

    /// A key that is none of its table: what was meant, or where it stands.
    pub(super) fn unknown(
        &self,
        here: &Place<'_>,
        keys: &[Key],
        key: &Spanned<Cow<'_, str>>,
        value: &Spanned<DeValue<'_>>,
    ) -> Error {
        let name = key.get_ref().as_ref();
        let is_table = match value.get_ref() {
            DeValue::Table(_) => true,
            DeValue::Array(all) => all.iter().any(|one| matches!(one.get_ref(), DeValue::Table(_))),
            _ => false,
        };
        let typed = self.typed(value).filter(|_| !is_table);
        let line = |name: &str| match &typed {
            Some(value) => format!("{name} = {value}"),
            None => format!("`{name}` instead"),
        };
        let names: Vec<&str> = keys.iter().map(|key| key.name).collect();
        let within =
            if here.name.is_empty() { "a job".to_string() } else { format!("[{}]", here.name) };
        let error = |what: String| self.slip(key.span(), what);
        if is_table && let Some(section) = self.section_named(name) {
            return error(format!("the table [{name}] is written [{section}]"))
                .hint(format!("[{section}]"));
        }
        let others = || OTHER_NAMES.iter().filter(|(other, _, _)| *other == name);
        if let Some((_, _, meant)) = others().find(|(_, table, _)| *table == here.name) {
            return error(format!("unknown key: `{name}` is called `{meant}` here"))
                .hint(line(meant));
        }
        if let Some(near) = nearest(name, &names) {
            let hint = if is_table { format!("[{}]", here.path(near)) } else { line(near) };
            return error(format!("unknown key in {within}"))
                .found(name)
                .allowed(names.join(", "))
                .hint(hint);
        }
        let elsewhere = self.sections_with(name);
        if !elsewhere.is_empty() && !is_table {
            return error(format!(
                "`{name}` is no key of {within}: it stands {}",
                elsewhere.join(" or ")
            ))
            .hint(format!("put this line {}", elsewhere.join(" or ")));
        }
        if let Some((_, table, meant)) = others().next() {
            return error(format!(
                "unknown key: `{name}` is called `{meant}` and stands below [{table}]"
            ))
            .hint(format!("below [{table}]: {}", line(meant)));
        }
        error(format!("unknown key in {within}"))
            .found(name)
            .allowed(names.join(", "))
            .hint(format!("remove `{name}`, or take one of the keys that are allowed"))
    }

    /// The full name of the table whose last word this is.
    fn section_named(&self, name: &str) -> Option<&str> {
        let ends = |section: &&Section| {
            section.name.rsplit_once('.').is_some_and(|(_, last)| last == name)
        };
        let mut all = self.sections.iter().filter(ends);
        let first = all.next()?;
        all.next().is_none().then_some(first.name.as_str())
    }

    /// Where a key stands, three places at most.
    fn sections_with(&self, name: &str) -> Vec<String> {
        let has = |section: &&Section| {
            section.keys.iter().any(|key| key.name == name && key.form.keys().is_none())
        };
        self.sections.iter().filter(has).map(below_what).take(3).collect()
    }
}
