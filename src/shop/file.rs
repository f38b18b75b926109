//! Reading a shop file into a shop that can be used.

use super::checks;
use super::{Clamp, Cutter, CuttingData, Machine, Material, Overrides, feeds};
use crate::diagnostic::{Diagnostic, Failure};
use crate::document::Document;
use crate::units::{Shown, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The built-in shop, commented: also what `ovolo new shop` writes.
pub const STARTER: &str = include_str!("built_in.toml");

/// A shop as it is written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ShopFile {
    /// The unit of bare numbers in this file, and the one shown first.
    #[serde(default)]
    pub units: Unit,
    /// Figures that overrule the table's for one wood or sheet, by its name.
    #[serde(default)]
    pub species: BTreeMap<String, Overrides>,
    /// The machine.
    pub machine: Machine,
    /// The cutters.
    #[schemars(length(min = 1))]
    pub cutter: Vec<Cutter>,
    /// Things that always stand on the table.
    #[serde(default)]
    pub clamp: Vec<Clamp>,
}

/// A shop whose figures can be.
#[derive(Clone, Debug)]
pub struct Shop {
    /// The unit shown first.
    pub units: Unit,
    /// The machine.
    pub machine: Machine,
    /// The cutters, as listed.
    pub cutters: Vec<Cutter>,
    /// Things that always stand on the table.
    pub clamps: Vec<Clamp>,
    /// Overrides by material name.
    pub species: BTreeMap<String, Overrides>,
}

impl Shop {
    /// Reads a shop file. `name` stands in messages.
    ///
    /// # Errors
    /// [`Failure::Input`] with all that is wrong, each at its place.
    pub fn read(name: &str, text: &str) -> Result<Shop, Failure> {
        let (file, document) = Document::read::<ShopFile>(name, text)?;
        let shown = Shown { unit: file.units, parts: 64 };
        let found = checks::check(&file, shown);
        if !found.is_empty() {
            return Err(Failure::Input(document.locate(found)));
        }
        let mut species = BTreeMap::new();
        for (typed, overrides) in &file.species {
            let material = Material::find(typed).map_err(|d| {
                Failure::Input(document.locate(vec![d.key(format!("species.{typed}"))]))
            })?;
            species.insert(material.name, *overrides);
        }
        Ok(Shop {
            units: file.units,
            machine: file.machine,
            cutters: file.cutter,
            clamps: file.clamp,
            species,
        })
    }

    /// The shop that serves when none is named.
    ///
    /// # Errors
    /// None in practice: the text is part of the program and read in its tests.
    pub fn built_in() -> Result<Shop, Failure> {
        Shop::read("<built-in shop>", STARTER)
    }

    /// The cutter of that number.
    ///
    /// # Errors
    /// A diagnostic that lists the cutters there are.
    pub fn cutter(&self, number: u32) -> Result<&Cutter, Diagnostic> {
        self.cutters.iter().find(|c| c.number == number).ok_or_else(|| {
            let all: Vec<String> = self.cutters.iter().map(Cutter::title).collect();
            Diagnostic::error(format!("the shop has no cutter {number}"))
                .help(format!("it has {}", all.join("; ")))
        })
    }

    /// What a cutter may do in a material here: the table's figures, overruled by the shop
    /// file's for that material, and these by `job`.
    ///
    /// # Errors
    /// A diagnostic for an override beyond a hard limit; its key is the override's name.
    pub fn cutting_data(
        &self,
        material: &Material,
        cutter: &Cutter,
        job: &Overrides,
    ) -> Result<CuttingData, Diagnostic> {
        let shop = self.species.get(&material.name).copied().unwrap_or_default();
        feeds::cutting_data(&self.machine, material, cutter, &feeds::Overruled { job: *job, shop })
    }
}
