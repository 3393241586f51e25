//! The order file: whose it is, which jobs are cut together, and how many times each. And what a text
//! is, told by its content.

use serde::Deserialize;
use toml::Spanned;

use crate::diagnostics::Error;
use crate::diagnostics::visible::is_hidden;
use crate::profile::reader::Reader;

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
#[derive(Clone, Debug, Default, PartialEq, Eq)]
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
}

/// A job of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The job's file, from the order's folder.
    pub file: String,
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
    job: Vec<LineFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LineFile {
    file: Spanned<String>,
    count: Option<Spanned<i64>>,
    customer: Option<Spanned<String>>,
}

/// What a text of this program's is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextKind {
    /// A job, or what is meant for one: whatever else it is not.
    Job,
    /// A list of jobs.
    Order,
    /// A machine, a material, a rule set.
    Profile,
    /// As-built measurements in a file of their own.
    Measurements,
    /// What lies in a shop's rack.
    Stock,
}

/// Keys and tables that only a job has.
const OF_A_JOB: [&str; 9] =
    ["title", "rules", "rise", "ground", "tread", "head", "foot", "board", "cut"];
/// Keys that every profile has and no job.
const OF_A_PROFILE: [&str; 2] = ["kind", "about"];

/// What a text is. One that cannot be read is taken for a job, so that its error is told.
pub fn kind_of_text(text: &str) -> TextKind {
    let Ok(table) = toml::from_str::<toml::Table>(text) else {
        let is_order = text.lines().any(|line| line.trim_start().starts_with("[[job]]"));
        return if is_order { TextKind::Order } else { TextKind::Job };
    };
    let lists = |key: &str| table.get(key).is_some_and(toml::Value::is_array);
    let has = |keys: &[&str]| keys.iter().any(|key| table.contains_key(*key));
    match () {
        () if lists("job") => TextKind::Order,
        () if lists("board") || lists("sheet") => TextKind::Stock,
        () if has(&OF_A_JOB) => TextKind::Job,
        () if has(&OF_A_PROFILE) => TextKind::Profile,
        () if has(&["built"]) => TextKind::Measurements,
        () => TextKind::Job,
    }
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
    use crate::profile::{embedded, embedded_names};

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
        let head = "title = \"Two stairs\"\ncustomer = \" Harbour Inn \"\nnumber = \"114\"\ndue = \"May 4\"\nnote = \"ring first\"";
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
    fn every_profile_is_one_and_the_starter_is_a_job() {
        for (kind, name) in embedded_names() {
            let text = embedded(Some(kind), name).unwrap().text;
            assert_eq!(kind_of_text(&text), TextKind::Profile, "{kind} {name}");
        }
        assert_eq!(kind_of_text(crate::job::STARTER), TextKind::Job);
        assert_eq!(kind_of_text("[built]\nheights = []\n"), TextKind::Measurements);
        assert_eq!(kind_of_text("[[sheet]]\nmaterial = \"x\"\n"), TextKind::Stock);
        assert_eq!(kind_of_text("[[ job ]]\nfile = \"a.toml\"\n"), TextKind::Order);
        // What is meant for one of them and cannot be read is told as such.
        assert_eq!(kind_of_text("[[job]]\nfile = \n"), TextKind::Order);
        for text in ["", "titel = \"x\"", "title = \n", "kind = \"machine\"\ntitle = \"x\""] {
            assert_eq!(kind_of_text(text), TextKind::Job, "{text}");
        }
    }
}
