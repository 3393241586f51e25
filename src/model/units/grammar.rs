//! The length grammar: one text, one reading, or a refusal that says what to type.
//!
//! ```
//! use seatcut_model::units::{Bare, read_length};
//! let reading = read_length("2' 2-3/4\"", Bare::Refused).unwrap();
//! assert_eq!(reading.length.as_inches(), 26.75);
//! assert!(read_length("7,5in", Bare::Refused).is_err());
//! ```

use super::dressed::Dressed;
use super::length::{Length, MM_PER_INCH};
use super::mend::mended;
use super::{Tape, on_tape};

/// The longest text that is read as a length.
pub(super) const LONGEST_TEXT: usize = 64;
/// The longest length that means anything here, in millimetres (100 m).
const LONGEST_MM: f64 = 100_000.0;
const TOO_LONG: &str = "longer than 100 m";

/// The finest lines that a rule has: sixty-fourths (common practice, no source).
const FINEST_LINE: f64 = 64.0;

/// What may stand for a minus at the start of a text.
pub(super) const MINUS: [char; 3] = ['-', '\u{2212}', '\u{2013}'];

/// What a number without a unit is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bare {
    /// Refused with a hint: the default.
    Refused,
    /// Inches: the job says `units = "in"`.
    Inches,
    /// Millimetres: the job says `units = "mm"`.
    Millimetres,
}

/// A length as read, with what is odd about its text.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The length, exact to a double.
    pub length: Length,
    /// The tape that has such units.
    pub tape: Tape,
    /// Set where the text can be read but may be a slip of the pen.
    pub warning: Option<LengthWarning>,
}

/// A readable length that may be a slip of the pen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthWarning {
    /// 12 in or more after feet.
    TwelveInchesAfterFeet,
    /// A fraction that no tape has a line for: thirds, tenths.
    NoLineOfATape,
}

/// Why a text is no length, and what to type instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct LengthProblem {
    /// What is wrong with the text.
    pub why: String,
    /// What to type instead, the same digits: one text, two where the unit is not said or does not
    /// go with a fraction, none where it cannot be told.
    pub instead: Vec<String>,
}

/// Why a text is no length.
type Why = String;

#[derive(Clone, Copy, Debug, PartialEq)]
enum Unit {
    Feet,
    Inches,
    Millimetres,
    Centimetres,
    Metres,
}

impl Unit {
    fn mm(self) -> f64 {
        match self {
            Self::Feet => 12.0 * MM_PER_INCH,
            Self::Inches => MM_PER_INCH,
            Self::Millimetres => 1.0,
            Self::Centimetres => 10.0,
            Self::Metres => 1000.0,
        }
    }

    fn is_metric(self) -> bool {
        !matches!(self, Self::Feet | Self::Inches)
    }

    fn tape(self) -> Tape {
        if self.is_metric() { Tape::Metric } else { Tape::Inches }
    }

