//! The arguments as typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::output::drawing::Paper;
use crate::output::dxf::DxfVersion;

/// Solves, checks and makes a cut stair stringer: DXF, G-code, drawing and a proof, from tape
/// measurements.
///
/// Limits are advice: local code and licensed practice decide. People can be hurt by stairs and by
/// machines.
#[derive(Parser)]
#[command(name = "seatcut", version, max_term_width = 100)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Subcommand)]
pub(super) enum Command {
    /// Write a commented starter job; never overwrites
    New {
        /// The file to write, `-` for standard output
        file: PathBuf,
    },
    /// Ask for the measurements, step by step in the order of the tape, and write the job; never
    /// overwrites
    Ask {
        /// The file to write, `-` for standard output
        file: PathBuf,
    },
    /// Draft a job on a page of the browser: the form, the stair drawn as you type, its findings.
    /// Only this computer reaches the page
    Draft {
        /// The job file, there or not yet; left out: a new one in this folder
        job: Option<PathBuf>,
        /// The port to serve the page on; left out: a free one
        #[arg(long, default_value_t = 0, hide_default_value = true)]
        port: u16,
        /// Do not open the browser, only print the address
        #[arg(long)]
        no_open: bool,
    },
    /// Print the layout numbers, the riser counts and all that was found; writes no file
    Solve {
        /// The job file, `-` for standard input
        job: PathBuf,
        #[command(flatten)]
        report: ReportArguments,
    },
    /// Solve, check, write every file, then read each back from disk and verify it
    Make(MakeArguments),
    /// Make many jobs, each a set of its own in a folder of its own, and a table of what came of
    /// them
    Batch(BatchArguments),
    /// Write the part at full size on pages to be pasted together, as PDF
    Pages {
        /// The job file, `-` for standard input
        job: PathBuf,
        #[command(flatten)]
        flight: FlightArguments,
        /// The PDF file to write
        #[arg(short, long, value_name = "FILE")]
        output: PathBuf,
        /// letter, a4, roll-36 (a roll 36 in wide), or a size such as "11 in x 17 in"; left out:
        /// letter for a job measured in inches, a4 for one in millimetres
        #[arg(long)]
        paper: Option<String>,
        /// Replace an existing file
        #[arg(long)]
        force: bool,
    },
    /// Write an order for a fabrication shop: finished outlines, order sheet, digests
    Order(OrderArguments),
    /// Say which dimensions moved between two jobs, and whether the old pattern still serves;
    /// writes no file
    Diff {
        /// The old job file, `-` for standard input
        old: PathBuf,
        /// The new job file, `-` for standard input
        new: PathBuf,
        #[command(flatten)]
        flight: FlightArguments,
        /// Print the differences alone, as JSON
        #[arg(long)]
        json: bool,
    },
    /// Hold DXF and G-code files, whoever wrote them, against a job
    Verify {
        /// The job file or order file, `-` for standard input
        job: PathBuf,
        /// The effort that the sheets were laid out with
        #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(0..=9))]
        effort: u32,
        /// The stock file that it was made from, instead of the one that an order names
        #[arg(long, value_name = "FILE")]
        stock: Option<PathBuf>,
        /// The files to hold against it
        #[arg(required = true)]
        files: Vec<PathBuf>,
        #[command(flatten)]
        report: ReportArguments,
    },
    /// Hold a flight as it was built against its job: which risers fail, what shims and trims would
    /// bring them in
    Fit {
        /// The job file, `-` for standard input
        job: PathBuf,
        /// A file with the table `[built]`; left out: the job's own
        #[arg(value_name = "FIT")]
        measured: Option<PathBuf>,
        #[command(flatten)]
        flight: FlightArguments,
        #[command(flatten)]
        report: ReportArguments,
    },
    /// Write two test squares for a machine, to find what its tool really takes away, its scale and
    /// its play; or say what their measured figures mean, and what to type
    Square(SquareArguments),
    /// List the profiles in the binary, or print one as a starting point for your own
    Profiles {
        /// The profile to print
        name: Option<String>,
    },
    /// Say what a word of the trade means here, or what a finding means and what to do
    Explain {
        /// A word such as "story pole", or a finding's code; left out: list all
        word: Vec<String>,
    },
    /// Print the completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    Man,
}

/// How a report is printed and judged.
#[derive(Args, Default)]
pub(super) struct ReportArguments {
    /// Print the report alone, as JSON
    #[arg(long)]
    pub json: bool,
    /// End with exit code 5 if there is a warning
    #[arg(long)]
    pub deny_warnings: bool,
}

