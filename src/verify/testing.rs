//! Small programs and drawings for the tests, written by hand: a path from plain geometry, words by
//! `format!`. The stair is invented.

use super::expectation::{DeclaredTab, Expectation, Hole, Laid, Piece, Placements, StockBox, Tabs};
use super::levels::Levels;
use super::together::verify_program;
use super::verdict::Verdict;
use crate::diagnostics::Finding;
use crate::geometry::{
    Contour, Placement, Point, Segment, Turn, Vector, corners, distance_to_segment, inset_sharp,
};
use crate::job::{Corners, Follow, Job, Makes, read_job};
use crate::profile::Form;
use crate::stair::outline::{Outline, Role};
use crate::stair::{Flight, chosen_count};
use crate::units::decimal;

/// What a program's text comes to.
pub(super) fn verdict(text: &str, e: &Expectation<'_>) -> Verdict {
    verify_program(text.as_bytes(), "p.nc", e).unwrap()
}

/// The codes of what was found, in order.
pub(super) fn codes(found: &[Finding]) -> Vec<&'static str> {
    found.iter().map(|finding| finding.code.name()).collect()
}

const JOB: &str = r#"
title = "Test steps"
rules = "us-irc-2021"
[rise]
total = "22 in"
risers = 3
[tread]
cut = "10 1/4 in"
overhang = "1 in"
thickness = "1 in"
riser_board = "3/4 in"
[head]
meets = "one-down"
finish = "1 in"
[foot.tie_plate]
width = "3 1/2 in"
height = "1 1/2 in"
set_back = "2 in"
clearance = "1/16 in"
[board]
width = "11 1/4 in"
thickness = "1 1/2 in"
[cut]
makes = "pattern"
machine = "router-table"
material = "hardboard-6"
"#;

/// A flight of two treads with a plate notch that has two inside corners.
pub(super) fn job() -> Job {
    job_on("router-table")
}

pub(super) fn job_on(machine: &str) -> Job {
    job_of(machine, 3)
}

pub(super) fn job_of(machine: &str, risers: usize) -> Job {
    let text =
        JOB.replace("router-table", machine).replace("risers = 3", &format!("risers = {risers}"));
    let text = text.replace("22 in", &format!("{} in", 22 * risers / 3));
    let mut job =
        read_job("test.toml", &text, &|_| unreachable!("the test job names profiles only"))
            .unwrap();
    // The programs of these tests go down in arcs.
    job.cut.machine.words.helices = true;
    job
}

/// The expectation of a job's part, its box 60 mm from the corner of the material.
pub(super) fn expectation(job: &Job, choice: Corners) -> Expectation<'_> {
    let (risers, _) = chosen_count(job);
    let outline = Outline::new(&Flight::new(job, risers), job.plate()).unwrap();
    let material = &job.cut.material;
    let inset = match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Follow::Edge.inset(),
    };
    let stock = StockBox {
        length_mm: material.length.as_mm(),
        width_mm: material.width.as_mm(),
        thickness_mm: material.thickness.as_mm(),
    };
    let piece =
        Piece::new("stringer", outline.in_board_frame(), choice, Placements::Given(vec![home()]));
    Expectation::of(Piece { inset, ..piece }, &job.cut.machine, stock, Form::Sheet)
}

pub(super) fn home() -> Placement {
    Placement::translation(60.0, 60.0)
}

/// The path of the first piece.
pub(super) fn path(e: &Expectation<'_>) -> Vec<Segment> {
    path_of(e, &e.pieces[0])
}

