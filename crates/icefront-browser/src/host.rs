//! The page over files in memory.

use std::path::Path;

use icefront_page::host::Visit;
use icefront_page::{Effort, Environment, Folder, Settings};

use crate::files::Files;
use crate::{Answer, Message};

/// The page and its files.
#[derive(Debug)]
pub struct Host {
    files: Files,
    folder: Folder,
}

impl Default for Host {
    fn default() -> Self {
        let files = Files::default();
        let folder = Folder::new(Path::new(""), files.clone());
        Self { files, folder }
    }
}

impl Host {
    /// Answers a message.
    pub fn answer(&mut self, message: Message) -> Answer {
        let Message { path, form, today, few, all, files } = message;
        self.files.bring(files);
        let page = Environment {
            folder: &self.folder,
            settings: Settings { draws: all, ..Settings::USUAL },
            today,
            link: None,
        };
        // who only looks sees something at once; the script asks for the rest
        let asks = form.is_some();
        let (reply, whole) = match Visit::read(&path, form) {
            Err(reply) => (reply, false),
            Ok(visit) => {
                let whole = asks && visit.is_whole(page.settings);
                let effort = if whole { Effort::Whole } else { Effort::Few(few) };
                (visit.reply(&page, effort), whole)
            }
        };
        Answer { reply, whole, files: self.files.take_written() }
    }
}

#[cfg(test)]
mod tests {
    use icefront_kitchen::sheet;
    use icefront_kitchen::weather::clock::Date;

    use super::*;

    fn ask(host: &mut Host, path: &str, form: Option<&[(&str, &str)]>, files: Vec<crate::message::File>) -> Answer {
        let form = form.map(|pairs| pairs.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect());
        host.answer(Message { path: path.into(), form, today: Date::constant(2026, 11, 25), few: 0, all: 8, files })
    }

    #[test]
    fn a_save_gives_the_file_to_be_kept_and_files_of_others_are_seen() {
        let (mut host, sheet) = (Host::default(), sheet::demonstration().text);
        let form = [("sheet", &*sheet), ("file", "stew.toml"), ("do", "save")];
        let saved = ask(&mut host, "/live", Some(&form), Vec::new());
        assert_eq!(saved.reply.status, 200);
        assert_eq!(saved.files, [("stew.toml".to_string(), Some(sheet.clone().into_bytes()))]);
        let theirs = vec![("stew.toml".to_string(), Some(b"icefront = 1 # theirs\n".to_vec()))];
        let refused = ask(&mut host, "/live", Some(&form), theirs);
        assert_eq!((refused.reply.status, refused.files.len()), (409, 0));
        assert_eq!(ask(&mut host, "/sheet/none.toml", None, Vec::new()).reply.status, 404);
        assert!(ask(&mut host, "/page.js", None, Vec::new()).reply.text.contains("icefrontHost"));
    }
}
