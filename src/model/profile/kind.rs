//! What a text of this program's is, told by its keys, and one sentence where another is wanted:
//! who gives a job for a stock file reads that, and no list of unknown keys.

use toml::Spanned;

use super::reader::Reader;
use crate::diagnostics::{Error, ErrorKind};

/// What a text of this program's is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextKind {
    /// A job.
    Job,
    /// A list of jobs.
    Order,
    /// A machine, a material, a rule set, a timber table.
    Profile,
    /// As-built measurements in a file of their own.
    Measurements,
    /// What lies in a shop's rack.
    Stock,
    /// Nothing that means anything: no key at all.
    Empty,
    /// What cannot be read, or has no key that only one of the others has: it is read as what is
    /// wanted, so that its error is told.
    Unknown,
}

impl TextKind {
    /// What it is called.
    pub fn called(self) -> &'static str {
        match self {
            Self::Job => "a job",
            Self::Order => "an order",
            Self::Profile => "a profile",
            Self::Measurements => "a file of measurements of a stair as built",
            Self::Stock => "a stock file",
            Self::Empty => "an empty file",
            Self::Unknown => "no file of this program's",
        }
    }

    /// Which command takes a file of this kind.
    fn goes(self) -> &'static str {
        match self {
            Self::Job => "seatcut make JOB -o DIR, or file = \"JOB\" in an order",
            Self::Order => {
                "an order lists jobs: seatcut make ORDER -o DIR; anything else takes the file of \
                one of its jobs"
            }
            Self::Profile => "name its path in a job: rules, cut.machine or cut.material",
            Self::Measurements => "seatcut fit JOB MEASUREMENTS",
            Self::Stock => {
                "a stock file says what lies in a rack: seatcut make JOB -o DIR --stock STOCK, or \
                stock = \"STOCK\" in an order"
            }
            Self::Empty | Self::Unknown => "",
        }
    }

    /// How one is begun.
    fn begun(self) -> &'static str {
        match self {
            Self::Stock => "a table [[board]] with material, length and count",
            Self::Order => "a table [[job]] with file = for each job",
            Self::Measurements => {
                "a line [built], and below it heights: every tread top over the lower floor, as \
                measured"
            }
            Self::Profile => "`seatcut profiles NAME` prints one to start from",
            Self::Job | Self::Empty | Self::Unknown => {
                "seatcut new FILE writes a job with every key that there is, seatcut ask FILE asks \
                for yours"
            }
        }
    }
}

/// Keys and tables that only a job has.
const OF_A_JOB: [&str; 9] =
    ["title", "rules", "rise", "ground", "tread", "head", "foot", "board", "cut"];
/// Keys of an order beside its jobs; a text that has nothing else is one whose jobs are missing.
const OF_AN_ORDER: [&str; 6] = ["title", "customer", "number", "due", "note", "stock"];
/// Keys that every profile has and no job.
const OF_A_PROFILE: [&str; 2] = ["kind", "about"];

/// What a text is.
pub fn kind_of_text(text: &str) -> TextKind {
    let Ok(table) = toml::from_str::<toml::Table>(text) else {
        let is_order = text.lines().any(|line| line.trim_start().starts_with("[[job]]"));
        return if is_order { TextKind::Order } else { TextKind::Unknown };
    };
    let lists = |key: &str| table.get(key).is_some_and(toml::Value::is_array);
    let has = |keys: &[&str]| keys.iter().any(|key| table.contains_key(*key));
    // Somebody may type a job's [board] in double brackets.
    let of_a_job_beside_boards =
        OF_A_JOB.iter().any(|key| *key != "board" && table.contains_key(*key));
    match () {
        () if table.is_empty() => TextKind::Empty,
        () if lists("job") || table.keys().all(|key| OF_AN_ORDER.contains(&key.as_str())) => {
            TextKind::Order
        }
        () if (lists("board") || lists("sheet")) && !of_a_job_beside_boards => TextKind::Stock,
        () if has(&OF_A_JOB) => TextKind::Job,
        () if has(&OF_A_PROFILE) => TextKind::Profile,
        () if has(&["built"]) => TextKind::Measurements,
        () => TextKind::Unknown,
    }
}

/// The kind that a profile says it is; none where it says none.
pub fn profile_kind(text: &str) -> Option<String> {
    let table: toml::Table = toml::from_str(text).ok()?;
    Some(table.get("kind")?.as_str()?.to_string())
}

/// The profile of a kind that a job's text names below `[cut]`, as it stands there.
pub fn names_in_cut(text: &str, kind: &str) -> Option<String> {
    let table: toml::Table = toml::from_str(text).ok()?;
    Some(table.get("cut")?.get(kind)?.as_str()?.to_string())
}

