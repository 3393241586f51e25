//! What measured figures of the test squares say of the machine.
//!
//! Along an axis the tool's centre goes A + D round the large square, B - D in its hole and C + D
//! round the small one: A, B and C the sizes and D the width that the profile says. A side is
//! reached by going away from the one across, so that play p of the axis, taken up at each turn,
//! leaves the way between both shorter by p. With a scale s of the axis and a true width W the
//! calipers find O = s (A + D) - W - p, I = s (B - D) + W - p and o = s (C + D) - W - p, hence s =
//! (O - o) / (A - C), W = (s (A - B + 2 D) - (O - I)) / 2 and p = (s (A + B) - (O + I)) / 2. A
//! scale that is true as far as calipers tell is taken for 1 in the other two. Of a square that
//! leans the diagonals differ; between calipers its sides are w = a sin t apart, so that (d1^2 -
//! d2^2) / (4 wx wy) = cos t / sin^2 t. Plane geometry of the piece.

use super::Sizes;
use crate::units::Length;

/// What calipers found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// From side to side, along X and along Y.
    pub outside: [Length; 2],
    /// The hole, along X and along Y.
    pub inside: [Length; 2],
    /// The small square, along X and along Y.
    pub small: [Length; 2],
    /// From lower left to upper right, and from lower right to upper left.
    pub diagonals: Option<[Length; 2]>,
}

/// An axis of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Program X.
    X,
    /// Program Y.
    Y,
}

impl Axis {
    /// Both, in the order in which they are measured.
    pub const BOTH: [Self; 2] = [Self::X, Self::Y];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::X => "X",
            Self::Y => "Y",
        }
    }
}

/// What was cut: its sizes, and the width that the profile said when it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// The sizes it was cut to.
    pub sizes: Sizes,
    /// The cutter's diameter or the kerf.
    pub width: Length,
}

/// What the figures of one axis say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnAxis {
    /// How far it goes for a length of 1.
    pub scale: f64,
    /// What the tool takes away across it.
    pub width: Length,
    /// What it stands still for at each turn; less than nothing where a control makes up for more
    /// than there is.
    pub play: Length,
    /// The same by the outside alone, as if the scale were true.
    pub by_outside: Length,
    /// The same by the hole alone.
    pub by_inside: Length,
}

/// What the figures of a test square say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Along X and along Y.
    pub axes: [OnAxis; 2],
    /// By how much the corner at the lower left is smaller than a right angle, in degrees; none
    /// where no diagonals were measured.
    pub lean_deg: Option<f64>,
}

/// The width across X and across Y agree to within this, in inches: what calipers are good for on
/// wood (common practice, no source).
pub const AGREE_IN: f64 = 0.004;
/// Scales this near to 1 are true: 0.003 in over the 3 in by which the squares differ.
pub const SCALE_AGREES: f64 = 0.001;
/// Play this small is none, as far as calipers tell, in inches (common practice, no source).
pub const NO_PLAY_IN: f64 = 0.004;
/// No axis that cuts at all has more, in inches: another side was measured.
const PLAY_MOST_IN: f64 = 0.0625;
/// A scale farther off than this is none: another piece was measured, or another size typed.
const SCALE_MOST: f64 = 0.05;
/// The diagonals of a parallelogram follow from its sides; measured ones may be off by this, in
/// inches.
const DIAGONALS_IN: f64 = 1.0 / 32.0;

/// What cannot have been measured on a test square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BadMeasure {
    /// The hole is as large as the piece, or larger.
    InsideLarger(Axis, Length, Length),
    /// It is the size in the other unit: 25.4 times, or one 25.4th. What was found, what it was cut
    /// to.
    OtherUnit(Length, Length),
    /// The scale is too far off: found over what it was cut to, in percent.
    AnotherSize(Axis, f64),
    /// The axis would have more play than any: so much, and at most.
    Play(Axis, Length, Length),
    /// The tool would take nothing away, or less.
    NoWidth(Axis, Length),
    /// It would take half of the piece or more.
    TooWide(Axis, Length, Length),
    /// The diagonals do not go with the sides: found and wanted, on average.
    Diagonals(Length, Length),
}

