//! A drawing exchange file in text form, R12 to R2018: the pairs of group code and value, and of
//! them the few entities that can be cut. Group codes: the published DXF reference. Bounded,
//! without recursion.

use super::arc::halves;
use super::block::{check_size, unreadable};
use super::contents::{Drawing, Figure, FigureKind, Odd, Said, Shown, Words};
use super::drilled::DRILL;
use super::entity::{Entity, Kind, Looked, Pair, Pairs, Space, number, parsed, point};
use super::limits::{GAP_MM, MOST_VERTICES};
use super::skeleton::{
    self, Section, Sections, Stray, check_header, check_own, check_text, is_drawable, is_old,
};
use crate::diagnostics::Error;
use crate::diagnostics::codes::StrayPlace;
use crate::geometry::{Point, Segment, Turn, Vector};

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
    check_text(bytes, file)?;
    let mut pairs = Pairs { file, lines: bytes.split(|&b| b == b'\n'), line: 0 };
    let mut reader = Reader {
        file,
        drawing: Drawing::default(),
        sections: Sections::new(),
        last: Last::Other,
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
            reader.sections.finish(pair.line, file)?;
            return pairs.nothing_more().map(|()| reader.finished());
        }
        entity =
            Entity { kind: skeleton::kind(&pair, file)?, line: pair.line, pairs: entity.pairs };
        entity.pairs.clear();
    }
}

/// A polyline whose vertices are still to come.
struct OpenPolyline {
    line: usize,
    layer: String,
    closed: bool,
    vertices: Vec<(Point, f64)>,
    /// Of a vertex.
    oddity: Option<String>,
    said: Said,
}

/// What vertices belong to that come now.
enum Last {
    Polyline(OpenPolyline),
    /// A polyline that is told already, or on paper.
    PassedOver,
    Other,
}

struct Reader<'a> {
    file: &'a str,
    drawing: Drawing,
    sections: Sections,
    last: Last,
    vertices: usize,
}

