//! Landings: a stair of two or more flights. From the job file to the job.

use serde::Deserialize;
use toml::Spanned;

use super::around_file::LandingFile;
use super::housed::Hand;
use super::job_file::JobFile;
use super::parts::{Head, Job, MOST_RISERS, Meets};
use super::resolve::{LONGEST_TITLE, Resolver};
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::LandingRule;
use crate::profile::reader::Len;
use crate::units::{Length, on_tape};

/// The most characters of the title of a stair with landings: ", flight 10 of 12" goes behind it.
const LONGEST_OF_SEVERAL: usize = LONGEST_TITLE - 17;
/// The most that a landing is deep, or the well of a back turn wide, in mm.
const MOST_LANDING_MM: f64 = 20_000.0;

/// A landing between two flights.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// How many risers lie below it, of all those of the stair; more than of the landing before it.
    pub after: usize,
    /// Level, in the direction of the flight that arrives: from the face of the riser at its front
    /// edge to its far side, or straight on to the face of the next flight's first riser.
    pub depth: Length,
    /// Thickness of its finish above its framing.
    pub finish: Length,
    /// Where the next flight goes on.
    pub turn: Turn,
    /// What the next flight's stringers stand on.
    pub next_on: NextOn,
    /// Depth of its rim, where known.
    pub rim_depth: Option<Length>,
}

/// Where the next flight goes on from a landing, for somebody who climbs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turn {
    /// In the same direction.
    Straight,
    /// To one side.
    Side(Hand),
    /// Back, beside the flight that arrives.
    Back {
        /// On which side of it.
        hand: Hand,
        /// Between the two flights.
        well: Length,
    },
}

/// What stringers stand on upon a landing.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum NextOn {
    /// Its framing; the finish is laid afterwards.
    Framing,
    /// Its finish.
    Finish,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum TurnWord {
    Straight,
    Left,
    Right,
    Back,
}

/// Which flight of a stair with landings a job is.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightOf {
    /// Its number, from 1 at the bottom.
    pub number: usize,
    /// How many flights there are.
    pub of: usize,
    /// Its finished lower surface over that of the whole stair.
    pub foot: Length,
    /// All landings of the stair, from the bottom up.
    pub landings: Vec<Landing>,
    /// What the rule set asks of them.
    pub rule: Option<LandingRule>,
}

impl Job {
    /// The finished lower surface over that of the whole stair: more than 0 above a landing.
    pub fn stands_over(&self) -> Length {
        self.flight_of.as_ref().map_or(Length::ZERO, |of| of.foot)
    }
}

