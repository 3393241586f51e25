//! From the job file to the job: how copies share the material, and the boards they are sawn from.

use super::job_file::{ClampFile, CutFile, JobFile, MakesFile, MeasuredFile, StockBoardsFile};
use super::parts::{Board, Clamp, Outsides, Sharing};
use super::resolve::Resolver;
use super::stock_boards::{MeasuredBoard, Narrow, StockBoards};
use crate::diagnostics::codes;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::{Form, Material};
use crate::units::{Length, Tape};

/// The lengths that boards come in, in feet (common practice, no source).
const USUAL_LENGTHS_FT: [f64; 7] = [8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0];
/// The same where tapes are metric, in metres (common practice, no source).
const USUAL_LENGTHS_M: [f64; 7] = [2.4, 3.0, 3.6, 4.2, 4.8, 5.4, 6.0];
/// What a saw cut takes where nothing is said, in inches (common practice, no source).
const USUAL_KERF_IN: f64 = 0.125;
/// What is cut off each end where nothing is said, in inches (common practice, no source).
const USUAL_TRIM_IN: f64 = 0.25;
/// Diameter of the holes that align layers where nothing is said, in inches (common practice, no
/// source).
const USUAL_DOWEL_IN: f64 = 0.375;
/// The holes that align layers where nothing is said.
pub(super) fn usual_dowel() -> Length {
    Length::inches(USUAL_DOWEL_IN)
}

/// The most layers of one stringer.
const MOST_LAYERS: i64 = 4;
/// The most stairs alike that one job is for.
pub(super) const MOST_STAIRS: i64 = 1_000;
/// The most clamps, boards, waivers, rooms that are listed: more is no job that anybody wrote.
const MOST_LISTED: usize = 200;

