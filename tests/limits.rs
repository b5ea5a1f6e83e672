//! How near a load is to the limits of its machine, in `icefront plan`: what it says to take out is enough, and less is
//! not. Loads are invented.

use crate::program;

use program::{json, kitchen, number, said};

fn sheet(depth_mm: f64) -> String {
    let tray = format!("[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"{depth_mm:.3} mm\"\n");
    format!("icefront = 1\ndryer = \"0.60 m2\"\n[before_loading]\nmethod = \"already frozen\"\n{}", tray.repeat(6))
}

fn largest(depth_mm: f64) -> f64 {
    let folder = kitchen(&sheet(depth_mm));
    number(&json(folder.path(), &["plan", "load.toml", "--draws", "0", "--json"]), "/limits/largest_load_share")
}

/// The dryer has 40 mm above a shelf and food may fill four fifths of that: 36 mm are too deep.
#[test]
fn what_is_to_be_taken_out_is_enough() {
    let folder = kitchen(&sheet(36.0));
    let answer = json(folder.path(), &["plan", "load.toml", "--draws", "0", "--json"]);
    let share = number(&answer, "/limits/largest_load_share");
    assert!(share < 1.0 && number(&answer, "/limits/take_out_kg") > 0.0, "{share}");
    assert!(largest(36.0 * share) >= 1.0, "with that taken out it is inside");
    // it is given in steps of a twentieth, with half a step to spare
    assert!(largest(36.0 * share * 1.12) < 1.0, "with a little more it is not");
    let text = said(folder.path(), &["plan", "load.toml", "--draws", "0", "--details"]);
    assert!(text.contains("TAKE OUT") && text.contains("too high"), "{text}");
}

/// A tenth of 2 mm is thinner than what can be computed: less of it is tried only as far as that.
#[test]
fn a_layer_that_cannot_be_made_much_thinner_is_still_answered() {
    let folder = kitchen(&(sheet(2.0) + "[end]\nrule = \"fixed time\"\ntime = \"0.1 h\"\n"));
    let answer = json(folder.path(), &["plan", "load.toml", "--draws", "0", "--json"]);
    assert!(number(&answer, "/limits/largest_load_share") < 1.0, "it is not dry after six minutes");
}

#[test]
fn a_thin_load_is_not_too_full() {
    let folder = kitchen(&sheet(5.0));
    let text = said(folder.path(), &["plan", "load.toml", "--draws", "0", "--details"]);
    for part in ["LIMITS", "ice on the condenser", "vapour at the pressure limit", "NOT TOO FULL"] {
        assert!(text.contains(part), "`{part}` is missing in\n{text}");
    }
}
