//! The settings: each is one row, which says what it is called, what it is, what its values look like
//! and where they go. The options, their help, the keys of a settings file and what is said of a wrong
//! value all follow from the row.

use compline::chart::TopWish;
use compline::check::{Allowance, Severity};
use compline::hand::{LimitTable, Reach, key};
use compline::pitch::{Note, Pitch, Spelling};
use compline::voicing::{Colour, Palette, SHAPES};

use super::in_force::SettingsDraft;
use super::layer::GivenValue;
use super::limits;
use super::setting::{Kind, Setting, ValueOrigin, parsed};

const HAND: Option<&str> = Some("The hand");
const SOUND: Option<&str> = Some("The sound");
const WISHES: Option<&str> = Some("Wishes");

/// What the commands that voice have as options.
pub static PLAYING: &[Setting] = &[
    Setting {
        name: "low",
        in_place_of: None,
        heading: HAND,
        help: "Lowest key the left hand may take",
        more: || WIDER.to_owned(),
        usual: Some("C3"),
        kind: Kind::TextOrNumber("NOTE", A_NOTE),
        read: |text, _| note(text, |draft, low| draft.low = low),
    },
    Setting {
        name: "high",
        in_place_of: None,
        heading: HAND,
        help: "Highest key the left hand may take",
        more: || WIDER.to_owned(),
        usual: Some("A4"),
        kind: Kind::TextOrNumber("NOTE", A_NOTE),
        read: |text, _| note(text, |draft, high| draft.high = high),
    },
    Setting {
        name: "reach",
        in_place_of: None,
        heading: HAND,
        help: "Widest span of the hand, in semitones",
        more: || format!("A ninth is the usual limit for one hand. {CARE}"),
        usual: Some("14"),
        kind: Kind::TextOrNumber("SEMITONES", "semitones, from 7 to 24"),
        read: |text, _| parsed(text, put_reach),
    },
    Setting {
        name: "hand",
        in_place_of: Some("reach"),
        heading: HAND,
        help: "The left hand as measured, such as 200mm, 20cm or 7.9in, in place of --reach",
        more: || {
            format!(
                "Measure from the tip of the thumb to the tip of the little finger of the left hand, opened \
                 only as far as is comfortable. Whether two keys are within reach then follows from where they \
                 lie on a full-size piano; chords that are not are thinned out, and a warning lists them. {CARE}"
            )
        },
        usual: None,
        kind: Kind::Text("SPAN", "a length such as \"200mm\""),
        read: |text, _| {
            let reach = Reach::of_hand(text).map_err(|why| why.to_string())?;
            Ok(GivenValue::new(reach, reach, put_reach))
        },
    },
    Setting {
        name: "limits",
        in_place_of: None,
        heading: HAND,
        help: "Table of low-interval limits: `handbook`, `series`, `scores`, `none`, or a file",
        more: || {
            "For each interval, the lowest note it may stand on before it turns muddy. `compline limits` prints \
             the tables."
                .to_owned()
        },
        usual: Some("handbook"),
        kind: Kind::Text(
            "TABLE",
            "handbook, series, scores, none or a file beside this one",
        ),
        read: table_of_limits,
    },
    Setting {
        name: "count-bass",
        in_place_of: None,
        heading: HAND,
        help: "Count in the bass note (the slash bass, else the root) in this octave for the limits",
        more: || {
            "A bass player sounds the root below a rootless voicing. With 2, it is taken to sound between C2 and \
             B2."
            .to_owned()
        },
        usual: None,
        kind: Kind::Whole("OCTAVE", -1..=9),
        read: |text, _| {
            parsed(text, |draft, octave| {
                draft.settings.arrange.voicing.hand.bass = Some(octave);
            })
        },
    },
    Setting {
        name: "palette",
        in_place_of: None,
        heading: SOUND,
        help: "Shapes to use, in order of preference; a chord takes the first that fits",
        more: || {
            let each = SHAPES.map(|shape| format!("\n  {}: {}", shape.name, shape.about));
            format!(
                "A chord that has no legal voicing in the first shape is thinned out to the next, and the result \
                 says so. The first shape may give up a tone: where the root stands for its ninth the voicing is \
                 called a block, where the melody has a tone of it, after the shape that is left.\n{}",
                each.concat()
            )
        },
        usual: Some("rootless,three-note,guide-tones,block"),
        kind: Kind::List("SHAPES", "shapes such as [\"rootless\", \"shell\"]"),
        read: |text, _| {
            parsed(text, |draft, palette: Palette| {
                draft.settings.arrange.voicing.palette = palette;
            })
        },
    },
    Setting {
        name: "colour",
        in_place_of: None,
        heading: SOUND,
        help: "How much to add to what the symbols say",
        more: || TRIADS.to_owned(),
        usual: Some("natural"),
        kind: Kind::Word(
            "COLOUR",
            &[
                ("written", "Only what the symbol says"),
                ("natural", "The tensions that fit where the chord goes"),
                (
                    "altered",
                    "As natural, but dominants that resolve are altered",
                ),
            ],
        ),
        read: |text, _| {
            parsed(text, |draft, colour: Colour| {
                draft.settings.arrange.voicing.colour = colour;
            })
        },
    },
    Setting {
        name: "spelling",
        in_place_of: None,
        heading: SOUND,
        help: "How to name notes [default: as the chart says, else practical]",
        more: || {
            "Practical: by theory, but a double sharp or flat, and an E#, B#, Cb or Fb that the key doesn't have, \
             gives way to its everyday name: the #9 of B7 is D. Strict: by theory, C##."
                .to_owned()
        },
        usual: None,
        kind: Kind::Word("HOW", SPELLINGS),
        read: |text, _| {
            parsed(text, |draft, spelling: Spelling| {
                draft.settings.arrange.voicing.spelling = Some(spelling);
            })
        },
    },
    Setting {
        name: "ignore-melody",
        in_place_of: None,
        heading: SOUND,
        help: "Leave the melody out of account, where a chart has one",
        more: String::new,
        usual: None,
        kind: Kind::Truth,
        read: |text, _| {
            parsed(text, |draft, ignored| {
                draft.settings.arrange.ignore_melody = ignored;
            })
        },
    },
    Setting {
        name: "loop",
        in_place_of: None,
        heading: SOUND,
        help: "Plan for playing round and round: the step from the last chord back to the first counts",
        more: String::new,
        usual: None,
        kind: Kind::Truth,
        read: |text, _| parsed(text, |draft, looped| draft.settings.arrange.looped = looped),
    },
    Setting {
        name: "leap",
        in_place_of: None,
        heading: WISHES,
        help: "Let no note move further than this from voicing to voicing, unless a wish says otherwise",
        more: String::new,
        usual: None,
        kind: Kind::Whole("SEMITONES", 0..=127),
        read: |text, _| parsed(text, |draft, leap| draft.settings.arrange.leap = Some(leap)),
    },
    Setting {
        name: "top",
        in_place_of: None,
        heading: WISHES,
        help: "What the top note does from voicing to voicing, unless a wish says otherwise",
        more: String::new,
        usual: None,
        kind: Kind::Word(
            "HOW",
            &[
                ("held", "It stays where it is"),
                ("step", "It moves by a whole step at most"),
                ("free", "It goes where it likes"),
            ],
        ),
        read: |text, _| {
            let mut all = TopWish::ALL.into_iter();
            let top = all.find(|top| top.to_string() == text);
            let top =
                top.ok_or_else(|| format!("`{text}` is not something the top note can do"))?;
            let put = |draft: &mut SettingsDraft, top| draft.settings.arrange.top = Some(top);
            Ok(GivenValue::new(top, top, put))
        },
    },
];

