//! The order file: which jobs are cut together, and how many times each. And what a text is, told
//! by its content.

use serde::Deserialize;
use toml::Spanned;

use crate::diagnostics::Error;
use crate::profile::reader::Reader;

/// A job of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The job's file, from the order's folder.
    pub file: String,
    /// How many times the job's own quantity is made.
    pub count: usize,
}

/// The most jobs that are cut together.
const MOST_JOBS: usize = 1_000;
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
    let has = |keys: &[&str]| keys.iter().any(|key| table.contains_key(*key));
    match () {
        () if table.get("job").is_some_and(toml::Value::is_array) => TextKind::Order,
        () if has(&OF_A_JOB) => TextKind::Job,
        () if has(&OF_A_PROFILE) => TextKind::Profile,
        () if has(&["built"]) => TextKind::Measurements,
        () => TextKind::Job,
    }
}

/// The jobs that a text lists, if it is an order: a text with `[[job]]` tables.
///
/// # Errors
/// With file, line and column, if it is an order and not a good one.
pub fn order_of(file: &str, text: &str) -> Result<Option<Vec<OrderLine>>, Error> {
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
        lines.push(OrderLine { file: line.file.get_ref().clone(), count: count as usize });
    }
    Ok(Some(lines))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{embedded, embedded_names};

    #[test]
    fn an_order_of_more_jobs_than_anybody_cuts_together_is_refused() {
        let order =
            |count: usize| order_of("order.toml", &"[[job]]\nfile = \"a.toml\"\n".repeat(count));
        assert_eq!(order(MOST_JOBS).unwrap().unwrap().len(), MOST_JOBS);
        let refused = order(MOST_JOBS + 1).unwrap_err().to_string();
        assert!(
            refused.contains("order.toml, line 2") && refused.contains("1000 jobs at most"),
            "{refused}"
        );
    }

    #[test]
    fn every_profile_is_one_and_the_starter_is_a_job() {
        for (kind, name) in embedded_names() {
            let text = embedded(Some(kind), name).unwrap().text;
            assert_eq!(kind_of_text(&text), TextKind::Profile, "{kind} {name}");
        }
        assert_eq!(kind_of_text(crate::job::STARTER), TextKind::Job);
        assert_eq!(kind_of_text("[built]\nheights = []\n"), TextKind::Measurements);
        assert_eq!(kind_of_text("[[ job ]]\nfile = \"a.toml\"\n"), TextKind::Order);
        // What is meant for one of them and cannot be read is told as such.
        assert_eq!(kind_of_text("[[job]]\nfile = \n"), TextKind::Order);
        for text in ["", "titel = \"x\"", "title = \n", "kind = \"machine\"\ntitle = \"x\""] {
            assert_eq!(kind_of_text(text), TextKind::Job, "{text}");
        }
    }
}
