//! What holds for any tool: the machine's travel, the size of the material, the feed in material.

use super::expectation::Expectation;
use super::findings::{Findings, bare};
use super::levels::last_digit_mm;
use super::limits::{
    BEYOND_STOCK_MM, FASTEST_FEED, GAP_MM, RATE_MM_MIN, SLOWEST_LASER_FEED, SLOWEST_ROUTER_FEED,
    THICKEST_CHIP,
};
use super::moves::{Drive, Motion, Move, spanned};
use super::runs;
use super::stroke::Stroke;
use crate::diagnostics::codes::{self, Axis, Descent};
use crate::diagnostics::{Feed, Millimetres};
use crate::geometry::{Bounds, Point};
use crate::profile::Machine;
use crate::units::Length;

/// Looks at how far the machine moves, and that it stays about the work; `motion` is in the machine
/// frame.
pub(super) fn check_extents(e: &Expectation<'_>, motion: &Motion, findings: &mut Findings<'_>) {
    let boxes = motion.moves.iter().filter_map(|m| m.path).map(|path| path.bounds());
    let around = boxes.reduce(Bounds::joined);
    let plane = around.map(|b| [(b.min.x, b.max.x), (b.min.y, b.max.y)]);
    let [x, y, z] = motion.reached;
    let heights = motion.moves.iter().filter_map(|m| m.to_z).map(|z| Some((z, z)));
    let z = heights.fold(z, spanned);
    let spans = [spanned(x, plane.map(|p| p[0])), spanned(y, plane.map(|p| p[1])), z];
    let room = about_the_work(e);
    let rooms = [Some((room.min.x, room.max.x)), Some((room.min.y, room.max.y)), None];
    for (i, axis) in [Axis::X, Axis::Y, Axis::Z].into_iter().enumerate() {
        let Some((low, high)) = spans[i] else { continue };
        let travel = e.machine.travel[i].as_mm();
        if high - low > travel + last_digit_mm(e.machine) {
            let (measured, limit) = (Millimetres(high - low), Millimetres(travel));
            findings.at_file(codes::OutsideTravel { axis, measured, limit });
        }
        let Some((least, most)) = rooms[i] else { continue };
        let beyond = (least - low).max(high - most);
        if beyond > last_digit_mm(e.machine) {
            let place = if least - low > high - most { low } else { high };
            let measured = Millimetres(beyond);
            findings.at_file(codes::FarOffTheWork { axis, place: Millimetres(place), measured });
        }
    }
}

/// How far beyond the stock a tool may have to go, in mm.
fn beyond_stock(e: &Expectation<'_>) -> f64 {
    2.0 * e.machine.tool_radius().as_mm() + BEYOND_STOCK_MM
}

/// Where a machine has something to do: over the stock as it lies in each set-up and a lead beyond
/// it, round the clamps, at X0 Y0, and where the profile parks.
fn about_the_work(e: &Expectation<'_>) -> Bounds {
    let reach = beyond_stock(e);
    let stock = e.stock.bounds();
    let lying =
        e.setups.iter().map(|shift| Bounds { min: stock.min + shift, max: stock.max + shift });
    let clamps = e.clamps.iter().map(|clamp| clamp.place).chain(e.clamp_zone);
    let [x, y] = e.machine.parks_at().map(Length::as_mm);
    let points = [Point::origin(), Point::new(x, y)].map(|p| Bounds { min: p, max: p });
    lying
        .chain(clamps)
        .map(|place| place.grown(reach))
        .chain(points)
        .reduce(Bounds::joined)
        .expect("X0 Y0 at least")
}

/// Looks at how far outside the material the tool works; `strokes` are in the stock frame.
pub(super) fn check_stock(e: &Expectation<'_>, strokes: &[Stroke], findings: &mut Findings<'_>) {
    let stock = e.stock.bounds();
    let reach = beyond_stock(e);
    let room = stock.grown(reach);
    for stroke in strokes {
        let around = stroke.path.bounds();
        let beyond = [
            room.min.x - around.min.x,
            room.min.y - around.min.y,
            around.max.x - room.max.x,
            around.max.y - room.max.y,
        ];
        let most = beyond.into_iter().fold(0.0, f64::max);
        if most > 0.0 {
            let (measured, limit) = (Millimetres(most + reach), Millimetres(reach));
            findings.at_line(codes::OutsideStock { measured, limit }, stroke.line);
        }
    }
}

