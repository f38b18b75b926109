//! Pockets whose area was drawn: place, units, layer, islands, and what can not be.
#![allow(clippy::unwrap_used)]

use ovolo::geometry::{Region, point};
use ovolo::job::Job;
use tempfile::TempDir;

/// On layer `well` a square of 40 with a square hole of 10, on `pair` two squares, in millimetres;
/// SVG counts y down from the top of 100.
const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
<g id="well"><path d="M30 70h40v-40h-40z"/><path d="M45 55h10v-10h-10z"/></g>
<g id="pair"><path d="M0 10h8v-8h-8z"/><path d="M20 10h8v-8h-8z"/></g></svg>"#;

fn region(area: &str) -> Result<Region, String> {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("a.svg"), DRAWING).unwrap();
    let text = format!(
        "title = \"x\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = 300, width = 160, thickness = 19 }}\n\
         [[part]]\nkind = \"board\"\nlength = 250\nwidth = 120\n\
         pocket = [{{ area = {area}, depth = 5, cutters = [1] }}]\n"
    );
    let name = folder.path().join("job.toml").display().to_string();
    let job = Job::read(&name, &text).map_err(|e| e.to_string())?;
    Ok(job.parts[0].features.pockets[0].region.clone())
}

#[test]
fn the_outline_round_all_others_is_the_pocket_and_these_are_its_islands() {
    let own_place = region(r#"{ file = "a.svg", layer = "well" }"#).unwrap();
    // By hand: 40 x 40 less 10 x 10.
    assert!((own_place.area() - 1500.0).abs() < 1e-6, "{}", own_place.area());
    assert_eq!(own_place.islands().len(), 1);
    let (low, _) = own_place.outer().bounds().unwrap();
    assert!(low.distance(point(30.0, 30.0)) < 1e-6, "{low:?}");
}

#[test]
fn it_lies_where_it_is_put_and_is_as_large_as_it_is_said_to_be() {
    let moved = region(r#"{ file = "a.svg", layer = "well", at = [12, 7] }"#).unwrap();
    let (low, high) = moved.outer().bounds().unwrap();
    assert!(low.distance(point(12.0, 7.0)) < 1e-6, "{low:?}");
    assert!(high.distance(point(52.0, 47.0)) < 1e-6, "{high:?}");
}

#[test]
fn outlines_beside_one_another_are_no_pocket() {
    let said = region(r#"{ file = "a.svg", layer = "pair" }"#).unwrap_err();
    assert!(said.contains("`part[1].pocket[1].area.file`"), "{said}");
    assert!(said.contains("lie beside one another"), "{said}");
}
