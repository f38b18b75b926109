//! The reader of files with every kind of value that a file type here may hold.

use ovolo::document::Document;
use ovolo::units::{Angle, Feed, Length};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Sheet {
    #[serde(default)]
    #[expect(dead_code, reason = "the reader takes the unit itself")]
    units: ovolo::units::Unit,
    width: Length,
    feed: Option<Feed>,
    tilt: Option<Angle>,
    count: Option<u32>,
    #[serde(default = "twelve")]
    depth: Length,
    #[serde(default)]
    woods: BTreeMap<String, Wood>,
    #[serde(default)]
    cut: Vec<Cut>,
}

fn twelve() -> Length {
    Length(12.0)
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Wood {
    stepdown: Option<Length>,
}

/// A choice of tables told apart by `kind`.
#[derive(Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
enum Cut {
    Slot { width: Length },
    Hole { diameter: Length, depth: Option<Length> },
}

fn read(text: &str) -> Sheet {
    Document::read::<Sheet>("sheet.toml", text).unwrap_or_else(|e| panic!("{e}")).0
}

fn refused(text: &str) -> String {
    match Document::read::<Sheet>("sheet.toml", text) {
        Ok((sheet, _)) => panic!("read as {sheet:?}"),
        Err(failure) => failure.to_string(),
    }
}

#[test]
fn quantities_are_read_in_the_files_units() {
    let sheet = read("units = \"in\"\nwidth = 2\nfeed = 100\ntilt = 90\ncount = 3\n");
    assert_eq!(sheet.width.0, 50.8);
    assert_eq!(sheet.feed.unwrap().0, 2540.0);
    assert!((sheet.tilt.unwrap().0 - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
    assert_eq!(sheet.count, Some(3));
    let sheet = read("width = \"1/2 in\"\nfeed = \"2.5 m/min\"\ntilt = \"0.5 rad\"\n");
    assert_eq!((sheet.width.0, sheet.feed.unwrap().0, sheet.tilt.unwrap().0), (12.7, 2500.0, 0.5));
}

#[test]
fn what_is_left_out_is_none_or_its_default() {
    let sheet = read("width = 1\n");
    assert!(sheet.feed.is_none() && sheet.tilt.is_none() && sheet.count.is_none());
    assert_eq!(sheet.depth.0, 12.0);
    assert!(sheet.woods.is_empty() && sheet.cut.is_empty());
}

#[test]
fn tables_with_free_names_hold_strict_tables() {
    let sheet =
        read("width = 1\nwoods.\"red oak\".stepdown = 2\n[woods.mdf]\nstepdown = \"3 mm\"\n");
    let depth = |name: &str| sheet.woods[name].stepdown.unwrap().0;
    assert_eq!((depth("red oak"), depth("mdf")), (2.0, 3.0));
    let text = refused("width = 1\nwoods.mdf.stepdwon = 2\nwoods.oak = 3\n");
    assert!(text.contains("sheet.toml:2:11: `woods.mdf.stepdwon`: no such key"), "{text}");
    assert!(text.contains("did you mean `stepdown`?"), "{text}");
    assert!(text.contains("`woods.oak`: is a whole number; a table is wanted"), "{text}");
}

#[test]
fn a_choice_of_tables_is_told_apart_by_its_tag() {
    let sheet = read(
        "width = 1\n[[cut]]\nkind = \"slot\"\nwidth = \"1 in\"\n[[cut]]\nkind = \"hole\"\ndiameter = 5\n",
    );
    let slot = Cut::Slot { width: Length(25.4) };
    assert_eq!(sheet.cut, [slot, Cut::Hole { diameter: Length(5.0), depth: None }]);
    let text = refused("width = 1\n[[cut]]\nkind = \"hole\"\nwidth = 5\n");
    assert!(text.contains("`cut[1].width`: no such key"), "{text}");
    assert!(text.contains("the key `diameter` is missing"), "{text}");
    let text = refused("width = 1\n[[cut]]\nkind = \"whole\"\n[[cut]]\nwidth = 2\n");
    assert!(text.contains("`cut[1].kind`: `whole` is not known here"), "{text}");
    assert!(text.contains("did you mean `hole`?"), "{text}");
    assert!(text.contains("`cut[2]`: the key `kind` is missing"), "{text}");
    assert!(text.contains("`kind` is one of: slot, hole"), "{text}");
}

#[test]
fn values_of_the_wrong_kind_are_told() {
    for (line, wanted) in [
        ("width = true", "`width`: is true or false; a length is wanted"),
        ("width = 1\nfeed = [1]", "`feed`: is a list; a feed is wanted"),
        ("width = 1\ncount = 1.5", "`count`: is a number; a whole number is wanted"),
        ("width = 1\ncount = -1", "`count`: `-1` is out of range; at least 0 is allowed"),
        ("width = 1\ntilt = \"5 in\"", "angles are in deg or rad"),
        ("width = nan", "is not a number that can be used"),
        ("width = 1e9", "is longer than the 100 m"),
        ("width = 1979-05-27", "`width`: is a date; a length is wanted"),
        ("width = 1\n[cut]\nkind = \"slot\"", "write `[[cut]]`"),
        ("width = 1\nwidth = 2", "sheet.toml:2:1"),
    ] {
        let text = refused(line);
        assert!(text.contains(wanted), "{line}: {text}");
    }
}
