//! Raw food beside other food: which trays are raw, where they belong, and what they call for.

use icefront_core::load::Load;

use crate::sheet::dish::Dish;

/// What raw food on the trays calls for, most pressing first; nothing where none is raw.
pub fn of(load: &Load, dishes: &[Dish]) -> Vec<String> {
    let named = |raw: bool| -> Vec<(usize, &str)> {
        let trays = load.trays.iter().zip(dishes).enumerate();
        trays.filter(|(_, (_, dish))| dish.raw == raw).map(|(at, (tray, _))| (at, tray.name.as_str())).collect()
    };
    let (raw, other) = (named(true), named(false));
    let Some(highest) = raw.last() else { return Vec::new() };
    let names = raw.iter().map(|(_, name)| *name).collect::<Vec<_>>().join(", ");
    let mut list = Vec::new();
    if let Some((_, lowest)) = other.iter().find(|(at, _)| *at < highest.0) {
        list.push(format!(
            "Raw food is above other food. Put {names} on the lowest shelves, below {lowest}, so that nothing drips \
             down."
        ));
    } else if !other.is_empty() {
        list.push(format!("Keep {names} on the lowest shelves: raw food goes under what is eaten as it is."));
    }
    let other =
        if other.is_empty() { "" } else { " Handle the other trays first and treat what touched raw food as raw." };
    list.push(format!("{names}: raw; cook it through once the water is back.{other}"));
    list
}