impl Resolver<'_> {
    /// The landings, from the bottom up; none where the stair is one flight.
    pub(super) fn landings(&mut self, raw: &JobFile, head: &Head) -> Result<Vec<Landing>, Error> {
        let Some(first) = raw.landing.first() else { return Ok(Vec::new()) };
        self.few("landing", raw.landing.len())?;
        self.go_with_landings(raw, first)?;
        let mut landings: Vec<Landing> = Vec::new();
        for (i, file) in raw.landing.iter().enumerate() {
            let landing = self.landing(i + 1, file.get_ref(), head)?;
            self.follows(landings.last(), &landing, file.get_ref(), head.meets)?;
            landings.push(landing);
        }
        Ok(landings)
    }

    /// What a stair of several flights has to have, and what is of one flight alone.
    fn go_with_landings(&self, raw: &JobFile, first: &Spanned<LandingFile>) -> Result<(), Error> {
        let here = |what: &str| Error::new(ErrorKind::Input, what).at(self.place(first.span()));
        if raw.stair.is_none() {
            return Err(here(
                "stair.width is missing: [[landing]] needs to know how wide the stair is",
            )
            .found("no stair.width")
            .allowed("the table [stair] with width")
            .hint("a line [stair], and below it width as measured over the outer stringers"));
        }
        if raw.ground.is_some() {
            return Err(here("[[landing]] and [ground] do not go together")
                .found("a stair of several flights on ground that falls")
                .allowed("one of the two")
                .hint(
                    "measure the total rise at the foot of the lowest flight, give it as \
                    rise.total, and remove [ground]",
                ));
        }
        if raw.built.is_some() {
            return Err(here("[[landing]] and [built] do not go together")
                .found("heights as built of a stair of several flights")
                .allowed("[built] in the job of one flight")
                .hint(
                    "remove [built]; to check a flight as built write a job of that flight alone, \
                    with the rise that `seatcut solve` shows for it",
                ));
        }
        let span = raw.load.as_ref().and_then(|load| load.get_ref().clear_span.as_ref());
        if let Some(span) = span {
            return Err(Error::new(ErrorKind::Input, "load.clear_span is of one flight alone")
                .at(self.place(span.span()))
                .found("clear_span with the tables [[landing]]")
                .allowed("no clear_span: each flight is taken to span its whole run")
                .hint("remove clear_span"));
        }
        match &raw.title {
            Some(title) if title.get_ref().trim().chars().count() > LONGEST_OF_SEVERAL => {
                let count = title.get_ref().trim().chars().count();
                Err(self.refuse(
                    "title",
                    title.span(),
                    format!("{count} characters"),
                    &format!(
                        "1 to {LONGEST_OF_SEVERAL} characters: which flight it is goes behind it"
                    ),
                ))
            }
            _ => Ok(()),
        }
    }

    fn landing(&mut self, number: usize, raw: &LandingFile, head: &Head) -> Result<Landing, Error> {
        let key = |name: &str| format!("landing.{name}");
        let after = self.count(&key("after"), &raw.after, 1, MOST_RISERS as i64)? as usize;
        let depth = self.positive(&key("depth"), &raw.depth, MOST_LANDING_MM)?;
        let finish = self.within(&key("finish"), &raw.finish, Length::ZERO, Length::mm(300.0))?;
        let turn = self.turn(number, raw)?;
        let next_on = raw.next_on.unwrap_or_else(|| {
            self.take(&format!("landing {number} next_on"), "framing");
            NextOn::Framing
        });
        let rim_depth = match &raw.rim_depth {
            Some(depth) => Some(self.positive(&key("rim_depth"), depth, 2_000.0)?),
            None => head.rim_depth,
        };
        if let (None, Some(depth)) = (&raw.rim_depth, rim_depth) {
            let value = format!("{}, as head.rim_depth", on_tape(depth));
            self.take(&format!("landing {number} rim_depth"), &value);
        }
        Ok(Landing { after, depth, finish, turn, next_on, rim_depth })
    }

    fn turn(&mut self, number: usize, raw: &LandingFile) -> Result<Turn, Error> {
        let is_back = matches!(raw.turn, TurnWord::Back);
        if !is_back && (raw.hand.is_some() || raw.well.is_some()) {
            let well = raw.well.as_ref().map(Len::span);
            let span = well.or(raw.hand.as_ref().map(Spanned::span)).unwrap_or_default();
            return Err(Error::new(
                ErrorKind::Input,
                "landing.hand and landing.well are for a turn back only",
            )
            .at(self.place(span))
            .found("hand or well with another turn")
            .allowed("hand and well with turn = \"back\"")
            .hint("remove hand and well, or say turn = \"back\""));
        }
        Ok(match raw.turn {
            TurnWord::Straight => Turn::Straight,
            TurnWord::Left => Turn::Side(Hand::Left),
            TurnWord::Right => Turn::Side(Hand::Right),
            TurnWord::Back => {
                let hand = raw.hand.as_ref().map(|hand| *hand.get_ref()).unwrap_or_else(|| {
                    self.take(&format!("landing {number} hand"), "left");
                    Hand::Left
                });
                let well =
                    self.optional("landing.well", &raw.well, MOST_LANDING_MM, Length::ZERO)?;
                Turn::Back { hand, well }
            }
        })
    }

    /// That a landing lies above the one before it, with a flight of a tread or more between them.
    fn follows(
        &self,
        before: Option<&Landing>,
        landing: &Landing,
        raw: &LandingFile,
        meets: Meets,
    ) -> Result<(), Error> {
        let refused =
            |what: String| Error::new(ErrorKind::Input, what).at(self.place(raw.after.span()));
        let (below, from) = match before {
            Some(before) => (before.after, "the landing below it"),
            None => (0, "the foot"),
        };
        let counts = "after counts all risers of the stair below the landing, from its foot";
        if before.is_some() && landing.after == below {
            return Err(refused("two landings lie at the same place".to_string())
                .found(format!("after = {below} twice"))
                .allowed("each landing after more risers than the one below it")
                .hint(format!("{counts}: look at both again, or remove one of the two tables")));
        }
        if landing.after < below {
            return Err(refused("the landings do not rise".to_string())
                .found(format!("after = {} behind after = {below}", landing.after))
                .allowed(
                    "landings from the bottom up, each after more risers than the one before it",
                )
                .hint(format!("{counts}: put the tables [[landing]] in that order")));
        }
        let least = meets.fewest_risers();
        if landing.after - below < least {
            return Err(refused(format!(
                "a flight of one riser from {from} has no tread, and no stringer"
            ))
            .found(format!("after = {}", landing.after))
            .allowed(format!("after = {} or more here", below + least))
            .hint(format!("{counts}: give this flight {least} risers or more")));
        }
        Ok(())
    }
}