/// The feed of every move whose line cuts: along the path, down on a ramp, down steeper or
/// straight.
pub(super) fn check_feeds(
    e: &Expectation<'_>,
    motion: &Motion,
    strokes: &[Stroke],
    findings: &mut Findings<'_>,
) {
    let mut cutting = strokes.iter().map(|stroke| stroke.line).peekable();
    let ways: Vec<Option<runs::Way>> = motion.moves.iter().map(fed).collect();
    let runs = runs::runs(&ways);
    let each = runs.into_iter().flat_map(|run| run.clone().map(move |i| (i, run.clone())));
    for (i, run) in each.filter(|(i, _)| motion.moves[*i].drive == Drive::Feed) {
        let m = &motion.moves[i];
        while cutting.next_if(|&line| line < m.line).is_some() {}
        let Some(feed) = m.feed.filter(|_| cutting.peek() == Some(&m.line)) else { continue };
        // Short moves go down as steeply as all of them together do, or as each by itself.
        let way = Way::of(m, e.machine).steeper(Way::of_run(&ways[run], e.machine));
        let (slowest, fastest) = bounds(e, way);
        let slowest = slowest * hurry(e, m);
        let (measured, limit) = (Feed(feed), Feed(fastest));
        if feed > fastest {
            match way {
                Way::Along | Way::Hardly | Way::StraightUp => {
                    findings.at_line(codes::FeedFast { measured, limit }, m.line);
                }
                Way::Down => tell_fast(Descent::Moving, (measured, limit), m, findings),
                Way::Steep => tell_fast(Descent::Steep, (measured, limit), m, findings),
                Way::StraightDown => tell_fast(Descent::Straight, (measured, limit), m, findings),
            }
        } else if let Some(measured) = chip(e, m, feed).filter(|chip| *chip > THICKEST_CHIP) {
            let (measured, limit) = (bare(measured), bare(THICKEST_CHIP));
            findings.at_line(codes::ChipThick { measured, limit }, m.line);
        } else if feed < slowest - RATE_MM_MIN {
            findings.at_line(codes::FeedSlow { measured, limit: Feed(slowest) }, m.line);
        }
    }
}

/// What a cutting edge takes in times of what the profile's feed and speed make it take.
fn chip(e: &Expectation<'_>, m: &Move, feed: f64) -> Option<f64> {
    let cutter = e.machine.tool.cutter().filter(|_| e.cuts())?;
    let speed = m.tool.speed;
    (speed > 0.0).then(|| feed / e.machine.tool.feed_mm_min() * cutter.speed_rpm / speed)
}

/// How much faster the spindle turns than the profile says; 1 where it does not.
fn hurry(e: &Expectation<'_>, m: &Move) -> f64 {
    let cutter = e.machine.tool.cutter().filter(|_| e.cuts());
    cutter.map_or(1.0, |cutter| (m.tool.speed / cutter.speed_rpm).max(1.0))
}

fn tell_fast(how: Descent, (measured, limit): (Feed, Feed), m: &Move, findings: &mut Findings<'_>) {
    findings.at_line(codes::EntryFeedFast { measured, how, limit }, m.line);
}

/// Which way a move goes through the material.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// At one height, or up while it moves.
    Along,
    /// Down by no more than the last digits.
    Hardly,
    /// Straight up in its kerf, as before a tab with square ends.
    StraightUp,
    /// Down while it moves, no steeper than the profile lets a cutter down on a ramp.
    Down,
    /// Down while it moves, steeper than that.
    Steep,
    /// Straight down.
    StraightDown,
}

