//! Times at which a run stood still: the power was off, the door open, a tray out, the pump off. While it stands still
//! nothing dries, so every later reading is compared with the model at the time less the interruptions before it.

use crate::readings::column::Event;

/// What stopped the run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Power off.
    Power,
    /// Door open, air in.
    Door,
    /// A tray taken out, which needs the door open.
    TrayOut,
    /// Vacuum pump off.
    Pump,
    /// A tray weighed in a pause.
    Weighing,
}

/// One interruption.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interruption {
    /// What stopped the run.
    pub stop: Stop,
    /// From when, s from the start by the clock.
    pub from_s: f64,
    /// How long, s.
    pub for_s: f64,
    /// Whether it had ended at the last line.
    pub over: bool,
}

/// A weighing in a pause costs this until the pressure is down again, s. From memory.
pub const WEIGHING_S: f64 = 900.0;
/// A door opened without a note of when it was closed, s. From memory.
const DOOR_S: f64 = 600.0;

impl Stop {
    /// The stop that an event begins, or ends (`false`).
    pub fn of(event: Event) -> Option<(Self, bool)> {
        Some(match event {
            Event::PowerOff => (Self::Power, true),
            Event::PowerOn => (Self::Power, false),
            Event::Opened => (Self::Door, true),
            Event::Closed => (Self::Door, false),
            Event::TrayOut => (Self::TrayOut, true),
            Event::TrayIn => (Self::TrayOut, false),
            Event::PumpOff => (Self::Pump, true),
            Event::PumpOn => (Self::Pump, false),
            Event::Started | Event::PumpStarted | Event::Finished => return None,
        })
    }

    /// Whether air came in.
    pub fn lets_air_in(self) -> bool {
        matches!(self, Self::Door | Self::TrayOut | Self::Weighing)
    }
}

/// The interruptions of a run in their order, without overlap.
#[derive(Clone, Debug, Default)]
pub struct Interruptions(Vec<Interruption>);

impl Interruptions {
    /// Notes an event, or `None` where something ends that had not begun.
    pub fn note(&mut self, event: Event, time_s: f64) -> Option<()> {
        let Some((stop, begins)) = Stop::of(event) else { return Some(()) };
        if begins {
            // a tray out of an open door, a pump without power: the first stop counts
            if self.running(time_s).is_none() {
                let brief = matches!(stop, Stop::Door | Stop::TrayOut);
                let for_s = if brief { DOOR_S } else { f64::INFINITY };
                self.0.push(Interruption { stop, from_s: time_s, for_s, over: brief });
            }
            return Some(());
        }
        let last = self.0.iter_mut().rev().find(|i| i.stop == stop)?;
        last.for_s = (time_s - last.from_s).max(0.0);
        last.over = true;
        Some(())
    }

    /// A weighing for which the run was paused; the same pause serves all trays weighed in it.
    pub fn weighed(&mut self, time_s: f64) {
        if self.running(time_s).is_none() {
            self.0.push(Interruption { stop: Stop::Weighing, from_s: time_s, for_s: WEIGHING_S, over: true });
        }
    }

    fn running(&self, time_s: f64) -> Option<&Interruption> {
        self.0.last().filter(|i| time_s <= i.from_s + i.for_s)
    }

    /// Time the run stood still before this time, s.
    pub fn before_s(&self, time_s: f64) -> f64 {
        self.0.iter().map(|i| (time_s - i.from_s).clamp(0.0, i.for_s)).sum()
    }

    /// All of them; those not over last until `until_s`.
    pub fn until(self, until_s: f64) -> Vec<Interruption> {
        let last = |i: Interruption| Interruption { for_s: i.for_s.min((until_s - i.from_s).max(0.0)), ..i };
        self.0.into_iter().map(|i| if i.over { i } else { last(i) }).collect()
    }
}
