//! A drawing exchange file in text form, R12 to R2018: the pairs of group code and value, and of
//! them the few entities that can be cut. Group codes: the published DXF reference. Bounded,
//! without recursion.

use super::arc::halves;
use super::block::{check_size, unreadable};
use super::drilled::DRILL;
use super::entity::{Entity, Kind, Looked, Pair, Pairs, Space, number, parsed, point, whole};
use super::limits::{GAP_MM, MOST_VERTICES};
use super::spaces::Spaces;
use super::unit_said::UnitSaid;
use crate::diagnostics::Error;
use crate::geometry::{Point, Segment, Turn, Vector};

/// What a drawing holds, in its own unit.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    pub unit: UnitSaid,
    pub figures: Vec<Figure>,
    pub odd: Vec<Odd>,
    /// Layers that are off or frozen.
    pub hidden: Vec<String>,
    /// Where its entities lie, and its blocks.
    pub spaces: Spaces,
    /// What it says to people.
    pub words: Vec<Words>,
}

/// A text, or a comment that is seen by who opens the file as text.
#[derive(Debug)]
pub(super) struct Words {
    pub line: usize,
    pub text: String,
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
    /// A point, where a tool goes straight down: its one segment has no length.
    Point,
}

/// An entity that cannot be read as a line to cut.
#[derive(Debug)]
pub(super) struct Odd {
    pub line: usize,
    pub layer: String,
    pub kind: String,
    /// What is odd about it beside its kind, as it is told; nothing where its kind alone is.
    pub how: String,
    /// Where it begins, where it says so.
    pub at: Option<Point>,
    /// The block that it draws.
    pub block: Option<String>,
}

