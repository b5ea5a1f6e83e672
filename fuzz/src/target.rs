//! What is done with a case, what it may take, and what its answer is judged by.

use std::io;
use std::path::Path;
use std::time::Duration;

use fastrand::Rng;

use crate::case::{self, Case};
use crate::make::load::{BUILT_IN, Style};
use crate::make::{self, one_in, pick};
use crate::probe::{self, Kitchen};
use crate::readers::Reader;
use crate::watch::{Spent, last_panic, watched};
use crate::{judge, mutate};

/// Longest that reading a file or one run may compute. Four times that where the
/// command is not optimised.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 4 } else { 1 });
/// Most memory that a case may need, bytes.
const MOST_BYTES: u64 = 200_000_000;
/// A case counts as slow if it is slow this often: on a busy machine anything may take long once.
const TRIES: usize = 3;
/// Draws of a cabinet case that has any.
const DRAWS: usize = 16;
/// One cabinet case in so many has draws.
const WITH_DRAWS: u32 = 50;
/// Draws of a post: few, as the page is about its words here.
const PAGE_DRAWS: usize = 8;
/// Runs that a weighing by draws makes at most, for each draw: the first round, its refreshes, and again for `dry`.
const ROUNDS: u32 = 8;
/// Runs of the model that a request to the page may make: `best` tries many loads.
const RUNS_OF_A_REQUEST: u32 = 20;
/// Trays of a random load.
const MOST_TRAYS: usize = 6;
/// Cases made from one of the corpus: one in so many.
const FROM_CORPUS: u32 = 5;

/// What is done with a case.
#[derive(Clone, Copy, Debug)]
pub enum Target {
    /// A file is read by one reader.
    Read(&'static Reader),
    /// A sheet is planned that is a good one with a few of its numbers changed.
    Plan,
    /// A sheet is planned in a dryer of a file.
    Cabinet,
    /// Readings of a run go through `update` and `dry`, with so many draws.
    Update {
        /// Name of the target.
        name: &'static str,
        /// Draws of a round.
        draws: usize,
    },
    /// Requests go to the kitchen page.
    Post,
}

/// What became of a case.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It was answered.
    Answered,
    /// It was refused with these words.
    Refused(String),
}

