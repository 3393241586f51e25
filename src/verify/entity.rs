//! The pairs of group code and value of a drawing, and what they make together: an entity, with
//! what makes shops take it in different ways.

use super::block::unreadable;
use super::limits::{GAP_MM, LARGEST_NUMBER};
use crate::diagnostics::Error;
use crate::geometry::Point;

/// One group code and its value.
#[derive(Clone, Copy)]
pub(super) struct Pair<'a> {
    pub code: i32,
    pub value: &'a [u8],
    pub line: usize,
}

pub(super) struct Pairs<'a, I> {
    pub file: &'a str,
    pub lines: I,
    pub line: usize,
}

impl<'a, I: Iterator<Item = &'a [u8]>> Pairs<'_, I> {
    pub(super) fn next_pair(&mut self) -> Result<Option<Pair<'a>>, Error> {
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
    pub(super) fn nothing_more(mut self) -> Result<(), Error> {
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
const ONCE: [i32; 19] =
    [8, 10, 20, 30, 11, 21, 31, 38, 40, 42, 43, 50, 51, 60, 67, 70, 210, 220, 230];
/// Of them, those that a polyline in one entity says for every vertex.
const EACH_VERTEX: [i32; 4] = [10, 20, 40, 42];

/// Kinds that draw what a block holds.
const DRAWN_BY_BLOCKS: [&[u8]; 4] =
    [b"INSERT", b"DIMENSION", b"ARC_DIMENSION", b"LARGE_RADIAL_DIMENSION"];

/// Where an entity lies by its own flag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Space {
    Model,
    Paper,
    /// By two flags that differ, or one that is none.
    Unclear,
}

/// What an entity draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A polyline in one entity.
    Light,
    /// A polyline whose vertices follow.
    Polyline,
    Vertex,
    Line,
    Arc,
    Circle,
    Point,
}

/// An entity looked at.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Looked {
    /// One that all shops take alike.
    Plain(Kind),
    /// One that they do not, or that is nothing to cut, and why.
    Odd(String),
    /// The end of a polyline's vertices.
    End,
}

pub(super) struct Entity<'a> {
    pub kind: Vec<u8>,
    pub line: usize,
    pub pairs: Vec<Pair<'a>>,
}

