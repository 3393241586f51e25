//! A drawing exchange file in text form, R12 to R2018: the pairs of group code and value, and of
//! them the few entities that can be cut. Group codes: the published DXF reference. Bounded,
//! without recursion.

use super::arc::halves;
use super::block::{check_size, unreadable};
use super::drilled::DRILL;
use super::limits::{GAP_MM, LARGEST_NUMBER, MOST_VERTICES};
use crate::diagnostics::Error;
use crate::geometry::{Point, Segment, Turn, Vector};
use crate::units::MM_PER_INCH;

/// What a drawing holds, in its own unit.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    /// Millimetres in `$INSUNITS`, where it names a unit.
    pub insunits_mm: Option<f64>,
    /// Millimetres in the unit that `$MEASUREMENT` suggests.
    pub measurement_mm: Option<f64>,
    pub figures: Vec<Figure>,
    pub odd: Vec<Odd>,
    /// Layers that are off or frozen.
    pub hidden: Vec<String>,
}

/// A connected line of one entity.
#[derive(Debug)]
pub(super) struct Figure {
    /// The line of the file that the entity starts at.
    pub line: usize,
    pub layer: String,
    pub segments: Vec<Segment>,
    pub kind: FigureKind,
}

/// Whether an entity's direction means anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FigureKind {
    /// A polyline: walked in order.
    Polyline,
    /// A line, an arc or a circle: drawn either way.
    Loose,
}

/// An entity that cannot be read as a line to cut.
#[derive(Debug)]
pub(super) struct Odd {
    pub line: usize,
    pub layer: String,
    pub kind: String,
}

/// Reads a drawing.
///
/// # Errors
/// If the bytes are no text drawing, break off, or hold a number that is none.
pub(super) fn read_drawing(bytes: &[u8], file: &str) -> Result<Drawing, Error> {
    check_size(bytes, file)?;
    if bytes.iter().take(64).any(|&b| b == 0 || b == 0x1a) {
        return Err(unreadable(file, 1, 1, "this is no text drawing")
            .found("binary data")
            .allowed("a drawing in text form (ASCII DXF)")
            .hint("save it again as ASCII DXF"));
    }
    let mut pairs = Pairs { file, lines: bytes.split(|&b| b == b'\n'), line: 0 };
    let mut reader = Reader {
        file,
        drawing: Drawing::default(),
        section: Section::Other,
        open: None,
        vertices: 0,
    };
    let mut entity = Entity { kind: Vec::new(), line: 1, pairs: Vec::new() };
    loop {
        let Some(pair) = pairs.next_pair()? else {
            return Err(unreadable(file, pairs.line.max(1), 1, "the drawing breaks off")
                .allowed("EOF as its last entry"));
        };
        if pair.code != 0 {
            entity.pairs.push(pair);
            continue;
        }
        reader.take(&entity)?;
        if pair.value == b"EOF" {
            return pairs.nothing_more().map(|()| reader.drawing);
        }
        entity =
            Entity { kind: pair.value.to_ascii_uppercase(), line: pair.line, pairs: entity.pairs };
        entity.pairs.clear();
    }
}

/// One group code and its value.
#[derive(Clone, Copy)]
struct Pair<'a> {
    code: i32,
    value: &'a [u8],
    line: usize,
}

struct Pairs<'a, I> {
    file: &'a str,
    lines: I,
    line: usize,
}

impl<'a, I: Iterator<Item = &'a [u8]>> Pairs<'_, I> {
    fn next_pair(&mut self) -> Result<Option<Pair<'a>>, Error> {
        let Some(code) = self.lines.next() else { return Ok(None) };
        self.line += 1;
        let text = code.trim_ascii();
        let Some(value) = self.lines.next() else { return Ok(None) };
        self.line += 1;
        let code = std::str::from_utf8(text)
            .ok()
            .filter(|text| text.len() <= 6)
            .and_then(|text| text.parse().ok());
        let Some(code) = code else {
            let found =
                text.iter().take(20).map(|b| b.escape_ascii().to_string()).collect::<String>();
            let error =
                unreadable(self.file, self.line - 1, 1, "no group code where one must stand");
            return Err(error.found(found).allowed("a whole number"));
        };
        Ok(Some(Pair { code, value: value.trim_ascii(), line: self.line }))
    }
}