/// The tool centre's path in the board frame, from the start of the lower edge, reliefs walked out
/// and back.
fn path_of(e: &Expectation<'_>, piece: &Piece) -> Vec<Segment> {
    let inset = piece.inset.as_mm();
    let part =
        if inset > 0.0 { inset_sharp(&piece.part, inset).unwrap() } else { piece.part.clone() };
    let r = e.machine.tool_radius().as_mm() + piece.left.as_mm();
    let corners = corners(&part);
    let tread = part.edges().iter().find(|edge| edge.role == Role::Tread(1));
    let level = tread.map_or(Vector::new(-1.0, 0.0), |edge| edge.segment.direction_at(0.0));
    let first = part.edges().iter().position(|edge| edge.role == Role::LowerEdge).unwrap();
    let mut path = Vec::new();
    for step in 0..corners.len() {
        let (i, next) = ((first + step) % corners.len(), (first + step + 1) % corners.len());
        let (corner, after) = (&corners[i], &corners[next]);
        let from =
            if corner.is_inside() { corner.mitre(r) } else { corner.at + corner.normal_after * r };
        let to =
            if after.is_inside() { after.mitre(r) } else { after.at + after.normal_before * r };
        path.push(Segment::Line { from, to });
        if !after.is_inside() {
            let end = after.at + after.normal_after * r;
            path.push(Segment::Arc { from: to, to: end, center: after.at, turn: Turn::Left });
            continue;
        }
        let upright = |normal: Vector| normal.dot(&level).abs() > 0.5;
        let (of_level, of_upright) = if upright(after.normal_before) {
            (after.normal_after, after.normal_before)
        } else {
            (after.normal_before, after.normal_after)
        };
        let reach = match piece.corners {
            Corners::Fillet => continue,
            Corners::Bisector => after.bisector(),
            Corners::Riser => of_level,
            Corners::Tread => of_upright,
        };
        let spur = Segment::Line { from: to, to: after.at + reach * r };
        path.extend([spur, spur.reversed()]);
    }
    path
}

/// The path where the part lies.
pub(super) fn placed_path(e: &Expectation<'_>) -> Vec<Segment> {
    path(e).iter().map(|segment| segment.placed(&home())).collect()
}

/// Length and height of the test tabs; the last 4 mm of the length come down as a ramp.
pub(super) const TAB: (f64, f64) = (18.0, 2.0);

/// Three tabs along the lower edge, declared as the program leaves them.
pub(super) fn tabs(e: &Expectation<'_>) -> Vec<DeclaredTab> {
    tabs_on(&placed_path(e), [60.0, 160.0, 260.0])
}

/// Tabs along the first line of a path.
fn tabs_on(path: &[Segment], places: [f64; 3]) -> Vec<DeclaredTab> {
    let at = |mm: f64| path[0].point_at(mm / path[0].length());
    let tab = |mm: f64| DeclaredTab::even(at(mm), TAB.0, TAB.1);
    places.map(tab).to_vec()
}

/// The path of every copy where it lies.
pub(super) fn placed_paths(e: &Expectation<'_>) -> Vec<Vec<Segment>> {
    let laid = e.laid().unwrap();
    let path = |copy: &Laid| {
        path_of(e, &e.pieces[copy.piece]).iter().map(|s| s.placed(&copy.placement)).collect()
    };
    laid.iter().map(path).collect()
}

