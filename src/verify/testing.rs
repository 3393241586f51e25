//! Small programs and drawings for the tests, written by hand: a path from plain geometry, words by `format!`. The stair
//! is invented.

use super::expectation::{DeclaredTab, Expectation, Placements, StockBox, Tabs, Task};
use crate::geometry::{Contour, Placement, Point, Segment, Turn, Vector, corners, inset_sharp};
use crate::measure::{Corners, Follow, Job, Makes, read_job};
use crate::outline::{Outline, Role};
use crate::profile::{Form, Tool};
use crate::solve::{Flight, chosen_count};
use crate::units::decimal;

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
    let text = JOB.replace("router-table", machine).replace("risers = 3", &format!("risers = {risers}"));
    let text = text.replace("22 in", &format!("{} in", 22 * risers / 3));
    read_job("test.toml", &text, &|_| unreachable!("the test job names profiles only")).unwrap()
}

/// The expectation of a job's part, its box 60 mm from the corner of the material.
pub(super) fn expectation(job: &Job, choice: Corners) -> Expectation<'_> {
    let (risers, _) = chosen_count(job);
    let outline = Outline::new(&Flight::new(job, risers), job.tie_plate.as_ref()).unwrap();
    let material = &job.cut.material;
    Expectation {
        part: outline.in_board_frame(),
        inset: match job.cut.makes {
            Makes::Pattern(follow) => follow.inset(),
            Makes::Stringers => Follow::Edge.inset(),
        },
        corners: choice,
        machine: &job.cut.machine,
        stock: StockBox {
            length_mm: material.length.as_mm(),
            width_mm: material.width.as_mm(),
            thickness_mm: material.thickness.as_mm(),
        },
        form: Form::Sheet,
        placement: Placements::Given(vec![home()]),
        tabs: Tabs::Declared(Vec::new()),
        hole: None,
        task: Task::Cut,
    }
}

pub(super) fn home() -> Placement {
    Placement::translation(60.0, 60.0)
}

