//! The test-fit card of the page: every check with a box for what the tape says, compared at once.

use maud::{Markup, html};

use crate::diagnostics::visible::visible;
use crate::output::content::Check;
use crate::pipeline::numbers::Value;
use crate::units::{Length, decimal};

/// The checks of one table. A box is named by its place in the card, so that what was typed finds
/// its way back after a reload.
pub(super) fn checks_html(caption: &str, checks: &[Check]) -> Markup {
    let built = checks.iter().all(|check| check.built);
    let kind = if built { "built" } else { "check" };
    let has_pattern = checks.iter().any(|check| check.on_pattern.is_some());
    html! {
        h3 { (visible(caption)) } "\n"
        @if has_pattern {
            p { label { "Measured on " select #measured-on {
                option value="part" selected { "the stringer" }
                option value="pattern" { "the pattern" }
            } } } "\n"
        }
        ol.checks { "\n"
            @for (i, check) in checks.iter().enumerate() { (row(check, &format!("{kind}-{}", i + 1))) }
        } "\n"
    }
}

fn row(check: &Check, id: &str) -> Markup {
    let words = format!("measured, {}", visible(&check.label));
    let place = (check.built).then_some(if check.upper { "upper" } else { "tread" });
    html! {
        li {
            p.what { (visible(&check.label)) span.exact { (visible(&check.how)) } }
            p.value { (length(check.predicted))
                @if let Some(on_pattern) = check.on_pattern { br; "on the pattern: " (length(on_pattern)) }
            }
            p.box {
                input id=(id) type="text" size="12" autocomplete="off" spellcheck="false" aria-label=(words)
                    data-mm=(mm(check.predicted)) data-pattern=[check.on_pattern.map(mm)] data-built=[place];
                output for=(id) {}
            }
        } "\n"
    }
}

fn mm(length: Length) -> String {
    decimal(length.as_mm(), 4)
}

fn length(length: Length) -> Markup {
    let value = Value::Length(length);
    html! { b.tape { (value.on_tape()) } " " span.exact { (value.exact()) } }
}

/// What was measured, as text for `seatcut fit`.
pub(super) fn export() -> Markup {
    html! {
        div #export hidden {
            p {
                button #to-built type="button" { "Write the heights down for seatcut fit" } " "
                button #forget type="button" { "Empty all boxes" }
            }
            label for="built-text" hidden { "The table of what was built: copy it into the job, or \
                into a file of its own" }
            textarea #built-text rows="8" readonly hidden {}
        } "\n"
    }
}
