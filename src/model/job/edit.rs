//! A job's text changed key by key. What somebody else typed in it, comments and order above all,
//! stays as it is.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value, value};

use super::form::JOB;
use super::whole::part;
use crate::units::{Bare, Tape, read_length};

/// Where a comment begins behind a key and its value.
const COMMENT_COLUMN: usize = 38;

/// What a key is set to.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A text in quote marks, a length among them.
    Text(String),
    /// A whole number.
    Count(i64),
    /// Nothing: the key is taken out.
    Left,
}

/// The text with a key set, `rise.total` say, and a comment behind a key that is new.
///
/// None where the text cannot be read as a job file's form at all, or where something else than a
/// table stands in the key's way.
pub fn with_key(text: &str, key: &str, answer: &Answer, comment: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let (tables, name) = key.rsplit_once('.').unwrap_or(("", key));
    if *answer == Answer::Left {
        take_out(document.as_table_mut(), tables, name);
        return Some(document.to_string());
    }
    let table = opened(document.as_table_mut(), tables)?;
    let new = match answer {
        Answer::Text(text) => Value::from(text.as_str()),
        Answer::Count(count) => Value::from(*count),
        Answer::Left => return None,
    };
    set(table, name, new, comment);
    Some(document.to_string())
}

/// The text that stands behind a key, its quote marks left out; none where there is no such key, or
/// a table.
pub fn text_of(text: &str, key: &str) -> Option<String> {
    texts_of(text, [key]).and_then(|texts| texts.into_iter().next().flatten())
}

/// What stands behind each of these keys; none where the text cannot be read key by key.
pub fn texts_of<'k>(
    text: &str,
    keys: impl IntoIterator<Item = &'k str>,
) -> Option<Vec<Option<String>>> {
    let document: DocumentMut = text.parse().ok()?;
    let stands = |key: &str| {
        let mut item = document.as_item();
        for part in key.split('.') {
            item = keys_in(item)?.get(part)?;
        }
        match item.as_value()? {
            Value::String(text) => Some(text.value().clone()),
            Value::InlineTable(_) => None,
            value => Some(value.clone().decorated("", "").to_string()),
        }
    };
    Some(keys.into_iter().map(stands).collect())
}

/// A length as it stands in a job: what was typed, with the unit that the tape leaves out, and no
/// inch mark, which would end the quotes.
pub fn typed_length(typed: &str, tape: Tape) -> String {
    let typed = typed.trim();
    let read = |text: &str| read_length(text, Bare::Refused).ok().map(|reading| reading.length);
    let whole = match read(typed) {
        Some(_) => typed.to_string(),
        None => format!("{typed} {}", tape.unit()),
    };
    let spelled = whole.replace(['"', '\u{2033}', '\u{201d}'], " in");
    if read(&spelled) == read(&whole) { spelled } else { whole }
}

/// The table of this name, made where there is none.
fn opened<'a>(root: &'a mut Table, path: &str) -> Option<&'a mut dyn TableLike> {
    let mut table: &mut dyn TableLike = root;
    for part in path.split('.').filter(|part| !part.is_empty()) {
        // A board that is named is opened by whoever knows its size.
        if table.get(part).is_some_and(Item::is_str) {
            table.remove(part);
        }
        let item = table.entry(part).or_insert_with(|| Item::Table(unwritten()));
        table = keys_in_mut(item)?;
    }
    Some(table)
}

/// The keys of a table, or of the only one where several may be.
pub(super) fn keys_in(item: &Item) -> Option<&dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) if tables.len() == 1 => {
            tables.get(0).map(|table| table as &dyn TableLike)
        }
        item => item.as_table_like(),
    }
}

fn keys_in_mut(item: &mut Item) -> Option<&mut dyn TableLike> {
    if let Item::ArrayOfTables(tables) = item {
        let only = if tables.len() == 1 { tables.get_mut(0) } else { None };
        return only.map(|table| table as &mut dyn TableLike);
    }
    item.as_table_like_mut()
}

/// A table whose heading is written only once something stands below it.
fn unwritten() -> Table {
    let mut table = Table::new();
    table.set_implicit(true);
    table
}

/// Puts a value in; one that replaces another keeps what stands around it.
fn set(table: &mut dyn TableLike, name: &str, mut new: Value, comment: &str) {
    if let Some(old) = table.get_mut(name).and_then(Item::as_value_mut) {
        *new.decor_mut() = old.decor().clone();
        *old = new;
        return;
    }
    let width = name.len() + " = ".len() + new.to_string().trim().len();
    let gap = " ".repeat(COMMENT_COLUMN.saturating_sub(width).max(2));
    if !comment.is_empty() && !table.is_dotted() {
        new.decor_mut().set_suffix(format!("{gap}# {comment}"));
    }
    table.insert(name, value(new.clone()));
    if let Some(item) = table.get_mut(name).and_then(Item::as_value_mut) {
        *item = new;
    }
}