impl Reader<'_> {
    fn take(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let is_frame = matches!(entity.kind.as_slice(), b"" | b"SECTION" | b"ENDSEC");
        if let Some(handle) = entity.handle().filter(|_| !is_frame) {
            *self.drawing.handles.entry(handle).or_default() += 1;
        }
        let section = self.sections.section;
        if !is_frame && matches!(section, Section::Tables | Section::Blocks | Section::Entities) {
            check_own(entity, self.file)?;
        }
        match (entity.kind.as_slice(), section) {
            (b"SECTION", _) => {
                self.sections.begin(entity, self.file)?;
                if self.sections.section == Section::Header {
                    check_header(&entity.pairs, self.file)?;
                    self.drawing.unit.header(&entity.pairs, self.file)?;
                    self.drawing.is_old = is_old(&entity.pairs);
                }
            }
            (b"ENDSEC", _) => {
                self.close_polyline(false);
                self.sections.end(entity, self.file)?;
            }
            // What stands before the first group of all.
            (b"", _) => {}
            (kind, Section::Outside) => {
                let kind = kind.escape_ascii().to_string();
                let error =
                    unreadable(self.file, entity.line, 1, "this stands outside of all sections");
                return Err(error.found(kind).allowed("SECTION, or EOF at the end"));
            }
            (b"LAYER", Section::Tables) => self.drawing.layers.layer(entity, self.file)?,
            (b"LTYPE", Section::Tables) => self.drawing.layers.linetype(entity, self.file)?,
            (b"BLOCK_RECORD", Section::Tables) => self.drawing.spaces.record(entity),
            (_, Section::Blocks) => self.in_blocks(entity)?,
            (_, Section::Entities) => self.entity(entity)?,
            _ => {
                if let Some(stray) = self.sections.stray(entity) {
                    self.drawing.strays.push(stray);
                    self.count(entity.line, 1)?;
                }
            }
        }
        Ok(())
    }

    fn in_blocks(&mut self, entity: &Entity<'_>) -> Result<(), Error> {
        let begins_or_ends = matches!(entity.kind.as_slice(), b"BLOCK" | b"ENDBLK");
        if !begins_or_ends {
            self.words(entity, None);
        }
        if !begins_or_ends && is_drawable(&entity.kind) && !self.drawing.spaces.is_in_block() {
            self.drawing.strays.push(Stray::new(entity, StrayPlace::BetweenBlocks));
        }
        self.drawing.spaces.in_blocks(entity, self.file)?;
        self.count(entity.line, 1)
    }

    /// What is said where other readers hear nothing.
    fn comment(&mut self, pair: &Pair<'_>) {
        let text = String::from_utf8_lossy(pair.value).into_owned();
        self.drawing.unit.comment(&text);
        self.drawing.words.push(Words { line: pair.line, text, layer: String::new(), shown: None });
    }

    /// The words of an entity that shows any.
    fn words(&mut self, entity: &Entity<'_>, shown: Option<Shown>) {
        let text = entity.words();
        if !text.is_empty() {
            let layer = entity.layer();
            self.drawing.words.push(Words { line: entity.line, text, layer, shown });
        }
    }

    /// The drawing, all of it read: what is drawn by a block that could be cut is no note.
    fn finished(mut self) -> Drawing {
        let judged = super::layers::names_judged(&self.drawing);
        let harmful = self.drawing.spaces.harmful(&judged);
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
        self.close_polyline(looked == Looked::End);
        let space = self.drawing.spaces.entity(entity, self.file)?;
        if matches!(looked, Looked::Odd(_)) {
            let of = |code: i32| entity.figure(code).unwrap_or(0.0);
            let shown = Shown {
                at: entity.begins(),
                height: of(40),
                turn_deg: of(50),
                is_hidden: of(60) != 0.0 || of(230) < 0.0,
            };
            self.words(entity, Some(shown).filter(|_| space != Space::Paper));
        }
        if entity.kind == b"POLYLINE" {
            self.last = Last::PassedOver;
        }
        self.count(entity.line, 1)?;
        match looked {
            _ if space == Space::Paper => {}
            Looked::Plain(kind) => self.plain(entity, kind)?,
            Looked::Odd(how) => self.odd(entity, &how),
            Looked::End => {}
        }
        Ok(())
    }

    fn vertex(&mut self, entity: &Entity<'_>, looked: Looked) -> Result<(), Error> {
        match &mut self.last {
            Last::Polyline(open) => {
                let bulge = number(self.file, entity, 42, Some(0.0))?;
                open.vertices.push((point(self.file, entity, 10)?, bulge));
                if let Looked::Odd(how) = looked {
                    open.oddity.get_or_insert(how);
                }
                let layer = entity.named(8);
                if layer.is_some_and(|layer| !layer.eq_ignore_ascii_case(&open.layer)) {
                    open.oddity.get_or_insert(" with a vertex on another layer".to_string());
                }
                open.said.handles.extend(entity.handle());
            }
            Last::PassedOver => {}
            Last::Other => self.drawing.strays.push(Stray::new(entity, StrayPlace::NoPolyline)),
        }
        self.count(entity.line, 1)
    }

    fn plain(&mut self, entity: &Entity<'_>, kind: Kind) -> Result<(), Error> {
        let (line, layer) = (entity.line, entity.layer());
        match kind {
            Kind::Light => self.polyline(entity)?,
            Kind::Polyline => {
                let closed = entity.flags(self.file)? & 1 == 1;
                let (vertices, oddity, said) = (Vec::new(), None, Said::of(entity));
                let open = OpenPolyline { line, layer, closed, vertices, oddity, said };
                self.last = Last::Polyline(open);
            }
            Kind::Line => {
                let (from, to) = (point(self.file, entity, 10)?, point(self.file, entity, 11)?);
                let segments = vec![Segment::Line { from, to }];
                self.figure(entity, segments, FigureKind::Loose);
            }
            // A hole as wide as the tool; a point on any other layer is nothing that is known here.
            Kind::Point if layer.eq_ignore_ascii_case(DRILL) => {
                let at = point(self.file, entity, 10)?;
                let segments = vec![Segment::Line { from: at, to: at }];
                self.figure(entity, segments, FigureKind::Point);
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

    fn figure(&mut self, entity: &Entity<'_>, segments: Vec<Segment>, kind: FigureKind) {
        let (line, layer, said) = (entity.line, entity.layer(), Said::of(entity));
        self.drawing.figures.push(Figure { line, layer, segments, kind, said });
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
            said: Said::of(entity),
        });
        Ok(())
    }

    /// No vertex of a polyline comes any more; some readers wait for the entity that says so.
    fn close_polyline(&mut self, is_said: bool) {
        if let Last::Polyline(mut open) = std::mem::replace(&mut self.last, Last::Other) {
            if open.vertices.len() < 2 {
                open.oddity.get_or_insert(" with fewer than two vertices".to_string());
            } else if !is_said {
                open.oddity.get_or_insert(" without its SEQEND".to_string());
            }
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
        let OpenPolyline { line, layer, said, .. } = polyline;
        let kind = FigureKind::Polyline;
        self.drawing.figures.push(Figure { line, layer, segments, kind, said });
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
        self.figure(entity, segments, FigureKind::Loose);
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