impl Odd {
    /// What it is and what is odd about it.
    pub(super) fn told(&self) -> String {
        format!("{}{}", self.kind, self.how)
    }
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
        section: Section::Outside,
        open: None,
        vertices: 0,
    };
    let mut entity = Entity { kind: Vec::new(), line: 1, pairs: Vec::new() };
    loop {
        let Some(pair) = pairs.next_pair()? else {
            return Err(unreadable(file, pairs.line.max(1), 1, "the drawing breaks off")
                .allowed("EOF as its last entry"));
        };
        if pair.code == 999 {
            reader.comment(&pair);
            continue;
        }
        if pair.code != 0 {
            entity.pairs.push(pair);
            continue;
        }
        reader.take(&entity)?;
        if pair.value == b"EOF" {
            return pairs.nothing_more().map(|()| reader.finished());
        }
        entity =
            Entity { kind: pair.value.to_ascii_uppercase(), line: pair.line, pairs: entity.pairs };
        entity.pairs.clear();
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Section {
    Header,
    Tables,
    Blocks,
    Entities,
    Other,
    /// Between two.
    Outside,
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
                let name = entity.first(2).map(|pair| pair.value.to_ascii_uppercase());
                self.section = match name.as_deref() {
                    Some(b"HEADER") => Section::Header,
                    Some(b"TABLES") => Section::Tables,
                    Some(b"BLOCKS") => Section::Blocks,
                    Some(b"ENTITIES") => Section::Entities,
                    _ => Section::Other,
                };
                if self.section == Section::Header {
                    self.drawing.unit.header(&entity.pairs, self.file)?;
                }
            }
            b"ENDSEC" => {
                self.close_polyline();
                self.section = Section::Outside;
            }
            // What stands before the first group of all.
            b"" => {}
            _ if self.section == Section::Outside => {
                let kind = entity.kind.escape_ascii().to_string();
                let error =
                    unreadable(self.file, entity.line, 1, "this stands outside of all sections");
                return Err(error.found(kind).allowed("SECTION, or EOF at the end"));
            }
            b"LAYER" if self.section == Section::Tables => self.layer(entity)?,
            b"BLOCK_RECORD" if self.section == Section::Tables => {
                self.drawing.spaces.record(entity);
            }
            _ if self.section == Section::Blocks => {
                if !matches!(entity.kind.as_slice(), b"BLOCK" | b"ENDBLK") {
                    self.words(entity);
                }
                self.drawing.spaces.in_blocks(entity, self.file)?;
                self.count(entity.line, 1)?;
            }
            _ if self.section == Section::Entities => self.entity(entity)?,
            _ => {}
        }
        Ok(())
    }

    /// A layer is frozen by its first flag, and off where its colour is negative; of two flags or
    /// colours a reader may take either.
    fn layer(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let mut is_hidden = false;
        for pair in &entity.pairs {
            is_hidden |= match pair.code {
                70 => whole(self.file, pair)? & 1 == 1,
                62 => whole(self.file, pair)? < 0,
                _ => false,
            };
        }
        if let Some(name) = entity.first(2).filter(|_| is_hidden) {
            self.drawing.hidden.push(String::from_utf8_lossy(name.value).into_owned());
        }
        Ok(())
    }

    /// What is said where other readers hear nothing.
    fn comment(&mut self, pair: &Pair<'_>) {
        let text = String::from_utf8_lossy(pair.value).into_owned();
        self.drawing.unit.comment(&text);
        self.drawing.words.push(Words { line: pair.line, text });
    }

    /// The words of an entity that shows any.
    fn words(&mut self, entity: &Entity<'_>) {
        let text = entity.words();
        if !text.is_empty() {
            self.drawing.words.push(Words { line: entity.line, text });
        }
    }

    /// The drawing, all of it read: what is drawn by a block that could be cut is no note.
    fn finished(mut self) -> Drawing {
        let harmful = self.drawing.spaces.harmful();
        for odd in &mut self.drawing.odd {
            if odd.block.as_ref().is_some_and(|block| harmful.contains(block)) {
                odd.how.push_str(" whose block holds what may be cut");
            }
        }
        self.drawing
    }

    fn entity(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let looked = entity.looked(self.file)?;
        if entity.kind == b"VERTEX" {
            return self.vertex(entity, looked);
        }
        self.close_polyline();
        if matches!(looked, Looked::Odd(_)) {
            self.words(entity);
        }
        if self.drawing.spaces.entity(entity, self.file)? == Space::Paper {
            return Ok(());
        }
        match looked {
            Looked::Plain(kind) => self.plain(entity, kind)?,
            Looked::Odd(how) => self.odd(entity, &how),
            Looked::End => {}
        }
        self.count(entity.line, 1)
    }

    /// A vertex without a polyline is one of a polyline that is told already, or on paper.
    fn vertex(&mut self, entity: &Entity<'_>, looked: Looked) -> Result<(), Error> {
        let Some(open) = &mut self.open else { return self.count(entity.line, 1) };
        let vertex = (point(self.file, entity, 10)?, number(self.file, entity, 42, Some(0.0))?);
        open.vertices.push(vertex);
        if let Looked::Odd(how) = looked {
            open.oddity.get_or_insert(how);
        }
        self.count(entity.line, 1)
    }

    fn plain(&mut self, entity: &Entity<'_>, kind: Kind) -> Result<(), Error> {
        let (line, layer) = (entity.line, entity.layer());
        match kind {
            Kind::Light => self.polyline(entity)?,
            Kind::Polyline => {
                let closed = entity.flags(self.file)? & 1 == 1;
                let vertices = Vec::new();
                self.open = Some(OpenPolyline { line, layer, closed, vertices, oddity: None });
            }
            Kind::Line => {
                let (from, to) = (point(self.file, entity, 10)?, point(self.file, entity, 11)?);
                self.figure(line, layer, vec![Segment::Line { from, to }], FigureKind::Loose);
            }
            // A hole as wide as the tool; a point on any other layer is nothing that is known here.
            Kind::Point if layer.eq_ignore_ascii_case(DRILL) => {
                let at = point(self.file, entity, 10)?;
                let segments = vec![Segment::Line { from: at, to: at }];
                self.figure(line, layer, segments, FigureKind::Point);
            }
            Kind::Point | Kind::Vertex => self.odd(entity, ""),
            Kind::Arc | Kind::Circle => self.arc(entity, kind)?,
        }
        Ok(())
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
        let (line, layer, how) = (entity.line, entity.layer(), how.to_string());
        let kind = entity.kind.escape_ascii().to_string();
        let (at, block) = (entity.begins(), entity.block());
        self.drawing.odd.push(Odd { line, layer, kind, how, at, block });
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
        let closed = entity.flags(self.file)? & 1 == 1;
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
        if let Some(how) = polyline.oddity {
            let OpenPolyline { line, layer, vertices, .. } = polyline;
            let (kind, at) = ("POLYLINE".to_string(), vertices.first().map(|vertex| vertex.0));
            self.drawing.odd.push(Odd { line, layer, kind, how, at, block: None });
            return;
        }
        let vertices = &polyline.vertices;
        let around = vertices.iter().zip(vertices.iter().cycle().skip(1));
        let count = if polyline.closed { vertices.len() } else { vertices.len().saturating_sub(1) };
        let segments = around.take(count).flat_map(|(a, b)| bulged(a.0, b.0, a.1)).collect();
        self.figure(polyline.line, polyline.layer, segments, FigureKind::Polyline);
    }

    fn arc(&mut self, entity: &Entity<'_>, kind: Kind) -> Result<(), Error> {
        let center = point(self.file, entity, 10)?;
        let radius = number(self.file, entity, 40, None)?;
        let (start, end) = if kind == Kind::Arc {
            (number(self.file, entity, 50, None)?, number(self.file, entity, 51, None)?)
        } else {
            (0.0, 0.0)
        };
        let at = |degrees: f64| {
            let angle = degrees.to_radians();
            center + Vector::new(angle.cos(), angle.sin()) * radius
        };
        // Some readers take it for a whole circle, others for nothing.
        if kind == Kind::Arc && (end - start).abs().to_radians() * radius <= GAP_MM {
            self.odd(entity, " without a length");
            return Ok(());
        }
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

impl Drawing {
    /// Everything turned from the drawing's unit to millimetres.
    pub(crate) fn scaled(mut self, unit_mm: f64) -> Self {
        let scaled = |p: Point| p * unit_mm;
        for at in self.odd.iter_mut().filter_map(|odd| odd.at.as_mut()) {
            *at = scaled(*at);
        }
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
