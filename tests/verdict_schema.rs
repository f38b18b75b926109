//! What `ovolo dry-run --json` prints is what `ovolo schema verdict` says that it prints.

use jsonschema::Validator;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

fn root(file: &str) -> String {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(file).display().to_string()
}

/// What the binary prints, as JSON. A refused program exits with 1, and still has a verdict.
fn printed(folder: &Path, args: &[&str]) -> Value {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ovolo"));
    let done = command.current_dir(folder).args(args).output().expect("the binary starts");
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(matches!(done.status.code(), Some(0 | 1)), "{args:?}: {said}");
    serde_json::from_slice(&done.stdout).expect("JSON")
}

/// Every object of a schema that names its keys admits no others, so that a key which the schema
/// forgot is found as well.
fn closed(schema: &mut Value) {
    match schema {
        Value::Object(map) => {
            map.values_mut().for_each(closed);
            if map.get("properties").is_some_and(Value::is_object) {
                map.insert("additionalProperties".to_string(), Value::Bool(false));
            }
        }
        Value::Array(list) => list.iter_mut().for_each(closed),
        _ => {}
    }
}

fn validator(folder: &Path) -> Validator {
    strict(printed(folder, &["schema", "verdict"]))
}

fn strict(mut schema: Value) -> Validator {
    assert!(jsonschema::meta::is_valid(&schema), "the schema is no schema");
    closed(&mut schema);
    jsonschema::validator_for(&schema).expect("the schema can be used")
}

fn faults(validator: &Validator, verdict: &Value) -> Vec<String> {
    validator.iter_errors(verdict).map(|e| format!("{}: {e}", e.instance_path())).collect()
}

#[test]
fn every_kind_of_verdict_keeps_to_the_schema() {
    let here = TempDir::new().expect("folder");
    let folder = here.path();
    let schema = validator(folder);
    let job = root("sample-parts/arched-cap.toml");
    let mut command = Command::new(env!("CARGO_BIN_EXE_ovolo"));
    let cut = command.current_dir(folder).args(["cut", &job]).output().expect("the binary starts");
    assert!(cut.status.success(), "{}", String::from_utf8_lossy(&cut.stderr));
    let write = |name: &str, text: &str| {
        std::fs::write(folder.join(name), text).expect("written");
        name.to_string()
    };
    let made = "out/arched-cap-top.nc".to_string();
    let text = std::fs::read_to_string(folder.join(&made)).expect("the program");
    // Cut off in the middle, so that what is left over is told with its places.
    let half: String =
        text.lines().take(text.lines().count() / 2).map(|l| format!("{l}\n")).collect();
    let half = write("arched-cap-half.nc", &half);
    let foreign = root("tests/dry_run/good/pocket-and-letter.nc");
    let plain = write(
        "plain.nc",
        "%\nG21 G90 G17 G94 G54\nM3 S18000\nG4 P9\nG0 Z15\nG0 X50 Y50\nG1 Z-1 F300\nG1 X150 F1000\n\
         G0 Z15\nM5\nM30\n%\n",
    );
    let low = write(
        "low.nc",
        "%\nG21 G90 G17 G94 G54\nM3 S18000\nG4 P9\nG0 Z15\nG0 X50 Y50\nG1 Z-1 F300\nG1 X150 F1000\n\
         G0 Z1\nX160\nG0 Z15\nM5\n%\n",
    );
    let empty = write("empty.nc", "");
    let noise = write("noise.nc", "G1 X\u{fffd}\n(\n#[=]\nG99999 M77\n/G2 X1 R0\n%\n");
    let stock = ["--stock", "300 mm, 100 mm, 20 mm", "--cutter", "1"];
    let oak = [&stock[..], &["--species", "white-oak"]].concat();
    let with_job = ["--job", job.as_str()];
    let runs: [(&str, &[&str]); 11] = [
        (&made, &with_job),
        (&made, &[]),
        (&half, &with_job),
        (&foreign, &oak),
        (&foreign, &[]),
        (&foreign, &with_job),
        (&plain, &stock),
        (&plain, &oak),
        (&low, &stock),
        (&empty, &[]),
        (&noise, &stock),
    ];
    let mut outcomes = BTreeSet::new();
    for (program, against) in runs {
        let verdict = printed(folder, &[&["dry-run", "--json", program], against].concat());
        let outcome = verdict["outcome"].as_str().expect("an outcome").to_string();
        let wrong = faults(&schema, &verdict);
        assert!(wrong.is_empty(), "{program} {against:?}, {outcome}: {wrong:#?}");
        outcomes.insert(outcome);
    }
    let all = ["passed", "passed-with-cautions", "refused"].map(String::from);
    assert_eq!(outcomes, BTreeSet::from(all));
}

#[test]
fn the_schema_is_strict_enough_to_find_what_is_wrong() {
    let here = TempDir::new().expect("folder");
    let schema = validator(here.path());
    std::fs::write(here.path().join("short.nc"), "G21 G0 Z-1\n").expect("written");
    let stock = ["dry-run", "--json", "short.nc", "--stock", "300 mm, 100 mm, 20 mm"];
    let good = printed(here.path(), &stock);
    assert_eq!(faults(&schema, &good), Vec::<String>::new());
    let spoils: [fn(&mut Value); 7] = [
        |v| v["outcome"] = "safe".into(),
        |v| v["lines"] = (-1).into(),
        |v| v["findings"][0]["interlock"] = "traverse-unclear".into(),
        |v| v["findings"][0]["at"] = serde_json::json!({"x": 1.0}),
        |v| v["extents"]["travelling"]["from"] = serde_json::json!([0.0, 1.0]),
        |v| v["cells"]["set-by"] = "chance".into(),
        |v| v["remark"] = "none".into(),
    ];
    for (number, spoil) in spoils.iter().enumerate() {
        let mut verdict = good.clone();
        spoil(&mut verdict);
        assert!(!faults(&schema, &verdict).is_empty(), "change {number} is not found");
    }
}

/// Were the schema to lack a field that is printed, or to name another type, it would be found.
#[test]
fn a_schema_that_says_less_or_other_is_found_out() {
    let here = TempDir::new().expect("folder");
    std::fs::write(here.path().join("short.nc"), "G21 G0 Z-1\n").expect("written");
    let stock = ["dry-run", "--json", "short.nc", "--stock", "300 mm, 100 mm, 20 mm"];
    let verdict = printed(here.path(), &stock);
    let schema = printed(here.path(), &["schema", "verdict"]);
    let fields: Vec<String> = verdict.as_object().expect("an object").keys().cloned().collect();
    assert!(fields.len() > 5, "{fields:?}");
    for field in fields {
        let mut less = schema.clone();
        let properties = less["properties"].as_object_mut().expect("fields");
        assert!(properties.remove(&field).is_some(), "`{field}` is not in the schema");
        let required = less["required"].as_array_mut().expect("required fields");
        required.retain(|name| name.as_str() != Some(field.as_str()));
        assert!(!faults(&strict(less), &verdict).is_empty(), "`{field}` is not missed");
        let mut other = schema.clone();
        let wrong = if verdict[&field].is_boolean() { "string" } else { "boolean" };
        other["properties"][&field] = serde_json::json!({ "type": wrong });
        assert!(!faults(&strict(other), &verdict).is_empty(), "`{field}` may be anything");
    }
}
