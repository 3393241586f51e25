//! Pairs of a group code and a value, one a line, and what both versions write alike.

use std::fmt::Write;

use super::model::{Drawing, Entity, Layer};
use crate::geometry::{Point, Segment};
use crate::profile::ProgramUnits;
use crate::units::trimmed;

/// Decimals of a coordinate: a millionth of an inch and far below.
const PLACES: usize = 9;

/// The group codes and values of a file under construction.
pub(super) struct Pairs {
    text: String,
    in_mm: f64,
    next_handle: u32,
}

impl Pairs {
    pub(super) fn new(units: ProgramUnits) -> Self {
        Self { text: String::new(), in_mm: units.in_mm(), next_handle: 1 }
    }

    pub(super) fn text(&mut self, code: i32, value: &str) -> &mut Self {
        // Writing to a text never fails.
        let _ = writeln!(self.text, "{code:>3}\n{value}");
        self
    }

    pub(super) fn int(&mut self, code: i32, value: i32) -> &mut Self {
        self.text(code, &value.to_string())
    }

    pub(super) fn real(&mut self, code: i32, value: f64) -> &mut Self {
        let mut text = trimmed(value, PLACES);
        if !text.contains('.') {
            text.push_str(".0");
        }
        self.text(code, &text)
    }

    /// A length in mm, in the file's unit.
    pub(super) fn length(&mut self, code: i32, mm: f64) -> &mut Self {
        self.real(code, mm / self.in_mm)
    }

    /// A point in mm as x, y and a z of 0, on codes c, c + 10, c + 20.
    pub(super) fn point(&mut self, code: i32, p: Point) -> &mut Self {
        self.length(code, p.x).length(code + 10, p.y).real(code + 20, 0.0)
    }

    /// A point in mm as x and y.
    pub(super) fn flat_point(&mut self, code: i32, p: Point) -> &mut Self {
        self.length(code, p.x).length(code + 10, p.y)
    }

    /// A fresh handle.
    pub(super) fn handle(&mut self) -> String {
        let handle = format!("{:X}", self.next_handle);
        self.next_handle += 1;
        handle
    }

    /// The handle that comes next, for a seed.
    pub(super) fn handle_seed(&self) -> String {
        format!("{:X}", self.next_handle)
    }

    pub(super) fn section(&mut self, name: &str, body: impl FnOnce(&mut Self)) {
        self.text(0, "SECTION").text(2, name);
        body(self);
        self.text(0, "ENDSEC");
    }

    /// What a reader passes over, before the first section.
    pub(super) fn comments(&mut self, drawing: &Drawing) {
        for words in &drawing.comments {
            self.text(999, words);
        }
    }

    pub(super) fn append(&mut self, other: Self) {
        self.text.push_str(&other.text);
        self.next_handle = other.next_handle;
    }

    /// Pairs that go on with this one's handles, to be appended later.
    pub(super) fn fork(&self) -> Self {
        Self { text: String::new(), in_mm: self.in_mm, next_handle: self.next_handle }
    }

    pub(super) fn finish(mut self) -> String {
        self.text(0, "EOF");
        self.text
    }
}

/// Header variables that both versions know.
pub(super) fn common_header(pairs: &mut Pairs, drawing: &Drawing, version: &str) {
    let bounds = drawing.bounds();
    pairs.text(9, "$ACADVER").text(1, version);
    pairs.text(9, "$EXTMIN").point(10, bounds.min);
    pairs.text(9, "$EXTMAX").point(10, bounds.max);
    pairs.text(9, "$LUNITS").int(70, 2);
    pairs.text(9, "$LUPREC").int(70, 4);
}

/// The vertices of a polyline, each with the bulge of the segment that leaves it; an open one has
/// its end too.
pub(super) fn vertices(entity: &Entity) -> Vec<(Point, f64)> {
    match entity {
        Entity::Closed(_, segments) => segments.iter().map(|s| (s.from(), s.bulge())).collect(),
        Entity::Open(_, segments) => {
            let end = segments.last().map(|s: &Segment| (s.to(), 0.0));
            segments.iter().map(|s| (s.from(), s.bulge())).chain(end).collect()
        }
        Entity::Circle(..) | Entity::Point(..) | Entity::Text(..) => Vec::new(),
    }
}

/// Whether a polyline closes, as the flag has it.
pub(super) fn closed_flag(entity: &Entity) -> i32 {
    i32::from(matches!(entity, Entity::Closed(..)))
}

/// Names and colours of the layers with layer 0 first, which must exist and stays empty. There is a
/// layer for holes and one for pockets only where there are any.
pub(super) fn layers(drawing: &Drawing) -> Vec<(&'static str, i32)> {
    let is_used = |layer: Layer| drawing.entities.iter().any(|entity| entity.layer() == layer);
    let is_wanted =
        |layer: &Layer| !matches!(layer, Layer::Drill | Layer::Pocket) || is_used(*layer);
    let layers = Layer::ALL.into_iter().filter(is_wanted);
    std::iter::once(("0", 7)).chain(layers.map(|layer| (layer.name(), layer.colour()))).collect()
}
