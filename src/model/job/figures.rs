//! Slopes and loads as they are typed.

use crate::units::{figure_and_unit, plain_number as number};

/// Pounds a square foot in one kilopascal: 1 lbf is 4.4482216152605 N, 1 ft is 304.8 mm exactly.
const PSF_A_KPA: f64 = 1000.0 * 0.3048 * 0.3048 / 4.448_221_615_260_5;

/// What a slope may look like.
pub(super) const SLOPES: &str =
    "\"1 in 12\", \"8 %\" or \"5 deg\", with \"up\" before it where the ground rises away";
/// What a load may look like.
pub(super) const LOADS: &str = "\"40 psf\" or \"1.9 kPa\", 0 to 1000 psf";
/// In psf: several times what any code asks of a stair.
const MOST_PSF: f64 = 1000.0;

/// The drop per level length away from the head, negative where the text begins with `up`; `None`
/// if it is no slope, or one in one or steeper.
pub(super) fn read_slope(text: &str) -> Option<f64> {
    let text = text.trim();
    let (sign, text) = match text.strip_prefix("up ") {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix("down ").unwrap_or(text).trim_start()),
    };
    let ratio = text.split_once(" in ").or_else(|| text.split_once(':'));
    let fall = match ratio {
        Some((one, run)) => number(one)? / number(run)?,
        None => {
            let (figure, unit) = figure_and_unit(text)?;
            match unit {
                "%" | "percent" => figure / 100.0,
                "deg" | "degrees" | "\u{b0}" if figure < 90.0 => figure.to_radians().tan(),
                _ => return None,
            }
        }
    };
    (fall.is_finite() && fall < 1.0).then_some(sign * fall)
}

/// A load in pounds a square foot.
pub(super) fn read_load(text: &str) -> Option<f64> {
    let (figure, unit) = figure_and_unit(text.trim())?;
    let psf = match unit {
        "psf" => figure,
        "kPa" | "kpa" => figure * PSF_A_KPA,
        _ => return None,
    };
    (psf <= MOST_PSF).then_some(psf)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_reads_the_same_in_each_of_its_forms() {
        for text in
            ["1 in 8", "1:8", "12.5 %", "12.5%", "down 12.5 percent", "7.125016348901798 deg"]
        {
            assert!((read_slope(text).unwrap() - 0.125).abs() < 1e-12, "{text}");
        }
        assert!((read_slope("up 1 in 8").unwrap() + 0.125).abs() < 1e-12);
        assert_eq!(read_slope("0 %"), Some(0.0));
    }

    #[test]
    fn what_is_no_slope_or_too_steep_is_not_read() {
        for text in [
            "", "8", "1 in", "1 in 0", "1 in 1", "45.1 deg", "200 deg", "-8 %", "100 %", "8 % up",
            "1,5 %", "NaN %",
        ] {
            assert_eq!(read_slope(text), None, "{text}");
        }
    }

    #[test]
    fn a_load_is_read_in_both_units() {
        assert_eq!(read_load("40 psf"), Some(40.0));
        assert!((read_load("1.9152 kPa").unwrap() - 40.0).abs() < 1e-3);
        for text in ["40", "psf", "-40 psf", "40 lb", "2000 psf", "1e3 psf"] {
            assert_eq!(read_load(text), None, "{text}");
        }
    }
}
