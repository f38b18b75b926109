//! `ovolo new`: commented starter files.

use super::{Common, Done, say};
use clap::{Args, ValueEnum};
use ovolo::diagnostic::Diagnostic;
use ovolo::files::write_whole;
use std::path::PathBuf;

#[derive(Args, Debug)]
pub(super) struct NewArgs {
    /// What to start
    kind: Kind,
    /// Where to write it [default: KIND.toml here]
    file: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    pub(super) common: Common,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Kind {
    /// Machine, cutters and clamps
    Shop,
    /// A whole door header from one opening
    Header,
    /// An arched cap
    Cap,
    /// A board with pockets, holes and rebates
    Board,
    /// A moulding milled along a curve
    Moulding,
    /// A carved panel
    Panel,
}

pub(super) fn run(args: &NewArgs) -> Done {
    let (name, text) = match args.kind {
        Kind::Shop => ("shop.toml", ovolo::shop::STARTER),
        Kind::Header => ("header.toml", ovolo::job::HEADER_STARTER),
        Kind::Cap => ("cap.toml", ovolo::job::CAP_STARTER),
        Kind::Board => ("board.toml", ovolo::job::BOARD_STARTER),
        Kind::Moulding => ("moulding.toml", ovolo::job::MOULDING_STARTER),
        Kind::Panel => ("panel.toml", ovolo::job::PANEL_STARTER),
    };
    let path = args.file.clone().unwrap_or_else(|| PathBuf::from(name));
    if path.exists() && !args.force {
        return Err(Diagnostic::error(format!("{} is there already", path.display()))
            .help("name another file, or say --force to write over it")
            .into());
    }
    write_whole(&path, text.as_bytes())?;
    if args.common.json {
        let shown = serde_json::json!({ "written": path.display().to_string() });
        say::result(&format!("{shown:#}\n"))?;
    } else {
        say::result(&format!("{}\n", path.display()))?;
    }
    let next = match args.kind {
        Kind::Shop => format!("Next: ovolo feeds --shop {}", path.display()),
        Kind::Header | Kind::Cap | Kind::Board | Kind::Moulding | Kind::Panel => {
            format!("Next: ovolo layout {0}, then ovolo cut {0}", path.display())
        }
    };
    say::talk(args.common.quiet, &next);
    Ok(0)
}
