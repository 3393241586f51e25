//! Drawings as a fabrication shop may return them, held against the sample's job by the command.
//! The stair is invented; the drawings are made here from the sample's nominal drawing.

use crate::common::on_one_line;
use seatcut::geometry::{Contour, Placement, Point, Vector, cross, left_of};
use seatcut::job::{Job, read_job};
use seatcut::pipeline::workup::Workup;
use seatcut::stair::outline::Role;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

fn sample(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("output-samples").join(name)
}

/// The closed polyline on the layer CUT of a drawing of straight lines, in its own unit.
fn cut_polyline(text: &str) -> Vec<Point> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let pairs: Vec<(&str, &str)> = lines.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    let entities = pairs.split(|pair| pair.0 == "0");
    let mut cut = entities
        .filter(|pairs| pairs.contains(&("8", "CUT")) && pairs.contains(&("100", "AcDbPolyline")));
    let number = |text: &str| text.parse::<f64>().unwrap();
    let pairs = cut.next_back().expect("a polyline on the layer CUT");
    assert!(pairs.iter().all(|pair| pair.0 != "42"), "the nominal drawing is straight");
    let of = |code: &'static str| {
        pairs.iter().filter(move |pair| pair.0 == code).map(|pair| number(pair.1))
    };
    of("10").zip(of("20")).map(|(x, y)| Point::new(x, y)).collect()
}

/// The part of a sample: its nominal drawing in millimetres, and what each edge is.
struct Part {
    job: PathBuf,
    points: Vec<Point>,
    roles: Vec<Role>,
}

fn contour(job: &Job) -> Contour<Role> {
    Workup::of(job).outline.unwrap().in_board_frame()
}

impl Part {
    fn of(name: &str) -> Self {
        let path = sample(name).join("job.toml");
        let job =
            read_job("job.toml", &fs::read_to_string(&path).unwrap(), &|_| unreachable!()).unwrap();
        let drawing = fs::read_to_string(sample(name).join("nominal.dxf")).unwrap();
        let unit = if drawing.contains("$INSUNITS\n 70\n1\n") { 25.4 } else { 1.0 };
        let points: Vec<Point> = cut_polyline(&drawing).into_iter().map(|p| p * unit).collect();
        let part = contour(&job);
        let role = |p: &Point| {
            let edge = part.edges().iter().find(|edge| (edge.segment.from() - p).norm() < 1e-3);
            edge.expect("a corner of the part").role
        };
        let roles = points.iter().map(role).collect();
        Self { job: path, points, roles }
    }

    fn plywood() -> Self {
        Self::of("plywood-stringer")
    }

    fn edge(&self, role: Role) -> usize {
        self.roles.iter().position(|r| *r == role).unwrap()
    }

    fn outward(&self, edge: usize) -> Vector {
        let (a, b) = (self.points[edge], self.points[(edge + 1) % self.points.len()]);
        -left_of(b - a).normalize()
    }

    /// With one edge moved along its normal, its neighbours made longer or shorter.
    fn moved(&self, role: Role, by: f64) -> Vec<Point> {
        self.moved_all(&|r| if r == role { by } else { 0.0 })
    }

    /// With each edge moved along its normal; corners stay sharp.
    fn moved_all(&self, by: &dyn Fn(Role) -> f64) -> Vec<Point> {
        let count = self.points.len();
        let line = |i: usize| {
            let (a, b) = (self.points[i], self.points[(i + 1) % count]);
            (a + self.outward(i) * by(self.roles[i]), b - a)
        };
        let corner = |i: usize| {
            let ((p, u), (q, v)) = (line((i + count - 1) % count), line(i));
            p + u * (cross(q - p, v) / cross(u, v))
        };
        (0..count).map(corner).collect()
    }

    /// Runs `verify` on a drawing: the exit code and what is said.
    fn verify(&self, drawing: &str) -> (i32, String) {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("shop.dxf");
        fs::write(&file, drawing).unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
            .arg("verify")
            .arg(&self.job)
            .arg(&file)
            .output()
            .unwrap();
        let said = [run.stdout, run.stderr]
            .map(|text| String::from_utf8_lossy(&text).into_owned())
            .concat();
        (run.status.code().unwrap(), in_mm(&on_one_line(&said)))
    }

    /// Asserts a refusal that says all of `words`.
    fn refuses(&self, drawing: &str, words: &[&str]) -> String {
        let (code, said) = self.verify(drawing);
        assert_eq!(code, 6, "{said}");
        for word in words {
            assert!(said.contains(word), "no {word:?} in\n{said}");
        }
        said
    }

