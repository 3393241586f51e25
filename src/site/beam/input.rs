//! What the beam check needs to know.

use super::member::Line;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::Middle;
use crate::profile::{BySize, MOST_TIMES, PointOn, TimberFactors, Wood};
use crate::units::Length;

/// Weight of treads, risers and stringers a square foot of horizontal projection: common practice,
/// no source.
pub const DEAD_PSF: f64 = 10.0;

/// What the stair is to carry, a unit of horizontal projection.
#[derive(Clone, Debug, PartialEq)]
pub struct Loads {
    /// Live load as it is expected in use, pounds a square foot: what the stringer may bend under.
    pub live_psf: f64,
    /// It has to bear this many times that load.
    pub times: f64,
    /// Dead load, pounds a square foot.
    pub dead_psf: f64,
    /// Live load on one spot instead of the spread one, pounds.
    pub point_lb: Option<f64>,
    /// What that is asked of.
    pub point_on: PointOn,
    /// Where the live load stands.
    pub source: String,
}

impl Loads {
    /// The load on one spot, where it is asked of a stringer.
    pub fn point_on_stringer(&self) -> Option<f64> {
        self.point_lb.filter(|_| self.point_on == PointOn::Stringer)
    }
}

/// How the stringers stand side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stringers {
    /// How many lines of them across the width of the stair.
    pub count: usize,
    /// Centre to centre.
    pub spacing: Length,
    /// Width of tread beyond the centre of an outer line, where treads span from.
    pub edge: Length,
    /// Boards fastened side by side in each inner stringer.
    pub inner_plies: usize,
    /// Boards fastened side by side in each of the outer two.
    pub outer_plies: usize,
}

/// Moisture where the stair stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moisture {
    /// 19 % or less in use.
    Dry,
    /// More.
    Wet,
}

/// Whether the wood was incised for treatment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Incising {
    /// It was not.
    None,
    /// It was.
    Incised,
}

/// The span over the deflection that is allowed.
#[derive(Clone, Debug, PartialEq)]
pub struct DeflectionLimits {
    /// Under live load.
    pub live: f64,
    /// Under all load, where that is to be looked at.
    pub total: Option<f64>,
    /// Where they stand.
    pub source: String,
}

impl Default for DeflectionLimits {
    fn default() -> Self {
        Self {
            live: 360.0,
            total: Some(240.0),
            source:
                "L/360 live: International Residential Code Table R301.7 (check locally); L/240 of \
                all load: International Building Code Table 1604.3 (check locally)"
                    .to_string(),
        }
    }
}

/// How the head is held over a part of its plumb cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadHeld {
    /// A notch in the lower, stretched edge rests on something.
    Notch,
    /// Its end is fastened, down to somewhere above the lower edge.
    Fastened,
}

impl HeadHeld {
    /// Where the formula of what it carries stands.
    pub fn source(self) -> &'static str {
        match self {
            Self::Notch => "NDS 2018 3.4.3.2 (check locally)",
            Self::Fastened => "NDS 2018 3.4.3.3 (check locally)",
        }
    }
}

/// The plumb cut at the head and what of it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadEnd {
    /// The whole plumb cut.
    pub depth: Length,
    /// From its top down to the notch, or down to the lowest point that is held.
    pub held: Length,
    /// Which of the two.
    pub how: HeadHeld,
}

/// A notch on the lower, stretched edge at the foot, for the tie plate, with a bearing before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootNotch {
    /// How far it is let in, plumb.
    pub height: Length,
    /// Wood over the support before it, plumb: the first riser cut, or the throat where that is
    /// less.
    pub depth: Length,
}

/// What the stringers are sawn to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sawn {
    /// Notched, so that a throat is left; the treads run on over them.
    Notched,
    /// Solid boards, on whose faces the treads end.
    Solid,
}

