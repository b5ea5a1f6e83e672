//! Pictures of a report as HTML.

use maud::{Markup, PreEscaped, html};

use crate::plan::charts::Chart;

/// A chart with its caption. The drawing comes from us, with all words in it escaped.
pub fn figure(chart: Option<&Chart>) -> Markup {
    html! {
        @if let Some(chart) = chart {
            figure {
                figcaption { (chart.title) }
                section.wide tabindex="0" aria-label=(chart.title) { (PreEscaped(&chart.svg)) }
            }
        }
    }
}