impl Resolver<'_> {
    pub(super) fn sharing(&mut self, raw: &CutFile, material: &Material) -> Result<Sharing, Error> {
        let spacing =
            raw.spacing.as_ref().map(|raw| self.positive("cut.spacing", raw, 500.0)).transpose()?;
        let mut clamps = Vec::new();
        self.few("cut.clamps", raw.clamps.len())?;
        for clamp in &raw.clamps {
            clamps.push(self.clamp(clamp)?);
        }
        let layers = raw
            .layers
            .as_ref()
            .map_or(Ok(1), |raw| self.count("cut.layers", raw, 1, MOST_LAYERS))?;
        if let Some(raw_layers) = raw.layers.as_ref().filter(|_| layers > 1) {
            let of_sheet =
                matches!(raw.makes, MakesFile::Stringers) && material.form == Form::Sheet;
            if !of_sheet {
                return Err(Error::new(
                    ErrorKind::Input,
                    "cut.layers is for stringers cut from a sheet",
                )
                .at(self.place(raw_layers.span()))
                .found(format!("layers = {layers}"))
                .allowed("layers = 1, or makes = \"stringers\" out of a sheet")
                .hint("remove layers, or makes = \"stringers\" with a sheet as material"));
            }
        }
        let doubled = raw.doubled_outsides.as_ref();
        let few = matches!(raw.makes, MakesFile::Pattern)
            || raw.quantity.as_ref().is_none_or(|q| *q.get_ref() < 2);
        if let Some(raw_doubled) = doubled.filter(|raw_doubled| *raw_doubled.get_ref() && few) {
            return Err(Error::new(
                ErrorKind::Input,
                "cut.doubled_outsides needs the outside stringers in the job",
            )
            .at(self.place(raw_doubled.span()))
            .found("a pattern, or fewer than 2 stringers")
            .allowed("makes = \"stringers\" and quantity = 2 or more")
            .hint("remove doubled_outsides, or give the quantity of the whole stair"));
        }
        Ok(Sharing {
            spacing,
            clamps,
            layers,
            dowel: match &raw.dowel {
                Some(raw) => self.positive("cut.dowel", raw, 50.0)?,
                None => usual_dowel(),
            },
            outsides: match doubled.map(|raw| *raw.get_ref()) {
                Some(true) => Outsides::Doubled,
                _ => Outsides::Single,
            },
        })
    }

    /// For how many stairs alike the pieces are: as many stringers for each, two or more where the
    /// outside ones are doubled.
    pub(super) fn stairs(&self, job: &JobFile, cut: &CutFile, quantity: u32) -> Result<u32, Error> {
        let Some(raw) = &job.stairs else { return Ok(1) };
        let stairs = self.count("stairs", raw, 1, MOST_STAIRS)?;
        if matches!(cut.makes, MakesFile::Pattern) {
            return Ok(stairs);
        }
        let doubled = cut.doubled_outsides.as_ref().is_some_and(|raw| *raw.get_ref());
        let least = if doubled { 2 } else { 1 };
        let each = quantity / stairs;
        if each * stairs == quantity && each >= least {
            return Ok(stairs);
        }
        let place = cut.quantity.as_ref().map_or(raw.span(), toml::Spanned::span);
        Err(Error::new(ErrorKind::Input, "cut.quantity does not come out even over the stairs")
            .at(self.place(place))
            .found(format!("{quantity} stringers for {stairs} stairs"))
            .allowed(format!("as many stringers for each stair, {least} or more"))
            .hint(format!("quantity = {stairs} times what one stair has")))
    }

    pub(super) fn few(&self, key: &str, count: usize) -> Result<(), Error> {
        if count <= MOST_LISTED {
            return Ok(());
        }
        Err(Error::new(ErrorKind::Input, format!("{key} lists too many"))
            .found(count.to_string())
            .allowed(format!("at most {MOST_LISTED}")))
    }

    fn clamp(&mut self, raw: &ClampFile) -> Result<Clamp, Error> {
        let most = Length::mm(20_000.0);
        Ok(Clamp {
            x: self.within("cut.clamps.x", &raw.x, Length::ZERO, most)?,
            y: self.within("cut.clamps.y", &raw.y, Length::ZERO, most)?,
            length: self.positive("cut.clamps.length", &raw.length, most.as_mm())?,
            width: self.positive("cut.clamps.width", &raw.width, most.as_mm())?,
            height: raw
                .height
                .as_ref()
                .map(|raw| self.positive("cut.clamps.height", raw, 1_000.0))
                .transpose()?,
        })
    }

    pub(super) fn stock_boards(
        &mut self,
        raw: Option<&StockBoardsFile>,
    ) -> Result<StockBoards, Error> {
        let lengths: Vec<Length> = match Tape::in_hand() {
            Tape::Inches => USUAL_LENGTHS_FT.map(|feet| Length::inches(feet * 12.0)).to_vec(),
            Tape::Metric => USUAL_LENGTHS_M.map(|m| Length::mm(m * 1000.0)).to_vec(),
        };
        let mut boards = StockBoards {
            lengths,
            kerf: Length::inches(USUAL_KERF_IN),
            end_trim: Length::inches(USUAL_TRIM_IN),
            narrow: Narrow::Refuse,
            measured: Vec::new(),
        };
        let Some(raw) = raw else { return Ok(boards) };
        if let Some(lengths) = &raw.lengths {
            self.few("boards.lengths", lengths.len())?;
            boards.lengths.clear();
            for length in lengths {
                let length = self.positive("boards.lengths", length, 20_000.0)?;
                boards.lengths.push(length);
            }
        }
        boards.kerf = self.optional("boards.kerf", &raw.kerf, 20.0, boards.kerf)?;
        boards.end_trim =
            self.optional("boards.end_trim", &raw.end_trim, 1_000.0, boards.end_trim)?;
        boards.narrow = raw.narrow.unwrap_or(boards.narrow);
        self.few("boards.measured", raw.measured.len())?;
        for board in &raw.measured {
            boards.measured.push(self.measured_board(board)?);
        }
        Ok(boards)
    }

    /// The board that is laid out on: the narrowest measured one, where the job wants everything
    /// solved anew for it.
    pub(super) fn narrowed(&mut self, board: Board, boards: &StockBoards) -> Board {
        let narrowest = boards.measured.iter().map(|measured| measured.width).reduce(Length::min);
        match narrowest.filter(|width| boards.narrow == Narrow::ReSolve && *width < board.width) {
            Some(width) => {
                self.reading
                    .push(codes::BoardReSolved { measured: width, asked: board.width }.at("board"));
                Board { width, ..board }
            }
            None => board,
        }
    }

    fn measured_board(&mut self, raw: &MeasuredFile) -> Result<MeasuredBoard, Error> {
        Ok(MeasuredBoard {
            width: self.positive("boards.measured.width", &raw.width, 2_000.0)?,
            crown: self.within(
                "boards.measured.crown",
                &raw.crown,
                Length::ZERO,
                Length::mm(200.0),
            )?,
        })
    }
}
