//! What a finding is about: one row of the table a kind, its sentence included.

use std::fmt;

use serde::{Serialize, Serializer};

use super::{Finding, Place, Severity, Value};

/// Whether the owner of a stair may take a refusal on, with a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waivable {
    /// The work goes on once a reason is given.
    Waivable,
    /// There is no part without it, or somebody would be hurt at the machine: no reason helps.
    Never,
}

/// One row of the table of findings.
#[derive(Debug)]
pub struct Row {
    /// The stable name, as `seatcut explain` and a waiver take it.
    pub name: &'static str,
    /// How much it weighs where nothing else is said.
    pub severity: Severity,
    /// Whether a refusal of this kind can be waived.
    pub waivable: Waivable,
    /// The published source, `common practice, no source`, or what else the limit follows from.
    pub source: &'static str,
    /// The sentence, with the names of its values in braces.
    pub say: &'static str,
    /// What was looked at and why it matters.
    pub meaning: &'static str,
    /// What to do.
    pub remedy: &'static str,
}

/// A kind of finding: a row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Code(pub(super) &'static Row);

impl Code {
    /// Its row.
    pub fn row(self) -> &'static Row {
        self.0
    }

    /// Its stable name.
    pub fn name(self) -> &'static str {
        self.0.name
    }
}

// Names are unique, which a test walks the table for; so they tell rows apart wherever they stand
// in memory.
impl PartialEq for Code {
    fn eq(&self, other: &Self) -> bool {
        self.0.name == other.0.name
    }
}

impl Eq for Code {}

impl PartialOrd for Code {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Code {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.name.cmp(other.0.name)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.0.name)
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.name)
    }
}

/// A kind of finding as a type whose fields are the values of its sentence.
pub trait Kind: Sized {
    /// Its code.
    const CODE: Code;

    /// Its values by the names that the sentence uses.
    fn values(self) -> Vec<(&'static str, Value)>;

    /// The finding, at a place.
    fn found(self, place: Place) -> Finding {
        Finding::with(Self::CODE, place, self.values())
    }
}

/// Writes a table of kinds. A row is
///
/// ```text
/// Name { field: Type, .. } "code" Severity Waivable SOURCE, "sentence with {field}", "meaning", "remedy";
/// ```
///
/// A sentence that names no field of its kind does not compile.
macro_rules! findings {
    ($($id:ident { $($field:ident: $type:ty),* $(,)? } $name:literal $severity:ident $waivable:ident $source:expr,
        $say:literal, $meaning:literal, $remedy:literal;)*) => {
        $(
            // Keys stand in the text as people type them, brackets and all: they are no links.
            #[doc = $meaning]
            #[derive(Clone, Debug)]
            #[allow(missing_docs, rustdoc::broken_intra_doc_links, reason = "a row is its own \
                documentation")]
            pub struct $id { $(pub $field: $type,)* }

            impl $id {
                /// Its row of the table.
                pub const CODE: $crate::diagnostics::Code = <$id as $crate::diagnostics::Kind>::CODE;

                /// The finding, at a place.
                #[allow(dead_code, reason = "read by the sentence, which the compiler does not see \
                    through")]
                pub fn at(self, place: impl Into<$crate::diagnostics::Place>) -> $crate::diagnostics::Finding {
                    $crate::diagnostics::Kind::found(self, place.into())
                }
            }

            impl $crate::diagnostics::Kind for $id {
                const CODE: $crate::diagnostics::Code = $crate::diagnostics::Code(&$crate::diagnostics::Row {
                    name: $name,
                    severity: $crate::diagnostics::Severity::$severity,
                    waivable: $crate::diagnostics::Waivable::$waivable,
                    source: $source,
                    say: $say,
                    meaning: $meaning,
                    remedy: $remedy,
                });

                fn values(self) -> Vec<(&'static str, $crate::diagnostics::Value)> {
                    $(let $field = &self.$field;)*
                    // Never printed: it lets the compiler hold the sentence against the fields.
                    let _ = format_args!($say);
                    vec![$((stringify!($field), $crate::diagnostics::Value::from(self.$field)),)*]
                }
            }
        )*

        /// Every kind of this part of the table.
        pub(super) const ROWS: &[$crate::diagnostics::Code] =
            &[$(<$id as $crate::diagnostics::Kind>::CODE,)*];
    };
}
pub(super) use findings;