    /// Asserts that the drawing is taken and says all of `words`.
    fn takes(&self, drawing: &str, words: &[&str]) {
        let (code, said) = self.verify(drawing);
        assert_eq!(code, 0, "{said}");
        for word in words {
            assert!(said.contains(word), "no {word:?} in\n{said}");
        }
    }
}

fn file(insunits: u8, entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{insunits}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

fn polyline(points: &[Point], layer: &str) -> String {
    let vertices: String =
        points.iter().map(|p| format!("10\n{:.6}\n20\n{:.6}\n", p.x, p.y)).collect();
    format!("0\nLWPOLYLINE\n8\n{layer}\n90\n{}\n70\n1\n{vertices}", points.len())
}

/// A drawing in millimetres of one closed polyline.
fn closed(points: &[Point]) -> String {
    file(4, &polyline(points, "CUT"))
}

fn line(a: Point, b: Point, layer: &str) -> String {
    format!("0\nLINE\n8\n{layer}\n10\n{:.6}\n20\n{:.6}\n11\n{:.6}\n21\n{:.6}\n", a.x, a.y, b.x, b.y)
}

fn sides(points: &[Point]) -> Vec<(Point, Point)> {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect()
}

/// As lines of their own, out of order and some the other way round.
fn shuffled(points: &[Point], layer: &str) -> Vec<String> {
    let mut order: Vec<(usize, (Point, Point))> = sides(points).into_iter().enumerate().collect();
    order.sort_by_key(|(i, _)| (i * 7919 % 101, *i));
    let one = |(i, (a, b)): (usize, (Point, Point))| {
        if i & 1 == 0 { line(b, a, layer) } else { line(a, b, layer) }
    };
    order.into_iter().map(one).collect()
}

fn turned(points: &[Point], degrees: f64) -> Vec<Point> {
    let placement = Placement::new(Vector::new(512.25, -130.5), degrees.to_radians());
    points.iter().map(|p| placement * p).collect()
}

/// The same file with every point turned about 0,0.
fn turned_file(text: &str, degrees: f64) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let mut pairs: Vec<(&str, String)> =
        lines.chunks_exact(2).map(|pair| (pair[0], pair[1].to_string())).collect();
    for i in 0..pairs.len() - 1 {
        if (pairs[i].0, pairs[i + 1].0) == ("10", "20") {
            let at = |i: usize| pairs[i].1.parse::<f64>().unwrap();
            let p = Placement::rotation(degrees.to_radians()) * Point::new(at(i), at(i + 1));
            (pairs[i].1, pairs[i + 1].1) = (format!("{:.9}", p.x), format!("{:.9}", p.y));
        }
    }
    pairs.iter().map(|(code, value)| format!("{code}\n{value}\n")).collect()
}

fn mirrored(points: &[Point]) -> Vec<Point> {
    points.iter().map(|p| Point::new(-p.x, p.y)).collect()
}

#[test]
fn the_part_as_it_was_sent_is_taken_without_a_word() {
    for name in ["plywood-stringer", "metric-flush", "board-stringer"] {
        let part = Part::of(name);
        let (code, said) = part.verify(&closed(&part.points));
        assert_eq!(code, 0, "{said}");
        assert!(!said.contains("turned-part") && !said.contains("refusal"), "{said}");
    }
}

#[test]
fn a_part_turned_by_any_angle_and_moved_is_taken_and_the_turn_is_said() {
    for name in
        ["plywood-stringer", "metric-flush", "board-stringer", "laser-pattern", "bushing-pattern"]
    {
        let part = Part::of(name);
        for angle in [33.3, -104.72, 90.0, 180.0, 0.01] {
            let word = format!("turned by {angle} deg and moved by x 512.25 mm y -130.5 mm");
            part.takes(&closed(&turned(&part.points, angle)), &["turned-part", &word]);
            let mut backwards = turned(&part.points, angle);
            backwards.reverse();
            backwards.rotate_left(3);
            part.takes(&closed(&backwards), &["turned-part", &word]);
        }
    }
}

#[test]
fn a_mirrored_part_is_refused_by_name_in_any_position() {
    for name in ["plywood-stringer", "metric-flush"] {
        let part = Part::of(name);
        let said =
            part.refuses(&closed(&mirrored(&part.points)), &["drawing-mirrored", "mirror image"]);
        assert!(!said.contains("gouge at"), "{said}");
        part.refuses(&closed(&turned(&mirrored(&part.points), 33.3)), &["drawing-mirrored"]);
    }
}

