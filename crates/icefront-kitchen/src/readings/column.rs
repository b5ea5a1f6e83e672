//! What a column of a readings file holds: the unit stands at the end of its name.

use icefront_core::learning::Quantity;

use crate::quantity::{Kind, Limit};

/// A column with a value in it.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its name.
    pub name: &'static str,
    /// The unit as the unit reader knows it; empty: the number is multiplied by `factor`.
    unit: &'static str,
    factor: f64,
    limit: Limit,
    /// What is read in it, on a tray where it belongs to one.
    quantity: Of,
}

/// What may stand in the column `event`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// The machine was switched on with the food in, or to cool down.
    Started,
    /// The pump was started.
    PumpStarted,
    /// The end rule of the sheet was met.
    Finished,
    /// The power failed or was switched off.
    PowerOff,
    /// It came back.
    PowerOn,
    /// The door was opened.
    Opened,
    /// It was closed and the pump ran again.
    Closed,
    /// A tray was taken out.
    TrayOut,
    /// It went back in.
    TrayIn,
    /// The pump stopped.
    PumpOff,
    /// It ran again.
    PumpOn,
}

/// Events by name.
pub const EVENTS: [(&str, Event); 11] = [
    ("started", Event::Started),
    ("pump started", Event::PumpStarted),
    ("finished", Event::Finished),
    ("power off", Event::PowerOff),
    ("power on", Event::PowerOn),
    ("opened", Event::Opened),
    ("closed", Event::Closed),
    ("tray out", Event::TrayOut),
    ("tray in", Event::TrayIn),
    ("pump off", Event::PumpOff),
    ("pump on", Event::PumpOn),
];

/// Other words for events.
const EVENT_ALIASES: [(&str, Event); 17] = [
    ("start", Event::Started),
    ("switched on", Event::Started),
    ("pump start", Event::PumpStarted),
    ("start pump", Event::PumpStarted),
    ("finish", Event::Finished),
    ("power failure", Event::PowerOff),
    ("power cut", Event::PowerOff),
    ("power back", Event::PowerOn),
    ("open", Event::Opened),
    ("door open", Event::Opened),
    ("door opened", Event::Opened),
    ("close", Event::Closed),
    ("door closed", Event::Closed),
    ("tray taken out", Event::TrayOut),
    ("tray back in", Event::TrayIn),
    ("pump stopped", Event::PumpOff),
    ("pump back on", Event::PumpOn),
];

/// The event that a cell says.
pub fn event(text: &str) -> Option<Event> {
    let text = text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    EVENTS.iter().chain(&EVENT_ALIASES).find(|(name, _)| *name == text).map(|(_, event)| *event)
}

const MASS: Limit = Limit::new(Kind::Mass, 0.0, 50.0, "0 g to 50 kg");
const PRODUCT: Limit = Limit::celsius(-70.0, 95.0, "-70 °C to 95 °C");
const SHELF: Limit = Limit::celsius(-70.0, 130.0, "-70 °C to 130 °C");
const PRESSURE: Limit = Limit::new(Kind::Pressure, 0.0, 120_000.0, "0 Pa to 120000 Pa");
const ENERGY: Limit = Limit::number(0.0, 1_000.0, "0 to 1000 kWh");
const RISE: Limit = Limit::number(0.0, 60_000.0, "0 to 60000 Pa per minute");

type Of = fn(usize) -> Quantity;

const fn column(name: &'static str, unit: &'static str, limit: Limit, quantity: Of) -> Column {
    Column { name, unit, factor: 1.0, limit, quantity }
}

const fn number(name: &'static str, factor: f64, limit: Limit, quantity: Of) -> Column {
    Column { name, unit: "", factor, limit, quantity }
}