impl Reader<'_> {
    /// That the text is of a kind, as far as its keys tell.
    ///
    /// # Errors
    /// If it is of another: what it is, what was wanted, and which command takes it.
    pub fn wants(&self, wanted: TextKind) -> Result<(), Error> {
        self.wants_called(wanted, wanted.called())
    }

    fn wants_called(&self, wanted: TextKind, called: &str) -> Result<(), Error> {
        let found = kind_of_text(self.text());
        if found == wanted || found == TextKind::Unknown {
            return Ok(());
        }
        let hint = if found == TextKind::Empty { wanted.begun() } else { found.goes() };
        Err(Error::new(ErrorKind::Input, format!("this is {}, not {called}", found.called()))
            .in_file(self.file())
            .hint(hint))
    }

    /// That the text is a profile of a kind, `what` naming it in errors.
    ///
    /// # Errors
    /// If it says that it is of another kind, or is no profile at all.
    pub(super) fn wants_profile(&self, kind: &str, what: &str) -> Result<(), Error> {
        #[derive(serde::Deserialize)]
        struct Kind {
            kind: Option<Spanned<String>>,
        }
        // What is no TOML is told by the whole reading.
        let Ok(Kind { kind: Some(said) }) = toml::from_str::<Kind>(self.text()) else {
            return self.wants_called(TextKind::Profile, &format!("a {what}"));
        };
        if said.get_ref() == kind {
            return Ok(());
        }
        let key = key_of(kind);
        Err(Error::new(ErrorKind::Input, format!("{key} wants a {what} and this is none"))
            .at(self.place(said.span()))
            .found(format!("kind = \"{}\"", said.get_ref()))
            .allowed(format!("kind = \"{kind}\""))
            .hint(format!(
                "give {key} a profile of kind \"{kind}\": `seatcut profiles` lists them"
            )))
    }
}

/// The job's key that wants a profile of a kind.
fn key_of(kind: &str) -> &str {
    match kind {
        "machine" => "cut.machine",
        "material" => "cut.material",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{Machine, Material, Rules, embedded, embedded_names};

    /// A text of every kind that is told by its keys.
    fn one_of_each() -> Vec<(TextKind, String)> {
        let machine = embedded(Some("machine"), "router-table").unwrap().text;
        vec![
            (TextKind::Job, crate::job::STARTER.to_string()),
            (TextKind::Order, "title = \"x\"\n[[job]]\nfile = \"a.toml\"\n".to_string()),
            (TextKind::Profile, machine),
            (TextKind::Measurements, "[built]\nheights = [\"7 in\"]\n".to_string()),
            (TextKind::Stock, "[[sheet]]\nmaterial = \"plywood-18\"\ncount = 2\n".to_string()),
            (TextKind::Empty, "# nothing yet\n".to_string()),
        ]
    }

    #[test]
    fn every_reader_that_gets_a_file_of_another_kind_says_in_one_sentence_what_it_is() {
        type Read = fn(&str, &str) -> Result<(), Error>;
        let readers: [(TextKind, &str, Read); 5] = [
            (TextKind::Stock, "a stock file", |file, text| {
                crate::job::Stock::read(file, text).map(|_| ())
            }),
            (TextKind::Measurements, "a file of measurements of a stair as built", |file, text| {
                crate::job::read_built(file, text).map(|_| ())
            }),
            (TextKind::Profile, "a machine profile", |file, text| {
                Machine::read("own", file, text).map(|_| ())
            }),
            (TextKind::Profile, "a material profile", |file, text| {
                Material::read("own", file, text).map(|_| ())
            }),
            (TextKind::Profile, "a rule set", |file, text| {
                Rules::read("own", file, text).map(|_| ())
            }),
        ];
        for (wanted, called, read) in readers {
            for (kind, text) in one_of_each() {
                if kind == wanted {
                    continue;
                }
                let error = read("given.toml", &text).expect_err(called);
                assert_eq!(error.what(), format!("this is {}, not {called}", kind.called()));
                let told = error.to_string();
                assert!(told.contains("given.toml") && !told.contains("unknown"), "{told}");
            }
        }
    }

    #[test]
    fn what_a_text_names_is_read_without_reading_all_of_it() {
        let machine = embedded(Some("machine"), "router-table").unwrap().text;
        assert_eq!(profile_kind(&machine).as_deref(), Some("machine"));
        assert_eq!(profile_kind("kind = 3"), None);
        assert_eq!(profile_kind("kind = "), None);
        let job = "[cut]\nmachine = \"./own.toml\"\n";
        assert_eq!(names_in_cut(job, "machine").as_deref(), Some("./own.toml"));
        assert_eq!(names_in_cut(job, "material"), None);
        assert_eq!(names_in_cut("cut = 1", "machine"), None);
    }

    #[test]
    fn every_profile_is_one_and_the_starter_is_a_job() {
        for (kind, name) in embedded_names() {
            let text = embedded(Some(kind), name).unwrap().text;
            assert_eq!(kind_of_text(&text), TextKind::Profile, "{kind} {name}");
        }
        for (kind, text) in one_of_each() {
            assert_eq!(kind_of_text(&text), kind, "{text}");
        }
        assert_eq!(kind_of_text("[[ job ]]\nfile = \"a.toml\"\n"), TextKind::Order);
        // What is meant for one of them and cannot be read is told as such.
        assert_eq!(kind_of_text("[[job]]\nfile = \n"), TextKind::Order);
        for text in [
            "kind = \"machine\"\ntitle = \"x\"",
            "[[board]]\nwidth = \"11 1/4 in\"\n[rise]\ntotal = \"35 in\"\n",
        ] {
            assert_eq!(kind_of_text(text), TextKind::Job, "{text}");
        }
        for text in ["titel = \"x\"", "title = \n"] {
            assert_eq!(kind_of_text(text), TextKind::Unknown, "{text}");
        }
        assert_eq!(kind_of_text(""), TextKind::Empty);
        for text in ["title = \"x\"", "customer = \"Harbour Inn\"\nnumber = \"114\""] {
            assert_eq!(kind_of_text(text), TextKind::Order, "{text}");
        }
    }
}
