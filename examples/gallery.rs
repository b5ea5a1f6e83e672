//! Makes the gallery: runs the program on its demonstration load and copies the charts that it writes.
//!
//! ```sh
//! cargo run --release -p icefront-cli --example gallery -- docs
//! ```
//! writes `docs/gallery.md` and the pictures in `docs/gallery/`, over those that are there. Nothing is drawn by hand.

use std::ffi::OsString;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{fs, io};

/// One picture: the command that draws it, the file it writes, and what is to be seen.
struct Picture {
    command: &'static [&'static str],
    file: &'static str,
    title: &'static str,
    seen: &'static str,
}

const PLAN: &[&str] = &["plan", "--out", "run"];
const NIGHT: &[&str] = &["prefreeze", "--weather", "data/weather/night_cold_clear.csv", "--out", "run"];
const COMPARE: &[&str] = &["compare", "--vary", "tray.1.depth=8mm,20mm", "--out", "run"];
const EXPLAIN: &[&str] = &["explain", "--out", "run"];
const EVIDENCE: &[&str] = &["evidence", "--chart", "run/evidence.svg"];

const PICTURES: [Picture; 11] = [
    Picture {
        command: PLAN,
        file: "batch.svg",
        title: "The batch over time",
        seen: "Stages as a band; each tray's ice and the temperature of its ice front, beside shelf and condenser.",
    },
    Picture {
        command: PLAN,
        file: "tray-1.svg",
        title: "Inside a layer",
        seen: "The ice front sinks through bean stew; below, temperature through the depth at four moments.",
    },
    Picture {
        command: PLAN,
        file: "tray-6.svg",
        title: "Inside a ball",
        seen: "The same for peas, whose front runs faster and faster towards the middle.",
    },
    Picture {
        command: PLAN,
        file: "drying.svg",
        title: "How fast each tray dries",
        seen: "Water leaving in an hour, and the water left, from all of it down to a thousandth.",
    },
    Picture {
        command: PLAN,
        file: "machine.svg",
        title: "Pressure and condenser",
        seen: "The heaters hold the pressure at its limit until the load asks for less; ice grows on the condenser.",
    },
    Picture {
        command: PLAN,
        file: "power.svg",
        title: "Electricity",
        seen: "Power by consumer, stacked, and the energy used so far.",
    },
    Picture {
        command: PLAN,
        file: "worth.svg",
        title: "What each measurement is worth",
        seen: "How much narrower the range of hours gets, on average, once something is measured.",
    },
    Picture {
        command: COMPARE,
        file: "compare.svg",
        title: "Loads side by side",
        seen: "Hours and electricity of the same load with the bean stew spread thinner and thicker.",
    },
    Picture {
        command: EXPLAIN,
        file: "explain.svg",
        title: "What holds the drying back",
        seen: "Shares of the resistances of the slowest tray, from the shelf to the condenser, over the run.",
    },
    Picture {
        command: NIGHT,
        file: "night.svg",
        title: "A night outdoors",
        seen: "Cores and surfaces of six trays in the air of a cold, clear night, and the temperatures to be reached.",
    },
    Picture {
        command: EVIDENCE,
        file: "evidence.svg",
        title: "Predicted and measured",
        seen: "Every published drying run that the model was compared with, and the range it gave, misses included.",
    },
];

fn main() -> ExitCode {
    match std::env::args_os().nth(1).map(PathBuf::from) {
        Some(docs) => make(&docs).map_or_else(|error| fail(&error.to_string()), |()| ExitCode::SUCCESS),
        None => fail("say where the documents are: docs"),
    }
}

fn fail(reason: &str) -> ExitCode {
    eprintln!("error: no gallery: {reason}");
    ExitCode::FAILURE
}

/// Draws all pictures, then writes the page. Works from the top of the sources.
fn make(docs: &Path) -> io::Result<()> {
    let folder = docs.join("gallery");
    let drawn = tempfile::tempdir()?;
    for command in [PLAN, COMPARE, EXPLAIN, NIGHT, EVIDENCE] {
        let place = |word: &&str| OsString::from(word.replace("run", &drawn.path().to_string_lossy()));
        let words = ["icefront".into()].into_iter().chain(command.iter().map(place));
        if icefront_cli::run(words) != ExitCode::SUCCESS {
            return Err(io::Error::other(format!("`icefront {}` failed", command.join(" "))));
        }
    }
    fs::create_dir_all(&folder)?;
    for picture in &PICTURES {
        fs::copy(drawn.path().join(picture.file), folder.join(picture.file))?;
    }
    fs::write(docs.join("gallery.md"), page())
}

fn page() -> String {
    let mut page = String::from(
        "# Gallery\n\nReal runs of the program, drawn by itself; the load and the dryer are invented. Without a sheet, \
         `plan` and `prefreeze`\ntake the demonstration load, `data/loads/demonstration.toml`. This page is made by\n\n```sh\ncargo run \
         --release -p icefront-cli --example gallery -- docs\n```\n\nThe charts read without colour: trays carry their numbers, \
         other lines differ by their dashes, areas by lightness.\n",
    );
    for Picture { command, file, title, seen } in &PICTURES {
        let command = command.join(" ");
        // writing into a String cannot fail
        let _ =
            write!(page, "\n## {title}\n\n{seen}\n\n```sh\nicefront {command}\n```\n\n![{title}](gallery/{file})\n");
    }
    page
}
