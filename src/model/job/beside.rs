//! From the job file to the job: what lies around the stringer.

use toml::Spanned;

use super::around::{
    Around, BoardGrain, Ground, Joint, Load, MOST_MOISTURE_PERCENT, Middle, MoistureContent,
    RiseAcross, Seat, StairWidth,
};
use super::around_file::{
    AcrossFile, GroundFile, JointFile, JointWord, LoadFile, MoistureFile, StairFile,
};
use super::figures::{LOADS, SLOPES, read_load, read_slope};
use super::job_file::{BoardFile, JobFile};
use super::parts::{MOST_EDGE_OUT_MM, MOST_TOTAL_RISE_MM, Rise, Sharing};
use super::resolve::Resolver;
use crate::diagnostics::{Error, ErrorKind, Position};
use crate::profile::TimberTable;
use crate::profile::reader::Len;
use crate::units::Length;

/// The largest piece of a head joint, in mm.
const MOST_JOINT_MM: f64 = 2_000.0;

impl Resolver<'_> {
    /// The total rise as typed; the rise at the head where the ground falls and the rest is solved.
    pub(super) fn total_rise(&mut self, raw: &JobFile) -> Result<Length, Error> {
        match (&raw.rise().total, &raw.ground) {
            (Some(total), None) => self.positive("rise.total", total, MOST_TOTAL_RISE_MM),
            (None, Some(ground)) => {
                self.positive("ground.at_head", &ground.get_ref().at_head, MOST_TOTAL_RISE_MM)
            }
            (Some(total), Some(_)) => {
                Err(Error::new(ErrorKind::Input, "rise.total and [ground] both set the total rise")
                    .at(self.place(total.span()))
                    .found("total with the table [ground]")
                    .allowed("one of the two: on ground that falls the total rise is solved")
                    .hint("remove rise.total, or the table [ground]"))
            }
            (None, None) => {
                self.outside.borrow_mut().push(self.no_rise(raw));
                Ok(Length::mm(MOST_TOTAL_RISE_MM))
            }
        }
    }

    /// Nothing hangs on a rise that is missing but what is worked out of it: the rest is read on.
    fn no_rise(&self, raw: &JobFile) -> Error {
        let (what, found, where_to) = match &raw.rise {
            Some(_) => ("a key is missing in this job", "no `total`", "a line below [rise]"),
            None => (
                "the table [rise] is missing in this job",
                "no [rise]",
                "a line [rise], and below it",
            ),
        };
        Error::new(ErrorKind::Input, what)
            .at(self.place(raw.rise.as_ref().map_or(0..0, |rise| rise.span())))
            .found(found)
            .allowed(
                "`total` or `rough` must be given, or the table [ground] with the rise at the head",
            )
            .hint(format!(
                "{where_to}: total = your own measure with its unit in quote marks (only the \
                    form: \"26 \
                3/4 in\", \"680 mm\")"
            ))
    }

    pub(super) fn around(
        &mut self,
        raw: &JobFile,
        rise: &Rise,
        sharing: &Sharing,
        joint: Option<Joint>,
    ) -> Result<Around, Error> {
        let ground = raw.ground.as_ref().map(|ground| self.ground(ground, rise)).transpose()?;
        let stair =
            raw.stair.as_ref().map(|stair| self.stair(stair.get_ref(), sharing)).transpose()?;
        let across = self.across(raw, stair.as_ref())?;
        let load = raw.load.as_ref().map(|load| self.load(load, stair.as_ref())).transpose()?;
        let moisture =
            raw.moisture.as_ref().map(|moisture| self.moisture(moisture.get_ref())).transpose()?;
        if load.is_some() || moisture.is_some() {
            self.wood(&raw.board, moisture.is_some())?;
        }
        let built = raw.built.as_ref().map(|built| self.built(built.get_ref())).transpose()?;
        Ok(Around { ground, across, stair, joint, load, moisture, built, places: self.places(raw) })
    }

    /// Where each table stands.
    fn places(&self, raw: &JobFile) -> Vec<(&'static str, Position)> {
        let spans = [
            ("ground", raw.ground.as_ref().map(Spanned::span)),
            ("across", raw.across.first().map(Spanned::span)),
            ("landing", raw.landing.first().map(Spanned::span)),
            ("stair", raw.stair.as_ref().map(Spanned::span)),
            ("joint", raw.head.joint.as_ref().map(Spanned::span)),
            ("load", raw.load.as_ref().map(Spanned::span)),
            ("moisture", raw.moisture.as_ref().map(Spanned::span)),
            ("built", raw.built.as_ref().map(Spanned::span)),
        ];
        spans.into_iter().filter_map(|(name, span)| Some((name, self.place(span?)))).collect()
    }

    fn ground(&mut self, raw: &Spanned<GroundFile>, rise: &Rise) -> Result<Ground, Error> {
        let file = raw.get_ref();
        let fall = match (&file.slope, &file.drop, &file.over) {
            (Some(slope), None, None) => read_slope(slope.get_ref()).ok_or_else(|| {
                Error::new(ErrorKind::Input, "ground.slope is no slope of ground")
                    .at(self.place(slope.span()))
                    .found(slope.get_ref().as_str())
                    .allowed(format!("{SLOPES}; less than 1 in 1"))
                    .hint("look at slope again, in one of the forms that are allowed")
            })?,
            (None, Some(drop), Some(over)) => self.fall(drop, over)?,
            _ => {
                return Err(Error::new(
                    ErrorKind::Input,
                    "the slope of the ground is not given, or twice",
                )
                .at(self.place(raw.span()))
                .found("neither or both of slope and drop with over")
                .allowed("slope alone, or drop and over together")
                .hint("keep slope, or drop and over together"));
            }
        };
        Ok(Ground {
            at_head: rise.total,
            fall,
            edge_out: self.optional(
                "ground.edge_out",
                &file.edge_out,
                MOST_EDGE_OUT_MM,
                Length::ZERO,
            )?,
            seat: file.seat.unwrap_or(Seat::Level),
            choice: rise.risers,
        })
    }

    fn fall(&mut self, drop: &Len, over: &Len) -> Result<f64, Error> {
        let length = self.positive("ground.over", over, 10.0 * MOST_TOTAL_RISE_MM)?;
        let down =
            self.within("ground.drop", drop, Length::ZERO, Length::mm(MOST_TOTAL_RISE_MM))?;
        if down >= length {
            let allowed = format!("less than the {length} that it drops over");
            return Err(self.refuse("ground.drop", drop.span(), down.to_string(), &allowed));
        }
        Ok(down.as_mm() / length.as_mm())
    }

    fn stair(&mut self, raw: &StairFile, sharing: &Sharing) -> Result<StairWidth, Error> {
        let mut optional = |key, raw: &Option<Len>| {
            let raw = raw.as_ref();
            raw.map(|length| self.positive(key, length, MOST_TOTAL_RISE_MM)).transpose()
        };
        let most_spacing = optional("stair.most_spacing", &raw.most_spacing)?;
        let clear_width = optional("stair.clear_width", &raw.clear_width)?;
        let headroom = optional("stair.headroom", &raw.headroom)?;
        Ok(StairWidth {
            width: self.positive("stair.width", &raw.width, MOST_TOTAL_RISE_MM)?,
            most_spacing,
            outsides: raw.outsides.unwrap_or(sharing.outsides),
            clear_width,
            headroom,
            held: raw.held.unwrap_or_default(),
        })
    }

    fn across(
        &mut self,
        raw: &JobFile,
        stair: Option<&StairWidth>,
    ) -> Result<Vec<RiseAcross>, Error> {
        let Some(first) = raw.across.first() else { return Ok(Vec::new()) };
        let stair = self.needs_width("[[across]]", &first.span(), stair)?;
        RiseAcross::are_enough(raw.across.len())
            .map_err(|error| error.at(self.place(first.span())))?;
        let width = stair.width;
        let mut readings: Vec<RiseAcross> = Vec::new();
        for spanned in &raw.across {
            let reading = self.reading_across(spanned.get_ref(), width, readings.last())?;
            readings.push(reading);
        }
        Ok(readings)
    }

    fn reading_across(
        &mut self,
        raw: &AcrossFile,
        width: Length,
        before: Option<&RiseAcross>,
    ) -> Result<RiseAcross, Error> {
        let offset = self.within("across.offset", &raw.offset, Length::ZERO, width)?;
        let reading = RiseAcross {
            offset,
            total: self.positive("across.total", &raw.total, MOST_TOTAL_RISE_MM)?,
        };
        let in_order = before.map_or(Ok(()), |before| reading.is_right_of(before));
        in_order.map(|()| reading).map_err(|error| error.at(self.place(raw.offset.span())))
    }

    pub(super) fn joint(&mut self, raw: &Spanned<JointFile>) -> Result<Joint, Error> {
        let file = raw.get_ref();
        let mut size =
            |key: &str, raw: &Len| self.positive(&format!("head.joint.{key}"), raw, MOST_JOINT_MM);
        let given =
            (&file.thickness, &file.depth, &file.width, &file.height, &file.below, &file.bearing);
        match (file.with, given) {
            (JointWord::AgainstRim, (None, None, None, None, None, None)) => Ok(Joint::AgainstRim),
            (JointWord::HangerBoard, (Some(thickness), Some(depth), None, None, None, None)) => {
                Ok(Joint::HangerBoard {
                    thickness: size("thickness", thickness)?,
                    depth: size("depth", depth)?,
                })
            }
            (JointWord::LedgerNotch, (None, None, Some(width), Some(height), None, None)) => {
                Ok(Joint::LedgerNotch {
                    width: size("width", width)?,
                    height: size("height", height)?,
                })
            }
            (JointWord::DroppedHeader, (None, Some(depth), None, None, Some(below), None)) => {
                let depth = size("depth", depth)?;
                Ok(Joint::DroppedHeader { below: self.joint_below(below)?, depth })
            }
            (JointWord::TopOver, (None, None, None, None, Some(below), Some(bearing))) => {
                let bearing = size("bearing", bearing)?;
                Ok(Joint::TopOver { below: self.joint_below(below)?, bearing })
            }
            _ => Err(Error::new(ErrorKind::Input, "head.joint has keys that do not go together")
                .at(self.place(raw.span()))
                .found("a missing key, or one of another joint")
                .allowed(
                    "against-rim: no further key; hanger-board: thickness, depth; ledger-notch: \
                    width, height; dropped-header: below, depth; top-over: below, bearing",
                )
                .hint(
                    "give this joint just the keys that stand behind its name above, as measured",
                )),
        }
    }

    fn joint_below(&mut self, raw: &Len) -> Result<Length, Error> {
        self.within("head.joint.below", raw, Length::ZERO, Length::mm(MOST_JOINT_MM))
    }

    fn load(&mut self, raw: &Spanned<LoadFile>, stair: Option<&StairWidth>) -> Result<Load, Error> {
        if stair.and_then(|stair| stair.most_spacing).is_none() {
            return Err(Error::new(
                ErrorKind::Input,
                "[load] needs to know how the stringers stand side by side",
            )
            .at(self.place(raw.span()))
            .found("no stair.width, or no stair.most_spacing")
            .allowed("the table [stair] with both")
            .hint(
                "a line [stair], and below it width as measured, most_spacing as the treads' maker \
                gives it",
            ));
        }
        let file = raw.get_ref();
        Ok(Load {
            live_psf: self.pounds("load.live", &file.live)?,
            dead_psf: self.pounds("load.dead", &file.dead)?,
            middle: if file.mid_support == Some(true) { Middle::Supported } else { Middle::Free },
            clear_span: match &file.clear_span {
                Some(span) => Some(self.positive("load.clear_span", span, MOST_TOTAL_RISE_MM)?),
                None => None,
            },
        })
    }

    fn pounds(&self, key: &str, raw: &Option<Spanned<String>>) -> Result<Option<f64>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let short = key.rsplit('.').next().unwrap_or(key);
        let psf = read_load(raw.get_ref()).ok_or_else(|| {
            Error::new(ErrorKind::Input, format!("{key} is no load"))
                .at(self.place(raw.span()))
                .found(raw.get_ref().as_str())
                .allowed(LOADS)
                .hint(format!("look at {short} again, in one of the forms that are allowed"))
        })?;
        Ok(Some(psf))
    }

    fn moisture(&self, raw: &MoistureFile) -> Result<MoistureContent, Error> {
        Ok(MoistureContent {
            now_percent: self.percent("moisture.now", &raw.now)?,
            service_percent: self.percent("moisture.service", &raw.service)?,
            grain: raw.sawn.unwrap_or(BoardGrain::Flat),
        })
    }

    fn percent(&self, key: &str, raw: &Spanned<f64>) -> Result<f64, Error> {
        let value = *raw.get_ref();
        if (0.0..=MOST_MOISTURE_PERCENT).contains(&value) {
            return Ok(value);
        }
        let allowed = format!(
            "0 to {MOST_MOISTURE_PERCENT} percent of the dry weight; indoors 6 to 11, outdoors 12 \
            to 16"
        );
        Err(self.refuse(key, raw.span(), value.to_string(), &allowed))
    }

    /// Species and grade, where something is asked that needs them.
    fn wood(&self, board: &BoardFile, moves: bool) -> Result<(), Error> {
        let Some(species) = &board.species else { return Ok(()) };
        let here = |error: Error| error.at(self.place(species.span()));
        let table = TimberTable::of_species(species.get_ref()).map_err(here)?;
        if moves {
            table.movement(species.get_ref()).map_err(here)?;
        }
        let Some(grade) = &board.grade else { return Ok(()) };
        let wood = table.wood(species.get_ref(), grade.get_ref());
        wood.map(|_| ()).map_err(|error| error.at(self.place(grade.span())))
    }
}
