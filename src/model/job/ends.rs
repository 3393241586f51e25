//! From the job file to the job: the rise, the head and the foot.

use super::around::Joint;
use super::job_file::{FootFile, HeadFile, JobFile, StandsOnFile, TieFile};
use super::parts::{
    Foot, Head, Job, MOST_RISERS, MOST_TOTAL_RISE_MM, Meets, Rise, RiserChoice, StandsOn, Tie,
    Tread,
};
use super::resolve::Resolver;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::reader::Len;
use crate::units::{Length, on_tape};

/// A spacer and the joint's own board that differ by less than this are one, in mm: typed in
/// another unit.
const SAME_SPACER_MM: f64 = 0.01;
/// The most characters of what a stringer stands on.
const LONGEST_NAME: usize = 40;

impl Job {
    /// Level from the plumb cut to what the riser board at the head stands on and the top tread
    /// ends at: the rim, a spacer away. A hanger board reaches as high as the framing, in front of
    /// the rim: that board's own face, which is where the plumb cut is. A flush top tread that lies
    /// over the framing lies over the board too.
    pub fn head_gap(&self) -> Length {
        let is_hanger = matches!(self.around.joint, Some(Joint::HangerBoard { .. }));
        let is_over = self.head.meets == Meets::Flush && self.tread.thickness <= self.head.finish;
        if is_hanger && !is_over { Length::ZERO } else { self.head.spacer }
    }
}

