//! Comma-separated values for spreadsheets and printers of labels: RFC 4180 in UTF-8, which the
//! mark at the beginning says to programs that would guess another alphabet.

use crate::diagnostics::visible::visible;

/// A table of records, its headings the first of them.
pub(super) struct Table {
    text: String,
    columns: usize,
}

/// The mark that a text is UTF-8.
const UTF_8: char = '\u{feff}';

impl Table {
    /// A table with these headings.
    pub(super) fn of(headings: &[&str]) -> Self {
        let heading = record(headings.iter().map(|heading| heading.to_string()));
        Self { text: format!("{UTF_8}{heading}"), columns: headings.len() }
    }

    /// With one record more, a field a column.
    pub(super) fn row(&mut self, fields: impl IntoIterator<Item = String>) {
        let fields: Vec<String> = fields.into_iter().collect();
        debug_assert_eq!(fields.len(), self.columns, "{fields:?}");
        self.text.push_str(&record(fields.into_iter()));
    }

    /// All of it.
    pub(super) fn text(self) -> String {
        self.text
    }
}

/// A text that a spreadsheet takes as text: what would begin a formula, or be made a date or a
/// number (`3-4`, `May 4`, `007`), gets an apostrophe before it, what does not print is spelled
/// out.
pub(super) fn text(value: &str) -> String {
    let value = visible(value);
    let is_formula = value.starts_with(['=', '+', '-', '@']);
    if is_formula || is_taken_for_a_figure(&value) { format!("'{value}") } else { value }
}

/// Words that stand in dates, times and numbers; months by their first three letters too.
const IN_FIGURES: [&str; 18] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "sept",
    "am",
    "pm",
    "e",
    "t",
    "z",
];

/// Whether a text has figures and no word that stands in no date and no number.
fn is_taken_for_a_figure(value: &str) -> bool {
    let is_short_month = |word: &str| {
        word.len() == 3 && IN_FIGURES[..12].iter().any(|month| month.starts_with(word))
    };
    let lower = value.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    // A row of figures is neither.
    let has_figure = lower.chars().any(|c| c.is_ascii_digit()) && !lower.contains(';');
    let is_truth = ["true", "false"].contains(&lower.trim());
    is_truth || has_figure && words.all(|word| IN_FIGURES.contains(&word) || is_short_month(word))
}

/// One record; a field with a comma, a quote or a line break in it stands in quotes, its quotes
/// doubled.
fn record(fields: impl Iterator<Item = String>) -> String {
    let quoted = fields.map(|field| {
        if field.contains([',', '"', '\r', '\n']) {
            format!("\"{}\"", field.replace('"', "\"\""))
        } else {
            field
        }
    });
    format!("{}\r\n", quoted.collect::<Vec<String>>().join(","))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_is_quoted_where_it_must_be_and_only_there() {
        let fields = ["plain", "a, b", "3/4\" ply", "two\nlines", ""].map(str::to_string);
        assert_eq!(
            record(fields.into_iter()),
            "plain,\"a, b\",\"3/4\"\" ply\",\"two\nlines\",\r\n"
        );
    }

    #[test]
    fn a_table_says_its_alphabet_first_and_once() {
        let mut table = Table::of(&["a", "b"]);
        table.row(["1", "\u{fc}"].map(str::to_string));
        assert_eq!(table.text(), "\u{feff}a,b\r\n1,\u{fc}\r\n");
    }

    #[test]
    fn no_text_begins_a_formula() {
        assert_eq!(text("=1+1"), "'=1+1");
        assert_eq!(text("@here"), "'@here");
        assert_eq!(text("Garden steps"), "Garden steps");
    }

    #[test]
    fn no_text_becomes_a_date_or_a_number() {
        for figure in [
            "1-1",
            "3/4",
            "May 4",
            "4 Sept",
            "4.5.",
            "2026-05-04",
            "007",
            "114",
            "12:30 pm",
            "1e5",
            "2026-05-04T10:00Z",
            "12 %",
            "True",
            "Mar-12",
        ] {
            assert_eq!(text(figure), format!("'{figure}"));
        }
        for word in [
            "S1-1",
            "B2-1",
            "114b",
            "4th of May",
            "May",
            "63 3/8 x 11 1/4",
            "sheet 1",
            "1.5 2; 3 4",
            "",
        ] {
            assert_eq!(text(word), word);
        }
    }

    #[test]
    fn a_text_shows_what_does_not_print() {
        assert_eq!(text("a\u{1b}[31m\nb.toml"), "a\\x1b[31m\\nb.toml");
    }
}
