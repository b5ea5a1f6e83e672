//! The list of trays of a sheet.

use icefront_kitchen::sheet::schema::load::TRAY;
use toml_edit::{ArrayOfTables, Item, Table};

use crate::editor::document::Editor;

/// Most trays a page edits.
pub const MOST_TRAYS: usize = 40;

/// What is done to the list of trays; trays count from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrayStep {
    /// One more on top, like the topmost.
    Add,
    /// One more above this one, like it.
    Copy(usize),
    /// Removed.
    Remove(usize),
    /// Changes places with the one above.
    Up(usize),
    /// Changes places with the one below.
    Down(usize),
}

impl TrayStep {
    /// The tray that is looked at after this step, where there are now so many.
    pub fn follows(self, trays: usize) -> usize {
        let place = match self {
            Self::Add => trays,
            Self::Copy(i) | Self::Up(i) => i + 1,
            Self::Remove(i) => i,
            Self::Down(i) => i.saturating_sub(1),
        };
        place.min(trays.saturating_sub(1))
    }
}

impl Editor {
    /// Adds, removes or moves a tray.
    pub fn step(&mut self, step: TrayStep) {
        let Some(Item::ArrayOfTables(list)) = self.document.get_mut("tray") else {
            if step == TrayStep::Add && !self.has("tray") {
                let mut list = ArrayOfTables::new();
                list.push(first_tray());
                self.document.insert("tray", Item::ArrayOfTables(list));
            }
            return;
        };
        let place = list.iter().next().and_then(Table::position);
        let mut trays: Vec<Table> = list.iter().cloned().collect();
        match step {
            TrayStep::Add if trays.len() < MOST_TRAYS => {
                trays.push(another(trays.last().cloned().unwrap_or_else(first_tray)));
            }
            TrayStep::Copy(i) if i < trays.len() && trays.len() < MOST_TRAYS => {
                trays.insert(i + 1, another(trays.get(i).cloned().unwrap_or_else(first_tray)));
            }
            TrayStep::Remove(i) if i < trays.len() && trays.len() > 1 => drop(trays.remove(i)),
            TrayStep::Up(i) if i < trays.len().saturating_sub(1) => trays.swap(i, i + 1),
            TrayStep::Down(i) if i > 0 && i < trays.len() => trays.swap(i, i - 1),
            _ => {}
        }
        // tables are written by their old places in the file: all trays go to the first one's, in their new order
        trays.iter_mut().for_each(forget_place);
        if let Some(first) = trays.first_mut() {
            first.set_position(place);
        }
        *list = trays.into_iter().collect();
    }
}

/// A tray to begin with.
fn first_tray() -> Table {
    let mut tray = Table::new();
    let depth = TRAY.row("depth", None).map_or("", |key| key.example);
    for (key, value) in [("food", "apples, raw, without skin"), ("shape", "layer"), ("depth", depth)] {
        tray.insert(key, Item::Value(value.into()));
    }
    tray
}

/// A tray like this one, without its name and the remark before it.
fn another(mut tray: Table) -> Table {
    tray.remove("name");
    tray.decor_mut().set_prefix("\n");
    tray
}

fn forget_place(table: &mut Table) {
    table.set_position(None);
    table.iter_mut().filter_map(|(_, item)| item.as_table_mut()).for_each(forget_place);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::editor::tests::sheet;

    #[test]
    fn a_tray_moves_with_its_remarks_and_tables() {
        let mut moved = sheet();
        moved.step(TrayStep::Up(0));
        let text = moved.to_string();
        let again = Editor::parse(&text).unwrap();
        assert_eq!((again.food(0), again.food(1)), ("stew".to_string(), "rice".to_string()));
        assert_eq!(again.shown("tray.1.expert.emissivity"), "0.9", "{text}");
        assert!(!again.has("tray.0.expert"), "{text}");
        assert!(text.contains("# white"), "{text}");
        moved.step(TrayStep::Down(1));
        assert_eq!(Editor::parse(&moved.to_string()).unwrap().shown("tray.0.expert.emissivity"), "0.9");
    }

    #[test]
    fn trays_come_and_go() {
        let mut sheet = sheet();
        sheet.step(TrayStep::Add);
        assert_eq!((sheet.trays(), sheet.food(2)), (3, "stew".to_string()));
        sheet.step(TrayStep::Copy(0));
        assert_eq!([0, 1, 2].map(|tray| sheet.food(tray)), ["rice", "rice", "stew"]);
        assert_eq!((TrayStep::Copy(0).follows(4), TrayStep::Remove(3).follows(3)), (1, 2));
        sheet.step(TrayStep::Remove(0));
        sheet.step(TrayStep::Remove(0));
        sheet.step(TrayStep::Remove(0));
        sheet.step(TrayStep::Remove(0));
        assert_eq!(sheet.trays(), 1, "the last one stays");
        for step in [TrayStep::Remove(7), TrayStep::Up(usize::MAX), TrayStep::Down(usize::MAX)] {
            sheet.step(step);
        }
        for _ in 0..2 * MOST_TRAYS {
            sheet.step(TrayStep::Add);
        }
        assert_eq!(sheet.trays(), MOST_TRAYS);
        assert!(Editor::parse(&sheet.to_string()).is_some());
    }
}
