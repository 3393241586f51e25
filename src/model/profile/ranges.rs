//! What the keys of a machine profile may be, each with its why. A figure inside its range is made,
//! or refused by a finding that names its key. Where no source stands, a range is common practice
//! without one.

use super::reader::Range;

const MM_PER_IN: f64 = crate::units::MM_PER_INCH;

/// Below the least a program is not held to it by its last digit; above the most a corner's chords
/// stick out by half a millimetre and more. Holes are cut with chords of 0.01 mm at most, whatever
/// is allowed here.
pub(super) const CHORD_TOLERANCE: Range = Range::mm(0.002, 0.02 * MM_PER_IN);
/// Nothing lies flatter than a millimetre, and the proof wants rapids to stay off the material.
pub(super) const SAFE_HEIGHT: Range = Range::mm(1.0, 500.0);
/// A pin that is tighter than a hundredth of a millimetre is driven in, and looser than a fiftieth
/// of an inch it locates nothing.
pub(super) const PIN_PLAY: Range = Range::mm(0.01, 0.02 * MM_PER_IN);
/// A hole shallower than an eighth of an inch holds no pin, and no spoil board is thicker than four
/// inches.
pub(super) const PIN_DEPTH: Range = Range::mm(0.125 * MM_PER_IN, 4.0 * MM_PER_IN);
/// Only the time estimate uses it.
pub(super) const CORNER_SLACK: Range = Range::mm(1e-4, 5.0);
/// Any machine for wood.
pub(super) const TRAVEL: Range = Range::mm(1.0, 100_000.0);

/// Speeds in mm a minute. A program's F word has one decimal: at an inch a minute it is true to a
/// twentieth. Nothing cuts faster than five metres a second.
pub(super) const SPEED: Range = Range::mm(MM_PER_IN, 300_000.0);
/// The slowest feed that a share of another comes to, in mm a minute.
pub(super) const SLOWEST_MM_MIN: f64 = MM_PER_IN;
/// In mm a second squared; only the time estimate uses it.
pub(super) const ACCELERATION: Range = Range::mm(1.0, 50_000.0);

/// From engraving bits to surfacing cutters: thinner ones leave grooves that printed coordinates do
/// not hold.
pub(super) const CUTTER: Range = Range::mm(0.5, 60.0);
/// As long as cutters are made.
pub(super) const FLUTE_LENGTH: Range = Range::mm(1.0, 300.0);
/// Thinner than a micrometre is no chip, thicker than two millimetres no cutter stands.
pub(super) const CHIP_LOAD: Range = Range::mm(0.001, 2.0);
/// Shallower passes than a hundredth of an inch make programs of a hundred passes and more.
pub(super) const PASS_DEPTH: Range = Range::mm(0.01 * MM_PER_IN, 100.0);
/// Below a hundredth of a millimetre the last digit decides whether it is through; more than an
/// inch is a table.
pub(super) const CUT_THROUGH: Range = Range::mm(0.01, MM_PER_IN);
/// Less than a tenth of a millimetre a cutter only rubs off, and a spindle is out by half of it;
/// more than an eighth of an inch is a pass of its own.
pub(super) const FINISH_ALLOWANCE: Range = Range::mm(0.1, 0.125 * MM_PER_IN);
/// Width of a stroke: what a pointed cutter leaves and a letter of a few millimetres stands.
pub(super) const MARK_WIDTH: Range = Range::mm(0.05, 5.0);
/// A shallower stroke is lost in how flat a sheet is; the deepest is half of the material.
pub(super) const MARK_DEPTH: Range = Range::mm(0.05, 10.0);
/// Angles that points are ground to, in degrees.
pub(super) const MARK_ANGLE_DEG: (f64, f64) = (10.0, 150.0);
/// A lower lift drags over what is not flat, a higher one is the safe height.
pub(super) const MARK_LIFT: Range = Range::mm(0.3, 25.0);
/// Revolutions a minute: a spindle that turns slower than this is no router's.
pub(super) const SPINDLE_RPM: (f64, f64) = (500.0, 100_000.0);

/// Below a fiftieth of a millimetre nobody can measure it, above a tenth of an inch it is no
/// laser's.
pub(super) const KERF: Range = Range::mm(0.02, 0.1 * MM_PER_IN);
/// Nearer than a tenth of a millimetre a pierce marks the edge that it is to stay away from.
pub(super) const LEAD: Range = Range::mm(0.1, 50.0);
/// The S word is printed with one decimal.
pub(super) const POWER: (f64, f64) = (10.0, 100_000.0);
/// From half of its power on a beam may go through.
pub(super) const MARK_POWER: (f64, f64) = (0.001, 0.5);
/// Share of full power that cuts: below a twentieth it is no cut.
pub(super) const CUT_POWER: (f64, f64) = (0.05, 1.0);
/// Times round the same line: more only burns what is beside it.
pub(super) const LASER_PASSES: (f64, f64) = (1.0, 20.0);
/// The S word that scores, at least: one that its printed decimal does not change much.
pub(super) const LEAST_MARK_WORD: f64 = 1.0;

/// The step of line numbers: five digits hold them.
pub(super) const LINE_STEP: (f64, f64) = (1.0, 100.0);
/// The number of a tool in a changer.
pub(super) const TOOL_NUMBER: (f64, f64) = (1.0, 999.0);
/// How far a control may round a corner: half of the proof's tolerance, which counts it; the other
/// half is for what printed digits leave. Less than a micrometre is to the point.
pub(super) const BLEND: Range = Range::mm(0.001, 0.00025 * MM_PER_IN);
