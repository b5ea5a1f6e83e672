//! Names of files of the folder: what a name may be, and what a file of that name is.

use icefront_kitchen::{history, weather};

/// Longest name, characters.
const LONGEST_NAME: usize = 80;
/// Ending of sheets and dryer files.
pub const SHEET_ENDING: &str = ".toml";
/// Endings of weather files.
const WEATHER_ENDINGS: [&str; 2] = [".csv", ".epw"];
/// Ending of a table of readings, after the name of its sheet without `.toml`.
pub const READINGS_ENDING: &str = ".readings.csv";
/// The history, as `icefront log` calls it unless stated otherwise.
pub const HISTORY: &str = history::USUAL_NAME;
/// The pantry, as `icefront store` calls it unless stated otherwise.
pub const PANTRY: &str = "pantry.csv";
/// First key of a load sheet.
const SHEET_MARK: &str = "icefront";
/// First key of a dryer file.
const DRYER_MARK: &str = "icefront_dryer";

/// A name of a file of the folder; the error says what a name may be.
pub fn check_name(name: &str, ending: &str) -> Result<(), String> {
    let letters = |c: char| c.is_alphanumeric() || " _-.(),".contains(c);
    let stem = name.strip_suffix(ending).unwrap_or("");
    let plain = name.chars().all(letters) && !name.contains("..") && !name.starts_with(['.', ' ', '-']);
    if plain && !stem.trim().is_empty() && name.chars().count() <= LONGEST_NAME {
        return Ok(());
    }
    Err(format!(
        "a name here is made of letters, digits, blanks and -_.(), and ends with {ending}; at most {LONGEST_NAME} \
         characters, no folders"
    ))
}

/// The name of a sheet in messages, saved or not.
pub fn or_usual(file: &str) -> &str {
    if file.is_empty() { "load.toml" } else { file }
}

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A load sheet.
    Sheet,
    /// A dryer.
    Dryer,
    /// Hours of weather.
    Weather,
}

/// The ending of a name that sheets, dryers or weather files can have; files that the page keeps itself are none of them.
pub fn ending(name: &str) -> Option<&'static str> {
    if [PANTRY, HISTORY].contains(&name) || name.ends_with(READINGS_ENDING) {
        return None;
    }
    [SHEET_ENDING].into_iter().chain(WEATHER_ENDINGS).find(|ending| check_name(name, ending).is_ok())
}

/// What a file is, by the key or the columns that name its format.
pub fn kind(ending: &str, text: &str) -> Option<Kind> {
    if ending != SHEET_ENDING {
        return weather::is_weather(text).then_some(Kind::Weather);
    }
    let first_key = |line: &str| Some(line.split_once('=')?.0.trim().to_string());
    let mut keys = text.lines().filter(|line| !line.trim_start().starts_with('#')).filter_map(first_key);
    keys.find_map(|key| match key.as_str() {
        SHEET_MARK => Some(Kind::Sheet),
        DRYER_MARK => Some(Kind::Dryer),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stay_in_the_folder() {
        for good in ["load.toml", "my stew (2).toml", "Bohnen-Eintopf_1.toml", "brew.v2.toml", "\u{e4}pfel.toml"] {
            assert_eq!(check_name(good, SHEET_ENDING), Ok(()), "{good}");
        }
        for bad in [
            "",
            ".toml",
            " .toml",
            "../x.toml",
            "a/b.toml",
            "a\\b.toml",
            "/etc/x.toml",
            "c:x.toml",
            "x.txt",
            "a..toml",
            ".hidden.toml",
            "-x.toml",
            "x\0.toml",
            "x\n.toml",
            "%2e%2e.toml",
        ] {
            assert!(check_name(bad, SHEET_ENDING).is_err(), "{bad:?}");
        }
        assert!(check_name(&format!("{}.toml", "x".repeat(76)), SHEET_ENDING).is_err());
    }

    #[test]
    fn files_are_known_by_what_they_hold() {
        for (name, text, expected) in [
            ("b.toml", "# mine\nicefront = 1\n", Some(Kind::Sheet)),
            ("d.toml", "icefront_dryer = 1\n", Some(Kind::Dryer)),
            ("o.toml", "x = 1\n", None),
            ("n.csv", "# cold\ntime,air_temp_C,wind_m_s\n", Some(Kind::Weather)),
            ("n.epw", "LOCATION,Somewhere\n", Some(Kind::Weather)),
            ("n.csv", "time,weight_g\n", None),
            ("history.csv", "time,air_temp_C\n", None),
            ("load.readings.csv", "time,air_temp_C\n", None),
            ("t.txt", "icefront = 1\n", None),
        ] {
            assert_eq!(ending(name).and_then(|ending| kind(ending, text)), expected, "{name}: {text}");
        }
    }
}
