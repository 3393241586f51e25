//! A stair of several flights on sheets of its own: plan, the way up laid out in one line, and the
//! tables of flights, landings and heights.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use super::tables::{Flow, section_rows};
use super::{BLOCK_GAP_MM, FOOT_MM, Paper, framed, room, top_left};
use crate::geometry::{Bounds, Point, Vector};
use crate::output::Stamp;
use crate::output::content::{turn_words, whole_stair as told};
use crate::output::page::{Anchor, Ink, Line, Page, Text, Weight, fit, text_width};
use crate::pipeline::set::{Member, Stairway};
use crate::stair::outline::Outline;
use crate::stair::{Flight, LandingPlace, OneFlight, WholeStair};
use crate::units::{Length, decimal, on_tape};

/// Room round the plan: the heading, the figures on the left and below.
const PLAN_ABOVE_MM: f64 = 12.0;
const PLAN_BELOW_MM: f64 = 19.0;
const PLAN_LEFT_MM: f64 = 14.0;
const PLAN_RIGHT_MM: f64 = 44.0;
/// Room round the way up: heights on the left, the heading above, places below.
const WAY_ABOVE_MM: f64 = 16.0;
const WAY_LEFT_MM: f64 = 44.0;
const WAY_RIGHT_MM: f64 = 40.0;
const WAY_ROW_MM: f64 = 8.0;
/// How much of the upper floor is shown, on the paper.
const FLOOR_MM: f64 = 12.0;
/// Depth that is drawn of a rim whose own is not known, in stair mm.
const RIM_MM: f64 = 184.0;
/// So much larger the way up is drawn alone before it takes a sheet of its own.
const LARGER: f64 = 1.25;
/// The column of tables on a sheet of its own.
const COLUMN_MM: f64 = 185.0;
const COLUMN_GAP_MM: f64 = 8.0;

/// The stair on sheets, on the large paper of the tape in hand where none is asked for.
pub fn whole_stair(of: &Stairway, members: &[Member], paper: Option<Paper>) -> Vec<Page> {
    let paper = paper.unwrap_or_else(Paper::of_tape);
    let sheet = Sheet { of, flights: of.flights(members), paper };
    let canvases = sheet.canvases(members);
    let count = canvases.len();
    let fingerprint =
        Stamp::of_all(&sheet.flights.iter().map(|of| &of.workup).collect::<Vec<_>>()).fingerprint;
    let whole = &of.whole;
    let pages = canvases.into_iter().enumerate().map(|(i, mut canvas)| {
        let foot = room(paper);
        let right = format!("job {fingerprint}, sheet {} of {count}, {}", i + 1, paper.name());
        let taken = text_width(&right, TEXT_MM, Weight::Regular) + 6.0;
        let left = format!(
            "{}. Advice only: local code and licensed practice decide. Figures count, never scale \
            from the print.",
            whole.job.title
        );
        let left = fit(&left, foot.width() - taken, TEXT_MM, Weight::Regular);
        canvas.text(foot.min, Anchor::Start, left);
        canvas.text(Point::new(foot.max.x, foot.min.y), Anchor::End, right);
        let title = format!("{}: the whole stair, sheet {} of {count}", whole.job.title, i + 1);
        framed(canvas, paper, (title, description(whole)))
    });
    pages.collect()
}

fn description(whole: &WholeStair) -> String {
    format!(
        "Plan and way up of a stair of {} flights with {} risers of {}, total rise {}. Made by \
        seatcut {}. Advice only: local code and licensed practice decide.",
        whole.flights.len(),
        whole.risers,
        whole.unit_rise,
        whole.job.rise.total,
        env!("CARGO_PKG_VERSION"),
    )
}

/// Where the two views stand.
enum Arranged {
    /// On one sheet at one scale, the way up below the plan or beside it.
    Together { scale: f64, below: bool },
    /// The way up on a sheet of its own, the plan beside the tables.
    Apart { way: f64, plan: f64 },
}

struct Sheet<'a> {
    of: &'a Stairway,
    flights: &'a [Member],
    paper: Paper,
}

