//! Answers as somebody at a keyboard types them, who is asked again.

use std::cell::RefCell;

use super::lines::Lines;
use super::{Asking, Error};

/// The job of these lines, one after the other.
fn typed(lines: &[&str]) -> Result<String, Error> {
    let mut asking = Asking::new("Porch".to_string());
    let lines = lines.iter().map(|line| line.to_string()).collect();
    asking.lines = Lines::Typed(RefCell::new(lines));
    asking.through()?;
    Ok(asking.text)
}

#[test]
fn at_a_keyboard_what_is_refused_is_asked_again() {
    let steps = [
        // Rise, finishes.
        &["51 3/8", "fifty", "51 3/8 in", ""][..],
        // Treads.
        &["9 = 1", "1 1/4", "2 = thick", "2 = 1 1/4 in", ""],
        // Head, board.
        &["1 = 2x12", "", "1 = 2x12", ""],
        // Risers, of which six are too high.
        &["5000", "6", "7"],
        // Cut, name, what else.
        &["planks", "nothing", "", "stairs", "nothing, rail", ""],
    ];
    let text = typed(&steps.concat()).unwrap();
    for line in ["thickness = \"1 1/4 in\"", "risers = 7 ", "width = \"11 1/4 in\""] {
        assert!(text.contains(line), "{line}: {text}");
    }
}

#[test]
fn at_a_keyboard_what_refuses_at_the_end_is_changed_where_it_stands() {
    let begun = [&["110 in"][..], &[""; 7], &["opening", "60", "11", ""]].concat();
    let text = typed(&[&begun[..], &["1 = 140", ""]].concat()).unwrap();
    assert!(text.contains("length = \"140 in\""), "{text}");
    // Where nothing more is typed there is no job.
    assert!(typed(&begun).is_err());
}
