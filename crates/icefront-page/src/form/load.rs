//! Fields of the whole load: the labelled keys of a sheet and of its tables.

use icefront_kitchen::sheet::dryer::BUILT_IN;
use icefront_kitchen::sheet::schema::load::LOAD;
use icefront_kitchen::sheet::schema::{Key, Value};

use crate::editor::Editor;
use crate::form::field::{Control, Field, or};
use crate::form::freezing;

/// Fields of the whole load.
pub fn fields(sheet: &Editor, dryers: &[String]) -> Vec<Field> {
    let in_rig = sheet.has("rig");
    let mut fields = Vec::new();
    for key in LOAD.keys {
        match key.value {
            _ if in_rig && matches!(key.name, "dryer" | "before_loading") => {}
            _ if key.name == "dryer" => fields.push(dryer(sheet, key, dryers)),
            _ if key.name == "before_loading" => fields.extend(freezing::fields(sheet, key.name, None)),
            Value::Table(table) => {
                let word = or(sheet.shown(&format!("{}.{}", key.name, table.choice)), table.first_word());
                let keys = table.keys.iter().filter(|inner| !inner.label.is_empty() && inner.goes_with(&word));
                fields.extend(keys.map(|inner| Field::of(sheet, &format!("{}.{}", key.name, inner.name), inner)));
            }
            _ if key.label.is_empty() => {}
            _ => fields.push(Field::of(sheet, key.name, key)),
        }
    }
    fields
}

/// A built-in dryer, a dryer file of the folder, or what the sheet has.
fn dryer(sheet: &Editor, key: &Key, files: &[String]) -> Field {
    let field = Field::of(sheet, key.name, key);
    let built_in = BUILT_IN.iter().map(|(name, _)| (name.to_string(), format!("{name} (invented)")));
    let mut names: Vec<_> = built_in.chain(files.iter().map(|name| (name.clone(), name.clone()))).collect();
    if !names.iter().any(|(name, _)| *name == field.value) {
        names.push((field.value.clone(), field.value.clone()));
    }
    Field { control: Control::Choice(names), hint: "named by its shelf area".into(), ..field }
}
