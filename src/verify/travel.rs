//! What holds for any tool: the machine's travel, the size of the material, the feed in material.

use super::expectation::Expectation;
use super::findings::{Findings, mm_min};
use super::levels::last_digit_mm;
use super::limits::{
    BEYOND_STOCK_MM, FASTEST_FEED, RATE_MM_MIN, SLOWEST_LASER_FEED, SLOWEST_ROUTER_FEED,
};
use super::moves::{Drive, Motion};
use super::stroke::Stroke;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Axis};
use crate::geometry::Bounds;

/// Looks at how far the machine moves; `motion` is in the machine frame.
pub(super) fn check_extents(e: &Expectation<'_>, motion: &Motion, findings: &mut Findings<'_>) {
    let boxes = motion.moves.iter().filter_map(|m| m.path).map(|path| path.bounds());
    let heights = || motion.moves.iter().filter_map(|m| m.to_z);
    let (low, high) =
        (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
    let around = boxes.reduce(Bounds::joined);
    let extents = [
        around.map_or(0.0, Bounds::width),
        around.map_or(0.0, Bounds::height),
        (high - low).max(0.0),
    ];
    for ((axis, extent), travel) in
        [Axis::X, Axis::Y, Axis::Z].into_iter().zip(extents).zip(e.machine.travel)
    {
        if extent > travel.as_mm() + last_digit_mm(e.machine) {
            let (measured, limit) = (Millimetres(extent), Millimetres(travel.as_mm()));
            findings.at_file(codes::OutsideTravel { axis, measured, limit });
        }
    }
}

/// Looks at how far outside the material the tool works; `strokes` are in the stock frame.
pub(super) fn check_stock(e: &Expectation<'_>, strokes: &[Stroke], findings: &mut Findings<'_>) {
    let stock = e.stock.bounds();
    let reach = 2.0 * e.machine.tool_radius().as_mm() + BEYOND_STOCK_MM;
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

/// The feed of every move whose line cuts.
pub(super) fn check_feeds(
    e: &Expectation<'_>,
    motion: &Motion,
    strokes: &[Stroke],
    findings: &mut Findings<'_>,
) {
    let most = e.machine.max_feed_mm_min;
    let expected = e.machine.tool.feed_mm_min().min(most);
    let slowest = match e.machine.tool.beam() {
        None => expected * SLOWEST_ROUTER_FEED,
        // A beam leads in at the feed it pierces with.
        Some(beam) => (expected * SLOWEST_LASER_FEED).min(beam.pierce_feed_mm_min),
    };
    let mut cutting = strokes.iter().map(|stroke| stroke.line).peekable();
    for m in motion.moves.iter().filter(|m| m.drive == Drive::Feed) {
        while cutting.next_if(|&line| line < m.line).is_some() {}
        let Some(feed) = m.feed.filter(|_| cutting.peek() == Some(&m.line)) else { continue };
        let measured = mm_min(feed);
        if feed > expected * FASTEST_FEED {
            findings.at_line(
                codes::FeedFast { measured, limit: mm_min(expected * FASTEST_FEED) },
                m.line,
            );
        } else if feed < slowest - RATE_MM_MIN {
            findings.at_line(codes::FeedSlow { measured, limit: mm_min(slowest) }, m.line);
        }
    }
}
