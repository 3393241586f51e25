//! What somebody meant who typed a text that is no length: the same digits, typed so that they can
//! be read. Where that cannot be told from the text nothing is offered.

use super::grammar::{Bare, LONGEST_TEXT, MINUS, read_way, reads};
use super::{Length, trimmed};

/// What to type instead of a text that is no length; two texts where the unit is not said, or is
/// one that has no fractions. Every digit is the user's own, or his fraction as a decimal, and no
/// inch mark is among them: it would end the quotes.
pub(super) fn mended(text: &str) -> Vec<String> {
    let text = text.trim();
    if text.len() > LONGEST_TEXT {
        return Vec::new();
    }
    let slips = slips(text);
    let readable =
        slips.iter().find(|text| reads(text, Bare::Refused)).map(|one| vec![one.clone()]);
    let with_units = || {
        slips
            .iter()
            .chain([&text.to_string()])
            .map(|text| with_a_unit(text))
            .find(|all| !all.is_empty())
    };
    let all = readable.or_else(|| metric_fraction(text)).or_else(with_units).unwrap_or_default();
    all.into_iter().map(|one| one.replace('"', " in")).collect()
}

/// The text with one slip of the pen put right, for each slip that it may have.
fn slips(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut with = |mended: String| {
        if mended != text && !all.contains(&mended) {
            all.push(mended);
        }
    };
    with(text.trim_start_matches(MINUS).trim().to_string());
    with(letters_among_digits(text));
    with(text.replace("''", "\"").replace('\\', "/"));
    with(text.replace(" - ", "-").replace("- ", "-").replace(" -", "-"));
    with(text.replace("/ ", "/").replace(" /", "/"));
    if let Some(mended) = fraction_behind_its_unit(text) {
        with(mended);
    }
    // Three digits behind a comma may be thousands: both readings are the user's to choose from.
    if let Some((whole, part)) = text.split_once(',') {
        let places = part.chars().take_while(char::is_ascii_digit).count();
        if places != 3 && !part.contains(',') {
            with(format!("{whole}.{part}"));
        }
    }
    all
}

/// `3O 1/4 in` with a zero for its letter, `l2 in` with a one.
fn letters_among_digits(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let is_digit = |at: Option<&char>| at.is_some_and(char::is_ascii_digit);
    let mended = |(at, c): (usize, &char)| {
        let beside = at.checked_sub(1).is_some_and(|before| is_digit(chars.get(before)))
            || is_digit(chars.get(at + 1));
        match c {
            'O' | 'o' if beside => '0',
            'l' | 'I' if beside => '1',
            c => *c,
        }
    };
    chars.iter().enumerate().map(mended).collect()
}

/// `26 in 3/4` with its unit at the end.
fn fraction_behind_its_unit(text: &str) -> Option<String> {
    let mut parts = text.split_whitespace();
    let (whole, unit, fraction) = (parts.next()?, parts.next()?, parts.next()?);
    let is_inch = ["in", "inch", "inches", "\""].contains(&unit);
    (is_inch && fraction.contains('/') && parts.next().is_none())
        .then(|| format!("{whole} {fraction} in"))
}

/// `103 7/8 cm`: in inches, or the fraction as a decimal; which of the two is wrong, unit or
/// fraction, nobody but the user knows.
fn metric_fraction(text: &str) -> Option<Vec<String>> {
    let amount = text.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '.').trim_end();
    let unit = text[amount.len()..].trim();
    // Behind feet nothing metric is meant, and a whole number has no fraction to be told again.
    let is_plain =
        |c: char| !c.is_alphabetic() && !['\'', '"', '\u{2032}', '\u{2033}'].contains(&c);
    if !amount.chars().all(is_plain) || amount.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let in_inches = format!("{amount} in");
    let value = Length::mm(read_way(&in_inches)?).as_inches();
    let decimal = format!("{} {unit}", trimmed(value, DECIMALS));
    let is_it = (trimmed(value, DECIMALS).parse::<f64>().ok()? - value).abs() < SAME;
    (is_it && reads(&decimal, Bare::Refused)).then(|| vec![in_inches, decimal])
}

/// A sixty-fourth has so many places.
const DECIMALS: usize = 6;
/// Less apart than this two amounts are one, but for the rounding of doubles.
const SAME: f64 = 1e-9;

/// The text with the units that it may have been meant in: inches alone where it has a fraction or
/// stands behind feet, for neither is read of millimetres.
fn with_a_unit(text: &str) -> Vec<String> {
    let all = ["in", "mm"].map(|unit| format!("{text} {unit}"));
    all.into_iter().filter(|text| reads(text, Bare::Refused)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_offered_has_the_users_own_digits_or_nothing_is() {
        for (typed, offered) in [
            ("3O 1/4 in", Some("30 1/4 in")),
            ("l2 in", Some("12 in")),
            ("3' 0-1/4", Some("3' 0-1/4 in")),
            ("36 1/4", Some("36 1/4 in")),
            ("36", Some("36 in or 36 mm")),
            ("26 - 3/4 in", Some("26-3/4 in")),
            ("26 in 3/4", Some("26 3/4 in")),
            ("26 3 / 4 in", Some("26 3/4 in")),
            ("36 1\\4 in", Some("36 1/4 in")),
            ("5''", Some("5 in")),
            ("-3 in", Some("3 in")),
            ("7,5in", Some("7.5in")),
            ("1,200 mm", None),
            ("36 1/0 in", None),
            ("2 5/4 in", None),
            ("1/2 mm", Some("1/2 in or 0.5 mm")),
            ("103 7/8 cm", Some("103 7/8 in or 103.875 cm")),
            ("103-7/8cm", Some("103-7/8 in or 103.875 cm")),
            ("10 1/3 mm", None),
            ("7/8 cubits", None),
            ("2 ft 30 mm", None),
            ("26 75 in", None),
            ("4 cubits", None),
            ("2x12", None),
            ("nan in", None),
            ("", None),
        ] {
            assert_eq!(mended(typed).join(" or "), offered.unwrap_or(""), "{typed}");
        }
    }
}
