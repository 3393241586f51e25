//! What makes shops take an entity in different ways: what it says beside its shape that readers
//! follow or pass over. Meaning of the groups: the published DXF reference.

use std::collections::BTreeSet;

use super::entity::{Entity, Kind, Space, number, parsed, whole};
use super::limits::GAP_MM;
use crate::diagnostics::Error;

/// Groups that may stand more than once in any entity: names of classes, braces, what stands in
/// those, pictures.
const REPEATED: [i32; 5] = [100, 102, 310, 330, 360];
/// From here on groups belong to other programs.
const OF_OTHERS: i32 = 1000;
/// Groups that a polyline in one entity says once for every vertex.
const EACH_VERTEX: [i32; 6] = [10, 20, 40, 41, 42, 91];
/// Groups that tell of all entities alike, and stand before the name of the kind's own class.
const OF_ALL: [i32; 5] = [6, 8, 60, 67, 410];
/// Groups of the shape.
const OF_SHAPE: [i32; 13] = [10, 11, 20, 21, 40, 41, 42, 43, 50, 51, 66, 70, 90];
/// Flags of a polyline that change nothing of its line: it is closed, how linetypes go round.
const PLAIN_FLAGS: i64 = 1 | 128;

impl Entity<'_> {
    /// What makes shops take an entity in different ways, or not see it at all; `None` for a plain
    /// one.
    ///
    /// # Errors
    /// If a number that is looked at is none.
    pub(super) fn oddity(&self, file: &str, kind: Kind) -> Result<Option<String>, Error> {
        let of = |code: i32, usual: f64| number(file, self, code, Some(usual));
        let is_set = |code: i32| Ok::<bool, Error>(of(code, 0.0)?.abs() > GAP_MM);
        let odd = |how: &str| Ok(Some(how.to_string()));
        if of(230, 1.0)? < 1.0 - GAP_MM || is_set(210)? || is_set(220)? {
            return odd(" turned over");
        }
        let is_polyline = matches!(kind, Kind::Light | Kind::Polyline | Kind::Vertex);
        let widths =
            self.pairs.iter().filter(|pair| is_polyline && matches!(pair.code, 40 | 41 | 43));
        for width in widths {
            if parsed(file, width)?.abs() > GAP_MM {
                return odd(" with a width");
            }
        }
        if is_set(60)? {
            return odd(" that is invisible");
        }
        if is_set(30)? || is_set(31)? || is_set(38)? {
            return odd(" off the plane");
        }
        if is_set(39)? {
            return odd(" with a thickness");
        }
        if let Some(code) = self.said_twice(kind) {
            return Ok(Some(format!(" that says group {code} twice")));
        }
        if self.space(file)? != Space::Model {
            return odd(" on paper");
        }
        let layout = self.first(410).filter(|pair| !pair.value.eq_ignore_ascii_case(b"Model"));
        if layout.is_some() {
            return odd(" on a layout of its own");
        }
        if self.first(8).is_some_and(|pair| pair.is_padded) {
            return odd(" with blanks round the name of its layer");
        }
        if !self.is_in_its_classes(kind) {
            return odd(" with groups that do not stand within the names of its classes");
        }
        if let Some(how) = self.odd_flags(file, kind)? {
            return odd(how);
        }
        if kind == Kind::Light {
            return self.odd_vertices(file);
        }
        if matches!(kind, Kind::Arc | Kind::Circle) && number(file, self, 40, None)? <= GAP_MM {
            return odd(" without a radius");
        }
        Ok(None)
    }

    /// A group that stands twice and is meant once: readers differ in which they take.
    fn said_twice(&self, kind: Kind) -> Option<i32> {
        let mut seen = BTreeSet::new();
        let is_of_vertex = |code: i32| kind == Kind::Light && EACH_VERTEX.contains(&code);
        let codes = self.pairs.iter().map(|pair| pair.code).filter(|code| !is_of_vertex(*code));
        let mut once =
            codes.filter(|code| (0..OF_OTHERS).contains(code) && !REPEATED.contains(code));
        once.find(|code| !seen.insert(*code))
    }

    /// Whether groups stand where readers look for them that go by the names of classes; one that
    /// names none is read by its groups alone.
    fn is_in_its_classes(&self, kind: Kind) -> bool {
        let expected: &[&[u8]] = match kind {
            Kind::Light => &[b"AcDbEntity", b"AcDbPolyline"],
            Kind::Polyline => &[b"AcDbEntity", b"AcDb2dPolyline"],
            Kind::Vertex => &[b"AcDbEntity", b"AcDbVertex", b"AcDb2dVertex"],
            Kind::Line => &[b"AcDbEntity", b"AcDbLine"],
            Kind::Arc => &[b"AcDbEntity", b"AcDbCircle", b"AcDbArc"],
            Kind::Circle => &[b"AcDbEntity", b"AcDbCircle"],
            Kind::Point => &[b"AcDbEntity", b"AcDbPoint"],
        };
        let named: Vec<&[u8]> =
            self.pairs.iter().filter(|pair| pair.code == 100).map(|pair| pair.value).collect();
        if named.is_empty() {
            return true;
        }
        if named != expected {
            return false;
        }
        let own = if kind == Kind::Arc { expected.len() - 1 } else { expected.len() };
        let mut classes = 0;
        for pair in &self.pairs {
            let is_in_place = match pair.code {
                100 => {
                    classes += 1;
                    true
                }
                code if OF_ALL.contains(&code) => classes < 2,
                50 | 51 if kind == Kind::Arc => classes == expected.len(),
                code if OF_SHAPE.contains(&code) => classes == own,
                _ => true,
            };
            if !is_in_place {
                return false;
            }
        }
        true
    }

    /// Flags that make another line of a polyline's vertices, or say that none follow.
    fn odd_flags(&self, file: &str, kind: Kind) -> Result<Option<&'static str>, Error> {
        let flags = self.flags(file)?;
        let is_set = |code: i32| self.figure(code).is_some_and(|number| number != 0.0);
        Ok(match kind {
            Kind::Polyline if flags & !PLAIN_FLAGS != 0 => Some(" with curves or in space"),
            // Meshes and smoothed surfaces.
            Kind::Polyline if (71..=75).any(is_set) => Some(" with curves or in space"),
            Kind::Polyline if self.first(66).is_some() && !is_set(66) => {
                Some(" that says that no vertices follow")
            }
            Kind::Vertex if flags != 0 => Some(" with a vertex of a curve or in space"),
            Kind::Light if flags & !PLAIN_FLAGS != 0 => Some(" with flags that it does not have"),
            _ => None,
        })
    }

    /// What is odd about the vertices of a polyline in one entity: each begins with its X, says its
    /// Y once and the rest once at the most.
    fn odd_vertices(&self, file: &str) -> Result<Option<String>, Error> {
        let (mut count, mut said): (i64, Vec<i32>) = (0, vec![20]);
        for pair in self.pairs.iter().filter(|pair| EACH_VERTEX.contains(&pair.code)) {
            parsed(file, pair)?;
            if pair.code == 10 {
                if !said.contains(&20) {
                    return Ok(Some(" with a vertex that has no Y".to_string()));
                }
                count += 1;
                said.clear();
            } else if count == 0 {
                return Ok(Some(format!(" that says group {} before its first vertex", pair.code)));
            } else if said.contains(&pair.code) {
                return Ok(Some(format!(" that says group {} twice for a vertex", pair.code)));
            } else {
                said.push(pair.code);
            }
        }
        if !said.contains(&20) {
            return Ok(Some(" with a vertex that has no Y".to_string()));
        }
        let told = self.first(90).map(|pair| whole(file, pair)).transpose()?;
        if let Some(told) = told.filter(|told| *told != count) {
            return Ok(Some(format!(" that says it has {told} vertices and lists {count}")));
        }
        Ok((count < 2).then(|| " with fewer than two vertices".to_string()))
    }
}
