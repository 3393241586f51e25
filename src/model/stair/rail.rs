//! Where posts and balusters stand along a flight and how high the rail runs: figures to set them
//! by, no design of a guard.
//!
//! A post stands at the stringer's outer face with its middle over the middle of a tread cut, so
//! that it keeps as far as it can from the notch corners at both ends of that cut, where the least
//! board is left. On a solid board it stands as near to there as it lies flat between the fasteners
//! of the cleats, which go through to that face. Between posts balusters stand evenly. Geometry;
//! where posts go: common practice, no source.

use super::Flight;
use super::headroom::fall;
use super::outline::{Cleat, Met, PlumbLine};
use crate::job::{Cleated, Job, Rail};
use crate::profile::ON_THE_LIMIT;
use crate::units::Length;

/// Counts that are a whole number but for this are that number: the rounding of a double.
const WHOLE: f64 = 1e-9;

/// A post.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Post {
    /// Over which tread, counted from 1 at the foot.
    pub tread: usize,
    /// Its middle, level from the face of the first riser.
    pub at: Length,
    /// Top of the rail there, over that tread's top, plumb.
    pub over_tread: Length,
    /// Top of the rail there, over the stringer's lower edge, or over the finished floor where the
    /// stringer stands on it, plumb.
    pub over_lower_edge: Length,
    /// Where its middle is marked on the upper edge of a solid board or on its level cut at the
    /// head; none on another stringer.
    pub mark: Option<Met>,
}

/// Between two posts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bay {
    /// The treads of the two posts.
    pub treads: (usize, usize),
    /// Level, from face to face.
    pub clear: Length,
    /// How many balusters stand in it.
    pub balusters: usize,
    /// Each opening, level.
    pub gap: Length,
}

impl Bay {
    /// The near side of every baluster, level from the face of the lower post.
    pub fn marks(&self, baluster: Length) -> Vec<Length> {
        let step = self.gap + baluster;
        (0..self.balusters).map(|i| self.gap + step * i as f64).collect()
    }
}

/// The rail of a flight.
#[derive(Clone, Debug, PartialEq)]
pub struct RailLine {
    /// From one post to the next, along the rake, per level length.
    pub rake_rad: f64,
    /// Top of the rail over the line through the nosings, square to it.
    pub square_height: Length,
    /// From a post's side to the next notch corner, level; less than nothing where it covers one.
    /// None on a board without notches.
    pub off_corner: Option<Length>,
    /// From a post's side to the middle of the next hole of a cleat, level, the least of all posts;
    /// less than nothing where it covers one. None where there are no such holes.
    pub off_holes: Option<Length>,
    /// The posts, from the foot.
    pub posts: Vec<Post>,
    /// What is between them.
    pub bays: Vec<Bay>,
}

impl RailLine {
    /// That of a job, where it asks for one.
    pub fn of(job: &Job, flight: &Flight) -> Option<Self> {
        let rail = job.rail?;
        let through = Through::of(job, flight);
        let place = |tread| (tread, through.place(job, flight, &rail, tread));
        let places: Vec<(usize, Length)> = (1..=flight.treads).map(place).collect();
        let treads = posts_on(flight, &rail, &places);
        let stands = |tread: &usize| post(job, flight, &rail, places[tread - 1]);
        let posts: Vec<Post> = treads.iter().map(stands).collect();
        let bays = posts.windows(2).map(|pair| bay(&rail, &pair[0], &pair[1])).collect();
        let run = flight.unit_run.min(flight.top_tread_cut);
        Some(Self {
            rake_rad: flight.pitch_rad(),
            square_height: rail.height * flight.pitch_rad().cos(),
            off_corner: job.stringer.has_steps().then(|| (run - rail.post) / 2.0),
            off_holes: posts.iter().filter_map(|of| through.off(&rail, of.at)).reduce(Length::min),
            posts,
            bays,
        })
    }

    /// How far the posts stand apart at most, level, middle to middle.
    pub fn most_apart(&self) -> Length {
        let apart = self.posts.windows(2).map(|pair| pair[1].at - pair[0].at);
        apart.fold(Length::ZERO, Length::max)
    }

    /// Top of the rail over the finished lower surface, so far behind the face of the first riser.
    pub fn top_at(job: &Job, flight: &Flight, at: Length) -> Option<Length> {
        Some(nosing_line(job, flight, at) + job.rail?.height)
    }
}

/// The line through the finished nosings over the finished lower surface, so far behind the face of
/// the first riser.
fn nosing_line(job: &Job, flight: &Flight, at: Length) -> Length {
    let slope = flight.unit_rise.as_mm() / flight.unit_run.as_mm();
    flight.unit_rise + (at + job.tread.overhang) * slope
}

