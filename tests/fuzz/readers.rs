//! One reader of the library under libFuzzer; `SEATCUT_READER` names it. `readers.sh` builds and
//! runs this.

#![no_main]

mod targets;

use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static READER: LazyLock<targets::Target> = LazyLock::new(|| {
    let name = std::env::var("SEATCUT_READER").unwrap_or_default();
    let names: Vec<&str> = targets::TARGETS.iter().map(|(name, _)| *name).collect();
    let found = targets::TARGETS.iter().find(|(other, _)| *other == name);
    found.unwrap_or_else(|| panic!("SEATCUT_READER is {name:?}; allowed: {}", names.join(", "))).1
});

fuzz_target!(|bytes: &[u8]| READER(bytes));