/// What only `check` has as options.
pub static CHECKING: &[Setting] = &[
    Setting {
        name: "fail-on",
        in_place_of: None,
        heading: None,
        help: "The least severity that fails",
        more: String::new,
        usual: Some("warning"),
        kind: Kind::Word(
            "SEVERITY",
            &[
                ("note", "Worth knowing"),
                ("warning", "It sounds or moves worse than it need"),
                ("error", "It can't be played, or isn't the chord"),
            ],
        ),
        read: |text, _| {
            parsed(text, |draft, least: Severity| {
                draft.settings.fail_on = least
            })
        },
    },
    Setting {
        name: "known",
        in_place_of: None,
        heading: None,
        help: "Only findings that are not in this file fail",
        more: String::new,
        usual: None,
        kind: Kind::File("FILE", "a file made with `check --record`, beside this one"),
        read: |text, origin| {
            let path = origin.file(text)?;
            let put = |draft: &mut SettingsDraft, path| draft.settings.known = Some(path);
            Ok(GivenValue::new(path.display(), path.clone(), put))
        },
    },
    Setting {
        name: "detour",
        in_place_of: None,
        heading: None,
        help: "What one voicing may cost the tune for `restless-hand`: semitones of motion beyond its best \
               alternative",
        more: || {
            "Each voicing that is given is held against the best alternative in its place, everything else held. \
             One that makes the hand move further than it need by more than this, each time it is played, is a \
             detour: a note up to an octave, a warning beyond. `; waive restless-hand: why` beside it says that \
             it is meant."
                .to_owned()
        },
        usual: Some("5"),
        kind: Kind::Whole("SEMITONES", 0..=u32::MAX as i64),
        read: |text, _| parsed(text, |draft, most| draft.settings.check.detour = most),
    },
    Setting {
        name: "restless",
        in_place_of: None,
        heading: None,
        help: "How much more effort than the best plan a whole hand may make for `restless-hand`",
        more: || {
            "3/2+12: half as much again, and more than twelve semitones beyond it. Both must be passed.".to_owned()
        },
        usual: Some("3/2+12"),
        kind: Kind::Text("RATIO+SEMITONES", "an allowance such as \"3/2+12\""),
        read: |text, _| {
            parsed(text, |draft, allowance: Allowance| {
                draft.settings.check.restless = allowance;
            })
        },
    },
];

