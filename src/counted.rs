//! How often costly work is done, for the tests that hold that nothing is worked out twice. In any other build there is
//! nothing of it.

/// Notes that a piece of work was done; takes what `format!` takes.
macro_rules! counted {
    ($($what:tt)*) => {
        #[cfg(test)]
        $crate::counted::note(format!($($what)*));
    };
}

#[cfg(test)]
mod notes {
    use std::cell::RefCell;
    use std::collections::BTreeMap;

    thread_local! {
        static DONE: RefCell<BTreeMap<String, usize>> = const { RefCell::new(BTreeMap::new()) };
    }

    /// Notes one more of it on this thread.
    pub(crate) fn note(what: String) {
        DONE.with_borrow_mut(|done| *done.entry(what).or_insert(0) += 1);
    }

    /// What was done on this thread while `work` was.
    pub(crate) fn during<T>(work: impl FnOnce() -> T) -> (T, BTreeMap<String, usize>) {
        let before = DONE.take();
        let value = work();
        (value, DONE.replace(before))
    }
}

#[cfg(test)]
pub(crate) use notes::{during, note};