/// Whether a job is read without this table, and nobody asks for it by its heading alone.
fn may_be_left_out(path: &str) -> bool {
    let top = path.split('.').next().unwrap_or_default();
    part(top).is_none() && JOB.iter().any(|key| key.name == top && key.wanted.is_none())
}

/// Takes a key out; comments above it go to what stands below it.
fn take_out(root: &mut Table, path: &str, name: &str) {
    let mut table: &mut dyn TableLike = root;
    for part in path.split('.').filter(|part| !part.is_empty()) {
        let Some(inner) = table.get_mut(part).and_then(keys_in_mut) else { return };
        table = inner;
    }
    let above = table
        .key(name)
        .and_then(|key| key.leaf_decor().prefix())
        .and_then(|prefix| prefix.as_str())
        .unwrap_or_default()
        .to_string();
    let below = table.iter().map(|(key, _)| key.to_string()).skip_while(|key| key != name).nth(1);
    if table.remove(name).is_none() {
        return;
    }
    // A table with nothing in it asks for what it has to have: one that may be left out is.
    if table.is_empty() && may_be_left_out(path) {
        let (above, own) = path.rsplit_once('.').unwrap_or(("", path));
        return take_out(root, above, own);
    }
    if !above.contains('#') {
        return;
    }
    if let Some(mut key) = below.as_deref().and_then(|below| table.key_mut(below)) {
        let own = key.leaf_decor().prefix().and_then(|prefix| prefix.as_str()).unwrap_or_default();
        let both = format!("{above}{own}");
        key.leaf_decor_mut().set_prefix(both);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MINE: &str =
        "# mine\n[rise]\ntotal = \"51 3/8 in\"   # plumb\n# of these\nrisers = 7\naim = \"7 in\"\n";

    fn with(text: &str, key: &str, answer: Answer) -> String {
        with_key(text, key, &answer, "why").unwrap()
    }

    #[test]
    fn what_somebody_typed_around_a_key_stays() {
        let text = with(MINE, "rise.total", Answer::Text("50 in".into()));
        assert_eq!(text, MINE.replace("51 3/8 in", "50 in"));
        let text = with(MINE, "rise.risers", Answer::Left);
        assert_eq!(text, MINE.replace("risers = 7\n", ""));
        let cut = with(MINE, "cut.quantity", Answer::Count(2));
        assert_eq!(with(&cut, "cut.quantity", Answer::Left).trim_end(), MINE.trim_end());
        let text = with(MINE, "tread.cut", Answer::Text("10 in".into()));
        assert!(text.starts_with(MINE) && text.contains("\n[tread]\ncut = \"10 in\""), "{text}");
        assert!(text.trim_end().ends_with("# why"), "{text}");
        let text = with(MINE, "foot.tie_plate.width", Answer::Text("3 in".into()));
        assert!(text.contains("[foot.tie_plate]\n") && !text.contains("[foot]"), "{text}");
        assert_eq!(text_of(&text, "foot.tie_plate.width").as_deref(), Some("3 in"));
        assert_eq!(text_of(&text, "rise.risers").as_deref(), Some("7"));
        assert_eq!(text_of(&text, "rise"), None);
    }

    #[test]
    fn a_key_in_a_table_on_one_line_and_a_board_by_its_name_are_changed_too() {
        let text = "board = \"2x12\"\nfoot = { tie_plate = { width = \"3 in\" } } # low\n";
        let text = with(text, "foot.tie_plate.width", Answer::Text("4 in".into()));
        assert!(text.contains("{ width = \"4 in\" } } # low"), "{text}");
        let text = with(&text, "board.width", Answer::Text("11 in".into()));
        assert!(text.contains("[board]\nwidth = \"11 in\"") && !text.contains("2x12"), "{text}");
        assert_eq!(with_key("[rise\n", "rise.total", &Answer::Count(1), ""), None);
    }

    #[test]
    fn of_several_landings_none_is_changed_and_of_one_its_keys_are() {
        let one = "[[landing]]\nafter = 4   # mine\n";
        assert_eq!(text_of(one, "landing.after").as_deref(), Some("4"));
        assert_eq!(with(one, "landing.after", Answer::Count(5)), one.replace('4', "5"));
        let emptied = with("[[landing]]\nafter = 4\n", "landing.after", Answer::Left);
        assert_eq!(emptied, "[[landing]]\n");
        let two = format!("{one}{one}");
        assert_eq!(text_of(&two, "landing.after"), None);
        assert_eq!(with_key(&two, "landing.after", &Answer::Count(5), ""), None);
        assert_eq!(with(&two, "landing.after", Answer::Left), two);
    }

    #[test]
    fn a_length_stands_as_it_was_typed_with_its_unit() {
        for (typed, stands) in [
            ("26 3/4", "26 3/4 in"),
            ("26-3/4\"", "26-3/4 in"),
            ("2' 2-3/4\"", "2' 2-3/4 in"),
            ("68 cm", "68 cm"),
        ] {
            assert_eq!(typed_length(typed, Tape::Inches), stands);
        }
        assert_eq!(typed_length("270", Tape::Metric), "270 mm");
    }
}
