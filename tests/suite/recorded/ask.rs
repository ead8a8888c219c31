//! What is asked of a chart, and under which settings: the words of a line of the files.

use compline::arrange::Settings;
use compline::chart::TopWish;
use compline::check::RuleSettings;
use compline::hand::{LimitTable, Range, Reach, key};
use compline::reharm::{ChangeWeights, SetChangeWeight, Ways};
use compline::voicing::SetSurcharge;

/// What is asked of a chart.
pub struct Ask {
    /// The questions, in their order, each with its number.
    pub questions: Vec<(String, usize)>,
    /// The settings, with those of a check.
    pub rules: RuleSettings,
    /// The techniques allowed.
    pub ways: Ways,
    /// What strain and leading on weigh in a choice.
    pub weights: ChangeWeights,
    /// The strain that is welcome in a list.
    pub welcome: Option<u32>,
}

impl Ask {
    pub fn read(words: &str) -> Self {
        let mut ask = Self {
            questions: Vec::new(),
            rules: RuleSettings::default(),
            ways: Ways::default(),
            weights: ChangeWeights::default(),
            welcome: None,
        };
        for word in words.split_whitespace() {
            let (name, value) = word.split_once('=').unwrap_or((word, ""));
            ask.take(name, value);
        }
        ask
    }

    pub fn settings(&self) -> &Settings {
        &self.rules.arrange
    }

    fn take(&mut self, name: &str, value: &str) {
        let settings = &mut self.rules.arrange;
        let hand = &mut settings.voicing.hand;
        match name {
            "told" | "offered" | "under" | "tally" | "tones" | "words" | "judge" | "each"
            | "rewritten" | "ground" | "formula" | "plan" | "best" | "prices" | "harmony"
            | "check" | "mend" | "list" | "changes" | "versions" | "symbols" => {
                self.questions
                    .push((name.to_owned(), value.parse().unwrap_or(0)));
            }
            "low" => hand.range = Range::new(key(value).unwrap(), hand.range.high()).unwrap(),
            "high" => hand.range = Range::new(hand.range.low(), key(value).unwrap()).unwrap(),
            "reach" => hand.reach = value.parse().unwrap(),
            "hand" => hand.reach = Reach::of_hand(value).unwrap(),
            "limits" => hand.limits = LimitTable::named(value).unwrap(),
            "bass" => hand.bass = Some(value.parse().unwrap()),
            "palette" => settings.voicing.palette = value.parse().unwrap(),
            "colour" => settings.voicing.colour = value.parse().unwrap(),
            "loop" => settings.looped = true,
            "deaf" => settings.ignore_melody = true,
            "as-played" => settings.as_played = true,
            "leap" => settings.leap = Some(value.parse().unwrap()),
            "top" => settings.top = Some(top(value)),
            "welcome" => self.welcome = Some(value.parse().unwrap()),
            "ways" => self.ways = value.parse().unwrap(),
            "strain" | "leads-on" | "of-a-kind" => {
                let set: SetChangeWeight = format!("{name}={value}").parse().unwrap();
                self.weights = set.in_table(self.weights);
            }
            "restless" => self.rules.restless = value.parse().unwrap(),
            "detour" => self.rules.detour = value.parse().unwrap(),
            "mend-from" => self.rules.mend_from = Some(value.parse().unwrap()),
            "register" | "floor" | "plain" | "melody" => {
                let set = SetSurcharge::new(name, value).unwrap();
                settings.voicing.surcharges = set.in_table(settings.voicing.surcharges);
            }
            rule => self.rules.set(rule, value.parse().ok()).unwrap(),
        }
    }
}

fn top(value: &str) -> TopWish {
    match value {
        "held" => TopWish::Held,
        "step" => TopWish::Step,
        other => panic!("no wish for the top: {other}"),
    }
}
