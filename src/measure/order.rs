//! The order file: which jobs are cut together, and how many times each.

use serde::Deserialize;
use toml::Spanned;

use crate::error::Error;
use crate::profile::reader::Reader;

/// A job of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The job's file, from the order's folder.
    pub file: String,
    /// How many times the job's own quantity is made.
    pub count: usize,
}

/// The most times that one job is made.
const MOST_TIMES: i64 = 10_000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OrderFile {
    #[serde(rename = "title")]
    _title: Option<String>,
    job: Vec<LineFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LineFile {
    file: Spanned<String>,
    count: Option<Spanned<i64>>,
}

/// The jobs that a text lists, if it is an order: a text with `[[job]]` tables.
///
/// # Errors
/// With file, line and column, if it is an order and not a good one.
pub fn order_of(file: &str, text: &str) -> Result<Option<Vec<OrderLine>>, Error> {
    let is_order = text.lines().any(|line| line.trim_start().starts_with("[[job]]"));
    if !is_order {
        return Ok(None);
    }
    let reader = Reader::new(file, text);
    let raw: OrderFile = reader.parse("order")?;
    let mut lines = Vec::new();
    for line in &raw.job {
        let count = line.count.as_ref().map_or(1, |count| *count.get_ref());
        if let Some(count_text) = line.count.as_ref().filter(|_| !(1..=MOST_TIMES).contains(&count)) {
            let allowed = format!("1 to {MOST_TIMES}");
            return Err(reader.out_of_range("job.count", count_text.span(), &count.to_string(), &allowed));
        }
        if line.file.get_ref().trim().is_empty() {
            return Err(reader.out_of_range("job.file", line.file.span(), "an empty text", "the path of a job file"));
        }
        lines.push(OrderLine { file: line.file.get_ref().clone(), count: count as usize });
    }
    Ok(Some(lines))
}