impl Sheet<'_> {
    /// The views and the tables on as many sheets as they need.
    fn canvases(&self, members: &[Member]) -> Vec<Canvas> {
        let (views, beside_tables) = match self.arranged() {
            Arranged::Together { scale, below } => (self.together(scale, below), None),
            Arranged::Apart { way, plan } => (self.way_alone(way), Some(plan)),
        };
        let mut canvases = vec![views];
        canvases.extend(self.tables(members, beside_tables));
        canvases
    }

    /// What makes the way up the larger: both views on one sheet, or it alone on the first and the
    /// plan beside the tables, where the paper has room for both.
    fn arranged(&self) -> Arranged {
        let room = self.room();
        let (plan, way) = (self.plan_size(), self.way_size());
        let both = |scale: f64| {
            let (plan, way) = (plan(scale), way(scale));
            let below = plan.0.max(way.0) <= room.width() && plan.1 + way.1 <= room.height();
            let beside = plan.0 + way.0 <= room.width() && plan.1.max(way.1) <= room.height();
            (below || beside).then_some(Arranged::Together { scale, below })
        };
        let fits = |size: (f64, f64), width: f64| size.0 <= width && size.1 <= room.height();
        let beside_tables = room.width() - COLUMN_MM - COLUMN_GAP_MM;
        let scales = Paper::scales();
        let together = scales.iter().copied().find_map(both);
        let way = scales.iter().copied().find(|scale| fits(way(*scale), room.width()));
        let plan = scales.iter().copied().find(|scale| fits(plan(*scale), beside_tables));
        match (together, way, plan) {
            (Some(Arranged::Together { scale, .. }), Some(way), Some(plan))
                if way * LARGER <= scale && plan <= scale =>
            {
                Arranged::Apart { way, plan }
            }
            (Some(together), ..) => together,
            (None, ..) => Arranged::Together { scale: scales[scales.len() - 1], below: true },
        }
    }

    /// What the views may take of a sheet.
    fn room(&self) -> Bounds {
        let mut room = room(self.paper);
        room.min.y += FOOT_MM;
        room
    }

    /// The plan, and below it or beside it the way up.
    fn together(&self, scale: f64, below: bool) -> Canvas {
        let (mut canvas, corner) = (Canvas::default(), top_left(self.room()));
        self.plan(&mut canvas, scale, corner);
        let plan = self.plan_size()(scale);
        let to = if below { (0.0, -plan.1) } else { (plan.0, 0.0) };
        self.way(&mut canvas, scale, moved(corner, to.0, to.1));
        canvas
    }

    fn way_alone(&self, scale: f64) -> Canvas {
        let mut canvas = Canvas::default();
        self.way(&mut canvas, scale, top_left(self.room()));
        canvas
    }

    fn plan_size(&self) -> impl Fn(f64) -> (f64, f64) + use<> {
        let plan = self.of.whole.plan_box();
        move |scale| {
            (
                PLAN_LEFT_MM + plan.width() / scale + PLAN_RIGHT_MM,
                PLAN_ABOVE_MM + plan.height() / scale + PLAN_BELOW_MM,
            )
        }
    }

    fn way_size(&self) -> impl Fn(f64) -> (f64, f64) + use<> {
        let whole = &self.of.whole;
        let (way, rise) = (whole.way().as_mm(), whole.job.rise.total.as_mm());
        let below = WAY_ROW_MM + 6.0 + longest(places(whole).into_iter().map(|(at, _)| at));
        move |scale| (WAY_LEFT_MM + way / scale + WAY_RIGHT_MM, WAY_ABOVE_MM + rise / scale + below)
    }

    fn plan(&self, canvas: &mut Canvas, scale: f64, corner: Point) {
        let whole = &self.of.whole;
        heading(canvas, corner, "PLAN", scale);
        let all = whole.plan_box();
        let origin = Point::new(
            corner.x + PLAN_LEFT_MM - all.min.x / scale,
            corner.y - PLAN_ABOVE_MM - all.max.y / scale,
        );
        let view = View { scale, origin };
        for (i, landing) in whole.landings.iter().enumerate() {
            boxed(canvas, &view, &landing.plan);
            let depth = on_tape(landing.asked.depth);
            let words = [
                format!("landing {}", i + 1),
                format!("{depth} deep"),
                format!("{} up", on_tape(landing.height)),
            ];
            rows_in(canvas, &view, &landing.plan, &words);
        }
        for (i, flight) in whole.flights.iter().enumerate() {
            treads(canvas, &view, flight, whole.width);
            let words = [
                format!("flight {}", i + 1),
                format!("{} risers", flight.risers),
                format!("{} level", on_tape(flight.going)),
            ];
            rows_in(canvas, &view, &flight.plan_box(whole.width), &words);
        }
        upper_floor(canvas, &view, whole);
        let (low, high) = (view.at(all.min.x, all.min.y), view.at(all.max.x, all.max.y));
        let row = low.y - 7.0;
        between(
            canvas,
            (low, Point::new(high.x, low.y)),
            (Point::new(low.x, row), Point::new(high.x, row)),
        );
        let middle = Point::new((low.x + high.x) / 2.0, row - FIGURE_MM - 1.6);
        canvas.figure(middle, Anchor::Middle, on_tape(Length::mm(all.width())));
        let column = low.x - 5.0;
        between(
            canvas,
            (low, Point::new(low.x, high.y)),
            (Point::new(column, low.y), Point::new(column, high.y)),
        );
        let middle = Point::new(column - 1.6, (low.y + high.y) / 2.0);
        canvas.upright(middle, Anchor::Middle, on_tape(Length::mm(all.height())));
    }

    /// The way up in one line: every flight seen from its right side, every landing as deep as it
    /// is.
    fn way(&self, canvas: &mut Canvas, scale: f64, corner: Point) {
        let whole = &self.of.whole;
        heading(canvas, corner, "THE WAY UP, LAID OUT IN ONE LINE", scale);
        let note =
            "Heights from the finished lower surface, places from the face of the first riser.";
        canvas.text(moved(corner, 0.0, -HEADING_MM - ROW_MM), Anchor::Start, note);
        let rise = whole.job.rise.total.as_mm();
        let origin = Point::new(corner.x + WAY_LEFT_MM, corner.y - WAY_ABOVE_MM - rise / scale);
        let view = View { scale, origin };
        let end = whole.way().as_mm();
        canvas.line(moved(view.at(0.0, 0.0), -9.0, 0.0), view.at(0.0, 0.0), Line::Adjacent);
        canvas.line(view.at(0.0, 0.0), moved(view.at(end, 0.0), FLOOR_MM, 0.0), Line::Adjacent);
        for (flight, member) in whole.flights.iter().zip(self.flights) {
            stringer(canvas, &view, flight, &member.workup.flight, member.workup.outline.as_ref());
            steps(canvas, &view, flight, whole.unit_rise);
        }
        let mut heights = Vec::new();
        for (i, landing) in whole.landings.iter().enumerate() {
            let next = self.flights[i + 1].workup.outline.as_ref();
            let seat = next.map_or(Length::ZERO, Outline::seat_length);
            level(canvas, &view, landing, seat);
            let next = whole.flights[i + 1].along.as_mm();
            let name = format!("landing {}", i + 1);
            let at = view.at((landing.along.as_mm() + next) / 2.0, landing.height.as_mm());
            let rim = landing.asked.rim_depth.map_or(RIM_MM, Length::as_mm);
            let low = view.at(landing.along.as_mm(), (landing.framing.as_mm() - rim).max(0.0));
            let over = |k: i32| {
                let (left, up) = (5.0 * f64::from(k % 8), 2.0 + 4.0 * f64::from(k / 8));
                (moved(at, -left, up), Anchor::Middle)
            };
            let under = |k: i32| {
                let (right, down) = (4.0 + 5.0 * f64::from(k % 8), 4.5 + 4.0 * f64::from(k / 8));
                (moved(low, right, -down), Anchor::Start)
            };
            let words = format!("{name}: the next flight {}", turn_words(landing.asked.turn));
            canvas.place_text(&words, (0..8).map(over).chain((0..32).map(under)));
            heights.extend([landing.framing, landing.height]);
        }
        let floor = view.at(end, rise);
        canvas.line(floor, moved(floor, FLOOR_MM, 0.0), Line::VisibleEdge);
        let aside =
            |k: i32| (moved(floor, FLOOR_MM + 2.0, -1.2 - 3.0 * f64::from(k)), Anchor::Start);
        canvas.place_text("upper finish", (0..4).map(aside));
        heights.extend([whole.job.rise.total - whole.job.head.finish, whole.job.rise.total]);
        heights.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
        heights.dedup_by(|a, b| a.is_within(Length::mm(0.1), *b));
        let foremost = moved(view.at(0.0, 0.0), -9.0, 0.0);
        let mark = |at: Length| Mark {
            offset: at.as_mm() / scale,
            feature: moved(foremost, 0.0, at.as_mm() / scale),
            value: at,
        };
        let marks: Vec<Mark> = heights.into_iter().map(mark).collect();
        running(canvas, Runs::Up, moved(foremost, -4.0, 0.0), foremost, &marks);
        let place = |(at, y): (Length, Length)| Mark {
            offset: at.as_mm() / scale,
            feature: view.at(at.as_mm(), y.as_mm()),
            value: at,
        };
        let marks: Vec<Mark> = places(whole).into_iter().map(place).collect();
        let row = moved(view.at(0.0, 0.0), 0.0, -WAY_ROW_MM);
        running(canvas, Runs::RightLabelsBelow, row, view.at(0.0, 0.0), &marks);
    }

    /// The tables in columns; the plan, where it is asked for, over the columns behind the first of
    /// the first sheet.
    fn tables(&self, members: &[Member], plan: Option<f64>) -> Vec<Canvas> {
        let mut flow = Flow::new(section_rows(&told(self.of, members), COLUMN_MM));
        let mut room = room(self.paper);
        room.min.y += FOOT_MM + BLOCK_GAP_MM;
        let columns =
            ((room.width() + COLUMN_GAP_MM) / (COLUMN_MM + COLUMN_GAP_MM)).floor().max(1.0);
        let mut plan = plan;
        let mut sheets = Vec::new();
        while !flow.is_done() {
            let mut canvas = Canvas::default();
            let taken = plan.take().map_or(0.0, |scale| {
                let corner = moved(top_left(room), COLUMN_MM + COLUMN_GAP_MM, 0.0);
                self.plan(&mut canvas, scale, corner);
                self.plan_size()(scale).1 + BLOCK_GAP_MM
            });
            for i in 0..columns as usize {
                let right = (COLUMN_MM + COLUMN_GAP_MM) * i as f64;
                let corner = moved(top_left(room), right, 0.0);
                let from = if i == 0 { 0.0 } else { taken };
                flow.fill(&mut canvas, corner, COLUMN_MM, (from, room.height()));
            }
            sheets.push(canvas);
        }
        sheets
    }
}