impl<'a, I: Iterator<Item = &'a [u8]>> Pairs<'_, I> {
    /// After the last entry only empty lines may stand: some readers go on behind it.
    fn nothing_more(mut self) -> Result<(), Error> {
        let more = self.lines.position(|line| !line.trim_ascii().is_empty());
        match more {
            None => Ok(()),
            Some(after) => {
                let error =
                    unreadable(self.file, self.line + after + 1, 1, "something stands after EOF");
                Err(error.allowed("nothing behind the last entry"))
            }
        }
    }
}

/// Group codes that an entity says once: readers differ in which they take of two.
const ONCE: [i32; 14] = [8, 10, 20, 30, 11, 21, 31, 38, 40, 42, 43, 50, 51, 60];
/// Of them, those that a polyline in one entity says for every vertex.
const EACH_VERTEX: [i32; 4] = [10, 20, 40, 42];

struct Entity<'a> {
    kind: Vec<u8>,
    line: usize,
    pairs: Vec<Pair<'a>>,
}

impl Entity<'_> {
    fn first(&self, code: i32) -> Option<&Pair<'_>> {
        self.pairs.iter().find(|pair| pair.code == code)
    }

    /// What makes shops take a line or polyline in different ways, or not see it at all; `None` for
    /// a plain one.
    fn oddity(&self, file: &str) -> Result<Option<String>, Error> {
        let is_set =
            |code: i32| Ok::<bool, Error>(number(file, self, code, Some(0.0))?.abs() > GAP_MM);
        let is_polyline = matches!(self.kind.as_slice(), b"LWPOLYLINE" | b"POLYLINE" | b"VERTEX");
        let widths =
            self.pairs.iter().filter(|pair| is_polyline && matches!(pair.code, 40 | 41 | 43));
        for width in widths {
            if parsed(file, width)?.abs() > GAP_MM {
                return Ok(Some(" with a width".to_string()));
            }
        }
        if is_set(60)? {
            return Ok(Some(" that is invisible".to_string()));
        }
        if is_set(30)? || is_set(31)? || is_set(38)? {
            return Ok(Some(" off the plane".to_string()));
        }
        let says_each = |code: i32| self.kind == b"LWPOLYLINE" && EACH_VERTEX.contains(&code);
        let twice = ONCE.into_iter().find(|&code| {
            !says_each(code) && self.pairs.iter().filter(|pair| pair.code == code).nth(1).is_some()
        });
        Ok(twice.map(|code| format!(" that says group {code} twice")))
    }

    fn flags(&self) -> i64 {
        let text = self.first(70).and_then(|pair| std::str::from_utf8(pair.value).ok());
        text.and_then(|text| text.parse().ok()).unwrap_or(0)
    }

    fn layer(&self) -> String {
        self.first(8).map_or_else(
            || "0".to_string(),
            |pair| String::from_utf8_lossy(pair.value).into_owned(),
        )
    }

    /// Seen on paper only, or drawn in a frame that is mirrored or tilted.
    fn is_on_paper(&self) -> bool {
        self.first(67).is_some_and(|pair| pair.value == b"1")
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Section {
    Header,
    Tables,
    Entities,
    Other,
}

/// A polyline whose vertices are still to come.
struct OpenPolyline {
    line: usize,
    layer: String,
    closed: bool,
    vertices: Vec<(Point, f64)>,
    /// Of a vertex.
    oddity: Option<String>,
}

struct Reader<'a> {
    file: &'a str,
    drawing: Drawing,
    section: Section,
    open: Option<OpenPolyline>,
    vertices: usize,
}

