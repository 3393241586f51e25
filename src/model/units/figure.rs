//! A figure with a unit that is no length, and weights as they are told.

use super::{Tape, decimal};

/// A pound by its definition.
pub(crate) const POUND_KG: f64 = 0.453_592_37;

/// Kilograms in pounds.
pub fn pounds(kg: f64) -> f64 {
    kg / POUND_KG
}

/// A weight as those who use the tape in hand tell it: to the tenth of a pound or kilogram.
pub fn weight(kg: f64) -> String {
    match Tape::in_hand() {
        Tape::Inches => format!("{} lb ({} kg)", decimal(pounds(kg), 1), decimal(kg, 1)),
        Tape::Metric => format!("{} kg", decimal(kg, 1)),
    }
}

/// A number and what stands behind it; none where no plain number begins the text, or nothing is
/// behind it.
pub(crate) fn figure_and_unit(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    Some((plain_number(&text[..end])?, text[end..].trim()))
}

/// A plain number of 0 or more: digits and one point.
pub(crate) fn plain_number(text: &str) -> Option<f64> {
    let text = text.trim();
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    text.parse().ok().filter(|_| plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weight_is_told_in_the_units_of_the_tape() {
        assert_eq!(weight(10.0), "22.0 lb (10.0 kg)");
        assert_eq!(Tape::Metric.tells(|| weight(10.04)), "10.0 kg");
    }
}
