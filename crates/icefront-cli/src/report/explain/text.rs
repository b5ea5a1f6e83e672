//! Why it takes so long, as text: stage by stage, resistance by resistance, then what would help.

use icefront_core::decide::falls::Step;
use icefront_core::decide::levers::{Gain, binding};
use icefront_core::result::Stage;
use icefront_core::units::Duration;

use super::words;
use crate::explain::{Answer, Changed};
use crate::report::flags;
use crate::report::wrap::{fit, wrap};
use crate::show;

/// The whole report.
pub fn text(source: &str, answer: &Answer, equations: bool) -> String {
    let mut parts = vec![headline(source, answer), stages(answer), resistances(answer), levers(answer), sides(answer)];
    parts.extend(equations.then(|| EQUATIONS.to_string()));
    let mind = "typical numbers; food and machine differ, and a change is worth what `icefront compare` says of its \
                range. Cautions for the work stand in `icefront plan`. Nothing here is a guarantee.";
    parts.push(wrap("", &format!("MIND: {mind}")));
    parts.join("\n")
}

fn headline(source: &str, answer: &Answer) -> String {
    let name = flags::named(&answer.result.trays[answer.tray]);
    let ready = show::hours(answer.result.food_ready_s());
    wrap("", &format!("{source}: why it takes {ready} until the food is ready. Looked at closely: {name}."))
}

/// Each stage with what holds it up.
fn stages(answer: &Answer) -> String {
    let mut table = "WHAT BINDS (each thing made twice as good, run again; shorter by)\n".to_string();
    for stage in [Stage::Freezing, Stage::Evacuation, Stage::PrimaryDrying, Stage::SecondaryDrying] {
        let length_s = answer.result.stage_s[stage as usize];
        if length_s <= 0.0 {
            continue;
        }
        let binding = binding(&answer.gains, &answer.result, stage);
        let told: Vec<String> =
            binding.iter().map(|(lever, share)| format!("{} ({:.0} %)", words::binds(*lever), 100.0 * share)).collect();
        let told = if told.is_empty() { "no single thing".to_string() } else { told.join(", ") };
        table.push_str(&wrap(&format!("  {} {:>6}  ", fit(stage.name(), 17), show::hours(length_s)), &told));
    }
    let held = answer.result.machine.time_limited_frac;
    if held > 0.01 {
        table.push_str(&wrap(
            "  ",
            &format!("Pressure held the heaters back for {:.0} % of primary drying.", 100.0 * held),
        ));
    }
    table
}

/// Bar of a share.
const BAR: f64 = 40.0;

fn resistances(answer: &Answer) -> String {
    let name = &answer.load.trays[answer.tray].name;
    let mut table = format!("RESISTANCES IN SERIES, {name}, mean over primary drying\n");
    for (step, share) in Step::ALL.into_iter().zip(answer.falls.share) {
        let bar = "#".repeat((BAR * share).round() as usize);
        let row = format!("  {} {:>4.0} %  {bar}", fit(words::step(step), 26), 100.0 * share);
        table.push_str(row.trim_end());
        table.push('\n');
    }
    let above = answer.falls.from_above;
    let split = if above > 0.0 {
        format!(" {:.0} % of the heat comes from above, through the dried layer.", 100.0 * above)
    } else {
        String::new()
    };
    let told = format!(
        "Share of the temperature between shelf and refrigerant that each takes; a fall of vapour pressure counts as \
         the fall of its frost point.{split}"
    );
    table + &wrap("  ", &told)
}

/// Gains smaller than this are told together, s.
const SMALL_S: f64 = 360.0;

fn levers(answer: &Answer) -> String {
    let mut table = "IF ONE THING WERE TWICE AS GOOD (run again)   ready sooner by\n".to_string();
    let (large, small): (Vec<Gain>, Vec<Gain>) =
        answer.gains.iter().copied().partition(|gain| gain.ready_s.abs() >= SMALL_S);
    for gain in large {
        table.push_str(&format!("  {} {:>9}\n", fit(words::lever(gain.lever), 48), show::hours(gain.ready_s)));
    }
    let small: Vec<&str> = small.iter().map(|gain| words::lever(gain.lever)).collect();
    if !small.is_empty() {
        table.push_str(&wrap("  ", &format!("Nearly nothing, within 0.1 h: {}.", small.join("; "))));
    }
    table
}

fn sides(answer: &Answer) -> String {
    let tray = &answer.load.trays[answer.tray];
    let mut table = format!("{} ice gone h  dry at h   food kg  h per kg   dried layer\n", fit("THIS TRAY ALONE", 20));
    let hour = |s: Option<f64>| s.map_or_else(|| "no".into(), |s| format!("{:.1}", Duration::from_seconds(s).hours()));
    for side in &answer.sides {
        let here = &side.result.trays[answer.tray];
        let per_kg = here.dry_at_s.map(|s| s / here.loaded_kg);
        let dried = side.falls.share[Step::DriedVapour as usize] + side.falls.share[Step::DriedHeat as usize];
        table.push_str(&format!(
            "  {} {:>9} {:>9} {:>9.2} {:>9} {:>11.0} %\n",
            fit(words::changed(side.change, &tray.shape), 18),
            hour(here.ice_gone_at_s),
            hour(here.dry_at_s),
            here.loaded_kg,
            hour(per_kg),
            100.0 * dried
        ));
    }
    table + &wrap("  ", &lessons(answer))
}

/// What the rows teach.
fn lessons(answer: &Answer) -> String {
    // under vacuum: freezing does not grow as drying does
    let dry = |change: Changed| {
        let side = answer.sides.iter().find(|side| side.change == change)?;
        Some(side.result.trays[answer.tray].dry_at_s? - side.result.stage_s[0] - side.result.stage_s[1])
    };
    let mut told = vec!["Dried layer: its share of all resistances, for heat and vapour.".to_string()];
    if let (Some(thin), Some(thick)) = (dry(Changed::Thin), dry(Changed::Thick)) {
        let times = thick / thin.max(1.0);
        told.push(format!(
            "From half to twice as thick its time under vacuum grows {times:.1} times: 4 times would mean that the \
             amount of water decides, 16 times that the way through the dried layer does."
        ));
    }
    if let (Some(lean), Some(fatty)) = (dry(Changed::Lean), dry(Changed::Fatty)) {
        let later = (fatty - lean) / 3_600.0;
        let word = if later >= 0.0 { "later" } else { "sooner" };
        told.push(format!(
            "Fatty it is dry {:.1} h {word} than lean: fat brings less water, but coats the pores; it never dries, and \
             it keeps shorter.",
            later.abs()
        ));
    }
    told.join(" ")
}

const EQUATIONS: &str = "\
EQUATIONS (docs/model.md has them all, with sources)
  vapour    N = A (p_ice(T_i) - p_v) / (R_0 + l/K)    front T_i, chamber p_v, dried l
  heat      N dh_sub = Q_below + Q_above
            Q_below = A (T_shelf - T_i) / (1/h_contact + 1/h_lining + l_frozen/k_frozen)
            Q_above = A (T_top - T_i) k_dried/l
  front     dl/dt = N / (A x_s/x_ice ...)             as fast as its ice goes
  condenser p_v = p_ice(T_ice) + N/C                  T_ice = T_w + N L_s d/(k A)
  cold      Q(T_w) = N L_s + stack + leak             T_refrigerant = T_w - Q/UA
  held      dX/dt = -k_d(T) (X - X_eq)                k_d grows with temperature
";