impl Target {
    /// All targets.
    pub fn all() -> Vec<Self> {
        let more = [
            Self::Plan,
            Self::Cabinet,
            Self::Update { name: "update", draws: 64 },
            Self::Update { name: "update_usual", draws: 256 },
            Self::Post,
        ];
        Reader::ALL.iter().map(Self::Read).chain(more).collect()
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Read(reader) => reader.name,
            Self::Plan => "plan",
            Self::Cabinet => "cabinet",
            Self::Update { name, .. } => name,
            Self::Post => "post",
        }
    }

    /// Good and nasty cases to begin with.
    ///
    /// # Errors
    /// If they cannot be read.
    pub fn corpus(self) -> io::Result<Vec<Case>> {
        let folder = if let Self::Update { .. } = self { "update" } else { self.name() };
        case::corpus(&Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(folder))
    }

    /// One more case for it.
    pub fn case(self, corpus: &[Case], rng: &mut Rng) -> Case {
        match self {
            Self::Read(_) => {
                let files: Vec<Vec<u8>> = corpus.iter().map(|case| case.first().to_vec()).collect();
                Case::of("file", mutate::broken(&files, rng))
            }
            // good sheets for the most part: broken ones never come to the plan
            Self::Plan => Case::of("file", mutate::nudged(pick(corpus, rng).first(), rng)),
            Self::Cabinet | Self::Update { .. } if one_in(FROM_CORPUS, rng) => {
                let mut case = pick(corpus, rng).clone();
                let names: Vec<String> = case.files().iter().map(|(name, _)| name.clone()).collect();
                case.change(pick(&names, rng).as_str(), |bytes| mutate::nudged_values(bytes, rng));
                case
            }
            Self::Cabinet => {
                let case = Case::of("load.toml", make::load::text("dryer.toml", Style::Anywhere, MOST_TRAYS, rng))
                    .with("dryer.toml", make::dryer::text(rng));
                if one_in(WITH_DRAWS, rng) { case.with("draws", DRAWS.to_string()) } else { case }
            }
            Self::Update { .. } => update_case(rng),
            Self::Post => make::posts::case(rng),
        }
    }

    /// How long it may compute with this case.
    pub fn limit(self, case: &Case) -> Duration {
        let runs = match self {
            Self::Read(_) | Self::Plan => 1,
            Self::Cabinet => 1 + u32::try_from(draws_of(case)).unwrap_or(0),
            Self::Update { draws, .. } => ROUNDS * u32::try_from(draws).unwrap_or(0),
            Self::Post => RUNS_OF_A_REQUEST * u32::try_from(requests(case).len()).unwrap_or(1),
        };
        LONGEST * runs
    }

    /// Does it with one case.
    ///
    /// # Errors
    /// What is wrong with the program: a panic, a long wait, too much memory, an answer that cannot be true.
    pub fn hold(self, case: &Case) -> Result<Outcome, String> {
        let limit = self.limit(case);
        let mut found = self.hold_once(case)?;
        for _ in 1..TRIES {
            if found.1.cpu > limit {
                found = self.hold_once(case)?;
            }
        }
        match found {
            (_, Spent { cpu, .. }) if cpu > limit => Err(format!("it computed for {:.1} s", cpu.as_secs_f64())),
            (_, Spent { peak_bytes, .. }) if peak_bytes > MOST_BYTES => {
                Err(format!("it took {} MB of memory", peak_bytes / 1_000_000))
            }
            (outcome, _) => Ok(outcome),
        }
    }

    fn hold_once(self, case: &Case) -> Result<(Outcome, Spent), String> {
        let (done, spent) = watched(|| self.run(case))?;
        Ok((done?, spent))
    }

    fn run(self, case: &Case) -> Result<Outcome, String> {
        match self {
            Self::Read(reader) => Ok(outcome((reader.read)(&String::from_utf8_lossy(case.first())))),
            Self::Plan => planned(probe::plan(&String::from_utf8_lossy(case.first()), None, 0)),
            Self::Cabinet => {
                let load = case.text("load.toml").unwrap_or_default();
                planned(probe::plan(&load, case.text("dryer.toml").as_deref(), draws_of(case)))
            }
            Self::Update { draws, .. } => updated(case, draws),
            Self::Post => posted(case),
        }
    }
}

fn outcome<T>(done: Result<T, String>) -> Outcome {
    done.map_or_else(Outcome::Refused, |_| Outcome::Answered)
}

fn draws_of(case: &Case) -> usize {
    case.text("draws").and_then(|text| text.trim().parse().ok()).unwrap_or(0).min(DRAWS)
}

fn planned(done: Result<probe::Plan, String>) -> Result<Outcome, String> {
    match done {
        Ok(plan) => {
            judge::run(&plan.result)?;
            judge::json(&plan.json)?;
            judge::text(&plan.text)?;
            Ok(Outcome::Answered)
        }
        Err(words) => refused(words),
    }
}

/// A refusal is an answer too, but it has to have words, and no number that is none.
fn refused(words: String) -> Result<Outcome, String> {
    if words.trim().is_empty() {
        return Err("it was refused without a word".into());
    }
    Ok(Outcome::Refused(words))
}

/// A sheet as a household writes it, in a built-in dryer or one of a file, and readings of its run.
fn update_case(rng: &mut Rng) -> Case {
    let (own, style) = (one_in(4, rng), if one_in(4, rng) { Style::Anywhere } else { Style::Usual });
    let dryer = own.then(|| make::dryer::text(rng));
    let name = if own { "dryer.toml" } else { *pick(&BUILT_IN, rng) };
    let load = make::load::text(name, style, 3, rng);
    // the readings lie around a run that can be computed; where none can, there is nothing to read
    let plan = watched(|| probe::plan(&load, dryer.as_deref(), 0));
    let readings = match plan {
        Ok((Ok(plan), _)) => make::readings::text(&plan.result, rng),
        _ => "time_h,tray,weight_g\n1,1,400\n".to_string(),
    };
    let case = Case::of("load.toml", load).with("readings.csv", readings);
    match dryer {
        Some(dryer) => case.with("dryer.toml", dryer),
        None => case,
    }
}

