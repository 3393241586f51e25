//! How often a piece of work was done: for tests that hold it to be done once. Without the feature
//! `testing`, which only tests ask for, nothing is noted.

/// Notes that a piece of work was done; takes what `format!` takes.
#[macro_export]
macro_rules! counted {
    ($($what:tt)*) => {
        $crate::counted::note(|| format!($($what)*))
    };
}

#[cfg(feature = "testing")]
mod notes {
    use std::cell::RefCell;
    use std::collections::BTreeMap;

    thread_local! {
        static DONE: RefCell<BTreeMap<String, usize>> = const { RefCell::new(BTreeMap::new()) };
    }

    /// Notes one more of it on this thread.
    pub fn note(what: impl FnOnce() -> String) {
        DONE.with_borrow_mut(|done| *done.entry(what()).or_insert(0) += 1);
    }

    /// What was done on this thread while `work` was.
    pub fn during<T>(work: impl FnOnce() -> T) -> (T, BTreeMap<String, usize>) {
        let before = DONE.take();
        let value = work();
        (value, DONE.replace(before))
    }
}

#[cfg(feature = "testing")]
pub use notes::{during, note};

/// Notes nothing.
#[cfg(not(feature = "testing"))]
#[inline]
pub fn note(_: impl FnOnce() -> String) {}
