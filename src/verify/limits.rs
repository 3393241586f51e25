//! The tolerances and bounds of the proof, each with its why. Millimetres unless the name says
//! otherwise.

use crate::units::MM_PER_INCH;

/// Two depths closer than this are one depth: a ten-thousandth of an inch, the last digit of an
/// inch program.
pub(crate) const LEVEL_MM: f64 = 1e-4 * MM_PER_INCH;
/// How far a tab may lie from where it is declared, beside the rounding of the program's numbers.
pub(crate) const TAB_MM: f64 = 0.01;
/// The longest tab that is taken for one where none are declared.
pub(crate) const LONGEST_TAB_MM: f64 = 40.0;
/// The tallest tab, as a share of the thickness: more is a part not cut out.
pub(crate) const TALLEST_TAB: f64 = 0.5;
/// The fewest tabs that hold a part still: three points hold a plane, where they are not on one
/// line.
pub(crate) const FEWEST_TABS: usize = 3;
/// A file's box may differ this much from the part's and still be held against it.
pub(crate) const EXTENT_MM: f64 = 0.05 * MM_PER_INCH;
/// How far beyond the material and the cutter a cut may run: a lead and a little.
pub(crate) const BEYOND_STOCK_MM: f64 = 25.0;
/// Two passes run along one line if they lie this close: printed numbers and chords, no more.
pub(crate) const SAME_LINE_MM: f64 = 0.02;
/// A cutter may be let straight down this far: a scratch, and what earlier passes left by rounding.
pub(crate) const PLUNGE_MM: f64 = 0.002 * MM_PER_INCH;
/// A rapid comes down no nearer to the material than this: sheets are not flat.
pub(crate) const RAPID_CLEARANCE_MM: f64 = 0.2;
/// How far motion may leave the box that was planned for it, in mm: printed digits, chords.
pub(crate) const BEYOND_REACH_MM: f64 = 0.1;
/// The longest feed move at the height of the face that is taken for a way in, in mm.
pub(crate) const LONGEST_SKIM_MM: f64 = 2.0;
/// The longest rapid across that goes below the safe height in a program that only marks: two
/// inches, on which a sheet is flat, and what printed numbers are off.
pub(crate) const LONGEST_HOP_MM: f64 = 50.01;
/// A tool passes over a clamp by this at least: a quarter inch.
pub(crate) const OVER_CLAMP_MM: f64 = 0.25 * MM_PER_INCH;
/// A rapid across farther than this goes at the clear height: six inches, and what printed digits
/// add.
pub(crate) const LONG_TRAVEL_MM: f64 = 6.0 * MM_PER_INCH + 0.1;
/// Below this a boundary gap is rounding of the interval ends.
pub(crate) const GAP_MM: f64 = 1e-7;
/// Pieces may lie nearer to each other or to the edge than asked by this: rounding of a layout.
pub(crate) const LAID_MM: f64 = 1e-3;
/// The figures of the proof are found to this: far below the tolerance of the proof.
pub(crate) const FIGURE_MM: f64 = 1e-7;
/// Start and end radius of an arc agree within this: NISTIR 6556, 3.5.3.2.
pub(crate) const ARC_RADIUS_INCH_MM: f64 = 0.0002 * MM_PER_INCH;
/// As [`ARC_RADIUS_INCH_MM`], for a program in millimetres.
pub(crate) const ARC_RADIUS_MM: f64 = 0.002;
/// Loose ends of a drawing this close are one point.
pub(crate) const JOIN_MM: f64 = 0.001 * MM_PER_INCH;
/// Lines for people whose ends are this close are taken to be joined, as careless readers of
/// drawings join them: common practice, no source.
pub(crate) const CHAINED_MM: f64 = 0.01 * MM_PER_INCH;
/// A ring that is open by no more than this is judged as if it were closed: a slip of the pen, told
/// all the same.
pub(crate) const SLIP_MM: f64 = 2.0;
/// A vertex this near to the line through its neighbours is no corner: printed numbers.
pub(crate) const MERGE_MM: f64 = 0.0001 * MM_PER_INCH;
/// A line stands for an edge of the part if it is no farther from it than this.
pub(crate) const CAPTURE_MM: f64 = 15.0;
/// A line stands for an edge of the part if it is turned against it by no more than this, in
/// radians.
pub(crate) const ALIKE_RAD: f64 = 0.05;
/// Offsets that a kerf or a cutter's radius can be, in mm.
pub(crate) const KERF_MM: (f64, f64) = (0.02, 10.0);
/// A part lies as it was drawn if it is turned by no more than this, in radians: the tolerance on a
/// metre or so.
pub(crate) const TURN_RAD: f64 = 1e-5;
/// A feed in material may be above the expected one by this factor.
pub(crate) const FASTEST_FEED: f64 = 1.1;
/// A chip may be thicker than the profile's by this factor: what a feed may be, and a speed that is
/// printed a little low.
pub(crate) const THICKEST_CHIP: f64 = 1.2;
/// Below this share of the expected feed a cutter rubs, and where the spindle turns faster than the
/// profile says below as much more.
pub(crate) const SLOWEST_ROUTER_FEED: f64 = 0.05;
/// Below this share of the expected feed a beam burns.
pub(crate) const SLOWEST_LASER_FEED: f64 = 0.6;
/// Below this share of its speed a spindle takes chips that are too thick.
pub(crate) const SLOWEST_SPINDLE: f64 = 0.8;
/// Below this share of its power a beam is not taken to go through.
pub(crate) const WEAKEST_BEAM: f64 = 0.9;
/// Powers this close are one power: half the last digit of a printed S word, and a little.
pub(crate) const POWER_DIGIT: f64 = 0.051;
/// Times are equal within this, in seconds.
pub(crate) const TIME_S: f64 = 1e-6;