/// Every setting, in the order they are listed to people.
pub fn all() -> impl Iterator<Item = &'static Setting> {
    PLAYING.iter().chain(CHECKING)
}

/// How notes are named, with what it means.
const SPELLINGS: &[(&str, &str)] = &[
    ("practical", "By theory, but everyday names for white keys"),
    ("strict", "By theory"),
];

const CARE: &str = "Wide stretches can hurt: stop if it hurts, and ask a teacher or a clinician. No number here is \
                    a safe limit.";

const WIDER: &str = "A wider range never costs effort, except where a chord gets a fuller shape in it, or one where it was silent.";

const TRIADS: &str = "A bare major triad is given its 6 and 9, a minor one its 7, or at rest its 6, and its 9. In a tune \
    written in triads it stays a triad: one where two triads or more have another bass, a sus or an added tone, and triads \
    are at least twice as many as chords with a sixth or a seventh. So it does beside a pedal, a suspension or a bass line. \
    The style heading changes nothing; `written` leaves every triad one.";

const A_NOTE: &str = "a note such as \"C3\", \"Bb2\" or 48";

fn note(text: &str, put: fn(&mut SettingsDraft, Pitch)) -> Result<GivenValue, String> {
    let pitch = key(text).ok_or_else(|| format!("`{text}` is not a note such as C3, Bb2 or 48"))?;
    Ok(GivenValue::new(Note::usual(pitch), pitch, put))
}

fn put_reach(draft: &mut SettingsDraft, reach: Reach) {
    draft.settings.arrange.voicing.hand.reach = reach;
}

fn table_of_limits(text: &str, origin: ValueOrigin<'_>) -> Result<GivenValue, String> {
    let table = match LimitTable::named(text) {
        Some(table) => table,
        None => limits::table(text, &origin.file(text)?, origin.quoting())
            .map_err(|why| format!("{why:#}"))?,
    };
    let put = |draft: &mut SettingsDraft, table| draft.settings.arrange.voicing.hand.limits = table;
    Ok(GivenValue::new(format!("{table:?}"), table, put))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::settings::SettingsLayer;

    #[test]
    fn the_songbook_to_be_copied_shows_every_key() {
        let shown = include_str!("../../../examples/songbook/compline.toml");
        for Setting { name, .. } in all() {
            let line = format!("\n{name} = ");
            let off = format!("\n# {name} = ");
            assert!(shown.contains(&line) || shown.contains(&off), "{name}");
        }
    }

    #[test]
    fn what_the_help_calls_the_default_is_the_default() {
        let usual = format!("{:?}", SettingsDraft::default().finish());
        for setting in all() {
            let Some(value) = setting.usual else { continue };
            let mut layer = SettingsLayer::default();
            setting.set(&mut layer, value, ValueOrigin::Typed).unwrap();
            let set = format!("{:?}", layer.in_force());
            assert_eq!(set, usual, "{}", setting.name);
        }
    }

    #[test]
    fn every_word_of_a_setting_is_understood() {
        for setting in all() {
            let Kind::Word(_, words) = &setting.kind else {
                continue;
            };
            for (word, _) in *words {
                let mut layer = SettingsLayer::default();
                setting.set(&mut layer, word, ValueOrigin::Typed).unwrap();
            }
        }
    }
    #[test]
    fn every_table_of_limits_is_named_where_one_is_chosen() {
        let limits = all().find(|setting| setting.name == "limits").unwrap();
        let Kind::Text(_, wanted) = &limits.kind else {
            panic!("a table's name is a text");
        };
        for (name, table) in LimitTable::OWN {
            assert_eq!(table().name(), name);
            assert!(
                limits.help.contains(name) && wanted.contains(name),
                "{name}"
            );
        }
    }
}