fn heading(canvas: &mut Canvas, corner: Point, name: &str, scale: f64) {
    let title = format!("{name}  1 : {}", decimal(scale, 0));
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
}

/// Where the first and the last riser of each flight stand along the way, but the very first, and
/// how high that is.
fn places(whole: &WholeStair) -> Vec<(Length, Length)> {
    let ends = |flight: &OneFlight| {
        let top = flight.foot + whole.unit_rise * flight.risers as f64;
        [(flight.along, flight.foot), (flight.along + flight.going, top)]
    };
    let mut all: Vec<(Length, Length)> = whole.flights.iter().flat_map(ends).collect();
    all.retain(|(at, _)| *at > Length::ZERO);
    all.dedup_by(|a, b| a.0.is_within(Length::mm(0.1), b.0));
    all
}

fn between(canvas: &mut Canvas, features: (Point, Point), line: (Point, Point)) {
    extension(canvas, features.0, line.0);
    extension(canvas, features.1, line.1);
    dimension_line(canvas, line.0, line.1);
}

fn boxed(canvas: &mut Canvas, view: &View, of: &Bounds) {
    let corners = crate::output::page::corners(of);
    canvas.closed(corners.iter().map(|p| view.at(p.x, p.y)).collect(), Line::VisibleEdge);
}

