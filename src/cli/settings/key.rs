//! `--key`: which key to transpose to, and the chart in it.

use std::collections::BTreeSet;

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

/// The keys that a tune is wanted in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TargetKeys {
    /// The key it is written in.
    AsWritten,
    /// All twelve, round the circle of fourths.
    All,
    /// These.
    These(Vec<Key>),
}

const MAJOR: &str = "C F Bb Eb Ab Db Gb B E A D G";
const MINOR: &str = "Am Dm Gm Cm Fm Bbm Ebm G#m C#m F#m Bm Em";

impl TargetKeys {
    /// Whether there is more than one.
    pub fn several(&self) -> bool {
        match self {
            Self::AsWritten => false,
            Self::All => true,
            Self::These(keys) => keys.len() > 1,
        }
    }

    /// The same, a key that was named twice being one: its file would be the same.
    #[must_use]
    pub fn each_once(self) -> Self {
        let Self::These(mut keys) = self else {
            return self;
        };
        let mut known = BTreeSet::new();
        keys.retain(|key| known.insert(key.to_string()));
        Self::These(keys)
    }

    /// What the files of a chart may have in their names, where there are several keys.
    pub fn parts(&self) -> Vec<String> {
        match self {
            Self::These(keys) if self.several() => keys.iter().map(Key::to_string).collect(),
            Self::AsWritten | Self::These(_) => Vec::new(),
            Self::All => [MAJOR, MINOR]
                .iter()
                .flat_map(|names| names.split(' ').map(str::to_owned))
                .collect(),
        }
    }

    /// The keys of a chart; `None` is the one it is written in.
    pub fn of(&self, chart: &Chart) -> Vec<Option<Key>> {
        match self {
            Self::AsWritten => vec![None],
            Self::These(keys) => keys.iter().copied().map(Some).collect(),
            Self::All => {
                let minor = chart.key().is_some_and(|key| key.mode() == Mode::Minor);
                let names = if minor { MINOR } else { MAJOR };
                names
                    .split(' ')
                    .filter_map(|name| name.parse().ok())
                    .map(Some)
                    .collect()
            }
        }
    }
}

/// The value of `--key` where several are understood: `all`, or keys with commas between them.
///
/// # Errors
///
/// Something that is no key.
pub fn target_keys(text: Option<&str>) -> Result<TargetKeys> {
    match text {
        None => Ok(TargetKeys::AsWritten),
        Some("all") => Ok(TargetKeys::All),
        Some(list) => {
            let keys = list
                .split(',')
                .map(|one| one.trim().parse().context("--key"));
            Ok(TargetKeys::These(keys.collect::<Result<_>>()?))
        }
    }
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

/// The key of the other mode on the same tonic, as it is typed.
pub fn other_mode(key: Key) -> String {
    match key.mode() {
        Mode::Major => format!("{}m", key.tonic()),
        Mode::Minor => key.tonic().to_string(),
    }
}
