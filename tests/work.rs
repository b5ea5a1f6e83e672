//! How the work of a run grows: memory is asked for once, not step by step; time with trays and draws is measured in
//! `docs/developing/speed.md`.

use allocation_counter::measure;
use icefront_core::batch::{Precision, plan_with};
use icefront_core::load::Load;
use icefront_core::machine::Dryer;

use crate::common;

/// Requests for memory of one run, and the samples it notes.
fn requests(load: &Load, tolerance: f64) -> (u64, u64) {
    let mut samples = 0;
    let precision = Precision { tolerance, ..Precision::default() };
    let asked = measure(|| samples = plan_with(load, &precision).unwrap().history.len() as u64);
    (asked.count_total, samples)
}

#[test]
fn a_step_asks_for_no_memory_but_to_note_its_sample() {
    let load = common::five_layers();
    let (coarse, few) = requests(&load, 1.0);
    let (fine, many) = requests(&load, 1.0 / 64.0);
    assert!(many > 4 * few, "{many} samples against {few}");
    // one list of trays per sample, and the list of samples doubles now and then
    let per_sample = (fine - coarse) as f64 / (many - few) as f64;
    assert!(per_sample < 1.01, "{per_sample} requests per sample");
}

#[test]
fn steps_do_not_grow_with_the_number_of_like_trays() {
    let samples = |trays: usize| {
        let mut load = common::five_layers();
        let tray = load.trays[0].clone();
        load.trays = vec![tray; trays];
        load.dryer = Dryer::Cabinet(Box::new(common::cabinet(0.1 * trays as f64)));
        plan_with(&load, &Precision::default()).unwrap().history.len()
    };
    let (two, eight) = (samples(2), samples(8));
    assert!(eight < 2 * two, "{two} samples with two trays, {eight} with eight");
}
