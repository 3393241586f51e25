//! Words that a sentence chooses between, as types: a site names one and writes none.

/// Writes enums whose variants are said as given, and are values of a finding.
macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($variant:ident $said:literal),* $(,)? })*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name { $(#[doc = concat!("Said as `", $said, "`.")] $variant,)* }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(match self { $($name::$variant => $said,)* })
            }
        }

        impl From<$name> for $crate::diagnostics::Value {
            fn from(word: $name) -> $crate::diagnostics::Value {
                match word { $($name::$variant => $said.into(),)* }
            }
        }
    )*};
}
pub(super) use words;