/// The treads that posts stand over: the first, the last, and as many between them as the spacing
/// asks for, evenly. Posts that give way to fasteners may come to stand farther apart than their
/// treads: then as many more as bring them within it, where any do.
fn posts_on(flight: &Flight, rail: &Rail, places: &[(usize, Length)]) -> Vec<usize> {
    let steps = flight.treads - 1;
    if steps == 0 {
        return vec![1];
    }
    let apart = rail.most_apart.as_mm() / flight.unit_run.as_mm() + WHOLE;
    let at_most = (apart.floor() as usize).max(1);
    let fewest = steps.div_ceil(at_most);
    // Rounded evenly: no span is longer than the longest that is allowed.
    let over = |spans: usize| -> Vec<usize> {
        (0..=spans).map(|i| 1 + (i * steps + spans / 2) / spans).collect()
    };
    let limit = rail.most_apart + Length::mm(ON_THE_LIMIT);
    let keeps = |treads: &Vec<usize>| {
        treads.windows(2).all(|of| places[of[1] - 1].1 - places[of[0] - 1].1 <= limit)
    };
    (fewest..=steps).map(over).find(keeps).unwrap_or_else(|| over(fewest))
}

fn apart(a: Length, b: Length) -> Length {
    (a - b).max(b - a)
}

/// The middle of the tread cut, level from the face of the first riser, and half of the cut.
fn middle(job: &Job, flight: &Flight, tread: usize) -> (Length, Length) {
    let cut = if tread == flight.treads { flight.top_tread_cut } else { flight.unit_run };
    (flight.nose_x(tread) + cut / 2.0 + job.tread.riser_board, cut / 2.0)
}

/// What goes through a stringer to its outer face, where posts stand: the fasteners of cleats.
struct Through {
    /// Their middles, level from the face of the first riser.
    holes: Vec<Length>,
    /// From the middle of one to the edge of its head or nut: a head is two diameters wide (common
    /// practice, no source).
    head: Length,
}

impl Through {
    /// Those of a job; no others than a cleated stringer has any.
    fn of(job: &Job, flight: &Flight) -> Self {
        let of = |cleated: &Cleated| {
            let cleats = Cleat::all(job, flight, cleated);
            let level = |p: &crate::geometry::Point| Length::mm(p.x) + job.tread.riser_board;
            cleats.iter().flat_map(|cleat| cleat.holes.iter().map(level)).collect()
        };
        let cleated = job.stringer.cleated();
        Self {
            holes: cleated.map_or_else(Vec::new, of),
            head: cleated.map_or(Length::ZERO, |of| of.hole),
        }
    }

    /// From a post's side to the middle of the next hole.
    fn off(&self, rail: &Rail, at: Length) -> Option<Length> {
        let next = self.holes.iter().map(|hole| apart(*hole, at)).reduce(Length::min)?;
        Some(next - rail.post / 2.0)
    }

    /// Whether a post there lies flat.
    fn is_clear(&self, rail: &Rail, at: Length) -> bool {
        self.off(rail, at).is_none_or(|off| off > self.head - Length::mm(WHOLE))
    }

    /// Where the middle of a post stands: as near to the middle of its tread cut as it lies flat
    /// and over that cut; where it does nowhere, in the middle.
    fn place(&self, job: &Job, flight: &Flight, rail: &Rail, tread: usize) -> Length {
        let (middle, half) = middle(job, flight, tread);
        let off = rail.post / 2.0 + self.head;
        let is_near = |hole: &&Length| apart(**hole, middle) <= half + off * 2.0;
        let holes: Vec<Length> = self.holes.iter().filter(is_near).copied().collect();
        let near = Self { holes, ..*self };
        let beside = near.holes.iter().flat_map(|hole| [*hole - off, *hole + off]);
        // All of it stands over the cut, and so against the board.
        let room = (half - rail.post / 2.0).max(Length::ZERO);
        let places = beside.filter(|at| apart(*at, middle) <= room).chain([middle]);
        let clear = places.filter(|at| near.is_clear(rail, *at));
        let nearest = clear.reduce(|a, b| if apart(b, middle) < apart(a, middle) { b } else { a });
        nearest.unwrap_or(middle)
    }
}

