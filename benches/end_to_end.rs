//! From a job file's text to checked programs, as one library call, and its parts, in the same
//! run: what of it is planning, writing, reading back, drawing.

use criterion::{Criterion, criterion_group, criterion_main};
use ovolo::job::Job;
use ovolo::make;
use ovolo::post::Dialect;
use ovolo::report;
use ovolo::shop::Shop;

const SAMPLE: &str = include_str!("../sample-parts/arched-cap.toml");

fn all(c: &mut Criterion) {
    let shop = Shop::built_in().expect("the built-in shop");
    let dialect = Dialect::find("inches").expect("a built-in dialect");
    let job = Job::read("arched-cap.toml", SAMPLE).expect("the sample");
    let parts = make::make(&job, &shop, &dialect).expect("made");
    c.bench_function("part file to checked program", |b| {
        b.iter(|| {
            let job = Job::read("arched-cap.toml", SAMPLE).expect("the sample");
            make::make(&job, &shop, &dialect).expect("made")
        });
    });
    c.bench_function("of it: planning", |b| {
        b.iter(|| ovolo::cuts::plan(&job, &shop).expect("planned"));
    });
    c.bench_function("of it: reading back", |b| {
        b.iter(|| make::read(&parts[0].programs[0].text, &shop));
    });
    c.bench_function("beside it: picture", |b| b.iter(|| report::picture(&job, &parts[0])));
    c.bench_function("beside it: shop file", |b| b.iter(|| Shop::built_in().expect("shop")));
}

criterion_group!(benches, all);
criterion_main!(benches);