/// Everything the beam check reads.
#[derive(Clone, Debug)]
pub struct BeamInput {
    /// Reference design values.
    pub wood: Wood,
    /// The factors that go on them.
    pub factors: TimberFactors,
    /// Width of the board as measured.
    pub board_width: Length,
    /// Thickness of one ply.
    pub thickness: Length,
    /// What they are sawn to.
    pub sawn: Sawn,
    /// What stays whole behind the notches, relief taken off; of a solid board what holes leave.
    pub throat: Length,
    /// Horizontal clear span from foot to head.
    pub span: Length,
    /// Angle of the stringer, radians.
    pub pitch_rad: f64,
    /// Whether it rests in the middle too, not at foot and head only.
    pub middle: Middle,
    /// How many, how far apart.
    pub stringers: Stringers,
    /// What it carries.
    pub loads: Loads,
    /// Moisture in use.
    pub moisture: Moisture,
    /// Incised or not.
    pub incising: Incising,
    /// How far it may bend.
    pub limits: DeflectionLimits,
    /// The notch at the foot, where it lies between what bears there and the span.
    pub foot_notch: Option<FootNotch>,
    /// The plumb cut at the head, where it is known what holds it.
    pub head: Option<HeadEnd>,
    /// Length of the seat on its support, where known.
    pub seat: Option<Length>,
}

/// Most stringers that the check takes: far more than any stair has.
const MOST_STRINGERS: usize = 40;
/// Most plies of one stringer.
const MOST_PLIES: usize = 4;
/// Longest span: twice any published one.
const MOST_SPAN_IN: f64 = 480.0;
/// Widest spacing.
const MOST_SPACING_IN: f64 = 120.0;
/// Thickness, two to four inches by name: what the design values are published for.
const LEAST_THICKNESS_IN: f64 = 1.25;
const MOST_THICKNESS_IN: f64 = 3.5;
/// Load, pounds a square foot or pounds.
const MOST_LOAD: f64 = 2000.0;
/// Steepest pitch, degrees.
const MOST_PITCH_DEG: f64 = 75.0;

impl BeamInput {
    /// The lines of stringers that carry differently.
    pub(super) fn lines(&self) -> Vec<Line> {
        match self.stringers.count {
            0 | 1 => Vec::new(),
            2 => vec![Line::Outer],
            _ => vec![Line::Outer, Line::Inner],
        }
    }

    /// Width of the stair from the first stringer's centre to the last one's.
    pub(super) fn width_between_outer(&self) -> Length {
        self.stringers.spacing * (self.stringers.count as f64 - 1.0)
    }

    pub(super) fn validate(&self) -> Result<(), Error> {
        within(
            "the span",
            self.span,
            Length::ZERO,
            MOST_SPAN_IN,
            "measure it level, between the faces of the supports",
        )?;
        let spacing = self.stringers.spacing;
        within(
            "the spacing of the stringers",
            spacing,
            Length::ZERO,
            MOST_SPACING_IN,
            "measure it centre to centre",
        )?;
        let least = Length::inches(LEAST_THICKNESS_IN);
        within(
            "the stringer's thickness",
            self.thickness,
            least,
            MOST_THICKNESS_IN,
            "thickness = \"1 1/2 in\"",
        )?;
        within(
            "the throat",
            self.throat,
            Length::ZERO,
            self.board_width.as_inches(),
            "take a wider board",
        )?;
        if let Some(seat) = self.seat {
            within(
                "the seat",
                seat,
                Length::ZERO,
                MOST_SPAN_IN,
                "leave it out where it is not known",
            )?;
        }
        if let Some(notch) = self.foot_notch {
            if notch.height >= notch.depth {
                let allowed = format!("less than {}", notch.depth);
                return Err(bad(
                    "the notch at the foot",
                    notch.height.to_string(),
                    allowed,
                    "let the plate in less",
                ));
            }
            within(
                "the notch at the foot",
                notch.height,
                Length::ZERO,
                notch.depth.as_inches(),
                "let the plate in less",
            )?;
        }
        if let Some(HeadEnd { depth, held, .. }) = self.head {
            let most = depth.as_inches();
            let hint = "another joint at the head";
            within("the plumb cut", depth, Length::ZERO, MOST_SPAN_IN, hint)?;
            within("what holds the plumb cut", held, Length::ZERO, most, hint)?;
        }
        self.validate_counts()?;
        self.validate_loads()?;
        table_depth(&self.factors.sizes, self.board_width).map(|_| ())
    }

