//! `ovolo feeds`: the table of feeds, speeds and depths.

use super::{Common, Done, context, say};
use clap::Args;
use ovolo::shop::{CuttingData, Material, Overrides, all_materials, feeds_table};
use ovolo::units::{Shown, Unit};

#[derive(Args, Debug)]
pub(super) struct FeedsArgs {
    /// Only this wood or sheet material [default: all]
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Only this cutter [default: all]
    #[arg(long, value_name = "NUMBER")]
    cutter: Option<u32>,
    /// Show millimetres or inches [default: the shop file's units]
    #[arg(long, value_name = "mm|in", value_parser = unit)]
    units: Option<Unit>,
    #[command(flatten)]
    pub(super) common: Common,
}

fn unit(text: &str) -> Result<Unit, String> {
    match text {
        "mm" => Ok(Unit::Mm),
        "in" => Ok(Unit::In),
        _ => Err("mm or in".to_string()),
    }
}

pub(super) fn run(args: &FeedsArgs) -> Done {
    let shop = context::shop(args.common.shop.as_deref(), None)?;
    let materials = match &args.species {
        Some(name) => vec![Material::find(name)?],
        None => all_materials(),
    };
    let cutters = match args.cutter {
        Some(number) => vec![shop.cutter(number)?],
        None => shop.cutters.iter().collect(),
    };
    let mut rows: Vec<CuttingData> = Vec::new();
    for material in &materials {
        for cutter in &cutters {
            rows.push(shop.cutting_data(material, cutter, &Overrides::default())?);
        }
    }
    if args.common.json {
        let json = serde_json::to_value(&rows).unwrap_or_default();
        say::result(&format!("{json:#}\n"))?;
    } else {
        let shown = Shown { unit: args.units.unwrap_or(shop.units), parts: 64 };
        say::result(&feeds_table(&rows, shown))?;
    }
    Ok(0)
}
