//! Posts and rail over the elevation, as far as the job asks for figures of them.

use super::Subject;
use super::canvas::{Canvas, View};
use crate::geometry::{Bounds, Point};
use crate::output::page::{Line, Text};
use crate::stair::RailLine;
use crate::units::Length;

/// Top of the rail over the uppermost post, over what the stringer stands on, in mm.
pub(super) fn rail_top(subject: &Subject<'_>) -> Option<f64> {
    let (job, flight) = (subject.job, subject.flight);
    let last = RailLine::of(job, flight)?.posts.last()?.at + job.rail?.post / 2.0;
    Some((RailLine::top_at(job, flight, last)? + flight.base()).as_mm())
}

/// The corners of every post on the paper, from its lower left one.
fn posts(view: &View, subject: &Subject<'_>) -> Vec<[Point; 4]> {
    let (job, flight) = (subject.job, subject.flight);
    let (Some(line), Some(asked)) = (RailLine::of(job, flight), job.rail) else {
        return Vec::new();
    };
    let (half, top) = (asked.post.as_mm() / 2.0, |x: f64| top_at(subject, x));
    let corners = |at: f64, over_lower_edge: f64| {
        let (left, right, low) = (at - half, at + half, top(at) - over_lower_edge);
        let corners = [(left, low), (right, low), (right, top(right)), (left, top(left))];
        corners.map(|(x, y)| place(view, subject, x, y))
    };
    line.posts.iter().map(|post| corners(post.at.as_mm(), post.over_lower_edge.as_mm())).collect()
}

/// The rail's top at a place, from the face of the first riser and the finished floor.
fn top_at(subject: &Subject<'_>, x: f64) -> f64 {
    RailLine::top_at(subject.job, subject.flight, Length::mm(x)).map_or(0.0, Length::as_mm)
}

/// The view counts from the first riser cut and from what the stringer stands on.
fn place(view: &View, subject: &Subject<'_>, x: f64, y: f64) -> Point {
    let right = subject.job.tread.riser_board.as_mm();
    view.at(x - right, y + subject.flight.base().as_mm())
}

/// Places of texts, those that stand on no post before those that do.
pub(super) fn off_posts(
    view: &View,
    subject: &Subject<'_>,
    mut places: Vec<Vec<Text>>,
) -> Vec<Vec<Text>> {
    let posts: Vec<Bounds> = posts(view, subject).into_iter().filter_map(Bounds::around).collect();
    let is_on = |text: &Text| posts.iter().any(|post| post.touches(text.bounds().grown(0.5)));
    places.sort_by_key(|texts| texts.iter().any(is_on));
    places
}

/// Draws them as what stands beside the part.
pub(super) fn rail(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let (Some(line), Some(asked)) = (RailLine::of(subject.job, subject.flight), subject.job.rail)
    else {
        return;
    };
    for corners in posts(view, subject) {
        canvas.closed(corners.to_vec(), Line::Adjacent);
    }
    let [Some(first), Some(last)] = [line.posts.first(), line.posts.last()] else { return };
    let half = asked.post.as_mm() / 2.0;
    let ends = [first.at.as_mm() - half, last.at.as_mm() + half];
    let [from, to] = ends.map(|x| place(view, subject, x, top_at(subject, x)));
    canvas.line(from, to, Line::Adjacent);
}
