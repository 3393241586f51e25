//! The profiles in the binary, and what a job's `machine`, `material` or `rules` refers to.

/// A profile's text and what to call it in errors.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The file name for errors.
    pub file: String,
    /// The TOML text.
    pub text: String,
}

macro_rules! profiles {
    ($($kind:literal / $name:literal),* $(,)?) => {
        /// Kind, name and text of every profile in the binary.
        const EMBEDDED: &[(&str, &str, &str)] =
            &[$(($kind, $name, include_str!(concat!("../../../profiles/", $kind, "/", $name, ".toml")))),*];
    };
}

profiles!(
    "machine" / "laser",
    "machine" / "laser-air",
    "machine" / "laser-lines",
    "machine" / "router-absolute-arcs",
    "machine" / "router-changer",
    "machine" / "router-helix",
    "machine" / "router-metric",
    "machine" / "router-plain-lines",
    "machine" / "router-radius-arcs",
    "machine" / "router-table",
    "machine" / "router-table-large",
    "machine" / "router-table-small",
    "machine" / "router-two-cutters",
    "material" / "board-2x10",
    "material" / "board-2x12",
    "material" / "board-2x12-treated",
    "material" / "hardboard-3",
    "material" / "hardboard-6",
    "material" / "plywood-12",
    "material" / "plywood-18",
    "rules" / "au-private",
    "rules" / "au-public",
    "rules" / "ca-on-private",
    "rules" / "ca-private",
    "rules" / "ca-public",
    "rules" / "de-general",
    "rules" / "de-private",
    "rules" / "ie-private",
    "rules" / "nz-common",
    "rules" / "nz-private",
    "rules" / "nz-private-secondary",
    "rules" / "uk-general",
    "rules" / "uk-private",
    "rules" / "uk-utility",
    "rules" / "us-access",
    "rules" / "us-ibc",
    "rules" / "us-ibc-dwelling",
    "rules" / "us-irc-2018",
    "rules" / "us-irc-2021",
    "rules" / "us-irc-2024",
    "rules" / "us-osha",
    "rules" / "us-osha-site",
    "timber" / "eu-softwoods",
    "timber" / "us-softwoods",
);

/// Kind and name of every embedded profile, sorted.
pub fn embedded_names() -> impl Iterator<Item = (&'static str, &'static str)> {
    EMBEDDED.iter().map(|(kind, name, _)| (*kind, *name))
}

/// The names of the embedded profiles of a kind, sorted.
pub fn names_of(kind: &str) -> Vec<&'static str> {
    embedded_names().filter(|(of, _)| *of == kind).map(|(_, name)| name).collect()
}

/// The text of an embedded profile; `kind` may be left open.
pub fn embedded(kind: Option<&str>, name: &str) -> Option<Source> {
    let (kind, _, text) =
        EMBEDDED.iter().find(|(k, n, _)| *n == name && kind.is_none_or(|kind| kind == *k))?;
    Some(Source { file: format!("profiles/{kind}/{name}.toml"), text: (*text).to_string() })
}

/// Whether a reference in a job is a path: it has a separator or ends in `.toml`. A name never
/// becomes a path.
pub fn is_path(reference: &str) -> bool {
    reference.contains(['/', '\\']) || reference.ends_with(".toml")
}