impl Entity<'_> {
    pub(super) fn first(&self, code: i32) -> Option<&Pair<'_>> {
        self.pairs.iter().find(|pair| pair.code == code)
    }

    /// What the entity draws: the one way to a kind, so that none gets past the checks.
    pub(super) fn looked(&self, file: &str) -> Result<Looked, Error> {
        let kind = match self.kind.as_slice() {
            b"LWPOLYLINE" => Kind::Light,
            b"POLYLINE" => Kind::Polyline,
            b"VERTEX" => Kind::Vertex,
            b"LINE" => Kind::Line,
            b"ARC" => Kind::Arc,
            b"CIRCLE" => Kind::Circle,
            b"POINT" => Kind::Point,
            b"SEQEND" => return Ok(Looked::End),
            _ => return Ok(Looked::Odd(String::new())),
        };
        Ok(self.oddity(file, kind)?.map_or(Looked::Plain(kind), Looked::Odd))
    }

    /// What makes shops take an entity in different ways, or not see it at all; `None` for a plain
    /// one.
    fn oddity(&self, file: &str, kind: Kind) -> Result<Option<String>, Error> {
        let of = |code: i32, usual: f64| number(file, self, code, Some(usual));
        let is_set = |code: i32| Ok::<bool, Error>(of(code, 0.0)?.abs() > GAP_MM);
        if of(230, 1.0)? < 1.0 - GAP_MM || is_set(210)? || is_set(220)? {
            return Ok(Some(" turned over".to_string()));
        }
        let is_polyline = matches!(kind, Kind::Light | Kind::Polyline | Kind::Vertex);
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
        let says_each = |code: i32| kind == Kind::Light && EACH_VERTEX.contains(&code);
        let twice = ONCE.into_iter().find(|&code| {
            !says_each(code) && self.pairs.iter().filter(|pair| pair.code == code).nth(1).is_some()
        });
        if let Some(code) = twice {
            return Ok(Some(format!(" that says group {code} twice")));
        }
        if self.space(file)? != Space::Model {
            return Ok(Some(" on paper".to_string()));
        }
        if kind == Kind::Polyline && self.flags(file)? & !(1 | 128) != 0 {
            return Ok(Some(" with curves or in space".to_string()));
        }
        if matches!(kind, Kind::Arc | Kind::Circle) && number(file, self, 40, None)? <= GAP_MM {
            return Ok(Some(" without a radius".to_string()));
        }
        Ok(None)
    }

    pub(super) fn flags(&self, file: &str) -> Result<i64, Error> {
        self.first(70).map_or(Ok(0), |pair| whole(file, pair))
    }

    pub(super) fn layer(&self) -> String {
        self.first(8).map_or_else(
            || "0".to_string(),
            |pair| String::from_utf8_lossy(pair.value).into_owned(),
        )
    }

    /// Where it lies by its own flag.
    pub(super) fn space(&self, file: &str) -> Result<Space, Error> {
        let mut space = None;
        for pair in self.pairs.iter().filter(|pair| pair.code == 67) {
            let said = match whole(file, pair)? {
                0 => Space::Model,
                1 => Space::Paper,
                _ => Space::Unclear,
            };
            space = Some(if space.is_some_and(|before| before != said) {
                Space::Unclear
            } else {
                said
            });
        }
        Ok(space.unwrap_or(Space::Model))
    }

    /// The handles that say whose it is, `None` for one that is no handle; lists of who reacts to it
    /// stand between braces.
    pub(super) fn owners(&self) -> Vec<Option<u64>> {
        let (mut owners, mut in_braces) = (Vec::new(), false);
        for pair in &self.pairs {
            match pair.code {
                102 => in_braces = pair.value.starts_with(b"{"),
                330 if !in_braces => owners.push(handle(pair.value)),
                _ => {}
            }
        }
        owners
    }

    /// The name of the block that it is drawn by, for those kinds that are.
    pub(super) fn block(&self) -> Option<String> {
        let name = self.first(2).filter(|_| DRAWN_BY_BLOCKS.contains(&self.kind.as_slice()));
        name.map(|pair| String::from_utf8_lossy(pair.value).to_ascii_uppercase())
    }

    /// Where it begins, where it says so.
    pub(super) fn begins(&self) -> Option<Point> {
        let of = |code: i32| std::str::from_utf8(self.first(code)?.value).ok()?.parse::<f64>().ok();
        let is_coordinate = |number: &f64| number.is_finite() && number.abs() <= LARGEST_NUMBER;
        let (x, y) = (of(10).filter(is_coordinate)?, of(20).filter(is_coordinate)?);
        Some(Point::new(x, y))
    }

    /// The words that it shows, in the order they stand.
    pub(super) fn words(&self) -> String {
        let codes: &[i32] = match self.kind.as_slice() {
            b"MTEXT" => &[3, 1],
            b"MULTILEADER" => &[304],
            b"ARC_DIMENSION" | b"ATTDEF" | b"ATTRIB" | b"DIMENSION" | b"RTEXT" | b"TEXT"
            | b"TOLERANCE" => &[1],
            _ => &[],
        };
        let shown = self.pairs.iter().filter(|pair| codes.contains(&pair.code));
        shown.map(|pair| String::from_utf8_lossy(pair.value)).collect()
    }
}

pub(super) fn point(file: &str, entity: &Entity<'_>, code: i32) -> Result<Point, Error> {
    Ok(Point::new(number(file, entity, code, None)?, number(file, entity, code + 10, None)?))
}

pub(super) fn number(
    file: &str,
    entity: &Entity<'_>,
    code: i32,
    default: Option<f64>,
) -> Result<f64, Error> {
    match (entity.first(code), default) {
        (Some(pair), _) => parsed(file, pair),
        (None, Some(default)) => Ok(default),
        (None, None) => {
            let what = format!("{} lacks group {code}", entity.kind.escape_ascii());
            Err(unreadable(file, entity.line, 1, what).allowed("a coordinate"))
        }
    }
}

pub(super) fn parsed(file: &str, pair: &Pair<'_>) -> Result<f64, Error> {
    let number = std::str::from_utf8(pair.value).ok().and_then(|text| text.parse::<f64>().ok());
    number.filter(|number| number.is_finite() && number.abs() <= LARGEST_NUMBER).ok_or_else(|| {
        let found = excerpt(pair.value);
        unreadable(file, pair.line, 1, "no number where one must stand")
            .found(found)
            .allowed("a finite number up to ten million")
    })
}

/// A whole number: flags, colours.
pub(super) fn whole(file: &str, pair: &Pair<'_>) -> Result<i64, Error> {
    let number = std::str::from_utf8(pair.value).ok().and_then(|text| text.parse().ok());
    number.ok_or_else(|| {
        let found = excerpt(pair.value);
        unreadable(file, pair.line, 1, "no whole number where one must stand")
            .found(found)
            .allowed("a whole number")
    })
}

/// A handle: hexadecimal, whatever its case and its zeros.
pub(super) fn handle(value: &[u8]) -> Option<u64> {
    std::str::from_utf8(value).ok().and_then(|text| u64::from_str_radix(text, 16).ok())
}

fn excerpt(value: &[u8]) -> String {
    value.iter().take(24).map(|b| b.escape_ascii().to_string()).collect()
}
