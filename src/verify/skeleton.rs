//! What a drawing exchange file is made of before anything is drawn: its text, its sections, and
//! what may stand in each. Readers that follow less of it see more, or less, than was meant.

use super::block::unreadable;
use super::entity::{Entity, Pair};
use crate::diagnostics::Error;
use crate::diagnostics::codes::StrayPlace;

/// Kinds that can be cut, or draw what can: the entities of the published DXF reference but notes.
const DRAWABLE: [&[u8]; 28] = [
    b"3DFACE",
    b"3DSOLID",
    b"ACAD_TABLE",
    b"ARC",
    b"BODY",
    b"CIRCLE",
    b"ELLIPSE",
    b"EXTRUDEDSURFACE",
    b"HATCH",
    b"HELIX",
    b"INSERT",
    b"LINE",
    b"LWPOLYLINE",
    b"MESH",
    b"MLINE",
    b"MPOLYGON",
    b"POINT",
    b"POLYLINE",
    b"RAY",
    b"REGION",
    b"SHAPE",
    b"SOLID",
    b"SPLINE",
    b"SURFACE",
    b"TRACE",
    b"UNDERLAY",
    b"VERTEX",
    b"XLINE",
];
/// What holds a file together.
const FRAME: [&[u8]; 9] =
    [b"BLOCK", b"ENDBLK", b"ENDSEC", b"ENDTAB", b"EOF", b"LAYER", b"SECTION", b"SEQEND", b"TABLE"];
/// Before R14 no version has polylines in one entity: the number of its $ACADVER.
const LIGHT_SINCE: u32 = 1014;
/// What ends a line for readers of Unicode: next line, and the separators of lines and paragraphs,
/// in UTF-8.
const SEPARATORS: [&[u8]; 3] = [b"\xc2\x85", b"\xe2\x80\xa8", b"\xe2\x80\xa9"];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Section {
    Header,
    Tables,
    Blocks,
    Entities,
    Other,
    /// Between two.
    Outside,
}

/// A thing that can be cut, where nothing is drawn.
#[derive(Debug)]
pub(super) struct Stray {
    pub line: usize,
    pub entity: String,
    pub layer: String,
    pub place: StrayPlace,
}

impl Stray {
    pub(super) fn new(entity: &Entity<'_>, place: StrayPlace) -> Self {
        let name = entity.kind.escape_ascii().to_string();
        Self { line: entity.line, entity: name, layer: entity.layer(), place }
    }
}

/// The sections as they are read.
#[derive(Debug)]
pub(super) struct Sections {
    pub section: Section,
    /// Every one that began, by its name.
    begun: Vec<String>,
}

impl Sections {
    pub(super) fn new() -> Self {
        Self { section: Section::Outside, begun: Vec::new() }
    }

    /// A section begins.
    ///
    /// # Errors
    /// If another is not over, or it has no name, two names, or the name of one before it.
    pub(super) fn begin(&mut self, entity: &Entity<'_>, file: &str) -> Result<(), Error> {
        let error = |what: &str| unreadable(file, entity.line, 1, what);
        if self.section != Section::Outside {
            return Err(error("a section begins within another").allowed("ENDSEC before it"));
        }
        let Some(name) = entity.pairs.first().filter(|pair| pair.code == 2) else {
            return Err(error("a section has no name").allowed("group 2 with its name"));
        };
        let told = name.value.escape_ascii().to_string();
        let upper = told.to_ascii_uppercase();
        self.section = match upper.as_str() {
            "HEADER" => Section::Header,
            "TABLES" => Section::Tables,
            "BLOCKS" => Section::Blocks,
            "ENTITIES" => Section::Entities,
            _ => Section::Other,
        };
        if self.section != Section::Other && (told != upper || name.is_padded) {
            let what = "a section's name is not written as readers look for it";
            return Err(error(what).found(told).allowed(upper));
        }
        // What the header says has names too.
        let is_named_twice = entity.pairs.iter().filter(|pair| pair.code == 2).nth(1).is_some();
        if self.section != Section::Header && is_named_twice {
            return Err(error("a section has two names").found(told).allowed("one"));
        }
        if self.begun.contains(&upper) {
            let what = "a section stands twice, and readers differ in which they take";
            return Err(error(what).found(told).allowed("one of each name"));
        }
        self.begun.push(upper);
        Ok(())
    }

    /// A section ends.
    ///
    /// # Errors
    /// If none began.
    pub(super) fn end(&mut self, entity: &Entity<'_>, file: &str) -> Result<(), Error> {
        if self.section == Section::Outside {
            let error = unreadable(file, entity.line, 1, "a section ends and none began");
            return Err(error.allowed("SECTION, or EOF at the end"));
        }
        self.section = Section::Outside;
        Ok(())
    }

    /// The file ends.
    ///
    /// # Errors
    /// If a section is not over.
    pub(super) fn finish(&self, line: usize, file: &str) -> Result<(), Error> {
        match (self.section, self.begun.last()) {
            (Section::Outside, _) | (_, None) => Ok(()),
            (_, Some(name)) => {
                let error = unreadable(file, line, 1, "the file ends within a section");
                Err(error.found(name.clone()).allowed("ENDSEC before EOF"))
            }
        }
    }

    /// What can be cut, in a section that is for something else.
    pub(super) fn stray(&self, entity: &Entity<'_>) -> Option<Stray> {
        let name = self.begun.last().filter(|_| is_drawable(&entity.kind))?;
        Some(Stray::new(entity, StrayPlace::Section(name.clone())))
    }
}

/// Whether a kind can be cut, or draws what can.
pub(super) fn is_drawable(kind: &[u8]) -> bool {
    DRAWABLE.contains(&kind)
}