#[test]
fn an_edge_that_was_moved_is_said_by_name_with_its_amount_and_no_other_is() {
    let part = Part::plywood();
    for (role, by, words) in [
        (Role::Tread(3), -0.8, "tread 3: this edge as drawn is 0.8 mm low"),
        (Role::Tread(2), 0.05, "tread 2: this edge as drawn is 0.05 mm high"),
        (Role::Riser(2), 0.5, "riser 2: this edge as drawn is 0.5 mm forward"),
        (Role::Riser(1), -0.5, "riser 1: this edge as drawn is 0.5 mm back"),
        (Role::SeatCut, 0.25, "seat cut: this edge as drawn is 0.25 mm out"),
        (Role::HeadCut, -0.3, "top plumb cut: this edge as drawn is 0.3 mm in"),
        (Role::LowerEdge, -3.0, "lower edge: this edge as drawn is 3 mm in"),
    ] {
        for angle in [0.0, 33.3] {
            let said = part.refuses(
                &closed(&turned(&part.moved(role, by), angle)),
                &["drawing-edge-off", words],
            );
            assert_eq!(
                said.matches("REFUSED").count(),
                part.roles.iter().filter(|r| **r == role).count(),
                "{said}"
            );
            let inches = seatcut::units::trimmed(f64::abs(by) / 25.4, 4);
            let figure = match by < 0.0 {
                true => format!("too much is cut by {inches} in"),
                false => format!("too little by {inches} in"),
            };
            assert!(said.contains(&figure), "no {figure:?} in\n{said}");
        }
    }
}

#[test]
fn two_edges_that_were_moved_are_both_said() {
    let part = Part::plywood();
    let by = |role| match role {
        Role::Tread(2) => 0.6,
        Role::Riser(3) => -0.4,
        _ => 0.0,
    };
    let words = [
        "tread 2: this edge as drawn is 0.6 mm high",
        "riser 3: this edge as drawn is 0.4 mm back",
    ];
    let said = part.refuses(&closed(&turned(&part.moved_all(&by), -71.0)), &words);
    assert_eq!(said.matches("REFUSED").count(), 2, "{said}");
}

#[test]
fn a_unit_that_was_guessed_wrong_is_named_both_ways_and_at_any_angle() {
    let part = Part::plywood();
    for angle in [0.0, 33.3] {
        let scaled = |factor: f64| {
            turned(&part.points, angle).iter().map(|p| p * factor).collect::<Vec<_>>()
        };
        let large = part.refuses(
            &closed(&scaled(25.4)),
            &["not-this-part", "25.4 times as much, as if the unit were wrong"],
        );
        assert!(!large.contains("1/25.4"), "{large}");
        part.refuses(&closed(&scaled(1.0 / 25.4)), &["not-this-part", "1/25.4 of it"]);
        part.refuses(
            &file(1, &polyline(&scaled(1.0), "CUT")),
            &["not-this-part", "25.4 times as much"],
        );
        part.takes(&file(1, &polyline(&scaled(1.0 / 25.4), "CUT")), &[]);
    }
}

/// The outline offset outward, outside corners rounded by an arc or by short chords.
fn rounded(part: &Part, d: f64, chords: usize) -> String {
    let count = part.points.len();
    let mitred = part.moved_all(&|_| d);
    let mut text = String::new();
    let mut vertices = 0;
    for (i, (corner, mitre)) in part.points.iter().zip(&mitred).enumerate() {
        let (before, after) = (part.outward((i + count - 1) % count), part.outward(i));
        let mut add = |p: Point, bulge: f64| {
            text += &format!("10\n{:.6}\n20\n{:.6}\n42\n{bulge:.9}\n", p.x, p.y);
            vertices += 1;
        };
        let angle = cross(before, after).atan2(before.dot(&after));
        if angle <= 0.0 {
            add(*mitre, 0.0);
        } else if chords == 0 {
            add(corner + before * d, (angle / 4.0).tan());
            add(corner + after * d, 0.0);
        } else {
            for step in 0..=chords {
                let turn = nalgebra::Rotation2::new(angle * step as f64 / chords as f64);
                add(corner + turn * before * d, 0.0);
            }
        }
    }
    file(4, &format!("0\nLWPOLYLINE\n8\nCUT\n90\n{vertices}\n70\n1\n{text}"))
}

