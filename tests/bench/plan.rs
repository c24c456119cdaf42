//! How long a plan takes against the size of its drawing and the number of its sheets; docs/performance.md tells how to run it.

// A measurement that cannot go on must stop loudly.
#![allow(clippy::expect_used, clippy::indexing_slicing)]

mod cases;
mod events;
mod nest;

use cases::{CASES, Case};
use divan::Bencher;
use divan::counter::{BytesCount, ItemsCount};
use events::events;
use kitwright::plan;

fn main() {
    divan::main();
}

/// The plan alone: kit and drawing are read beforehand.
#[divan::bench(args = CASES, sample_count = 15, sample_size = 1)]
fn plan_for_a4(bencher: Bencher, case: Case) {
    let (kit, drawing) = case.ready();
    bencher.counter(ItemsCount::new(case.nest.segments)).bench_local(|| plan::layouts(&kit, &drawing));
}

/// The yardstick for comparing machines: the same drawing's text, passed through by an XML reader that does nothing with it.
// A single pass is over before a busy machine takes its turn away; some hundred suffer as a plan does.
#[divan::bench(args = CASES, sample_count = 15, sample_size = 300)]
fn bare_xml_pass(bencher: Bencher, case: Case) {
    let text = case.nest.svg();
    bencher.counter(BytesCount::of_str(&text)).bench_local(|| events(&text));
}