impl Reader<'_> {
    fn take(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        match entity.kind.as_slice() {
            b"SECTION" => {
                self.section = match entity.first(2).map(|pair| pair.value) {
                    Some(b"HEADER") => Section::Header,
                    Some(b"TABLES") => Section::Tables,
                    Some(b"ENTITIES") => Section::Entities,
                    _ => Section::Other,
                };
                if self.section == Section::Header {
                    self.header(entity);
                }
            }
            b"ENDSEC" => {
                self.close_polyline();
                self.section = Section::Other;
            }
            b"LAYER" if self.section == Section::Tables => self.layer(entity),
            _ if self.section == Section::Entities && !entity.is_on_paper() => {
                self.entity(entity)?;
            }
            _ => {}
        }
        Ok(())
    }

    /// A layer is frozen by its first flag, and off where its colour is negative.
    fn layer(&mut self, entity: &Entity<'_>) {
        let number = |code: i32| {
            let text = entity.first(code).and_then(|pair| std::str::from_utf8(pair.value).ok());
            text.and_then(|text| text.parse::<i64>().ok()).unwrap_or(0)
        };
        if let Some(name) = entity.first(2).filter(|_| number(70) & 1 == 1 || number(62) < 0) {
            self.drawing.hidden.push(String::from_utf8_lossy(name.value).into_owned());
        }
    }

    fn header(&mut self, entity: &Entity<'_>) {
        for window in entity.pairs.windows(2) {
            let [name, value] = window else { continue };
            if (name.code, value.code) != (9, 70) {
                continue;
            }
            match (name.value, value.value) {
                (b"$INSUNITS", unit) => {
                    self.drawing.insunits_mm = match unit {
                        b"1" => Some(MM_PER_INCH),
                        b"2" => Some(12.0 * MM_PER_INCH),
                        b"4" => Some(1.0),
                        b"5" => Some(10.0),
                        b"6" => Some(1000.0),
                        _ => None,
                    }
                }
                (b"$MEASUREMENT", b"0") => self.drawing.measurement_mm = Some(MM_PER_INCH),
                (b"$MEASUREMENT", b"1") => self.drawing.measurement_mm = Some(1.0),
                _ => {}
            }
        }
    }

    fn entity(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        if let Some(open) = &mut self.open {
            match entity.kind.as_slice() {
                b"VERTEX" => {
                    let vertex =
                        (point(self.file, entity, 10)?, number(self.file, entity, 42, Some(0.0))?);
                    open.vertices.push(vertex);
                    open.oddity = open.oddity.take().or(entity.oddity(self.file)?);
                    return self.count(entity.line, 1);
                }
                _ => self.close_polyline(),
            }
        }
        let turned_over = number(self.file, entity, 230, Some(1.0))? < 1.0 - GAP_MM;
        match entity.kind.as_slice() {
            b"LWPOLYLINE" | b"LINE" | b"ARC" | b"CIRCLE" | b"POLYLINE" if turned_over => {
                self.odd(entity, " turned over");
            }
            b"LWPOLYLINE" | b"LINE" | b"ARC" | b"CIRCLE" | b"POLYLINE"
                if entity.oddity(self.file)?.is_some() =>
            {
                let oddity = entity.oddity(self.file)?.unwrap_or_default();
                self.odd(entity, &oddity);
            }
            b"LWPOLYLINE" => self.polyline(entity)?,
            b"POLYLINE" if entity.flags() & !(1 | 128) != 0 => {
                self.odd(entity, " with curves or in space");
            }
            b"POLYLINE" => {
                let closed = entity.flags() & 1 == 1;
                let (layer, vertices) = (entity.layer(), Vec::new());
                self.open =
                    Some(OpenPolyline { line: entity.line, layer, closed, vertices, oddity: None });
            }
            b"LINE" => {
                let (from, to) = (point(self.file, entity, 10)?, point(self.file, entity, 11)?);
                self.figure(
                    entity.line,
                    entity.layer(),
                    vec![Segment::Line { from, to }],
                    FigureKind::Loose,
                );
            }
            // A hole as wide as the tool; a point on any other layer is nothing that is known here.
            b"POINT" if entity.layer().eq_ignore_ascii_case(DRILL) => {
                let at = point(self.file, entity, 10)?;
                self.figure(
                    entity.line,
                    entity.layer(),
                    vec![Segment::Line { from: at, to: at }],
                    FigureKind::Loose,
                );
            }
            b"ARC" | b"CIRCLE" => self.arc(entity)?,
            b"SEQEND" | b"VERTEX" => {}
            _ => self.odd(entity, ""),
        }
        self.count(entity.line, 1)
    }

    fn count(&mut self, line: usize, more: usize) -> Result<(), Error> {
        self.vertices += more;
        if self.vertices > MOST_VERTICES {
            return Err(unreadable(self.file, line, 1, "the drawing has too many vertices")
                .allowed(MOST_VERTICES.to_string()));
        }
        Ok(())
    }

    fn odd(&mut self, entity: &Entity<'_>, how: &str) {
        let kind = format!("{}{how}", entity.kind.escape_ascii());
        self.drawing.odd.push(Odd { line: entity.line, layer: entity.layer(), kind });
    }

    fn figure(&mut self, line: usize, layer: String, segments: Vec<Segment>, kind: FigureKind) {
        self.drawing.figures.push(Figure { line, layer, segments, kind });
    }

    /// A polyline in one entity: each 10 starts a vertex, 20 and 42 belong to the last.
    fn polyline(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let mut vertices: Vec<(Point, f64)> = Vec::new();
        for pair in &entity.pairs {
            match (pair.code, vertices.last_mut()) {
                (10, _) => vertices.push((Point::new(parsed(self.file, pair)?, 0.0), 0.0)),
                (20, Some((p, _))) => p.y = parsed(self.file, pair)?,
                (42, Some((_, bulge))) => *bulge = parsed(self.file, pair)?,
                _ => {}
            }
        }
        self.count(entity.line, vertices.len())?;
        let closed = entity.flags() & 1 == 1;
        self.add_polyline(OpenPolyline {
            line: entity.line,
            layer: entity.layer(),
            closed,
            vertices,
            oddity: None,
        });
        Ok(())
    }

    fn close_polyline(&mut self) {
        if let Some(open) = self.open.take() {
            self.add_polyline(open);
        }
    }

    fn add_polyline(&mut self, polyline: OpenPolyline) {
        if let Some(oddity) = polyline.oddity {
            let kind = format!("POLYLINE{oddity}");
            self.drawing.odd.push(Odd { line: polyline.line, layer: polyline.layer, kind });
            return;
        }
        let vertices = &polyline.vertices;
        let around = vertices.iter().zip(vertices.iter().cycle().skip(1));
        let count = if polyline.closed { vertices.len() } else { vertices.len().saturating_sub(1) };
        let segments = around.take(count).flat_map(|(a, b)| bulged(a.0, b.0, a.1)).collect();
        self.figure(polyline.line, polyline.layer, segments, FigureKind::Polyline);
    }

    fn arc(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let center = point(self.file, entity, 10)?;
        let radius = number(self.file, entity, 40, None)?;
        let (start, end) = if entity.kind == b"ARC" {
            (number(self.file, entity, 50, None)?, number(self.file, entity, 51, None)?)
        } else {
            (0.0, 0.0)
        };
        let at = |degrees: f64| {
            let angle = degrees.to_radians();
            center + Vector::new(angle.cos(), angle.sin()) * radius
        };
        let segments = halves(at(start), at(end), center, Turn::Left);
        self.figure(entity.line, entity.layer(), segments, FigureKind::Loose);
        Ok(())
    }
}