/// Rows of words in the middle of a box; where that is too small for them, beside it.
fn rows_in(canvas: &mut Canvas, view: &View, of: &Bounds, words: &[String]) {
    let (low, high) = (view.at(of.min.x, of.min.y), view.at(of.max.x, of.max.y));
    let middle = low + (high - low) / 2.0;
    let first = ROW_MM * (words.len() as f64 - 1.0) / 2.0 - TEXT_MM / 2.0;
    let steps =
        [(0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), (0.0, 2.5), (0.0, -2.5), (5.0, 0.0), (-5.0, 0.0)];
    let inside = steps.map(|(x, y)| (moved(middle, x, first + y), Anchor::Middle));
    let right = (0..16).map(|k| {
        let down = TEXT_MM + 0.75 * ROW_MM * f64::from(k);
        (Point::new(high.x + 2.0, high.y - down), Anchor::Start)
    });
    let above = (0..8).map(|k| {
        let up = 2.0 + ROW_MM * f64::from(k) + ROW_MM * (words.len() as f64 - 1.0);
        (Point::new(low.x, high.y + up), Anchor::Start)
    });
    let left = (0..16).map(|k| {
        let down = TEXT_MM + 0.75 * ROW_MM * f64::from(k);
        (Point::new(low.x - 2.0, high.y - down), Anchor::End)
    });
    let block = |(at, anchor): (Point, Anchor)| {
        let row = |(i, words): (usize, &String)| Text {
            anchor,
            ..Text::new(words.as_str(), moved(at, 0.0, -ROW_MM * i as f64), TEXT_MM)
        };
        words.iter().enumerate().map(row).collect()
    };
    canvas
        .place_block(inside.into_iter().chain(right).chain(above).chain(left).map(block).collect());
}

