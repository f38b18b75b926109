//! Files that people write: every mistake is found, with its place and a way out.

use ovolo::diagnostic::Failure;
use ovolo::job::Job;

const GOOD: &str = r#"title = "A cap"
units = "in"
species = "yellow-poplar"
[stock]
length = "44"
width = 9
thickness = "3/4"
[hold]
tabs = { count = 5, width = "1/2", height = "1/8" }
[[part]]
kind = "cap"
chord = "41 5/8"
rise = "2 1/2"
end-depth = "4 3/4"
"#;

fn message(text: &str) -> String {
    match Job::read("job.toml", text) {
        Ok(job) => panic!("read as {:?}", job.parts),
        Err(failure) => failure.to_string(),
    }
}

#[test]
fn a_job_is_read_into_millimetres() {
    let job = Job::read("job.toml", GOOD).unwrap_or_else(|e| panic!("{e}"));
    let part = &job.parts[0];
    assert_eq!(part.name, "cap");
    assert!((part.placing.stock.width.0 - 228.6).abs() < 1e-9);
    let ovolo::job::Shape::Cap(cap) = &part.shape else { panic!("{:?}", part.shape) };
    assert!((cap.front.chord - 1057.275).abs() < 1e-9);
    assert!((part.at[0] - (44.0 - 41.625) / 2.0 * 25.4).abs() < 1e-9);
}

#[test]
fn all_mistakes_of_a_file_are_told_at_once() {
    let text = GOOD
        .replace("width = 9", "widht = 9")
        .replace("\"41 5/8\"", "\"41 5/0\"")
        .replace("kind = \"cap\"", "kind = \"cap\"\nstations = 1");
    insta::assert_snapshot!(message(&text), @r#"
    error: job.toml:4:2: `stock`: the key `width` is missing
      4 | [stock]
        |  ^
      help: `width`: Along y.
    error: job.toml:6:1: `stock.widht`: no such key
      6 | widht = 9
        | ^
      help: did you mean `width`? known here: length, thickness, width
    error: job.toml:12:12: `part[1].stations`: `1` is out of range; at least 2 is allowed
      12 | stations = 1
         |            ^
    error: job.toml:13:9: `part[1].chord`: `41 5/0` divides by zero
      13 | chord = "41 5/0"
         |         ^
    "#);
}

#[test]
fn syntax_errors_have_a_place() {
    let text = message("title = \"x\nunits = \"in\"\n");
    assert!(text.starts_with("error: job.toml:1:"), "{text}");
    let text = message("title = 1 / 2\n");
    assert!(text.contains("job.toml:1:"), "{text}");
}

#[test]
fn places_count_characters_not_bytes() {
    let text = GOOD.replace("width = 9", "\"\u{fc}\u{df}\" = 1\nwidth = 9");
    assert!(message(&text).contains("job.toml:6:1"), "{}", message(&text));
}

#[test]
fn a_failure_of_the_input_exits_with_two() {
    let Err(failure) = Job::read("job.toml", "") else { panic!("empty is no job") };
    assert!(matches!(failure, Failure::Input(_)));
    assert_eq!(failure.exit_code(), 2);
}

mod damage {
    use ovolo::job::Job;
    use ovolo::post::Dialect;
    use ovolo::shop::{STARTER, Shop};
    use proptest::prelude::*;

    /// A text with a few characters taken out, put in or doubled, or a number replaced.
    fn damaged(text: &'static str) -> impl Strategy<Value = String> {
        let spot = (0..text.len(), 0..6usize, "[0-9a-z\"\\-./ =\\[\\]{}#']{0,4}");
        proptest::collection::vec(spot, 1..4).prop_map(move |spots| {
            let mut out: Vec<char> = text.chars().collect();
            for (at, kind, put) in spots {
                let at = at % out.len().max(1);
                let end = (at + kind).min(out.len());
                out.splice(at..end, put.chars());
            }
            out.into_iter().collect()
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]
        #[test]
        fn a_damaged_job_is_planned_or_refused_but_never_a_panic(
            text in damaged(include_str!("../sample-parts/arched-cap.toml"))
        ) {
            let shop = Shop::built_in().expect("the built-in shop");
            match Job::read("job.toml", &text) {
                Ok(job) => {
                    if let Err(failure) = ovolo::cuts::plan(&job, &shop) {
                        prop_assert!(!failure.to_string().is_empty());
                    }
                }
                Err(failure) => {
                    for d in failure.diagnostics() {
                        prop_assert!(d.place.is_some(), "{d}");
                    }
                }
            }
        }

        #[test]
        fn a_damaged_shop_or_dialect_is_read_or_refused(
            shop in damaged(STARTER),
            post in damaged(include_str!("../post-processors/millimetres.toml")),
        ) {
            for failure in [Shop::read("shop.toml", &shop).err(), Dialect::read("post.toml", &post).err()] {
                for d in failure.iter().flat_map(|f| f.diagnostics()) {
                    prop_assert!(d.place.is_some(), "{d}");
                }
            }
        }
    }
}
