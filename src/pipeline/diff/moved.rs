//! A figure that is another in the new job.

use crate::geometry::tolerance::COINCIDENT_MM;
use crate::pipeline::numbers::{Number, Value};

/// A figure with its value in both jobs; none where a job does not have it.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Its key, as the report writes it.
    pub key: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// In the old job.
    pub old: Option<Value>,
    /// In the new job.
    pub new: Option<Value>,
}

/// The numbers that moved, of two lists of the same numbers in the same order.
pub(super) fn all(old: Vec<Number>, new: Vec<Number>) -> Vec<Moved> {
    let pairs = old.into_iter().zip(new);
    let moved = pairs.filter(|(old, new)| differ(old.value.as_ref(), new.value.as_ref()));
    moved
        .map(|(old, new)| Moved { key: new.key, label: new.label, old: old.value, new: new.value })
        .collect()
}

/// Whether two values are two: lengths, counts and angles alike, by more than rounding makes of
/// one.
pub(super) fn differ(old: Option<&Value>, new: Option<&Value>) -> bool {
    match (old.and_then(Value::number), new.and_then(Value::number)) {
        (Some(old), Some(new)) => (old - new).abs() > COINCIDENT_MM,
        _ => old != new,
    }
}