/// The risers of a flight in plan, and the way up.
fn treads(canvas: &mut Canvas, view: &View, flight: &OneFlight, width: Length) {
    let frame = flight.plan;
    let right = Vector::new(frame.ahead.y, -frame.ahead.x) * width.as_mm();
    let run = flight.going.as_mm() / (flight.risers as f64 - 1.0).max(1.0);
    for k in 0..flight.risers {
        let left = frame.left + frame.ahead * (run * k as f64);
        let ends = [left, left + right].map(|p| view.at(p.x, p.y));
        let is_end = k == 0 || k + 1 == flight.risers;
        canvas.line(ends[0], ends[1], if is_end { Line::VisibleEdge } else { Line::Adjacent });
    }
    boxed(canvas, view, &flight.plan_box(width));
    let start = frame.left + right * 0.25;
    let end = start + frame.ahead * flight.going.as_mm();
    let (start, end) = (view.at(start.x, start.y), view.at(end.x, end.y));
    canvas.line(start, end, Line::Centre);
    let back = end - frame.ahead * 3.0;
    let half = Vector::new(-frame.ahead.y, frame.ahead.x) * 0.8;
    canvas.fill(vec![end, back + half, back - half], Ink::Blue);
}

/// The edge of the upper floor behind the last riser.
fn upper_floor(canvas: &mut Canvas, view: &View, whole: &WholeStair) {
    let Some(last) = whole.flights.last() else { return };
    let right = Vector::new(last.plan.ahead.y, -last.plan.ahead.x);
    let left = last.plan.left + last.plan.ahead * last.going.as_mm();
    let ends = [left, left + right * whole.width.as_mm()].map(|p| view.at(p.x, p.y));
    let shown = last.plan.ahead * (FLOOR_MM / 2.0);
    canvas.open(vec![ends[0] + shown, ends[0], ends[1], ends[1] + shown], Line::Adjacent);
    let middle = ends[0] + (ends[1] - ends[0]) / 2.0 + last.plan.ahead * 3.0;
    let place = |k: i32| {
        let at = middle + last.plan.ahead * (1.5 * f64::from(k));
        let anchor = if last.plan.ahead.x > 0.5 {
            Anchor::Start
        } else if last.plan.ahead.x < -0.5 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        (moved(at, 0.0, -TEXT_MM / 2.0), anchor)
    };
    let aside = (0..10).map(|k| {
        let at = view.at(whole.plan_box().max.x, whole.plan_box().max.y);
        (moved(at, 3.0, -4.0 * f64::from(k)), Anchor::Start)
    });
    canvas.place_text("upper floor", (0..6).map(place).chain(aside));
}

/// The stringer of a flight as it stands.
fn stringer(
    canvas: &mut Canvas,
    view: &View,
    place: &OneFlight,
    flight: &Flight,
    outline: Option<&Outline>,
) {
    let Some(outline) = outline.filter(|_| place.job.stringer.has_steps()) else { return };
    let right = (place.along + place.job.tread.riser_board).as_mm();
    let up = (place.foot - flight.base()).as_mm();
    let points = outline.contour().vertices();
    canvas.closed(points.iter().map(|p| view.at(p.x + right, p.y + up)).collect(), Line::Adjacent);
}

/// Risers and treads as they are walked on, faces without their nosings.
fn steps(canvas: &mut Canvas, view: &View, flight: &OneFlight, rise: Length) {
    let mut line = vec![view.at(flight.along.as_mm(), flight.foot.as_mm())];
    let run = flight.going.as_mm() / (flight.risers as f64 - 1.0).max(1.0);
    for k in 1..=flight.risers {
        let x = flight.along.as_mm() + run * (k as f64 - 1.0);
        let y = (flight.foot + rise * k as f64).as_mm();
        line.push(view.at(x, y));
        if k < flight.risers {
            line.push(view.at(x + run, y));
        }
    }
    canvas.open(line, Line::VisibleEdge);
}

/// A landing from the side: its finish, and its framing as deep as its rim.
fn level(canvas: &mut Canvas, view: &View, landing: &LandingPlace, seat: Length) {
    let (from, to) = (landing.along, landing.along + landing.asked.depth);
    let (top, under) = (landing.height.as_mm(), landing.framing.as_mm());
    let rim = landing.asked.rim_depth.map_or(RIM_MM, Length::as_mm);
    canvas.line(view.at(from.as_mm(), top), view.at(to.as_mm(), top), Line::VisibleEdge);
    let begins = (from + landing.framing_back).as_mm();
    // As far as the feet of the next flight stand on it.
    let ends = (to + landing.next_cut + seat).as_mm();
    let low = (under - rim).max(0.0);
    let corners = [(begins, low), (ends, low), (ends, under), (begins, under)];
    canvas.closed(corners.map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
}
