//! What a whole answer leaves with the page, so that numbers stay steady while something is dragged: its range, and of its
//! first samples when each tray was dry. A few of these, computed anew for what is set now, say how the time of each tray
//! changes; with that all of them are moved, and the range goes by the ratio of theirs. When it rests, the same samples are among
//! all that are computed.
//!
//! ```text
//! ln(new / old) = a + b ln(old)      for each tray, by least squares over the samples computed anew
//! ready = max over trays             of each sample, old and new
//! shown = whole answer * quantile(new) / quantile(old)
//! ```

use std::fmt;
use std::str::FromStr;

use icefront_core::ranges::{Cloud, Outcome, Quantiles};

use icefront_kitchen::format::{in_hours, kilowatt_hours};
use icefront_kitchen::weather::clock::HOUR_S;

/// Samples that are kept.
const KEPT: usize = 256;
/// Of these, computed anew for an answer.
const ANEW: usize = 32;
/// The same where others wait.
const FEW: usize = 4;
/// The sequence that samples are drawn by has no more.
const MOST_SAMPLES: f64 = 65_536.0;
/// A tray that is never dry.
const NEVER: &str = "never";
/// How much energy counts beside time: it decides between samples about as near in time.
const ENERGY_WEIGHT: f64 = 0.02;
/// So many of those computed anew correct the line where it bends.
const NEARBY: usize = 8;
/// Steepest slope that so few samples may give.
const STEEPEST: f64 = 1.5;

/// Numbers of a whole answer and the samples that move them.
#[derive(Clone, Debug, PartialEq)]
pub struct Anchor {
    /// Food ready, s.
    ready_s: Quantiles,
    /// Electricity, kWh.
    kwh: Quantiles,
    /// The open tray dry, s.
    tray_s: Option<Quantiles>,
    marks: Vec<Mark>,
}

/// A sample and its numbers.
#[derive(Clone, Debug, PartialEq)]
struct Mark {
    sample: usize,
    kwh: f64,
    /// Each tray dry, h.
    dry_h: Vec<f64>,
}

impl Mark {
    fn of(outcome: &Outcome) -> Self {
        Self {
            sample: outcome.draw,
            kwh: kilowatt_hours(outcome.energy_j.total()),
            dry_h: outcome.trays.iter().map(|tray| in_hours(tray.dry_at_s)).collect(),
        }
    }

    fn ready_h(&self) -> f64 {
        self.dry_h.iter().copied().fold(0.0, f64::max)
    }
}

/// Numbers as they are shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// Food ready, s.
    pub ready_s: Quantiles,
    /// Electricity, kWh.
    pub kwh: Quantiles,
    /// The open tray dry, s.
    pub tray_s: Option<Quantiles>,
    /// Of the samples computed anew the nearest to the time that is shown, where only a few were computed.
    pub middle: Option<usize>,
}

impl Anchor {
    /// How many samples are computed anew, unless others wait.
    pub const ANEW: usize = ANEW;

    /// Of a whole answer; `None` where its range has no end, or where the run does not end with the last tray.
    pub fn of(cloud: &Cloud, shown: Moved) -> Option<Self> {
        let Moved { ready_s, kwh, tray_s, .. } = shown;
        let first = cloud.outcomes.iter().take(KEPT);
        let by_trays = |o: &Outcome| (Mark::of(o).ready_h() / in_hours(o.food_ready_s) - 1.0).abs() < 0.05;
        let is_known = ready_s.high.is_finite() && first.clone().all(by_trays);
        let marks: Vec<Mark> = first.map(Mark::of).collect();
        (is_known && marks.len() >= FEW).then_some(Self { ready_s, kwh, tray_s, marks })
    }