/// A move at a feed whose place and heights are known; one straight up or down is judged as that,
/// whatever follows it.
fn fed(m: &Move) -> Option<runs::Way> {
    let path = m.path.filter(|path| m.drive == Drive::Feed && path.length() > GAP_MM)?;
    let (from, to) = ((path.from(), m.from_z?), (path.to(), m.to_z?));
    Some(runs::Way { from, to, length: path.length() })
}

impl Way {
    fn of(m: &Move, machine: &Machine) -> Self {
        let down = m.from_z.zip(m.to_z).map_or(0.0, |(from, to)| from - to);
        Self::down_along(down, m.path.map_or(0.0, |path| path.length()), machine)
    }

    /// What several moves come to together; none of one alone.
    fn of_run(ways: &[Option<runs::Way>], machine: &Machine) -> Option<Self> {
        let [_, _, ..] = ways else { return None };
        let going_down = runs::descent(&ways.iter().copied().flatten().collect::<Vec<_>>());
        Some(Self::down_along(going_down.down, going_down.along, machine))
    }

    /// The steeper of a move by itself and of the run that it is part of.
    fn steeper(self, run: Option<Self>) -> Self {
        match (self, run) {
            (
                Self::Hardly | Self::Down,
                Some(run @ (Self::Down | Self::Steep | Self::StraightDown)),
            ) => run,
            (own, _) => own,
        }
    }

    fn down_along(down: f64, length: f64, machine: &Machine) -> Self {
        let is_upright = length <= GAP_MM;
        if is_upright && down != 0.0 {
            return if down > 0.0 { Self::StraightDown } else { Self::StraightUp };
        }
        // Of a move whose height follows from rounding alone nobody slows down.
        if down <= 0.0 {
            Self::Along
        } else if down <= last_digit_mm(machine) * 1.5 {
            Self::Hardly
        } else if down > flattest(length, machine) {
            Self::Steep
        } else {
            Self::Down
        }
    }
}

/// How far a move may go down on a ramp, in mm: by the ramp's angle, and what printed digits add at
/// both of its ends.
fn flattest(length: f64, machine: &Machine) -> f64 {
    let Some(cutter) = machine.tool.cutter() else { return f64::INFINITY };
    length * cutter.ramp_deg.to_radians().tan() + RAMP_DIGITS * last_digit_mm(machine)
}

/// Half a digit of Z at either end, and as much of X and Y at half a right angle.
const RAMP_DIGITS: f64 = 2.5;

/// The slowest feed of a way through the material that is not told, and the fastest, in mm/min.
fn bounds(e: &Expectation<'_>, way: Way) -> (f64, f64) {
    let (tool, most) = (&e.machine.tool, e.machine.max_feed_mm_min);
    let cutting = if e.cuts() { tool.feed_mm_min() } else { tool.mark_feed_mm_min() };
    let cutting = cutting.min(most);
    if let Some(beam) = tool.beam() {
        // A beam leads in at the feed it pierces with.
        let slowest = (cutting * SLOWEST_LASER_FEED).min(beam.pierce_feed_mm_min);
        return (slowest, cutting * FASTEST_FEED);
    }
    let (entry, plunge) = (tool.entry_feed_mm_min(), tool.plunge_feed_mm_min());
    let along = match e.cuts() {
        true => cutting.min(tool.last_pass_feed_mm_min()).min(tool.finish_feed_mm_min()),
        false => cutting,
    };
    let (least, most) = match way {
        Way::Along => (along, cutting),
        // A flat ramp of short chords goes down by a digit each, as slowly as any way in.
        Way::Hardly => (along.min(entry), cutting),
        Way::StraightUp => (plunge.min(cutting), cutting),
        // What may be done straight down may be done on a ramp.
        Way::Down => (entry.min(plunge), entry.max(plunge)),
        Way::Steep => (entry.min(plunge), plunge),
        Way::StraightDown => (plunge, plunge),
    };
    // The last digit of an F word is much of a slow one.
    (least * SLOWEST_ROUTER_FEED, (most * FASTEST_FEED).max(most + RATE_MM_MIN))
}
