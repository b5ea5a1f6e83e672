//! A chart of an answer as SVG and PNG, and what else an answer writes beside it.

use std::path::Path;

use icefront_kitchen::Failure;

use crate::Targets;

/// Width of a PNG, px.
pub const PNG_WIDTH_PX: u32 = 1600;

/// Files in one folder, found writable: `NAME.svg`, `NAME.png`, and a table if there is one.
pub struct Picture {
    targets: Targets,
    names: [String; 2],
}

impl Picture {
    /// Checks that they can be written; `None` without a folder.
    pub fn check(folder: Option<&Path>, name: &str, table: Option<&str>, force: bool) -> Result<Option<Self>, Failure> {
        let Some(folder) = folder else { return Ok(None) };
        let names = ["svg", "png"].map(|ending| format!("{name}.{ending}"));
        let all: Vec<&str> = names.iter().map(String::as_str).chain(table).collect();
        Ok(Some(Self { targets: Targets::check(folder, &all, force)?, names }))
    }

    /// Writes them.
    pub fn write(&self, svg: &str, table: Option<(&str, &[u8])>) -> Result<(), Failure> {
        let png = icefront_plot::png_from_svg(svg, PNG_WIDTH_PX)?;
        let [svg_name, png_name] = &self.names;
        let mut files = vec![(svg_name.as_str(), svg.as_bytes()), (png_name.as_str(), &png)];
        files.extend(table);
        self.targets.write(&files)
    }
}