impl Resolver<'_> {
    /// The rise, finished to finished. Of one that was measured rough, from what the stringer will
    /// stand on to the top of the framing, the finish below comes off, and what is under the seat
    /// and the finish above are added.
    pub(super) fn rise(&mut self, job: &JobFile, head: &Head, foot: &Foot) -> Result<Rise, Error> {
        let raw = job.rise();
        let finish_to_come =
            self.optional("rise.finish_to_come", &raw.finish_to_come, 300.0, Length::ZERO)?;
        let (total, rough) = match (&raw.rough, &raw.total, &job.ground) {
            (None, _, _) => (self.total_rise(job)?, None),
            (Some(typed), None, None) => {
                let rough = self.positive("rise.rough", typed, MOST_TOTAL_RISE_MM)?;
                let total = rough - finish_to_come + foot.stands_on_height() + head.finish;
                if total <= Length::ZERO || total > Length::mm(MOST_TOTAL_RISE_MM) {
                    let sum = format!(
                        "{rough} rough, less {finish_to_come} of finish to come, with {} under the \
                        seat and {} of upper finish: {total}",
                        foot.stands_on_height(),
                        head.finish
                    );
                    return Err(self.no_rise_left(typed, sum));
                }
                (total, Some(rough))
            }
            (Some(rough), Some(_), _) => {
                return Err(self.rise_twice(rough, "rise.total"));
            }
            (Some(rough), None, Some(_)) => {
                return Err(self.rise_twice(rough, "ground.at_head"));
            }
        };
        let risers = self.riser_choice(job, head.meets)?;
        Ok(Rise { total, rough, risers, finish_to_come })
    }

    fn no_rise_left(&self, rough: &Len, sum: String) -> Error {
        Error::new(ErrorKind::Input, "rise.rough leaves no rise that can be built")
            .at(self.place(rough.span()))
            .found(sum)
            .allowed(format!(
                "a finished rise of more than 0, at most {}",
                Length::mm(MOST_TOTAL_RISE_MM)
            ))
            .hint("measure rise.rough again: plumb, up to the top of the framing")
    }

    fn rise_twice(&self, rough: &Len, other: &str) -> Error {
        Error::new(ErrorKind::Input, format!("rise.rough and {other} both set the total rise"))
            .at(self.place(rough.span()))
            .found(format!("rough and {other}"))
            .allowed("one of the two: rough is measured to the framing, the other to the finish")
            .hint(format!("remove rise.rough, or {other}"))
    }

    fn riser_choice(&mut self, job: &JobFile, meets: Meets) -> Result<RiserChoice, Error> {
        let raw = job.rise();
        let least = meets.fewest_risers() as i64;
        match (&raw.risers, &raw.aim) {
            (Some(risers), Some(aim)) => {
                let what = "rise.risers and rise.aim both choose the riser count";
                Err(Error::new(ErrorKind::Input, what)
                    .at(self.place(aim.span()))
                    .found(format!("risers = {} and an aim", risers.get_ref()))
                    .allowed("one of the two, or neither")
                    .hint("remove one of the two lines"))
            }
            (Some(risers), None) => {
                let count = self.count("rise.risers", risers, least, MOST_RISERS as i64)?;
                Ok(RiserChoice::Forced(count as usize))
            }
            (None, Some(aim)) => Ok(RiserChoice::Aim(self.within(
                "rise.aim",
                aim,
                Length::mm(50.0),
                Length::mm(400.0),
            )?)),
            (None, None) => Ok(RiserChoice::Comfort),
        }
    }

    pub(super) fn head(
        &mut self,
        raw: &HeadFile,
        tread: &Tread,
        joint: Option<Joint>,
    ) -> Result<Head, Error> {
        let meets = raw.meets.unwrap_or_else(|| {
            self.take("head.meets", "one-down");
            Meets::OneDown
        });
        if let (Meets::OneDown, Some(top)) = (meets, &raw.top_tread) {
            return Err(Error::new(ErrorKind::Input, "head.top_tread is for a flush flight only")
                .at(self.place(top.span()))
                .found("top_tread with meets = \"one-down\"")
                .allowed("top_tread with meets = \"flush\"")
                .hint(
                    "remove top_tread: the top tread of a one-down flight is as deep as the others",
                ));
        }
        let rim_depth = match &raw.rim_depth {
            Some(depth) => Some(self.positive("head.rim_depth", depth, 2_000.0)?),
            None => None,
        };
        let top_tread = match &raw.top_tread {
            Some(top) => self.positive("head.top_tread", top, 3_000.0)?,
            None => tread.cut,
        };
        Ok(Head {
            meets,
            finish: self.within("head.finish", &raw.finish, Length::ZERO, Length::mm(300.0))?,
            riser_board: self.optional(
                "head.riser_board",
                &raw.riser_board,
                100.0,
                tread.riser_board,
            )?,
            spacer: self.spacer(raw, joint)?,
            rim_depth,
            top_tread,
            overhang: self.head_overhang(raw, meets)?,
        })
    }

    /// What stands between the plumb cut and the rim: the hanger board of the joint, where one is
    /// asked for. The part is cut for it, so the two cannot differ.
    fn spacer(&mut self, raw: &HeadFile, joint: Option<Joint>) -> Result<Length, Error> {
        let of_joint = joint.map(Joint::gap);
        let none = of_joint.unwrap_or(Length::ZERO);
        let spacer = self.optional("head.spacer", &raw.spacer, 300.0, none)?;
        let (Some(joint), Some(typed)) = (joint, &raw.spacer) else { return Ok(spacer) };
        if spacer.is_within(Length::mm(SAME_SPACER_MM), joint.gap()) {
            return Ok(spacer);
        }
        Err(Error::new(ErrorKind::Input, "head.spacer and head.joint contradict each other")
            .at(self.place(typed.span()))
            .found(format!("a spacer of {spacer}, and the joint: {joint}"))
            .allowed(format!("{} with this joint", joint.gap()))
            .hint("remove head.spacer: the joint says what stands between stringer and rim"))
    }

    fn head_overhang(&mut self, raw: &HeadFile, meets: Meets) -> Result<Option<Length>, Error> {
        let Some(overhang) = &raw.overhang else { return Ok(None) };
        if meets == Meets::Flush {
            return Err(Error::new(ErrorKind::Input, "head.overhang is for a one-down head only")
                .at(self.place(overhang.span()))
                .found("overhang with meets = \"flush\"")
                .allowed("overhang with meets = \"one-down\"")
                .hint("remove head.overhang: a flush top tread meets the upper finish level"));
        }
        self.within("head.overhang", overhang, Length::ZERO, Length::mm(150.0)).map(Some)
    }

    pub(super) fn foot(&mut self, raw: &FootFile) -> Result<Foot, Error> {
        Ok(Foot {
            tie_plate: raw.tie_plate.as_ref().map(|tie| self.tie(tie)).transpose()?,
            stands_on: raw.stands_on.as_ref().map(|on| self.stands_on(on)).transpose()?,
        })
    }

    fn stands_on(&mut self, raw: &StandsOnFile) -> Result<StandsOn, Error> {
        let what = raw.what.get_ref().trim();
        let count = what.chars().count();
        if !(1..=LONGEST_NAME).contains(&count) || what.chars().any(char::is_control) {
            return Err(self.refuse(
                "foot.stands_on.what",
                raw.what.span(),
                format!("{count} characters"),
                "1 to 40 printable characters, as \"sole plate\"",
            ));
        }
        Ok(StandsOn {
            what: what.to_string(),
            height: self.positive("foot.stands_on.height", &raw.height, 300.0)?,
        })
    }

    fn tie(&mut self, raw: &TieFile) -> Result<Tie, Error> {
        if raw.clearance.is_none() {
            let taken = format!("{}: the notch is as tight as the plate", on_tape(Length::ZERO));
            self.take("foot.tie_plate.clearance", &taken);
        }
        Ok(Tie {
            width: self.positive("foot.tie_plate.width", &raw.width, 2_000.0)?,
            height: self.positive("foot.tie_plate.height", &raw.height, 1_000.0)?,
            set_back: self.optional(
                "foot.tie_plate.set_back",
                &raw.set_back,
                5_000.0,
                Length::ZERO,
            )?,
            clearance: self.optional(
                "foot.tie_plate.clearance",
                &raw.clearance,
                50.0,
                Length::ZERO,
            )?,
        })
    }
}
