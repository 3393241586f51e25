//! The order file: whose it is, which jobs are cut together, and how many times each. And what a
//! text is, told by its content.

use serde::Deserialize;
use toml::Spanned;

use crate::diagnostics::visible::is_hidden;
use crate::diagnostics::{Error, Position};
use crate::profile::reader::Reader;
use crate::profile::{TextKind, kind_of_text};

/// An order: whose it is, and its jobs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Whose it is.
    pub head: OrderHead,
    /// The stock file that it is cut from, from the order's folder.
    pub stock: Option<String>,
    /// What is made.
    pub lines: Vec<OrderLine>,
}

/// Whose an order is: what stands on everything that is made for it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub struct OrderHead {
    /// What it is called.
    pub title: Option<String>,
    /// For whom.
    pub customer: Option<String>,
    /// Its number in the shop's books.
    pub number: Option<String>,
    /// When it is due, in the shop's own words.
    pub due: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

impl OrderHead {
    /// A line for each that is given, title and note last.
    pub fn lines(&self) -> Vec<String> {
        let line = |what: &str, of: &Option<String>| of.as_ref().map(|of| format!("{what} {of}"));
        let lines = [
            line("Order", &self.number),
            line("Customer", &self.customer),
            line("Due", &self.due),
            line("Order title", &self.title),
            line("Note", &self.note),
        ];
        lines.into_iter().flatten().collect()
    }

    /// Number, customer and due in one line; empty where none is given.
    pub fn in_a_line(&self) -> String {
        let word = |what: &str, of: &Option<String>| of.as_ref().map(|of| format!("{what} {of}"));
        let words =
            [word("order", &self.number), word("customer", &self.customer), word("due", &self.due)];
        let line = words.into_iter().flatten().collect::<Vec<_>>().join(", ");
        let mut letters = line.chars();
        letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
    }
}

/// The most orders that are named one by one on what is made for several.
const MOST_NAMED: usize = 6;

/// Whose something is that is made for one line of an order, or for several: each of them once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Whose(Vec<OrderHead>);

impl Whose {
    /// Of those lines that say anything; nobody's where none does.
    pub fn of<'a>(lines: impl IntoIterator<Item = &'a OrderHead>) -> Self {
        let mut each: Vec<OrderHead> = Vec::new();
        for line in lines {
            if *line != OrderHead::default() && !each.contains(line) {
                each.push(line.clone());
            }
        }
        Self(each)
    }

    /// The title of the order, where it is one order's.
    pub fn title(&self) -> Option<&str> {
        let title = self.0.first()?.title.as_deref()?;
        self.0.iter().all(|of| of.title.as_deref() == Some(title)).then_some(title)
    }

    /// All that is said: of one order a line for each, of several a line an order and their notes.
    pub fn lines(&self) -> Vec<String> {
        match &self.0[..] {
            [] => Vec::new(),
            [one] => one.lines(),
            several => {
                let named = self.named();
                let mut notes: Vec<String> = Vec::new();
                for note in several.iter().filter_map(|of| of.note.as_ref()) {
                    let note = format!("Note {note}");
                    if !notes.contains(&note) && notes.len() < MOST_NAMED {
                        notes.push(note);
                    }
                }
                named.into_iter().chain(notes).collect()
            }
        }
    }

    /// Number, customer and due of all of them in one line.
    pub fn in_a_line(&self) -> String {
        self.named().join("; ")
    }

    /// A line for each, the last one saying how many more there are.
    fn named(&self) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for line in self.0.iter().map(OrderHead::in_a_line).filter(|line| !line.is_empty()) {
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
        if lines.len() > MOST_NAMED {
            let more = lines.len() - MOST_NAMED;
            lines.truncate(MOST_NAMED);
            lines.push(format!("and {more} more, by the work list"));
        }
        lines
    }

    /// The same without the orders' titles, for what has them over it.
    pub fn untitled(&self) -> Self {
        let heads: Vec<OrderHead> =
            self.0.iter().map(|of| OrderHead { title: None, ..of.clone() }).collect();
        Self::of(&heads)
    }
}

/// A job of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The job's file, from the order's folder.
    pub file: String,
    /// Where the order says so.
    pub at: Position,
    /// How many times the job's own quantity is made.
    pub count: usize,
    /// For whom, where not for the order's own customer.
    pub customer: Option<String>,
}