#[test]
fn a_kerf_that_is_in_the_drawing_already_is_recognised_with_its_amount() {
    let part = Part::plywood();
    for (d, words) in [
        (0.1, "0.1 mm outside"),
        (-0.1, "0.1 mm inside"),
        (0.02, "0.02 mm outside"),
        (2.0, "2 mm outside"),
    ] {
        for angle in [0.0, 33.3] {
            let said = part.refuses(
                &closed(&turned(&part.moved_all(&|_| d), angle)),
                &["drawing-kerf-applied", words],
            );
            assert_eq!(said.matches("REFUSED").count(), 1, "{said}");
        }
    }
    for chords in [0, 6] {
        let said =
            part.refuses(&rounded(&part, 1.5, chords), &["drawing-kerf-applied", "1.5 mm outside"]);
        assert!(!said.contains("compensated line"), "{said}");
    }
}

#[test]
fn the_machines_own_compensated_line_is_known() {
    for name in ["plywood-stringer", "metric-flush", "laser-pattern"] {
        let part = Part::of(name);
        let ours = fs::read_to_string(sample(name).join("compensated.dxf")).unwrap();
        part.takes(&ours, &["a drawing of the tool's path"]);
        part.takes(&turned_file(&ours, 33.3), &["a drawing of the tool's path", "turned-part"]);
    }
    let part = Part::plywood();
    let job =
        read_job("job.toml", &fs::read_to_string(&part.job).unwrap(), &|_| unreachable!()).unwrap();
    let r = job.cut.machine.tool_radius().as_mm();
    // The job asks for reliefs: a line without them is refused, and said to be the compensated one.
    for angle in [0.0, 33.3] {
        let words = ["drawing-kerf-applied", "this machine's compensated line"];
        part.refuses(&closed(&turned(&part.moved_all(&|_| r), angle)), &words);
    }
    let by = |role| if role == Role::Tread(2) { r - 0.9 } else { r };
    part.refuses(
        &closed(&turned(&part.moved_all(&by), 12.0)),
        &["this machine's compensated line", "tread 2: this edge as drawn is 0.9 mm low"],
    );
}

#[test]
fn a_line_that_is_drawn_twice_is_located() {
    let part = Part::plywood();
    let points = turned(&part.points, 33.3);
    let tread = part.edge(Role::Tread(2));
    let (a, b) = sides(&points)[tread];
    let middle = nalgebra::center(&a, &b);
    let lines = shuffled(&points, "CUT").concat();
    for again in [line(a, b, "CUT"), line(b, a, "CUT"), line(a, middle, "CUT")] {
        let said = part.refuses(
            &file(4, &(lines.clone() + &again)),
            &["drawing-doubled", "near tread 2", "mm,"],
        );
        assert_eq!(said.matches("REFUSED").count(), 1, "{said}");
    }
}

#[test]
fn a_crossing_is_located_in_the_unit_of_the_file() {
    let part = Part::plywood();
    let mut points = part.points.clone();
    // A loop drawn in the middle of the lower edge.
    let lower = part.edge(Role::LowerEdge);
    let (a, b) = sides(&points)[lower];
    let (middle, along, out) = (nalgebra::center(&a, &b), (b - a).normalize(), part.outward(lower));
    let looped = [
        middle + along * 20.0,
        middle + along * 20.0 - out * 10.0,
        middle - out * 10.0,
        middle + out * 10.0,
    ];
    let back = [middle + along * 40.0 + out * 10.0, middle + along * 40.0];
    points.splice(lower + 1..lower + 1, looped.into_iter().chain(back));
    let inches: Vec<Point> = points.iter().map(|p| p / 25.4).collect();
    let said =
        part.refuses(&file(1, &polyline(&inches, "CUT")), &["drawing-crossing", "near lower edge"]);
    let x = seatcut::units::trimmed(middle.x / 25.4, 4);
    assert!(
        said.contains(&format!("at x {x} in y ")) && said.contains(" in, near "),
        "{x}: {said}"
    );
}

#[test]
fn an_open_gap_is_located_and_the_rest_is_judged() {
    let part = Part::plywood();
    let points = turned(&part.points, 33.3);
    let tread = part.edge(Role::Tread(3));
    let lines: String = sides(&points)
        .iter()
        .enumerate()
        .map(|(i, &(a, b))| {
            line(a, if i == tread { b - (b - a).normalize() * 0.5 } else { b }, "CUT")
        })
        .collect();
    let said = part.refuses(
        &file(4, &lines),
        &["drawing-open", "a gap of 0.5 mm at x ", "turned by 33.3 deg"],
    );
    assert!(said.contains("near tread 3") || said.contains("near riser"), "{said}");
    assert_eq!(said.matches("REFUSED").count(), 1, "{said}");
}

