//! What a line of bars changes for itself and all that follow: `key`, `meter` and `tempo` lines between
//! rows of music.

use super::{Field, Meter};
use crate::pitch::Key;

/// What holds from a line of bars on; nothing by default.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LineChanges {
    /// Another key.
    pub key: Option<Key>,
    /// Another meter.
    pub meter: Option<Meter>,
    /// Another tempo, in beats a minute.
    pub tempo: Option<u32>,
}

impl LineChanges {
    /// Nothing changes.
    pub const NONE: Self = Self {
        key: None,
        meter: None,
        tempo: None,
    };

    /// Only the meter, where it changes.
    pub const fn of_meter(meter: Option<Meter>) -> Self {
        Self {
            meter,
            ..Self::NONE
        }
    }

    /// Whether nothing changes.
    pub fn is_empty(self) -> bool {
        self == Self::NONE
    }

    /// What holds once these changes are made to what held before.
    #[must_use]
    pub fn after(self, before: Self) -> Self {
        Self {
            key: self.key.or(before.key),
            meter: self.meter.or(before.meter),
            tempo: self.tempo.or(before.tempo),
        }
    }

    /// What has to change for this to hold where the other held. What the other has and this has not
    /// can't be taken back.
    #[must_use]
    pub fn since(self, before: Self) -> Self {
        Self {
            key: self.key.filter(|_| self.key != before.key),
            meter: self.meter.filter(|_| self.meter != before.meter),
            tempo: self.tempo.filter(|_| self.tempo != before.tempo),
        }
    }

    /// The changes as lines of a chart, in the order they are printed.
    pub fn fields(self) -> impl Iterator<Item = Field> {
        let key = self.key.map(Field::Key);
        let meter = self.meter.map(Field::Meter);
        let tempo = self.tempo.map(Field::Tempo);
        [key, meter, tempo].into_iter().flatten()
    }

    /// Adds the change that a line says; `None` for one that can only stand above the music.
    pub(super) fn with(self, field: &Field) -> Option<Self> {
        match field {
            Field::Key(key) => Some(Self {
                key: Some(*key),
                ..self
            }),
            Field::Meter(meter) => Some(Self {
                meter: Some(*meter),
                ..self
            }),
            Field::Tempo(tempo) => Some(Self {
                tempo: Some(*tempo),
                ..self
            }),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::LineChanges;
    use crate::chart::read;

    #[test]
    fn what_holds_follows_from_every_change_before() {
        let first = LineChanges {
            key: "Eb".parse().ok(),
            tempo: Some(60),
            ..LineChanges::NONE
        };
        let then = LineChanges {
            key: "F".parse().ok(),
            meter: "3/4".parse().ok(),
            tempo: None,
        };
        let now = then.after(first);
        assert_eq!((now.key, now.tempo), (then.key, Some(60)));
        assert_eq!(now.since(first), then);
        assert!(now.since(now).is_empty());
    }

    #[test]
    fn lines_between_rows_are_printed_as_they_are_read() {
        let text = "key: C\ntempo: 60\n\n[C]\n     | Dm7 | G7 |\n\n[F]\nkey: F\nmeter: 3/4\ntempo: 66\n     | Gm7 | C7 |\n";
        let chart = read(text).unwrap();
        assert_eq!(chart.tidy(), text);
        let keys: Vec<String> = chart
            .held()
            .iter()
            .map(|held| held.key.unwrap().to_string())
            .collect();
        assert_eq!(keys, ["C", "C", "F", "F"]);
        let tempi: Vec<u32> = chart
            .held()
            .iter()
            .map(|held| held.tempo.unwrap())
            .collect();
        assert_eq!(tempi, [60, 60, 66, 66]);
    }
}
