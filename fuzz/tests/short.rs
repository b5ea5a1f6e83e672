//! Every file of the corpus and a short round of broken ones against every reader and the plan. Long rounds:
//! `cargo run --release -p icefront-fuzz`.

use icefront_fuzz::{Target, round};

/// Broken files for each reader, and sheets planned.
const FILES: u64 = 2_000;
const PLANS: u64 = 60;

#[test]
fn no_file_is_too_strange() {
    for target in Target::all() {
        let corpus = target.corpus().expect("corpus");
        assert!(!corpus.is_empty(), "{} has no corpus", target.name());
        let mut taken = 0;
        for file in &corpus {
            match target.hold(file) {
                Ok(good) => taken += usize::from(good),
                Err(what) => panic!("{}: {what}\n{}", target.name(), String::from_utf8_lossy(file)),
            }
        }
        assert!(taken > 0, "no file of the corpus of {} is good", target.name());
        if matches!(target, Target::Plan) {
            assert_eq!(
                taken,
                corpus.len(),
                "a sheet of the plan's corpus is refused: nothing made from it would be planned"
            );
        }
        let count = if matches!(target, Target::Plan) { PLANS } else { FILES };
        match round(target, &corpus, count, 1) {
            Ok(taken) => assert!(taken < count, "{}: nothing was refused", target.name()),
            Err((bytes, what)) => panic!("{}: {what}\n{}", target.name(), String::from_utf8_lossy(&bytes)),
        }
    }
}

#[test]
fn the_same_seed_breaks_files_in_the_same_way() {
    let corpus = Target::Plan.corpus().expect("corpus");
    let files = |seed| {
        let mut rng = fastrand::Rng::with_seed(seed);
        (0..50).map(|_| Target::Plan.file(&corpus, &mut rng)).collect::<Vec<_>>()
    };
    assert_eq!(files(3), files(3));
    assert_ne!(files(3), files(4));
}