/// The line or arc of a bulge, none turning more than half way.
fn bulged(from: Point, to: Point, bulge: f64) -> Vec<Segment> {
    if bulge.abs() < 1e-12 || (to - from).norm() <= GAP_MM {
        return vec![Segment::Line { from, to }];
    }
    match Segment::from_bulge(from, to, bulge) {
        Segment::Arc { center, turn, .. } => halves(from, to, center, turn),
        line => vec![line],
    }
}

fn point(file: &str, entity: &Entity<'_>, code: i32) -> Result<Point, Error> {
    Ok(Point::new(number(file, entity, code, None)?, number(file, entity, code + 10, None)?))
}

fn number(file: &str, entity: &Entity<'_>, code: i32, default: Option<f64>) -> Result<f64, Error> {
    match (entity.first(code), default) {
        (Some(pair), _) => parsed(file, pair),
        (None, Some(default)) => Ok(default),
        (None, None) => {
            let what = format!("{} lacks group {code}", entity.kind.escape_ascii());
            Err(unreadable(file, entity.line, 1, what).allowed("a coordinate"))
        }
    }
}

fn parsed(file: &str, pair: &Pair<'_>) -> Result<f64, Error> {
    let number = std::str::from_utf8(pair.value).ok().and_then(|text| text.parse::<f64>().ok());
    number.filter(|number| number.is_finite() && number.abs() <= LARGEST_NUMBER).ok_or_else(|| {
        let found =
            pair.value.iter().take(24).map(|b| b.escape_ascii().to_string()).collect::<String>();
        unreadable(file, pair.line, 1, "no number where one must stand")
            .found(found)
            .allowed("a finite number up to ten million")
    })
}

impl Drawing {
    /// Everything turned from the drawing's unit to millimetres.
    pub(crate) fn scaled(mut self, unit_mm: f64) -> Self {
        let scaled = |p: Point| p * unit_mm;
        for segment in self.figures.iter_mut().flat_map(|figure| &mut figure.segments) {
            *segment = match *segment {
                Segment::Line { from, to } => Segment::Line { from: scaled(from), to: scaled(to) },
                Segment::Arc { from, to, center, turn } => Segment::Arc {
                    from: scaled(from),
                    to: scaled(to),
                    center: scaled(center),
                    turn,
                },
            };
        }
        self
    }
}
