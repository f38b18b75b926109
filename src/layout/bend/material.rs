//! What bending needs to know of a wood of the shop.

use super::Wood;
use crate::diagnostic::Diagnostic;
use crate::shop::{Material, MaterialClass};

/// Genera of the woods that are softwoods to a botanist: conifers, whatever their hardness.
const CONIFERS: [&str; 12] = [
    "Abies",
    "Callitropsis",
    "Chamaecyparis",
    "Juniperus",
    "Larix",
    "Picea",
    "Pinus",
    "Pseudotsuga",
    "Sequoia",
    "Taxodium",
    "Thuja",
    "Tsuga",
];

impl Wood {
    /// The handbook's numbers of a material.
    ///
    /// # Errors
    /// If it is a sheet: the numbers for bending are those of solid wood along its grain.
    pub fn of(material: &Material) -> Result<Wood, Diagnostic> {
        match material.class {
            MaterialClass::Mdf | MaterialClass::Plywood => Err(Diagnostic::error(format!(
                "{} is a sheet, and bends by other rules than solid wood",
                material.name
            ))
            .help("name the wood of the moulding; `ovolo feeds` lists them")),
            _ => Ok(Wood { moe: material.moe, mor: material.mor }),
        }
    }
}

/// Whether a wood is a hardwood by its tree: no conifer.
#[must_use]
pub fn is_hardwood(material: &Material) -> bool {
    let genus = material.botanical.split(' ').next().unwrap_or("");
    !CONIFERS.contains(&genus)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn poplar_is_soft_and_a_hardwood_and_mdf_is_no_wood() {
        let find = |name: &str| Material::find(name).unwrap();
        assert!(is_hardwood(&find("yellow-poplar")) && is_hardwood(&find("white-ash")));
        for conifer in ["eastern-white-pine", "douglas-fir", "baldcypress", "redwood"] {
            assert!(!is_hardwood(&find(conifer)), "{conifer}");
        }
        // Wood Handbook FPL-GTR-282 (2021) table 5-3b: 1.58 Mpsi and 10100 psi.
        assert_eq!(Wood::of(&find("yellow-poplar")), Ok(Wood { moe: 10_890.0, mor: 69.6 }));
        assert!(Wood::of(&find("mdf")).is_err() && Wood::of(&find("birch-plywood")).is_err());
    }
}