/// Of figures in both units the millimetres alone, which is what the drawings were moved by.
fn in_mm(said: &str) -> String {
    let words: Vec<&str> = said.split(' ').collect();
    let mut kept = Vec::new();
    let mut i = 0;
    while i < words.len() {
        let both = match words[i..] {
            [_, "in", mm, unit, ..] if unit.starts_with("mm)") => mm.strip_prefix('('),
            _ => None,
        };
        match both {
            Some(mm) => {
                kept.push(format!("{mm} mm{}", &words[i + 3]["mm)".len()..]));
                i += 4;
            }
            None => {
                kept.push(words[i].to_string());
                i += 1;
            }
        }
    }
    kept.join(" ")
}

#[test]
fn several_gaps_are_each_located() {
    let part = Part::plywood();
    let points = turned(&part.points, 33.3);
    let gaps = [part.edge(Role::Tread(1)), part.edge(Role::Tread(3)), part.edge(Role::LowerEdge)];
    let lines: String = sides(&points)
        .iter()
        .enumerate()
        .map(|(i, &(a, b))| {
            line(a, if gaps.contains(&i) { b - (b - a).normalize() * 0.5 } else { b }, "CUT")
        })
        .collect();
    let said = part.refuses(&file(4, &lines), &["drawing-open", "turned by 33.3 deg"]);
    assert_eq!(
        (said.matches("a gap of 0.5 mm at").count(), said.matches("REFUSED").count()),
        (3, 3),
        "{said}"
    );
}

#[test]
fn a_line_without_length_is_located() {
    let part = Part::plywood();
    let points = turned(&part.points, 33.3);
    let corner = points[part.edge(Role::SeatCut)];
    let said = part.refuses(
        &file(4, &(polyline(&points, "CUT") + &line(corner, corner, "CUT"))),
        &[
            "drawing-zero-length",
            "near ",
            &format!("at x {} mm y ", seatcut::units::trimmed(corner.x, 4)),
        ],
    );
    assert_eq!(said.matches("REFUSED").count(), 1, "{said}");
}

#[test]
fn split_edges_other_layers_and_loose_lines_out_of_order_are_no_matter() {
    let part = Part::plywood();
    let points = turned(&part.points, -20.0);
    let split: Vec<Point> = sides(&points)
        .iter()
        .flat_map(|&(a, b)| [0.0, 0.21, 0.5, 0.77].map(|share| a + (b - a) * share))
        .collect();
    let words = ["turned by -20 deg"];
    part.takes(&closed(&split), &words);
    part.takes(&file(4, &polyline(&split, "Outline 0")), &words);
    part.takes(&file(4, &shuffled(&points, "PROFILE").concat()), &words);
    part.takes(&file(4, &shuffled(&split, "0").concat()), &words);
}

#[test]
fn a_rounded_nose_is_told_where_it_is_and_does_not_hide_the_rest() {
    let part = Part::plywood();
    let nose = part.edge(Role::Riser(2));
    let by = |role| if role == Role::Tread(4) { -0.8 } else { 0.0 };
    for r in [0.0, 3.0] {
        let mut points = part.moved_all(&by);
        let count = points.len();
        let corner = points[nose];
        let (to_last, to_next) =
            (points[(nose + count - 1) % count] - corner, points[(nose + 1) % count] - corner);
        let (u, v) = (to_last.normalize() * r, to_next.normalize() * r);
        let center = corner + u + v;
        let arc = (0..=8).map(|i| {
            let angle = f64::from(i) * std::f64::consts::FRAC_PI_2 / 8.0;
            center - v * angle.cos() - u * angle.sin()
        });
        if r > 0.0 {
            points.splice(nose..=nose, arc);
        }
        let said = part.refuses(
            &closed(&turned(&points, 33.3)),
            &["tread 4: this edge as drawn is 0.8 mm low"],
        );
        assert_eq!(
            said.contains("into the part here") || said.contains("of wood too much"),
            r > 0.0,
            "{said}"
        );
    }
}

#[test]
fn another_jobs_part_is_not_this_part() {
    let part = Part::plywood();
    for name in ["metric-flush", "board-stringer", "laser-pattern"] {
        for angle in [0.0, 33.3] {
            part.refuses(&closed(&turned(&Part::of(name).points, angle)), &["not-this-part"]);
        }
    }
}