/// All columns with values.
pub const ALL: [Column; 30] = [
    column("weight_g", "g", MASS, |tray| Quantity::Weight { tray }),
    column("weight_kg", "kg", MASS, |tray| Quantity::Weight { tray }),
    column("weight_oz", "oz", MASS, |tray| Quantity::Weight { tray }),
    column("weight_lb", "lb", MASS, |tray| Quantity::Weight { tray }),
    column("water_lost_g", "g", MASS, |tray| Quantity::WaterLost { tray }),
    column("water_lost_kg", "kg", MASS, |tray| Quantity::WaterLost { tray }),
    column("water_lost_oz", "oz", MASS, |tray| Quantity::WaterLost { tray }),
    column("water_lost_lb", "lb", MASS, |tray| Quantity::WaterLost { tray }),
    column("drained_g", "g", MASS, |_| Quantity::Drained),
    column("drained_kg", "kg", MASS, |_| Quantity::Drained),
    column("drained_oz", "oz", MASS, |_| Quantity::Drained),
    column("drained_lb", "lb", MASS, |_| Quantity::Drained),
    // the unit stands in the cell
    column("weight", "", MASS, |tray| Quantity::Weight { tray }),
    column("water_lost", "", MASS, |tray| Quantity::WaterLost { tray }),
    column("drained", "", MASS, |_| Quantity::Drained),
    column("product", "", PRODUCT, |tray| Quantity::Product { tray }),
    column("shelf", "", SHELF, |tray| Quantity::Shelf { tray }),
    column("pressure", "", PRESSURE, |_| Quantity::Pressure),
    number("energy", 3.6e6, ENERGY, |_| Quantity::Energy),
    column("product_C", "C", PRODUCT, |tray| Quantity::Product { tray }),
    column("product_F", "F", PRODUCT, |tray| Quantity::Product { tray }),
    column("shelf_C", "C", SHELF, |tray| Quantity::Shelf { tray }),
    column("shelf_F", "F", SHELF, |tray| Quantity::Shelf { tray }),
    column("pressure_Pa", "Pa", PRESSURE, |_| Quantity::Pressure),
    column("pressure_mbar", "mbar", PRESSURE, |_| Quantity::Pressure),
    column("pressure_mTorr", "mTorr", PRESSURE, |_| Quantity::Pressure),
    column("pressure_Torr", "Torr", PRESSURE, |_| Quantity::Pressure),
    number("energy_kWh", 3.6e6, ENERGY, |_| Quantity::Energy),
    number("rise_Pa_per_min", 1.0 / 60.0, RISE, |_| Quantity::PressureRise),
    // 1 mTorr = 101 325/760 000 Pa (NIST SP 811)
    number("rise_mTorr_per_min", 101_325.0 / 760_000.0 / 60.0, RISE, |_| Quantity::PressureRise),
];

impl Column {
    /// The unit in its name; empty where it stands in the cell.
    pub fn unit(&self) -> &'static str {
        self.unit
    }

    /// What is read in it; `None` if it belongs to a tray and there is none.
    pub fn quantity(&self, tray: Option<usize>) -> Option<Quantity> {
        Some((self.quantity)(tray.unwrap_or(0))).filter(|quantity| quantity.tray() == tray || quantity.tray().is_none())
    }

    /// The value of a cell, SI; the error is what to say beside it.
    pub fn read(&self, text: &str) -> Result<f64, String> {
        if text.parse::<f64>().is_ok() {
            return self.limit.read_in(text, self.unit).map(|si| si * self.factor).map_err(|error| error.to_string());
        }
        // a unit written into the cell counts, whatever the column is called
        match self.limit.kind {
            Kind::Number => {
                let plain = text.to_lowercase();
                let number =
                    plain.strip_suffix("kwh").map(str::trim).filter(|_| (self.quantity)(0) == Quantity::Energy);
                let number = number.filter(|n| n.parse::<f64>().is_ok());
                let number =
                    number.ok_or_else(|| format!("`{text}` is not a number; the unit is in the column's name"))?;
                self.limit.read_number(number).map(|si| si * self.factor).map_err(|error| error.to_string())
            }
            _ => self.limit.read_text(text).map_err(|error| error.to_string()),
        }
    }

    /// What is allowed, with the likeliest mistake.
    pub fn advice(&self, text: &str) -> String {
        let likely = match (self.limit.kind, self.unit, text.parse::<f64>()) {
            (Kind::Mass, "kg", Ok(n)) if n > 50.0 => "this looks like grams: `_g`; ",
            (Kind::Temperature, "C", Ok(n)) if n > 95.0 => "this looks like degrees Fahrenheit: `_F`; ",
            _ if (self.quantity)(0) == Quantity::Energy => "kilowatt-hours since the start, not watts; ",
            _ => "",
        };
        format!("{likely}use {} instead", self.limit.words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_document_tells_every_column_and_event() {
        const DOC: &str = include_str!("../../../../docs/guide/during.md");
        let names = ALL.iter().map(|c| c.name).chain(EVENTS.iter().map(|(name, _)| *name));
        let missing: Vec<&str> = names.filter(|name| !DOC.contains(&format!("`{name}`"))).collect();
        assert!(missing.is_empty(), "docs/guide/during.md does not name {missing:?}");
    }

    #[test]
    fn units_are_those_of_the_name() {
        let read = |name: &str, text: &str| ALL.iter().find(|c| c.name == name).unwrap().read(text);
        approx::assert_relative_eq!(read("weight_lb", "2").unwrap(), 0.907_184_74, max_relative = 1e-9);
        approx::assert_relative_eq!(read("product_F", "14").unwrap(), 263.15, max_relative = 1e-9);
        approx::assert_relative_eq!(read("rise_Pa_per_min", "30").unwrap(), 0.5, max_relative = 1e-9);
        approx::assert_relative_eq!(read("energy_kWh", "2.5").unwrap(), 9e6, max_relative = 1e-9);
        assert!(
            read("weight_kg", "750").is_err()
                && read("weight_g", "750 g of stew").is_err()
                && read("weight", "750").is_err()
        );
        approx::assert_relative_eq!(read("weight_g", "1 lb 4 oz").unwrap(), 0.566_990_46, max_relative = 1e-7);
        approx::assert_relative_eq!(read("product", "14 °F").unwrap(), 263.15, max_relative = 1e-9);
        approx::assert_relative_eq!(read("energy", "2.5 kWh").unwrap(), 9e6, max_relative = 1e-9);
    }
}
