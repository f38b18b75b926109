//! `ovolo schema`: JSON Schemas of the files people and programs read.

use super::{Common, Done, say};
use clap::{Args, ValueEnum};
use ovolo::document::schema_of;

#[derive(Args, Debug)]
pub(super) struct SchemaArgs {
    /// Which file type
    #[arg(default_value = "job")]
    of: Of,
    #[command(flatten)]
    pub(super) common: Common,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Of {
    /// Job files
    Job,
    /// Shop files
    Shop,
    /// Post-processor files
    Post,
    /// What `dry-run --json` prints
    Verdict,
}

pub(super) fn run(args: &SchemaArgs) -> Done {
    let schema = match args.of {
        Of::Job => schema_of::<ovolo::job::JobFile>(),
        Of::Shop => schema_of::<ovolo::shop::ShopFile>(),
        Of::Post => schema_of::<ovolo::post::Dialect>(),
        Of::Verdict => schema_of::<ovolo::dry_run::Verdict>(),
    };
    say::result(&format!("{schema:#}\n"))?;
    Ok(0)
}
