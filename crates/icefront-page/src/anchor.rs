//! What a whole answer leaves with the page, so that numbers stay steady while something is dragged: a few of its own
//! samples, those nearest to the low end, the middle and the high end of its range. Computed anew for what is set now, they
//! move the numbers of the whole answer by their own ratios; when it rests, the same samples are among all of them.

use std::fmt;
use std::str::FromStr;

use icefront_core::ranges::{Cloud, Outcome, Quantiles};

use icefront_kitchen::format::kilowatt_hours;

/// Samples at each place of the range.
const AT_EACH: usize = 3;
/// More than this no page sends.
const MOST_MARKS: usize = 3 * AT_EACH;

/// Numbers of a whole answer and the samples that move them.
#[derive(Clone, Debug, PartialEq)]
pub struct Anchor {
    /// Food ready, s.
    ready_s: Quantiles,
    /// Electricity, kWh.
    kwh: Quantiles,
    /// A tray dry, s; of the tray that is open.
    tray_s: Option<Quantiles>,
    /// From the low end to the high one, each place with as many.
    marks: Vec<Mark>,
}

/// A sample and its numbers in the whole answer.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Mark {
    sample: usize,
    ready_s: f64,
    kwh: f64,
    tray_s: f64,
}

impl Mark {
    fn of(outcome: &Outcome, tray: Option<usize>) -> Self {
        let tray = tray.and_then(|tray| outcome.trays.get(tray));
        Self {
            sample: outcome.draw,
            ready_s: outcome.food_ready_s,
            kwh: kilowatt_hours(outcome.energy_j.total()),
            tray_s: tray.map_or(f64::INFINITY, |tray| tray.dry_at_s),
        }
    }

    fn numbers(&self) -> [f64; 3] {
        [self.ready_s, self.kwh, self.tray_s]
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
}

impl Anchor {
    /// The most samples that it names.
    pub const MOST_SAMPLES: usize = MOST_MARKS;

    /// Of a whole answer; `None` where its range has no end. `tray` is the one whose own range is shown.
    pub fn of(cloud: &Cloud, shown: Moved, tray: Option<usize>) -> Option<Self> {
        let Moved { ready_s, kwh, tray_s } = shown;
        if ![ready_s.low, ready_s.typical, ready_s.high].iter().all(|s| s.is_finite()) {
            return None;
        }
        let near = |place: f64| {
            let mut all: Vec<&Outcome> = cloud.outcomes.iter().filter(|o| o.food_ready_s.is_finite()).collect();
            all.sort_by(|a, b| (a.food_ready_s - place).abs().total_cmp(&(b.food_ready_s - place).abs()));
            all.truncate(AT_EACH);
            all.into_iter().map(|outcome| Mark::of(outcome, tray)).collect::<Vec<_>>()
        };
        let marks: Vec<Mark> = [ready_s.low, ready_s.typical, ready_s.high].into_iter().flat_map(near).collect();
        (marks.len() == MOST_MARKS).then_some(Self { ready_s, kwh, tray_s, marks })
    }

    /// Numbers of the samples to compute anew, the same count at each place; fewer where others wait.
    pub fn samples(&self, few: bool) -> Vec<usize> {
        let each = self.marks.len() / 3;
        let taken = if few { 1 } else { each };
        let place = |place: usize| self.marks.iter().skip(place * each).take(taken).map(|mark| mark.sample);
        (0..3).flat_map(place).collect()
    }

    /// The numbers moved to where these outcomes of [`Anchor::samples`] now are; `None` where one of them never gets dry.
    pub fn moved(&self, outcomes: &[Outcome], tray: Option<usize>) -> Option<Moved> {
        let now: Vec<Mark> = outcomes.iter().map(|outcome| Mark::of(outcome, tray)).collect();
        let then = |mark: &Mark| self.marks.iter().find(|known| known.sample == mark.sample);
        let taken = now.len() / 3;
        let ratio = |place: usize, number: usize| {
            let here = now.get(place * taken..(place + 1) * taken)?;
            let sum = |mark: &Mark| mark.numbers().get(number).copied();
            let new: f64 = here.iter().filter_map(sum).sum();
            let old: f64 = here.iter().filter_map(then).filter_map(sum).sum();
            Some(new / old).filter(|ratio| ratio.is_finite() && *ratio > 0.0)
        };
        let moved = |q: Quantiles, number: usize| {
            Some(Quantiles {
                low: q.low * ratio(0, number)?,
                typical: q.typical * ratio(1, number)?,
                high: q.high * ratio(2, number)?,
            })
        };
        Some(Moved {
            ready_s: moved(self.ready_s, 0)?,
            kwh: moved(self.kwh, 1).unwrap_or(self.kwh),
            tray_s: self.tray_s.and_then(|q| moved(q, 2)),
        })
    }

    /// The sample that stands for the middle.
    pub fn middle(&self) -> Option<usize> {
        self.marks.get(self.marks.len() / 3).map(|mark| mark.sample)
    }
}

impl fmt::Display for Anchor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let three = |q: Quantiles| format!("{} {} {}", q.low, q.typical, q.high);
        write!(f, "{};{};", three(self.ready_s), three(self.kwh))?;
        if let Some(tray_s) = self.tray_s {
            write!(f, "{}", three(tray_s))?;
        }
        for Mark { sample, ready_s, kwh, tray_s } in &self.marks {
            write!(f, ";{sample} {ready_s} {kwh} {tray_s}")?;
        }
        Ok(())
    }
}

impl FromStr for Anchor {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let numbers = |part: &str| {
            part.split_whitespace().map(|word| word.parse::<f64>().map_err(drop)).collect::<Result<Vec<f64>, ()>>()
        };
        let three = |part: &str| {
            let numbers = numbers(part)?;
            let [low, typical, high] = numbers[..] else { return Err(()) };
            Ok(Quantiles { low, typical, high })
        };
        let parts: Vec<&str> = text.split(';').collect();
        let [ready, kwh, tray, marks @ ..] = &parts[..] else { return Err(()) };
        let mark = |part: &&str| {
            let numbers = numbers(part)?;
            let [sample, ready_s, kwh, tray_s] = numbers[..] else { return Err(()) };
            // a count that a page can have, whatever else was sent
            let sample = if (0.0..1e6).contains(&sample) { sample as usize } else { return Err(()) };
            Ok(Mark { sample, ready_s, kwh, tray_s })
        };
        if marks.len() != MOST_MARKS {
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
        let mark = |sample: usize| Mark { sample, ready_s: 1.0 + sample as f64, kwh: 2.0, tray_s: 3.0 };
        Anchor { ready_s: Q, kwh: Q, tray_s: Some(Q), marks: (0..9).map(mark).collect() }
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
    fn few_samples_are_one_of_each_place() {
        assert_eq!(anchor().samples(true), [0, 3, 6]);
        assert_eq!(anchor().samples(false).len(), 9);
        assert_eq!(anchor().middle(), Some(3));
    }
}