fn post(job: &Job, flight: &Flight, rail: &Rail, (tread, at): (usize, Length)) -> Post {
    let top = nosing_line(job, flight, at) + rail.height;
    let x = at - job.tread.riser_board;
    let plumb = job.stringer.cleated().map(|of| PlumbLine::of(job, flight, of, x));
    // Where the seat stands there is no lower edge: the finished floor itself, or the ground there.
    let floor = at * fall(job);
    let lower_edge = plumb.map_or_else(|| flight.lower_edge_y(x), |plumb| plumb.lower);
    let is_seat = plumb.is_some_and(|plumb| plumb.lower <= Length::ZERO);
    let lower_edge = if is_seat { floor } else { (lower_edge - flight.base()).max(floor) };
    Post {
        tread,
        at,
        over_tread: top - flight.unit_rise * tread as f64,
        over_lower_edge: top - lower_edge,
        mark: plumb.map(|plumb| plumb.met),
    }
}

fn bay(rail: &Rail, lower: &Post, upper: &Post) -> Bay {
    let treads = (lower.tread, upper.tread);
    let clear = (upper.at - lower.at - rail.post).max(Length::ZERO);
    let Some(baluster) = rail.baluster else {
        return Bay { treads, clear, balusters: 0, gap: clear };
    };
    // n balusters leave n + 1 openings.
    let wanted = (clear - rail.most_gap).as_mm() / (baluster + rail.most_gap).as_mm();
    let balusters = (wanted - WHOLE).ceil().max(0.0) as usize;
    let gap = (clear - baluster * balusters as f64) / (balusters + 1) as f64;
    Bay { treads, clear, balusters, gap }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::read_job;

    fn rail(treads: usize, keys: &str) -> (Job, Flight, RailLine) {
        // An invented stair of runs of 10 in and risers of 7 1/2 in, treads and riser boards of 1
        // in.
        let risers = treads + 1;
        let text = format!(
            "rules = \"us-irc-2021\"\n[rise]\ntotal = \"{} in\"\nrisers = {risers}\n[tread]\ncut \
                = \"10 in\"\noverhang = \"1 in\"\n\
             thickness = \"1 in\"\nriser_board = \"1 in\"\n[head]\nfinish = \"1 \
             in\"\n[board]\nwidth = \"11 1/4 in\"\n\
             thickness = \"1 1/2 in\"\n[rail]\n{keys}",
            7.5 * risers as f64
        );
        let job = read_job("job.toml", &text, &|path| panic!("{path}")).unwrap();
        let flight = Flight::new(&job, risers);
        let line = RailLine::of(&job, &flight).unwrap();
        (job, flight, line)
    }

    #[test]
    fn posts_stand_over_the_middle_of_treads_no_further_apart_than_asked() {
        let keys = "height = \"36 in\"\npost = \"3 1/2 in\"\nmost_apart = \"40 in\"";
        let (_, _, line) = rail(10, keys);
        let treads: Vec<usize> = line.posts.iter().map(|post| post.tread).collect();
        assert_eq!(treads, [1, 4, 7, 10]);
        // Its middle 5 in into the cut, an inch of riser board before it: half way up the step.
        assert!((line.posts[0].at.as_inches() - 6.0).abs() < 1e-9);
        assert!((line.off_corner.unwrap().as_inches() - 3.25).abs() < 1e-9);
        // 7 in from the nosing the line has risen 5 1/4 in over the tread.
        assert!((line.posts[0].over_tread.as_inches() - (5.25 + 36.0)).abs() < 1e-9);
        for treads in 1..30 {
            for apart in [5.0_f64, 10.0, 25.0, 40.0, 72.0] {
                let keys =
                    format!("height = \"36 in\"\npost = \"3 1/2 in\"\nmost_apart = \"{apart} in\"");
                let (_, flight, line) = rail(treads, &keys);
                assert_eq!(line.posts.last().unwrap().tread, flight.treads);
                let steps = line.posts.windows(2).map(|pair| pair[1].tread - pair[0].tread);
                assert!(steps.into_iter().all(|step| step as f64 * 10.0 <= apart.max(10.0)));
            }
        }
    }

    #[test]
    fn balusters_leave_openings_alike_and_none_wider_than_asked() {
        let keys = "height = \"36 in\"\npost = \"3 1/2 in\"\nmost_apart = \"60 in\"\nbaluster \
            = \"1 \
            1/2 in\"\nmost_gap = \"4 in\"";
        let (job, _, line) = rail(13, keys);
        for bay in &line.bays {
            let rail = job.rail.unwrap();
            assert!(bay.gap <= rail.most_gap + Length::mm(1e-6), "{bay:?}");
            // One less would not do.
            let less = (bay.clear - Length::inches(1.5) * (bay.balusters as f64 - 1.0))
                / bay.balusters as f64;
            assert!(less > rail.most_gap, "{bay:?}");
            let marks = bay.marks(Length::inches(1.5));
            let last = *marks.last().unwrap() + Length::inches(1.5) + bay.gap;
            assert!(last.is_within(Length::mm(1e-6), bay.clear));
        }
    }
}
