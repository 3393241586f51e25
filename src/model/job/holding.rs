//! From the job file to the job: what holds the pieces while they are cut, beside clamps.

use super::job_file::{CutFile, TabEndsFile, TabsFile, TabsShort};
use super::resolve::Resolver;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::reader::Len;
use crate::profile::{Form, Hold, Machine, Material, TabEnds, TabSizes};
use crate::units::Length;

/// The most tabs of a piece that are read.
const MOST_TABS: i64 = 60;
/// The fewest, where tabs hold it: three points hold a plane.
const FEWEST_TABS: i64 = 3;
/// A thinner skin is less than how flat a sheet is.
const LEAST_MM: f64 = 0.1;
/// The highest tab and the thickest skin that are read.
const HIGHEST_MM: f64 = 50.0;
/// Wood at the neck of a tab: less breaks under the cutter, more is no tab.
const NECK_MM: (f64, f64) = (2.0, 100.0);

impl Resolver<'_> {
    /// The machine as the job has it hold its pieces.
    pub(super) fn holding(
        &mut self,
        raw: &CutFile,
        machine: Machine,
        material: &Material,
    ) -> Result<Machine, Error> {
        let hold = match (&raw.tabs, &raw.skin) {
            (None, None) => return Ok(machine),
            (Some(tabs), None) => match tabs.get_ref() {
                TabsShort::None => Hold::Vacuum,
                TabsShort::Sizes(sizes) => Hold::Tabs(self.tabs(sizes, material)?),
            },
            (None, Some(skin)) => {
                let most = Length::mm(HIGHEST_MM);
                Hold::Skin(self.within("cut.skin", skin, Length::mm(LEAST_MM), most)?)
            }
            (Some(tabs), Some(_)) => {
                return Err(Error::new(
                    ErrorKind::Input,
                    "cut.skin leaves wood below every cut, and cut.tabs says what is left of it",
                )
                .at(self.place(tabs.span()))
                .found("cut.tabs beside cut.skin")
                .allowed("one of the two")
                .hint("keep skin for a table that holds by vacuum, tabs for any other"));
            }
        };
        let span = raw.tabs.as_ref().map_or_else(
            || raw.skin.as_ref().map_or(0..0, toml::Spanned::span),
            toml::Spanned::span,
        );
        if machine.tool.pushes() {
            return Ok(machine.holding(hold));
        }
        Err(Error::new(
            ErrorKind::Input,
            "cut.tabs and cut.skin are for a cutter: a beam does not push, and leaves none",
        )
        .at(self.place(span))
        .found(format!("machine = \"{}\", a laser", machine.name))
        .allowed("neither of them beside a laser")
        .hint("remove tabs or skin"))
    }

    fn tabs(&mut self, raw: &TabsFile, material: &Material) -> Result<TabSizes, Error> {
        if let Some(count) = raw.count.as_ref().filter(|_| material.form == Form::Board) {
            return Err(Error::new(
                ErrorKind::Input,
                "cut.tabs.count: on a board each offcut has a tab of its own",
            )
            .at(self.place(count.span()))
            .found(format!("count = {}", count.get_ref()))
            .allowed("no count where the material is a board")
            .hint("remove count"));
        }
        let count = match &raw.count {
            Some(count) => Some(self.count("cut.tabs.count", count, FEWEST_TABS, MOST_TABS)?),
            None => None,
        };
        let mut length = |key: &str, raw: &Option<Len>, least, most| {
            let within = |raw| self.within(key, raw, Length::mm(least), Length::mm(most));
            raw.as_ref().map(within).transpose()
        };
        Ok(TabSizes {
            count: count.map(|count| count as usize),
            height: length("cut.tabs.height", &raw.height, TabSizes::LEAST_HIGH_MM, HIGHEST_MM)?,
            width: length("cut.tabs.width", &raw.width, NECK_MM.0, NECK_MM.1)?,
            shape: match raw.shape {
                Some(TabEndsFile::Square) => TabEnds::Square,
                Some(TabEndsFile::Flanks) | None => TabEnds::Flanks,
            },
        })
    }
}