impl Reading {
    /// Reads the figures of a square.
    ///
    /// # Errors
    /// The first of them that no such square has.
    pub fn of(cut: &Cut, measured: &Measured) -> Result<Self, BadMeasure> {
        let axis = |axis: Axis| OnAxis::of(cut, measured, axis);
        let axes = [axis(Axis::X)?, axis(Axis::Y)?];
        let lean = |diagonals| lean_deg(measured.outside, diagonals);
        let lean_deg = measured.diagonals.map(lean).transpose()?;
        Ok(Self { axes, lean_deg })
    }

    /// The width of the tool: between that of both axes.
    pub fn width(&self) -> Length {
        (self.axes[0].width + self.axes[1].width) / 2.0
    }

    /// By how much the widths of the axes differ.
    pub fn differ(&self) -> Length {
        Length::mm((self.axes[0].width - self.axes[1].width).as_mm().abs())
    }

    /// Whether the width is one: across both axes the same, as far as calipers tell.
    pub fn agrees(&self) -> bool {
        self.differ() <= Length::inches(AGREE_IN)
    }

    /// The axes that have play, as far as calipers tell.
    pub fn loose(&self) -> impl Iterator<Item = (Axis, Length)> + '_ {
        let plays = Axis::BOTH.into_iter().zip(self.axes.iter().map(|axis| axis.play));
        plays.filter(|(_, play)| play.as_inches().abs() > NO_PLAY_IN)
    }

    /// The axes whose scale is off, as far as calipers tell.
    pub fn scaled(&self) -> impl Iterator<Item = (Axis, f64)> + '_ {
        let scales = Axis::BOTH.into_iter().zip(self.axes.iter().map(|axis| axis.scale));
        scales.filter(|(_, scale)| !is_true(*scale))
    }
}

/// Whether a scale is 1, as far as calipers tell.
fn is_true(scale: f64) -> bool {
    (scale - 1.0).abs() <= SCALE_AGREES
}

impl OnAxis {
    fn of(cut: &Cut, measured: &Measured, axis: Axis) -> Result<Self, BadMeasure> {
        let i = usize::from(axis == Axis::Y);
        let [outside, inside, small] = [measured.outside[i], measured.inside[i], measured.small[i]];
        let Sizes { outside: a, inside: b, small: c } = cut.sizes;
        for (found, size) in [(outside, a), (inside, b), (small, c)] {
            if is_other_unit(found.as_mm() / size.as_mm()) {
                return Err(BadMeasure::OtherUnit(found, size));
            }
        }
        if inside >= outside {
            return Err(BadMeasure::InsideLarger(axis, inside, outside));
        }
        let scale = (outside - small).as_mm() / (a - c).as_mm();
        if (scale - 1.0).abs() > SCALE_MOST {
            return Err(BadMeasure::AnotherSize(axis, scale * 100.0));
        }
        let taken = if is_true(scale) { 1.0 } else { scale };
        let play = ((a + b) * taken - (outside + inside)) / 2.0;
        let most = Length::inches(PLAY_MOST_IN);
        let width = ((a - b + cut.width * 2.0) * taken - (outside - inside)) / 2.0;
        if width <= Length::ZERO {
            return Err(BadMeasure::NoWidth(axis, width));
        }
        if width >= a / 2.0 {
            return Err(BadMeasure::TooWide(axis, width, a / 2.0));
        }
        if play.as_mm().abs() > most.as_mm() {
            return Err(BadMeasure::Play(axis, play, most));
        }
        let (by_outside, by_inside) = (a + cut.width - outside, inside - b + cut.width);
        Ok(Self { scale, width, play, by_outside, by_inside })
    }
}

/// Whether a share is that of an inch to a millimetre, or the other way round, to a tenth.
fn is_other_unit(share: f64) -> bool {
    let inch = crate::units::MM_PER_INCH;
    [share * inch, share / inch].iter().any(|share| (share - 1.0).abs() < 0.1)
}

