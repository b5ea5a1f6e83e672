//! What to do before, during and after a run, in order.

use icefront_core::load::{Freezing, Load};
use icefront_core::machine::Dryer;
use icefront_core::result::{BatchResult, Stage};

use crate::format;
use crate::plan::document::Document;
use crate::plan::flags;

/// Steps of one part of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct Steps {
    /// When.
    pub when: &'static str,
    /// What to do.
    pub items: Vec<String>,
}

/// How to tell that food is dry. Common practice, no source.
const TELL: &str = include_str!("dry.txt");

/// The checklist of a run.
pub fn checklist(load: &Load, result: &BatchResult, document: &Document) -> Vec<Steps> {
    let steps = |when, items: Vec<String>| Steps { when, items };
    vec![
        steps("Before", before(load)),
        steps("What to measure, when to look", when(result, document)),
        steps("How to see that it is dry", TELL.lines().map(String::from).collect()),
        steps("After", after(load, result)),
    ]
}

fn before(load: &Load) -> Vec<String> {
    let mut items = vec![
        "Weigh every tray empty and full, and write it down. The weight it loses shows best how dry it is.".to_string(),
    ];
    if let Dryer::Cabinet(cabinet) = &load.dryer {
        let core = load.units.temperature(cabinet.freeze_core_k);
        items.push(if load.trays.iter().any(|tray| matches!(tray.freezing, Freezing::InMachine { .. })) {
            format!("Start the pump only when every core is frozen, at {core} or colder.")
        } else {
            format!("Load only what is frozen through, at {core} or colder in the middle.")
        });
        items.push("See that the condenser is free of ice and its drain is shut, and check the pump's oil.".into());
    }
    items
}

fn when(result: &BatchResult, document: &Document) -> Vec<String> {
    let look = match &document.run_until {
        Some(words) => crate::format::capital(&words.text),
        None => {
            format!("Start checking at {}, where typical numbers put the end.", format::hours(result.food_ready_s()))
        }
    };
    let last = result.last_tray().filter(|_| result.trays.len() > 1);
    let last = last.map(|tray| {
        format!("Check {} first: if it is dry, the others should be, but look at each.", flags::named(tray))
    });
    let measure = document.measure.as_ref().map(|words| crate::format::capital(&words.text));
    measure.into_iter().chain([look]).chain(last).collect()
}

fn after(load: &Load, result: &BatchResult) -> Vec<String> {
    let mut items = vec!["Pack at once: dried food takes moisture from the air of the room.".to_string()];
    if let Dryer::Cabinet(_) = load.dryer {
        let defrost = format::hours(result.stage_s[Stage::Defrost]);
        items.push(format!("Melt the ice off the condenser (about {defrost}), let the water out, and wipe it dry."));
    }
    items
}