#[derive(Args)]
pub(super) struct MakeArguments {
    /// Job files that are cut together, or order files that list jobs with counts; `-` for standard
    /// input
    #[arg(required = true, value_name = "JOB")]
    pub jobs: Vec<PathBuf>,
    /// How hard to search for few sheets, few boards and short ways, 0 to 9
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(0..=9))]
    pub effort: u32,
    /// A stock file: the boards and sheets at hand, with counts and prices; instead of the one that
    /// an order names
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,
    /// Write the stock file anew: what is used taken off, offcuts worth keeping put back
    #[arg(long)]
    pub take: bool,
    /// End the search for few sheets after so many seconds, with the best found; how far it comes
    /// then hangs on the machine, and another run may lay out otherwise
    #[arg(long, value_name = "SECONDS", value_parser = super::search::seconds)]
    pub time: Option<f64>,
    /// The paper of drawing.svg and drawing.pdf; left out: tabloid (11 x 17 in) for a job measured
    /// in inches, A3 for one in millimetres
    #[arg(long, value_enum)]
    pub paper: Option<PaperArgument>,
    #[command(flatten)]
    pub output: OutputArguments,
    #[command(flatten)]
    pub report: ReportArguments,
}

#[derive(Args)]
pub(super) struct BatchArguments {
    /// Job files, order files, and folders of them
    #[arg(required = true, value_name = "JOB|FOLDER")]
    pub jobs: Vec<PathBuf>,
    /// How hard to search for few sheets, few boards and short ways, 0 to 9
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(0..=9))]
    pub effort: u32,
    /// End each job's search for few sheets after so many seconds, with the best found; how far it
    /// comes then hangs on the machine, and another run may lay out otherwise
    #[arg(long, value_name = "SECONDS", value_parser = super::search::seconds)]
    pub time: Option<f64>,
    #[command(flatten)]
    pub output: OutputArguments,
    #[command(flatten)]
    pub report: ReportArguments,
}

#[derive(Args, Default)]
pub(super) struct FlightArguments {
    /// Of a stair with landings this flight, counted from 1 at the foot
    #[arg(long, value_name = "N")]
    pub flight: Option<usize>,
}

#[derive(Args)]
pub(super) struct OrderArguments {
    /// The job file, `-` for standard input
    pub job: PathBuf,
    /// Draw a check bar and words in the DXF files too, on layer REF
    #[arg(long)]
    pub reference: bool,
    #[command(flatten)]
    pub flight: FlightArguments,
    #[command(flatten)]
    pub output: OutputArguments,
    #[command(flatten)]
    pub report: ReportArguments,
}

#[derive(Args)]
pub(super) struct SquareArguments {
    /// The machine's profile: its name, or the path of a file of your own
    pub machine: String,
    /// The material's, to cut one
    #[arg(conflicts_with = "outside")]
    pub material: Option<String>,
    /// What lies on the machine, along X and along Y; left out: the material's own size
    #[arg(long, value_name = "X x Y", conflicts_with = "outside")]
    pub stock: Option<String>,
    /// The directory to write the files to
    #[arg(short, long, value_name = "DIR", conflicts_with = "outside")]
    pub output: Option<PathBuf>,
    /// Replace the set of another job
    #[arg(long, conflicts_with = "outside")]
    pub force: bool,
    /// What was measured of the large square outside, across X and across Y
    #[arg(long, value_name = "X x Y", requires = "inside", requires = "small")]
    pub outside: Option<String>,
    /// What was measured of its hole
    #[arg(long, value_name = "X x Y", requires = "outside")]
    pub inside: Option<String>,
    /// What was measured of the small square outside
    #[arg(long, value_name = "X x Y", requires = "outside")]
    pub small: Option<String>,
    /// Both diagonals of the large one outside: from lower left to upper right, then from lower
    /// right to upper left
    #[arg(long, value_name = "UP x DOWN", requires = "outside")]
    pub diagonals: Option<String>,
    /// Print the figures alone, as JSON
    #[arg(long)]
    pub json: bool,
}

/// Where a set of files goes, and in what form.
#[derive(Args)]
pub(super) struct OutputArguments {
    /// The directory to write the files to
    #[arg(short, long, value_name = "DIR")]
    pub output: PathBuf,
    /// Replace an existing set of files
    #[arg(long)]
    pub force: bool,
    /// Version of the DXF files
    #[arg(long, value_enum, default_value = "r2000")]
    pub dxf: DxfArgument,
}

#[derive(Clone, Copy, ValueEnum)]
pub(super) enum PaperArgument {
    /// 8 1/2 by 11 in
    Letter,
    /// 11 by 17 in
    Tabloid,
    /// 210 by 297 mm
    A4,
    /// 297 by 420 mm
    A3,
}

impl PaperArgument {
    /// The paper as the drawing knows it.
    pub(super) fn paper(self) -> Paper {
        match self {
            Self::Letter => Paper::Letter,
            Self::Tabloid => Paper::Tabloid,
            Self::A4 => Paper::A4,
            Self::A3 => Paper::A3,
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
pub(super) enum DxfArgument {
    /// AC1009, for old programs
    R12,
    /// AC1015
    R2000,
}

impl DxfArgument {
    /// The version as the export names it.
    pub(super) fn version(self) -> DxfVersion {
        match self {
            Self::R12 => DxfVersion::R12,
            Self::R2000 => DxfVersion::R2000,
        }
    }
}
