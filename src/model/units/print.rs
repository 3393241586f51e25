//! How a number is written for people and for files: rounded first, never a negative zero.

use super::Length;

/// How far a length may lie from a sixteenth of an inch and still be printed as exactly that, in
/// sixteenths: far below what a tape shows, far above the rounding of a double.
const EXACT_SIXTEENTH: f64 = 1e-6;

/// The largest count that a double holds exactly.
const LARGEST_EXACT: f64 = 9_007_199_254_740_992.0;

/// `value` with `places` decimals, rounded half away from zero (a half is a half to the last bits
/// of a double:
/// 679.45 mm is 679.5), with no `-0`.
///
/// ```
/// assert_eq!(seatcut_model::units::decimal(-0.00001, 3), "0.000");
/// ```
pub fn decimal(value: f64, places: usize) -> String {
    let scale = 10_f64.powi(places as i32);
    let scaled = value * scale * (1.0 + 2.0 * f64::EPSILON);
    if scaled.abs() < LARGEST_EXACT / 4.0 && scale < LARGEST_EXACT {
        return of_units(scaled.round(), places);
    }
    let rounded = if scaled.abs() < LARGEST_EXACT { scaled.round() / scale } else { value };
    let text = format!("{rounded:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_string(),
        _ => text,
    }
}

/// The most characters of such a number: a sign, sixteen digits, a point, and zeros before them.
const LONGEST: usize = 24;

/// A whole number of units of the last of so many decimals. Digit by digit, for the programs and
/// drawings of a set hold tens of thousands of them, and a general formatter takes ten times as
/// long.
fn of_units(units: f64, places: usize) -> String {
    let mut text = [b'0'; LONGEST];
    let mut at = LONGEST;
    let mut put = |character: u8| {
        at -= 1;
        text[at] = character;
    };
    let mut left = units.abs() as u64;
    for digit in 0.. {
        if digit > places && left == 0 {
            break;
        }
        if digit == places && places > 0 {
            put(b'.');
        }
        put(b'0' + (left % 10) as u8);
        left /= 10;
    }
    if units < 0.0 {
        put(b'-');
    }
    text[at..].iter().copied().map(char::from).collect()
}