/// The name of an entity, in capitals.
///
/// # Errors
/// If it is one that is known and is not written as readers look for it: some pass over it.
pub(super) fn kind(pair: &Pair<'_>, file: &str) -> Result<Vec<u8>, Error> {
    let upper = pair.value.to_ascii_uppercase();
    let is_known = is_drawable(&upper) || FRAME.contains(&upper.as_slice());
    if is_known && (upper != pair.value || pair.is_padded) {
        let what = "the name of an entity is not written as readers look for it";
        let (found, allowed) = (pair.value.escape_ascii().to_string(), upper.escape_ascii());
        return Err(unreadable(file, pair.line, 1, what).found(found).allowed(allowed.to_string()));
    }
    Ok(upper)
}

/// The variables of the header that are judged, each with the group of its one value.
const VARIABLES: [(&[u8], i32); 3] = [(b"$ACADVER", 1), (b"$INSUNITS", 70), (b"$MEASUREMENT", 70)];

/// Looks whether every reader takes the same for what is judged of the header.
///
/// # Errors
/// If the name of such a variable is written otherwise, or it has not one value, in its own group;
/// if the version is said twice.
pub(super) fn check_header(header: &[Pair<'_>], file: &str) -> Result<(), Error> {
    let mut versions = 0;
    for (i, name) in header.iter().enumerate().filter(|(_, pair)| pair.code == 9) {
        let upper = name.value.to_ascii_uppercase();
        let Some((known, group)) = VARIABLES.iter().find(|(known, _)| *known == upper) else {
            continue;
        };
        let told = || name.value.escape_ascii().to_string();
        let wanted = || known.escape_ascii().to_string();
        if upper != name.value || name.is_padded {
            let what = "the name of a variable is not written as readers look for it";
            return Err(unreadable(file, name.line, 1, what).found(told()).allowed(wanted()));
        }
        let values = header[i + 1..].iter().take_while(|pair| pair.code != 9);
        let groups: Vec<i32> = values.map(|pair| pair.code).collect();
        if groups != [*group] {
            let what = "a variable has not just one value, and readers differ in what they take";
            let found = format!("{} with {} values", told(), groups.len());
            let error = unreadable(file, name.line, 1, what).found(found);
            return Err(error.allowed(format!("one value, in group {group}")));
        }
        versions += usize::from(*known == b"$ACADVER");
        if versions > 1 {
            let what = "the version is said twice, and readers differ in which they take";
            return Err(unreadable(file, name.line, 1, what).found(told()).allowed("once"));
        }
    }
    Ok(())
}

/// Where the data of other programs begin: none of an entity's own groups stands behind one.
const OF_OTHERS: i32 = 1000;
/// An object within the entity begins, of newer versions' words.
const EMBEDDED: i32 = 101;
/// A list of a program's own begins and ends, in braces.
const BRACES: i32 = 102;

/// Looks whether every reader takes the same of an entity's groups for its own: some pass over what
/// stands in braces, or behind the data of other programs, others do not.
///
/// # Errors
/// If one of its own groups stands there: its layer, a place, a size, a flag.
pub(super) fn check_own(entity: &Entity<'_>, file: &str) -> Result<(), Error> {
    let is_own = |code: i32| code < 100 || (210..240).contains(&code);
    let (mut in_braces, mut behind) = (false, None);
    for pair in &entity.pairs {
        match pair.code {
            BRACES => in_braces = pair.value.starts_with(b"{"),
            EMBEDDED => behind = Some("an object within it"),
            code if code >= OF_OTHERS => behind = Some("the data of other programs"),
            _ => {}
        }
        // What words are set by is of no weight; where they lie and what they are is.
        let is_of_words = behind == Some("an object within it") && entity.drawn().is_none();
        let weighs = is_own(pair.code) && (!is_of_words || matches!(pair.code, 2 | 5 | 8 | 67));
        let place = if in_braces { Some("the braces of a program") } else { behind };
        if let Some(place) = place.filter(|_| weighs) {
            let what = format!(
                "a group of {} stands in or behind {place}, where readers differ in whether it is \
                its own",
                entity.kind.escape_ascii()
            );
            let error = unreadable(file, pair.line, 1, what).found(format!("group {}", pair.code));
            return Err(error.allowed("an entity's own groups first, outside of braces"));
        }
    }
    Ok(())
}

/// Whether a header says a version that has no polyline in one entity.
pub(super) fn is_old(header: &[Pair<'_>]) -> bool {
    let mut said = header.windows(2).filter(|of| (of[0].code, of[0].value) == (9, b"$ACADVER"));
    let number = |value: &[u8]| std::str::from_utf8(value.strip_prefix(b"AC")?).ok()?.parse().ok();
    said.any(|of| number(of[1].value).is_some_and(|version: u32| version < LIGHT_SINCE))
}

/// Looks for what ends a line or the text for some readers and not for others: a carriage return
/// within a line, control characters, separators.
///
/// # Errors
/// If there is any, with its line.
pub(super) fn check_text(bytes: &[u8], file: &str) -> Result<(), Error> {
    let is_break = |at: usize| match bytes[at] {
        b'\t' | b'\n' => false,
        b'\r' => bytes.get(at + 1).is_some_and(|next| *next != b'\n'),
        0..=0x1f => true,
        0xc2 | 0xe2 => SEPARATORS.iter().any(|separator| bytes[at..].starts_with(separator)),
        _ => false,
    };
    let Some(at) = (0..bytes.len()).find(|at| is_break(*at)) else { return Ok(()) };
    let line = bytes[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
    let what =
        "a control character stands within a line, where some readers end the line or the file";
    let found = bytes[at].escape_ascii().to_string();
    let error = unreadable(file, line, 1, what).found(found);
    Err(error.allowed("lines of text, each with its own end"))
}