    fn validate_counts(&self) -> Result<(), Error> {
        let Stringers { count, inner_plies, outer_plies, edge, .. } = self.stringers;
        number(
            "the strip beyond the outer stringers, in inches,",
            edge.as_inches(),
            0.0,
            MOST_SPACING_IN,
        )?;
        if !(2..=MOST_STRINGERS).contains(&count) {
            return Err(no_stringers(count));
        }
        for plies in [inner_plies, outer_plies] {
            if !(1..=MOST_PLIES).contains(&plies) {
                return Err(bad(
                    "the plies of a stringer",
                    plies.to_string(),
                    format!("1 to {MOST_PLIES}"),
                    "1, or 2 where it is doubled",
                ));
            }
        }
        Ok(())
    }

    fn validate_loads(&self) -> Result<(), Error> {
        let Loads { live_psf, times, dead_psf, point_lb, .. } = self.loads;
        number("how many times the live load", times, 1.0, MOST_TIMES)?;
        for (what, load) in [
            ("the live load", live_psf),
            ("the dead load", dead_psf),
            ("the point load", point_lb.unwrap_or(0.0)),
        ] {
            number(what, load, 0.0, MOST_LOAD)?;
        }
        if live_psf + dead_psf + point_lb.unwrap_or(0.0) <= 0.0 {
            return Err(bad(
                "the load",
                "0",
                "more than 0",
                "give the live load of the rule set: 40 psf",
            ));
        }
        number("the pitch, in degrees,", self.pitch_rad.to_degrees(), 0.0, MOST_PITCH_DEG)?;
        for ratio in [Some(self.limits.live), self.limits.total].into_iter().flatten() {
            number("the span over the deflection", ratio, 1.0, 10_000.0)?;
        }
        Ok(())
    }
}

/// The row of a table for a board of this width.
///
/// # Errors
/// If the board is wider than any the table has.
pub(super) fn table_depth(rows: &[BySize], depth: Length) -> Result<BySize, Error> {
    let widest = rows.iter().map(|row| row.up_to).fold(Length::ZERO, Length::max);
    rows.iter().find(|row| depth <= row.up_to).copied().ok_or_else(|| {
        bad(
            "the board's width",
            depth.to_string(),
            format!("at most {widest}"),
            "ask a licensed designer for a wider one",
        )
    })
}

pub(super) fn no_stringers(count: usize) -> Error {
    bad(
        "the number of stringers",
        count.to_string(),
        format!("2 to {MOST_STRINGERS}"),
        "a stair stands on two at least",
    )
}

fn bad(
    what: impl Into<String>,
    found: impl Into<String>,
    allowed: impl Into<String>,
    hint: impl Into<String>,
) -> Error {
    Error::new(ErrorKind::Input, format!("{} means nothing to the beam check", what.into()))
        .found(found)
        .allowed(allowed)
        .hint(hint)
}

/// More than `least` (at least it, where it is more than 0) and at most `most_in` inches.
fn within(what: &str, found: Length, least: Length, most_in: f64, hint: &str) -> Result<(), Error> {
    if found > Length::ZERO && found >= least && found.as_inches() <= most_in {
        return Ok(());
    }
    let most = Length::inches(most_in);
    let allowed = if least > Length::ZERO {
        format!("{least} to {most}")
    } else {
        format!("more than 0, at most {most}")
    };
    Err(bad(what, found.to_string(), allowed, hint))
}

fn number(what: &str, found: f64, least: f64, most: f64) -> Result<(), Error> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(bad(
        what,
        found.to_string(),
        format!("{least} to {most}"),
        format!("a plain number from {least} to {most}"),
    ))
}