    /// Places of the marks to compute anew, spread over the range.
    fn places(&self, few: bool) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.marks.len()).collect();
        let ready_h = |place: &usize| self.marks.get(*place).map_or(0.0, Mark::ready_h);
        order.sort_by(|a, b| ready_h(a).total_cmp(&ready_h(b)));
        let count = if few { FEW } else { ANEW }.min(order.len());
        let rank = |k: usize| (2 * k + 1) * order.len() / (2 * count.max(1));
        (0..count).filter_map(|k| order.get(rank(k)).copied()).collect()
    }

    /// Numbers of the samples to compute anew.
    pub fn samples(&self, few: bool) -> Vec<usize> {
        self.places(few).iter().filter_map(|place| self.marks.get(*place)).map(|mark| mark.sample).collect()
    }

    /// The numbers moved to where these outcomes of [`Anchor::samples`] now are; `None` where they do not say where that is.
    pub fn moved(&self, outcomes: &[Outcome], tray: Option<usize>) -> Option<Moved> {
        let now: Vec<Mark> = outcomes.iter().map(Mark::of).collect();
        let trays = now.first()?.dry_h.len();
        if now.iter().chain(&self.marks).any(|mark| mark.dry_h.len() != trays) {
            return None;
        }
        let dry = |place: usize| move |mark: &Mark| mark.dry_h.get(place).copied().unwrap_or(f64::NAN);
        let of_trays: Vec<Vec<f64>> = (0..trays).map(|place| self.carried(&now, dry(place))).collect::<Option<_>>()?;
        let ready: Vec<f64> = (0..self.marks.len())
            .map(|i| of_trays.iter().filter_map(|tray| tray.get(i)).copied().fold(0.0, f64::max))
            .collect();
        let scaled = |q: Quantiles, new: &[f64], old: &dyn Fn(&Mark) -> f64| {
            let (new, old) = (Quantiles::of(new.iter().copied()), Quantiles::of(self.marks.iter().map(old)));
            let (low, typical, high) = (new.low / old.low, new.typical / old.typical, new.high / old.high);
            let all = [low, typical, high].iter().all(|ratio| ratio.is_finite() && *ratio > 0.0);
            all.then_some(Quantiles { low: q.low * low, typical: q.typical * typical, high: q.high * high })
        };
        let new_kwh = self.carried(&now, |mark| mark.kwh)?;
        let kwh = scaled(self.kwh, &new_kwh, &|mark| mark.kwh);
        let own = tray.and_then(|tray| Some((self.tray_s?, of_trays.get(tray)?, dry(tray))));
        // the run that stands for all is near the median in time and energy
        let median = |q: Quantiles, new: &[f64], unit: f64| Quantiles {
            typical: unit * Quantiles::of(new.iter().copied()).typical,
            ..q
        };
        let ready_s = median(scaled(self.ready_s, &ready, &Mark::ready_h)?, &ready, HOUR_S);
        let tray_s = own.and_then(|(q, new, old)| scaled(q, new, &old));
        let kwh = kwh.map_or(self.kwh, |q| median(q, &new_kwh, 1.0));
        let off = |mark: &Mark| {
            let time = (mark.ready_h() - in_hours(ready_s.typical)) / in_hours(ready_s.width());
            let energy = (mark.kwh - kwh.typical) / kwh.width();
            time * time + ENERGY_WEIGHT * energy * energy
        };
        let middle = now.iter().min_by(|a, b| off(a).total_cmp(&off(b))).map(|mark| mark.sample);
        Some(Moved { ready_s, kwh, tray_s, middle })
    }

    /// One number of all marks as those of `now` say it has become; of these themselves what it is.
    fn carried(&self, now: &[Mark], number: impl Fn(&Mark) -> f64) -> Option<Vec<f64>> {
        let then = |mark: &Mark| self.marks.iter().find(|known| known.sample == mark.sample);
        let pairs: Vec<(f64, f64)> = now.iter().filter_map(|mark| Some((number(then(mark)?), number(mark)))).collect();
        let line = Line::through(&pairs)?;
        // where the line bends, those nearby say by how much
        let log_off = |(old, new): &(f64, f64)| libm::log(new / line.at(*old));
        let off: Vec<(f64, f64)> = pairs
            .iter()
            .map(|pair| (libm::log(pair.0), log_off(pair)))
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .collect();
        let bent = |old: f64| {
            let x = libm::log(old);
            let mut near = off.clone();
            near.sort_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()));
            near.truncate(NEARBY);
            let mean = near.iter().map(|(_, y)| y).sum::<f64>() / near.len().max(1) as f64;
            line.at(old) * libm::exp(mean)
        };
        let one = |mark: &Mark| {
            let anew = now.iter().find(|new| new.sample == mark.sample);
            anew.map_or_else(|| bent(number(mark)), &number)
        };
        Some(self.marks.iter().map(one).collect())
    }
}

/// How much a number changes with its size.
struct Line {
    middle: f64,
    mean: f64,
    slope: f64,
}

