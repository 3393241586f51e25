//! The pairs of group code and value of a drawing, and what they make together: an entity.

use super::block::unreadable;
use super::limits::LARGEST_NUMBER;
use crate::diagnostics::Error;
use crate::geometry::Point;

/// One group code and its value.
#[derive(Clone, Copy)]
pub(super) struct Pair<'a> {
    pub code: i32,
    pub value: &'a [u8],
    pub line: usize,
    /// Whether blanks stand round the value, which some readers take for a part of it.
    pub is_padded: bool,
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
        // In plain digits: readers that compare texts do not know `+8` or `00`.
        let is_plain =
            |text: &&str| text.parse::<i32>().is_ok_and(|code| code.to_string() == *text);
        let plain = std::str::from_utf8(text).ok().filter(|text| text.len() <= 6).filter(is_plain);
        let code = plain.and_then(|text| text.parse().ok());
        let Some(code) = code else {
            let found =
                text.iter().take(20).map(|b| b.escape_ascii().to_string()).collect::<String>();
            let error =
                unreadable(self.file, self.line - 1, 1, "no group code where one must stand");
            return Err(error.found(found).allowed("a whole number in plain digits"));
        };
        let bare = value.trim_ascii();
        let is_padded = value.strip_suffix(b"\r").unwrap_or(value).len() != bare.len();
        Ok(Some(Pair { code, value: bare, line: self.line, is_padded }))
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
        if self.kind == b"SEQEND" {
            return Ok(Looked::End);
        }
        let Some(kind) = self.drawn() else { return Ok(Looked::Odd(String::new())) };
        Ok(self.oddity(file, kind)?.map_or(Looked::Plain(kind), Looked::Odd))
    }

    /// The kind of what can be judged.
    pub(super) fn drawn(&self) -> Option<Kind> {
        match self.kind.as_slice() {
            b"LWPOLYLINE" => Some(Kind::Light),
            b"POLYLINE" => Some(Kind::Polyline),
            b"VERTEX" => Some(Kind::Vertex),
            b"LINE" => Some(Kind::Line),
            b"ARC" => Some(Kind::Arc),
            b"CIRCLE" => Some(Kind::Circle),
            b"POINT" => Some(Kind::Point),
            _ => None,
        }
    }

    /// A name that it says.
    pub(super) fn named(&self, code: i32) -> Option<String> {
        self.first(code).map(|pair| String::from_utf8_lossy(pair.value).into_owned())
    }

    pub(super) fn flags(&self, file: &str) -> Result<i64, Error> {
        self.first(70).map_or(Ok(0), |pair| whole(file, pair))
    }

    pub(super) fn layer(&self) -> String {
        self.named(8).unwrap_or_else(|| "0".to_string())
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

    /// The handles that say whose it is, `None` for one that is no handle; lists of who reacts to
    /// it stand between braces.
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

    /// Its own handle, where it has one.
    pub(super) fn handle(&self) -> Option<u64> {
        // There the old versions have a name.
        let own = self.first(5).filter(|_| self.kind != b"DIMSTYLE");
        own.and_then(|pair| handle(pair.value)).filter(|handle| *handle != 0)
    }

    /// The name of the block that it is drawn by, for those kinds that are.
    pub(super) fn block(&self) -> Option<String> {
        let name = self.first(2).filter(|_| DRAWN_BY_BLOCKS.contains(&self.kind.as_slice()));
        name.map(|pair| String::from_utf8_lossy(pair.value).to_ascii_uppercase())
    }

    /// Where it begins, where it says so.
    pub(super) fn begins(&self) -> Option<Point> {
        Some(Point::new(self.figure(10)?, self.figure(20)?))
    }

    /// Its ends, of a line.
    pub(super) fn ends(&self) -> Option<[Point; 2]> {
        let is_line = self.kind == b"LINE";
        let to = || Some(Point::new(self.figure(11)?, self.figure(21)?));
        is_line.then_some(())?;
        Some([self.begins()?, to()?])
    }

    /// A number that it says, where it is one.
    pub(super) fn figure(&self, code: i32) -> Option<f64> {
        let number = std::str::from_utf8(self.first(code)?.value).ok()?.parse::<f64>().ok()?;
        (number.is_finite() && number.abs() <= LARGEST_NUMBER).then_some(number)
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
