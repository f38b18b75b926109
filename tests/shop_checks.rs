//! The shop: reading its file, its woods, what each cutter may do, and the table of it.
#![allow(clippy::unwrap_used)]

#[path = "shop/cutter_end.rs"]
mod cutter_end;
#[path = "shop/document.rs"]
mod document;
#[path = "shop/feeds.rs"]
mod feeds;
#[path = "shop/files.rs"]
mod files;
#[path = "shop/limits.rs"]
mod limits;
#[path = "shop/materials.rs"]
mod materials;
#[path = "shop/overrules.rs"]
mod overrules;
#[path = "shop/table.rs"]
mod table;

use ovolo::shop::{Cutter, CuttingData, Material, Overrides, Shop};

fn built_in() -> Shop {
    Shop::built_in().unwrap_or_else(|e| panic!("{e}"))
}

fn wood(name: &str) -> Material {
    Material::find(name).unwrap_or_else(|e| panic!("{e}"))
}

/// The table's figures, with nothing asked for.
fn figures(shop: &Shop, species: &str, cutter: &Cutter) -> CuttingData {
    shop.cutting_data(&wood(species), cutter, &Overrides::default())
        .unwrap_or_else(|e| panic!("{e}"))
}

/// The built-in shop with one cutter changed.
fn cutter(number: u32, change: impl FnOnce(&mut Cutter)) -> (Shop, Cutter) {
    let shop = built_in();
    let mut cutter = shop.cutter(number).unwrap().clone();
    change(&mut cutter);
    (shop, cutter)
}