/// The tool centre's path in the board frame, from the start of the lower edge, reliefs walked out and back.
pub(super) fn path(e: &Expectation) -> Vec<Segment> {
    let part = if e.inset.as_mm() > 0.0 { inset_sharp(&e.part, e.inset.as_mm()).unwrap() } else { e.part.clone() };
    let r = e.machine.tool_radius().as_mm();
    let corners = corners(&part);
    let level = part.edges().iter().find(|edge| edge.role == Role::Tread(1)).unwrap().segment.direction_at(0.0);
    let first = part.edges().iter().position(|edge| edge.role == Role::LowerEdge).unwrap();
    let mut path = Vec::new();
    for step in 0..corners.len() {
        let (i, next) = ((first + step) % corners.len(), (first + step + 1) % corners.len());
        let (corner, after) = (&corners[i], &corners[next]);
        let from = if corner.is_inside() { corner.mitre(r) } else { corner.at + corner.normal_after * r };
        let to = if after.is_inside() { after.mitre(r) } else { after.at + after.normal_before * r };
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
        let reach = match e.corners {
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
pub(super) fn placed_path(e: &Expectation) -> Vec<Segment> {
    path(e).iter().map(|segment| segment.placed(&home())).collect()
}

/// Length and height of the test tabs; the last 4 mm of the length come down as a ramp.
pub(super) const TAB: (f64, f64) = (12.0, 2.0);

/// Three tabs along the lower edge, declared as the program leaves them.
pub(super) fn tabs(e: &Expectation) -> Vec<DeclaredTab> {
    let edge = placed_path(e)[0];
    let at = |mm: f64| edge.point_at(mm / edge.length());
    let tab = |mm: f64| DeclaredTab { at: at(mm), length_mm: TAB.0, height_mm: TAB.1 };
    [60.0, 160.0, 260.0].map(tab).to_vec()
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

    fn along(&mut self, segment: &Segment, z: Option<f64>) {
        let (to, height) = (segment.to(), z.map_or(String::new(), |z| format!(" Z{}", self.mm(z))));
        let end = format!("X{} Y{}{height}", self.mm(to.x), self.mm(to.y));
        match *segment {
            Segment::Line { .. } => self.say(format!("G1 {end}")),
            Segment::Arc { from, center, turn, .. } => {
                let word = if turn == Turn::Left { "G3" } else { "G2" };
                let out = center - from;
                self.say(format!("{word} {end} I{} J{}", self.mm(out.x), self.mm(out.y)));
            }
        }
    }
}

fn writer(e: &Expectation) -> Writer {
    let machine = e.machine;
    let mut w = Writer { unit: machine.units.in_mm(), places: machine.decimals, lines: Vec::new() };
    for word in [if w.unit > 1.0 { "G20" } else { "G21" }, "G17", "G40", "G49", "G54", "G80", "G90", "G94"] {
        w.say(word);
    }
    w
}

/// A program of two passes for a router, entered by a ramp on the lower edge, three tabs left in the second pass.
pub(super) fn router_program(e: &Expectation) -> String {
    let Tool::Router(router) = &e.machine.tool else { panic!("a router") };
    let levels = super::levels::Levels::new(e);
    let mut w = writer(e);
    let path = placed_path(e);
    let tabs = tabs(e);
    w.say(format!("G0 Z{}", w.mm(levels.safe)));
    w.say(format!("M3 S{}", router.speed_rpm));
    w.say(format!("G4 P{}", router.spin_up_s));
    let start = path[0].from();
    w.say(format!("G0 X{} Y{}", w.mm(start.x), w.mm(start.y)));
    w.say(format!("G1 Z{} F{}", w.mm(levels.top), decimal(router.feed_mm_min() / 4.0 / w.unit, 1)));
    let middle = f64::midpoint(levels.top, levels.floor);
    for (pass, (from, to)) in [(levels.top, middle), (middle, levels.floor)].into_iter().enumerate() {
        let ramp = path[0].piece(0.0, 40.0 / path[0].length());
        w.along(&ramp, Some(f64::midpoint(from, to)));
        w.along(&ramp.reversed(), Some(to));
        if pass == 0 {
            w.say(format!("F{}", decimal(router.feed_mm_min() / w.unit, 1)));
        }
        for (i, segment) in path.iter().enumerate() {
            if i == 0 && pass == 1 {
                tabbed(&mut w, segment, &tabs, &levels);
            } else {
                w.along(segment, None);
            }
        }
    }
    w.say(format!("G0 Z{}", w.mm(levels.safe)));
    w.say("M5");
    w.say(format!("{:?}", e.machine.end));
    w.lines.join("\n") + "\n"
}

fn tabbed(w: &mut Writer, edge: &Segment, tabs: &[DeclaredTab], levels: &super::levels::Levels) {
    let share = |mm: f64| mm / edge.length();
    let mut done = 0.0;
    for tab in tabs {
        let middle = (tab.at - edge.from()).norm();
        let (start, end) = (share(middle - TAB.0 / 2.0), share(middle + TAB.0 / 2.0));
        let ramp = end - share(4.0);
        w.along(&edge.piece(done, start), None);
        w.say(format!("Z{}", w.mm(levels.bottom + TAB.1)));
        w.along(&edge.piece(start, ramp), None);
        w.along(&edge.piece(ramp, end), Some(levels.floor));
        done = end;
    }
    w.along(&edge.piece(done, 1.0), None);
}

/// A program for a laser with a lead from the waste below the lower edge.
pub(super) fn laser_program(e: &Expectation) -> String {
    let Tool::Laser(laser) = &e.machine.tool else { panic!("a laser") };
    let mut w = writer(e);
    let path = placed_path(e);
    let start = path[0].from();
    let direction = path[0].direction_at(0.0);
    let lead = start + Vector::new(direction.y, -direction.x) * laser.lead.as_mm();
    w.say(format!("{:?} S0", laser.beam_on));
    w.say(format!("G0 X{} Y{}", w.mm(lead.x), w.mm(lead.y)));
    w.say(format!("S{}", laser.power));
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
    let mut out = format!("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{insunits}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
    out += &format!("0\nLWPOLYLINE\n8\n{layer}\n90\n{}\n70\n1\n", segments.len());
    for segment in segments {
        let p: Point = segment.from();
        out += &format!("10\n{:.9}\n20\n{:.9}\n42\n{:.12}\n", p.x / unit_mm, p.y / unit_mm, segment.bulge());
    }
    out + "0\nENDSEC\n0\nEOF\n"
}

/// The same as loose lines.
pub(super) fn loose_drawing(segments: &[Segment]) -> String {
    let mut out = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n".to_string();
    for segment in segments {
        let (a, b) = (segment.from(), segment.to());
        out += &format!("0\nLINE\n8\nOUTLINE\n10\n{:.6}\n20\n{:.6}\n11\n{:.6}\n21\n{:.6}\n", a.x, a.y, b.x, b.y);
    }
    out + "0\nENDSEC\n0\nEOF\n"
}

/// The sharp edges of a part.
pub(super) fn edges(part: &Contour<Role>) -> Vec<Segment> {
    part.edges().iter().map(|edge| edge.segment).collect()
}