/// The most jobs that are cut together.
const MOST_JOBS: usize = 1_000;
/// The longest text of an order, and the longest note, in characters.
const LONGEST_TEXT: usize = 60;
const LONGEST_NOTE: usize = 300;
/// The most times that one job is made.
const MOST_TIMES: i64 = 10_000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OrderFile {
    title: Option<Spanned<String>>,
    customer: Option<Spanned<String>>,
    number: Option<Spanned<String>>,
    due: Option<Spanned<String>>,
    note: Option<Spanned<String>>,
    stock: Option<Spanned<String>>,
    #[serde(default)]
    job: Vec<LineFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LineFile {
    file: Spanned<String>,
    count: Option<Spanned<i64>>,
    customer: Option<Spanned<String>>,
}

/// The order that a text is, if it is one: a text with `[[job]]` tables.
///
/// # Errors
/// With file, line and column, if it is an order and not a good one.
pub fn order_of(file: &str, text: &str) -> Result<Option<Order>, Error> {
    if kind_of_text(text) != TextKind::Order {
        return Ok(None);
    }
    let reader = Reader::new(file, text);
    let raw: OrderFile = reader.parse("order")?;
    if raw.job.is_empty() {
        let hint = "[[job]] on a line, and below it file = \"porch.toml\"; or, where this is meant \
            for a job, its tables: [rise], [tread], [head], [board]";
        return Err(reader
            .error("this order lists no job", "no table [[job]]", hint)
            .allowed("a table [[job]] for each job that it is made of"));
    }
    if let Some(first) = raw.job.first().filter(|_| raw.job.len() > MOST_JOBS) {
        let (found, allowed) =
            (format!("{} jobs", raw.job.len()), format!("{MOST_JOBS} jobs at most"));
        return Err(reader.out_of_range("job", first.file.span(), &found, &allowed));
    }
    let mut lines = Vec::new();
    for line in &raw.job {
        let count = line.count.as_ref().map_or(1, |count| *count.get_ref());
        if let Some(count_text) = line.count.as_ref().filter(|_| !(1..=MOST_TIMES).contains(&count))
        {
            let allowed = format!("1 to {MOST_TIMES}");
            return Err(reader.out_of_range(
                "job.count",
                count_text.span(),
                &count.to_string(),
                &allowed,
            ));
        }
        if line.file.get_ref().trim().is_empty() {
            return Err(reader.out_of_range(
                "job.file",
                line.file.span(),
                "an empty text",
                "the path of a job file",
            ));
        }
        lines.push(OrderLine {
            file: line.file.get_ref().clone(),
            at: reader.place(line.file.span()),
            count: count as usize,
            customer: words(&reader, "job.customer", &line.customer, LONGEST_TEXT)?,
        });
    }
    let head = OrderHead {
        title: words(&reader, "title", &raw.title, LONGEST_TEXT)?,
        customer: words(&reader, "customer", &raw.customer, LONGEST_TEXT)?,
        number: words(&reader, "number", &raw.number, LONGEST_TEXT)?,
        due: words(&reader, "due", &raw.due, LONGEST_TEXT)?,
        note: words(&reader, "note", &raw.note, LONGEST_NOTE)?,
    };
    let stock = words(&reader, "stock", &raw.stock, LONGEST_NOTE)?;
    Ok(Some(Order { head, stock, lines }))
}

/// One line of words that can be printed on a label.
fn words(
    reader: &Reader<'_>,
    key: &str,
    raw: &Option<Spanned<String>>,
    most: usize,
) -> Result<Option<String>, Error> {
    let Some(raw) = raw else { return Ok(None) };
    let text = raw.get_ref().trim();
    let count = text.chars().count();
    let found = match () {
        () if text.is_empty() => "an empty text".to_string(),
        () if count > most => format!("{count} characters"),
        () if text.chars().any(is_hidden) => "a character that does not print".to_string(),
        () => return Ok(Some(text.to_string())),
    };
    let allowed = format!("one line of 1 to {most} characters");
    Err(reader.out_of_range(key, raw.span(), &found, &allowed))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_of_more_jobs_than_anybody_cuts_together_is_refused() {
        let order =
            |count: usize| order_of("order.toml", &"[[job]]\nfile = \"a.toml\"\n".repeat(count));
        assert_eq!(order(MOST_JOBS).unwrap().unwrap().lines.len(), MOST_JOBS);
        let refused = order(MOST_JOBS + 1).unwrap_err().to_string();
        assert!(
            refused.contains("order.toml, line 2") && refused.contains("1000 jobs at most"),
            "{refused}"
        );
    }

    #[test]
    fn an_order_says_whose_it_is_in_words_that_can_be_printed() {
        let job = "[[job]]\nfile = \"a.toml\"\n";
        let read = |text: &str| order_of("order.toml", &format!("{text}\n{job}"));
        let head = "title = \"Two stairs\"\ncustomer = \" Harbour Inn \"\nnumber = \"114\"\ndue \
            = \"May \
            4\"\nnote = \"ring first\"";
        let order = read(head).unwrap().unwrap();
        assert_eq!(
            order.head.lines(),
            [
                "Order 114",
                "Customer Harbour Inn",
                "Due May 4",
                "Order title Two stairs",
                "Note ring first"
            ]
        );
        for (text, says) in [
            ("customer = \"\"".to_string(), "an empty text"),
            (format!("number = \"{}\"", "7".repeat(61)), "61 characters"),
            ("note = \"a\\nb\"".to_string(), "does not print"),
            ("due = 4".to_string(), "due"),
            ("costumer = \"x\"".to_string(), "costumer"),
        ] {
            let error = read(&text).unwrap_err().to_string();
            assert!(error.contains(says) && error.contains("line 1"), "{error}");
        }
    }

    #[test]
    fn an_order_whose_jobs_are_missing_is_told_so() {
        for text in ["title = \"x\"", "customer = \"Harbour Inn\"\nnumber = \"114\""] {
            let error = order_of("order.toml", text).unwrap_err().to_string();
            assert!(error.contains("lists no job") && error.contains("[[job]]"), "{error}");
        }
    }
}
