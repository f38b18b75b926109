//! The command line: one file per verb. A verb reads, calls the library and prints; the result
//! goes to standard output, the talk to standard error.

mod bend;
mod context;
mod cut;
mod dry_run;
mod feeds;
mod layout;
mod new;
mod preview;
mod progress;
mod say;
mod schema;

use clap::{Args, Parser, Subcommand};
use ovolo::diagnostic::Failure;
use std::path::PathBuf;
use std::process::ExitCode;

/// From a tape measure reading to a checked router program for classical door headers.
#[derive(Parser, Debug)]
#[command(
    name = "ovolo",
    version,
    about,
    after_help = "\
Exit status: 0 done; 1 refused by the dry run or by a limit of the trade; 2 the input is wrong;
3 the system failed (disk, permission).

A dry run says what it checked. It never says that a program is safe: local codes, the
machine's manual and licensed practice come first."
)]
struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand, Debug)]
enum Verb {
    /// A header's projections, mitres, cut list, bend and full-size drawings; figures of parts
    Layout(layout::LayoutArgs),
    /// Whether a moulding goes round a curve, and which way: dry, glued up, kerfed or milled
    Bend(bend::BendArgs),
    /// Write a job's programs, each read back and dry-run, with pictures and a setup sheet
    Cut(cut::CutArgs),
    /// Try a program's text, whoever wrote it, and say what was found
    DryRun(dry_run::DryRunArgs),
    /// Extents, times and a picture of a program, or of all programs of a job
    Preview(preview::PreviewArgs),
    /// Feeds, speeds and depths by species and cutter, and what limits each
    Feeds(feeds::FeedsArgs),
    /// Write a commented starter file
    New(new::NewArgs),
    /// Print the JSON Schema of a file type, for editors
    Schema(schema::SchemaArgs),
}

/// Options that every verb takes.
#[derive(Args, Debug, Clone)]
struct Common {
    /// Shop file [default: the one the job names, else the built-in shop]
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
    /// Print the result as JSON
    #[arg(long)]
    json: bool,
    /// Print nothing but the result
    #[arg(long, short)]
    quiet: bool,
}

/// Exit status after an interrupt: 128 and the signal's number, as shells have it.
const INTERRUPTED: i32 = 130;

/// Runs the command line of this process.
pub(crate) fn run() -> ExitCode {
    let cli = Cli::parse();
    // Without a handler an interrupt still ends us; only a hidden half file may stay.
    let _ = ctrlc::set_handler(|| {
        ovolo::files::remove_unfinished();
        std::process::exit(INTERRUPTED);
    });
    let json = cli.verb.common().json;
    let done = match &cli.verb {
        Verb::Layout(args) => layout::run(args),
        Verb::Bend(args) => bend::run(args),
        Verb::Cut(args) => cut::run(args),
        Verb::DryRun(args) => dry_run::run(args),
        Verb::Preview(args) => preview::run(args),
        Verb::Feeds(args) => feeds::run(args),
        Verb::New(args) => new::run(args),
        Verb::Schema(args) => schema::run(args),
    };
    match done {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            say::failure(&failure, json);
            ExitCode::from(failure.exit_code())
        }
    }
}

impl Verb {
    fn common(&self) -> &Common {
        match self {
            Verb::Layout(a) => &a.common,
            Verb::Bend(a) => &a.common,
            Verb::Cut(a) => &a.common,
            Verb::DryRun(a) => &a.common,
            Verb::Preview(a) => &a.common,
            Verb::Feeds(a) => &a.common,
            Verb::New(a) => &a.common,
            Verb::Schema(a) => &a.common,
        }
    }
}

/// What a verb gives: its exit code, or why it failed.
type Done = Result<u8, Failure>;
