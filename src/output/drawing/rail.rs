//! Posts and rail over the elevation, as far as the job asks for figures of them.

use super::Subject;
use super::canvas::{Canvas, View};
use crate::output::page::Line;
use crate::stair::RailLine;
use crate::units::Length;

/// Top of the rail over the uppermost post, over what the stringer stands on, in mm.
pub(super) fn rail_top(subject: &Subject<'_>) -> Option<f64> {
    let (job, flight) = (subject.job, subject.flight);
    let last = RailLine::of(job, flight)?.posts.last()?.at + job.rail?.post / 2.0;
    Some((RailLine::top_at(job, flight, last)? + flight.base()).as_mm())
}

/// Draws them as what stands beside the part.
pub(super) fn rail(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let (job, flight) = (subject.job, subject.flight);
    let (Some(line), Some(asked)) = (RailLine::of(job, flight), job.rail) else { return };
    // The view counts from the first riser cut and from what the stringer stands on.
    let right = job.tread.riser_board.as_mm();
    let base = flight.base().as_mm();
    let place = |x: f64, y: f64| view.at(x - right, y + base);
    let top = |x: f64| RailLine::top_at(job, flight, Length::mm(x)).map_or(0.0, Length::as_mm);
    let half = asked.post.as_mm() / 2.0;
    for post in &line.posts {
        let (left, right) = (post.at.as_mm() - half, post.at.as_mm() + half);
        let low = top(post.at.as_mm()) - post.over_lower_edge.as_mm();
        let corners = [(left, low), (right, low), (right, top(right)), (left, top(left))];
        canvas.closed(corners.map(|(x, y)| place(x, y)).to_vec(), Line::Adjacent);
    }
    let [Some(first), Some(last)] = [line.posts.first(), line.posts.last()] else { return };
    let (from, to) = (first.at.as_mm() - half, last.at.as_mm() + half);
    canvas.line(place(from, top(from)), place(to, top(to)), Line::Adjacent);
}