fn updated(case: &Case, draws: usize) -> Result<Outcome, String> {
    let text = |name: &str| case.text(name).unwrap_or_default();
    match probe::update(&text("load.toml"), case.text("dryer.toml").as_deref(), &text("readings.csv"), draws) {
        Ok((update, dry)) => {
            for printed in [Some(update), dry.ok()].into_iter().flatten() {
                judge::text(&printed.text)?;
                judge::json(&serde_json::from_str(&printed.json).map_err(|e| format!("this is not JSON: {e}"))?)?;
            }
            Ok(Outcome::Answered)
        }
        Err(words) => refused(words),
    }
}

/// Lines of a case with a path and, where it is posted, a form.
fn requests(case: &Case) -> Vec<String> {
    case.text("requests").unwrap_or_default().lines().map(str::to_string).collect()
}

fn posted(case: &Case) -> Result<Outcome, String> {
    const LOAD: &str = "load.toml";
    const READINGS: &str = "load.readings.csv";
    let folder = tempfile::tempdir().map_err(|e| e.to_string())?;
    let files = case.files().iter().filter(|(name, _)| name != "requests");
    files
        .clone()
        .try_for_each(|(name, bytes)| std::fs::write(folder.path().join(name), bytes))
        .map_err(|e| e.to_string())?;
    let kitchen = Kitchen::new(folder.path(), PAGE_DRAWS).map_err(|e| e.to_string())?;
    let readable = || {
        let text = |name: &str| std::fs::read_to_string(folder.path().join(name)).ok();
        let (load, table) = (text(LOAD)?, text(READINGS)?);
        Some((probe::readings(&load, &table), load, table))
    };
    // what was typed, the page may show
    let says_so_itself = says_it_itself(case);
    let mut version = String::new();
    for request in requests(case) {
        let before = readable();
        let (path, form) = request.split_once(' ').unwrap_or((&request, ""));
        let form = form.replace("{version}", &version);
        let answered = if form.is_empty() { kitchen.get(path) } else { kitchen.post(path, &form) }
            .map_err(|words| format!("{path} broke off: {words}"))?;
        if answered.status >= 500 {
            return Err(format!("{path} is answered with {}: {} ({})", answered.status, answered.body, last_panic()));
        }
        if !says_so_itself {
            judge::text(&answered.body)?;
        }
        if let Some(told) = hidden(&answered.body, "version") {
            version = told;
        }
        if let (Some((Ok(()), load, table)), Some((Err(words), load_now, table_now))) = (before, readable())
            && load == load_now
            && table != table_now
            // the last reading was taken back, or only the start is known
            && !words.contains("there is no reading")
        {
            return Err(format!("a reading was kept that cannot be read: {words}"));
        }
    }
    left_behind(folder.path())?;
    Ok(Outcome::Answered)
}

/// Whether a case names, anywhere in its files or requests, a number that is none.
fn says_it_itself(case: &Case) -> bool {
    case.files().iter().any(|(_, bytes)| {
        // a form hides letters behind escapes, and the page leaves out what cannot be printed
        let decoded: Vec<u8> = percent_encoding::percent_decode(bytes).collect();
        let mut shown = String::from_utf8_lossy(&decoded).to_lowercase();
        shown.retain(|c| !c.is_control() || c == '\n');
        shown.contains("inf") || shown.contains("nan")
    })
}

/// The value of a hidden field of a page.
fn hidden(body: &str, name: &str) -> Option<String> {
    let (_, rest) = body.split_once(&format!("name=\"{name}\" value=\""))?;
    Some(rest.split('"').next()?.to_string())
}

/// Files that a page has no business to leave in its folder.
fn left_behind(folder: &Path) -> Result<(), String> {
    let names =
        std::fs::read_dir(folder).map_err(|e| e.to_string())?.filter_map(|e| e.ok()?.file_name().into_string().ok());
    // a lock is kept: whoever waits for it holds it open
    let known = |name: &str| [".toml", ".csv", ".epw", ".lock"].iter().any(|ending| name.ends_with(ending));
    match names.into_iter().find(|name| !known(name)) {
        Some(name) => Err(format!("the page left `{name}` behind")),
        None => Ok(()),
    }
}