/// By how much the corner at the lower left is smaller than a right angle; its cosine c solves
/// k c^2 + c - k = 0.
fn lean_deg(between: [Length; 2], diagonals: [Length; 2]) -> Result<f64, BadMeasure> {
    let [wx, wy] = between.map(Length::as_mm);
    let [d1, d2] = diagonals.map(Length::as_mm);
    let k = (d1 * d1 - d2 * d2) / (4.0 * wx * wy);
    let cosine = 2.0 * k / (1.0 + (1.0 + 4.0 * k * k).sqrt());
    let sine = (1.0 - cosine * cosine).sqrt();
    // No parallelogram has diagonals that differ so much; then those of a square corner are told.
    let square = wx.hypot(wy);
    let wanted = Some(square / sine).filter(|wanted| wanted.is_finite());
    let found = ((d1 * d1 + d2 * d2) / 2.0).sqrt();
    if wanted.is_none_or(|w| (found - w).abs() > Length::inches(DIAGONALS_IN).as_mm()) {
        return Err(BadMeasure::Diagonals(Length::mm(found), Length::mm(wanted.unwrap_or(square))));
    }
    Ok(cosine.asin().to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::ProgramUnits;

    /// A machine as it is: what its tool takes away, and of each axis its scale and its play; by
    /// how much its axes lean.
    struct Real {
        width: f64,
        scales: [f64; 2],
        plays: [f64; 2],
        lean_deg: f64,
    }

    /// One that is true but for the width of its tool.
    fn true_but_for(width: f64) -> Real {
        Real { width, scales: [1.0, 1.0], plays: [0.0, 0.0], lean_deg: 0.0 }
    }

    /// The sides and diagonals that calipers find, from the corners of the paths: an axis that is
    /// sent to and fro stands still for its play after each turn.
    fn found(cut: &Cut, real: &Real) -> Measured {
        let Real { width, scales, plays, lean_deg } = *real;
        let Sizes { outside, inside, small } = cut.sizes;
        let gone = |axis: usize, way: Length| {
            let (mut sent, mut at) = (0.0, 0.0);
            let to_and_fro = [way.as_mm(), 0.0, way.as_mm()];
            let ends = to_and_fro.map(|to: f64| {
                let by: f64 = (to - sent) * scales[axis];
                at += by - plays[axis] * by.signum();
                sent = to;
                at
            });
            ends[2] - ends[1]
        };
        let sides = |way: Length, more: f64| [0, 1].map(|axis| Length::mm(gone(axis, way) + more));
        let outside = sides(outside + cut.width, -width);
        let inside = sides(inside - cut.width, width);
        let small = sides(small + cut.width, -width);
        let (sin, cos) = (90.0 - lean_deg).to_radians().sin_cos();
        let [a, b] = outside.map(|w| w.as_mm() / sin);
        let up = (b * cos, b * sin);
        let long = (a + up.0).hypot(up.1);
        let short = (up.0 - a).hypot(up.1);
        Measured { outside, inside, small, diagonals: Some([long, short].map(Length::mm)) }
    }

    #[test]
    fn a_width_two_scales_and_two_plays_come_back_to_a_millionth_of_an_inch() {
        for units in [ProgramUnits::Inches, ProgramUnits::Millimetres] {
            for (typed, width) in [(0.2, 0.14), (0.25, 0.31), (6.35, 6.21), (3.175, 3.3)] {
                for scales in [[1.0, 1.0], [1.01, 0.99], [0.995, 1.004], [0.99, 0.99]] {
                    for plays in [[0.0, 0.0], [0.3, 0.0], [0.05, 0.6], [-0.2, 0.2]] {
                        for lean_deg in [0.0, 0.3, -1.2] {
                            let cut = Cut { sizes: Sizes::of(units), width: Length::mm(typed) };
                            let measured = found(&cut, &Real { width, scales, plays, lean_deg });
                            let reading = Reading::of(&cut, &measured).unwrap();
                            let off = (reading.width().as_mm() - width).abs();
                            assert!(off < 25.4e-6 && reading.agrees(), "{off}");
                            for (i, axis) in reading.axes.iter().enumerate() {
                                assert!((axis.scale - scales[i]).abs() < 1e-9);
                                assert!((axis.play.as_mm() - plays[i]).abs() < 25.4e-6);
                            }
                            assert!((reading.lean_deg.unwrap() - lean_deg).abs() < 1e-9);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn play_is_told_from_scale_and_neither_is_taken_for_width() {
        let cut = Cut { sizes: Sizes::of(ProgramUnits::Inches), width: Length::mm(6.35) };
        let true_one = Reading::of(&cut, &found(&cut, &true_but_for(6.2))).unwrap();
        let [x, _] = true_one.axes;
        assert!((x.by_outside - x.by_inside).as_mm().abs() < 1e-9);
        assert_eq!((true_one.scaled().count(), true_one.loose().count()), (0, 0));
        let long = Real { scales: [1.004, 1.0], ..true_but_for(6.2) };
        let long = Reading::of(&cut, &found(&cut, &long)).unwrap();
        assert!((long.axes[0].by_outside - long.axes[0].by_inside).as_mm().abs() > 0.3);
        assert_eq!(long.scaled().map(|(axis, _)| axis).collect::<Vec<_>>(), [Axis::X]);
        assert_eq!(long.loose().count(), 0);
        let loose = Real { plays: [0.0, 0.4], ..true_but_for(6.2) };
        let loose = Reading::of(&cut, &found(&cut, &loose)).unwrap();
        assert_eq!(loose.loose().map(|(axis, _)| axis).collect::<Vec<_>>(), [Axis::Y]);
        assert_eq!(loose.scaled().count(), 0);
        assert!(loose.agrees() && (loose.width().as_mm() - 6.2).abs() < 1e-9);
    }

    #[test]
    fn what_no_square_has_is_refused() {
        let cut = Cut { sizes: Sizes::of(ProgramUnits::Inches), width: Length::inches(0.25) };
        let measured = |o: f64, i: f64, c: f64| Measured {
            outside: [Length::inches(o); 2],
            inside: [Length::inches(i); 2],
            small: [Length::inches(c); 2],
            diagonals: None,
        };
        let inches = |o: f64, i: f64, c: f64| Reading::of(&cut, &measured(o, i, c));
        assert!(inches(5.01, 1.99, 2.01).is_ok());
        assert!(matches!(inches(1.99, 5.01, 2.0), Err(BadMeasure::InsideLarger(Axis::X, ..))));
        assert!(matches!(inches(127.1, 50.0, 2.0), Err(BadMeasure::OtherUnit(..))));
        assert!(matches!(inches(5.01, 0.0785, 2.0), Err(BadMeasure::OtherUnit(..))));
        assert!(matches!(inches(5.01, 2.0, 50.9), Err(BadMeasure::OtherUnit(..))));
        assert!(matches!(inches(5.4, 2.0, 2.2), Err(BadMeasure::AnotherSize(..))));
        assert!(matches!(inches(2.0, 1.9, 5.0), Err(BadMeasure::AnotherSize(..))));
        assert!(matches!(inches(5.3, 1.7, 2.3), Err(BadMeasure::NoWidth(..))));
        assert!(matches!(inches(4.8, 2.0, 1.8), Err(BadMeasure::Play(Axis::X, ..))));
        assert!(matches!(inches(2.3, 3.6, 2.0), Err(BadMeasure::InsideLarger(..))));
        let wide = Cut { width: Length::inches(2.6), ..cut };
        let measured = measured(5.0, 2.0, 2.0);
        assert!(matches!(Reading::of(&wide, &measured), Err(BadMeasure::TooWide(..))));
        let odd =
            Measured { diagonals: Some([Length::inches(7.3), Length::inches(7.2)]), ..measured };
        assert!(matches!(Reading::of(&cut, &odd), Err(BadMeasure::Diagonals(..))));
    }
}
