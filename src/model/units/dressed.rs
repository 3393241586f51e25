//! What a board measures that is called by its name.

use super::length::Length;

/// Sizes that boards have once they are dressed, by the name they are sold under, in inches:
/// thickness and width (American Softwood Lumber Standard PS 20, dry).
const DRESSED_THICKNESS: [(f64, f64); 4] = [(1.0, 0.75), (2.0, 1.5), (3.0, 2.5), (4.0, 3.5)];
const DRESSED_WIDTH: [(f64, f64); 8] = [
    (2.0, 1.5),
    (3.0, 2.5),
    (4.0, 3.5),
    (6.0, 5.5),
    (8.0, 7.25),
    (10.0, 9.25),
    (12.0, 11.25),
    (14.0, 13.25),
];

/// A board by the name it is sold under: what it measures once it is dressed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dressed {
    /// Across the board.
    pub width: Length,
    /// Through it.
    pub thickness: Length,
}

impl Dressed {
    /// A board's size from its name, as `2x12` or `2 x 12`.
    ///
    /// ```
    /// use seatcut_model::units::{Dressed, Length};
    /// let board = Dressed::named("2 x 12").unwrap();
    /// assert_eq!(board.width, Length::inches(11.25));
    /// assert_eq!(Dressed::named("12 in"), None);
    /// ```
    pub fn named(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase().replace('\u{d7}', "x");
        let (thick, wide) = text.split_once('x')?;
        let of = |typed: &str, sizes: &[(f64, f64)]| {
            let typed: f64 = typed.trim().parse().ok()?;
            sizes.iter().find(|(name, _)| *name == typed).map(|(_, size)| Length::inches(*size))
        };
        Some(Self { thickness: of(thick, &DRESSED_THICKNESS)?, width: of(wide, &DRESSED_WIDTH)? })
    }

    /// What a thickness in quarters that boards are called by, as `5/4`, measures once the board is
    /// dressed and dry: the same standard.
    pub fn of_quarters(text: &str) -> Option<Length> {
        let text = text.trim().to_lowercase();
        let text = text.trim_end_matches("inches").trim_end_matches("inch").trim_end_matches("in");
        let name = text.trim_end_matches('"').trim();
        let named = [("5/4", 1.0), ("6/4", 1.25), ("8/4", 1.5)];
        let (_, dressed) = named.into_iter().find(|(of, _)| *of == name)?;
        Some(Length::inches(dressed))
    }

    /// The widths of a 2x6 to a 2x12, of which stringers are sawn, by name, the narrowest first.
    pub fn stringer_widths() -> impl Iterator<Item = (&'static str, Length)> {
        let named = ["2x6", "2x8", "2x10", "2x12"].into_iter();
        named.filter_map(|name| Some((name, Self::named(name)?.width)))
    }

    /// What a width typed by its name, a whole even number of inches, is once it is dressed.
    pub fn of_named_width(width: Length) -> Option<Length> {
        let named = [6.0, 8.0, 10.0, 12.0];
        let (_, dressed) = DRESSED_WIDTH
            .iter()
            .filter(|(name, _)| named.contains(name))
            .find(|(name, _)| Length::inches(*name).is_within(Length::mm(0.01), width))?;
        Some(Length::inches(*dressed))
    }

    /// What a thickness of 2 in, typed by its name, is once it is dressed.
    pub fn of_named_thickness(thickness: Length) -> Option<Length> {
        let is_two = Length::inches(2.0).is_within(Length::mm(0.01), thickness);
        is_two.then_some(Length::inches(1.5))
    }
}
