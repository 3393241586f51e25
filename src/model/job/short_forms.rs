//! Tables that a word can stand for: a board by what it is called, and what follows a pattern.

use std::fmt;

use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, StrDeserializer};
use serde::de::{Deserializer, Error, MapAccess, Visitor};
use toml::Spanned;

use super::job_file::{BoardFile, FollowFile, TabsFile, TabsShort, WithFile};
use crate::profile::reader::{Len, RawLength};
use crate::units::{Dressed, Length, trimmed};

/// What follows a pattern, as a table or as its first word alone.
pub(super) struct FollowShort(pub FollowFile);

impl<'de> Deserialize<'de> for FollowShort {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct WordOrTable;
        impl<'de> Visitor<'de> for WordOrTable {
            type Value = FollowShort;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "a word in quotes or a table with its own keys")
            }
            fn visit_str<E: Error>(self, word: &str) -> Result<FollowShort, E> {
                let with = WithFile::deserialize(StrDeserializer::new(word))?;
                Ok(FollowShort(FollowFile { with, lead: None, outside: None, bit: None }))
            }
            fn visit_map<A: MapAccess<'de>>(self, table: A) -> Result<FollowShort, A::Error> {
                FollowFile::deserialize(MapAccessDeserializer::new(table)).map(FollowShort)
            }
        }
        deserializer.deserialize_any(WordOrTable)
    }
}

impl<'de> Deserialize<'de> for TabsShort {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NoneOrTable;
        impl<'de> Visitor<'de> for NoneOrTable {
            type Value = TabsShort;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "\"none\", or a table with count, height, width, shape")
            }
            fn visit_str<E: Error>(self, word: &str) -> Result<TabsShort, E> {
                match word {
                    "none" => Ok(TabsShort::None),
                    other => Err(E::unknown_variant(other, &["none"])),
                }
            }
            fn visit_map<A: MapAccess<'de>>(self, table: A) -> Result<TabsShort, A::Error> {
                TabsFile::deserialize(MapAccessDeserializer::new(table)).map(TabsShort::Sizes)
            }
        }
        deserializer.deserialize_any(NoneOrTable)
    }
}

/// The board, as a table or by what it is called.
pub(super) fn board<'de, D: Deserializer<'de>>(deserializer: D) -> Result<BoardFile, D::Error> {
    struct NameOrTable;
    impl<'de> Visitor<'de> for NameOrTable {
        type Value = BoardFile;
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "a table with its own keys, or what a board is called, such as \"2x12\"")
        }
        fn visit_str<E: Error>(self, name: &str) -> Result<BoardFile, E> {
            let dressed = Dressed::named(name)
                .ok_or_else(|| E::custom("wanted a board that is sold by its name"))?;
            Ok(BoardFile {
                called: Some(name.trim().to_string()),
                width: measure(dressed.width),
                thickness: measure(dressed.thickness),
                tip_inset: None,
                species: None,
                grade: None,
                wet: None,
                incised: None,
            })
        }
        fn visit_map<A: MapAccess<'de>>(self, table: A) -> Result<BoardFile, A::Error> {
            BoardFile::deserialize(MapAccessDeserializer::new(table))
        }
    }
    deserializer.deserialize_any(NameOrTable)
}

/// A dressed size as if it had been typed.
fn measure(length: Length) -> Len {
    Spanned::new(0..0, RawLength::Text(format!("{} in", trimmed(length.as_inches(), 4))))
}