impl Line {
    /// Through pairs of an old and a new number, both more than zero; others are left out.
    fn through(pairs: &[(f64, f64)]) -> Option<Self> {
        let logs: Vec<(f64, f64)> = pairs
            .iter()
            .filter(|(old, new)| *old > 0.0 && *new > 0.0 && old.is_finite() && new.is_finite())
            .map(|(old, new)| (libm::log(*old), libm::log(new / old)))
            .collect();
        let count = logs.len() as f64;
        let mean = |of: &dyn Fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
        let (x, y) = (mean(&|p| p.0), mean(&|p| p.1));
        let spread = mean(&|p| (p.0 - x).powi(2));
        let together = mean(&|p| (p.0 - x) * (p.1 - y));
        let slope = if spread > 1e-9 { (together / spread).clamp(-STEEPEST, STEEPEST) } else { 0.0 };
        (logs.len() >= 2).then_some(Self { middle: x, mean: y, slope })
    }

    fn at(&self, old: f64) -> f64 {
        old * libm::exp(self.mean + self.slope * (libm::log(old) - self.middle))
    }
}

impl fmt::Display for Anchor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let three = |q: Quantiles| format!("{} {} {}", q.low, q.typical, q.high);
        write!(f, "{};{};", three(self.ready_s), three(self.kwh))?;
        if let Some(tray_s) = self.tray_s {
            write!(f, "{}", three(tray_s))?;
        }
        for Mark { sample, kwh, dry_h } in &self.marks {
            write!(f, ";{sample} {kwh:.2}")?;
            for h in dry_h {
                if h.is_finite() { write!(f, " {h:.2}")? } else { write!(f, " {NEVER}")? }
            }
        }
        Ok(())
    }
}

impl FromStr for Anchor {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let numbers = |part: &str| {
            let number = |word: &str| if word == NEVER { Ok(f64::INFINITY) } else { word.parse::<f64>().map_err(drop) };
            part.split_whitespace().map(number).collect::<Result<Vec<f64>, ()>>()
        };
        let three = |part: &str| match numbers(part)?[..] {
            [low, typical, high] => Ok(Quantiles { low, typical, high }),
            _ => Err(()),
        };
        let parts: Vec<&str> = text.split(';').collect();
        let [ready, kwh, tray, marks @ ..] = &parts[..] else { return Err(()) };
        let mark = |part: &&str| match &numbers(part)?[..] {
            // a number that a sample can have, whatever else was sent
            [sample, kwh, dry_h @ ..] if (0.0..MOST_SAMPLES).contains(sample) => {
                Ok(Mark { sample: *sample as usize, kwh: *kwh, dry_h: dry_h.to_vec() })
            }
            _ => Err(()),
        };
        if !(FEW..=KEPT).contains(&marks.len()) {
            return Err(());
        }
        Ok(Self {
            ready_s: three(ready)?,
            kwh: three(kwh)?,
            tray_s: if tray.is_empty() { None } else { Some(three(tray)?) },
            marks: marks.iter().map(mark).collect::<Result<_, _>>()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const Q: Quantiles = Quantiles { low: 10.0, typical: 20.0, high: 40.0 };

    fn anchor() -> Anchor {
        let mark = |sample: usize| Mark { sample, kwh: 2.0, dry_h: vec![1.0 + sample as f64, 3.0] };
        Anchor { ready_s: Q, kwh: Q, tray_s: Some(Q), marks: (0..24).map(mark).collect() }
    }

    #[test]
    fn it_comes_back_from_the_page_as_it_was() {
        for anchor in [anchor(), Anchor { tray_s: None, ..anchor() }] {
            assert_eq!(anchor.to_string().parse(), Ok(anchor));
        }
        for wrong in ["", "1 2 3;1 2 3;", "1 2;1 2 3;;1 2 3 4", "x;x;x;x"] {
            assert_eq!(wrong.parse::<Anchor>(), Err(()), "{wrong}");
        }
    }

    #[test]
    fn samples_computed_anew_are_spread_over_the_range() {
        assert_eq!(anchor().samples(true), [3, 9, 15, 21]);
        assert_eq!(anchor().samples(false).len(), 24, "all of so few");
    }

    #[test]
    fn a_change_by_a_power_is_carried_to_all() {
        let pairs: Vec<(f64, f64)> = [2.0f64, 3.0, 5.0].iter().map(|old| (*old, 1.5 * old.powf(1.2))).collect();
        let line = Line::through(&pairs).unwrap();
        for old in [1.0, 4.0, 9.0] {
            assert!((line.at(old) / (1.5 * f64::powf(old, 1.2)) - 1.0).abs() < 1e-12, "{old}");
        }
        assert!(Line::through(&[(1.0, 2.0), (1.0, f64::INFINITY)]).is_none(), "one says nothing of the others");
    }
}
