//! `--key`: which key to transpose to, and the chart in it.

use anyhow::{Context, Result, anyhow, bail};
use compline::chart::Chart;
use compline::pitch::{Interval, Key, Mode};

/// The key to transpose to.
///
/// # Errors
///
/// A text that is no key.
pub fn target_key(text: Option<&str>) -> Result<Option<Key>> {
    text.map(|text| text.parse().context("--key")).transpose()
}

/// The chart in another key, moved the nearer way.
///
/// # Errors
///
/// A chart that doesn't say its key, or is in the other mode.
pub fn in_key(chart: Chart, target: Option<Key>) -> Result<Chart> {
    let Some(target) = target else {
        return Ok(chart);
    };
    let Some(key) = chart.key() else {
        bail!(
            "the chart doesn't say which key it is in, so it can't be moved to {target}: add a line such as `key: Eb`"
        );
    };
    if key.mode() != target.mode() {
        bail!(
            "the chart is in {key} and {target} is of the other mode: to play it on that tonic, write --key {}",
            other_mode(target)
        );
    }
    let interval = Interval::between(key.tonic(), target.tonic()).nearer();
    chart.transposed(interval).ok_or_else(|| {
        anyhow!("moved from {key} to {target}, the tune or a chord leaves what can be written")
    })
}

fn other_mode(key: Key) -> String {
    match key.mode() {
        Mode::Major => format!("{}m", key.tonic()),
        Mode::Minor => key.tonic().to_string(),
    }
}
