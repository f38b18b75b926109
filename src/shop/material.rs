//! Woods and sheet materials.

use crate::diagnostic::Diagnostic;
use crate::document::nearest;

/// One wood or sheet material at 12 % moisture.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Material {
    /// Its name in files: `yellow-poplar`.
    pub name: String,
    /// Botanical name; empty for sheets.
    pub botanical: String,
    /// How it behaves under a cutter.
    pub class: MaterialClass,
    /// Mass against water.
    pub specific_gravity: f64,
    /// Modulus of elasticity in bending, MPa, as printed (about 10 % low for shear).
    pub moe: f64,
    /// Modulus of rupture, MPa.
    pub mor: f64,
    /// Side hardness, N; `None` for sheets.
    pub hardness: Option<f64>,
    /// Shrinkage green to ovendry, per cent: radial, tangential; `None` for sheets.
    pub shrinkage: Option<(f64, f64)>,
    /// Where the figures come from.
    pub source: String,
    /// How far they were read: `verified`, `mixed`, `from memory`.
    pub trust: String,
}

/// How a material behaves under a cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MaterialClass {
    /// Side hardness below 3,000 N, whatever the tree: pines, and also poplar, basswood, alder.
    SoftWood,
    /// 3,000 to 5,000 N: cherry, mahogany, walnut, soft maple, coast Douglas-fir.
    MediumWood,
    /// Over 5,000 N: hard maple, oak, ash, beech, birch.
    HardWood,
    /// Medium-density fibreboard.
    Mdf,
    /// Birch plywood.
    Plywood,
}

/// Side hardness that parts soft from medium wood, N (common practice).
const MEDIUM: f64 = 3000.0;
/// Side hardness that parts medium from hard wood, N (common practice).
const HARD: f64 = 5000.0;

/// Strength, stiffness and hardness of the species: USDA Forest Products Laboratory, Wood
/// Handbook, FPL-GTR-282 (2021), tables 5-3b and 5-5b; each row names its own sources.
const SPECIES: &str = include_str!("species.csv");

/// Every material known, in the table's order, sheets last.
#[must_use]
pub fn all_materials() -> Vec<Material> {
    let mut all: Vec<Material> = SPECIES.lines().skip(1).filter_map(row).collect();
    all.push(sheet(
        "mdf",
        MaterialClass::Mdf,
        0.75,
        (2400.0, 24.0),
        "density: Cai, Muehl, Winandy (FPL), 0.67 to 0.83; strength: ANSI A208.2 grade 130, from memory",
    ));
    all.push(sheet(
        "birch-plywood",
        MaterialClass::Plywood,
        0.68,
        (9900.0, 40.2),
        "Handbook of Finnish Plywood, 18 mm sanded birch, from memory",
    ));
    all
}

fn row(line: &str) -> Option<Material> {
    let cells: Vec<&str> = line.split(',').collect();
    let [name, botanical, sg, moe, mor, hardness, radial, tangential, source, trust] =
        cells.as_slice()
    else {
        return None;
    };
    let number = |text: &str| text.parse::<f64>().ok();
    let hardness = number(hardness)?;
    Some(Material {
        name: (*name).to_string(),
        botanical: (*botanical).to_string(),
        class: match hardness {
            h if h < MEDIUM => MaterialClass::SoftWood,
            h if h <= HARD => MaterialClass::MediumWood,
            _ => MaterialClass::HardWood,
        },
        specific_gravity: number(sg)?,
        moe: number(moe)? * 1000.0,
        mor: number(mor)?,
        hardness: Some(hardness),
        shrinkage: Some((number(radial)?, number(tangential)?)),
        source: (*source).to_string(),
        trust: (*trust).to_string(),
    })
}

fn sheet(
    name: &str,
    class: MaterialClass,
    specific_gravity: f64,
    (moe, mor): (f64, f64),
    source: &str,
) -> Material {
    Material {
        name: name.to_string(),
        botanical: String::new(),
        class,
        specific_gravity,
        moe,
        mor,
        hardness: None,
        shrinkage: None,
        source: source.to_string(),
        trust: "from memory".to_string(),
    }
}

/// What the trade calls a wood, and what the handbook does (common practice).
const TRADE_NAMES: [(&str, &str); 8] = [
    ("poplar", "yellow-poplar"),
    ("white-pine", "eastern-white-pine"),
    ("red-oak", "northern-red-oak"),
    ("hard-maple", "sugar-maple"),
    ("soft-maple", "red-maple"),
    ("walnut", "black-walnut"),
    ("cherry", "black-cherry"),
    ("cypress", "baldcypress"),
];

impl Material {
    /// The material of that name, the handbook's or the trade's; case, blanks and underscores do
    /// not matter.
    ///
    /// # Errors
    /// A diagnostic that names the nearest one and lists all.
    pub fn find(name: &str) -> Result<Material, Diagnostic> {
        let folded = name.trim().to_lowercase().replace([' ', '_'], "-");
        let all = all_materials();
        let trade = TRADE_NAMES.iter().find(|(name, _)| *name == folded);
        let folded = trade.map_or(folded, |(_, full)| (*full).to_string());
        if let Some(found) = all.iter().find(|m| m.name == folded) {
            return Ok(found.clone());
        }
        let names: Vec<&str> = all.iter().map(|m| m.name.as_str()).collect();
        let ends = |m: &&str| m.ends_with(&format!("-{folded}"));
        let near = nearest(&folded, names.iter().copied());
        let of_kind: Vec<&str> = names.iter().filter(|n| ends(n)).copied().collect();
        let hint = match (of_kind.as_slice(), &near) {
            ([], None) => String::new(),
            ([only], _) | ([], Some(only)) => format!("did you mean `{only}`? "),
            (some, _) => format!("which of {}? ", some.join(", ")),
        };
        Err(Diagnostic::error(format!("the wood or sheet `{name}` is not known"))
            .help(format!("{hint}known: {}", names.join(", "))))
    }
}