/// With three tabs declared along the lower edge of every copy.
pub(super) fn tied(mut e: Expectation<'_>) -> Expectation<'_> {
    let tabs =
        placed_paths(&e).iter().flat_map(|path| tabs_on(path, [60.0, 160.0, 260.0])).collect();
    e.tabs = Tabs::Declared(tabs);
    e
}

/// Writes words in the machine's unit.
struct Writer {
    unit: f64,
    places: usize,
    lines: Vec<String>,
}

impl Writer {
    fn say(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }

    fn mm(&self, value: f64) -> String {
        decimal(value / self.unit, self.places)
    }

    /// I and J on the grid of the last digit, those of the nine nearest that agree best with both
    /// printed ends.
    fn centre(&self, from: Point, to: Point, center: Point) -> [String; 2] {
        let digit = self.unit * 10_f64.powi(-i32::try_from(self.places).unwrap());
        let grid = |p: Point| Point::new((p.x / digit).round(), (p.y / digit).round());
        let (from, to, center) = (grid(from), grid(to), grid(center));
        let around =
            (-1..=1).flat_map(|x| (-1..=1).map(move |y| Vector::new(f64::from(x), f64::from(y))));
        let off = |by: &Vector| ((center + by - from).norm() - (center + by - to).norm()).abs();
        let best = around.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap();
        let out = center + best - from;
        [out.x, out.y].map(|steps| self.mm(steps * digit))
    }

    fn along(&mut self, segment: &Segment, z: Option<f64>) {
        let (to, height) = (segment.to(), z.map_or(String::new(), |z| format!(" Z{}", self.mm(z))));
        let end = format!("X{} Y{}{height}", self.mm(to.x), self.mm(to.y));
        match *segment {
            Segment::Line { .. } => self.say(format!("G1 {end}")),
            Segment::Arc { from, center, turn, .. } => {
                let word = if turn == Turn::Left { "G3" } else { "G2" };
                let [i, j] = self.centre(from, to, center);
                self.say(format!("{word} {end} I{i} J{j}"));
            }
        }
    }
}

fn writer(e: &Expectation<'_>) -> Writer {
    let machine = e.machine;
    let mut w = Writer { unit: machine.units.in_mm(), places: machine.decimals, lines: Vec::new() };
    for word in
        [if w.unit > 1.0 { "G20" } else { "G21" }, "G17", "G40", "G49", "G54", "G80", "G90", "G94"]
    {
        w.say(word);
    }
    w
}

/// A program of two passes for a router, entered by a ramp on the lower edge, three tabs left in
/// the second pass.
pub(super) fn router_program(e: &Expectation<'_>) -> String {
    let mut w = writer(e);
    let levels = Levels::new(e);
    w.spin_up(e, &levels);
    w.cut_out(e, &placed_path(e), &tabs(e), &levels);
    w.finish(e)
}

/// A program of everything expected: pin holes, holes, then every copy with the declared tabs on
/// its path.
pub(super) fn sheet_program(e: &Expectation<'_>) -> String {
    let Tabs::Declared(tabs) = &e.tabs else { panic!("declared tabs") };
    let mut w = writer(e);
    let levels = Levels::new(e);
    w.spin_up(e, &levels);
    let laid = e.laid().unwrap();
    let holes = laid.iter().flat_map(|copy| {
        let placed = |hole: &Hole| Hole { center: copy.placement * hole.center, ..*hole };
        e.pieces[copy.piece].holes.iter().map(placed)
    });
    for hole in e.pins.iter().map(|pin| pin.hole).chain(holes) {
        w.bore(e, hole, &levels);
    }
    for path in placed_paths(e) {
        w.cut_out(e, &path, tabs, &levels);
    }
    w.finish(e)
}

/// A program for each set-up: it cuts what lies on its side of `x`, at the shift that it is given.
pub(super) fn shifted_programs(e: &Expectation<'_>, x: f64, shifts: [Vector; 2]) -> [String; 2] {
    let Tabs::Declared(tabs) = &e.tabs else { panic!("declared tabs") };
    let levels = Levels::new(e);
    [0, 1].map(|side| {
        let shift = shifts[side];
        let mut w = writer(e);
        w.spin_up(e, &levels);
        let to_machine = Placement::translation(shift.x, shift.y);
        let tabs: Vec<_> = tabs
            .iter()
            .map(|tab| DeclaredTab { at: to_machine * tab.at, top: to_machine * tab.top, ..*tab })
            .collect();
        for run in runs(&placed_path(e), x, side) {
            let run: Vec<Segment> = run.iter().map(|segment| segment.placed(&to_machine)).collect();
            w.cut_open(e, &run, &tabs, &levels);
        }
        w.finish(e)
    })
}

/// The stretches of a path left (0) or right (1) of `x`; it crosses there on lines only.
fn runs(path: &[Segment], x: f64, side: usize) -> Vec<Vec<Segment>> {
    let mut runs: Vec<Vec<Segment>> = vec![Vec::new()];
    for segment in path {
        let (a, b) = (segment.from().x - x, segment.to().x - x);
        let share = a / (a - b);
        let pieces = if a * b < 0.0 {
            vec![segment.piece(0.0, share), segment.piece(share, 1.0)]
        } else {
            vec![*segment]
        };
        for piece in pieces {
            if usize::from(piece.point_at(0.5).x > x) == side {
                runs.last_mut().unwrap().push(piece);
            } else if !runs.last().unwrap().is_empty() {
                runs.push(Vec::new());
            }
        }
    }
    runs.retain(|run| !run.is_empty());
    runs
}

impl Writer {
    fn spin_up(&mut self, e: &Expectation<'_>, levels: &Levels) {
        let router = e.machine.tool.cutter().unwrap();
        self.say(format!("G0 Z{}", self.mm(levels.safe)));
        self.say(format!("M3 S{}", router.speed_rpm));
        self.say(format!("G4 P{}", router.spin_up_s));
    }

    /// Straight over `start` and down to `z` at a quarter of the feed.
    fn enter(&mut self, e: &Expectation<'_>, start: Point, z: f64) {
        let router = e.machine.tool.cutter().unwrap();
        self.say(format!("G0 X{} Y{}", self.mm(start.x), self.mm(start.y)));
        self.say(format!(
            "G1 Z{} F{}",
            self.mm(z),
            decimal(router.feed_mm_min() / 4.0 / self.unit, 1)
        ));
    }

    /// As slowly as a cutter goes straight down.
    fn slow(&mut self, e: &Expectation<'_>) {
        let router = e.machine.tool.cutter().unwrap();
        self.say(format!("F{}", decimal(router.plunge_feed_mm_min / self.unit, 1)));
    }

    fn feed(&mut self, e: &Expectation<'_>) {
        let router = e.machine.tool.cutter().unwrap();
        self.say(format!("F{}", decimal(router.feed_mm_min() / self.unit, 1)));
    }

    fn ramp(&mut self, segment: &Segment, from: f64, to: f64) {
        let ramp = segment.piece(0.0, (40.0 / segment.length()).min(1.0));
        self.along(&ramp, Some(f64::midpoint(from, to)));
        self.along(&ramp.reversed(), Some(to));
    }

    fn passes(levels: &Levels) -> [(f64, f64); 2] {
        let middle = f64::midpoint(levels.top, levels.floor);
        [(levels.top, middle), (middle, levels.floor)]
    }

    fn round(
        &mut self,
        e: &Expectation<'_>,
        path: &[Segment],
        tabs: &[DeclaredTab],
        levels: &Levels,
    ) {
        for segment in path {
            let on = tabs.iter().filter(|tab| distance_to_segment(tab.at, segment) < 1e-6);
            let mut on: Vec<DeclaredTab> = on.copied().collect();
            on.sort_by(|a, b| {
                (a.at - segment.from()).norm().total_cmp(&(b.at - segment.from()).norm())
            });
            if on.is_empty() {
                self.along(segment, None);
            } else {
                tabbed(self, e, segment, &on, levels);
            }
        }
    }

    fn cut_out(
        &mut self,
        e: &Expectation<'_>,
        path: &[Segment],
        tabs: &[DeclaredTab],
        levels: &Levels,
    ) {
        self.enter(e, path[0].from(), levels.top);
        for (pass, (from, to)) in Self::passes(levels).into_iter().enumerate() {
            if pass > 0 {
                self.slow(e);
            }
            self.ramp(&path[0], from, to);
            self.feed(e);
            self.round(e, path, if pass == 0 { &[] } else { tabs }, levels);
        }
        self.say(format!("G0 Z{}", self.mm(levels.safe)));
    }

    /// A path that does not close: lifted and entered anew for every pass.
    fn cut_open(
        &mut self,
        e: &Expectation<'_>,
        path: &[Segment],
        tabs: &[DeclaredTab],
        levels: &Levels,
    ) {
        for (pass, (from, to)) in Self::passes(levels).into_iter().enumerate() {
            self.enter(e, path[0].from(), from);
            self.ramp(&path[0], from, to);
            self.feed(e);
            self.round(e, path, if pass == 0 { &[] } else { tabs }, levels);
            self.say(format!("G0 Z{}", self.mm(levels.safe)));
        }
    }

    /// Down a helix of two turns, then once round.
    fn bore(&mut self, e: &Expectation<'_>, hole: Hole, levels: &Levels) {
        let out = Vector::new(hole.radius_mm - e.machine.tool_radius().as_mm(), 0.0);
        let (a, b) = (hole.center + out, hole.center - out);
        let half = |from, to| Segment::Arc { from, to, center: hole.center, turn: Turn::Left };
        self.enter(e, a, levels.top);
        for step in 1..=6 {
            let z = levels.top + (levels.floor - levels.top) * (f64::from(step) / 4.0).min(1.0);
            self.along(&if step % 2 == 1 { half(a, b) } else { half(b, a) }, Some(z));
        }
        self.say(format!("G0 Z{}", self.mm(levels.safe)));
    }

    fn finish(mut self, e: &Expectation<'_>) -> String {
        self.say("M5");
        self.say(format!("{:?}", e.machine.end));
        self.lines.join("\n") + "\n"
    }
}

/// The same program, but that it has the tool brought over its first place before it starts.
pub(super) fn begun(text: &str) -> String {
    let first = text.lines().find(|line| line.starts_with("G0 X")).unwrap();
    let words: Vec<&str> = first.split(' ').collect();
    let [x, y] = [&words[1][1..], &words[2][1..]];
    text.replacen(first, &format!("(TOOL OVER X {x} Y {y})\n{first}"), 1)
}

/// A program that makes the marks of every copy and nothing else.
pub(super) fn marks_program(e: &Expectation<'_>) -> String {
    let mut w = writer(e);
    let levels = Levels::new(e);
    w.spin_up(e, &levels);
    for copy in e.laid().unwrap() {
        let Some(marks) = e.pieces[copy.piece].task.marks() else { continue };
        for stroke in &marks.strokes {
            let points: Vec<Point> = stroke.iter().map(|p| copy.placement * p).collect();
            w.enter(e, points[0], levels.top - marks.depth_mm);
            for pair in points.windows(2) {
                w.along(&Segment::Line { from: pair[0], to: pair[1] }, None);
            }
            w.say(format!("G0 Z{}", w.mm(levels.safe)));
        }
    }
    w.finish(e)
}

fn tabbed(
    w: &mut Writer,
    e: &Expectation<'_>,
    edge: &Segment,
    tabs: &[DeclaredTab],
    levels: &Levels,
) {
    let share = |mm: f64| mm / edge.length();
    let mut done = 0.0;
    for tab in tabs {
        let middle = (tab.at - edge.from()).norm();
        let half = tab.length_mm / 2.0;
        let (start, end) = (share(middle - half), share(middle + half));
        let ramp = end - share(4.0);
        w.along(&edge.piece(done, start), None);
        w.say(format!("Z{}", w.mm(levels.bottom + TAB.1)));
        w.along(&edge.piece(start, ramp), None);
        w.slow(e);
        w.along(&edge.piece(ramp, end), Some(levels.floor));
        w.feed(e);
        done = end;
    }
    w.along(&edge.piece(done, 1.0), None);
}

/// A program for a laser with a lead from the waste below the lower edge.
pub(super) fn laser_program(e: &Expectation<'_>) -> String {
    let laser = e.machine.tool.beam().unwrap();
    let mut w = writer(e);
    let path = placed_path(e);
    let start = path[0].from();
    let direction = path[0].direction_at(0.0);
    let lead = start + Vector::new(direction.y, -direction.x) * laser.lead.as_mm();
    w.say(format!("{:?} S0", e.machine.beam_word(laser)));
    w.say(format!("G0 X{} Y{}", w.mm(lead.x), w.mm(lead.y)));
    w.say(format!("S{}", laser.full_power));
    w.say(format!("G1 X{} Y{} F{}", w.mm(start.x), w.mm(start.y), laser.feed_mm_min));
    path.iter().for_each(|segment| w.along(segment, None));
    w.say("S0");
    w.say("G0 X0.000 Y0.000");
    w.say("M5");
    w.say(format!("{:?}", e.machine.end));
    w.lines.join("\n") + "\n"
}

/// A drawing with one polyline on a layer; coordinates in `unit_mm`, the unit said by `$INSUNITS`.
pub(super) fn drawing(segments: &[Segment], layer: &str, unit_mm: f64, insunits: u8) -> String {
    let mut out = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{insunits}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    );
    out += &format!("0\nLWPOLYLINE\n8\n{layer}\n90\n{}\n70\n1\n", segments.len());
    for segment in segments {
        let p: Point = segment.from();
        out += &format!(
            "10\n{:.9}\n20\n{:.9}\n42\n{:.12}\n",
            p.x / unit_mm,
            p.y / unit_mm,
            segment.bulge()
        );
    }
    out + "0\nENDSEC\n0\nEOF\n"
}

/// The same as loose lines.
pub(super) fn loose_drawing(segments: &[Segment]) -> String {
    let mut out =
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
            .to_string();
    for segment in segments {
        let (a, b) = (segment.from(), segment.to());
        out += &format!(
            "0\nLINE\n8\nOUTLINE\n10\n{:.6}\n20\n{:.6}\n11\n{:.6}\n21\n{:.6}\n",
            a.x, a.y, b.x, b.y
        );
    }
    out + "0\nENDSEC\n0\nEOF\n"
}

/// The sharp edges of a part.
pub(super) fn edges(part: &Contour<Role>) -> Vec<Segment> {
    part.edges().iter().map(|edge| edge.segment).collect()
}
