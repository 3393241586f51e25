//! What a stair may have beside its stringers, a table of the job each: whether it stands in a
//! text, put there with what is usual of it, and taken out again.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use super::edit::{Answer, keys_in, with_key};
use super::form::{Form, JOB};
use super::questions::QUESTIONS;
use crate::units::Tape;

/// A part of the whole stair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// The table, `rail`.
    pub table: &'static str,
    /// What it is called in a word, where one is typed.
    pub word: &'static str,
    /// A few words.
    pub asks: &'static str,
    /// What comes of it.
    pub means: &'static str,
}

/// Every part, in the order that they are asked for.
pub const PARTS: [Part; 5] = [
    Part {
        table: "steps",
        word: "treads",
        asks: "Treads and riser boards as pieces",
        means: "each with its size on a cut list, and which boards to buy",
    },
    Part {
        table: "skirts",
        word: "skirts",
        asks: "Skirts",
        means: "boards that cover the sides of the stair: their outlines and lengths",
    },
    Part {
        table: "rail",
        word: "rail",
        asks: "Rail",
        means: "where posts and balusters stand, how long they are; no design of a guard",
    },
    Part {
        table: "opening",
        word: "opening",
        asks: "Opening in the upper floor",
        means: "the flight goes up through it: is there headroom under its edge",
    },
    Part {
        table: "landing",
        word: "landing",
        asks: "Landing",
        means: "it parts the stair into two flights, each with stringers of its own",
    },
];

/// Part by its table.
pub fn part(table: &str) -> Option<&'static Part> {
    PARTS.iter().find(|part| part.table == table)
}

/// How a part stands in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It does not.
    Nowhere,
    /// Once, so that its keys can be changed one by one.
    Once,
    /// In a way that is changed in the text itself, several landings say: each as it is read there.
    Apart(Vec<String>),
}

/// How a part stands in a text; none where that cannot be read key by key.
pub fn part_of(text: &str, part: &Part) -> Option<Standing> {
    let document: DocumentMut = text.parse().ok()?;
    Some(match document.get(part.table) {
        None => Standing::Nowhere,
        Some(item) if keys_in(item).is_some() => Standing::Once,
        Some(Item::ArrayOfTables(tables)) => {
            Standing::Apart(tables.iter().map(|table| in_a_line(table)).collect())
        }
        Some(Item::Value(Value::Array(all))) => {
            let each = |value: &Value| {
                value.as_inline_table().map_or(value.to_string(), |table| in_a_line(table))
            };
            Standing::Apart(all.iter().map(each).collect())
        }
        Some(item) => Standing::Apart(vec![figure(item)]),
    })
}

/// The keys of a table with their figures, `after 4, depth 40 in`.
fn in_a_line(table: &dyn TableLike) -> String {
    let each = table.iter().map(|(key, item)| format!("{key} {}", figure(item)));
    each.collect::<Vec<_>>().join(", ")
}

/// What stands behind a key, without quote marks and comments.
fn figure(item: &Item) -> String {
    match item.as_value() {
        Some(Value::String(text)) => text.value().clone(),
        Some(value) => value.clone().decorated("", "").to_string(),
        None => item.to_string().trim().to_string(),
    }
}

/// The text with a part, and with what is usual of it where it stood nowhere; or without it, what
/// somebody wrote on lines of its own in it kept.
///
/// None where the text cannot be read key by key, or where the part stands apart.
pub fn with_part(text: &str, part: &Part, is_there: bool, tape: Tape) -> Option<String> {
    match (part_of(text, part)?, is_there) {
        (Standing::Apart(_), _) => None,
        (Standing::Once, true) | (Standing::Nowhere, false) => Some(text.to_string()),
        (Standing::Once, false) => without(text, part.table),
        (Standing::Nowhere, true) => {
            let own = QUESTIONS.iter().filter(|asked| asked.part() == Some(part));
            let usual = own.filter_map(|asked| Some((asked, asked.usual_by(tape)?)));
            usual.fold(opened(text, part.table), |text, (asked, usual)| {
                with_key(&text?, asked.key, &Answer::Text(usual.to_string()), asked.means)
            })
        }
    }
}

/// The text with a table that has nothing in it yet, at its end.
fn opened(text: &str, name: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let is_list = JOB.iter().any(|key| key.name == name && matches!(key.form, Form::Tables(_)));
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    let item = match is_list {
        true => Item::ArrayOfTables(ArrayOfTables::from_iter([table])),
        false => Item::Table(table),
    };
    document.insert(name, item);
    Some(document.to_string())
}

