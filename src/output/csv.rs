//! Comma-separated values: RFC 4180.

use crate::diagnostics::visible::visible;

/// A text that a spreadsheet takes as text: what would begin a formula gets an apostrophe before
/// it, what does not print is spelled out.
pub(super) fn text(value: &str) -> String {
    let value = visible(value);
    if value.starts_with(['=', '+', '-', '@']) { format!("'{value}") } else { value }
}

/// One record; a field with a comma, a quote or a line break in it stands in quotes, its quotes
/// doubled.
pub(super) fn record(fields: impl Iterator<Item = String>) -> String {
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
    fn no_text_begins_a_formula() {
        assert_eq!(text("=1+1"), "'=1+1");
        assert_eq!(text("@here"), "'@here");
        assert_eq!(text("Garden steps"), "Garden steps");
    }

    #[test]
    fn a_text_shows_what_does_not_print() {
        assert_eq!(text("a\u{1b}[31m\nb.toml"), "a\\x1b[31m\\nb.toml");
    }
}