/// As [`decimal`], less the zeros at the end of the fraction and a bare point.
///
/// ```
/// assert_eq!(seatcut_model::units::trimmed(2.50, 3), "2.5");
/// ```
pub fn trimmed(value: f64, places: usize) -> String {
    let mut text = decimal(value, places);
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

/// How many of something there are: `1 sheet`, `3 sheets`.
///
/// ```
/// assert_eq!(seatcut_model::units::counted(1, "sheet"), "1 sheet");
/// assert_eq!(seatcut_model::units::counted(3, "sheet"), "3 sheets");
/// ```
pub fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// An amount of money, to the hundredth.
///
/// ```
/// assert_eq!(seatcut_model::units::money(12.5), "12.50");
/// ```
pub fn money(amount: f64) -> String {
    decimal(amount, 2)
}

/// A time to the second, as a clock on a wall tells it.
///
/// ```
/// assert_eq!(seatcut_model::units::minutes(533.2), "8 min 53 s");
/// assert_eq!(seatcut_model::units::minutes(3720.0), "1 h 2 min 0 s");
/// ```
pub fn minutes(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    match (whole / 3600, whole / 60 % 60, whole % 60) {
        (0, 0, s) => format!("{s} s"),
        (0, min, s) => format!("{min} min {s} s"),
        (h, min, s) => format!("{h} h {min} min {s} s"),
    }
}

/// The length in inches to the nearest sixteenth, as a tape reads: `26 3/4 in`, and with what
/// remains where it is not exact: `6 11/16- in` is a little less than 6 11/16 in. Behind whole
/// inches a sign would read as a fraction torn off: `7 in scant`, `7 in full`, as the trade says
/// it. What is less than a sixteenth is told in sixty-fourths or thousandths, never as none.
///
/// ```
/// use seatcut_model::units::{Length, sixteenths};
/// assert_eq!(sixteenths(Length::inches(26.75)), "26 3/4 in");
/// assert_eq!(sixteenths(Length::inches(7.2308)), "7 1/4- in");
/// assert_eq!(sixteenths(Length::inches(6.99)), "7 in scant");
/// assert_eq!(sixteenths(Length::inches(0.015625)), "1/64 in");
/// ```
pub fn sixteenths(length: Length) -> String {
    let exact = length.as_inches().abs() * 16.0;
    let nearest = exact.round();
    let remainder = exact - nearest;
    let is_exact = remainder.abs() <= EXACT_SIXTEENTH;
    let sign = if length.as_mm() < 0.0 && !(is_exact && nearest == 0.0) { "-" } else { "" };
    if exact < 1.0 && !is_exact {
        return format!("{sign}{} in", below_a_sixteenth(exact));
    }
    let is_whole = nearest % 16.0 == 0.0;
    let (mark, word) = match (is_exact, remainder > 0.0, is_whole) {
        (true, ..) => ("", ""),
        (false, true, true) => ("", " full"),
        (false, false, true) => ("", " scant"),
        (false, true, false) => ("+", ""),
        (false, false, false) => ("-", ""),
    };
    format!("{sign}{}{mark} in{word}", whole_and_fraction(nearest, 16))
}

/// Part of a sixteenth of an inch: in sixty-fourths where it is that, else in thousandths.
fn below_a_sixteenth(sixteenth: f64) -> String {
    let parts = sixteenth * 4.0;
    if (parts - parts.round()).abs() <= 4.0 * EXACT_SIXTEENTH {
        return whole_and_fraction(parts.round(), 64);
    }
    let inches = sixteenth / 16.0;
    let thousandths = trimmed(inches, 3);
    if thousandths == "0" { trimmed(inches, 6) } else { thousandths }
}

/// Whether a tape reads the length to the last digit.
pub fn is_on_sixteenth(length: Length) -> bool {
    let exact = length.as_inches() * 16.0;
    (exact - exact.round()).abs() <= EXACT_SIXTEENTH
}

/// A count of such parts of an inch as a whole number and a fraction in lowest terms.
fn whole_and_fraction(count: f64, parts: u32) -> String {
    let whole = (count / f64::from(parts)).floor();
    let (mut over, mut under) = ((count - whole * f64::from(parts)) as u32, parts);
    while over > 0 && over.is_multiple_of(2) {
        over /= 2;
        under /= 2;
    }
    match (whole as u64, over) {
        (whole, 0) => whole.to_string(),
        (0, over) => format!("{over}/{under}"),
        (whole, over) => format!("{whole} {over}/{under}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sixteenth_is_printed_in_lowest_terms_with_the_sign_of_its_remainder() {
        let text = |inches| sixteenths(Length::inches(inches));
        assert_eq!(text(6.6875), "6 11/16 in");
        assert_eq!(text(6.68), "6 11/16- in");
        assert_eq!(text(6.70), "6 11/16+ in");
        assert_eq!(text(0.0), "0 in");
        assert_eq!(text(0.5), "1/2 in");
        assert_eq!(text(-0.5), "-1/2 in");
        assert_eq!(text(11.999), "12 in scant");
        assert_eq!(text(-28.01), "-28 in full");
        assert_eq!([text(0.0625), text(0.06), text(1.0 / 32.0)], ["1/16 in", "0.06 in", "1/32 in"]);
        assert_eq!([text(0.0001), text(-0.02)], ["0.0001 in", "-0.02 in"]);
        assert_eq!(text(-1e-12), "0 in");
    }

    #[test]
    fn what_is_written_as_whole_numbers_reads_back_as_the_nearest_number_of_so_many_decimals() {
        let mut value = 1.234_567_890_123e-9;
        while value < 1e12 {
            for (places, scale) in [(0, 1.0), (1, 10.0), (3, 1e3), (4, 1e4), (6, 1e6), (9, 1e9)] {
                let nearest = (value * scale * (1.0 + 2.0 * f64::EPSILON)).round() / scale;
                if nearest * scale < LARGEST_EXACT / 4.0 {
                    assert_eq!(decimal(value, places), format!("{nearest:.places$}"));
                    let minus = if nearest == 0.0 { String::new() } else { "-".to_string() };
                    assert_eq!(decimal(-value, places), format!("{minus}{nearest:.places$}"));
                }
            }
            value *= 1.010_731;
        }
        assert_eq!(
            [decimal(0.05, 1), decimal(-12.0005, 3), decimal(7.0, 0)],
            ["0.1", "-12.001", "7"]
        );
        assert_eq!(
            [decimal(1e30, 1), decimal(f64::NAN, 2)],
            ["1000000000000000019884624838656.0", "NaN"]
        );
    }

    #[test]
    fn both_systems_stand_in_the_printed_length() {
        assert_eq!(Length::inches(26.75).to_string(), "26 3/4 in (679.5 mm)");
    }

    #[test]
    fn a_negative_zero_is_never_printed() {
        assert_eq!(decimal(-0.0, 0), "0");
        assert_eq!(trimmed(-0.0004, 3), "0");
        assert_eq!(trimmed(100.0, 0), "100");
    }
}