    fn named(word: &str) -> Option<Self> {
        match word.to_ascii_lowercase().as_str() {
            "ft" | "foot" | "feet" => Some(Self::Feet),
            "in" | "inch" | "inches" => Some(Self::Inches),
            "mm" => Some(Self::Millimetres),
            "cm" => Some(Self::Centimetres),
            "m" => Some(Self::Metres),
            _ => None,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Token {
    Whole(f64),
    Decimal(f64),
    Fraction(f64, f64),
    Hyphen,
    Space,
    Unit(Unit),
}

/// An amount and how it was written.
struct Amount {
    value: f64,
    has_fraction: bool,
    /// Whether a tape has lines for its fraction.
    is_on_lines: bool,
}

impl Amount {
    fn plain(value: f64) -> Self {
        Self { value, has_fraction: false, is_on_lines: true }
    }

    /// A whole number and a fraction behind it.
    fn with_fraction(whole: f64, over: f64, under: f64) -> Self {
        let is_on_lines = FINEST_LINE % under == 0.0;
        Self { value: whole + over / under, has_fraction: true, is_on_lines }
    }

    fn warning(&self) -> Option<LengthWarning> {
        (!self.is_on_lines).then_some(LengthWarning::NoLineOfATape)
    }
}

/// Reads one length. A hyphen separates and is never a minus; nothing is rounded.
///
/// # Errors
/// A text with no reading, with two readings, without a unit (unless `bare` names one), negative,
/// or beyond 100 m.
pub fn read_length(text: &str, bare: Bare) -> Result<Reading, LengthProblem> {
    read_bounded(text, bare).map_err(|why| LengthProblem { why, instead: mended(text) })
}

/// The way in mm that a rate has before its slash: a length with a unit that may be any number of
/// metres, for it is no thing's. `None` if the text is no length.
pub(super) fn read_way(text: &str) -> Option<f64> {
    read(text, Bare::Refused).ok().map(|reading| reading.length.as_mm())
}

/// Whether a text is a length.
pub(super) fn reads(text: &str, bare: Bare) -> bool {
    read_bounded(text, bare).is_ok()
}

fn read_bounded(text: &str, bare: Bare) -> Result<Reading, Why> {
    let reading = read(text, bare)?;
    within_bounds(&reading)?;
    Ok(reading)
}

fn read(text: &str, bare: Bare) -> Result<Reading, Why> {
    let text = text.trim();
    refuse_at_sight(text)?;
    let mut tokens = Tokens { tokens: tokenize(text)?, at: 0 };
    let first = tokens.amount()?;
    tokens.skip_space();
    let Some(unit) = tokens.unit() else {
        return tokens.end_bare(first, bare);
    };
    let mut mm = scaled(&first, unit)?;
    let mut warning = first.warning();
    if unit == Unit::Feet && !tokens.done() {
        tokens.skip_separator();
        let inches = tokens.amount()?;
        tokens.skip_space();
        match tokens.unit() {
            Some(Unit::Inches) => {}
            _ => {
                return Err("behind feet stand inches with their own unit".to_string());
            }
        }
        warning = match inches.value >= 12.0 {
            true => Some(LengthWarning::TwelveInchesAfterFeet),
            false => warning.or(inches.warning()),
        };
        mm += scaled(&inches, Unit::Inches)?;
    }
    tokens.end()?;
    Ok(Reading { length: finite(mm)?, tape: unit.tape(), warning })
}

/// The refusals that need no parsing, so that each gets its own words.
fn refuse_at_sight(text: &str) -> Result<(), Why> {
    if text.is_empty() {
        return Err("an empty text is no length".to_string());
    }
    if let Some(Dressed { width, thickness }) = Dressed::named(text) {
        return Err(format!(
            "{text} is what a board is called, not its size: dressed and dry it measures about {} \
            by {} (American Softwood Lumber Standard PS 20)",
            on_tape(width),
            on_tape(thickness)
        ));
    }
    if let Some(dressed) = Dressed::of_quarters(text) {
        return Err(format!(
            "{text} is what a board is called, not its size: dressed and dry it measures about {} \
            (American Softwood Lumber Standard PS 20); type what your tape says",
            on_tape(dressed)
        ));
    }
    if text.len() > LONGEST_TEXT {
        return Err(format!("a text of {} bytes is too long for a length", text.len()));
    }
    if text.starts_with(MINUS) {
        return Err("a length is never negative, and a hyphen only separates".to_string());
    }
    if text.contains(',') {
        return Err("a comma has two readings, a decimal mark or thousands".to_string());
    }
    if text.contains(['\u{201c}', '\u{201e}', '\u{2018}']) {
        return Err("a curly quote mark has no place in a length".to_string());
    }
    if let Some(word) = ["nan", "inf"].iter().find(|word| text.to_ascii_lowercase().contains(*word))
    {
        return Err(format!("`{word}` is no measurement"));
    }
    Ok(())
}

fn scaled(amount: &Amount, unit: Unit) -> Result<f64, Why> {
    if unit.is_metric() && amount.has_fraction {
        return Err("a fraction of a metric unit is not read".to_string());
    }
    Ok(amount.value * unit.mm())
}

fn finite(mm: f64) -> Result<Length, Why> {
    if mm.is_finite() { Ok(Length::mm(mm)) } else { Err(TOO_LONG.to_string()) }
}

fn within_bounds(reading: &Reading) -> Result<(), Why> {
    if reading.length.as_mm() <= LONGEST_MM { Ok(()) } else { Err(TOO_LONG.to_string()) }
}

struct Tokens {
    tokens: Vec<Token>,
    at: usize,
}

impl Tokens {
    fn peek(&self) -> Option<Token> {
        self.tokens.get(self.at).copied()
    }

    fn done(&self) -> bool {
        self.at == self.tokens.len()
    }

    fn skip_space(&mut self) {
        if self.peek() == Some(Token::Space) {
            self.at += 1;
        }
    }

    fn skip_separator(&mut self) {
        if matches!(self.peek(), Some(Token::Space | Token::Hyphen)) {
            self.at += 1;
        }
    }

    fn unit(&mut self) -> Option<Unit> {
        let Some(Token::Unit(unit)) = self.peek() else { return None };
        self.at += 1;
        Some(unit)
    }

    /// A whole number, a decimal, a fraction, or a whole number with a fraction behind a space or a
    /// hyphen.
    fn amount(&mut self) -> Result<Amount, Why> {
        let first = self.peek();
        self.at += 1;
        match first {
            Some(Token::Decimal(value)) => Ok(Amount::plain(value)),
            Some(Token::Fraction(over, under)) => Ok(Amount::with_fraction(0.0, over, under)),
            Some(Token::Whole(whole)) => self.whole_with_fraction(whole),
            _ => Err("a length starts with a number".to_string()),
        }
    }

    fn whole_with_fraction(&mut self, whole: f64) -> Result<Amount, Why> {
        let separated = matches!(self.peek(), Some(Token::Space | Token::Hyphen));
        let next = self.tokens.get(self.at + usize::from(separated)).copied();
        let Some(Token::Fraction(over, under)) = next else {
            return Ok(Amount::plain(whole));
        };
        if over >= under {
            return Err(format!("{over}/{under} after a whole number is 1 or more"));
        }
        self.at += 1 + usize::from(separated);
        Ok(Amount::with_fraction(whole, over, under))
    }

    /// The end of a text that named no unit.
    fn end_bare(&self, amount: Amount, bare: Bare) -> Result<Reading, Why> {
        self.end()?;
        let unit = match bare {
            Bare::Refused => {
                return Err("a length needs its unit".to_string());
            }
            Bare::Inches => Unit::Inches,
            Bare::Millimetres => Unit::Millimetres,
        };
        let length = finite(scaled(&amount, unit)?)?;
        Ok(Reading { length, tape: unit.tape(), warning: amount.warning() })
    }

    fn end(&self) -> Result<(), Why> {
        match self.peek() {
            None => Ok(()),
            Some(Token::Unit(_)) => Err("two units stand where one is read".to_string()),
            Some(Token::Hyphen) => {
                Err("a hyphen only separates a whole number from its fraction, or feet from inches"
                    .to_string())
            }
            _ => Err("the text has more than one reading".to_string()),
        }
    }
}

fn tokenize(text: &str) -> Result<Vec<Token>, Why> {
    let chars: Vec<char> = text.chars().collect();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let token = match chars[at] {
            c if c.is_whitespace() => {
                at += run(&chars[at..], |c| c.is_whitespace());
                Token::Space
            }
            '-' | '\u{2010}' | '\u{2011}' => {
                at += 1;
                Token::Hyphen
            }
            '\'' | '\u{2032}' | '\u{2019}' => {
                at += 1;
                Token::Unit(Unit::Feet)
            }
            '"' | '\u{2033}' | '\u{201d}' => {
                at += 1;
                Token::Unit(Unit::Inches)
            }
            c if c.is_ascii_digit() || c == '.' => number(&chars, &mut at)?,
            c if c.is_ascii_alphabetic() => {
                let length = run(&chars[at..], |c| c.is_ascii_alphabetic());
                let word: String = chars[at..at + length].iter().collect();
                at += length;
                // `in.` is how many write it; with a digit behind it the period is a decimal point.
                let is_abbreviated = chars.get(at) == Some(&'.')
                    && !chars.get(at + 1).is_some_and(char::is_ascii_digit);
                at += usize::from(is_abbreviated);
                Token::Unit(Unit::named(&word).ok_or_else(|| {
                    format!("`{word}` is no unit of length here; ft, in, mm, cm and m are")
                })?)
            }
            c => match vulgar(c) {
                Some((over, under)) => {
                    at += 1;
                    Token::Fraction(over, under)
                }
                None => {
                    return Err(format!("`{}` has no place in a length", c.escape_default()));
                }
            },
        };
        tokens.push(token);
    }
    Ok(tokens)
}

fn run(chars: &[char], wanted: impl Fn(char) -> bool) -> usize {
    chars.iter().take_while(|&&c| wanted(c)).count()
}

/// A whole number, a decimal, or a fraction of two whole numbers, from `at` on.
fn number(chars: &[char], at: &mut usize) -> Result<Token, Why> {
    let digits = run(&chars[*at..], |c| c.is_ascii_digit());
    let whole = value(&chars[*at..*at + digits]);
    *at += digits;
    match chars.get(*at) {
        Some('.') => {
            let places = run(&chars[*at + 1..], |c| c.is_ascii_digit());
            if places == 0 {
                return Err("a decimal point wants a digit behind it".to_string());
            }
            let text: String = chars[*at - digits..*at + 1 + places].iter().collect();
            *at += 1 + places;
            text.parse().map(Token::Decimal).map_err(|_| "this is no number".to_string())
        }
        Some('/' | '\u{2044}' | '\u{2215}') => {
            let under_digits = run(&chars[*at + 1..], |c| c.is_ascii_digit());
            let under = value(&chars[*at + 1..*at + 1 + under_digits]);
            *at += 1 + under_digits;
            if under_digits == 0 || under == 0.0 {
                return Err("a fraction needs a whole number above 0 under its slash".to_string());
            }
            Ok(Token::Fraction(whole, under))
        }
        _ => Ok(Token::Whole(whole)),
    }
}

fn value(digits: &[char]) -> f64 {
    digits.iter().fold(0.0, |sum, digit| {
        sum * 10.0 + f64::from(digit.to_digit(10).expect("digits are taken one by one"))
    })
}

/// The fractions that Unicode has as one character.
fn vulgar(c: char) -> Option<(f64, f64)> {
    Some(match c {
        '\u{bc}' => (1.0, 4.0),
        '\u{bd}' => (1.0, 2.0),
        '\u{be}' => (3.0, 4.0),
        '\u{2153}' => (1.0, 3.0),
        '\u{2154}' => (2.0, 3.0),
        '\u{215b}' => (1.0, 8.0),
        '\u{215c}' => (3.0, 8.0),
        '\u{215d}' => (5.0, 8.0),
        '\u{215e}' => (7.0, 8.0),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> f64 {
        read_length(text, Bare::Refused)
            .unwrap_or_else(|e| panic!("{text}: {e:?}"))
            .length
            .as_inches()
    }

    fn why(text: &str) -> String {
        read_length(text, Bare::Refused).expect_err(text).why
    }

    #[test]
    fn every_form_of_the_same_length_reads_the_same() {
        for text in [
            "26 3/4 in",
            "26-3/4 in",
            "26.75 in",
            "26.75in",
            "2 ft 2 3/4 in",
            "2' 2-3/4\"",
            "2'-2 3/4\"",
            "2′ 2¾″",
            "26¾ in",
            "26 3⁄4 inches",
            "107/4 in",
            "2ft 2.75in",
            "26 3/4 in.",
            "2 ft. 2 3/4 in.",
            "26 ¾\"",
        ] {
            assert_eq!(inches(text), 26.75, "{text}");
        }
        for text in ["679.45 mm", "67.945 cm", "0.67945 m"] {
            let length = read_length(text, Bare::Refused).unwrap().length;
            assert!(length.is_within(Length::mm(1e-9), Length::inches(26.75)), "{text}");
        }
    }

    #[test]
    fn a_text_with_two_readings_is_refused() {
        for text in [
            "7,5in",
            "1,200 mm",
            "26 75 in",
            "26.5 3/4 in",
            "3/4 1/2 in",
            "1/2/4 in",
            "26 in 3/4",
            "2 ft 30 mm",
            "2' 6",
            "1 in 2 in",
            "5-6 in",
            "26 - 3/4 in",
            "5'' in",
        ] {
            assert!(read_length(text, Bare::Refused).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_no_length_is_refused_in_its_own_words() {
        assert!(why("-3 in").contains("never negative"));
        assert!(why("\u{2212}3 in").contains("never negative"));
        assert!(why("2 5/4 in").contains("1 or more"));
        for name in ["5/4 in", "5/4", "6/4\"", "8/4 inches"] {
            assert!(why(name).contains("is what a board is called"), "{name}");
        }
        assert!(read_length("20/16 in", Bare::Refused).is_ok());
        assert!(why("nan in").contains("no measurement"));
        assert!(why("inf mm").contains("no measurement"));
        assert!(why("3/0 in").contains("above 0"));
        assert!(why("5. in").contains("digit behind"));
        assert!(why("4 cubits").contains("cubits"));
        assert!(why("1e3 in").contains('e'));
        assert!(why("9999999 m").contains("100 m"));
        assert!(why("1/2 mm").contains("metric"));
        assert!(why("").contains("empty"));
        assert!(why("in").contains("number"));
    }

    #[test]
    fn a_bare_number_is_refused_unless_the_job_names_its_unit() {
        assert!(why("26.75").contains("unit"));
        assert_eq!(read_length("26 3/4", Bare::Inches).unwrap().length, Length::inches(26.75));
        assert_eq!(read_length("680", Bare::Millimetres).unwrap().length, Length::mm(680.0));
        assert_eq!(read_length("680 mm", Bare::Inches).unwrap().length, Length::mm(680.0));
    }

    #[test]
    fn twelve_inches_after_feet_is_read_with_a_warning() {
        let reading = read_length("2 ft 14 in", Bare::Refused).unwrap();
        assert!(reading.length.is_within(Length::mm(1e-9), Length::inches(38.0)));
        assert_eq!(reading.warning, Some(LengthWarning::TwelveInchesAfterFeet));
    }

    #[test]
    fn a_fraction_that_no_tape_has_a_line_for_is_read_with_a_warning() {
        let warning = |text: &str| read_length(text, Bare::Inches).unwrap().warning;
        for text in
            ["10 1/3 in", "10\u{2153} in", "2' 3 1/10\"", "1/3 ft", "5/12 in", "7 1/128", "2/6 in"]
        {
            assert_eq!(warning(text), Some(LengthWarning::NoLineOfATape), "{text}");
        }
        for text in ["10 1/2 in", "5/64 in", "107/4 in", "10.3333 in", "2' 3\"", "1/2 ft", "3/1 in"]
        {
            assert_eq!(warning(text), None, "{text}");
        }
        assert!(inches("10 1/3 in") - 31.0 / 3.0 < 1e-12);
    }
}