/// Feeds closer than this are one feed, in mm/min: the last digit of a printed one.
pub(crate) const RATE_MM_MIN: f64 = 3.0;
/// Above this energy a beam burns more than it cuts, on the part's edge.
pub(crate) const STRONGEST_BEAM: f64 = 1.1;
/// Above this energy a beam sets wood on fire, wherever it is: so many times what cuts it through
/// (common practice, no source).
pub(crate) const BURNING_BEAM: f64 = 3.0;
/// Below this share of its speed a spindle only pushes the cutter through the wood.
pub(crate) const STALLED_SPINDLE: f64 = 0.5;
/// Longer than this a turning cutter must not stand in wood, in seconds: it burns.
pub(crate) const LONGEST_STAND_S: f64 = 1.0;
/// An arc of less is a full turn to some controllers and nothing to others, in radians.
pub(crate) const LEAST_SWEEP_RAD: f64 = 1e-5;
/// The wood between a tab's outer side and any other cut is at least so many cutters wide.
pub(crate) const TAB_WEB_CUTTERS: f64 = 1.0;

/// The longest file that is read, in bytes: a hundred times the largest set of a sheet.
pub(crate) const LONGEST_FILE: usize = 16 << 20;
/// The most characters of a line that are read: NISTIR 6556, 3.3.1.
pub(crate) const LONGEST_READ: usize = 256;
/// The most characters of a program line.
pub(crate) const LONGEST_LINE: usize = 70;
/// The most lines of a program.
pub(crate) const MOST_LINES: usize = 500_000;
/// The most moves and stops of a program: twenty times a sheet of sixty pieces, proven within a
/// second or two.
pub(crate) const MOST_MOVES: usize = 150_000;
/// The most vertices of a drawing.
pub(crate) const MOST_VERTICES: usize = 50_000;
/// The largest number that is a coordinate in any unit.
pub(crate) const LARGEST_NUMBER: f64 = 1e7;
/// The most findings of one code that are listed one by one.
pub(crate) const MOST_OF_A_CODE: usize = 20;
/// The most lines of a file of which the very same is said: one wrong word changes all that follow.
pub(crate) const MOST_ALIKE: usize = 3;
/// The most pairs of segments that one step compares: half a second of work, hundreds of times what
/// a flight takes.
pub(crate) const MOST_PAIRS: usize = 4_000_000;
/// The most crossings of a drawing that are looked for.
pub(crate) const MOST_CROSSINGS: usize = 100;
/// The most straight edges that are fitted to a part.
pub(crate) const MOST_FITTED: usize = 2_000;
/// The most first guesses of a fit.
pub(crate) const MOST_GUESSES: usize = 8;