/// The text without a table. Comments on lines of their own go to what stands below it.
fn without(text: &str, name: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let mut own = Vec::new();
    own.extend(document.key(name).and_then(|key| comments(key.leaf_decor().prefix()?.as_str()?)));
    let removed = document.remove(name)?;
    let tables: Vec<&Table> = match &removed {
        Item::Table(table) => vec![table],
        Item::ArrayOfTables(tables) => tables.iter().collect(),
        _ => Vec::new(),
    };
    for table in &tables {
        own.extend(table.decor().prefix().and_then(|prefix| comments(prefix.as_str()?)));
        let keys = table.iter().filter_map(|(key, _)| table.key(key));
        own.extend(keys.filter_map(|key| comments(key.leaf_decor().prefix()?.as_str()?)));
    }
    let place = tables.first().and_then(|table| table.position());
    let own = own.concat();
    if own.is_empty() {
        return Some(document.to_string());
    }
    let below = place.and_then(|place| below(document.as_table_mut(), place));
    match below {
        Some(table) => {
            let before = table.decor().prefix().and_then(|of| of.as_str()).unwrap_or_default();
            let both = format!("\n{own}{before}");
            table.decor_mut().set_prefix(both);
        }
        None => {
            let before = document.trailing().as_str().unwrap_or_default();
            let both = format!("{before}\n{own}");
            document.set_trailing(both);
        }
    }
    Some(document.to_string())
}

/// The lines of a text that are comments; none where there is none.
fn comments(text: &str) -> Option<String> {
    let lines = text.lines().filter(|line| line.trim_start().starts_with('#'));
    let all: String = lines.map(|line| format!("{}\n", line.trim_end())).collect();
    Some(all).filter(|all| !all.is_empty())
}

/// The table whose heading stands next below a place.
fn below(root: &mut Table, place: isize) -> Option<&mut Table> {
    let mut all = Vec::new();
    for (_, item) in root.iter_mut() {
        match item {
            Item::Table(table) => all.push(table),
            Item::ArrayOfTables(tables) => all.extend(tables.iter_mut()),
            _ => {}
        }
    }
    let stands = |table: &&mut Table| {
        !table.is_implicit() && !table.is_dotted() && table.position().is_some_and(|at| at > place)
    };
    all.into_iter().filter(stands).min_by_key(|table| table.position())
}

#[cfg(test)]
mod tests {
    use super::*;

    const MINE: &str = "# mine\n[rise]\ntotal = \"51 in\"  # plumb\n\n# as the inspector wants \
        it\n[rail]\n\
                        # no lower\nheight = \"36 in\"  # to the top\npost = \"3 in\"\n\n# the \
                        board\n[board]\nwidth = \"11 in\"\n";

    fn of(table: &str) -> &'static Part {
        part(table).unwrap()
    }

    #[test]
    fn a_part_is_put_in_with_what_is_usual_and_taken_out_with_the_comments_kept() {
        for part in &PARTS {
            let bare = "[rise]\ntotal = \"51 in\"\n";
            let with = with_part(bare, part, true, Tape::Metric).unwrap();
            assert_eq!(part_of(&with, part), Some(Standing::Once), "{with}");
            assert_eq!(with_part(&with, part, true, Tape::Inches).as_deref(), Some(&with[..]));
            assert_eq!(with_part(&with, part, false, Tape::Metric).as_deref(), Some(bare));
        }
        let with = with_part("", of("rail"), true, Tape::Metric).unwrap();
        assert!(with.contains("[rail]\nheight = \"900 mm\""), "{with}");
        assert_eq!(
            with_part("", of("landing"), true, Tape::Inches)
                .unwrap()
                .matches("[[landing]]")
                .count(),
            1
        );
        let without = with_part(MINE, of("rail"), false, Tape::Inches).unwrap();
        assert!(!without.contains("[rail]") && !without.contains("post"), "{without}");
        for kept in [
            "# mine\n[rise]",
            "# plumb",
            "# as the inspector wants it\n",
            "# no lower\n",
            "# the board\n[board]",
        ] {
            assert!(without.contains(kept), "{kept}: {without}");
        }
        let last = MINE.split("\n# the board").next().unwrap();
        let without = with_part(last, of("rail"), false, Tape::Inches).unwrap();
        assert!(without.ends_with("# as the inspector wants it\n# no lower\n"), "{without}");
    }

    #[test]
    fn what_stands_apart_is_told_and_left_as_it_is() {
        let two = "[[landing]]\nafter = 4\nturn = \"left\"\n[[landing]]\nafter = 8\n";
        let told = vec!["after 4, turn left".to_string(), "after 8".to_string()];
        assert_eq!(part_of(two, of("landing")), Some(Standing::Apart(told)));
        let inline = "landing = [{ after = 4 }]\n";
        assert_eq!(part_of(inline, of("landing")), Some(Standing::Apart(vec!["after 4".into()])));
        for (text, table) in
            [(two, "landing"), (inline, "landing"), ("rail = 3\n", "rail"), ("[rail\n", "rail")]
        {
            assert_eq!(with_part(text, of(table), false, Tape::Inches), None, "{text}");
            assert_eq!(with_part(text, of(table), true, Tape::Inches), None, "{text}");
        }
        let inline = "rail = { height = \"36 in\" }\nboard = \"2x12\"\n";
        assert_eq!(part_of(inline, of("rail")), Some(Standing::Once));
        assert_eq!(
            with_part(inline, of("rail"), false, Tape::Inches).as_deref(),
            Some("board = \"2x12\"\n")
        );
    }
}
