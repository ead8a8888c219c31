//! A second opinion on a voicing, sharing no code with the program.
//!
//! It sees what the program's JSON shows: the tones of a symbol as text, the notes as MIDI numbers with
//! their degrees as text. Its limit tables are typed in again; its rules are written from the
//! statements of the rules, not from the program. [`faults`] lists everything wrong; an empty list is
//! a clean voicing.

use serde_json::Value;

/// The settings a voicing is held against.
#[derive(Debug, Clone)]
pub struct Rules {
    /// Lowest MIDI number.
    pub low: i32,
    /// Highest MIDI number.
    pub high: i32,
    /// Widest span in semitones.
    pub reach: i32,
    /// `handbook`, `series` or `none`.
    pub limits: String,
}

/// A voicing as somebody claims it.
#[derive(Debug, Clone)]
pub struct Claim {
    /// The root's pitch class, 0 = C.
    pub root: i32,
    /// The tones the symbol asks for: degree, and whether the symbol names it.
    pub tones: Vec<(String, bool)>,
    /// The pitch class after the slash, if there is one.
    pub bass: Option<i32>,
    /// MIDI number and degree of each note.
    pub notes: Vec<(i32, String)>,
    /// The tune's MIDI numbers.
    pub melody: Vec<i32>,
}

impl Claim {
    /// The claim a slot of the program's JSON makes; `None` where the slot is silent.
    ///
    /// The slot lists a symbol's tones without saying which are named, and not the tune: both come
    /// from the caller (`compline chord --to json` says which are named).
    pub fn of_slot(slot: &Value, named: &[&str], melody: Vec<i32>) -> Option<Self> {
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        let tones = slot["tones"].as_array().unwrap().iter().map(text);
        let notes = slot["voicing"]["notes"].as_array()?.iter();
        let midi = |note: &Value| i32::try_from(note["midi"].as_i64().unwrap()).unwrap();
        Some(Self {
            root: pitch_class(slot["root"].as_str().unwrap()),
            bass: slot["symbol"].as_str().and_then(slash_bass),
            tones: tones
                .map(|t| (t.clone(), named.contains(&t.as_str())))
                .collect(),
            notes: notes
                .map(|note| (midi(note), text(&note["degree"])))
                .collect(),
            melody,
        })
    }
}

/// The pitch class of a name such as `Bb`.
fn pitch_class(name: &str) -> i32 {
    let letter = "C D EF G A B".find(&name[..1]).unwrap() as i32;
    let accidentals = &name[1..];
    letter + accidentals.matches('#').count() as i32 - accidentals.matches('b').count() as i32
}

/// The pitch class after a symbol's last slash; the 9 of a 6/9 is none, nor is a polychord's chord.
fn slash_bass(symbol: &str) -> Option<i32> {
    let (chord, bass) = symbol.rsplit_once('/')?;
    let letter = bass.starts_with(|c: char| ('A'..='G').contains(&c));
    let alone = bass.chars().skip(1).all(|c| c == '#' || c == 'b');
    (letter && alone && !chord.ends_with('/')).then(|| pitch_class(bass).rem_euclid(12))
}

/// Lowest permitted lower note, semitones 1 to 16; 0 where there is none.
const HANDBOOK: [i32; 16] = [
    52, 51, 48, 46, 46, 47, 34, 41, 41, 41, 41, 0, 40, 39, 36, 34,
];
const SERIES: [i32; 16] = [
    68, 57, 49, 45, 40, 49, 33, 49, 40, 45, 57, 21, 55, 45, 49, 33,
];

/// Everything that is wrong with the claim.
pub fn faults(claim: &Claim, rules: &Rules) -> Vec<String> {
    let mut out = Vec::new();
    spelled_right(claim, &mut out);
    placed(claim, rules, &mut out);
    must_sound(claim, &mut out);
    must_not_sound(claim, &mut out);
    beside_the_bass(claim, &mut out);
    under_the_tune(claim, &mut out);
    out
}

/// Number and semitones above the root (one octave) of a degree such as `b13`.
pub fn degree(text: &str) -> (i32, i32) {
    let number: i32 = text.trim_start_matches(['b', '#']).parse().unwrap();
    let flats = text.matches('b').count() as i32;
    let sharps = text.matches('#').count() as i32;
    let natural = [0, 2, 4, 5, 7, 9, 11][(number as usize - 1) % 7];
    (number, (natural + sharps - flats).rem_euclid(12))
}

fn class(text: &str) -> i32 {
    degree(text).1
}

fn spelled_right(claim: &Claim, out: &mut Vec<String>) {
    for (midi, name) in &claim.notes {
        if (midi - claim.root).rem_euclid(12) != class(name) {
            out.push(format!("{midi} is not the {name}"));
        }
    }
    if !claim.notes.windows(2).all(|pair| pair[0].0 < pair[1].0) {
        out.push("the notes do not rise".to_owned());
    }
}

fn placed(claim: &Claim, rules: &Rules, out: &mut Vec<String>) {
    let midi: Vec<i32> = claim.notes.iter().map(|note| note.0).collect();
    for note in &midi {
        if *note < rules.low || *note > rules.high {
            out.push(format!("{note} outside {}..{}", rules.low, rules.high));
        }
    }
    if midi.len() > 5 {
        out.push("more keys than fingers".to_owned());
    }
    if midi.last().unwrap() - midi[0] > rules.reach {
        out.push("out of reach".to_owned());
    }
    let table = match rules.limits.as_str() {
        "handbook" => HANDBOOK,
        "series" => SERIES,
        "none" => [0; 16],
        other => panic!("no table called {other}"),
    };
    for (at, low) in midi.iter().enumerate() {
        for high in &midi[at + 1..] {
            let gap = (high - low) as usize;
            if (1..=16).contains(&gap) && *low < table[gap - 1] {
                out.push(format!(
                    "{low}-{high} is below its limit {}",
                    table[gap - 1]
                ));
            }
        }
    }
}

/// The smallest hand, in tenths of a millimetre, that takes the claim's outer notes: 4.5 mm more than
/// the distance of their keys' centres. A white key is 23.5 mm wide; a black key stands in the middle of
/// its twelfth of the octave, to a tenth of a millimetre.
pub fn hand_needed(claim: &Claim) -> i32 {
    let centre = |midi: i32| {
        let (octave, class) = (f64::from(midi / 12), midi % 12);
        let white = "C.D.EF.G.A.B".as_bytes()[class as usize] != b'.';
        let whites_below = (0..class).filter(|c| ![1, 3, 6, 8, 10].contains(c)).count();
        let within = if white {
            (whites_below as f64 + 0.5) * 235.0
        } else {
            ((f64::from(class) + 0.5) * 1645.0 / 12.0 - 117.5).round() + 117.5
        };
        octave * 1645.0 + within
    };
    let (low, high) = (claim.notes[0].0, claim.notes[claim.notes.len() - 1].0);
    (centre(high) - centre(low)) as i32 + 45
}

/// The tone of the symbol that stands as third, fifth or seventh.
fn tone<'a>(claim: &'a Claim, choices: &[&str]) -> Option<&'a str> {
    let find = |wanted: &&str| claim.tones.iter().find(|(name, _)| name == wanted);
    choices.iter().find_map(find).map(|(name, _)| name.as_str())
}

fn third(claim: &Claim) -> Option<&str> {
    tone(claim, &["4", "2", "3", "b3"])
}

fn seventh(claim: &Claim) -> Option<&str> {
    tone(claim, &["bb7", "b7", "7", "6"])
}

fn is_diminished(claim: &Claim) -> bool {
    let minor_flat = third(claim) == Some("b3") && tone(claim, &["b5"]).is_some();
    minor_flat && seventh(claim) != Some("b7")
}

fn sounding(claim: &Claim) -> Vec<i32> {
    claim.notes.iter().map(|(_, name)| class(name)).collect()
}

/// In a diminished seventh chord, the one tone that another replaces: the b5 or the seventh by the note a
/// whole step above it, any by such a note that the symbol names, and the seventh by a b13 over root and b5.
fn replaced(claim: &Claim) -> Option<i32> {
    let heard = sounding(claim);
    let missing: Vec<i32> = ["b3", "b5", "bb7"]
        .into_iter()
        .filter(|name| tone(claim, &[name]).is_some())
        .map(class)
        .filter(|c| !heard.contains(c))
        .collect();
    let full = is_diminished(claim) && seventh(claim).is_some();
    let named = |c: i32| {
        claim
            .tones
            .iter()
            .any(|(name, named)| *named && class(name) == c)
    };
    let raised = |c: i32| {
        let above = (c + 2) % 12;
        heard.contains(&above) && (c != 3 || named(above))
    };
    let b13 = |c: i32| c == 9 && [0, 6, 8].iter().all(|other| heard.contains(other));
    let mut missing = missing
        .into_iter()
        .filter(|c| full && (raised(*c) || b13(*c)));
    missing.next()
}

/// A bare triad over a bass that is not its root.
fn is_triad_over_bass(claim: &Claim) -> bool {
    let foreign = claim.bass.is_some_and(|bass| (bass - claim.root) % 12 != 0);
    let fifth = tone(claim, &["b5", "#5", "5"]).is_some();
    foreign && claim.tones.len() == 3 && third(claim).is_some() && fifth
}

/// Whether a seventh or sixth chord stands over its own third, fifth or seventh and has room for its root:
/// the symbol names at most one tone more, and no b9, and the tune does not lie a half step above the root.
fn keeps_root(claim: &Claim) -> bool {
    let own = [
        third(claim),
        tone(claim, &["b5", "#5", "5"]),
        seventh(claim),
    ];
    let bass = claim.bass.map(|bass| (bass - claim.root).rem_euclid(12));
    let over_own = own
        .into_iter()
        .flatten()
        .any(|name| bass == Some(class(name)));
    let frame = [third(claim), seventh(claim)];
    let named: Vec<&String> = claim
        .tones
        .iter()
        .filter(|(name, named)| *named && !frame.contains(&Some(name)))
        .map(|(name, _)| name)
        .collect();
    let room = named.len() < 2 && named.iter().all(|name| *name != "b9");
    let crowded = claim.melody.iter().any(|m| (m - claim.root - 1) % 12 == 0);
    over_own && room && !crowded && third(claim).is_some() && seventh(claim).is_some()
}

/// The root with one more tone of the frame over it.
fn is_shell_of_two(claim: &Claim) -> bool {
    let frame = [third(claim), seventh(claim)].into_iter().flatten();
    let frame: Vec<i32> = frame.map(class).collect();
    let shell = match &sounding(claim)[..] {
        [0, other] => frame.contains(other),
        _ => false,
    };
    shell && !is_diminished(claim) && !is_triad_over_bass(claim)
}

/// Whether the 6 sounds in place of a major seventh, for which the tune must sing the root and the
/// chord have a plain third, no flat fifth under a minor one, and nothing a half step below the 6.
fn sixth_for_seventh(claim: &Claim) -> bool {
    let sung = claim
        .melody
        .iter()
        .any(|tune| (tune - claim.root) % 12 == 0);
    let chord = seventh(claim) == Some("7")
        && ["3", "b3"].map(Some).contains(&third(claim))
        && !is_diminished(claim)
        && claim.tones.iter().all(|(name, _)| class(name) != 8);
    let heard = sounding(claim);
    sung && chord && !heard.contains(&11) && heard.contains(&9)
}

/// Whether the 4 sounds in place of a major third, for which the tune must sing the 11 and not the
/// third, and the symbol may say nothing of an 11, bend no fifth and choose no alterations.
fn fourth_for_third(claim: &Claim) -> bool {
    let sung = |class: i32| {
        claim
            .melody
            .iter()
            .any(|m| (m - claim.root).rem_euclid(12) == class)
    };
    let says = |names: &[&str]| tone(claim, names).is_some();
    let chord = third(claim) == Some("3")
        && !says(&["11", "#11", "b5", "#5"])
        && !(says(&["b9"]) && says(&["#9"]) && says(&["b13"]));
    let heard = sounding(claim);
    chord && sung(5) && !sung(4) && heard.contains(&5) && !heard.contains(&4)
}

fn must_sound(claim: &Claim, out: &mut Vec<String>) {
    let mut heard = sounding(claim);
    heard.extend(fourth_for_third(claim).then_some(4));
    heard.extend(replaced(claim));
    // In three notes the root may stand where the b5 would.
    let rooted = sounding(claim).contains(&0);
    let three = rooted && claim.notes.len() == 3 && seventh(claim).is_some();
    heard.extend((is_diminished(claim) && three).then_some(6));
    heard.extend(sixth_for_seventh(claim).then_some(11));
    let fifth = tone(claim, &["b5", "#5", "5"]);
    let wanted: Vec<Option<&str>> = match (third(claim), seventh(claim)) {
        _ if is_shell_of_two(claim) => Vec::new(),
        (third, seventh) if is_diminished(claim) => vec![third, fifth, seventh],
        (third, _) if is_triad_over_bass(claim) => vec![Some("1"), third, fifth],
        (None, None) => vec![Some("1"), fifth],
        (third, None) => vec![third, fifth.filter(|name| *name != "5")],
        (third, seventh) => vec![third, seventh, keeps_root(claim).then_some("1")],
    };
    // What the tune holds need not be heard twice, but for a root that moves on with it.
    let sung = |c: &i32| claim.melody.iter().any(|m| (m - claim.root - c) % 12 == 0);
    // Of two held notes each is there for a part of the time only.
    let alone = |c: &i32| claim.melody.iter().all(|m| (m - claim.root - c) % 12 == 0);
    for name in wanted.into_iter().flatten() {
        let sung = name != "1" && sung(&class(name)) && alone(&class(name));
        if !heard.contains(&class(name)) && !sung {
            out.push(format!("{name} must sound"));
        }
    }
    let frame: Vec<i32> = [third(claim), seventh(claim)]
        .into_iter()
        .flatten()
        .map(class)
        .chain(sixth_for_seventh(claim).then_some(9))
        .chain(fourth_for_third(claim).then_some(5))
        .collect();
    let named = |(name, named): &(String, bool)| named.then(|| class(name));
    let named: Vec<i32> = claim.tones.iter().filter_map(named).collect();
    // What the tune lies a half step above may be left out.
    let crowded = |c: &i32| {
        claim
            .melody
            .iter()
            .any(|m| (m - claim.root - c - 1) % 12 == 0)
    };
    let silent = named
        .iter()
        .any(|c| !frame.contains(c) && !heard.contains(c) && !crowded(c) && !sung(c));
    let implied = sounding(claim)
        .into_iter()
        .find(|c| !frame.contains(c) && !named.contains(c));
    if let (true, Some(implied)) = (silent, implied) {
        out.push(format!("class {implied} sounds before something named"));
    }
    let of_the_chord =
        |c: &i32| frame.contains(c) || named.contains(c) || fifth.map(class) == Some(*c);
    if is_diminished(claim) && !rooted && !sounding(claim).iter().all(of_the_chord) {
        out.push("something added stands for the root".to_owned());
    }
}

fn must_not_sound(claim: &Claim, out: &mut Vec<String>) {
    let asked: Vec<i32> = claim.tones.iter().map(|(name, _)| class(name)).collect();
    let named = |wanted: &str| {
        claim
            .tones
            .iter()
            .any(|(name, named)| *named && name == wanted)
    };
    let names: Vec<&str> = claim.notes.iter().map(|(_, name)| name.as_str()).collect();
    let is_dominant = seventh(claim) == Some("b7") && third(claim) != Some("b3");
    let basic: Vec<i32> = claim
        .tones
        .iter()
        .filter(|(name, _)| degree(name).0 <= 7)
        .map(|(name, _)| class(name))
        .collect();
    for name in &names {
        let c = class(name);
        if c == 5 && fourth_for_third(claim) {
            continue;
        }
        if c == 5 && third(claim) == Some("3") && !named("11") {
            out.push("a natural 11 over the major third".to_owned());
        }
        let half_step_above = basic.iter().any(|tone| (tone + 1) % 12 == c);
        if !is_dominant && half_step_above && !asked.contains(&c) {
            out.push(format!("{name} is a note to avoid"));
        }
    }
    for (a, b) in [("5", "b13"), ("9", "b9"), ("9", "#9")] {
        if names.contains(&a) && names.contains(&b) && !(named(a) && named(b)) {
            out.push(format!("{a} beside {b}"));
        }
    }
    minor_ninths(claim, is_dominant, out);
    on_top(claim, &names, out);
}

fn on_top(claim: &Claim, names: &[&str], out: &mut Vec<String>) {
    if let [.., low, high] = &claim.notes[..]
        && high.0 - low.0 == 1
    {
        out.push("a half step on top".to_owned());
    }
    let at = |wanted: &str| names.iter().position(|name| *name == wanted);
    let printed = names.last() == Some(&"b13");
    if at("#9") < at("3") && at("#9").is_some() && !printed {
        out.push("the #9 below the third".to_owned());
    }
}

fn minor_ninths(claim: &Claim, is_dominant: bool, out: &mut Vec<String>) {
    for (at, (low, below)) in claim.notes.iter().enumerate() {
        for (high, above) in &claim.notes[at + 1..] {
            let excused = is_dominant && class(below) == 0 && above == "b9";
            if [13, 25, 37].contains(&(high - low)) && !excused {
                out.push(format!("a minor ninth between {below} and {above}"));
            }
        }
    }
}

/// A note nobody asked for may not lie a half step from a bass that is not the root.
fn beside_the_bass(claim: &Claim, out: &mut Vec<String>) {
    let Some(bass) = claim.bass.filter(|bass| (bass - claim.root) % 12 != 0) else {
        return;
    };
    let asked = |note: i32| {
        let above_root = (note - claim.root).rem_euclid(12);
        claim
            .tones
            .iter()
            .any(|(name, _)| class(name) == above_root)
    };
    for (note, name) in &claim.notes {
        let rubs = [1, 11].contains(&(note - bass).rem_euclid(12));
        if rubs && !asked(*note) {
            out.push(format!("the added {name} rubs against the bass"));
        }
    }
}

fn under_the_tune(claim: &Claim, out: &mut Vec<String>) {
    for tune in &claim.melody {
        for (note, name) in &claim.notes {
            if note > tune {
                out.push(format!("{name} above the melody's {tune}"));
            }
            if [1, 13].contains(&(tune - note)) {
                out.push(format!("{name} rubs against the melody's {tune}"));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn claim(tones: &str, notes: &[(i32, &str)], melody: &[i32]) -> Claim {
        let tones = tones
            .split(' ')
            .map(|t| (t.trim_end_matches('!').to_owned(), t.ends_with('!')));
        Claim {
            root: 0,
            bass: None,
            tones: tones.collect(),
            notes: notes.iter().map(|(m, d)| (*m, (*d).to_owned())).collect(),
            melody: melody.to_vec(),
        }
    }

    fn count(claim: &Claim) -> usize {
        let limits = "handbook".to_owned();
        faults(
            claim,
            &Rules {
                low: 48,
                high: 69,
                reach: 14,
                limits,
            },
        )
        .len()
    }

    #[test]
    fn a_slot_of_the_json_is_a_claim() {
        let note = |midi: i32, degree: &str| serde_json::json!({"midi": midi, "degree": degree});
        let slot = |root: &str, notes: Vec<Value>| {
            let tones = ["1", "b3", "5", "b7"];
            serde_json::json!({"root": root, "tones": tones, "voicing": {"notes": notes}})
        };
        let notes = vec![note(56, "b3"), note(60, "5"), note(63, "b7"), note(67, "9")];
        let right = Claim::of_slot(&slot("F", notes.clone()), &["b3", "b7"], vec![]).unwrap();
        assert_eq!(count(&right), 0);
        let wrong = Claim::of_slot(&slot("Gb", notes), &["b3", "b7"], vec![]).unwrap();
        assert_eq!(count(&wrong), 4, "every note is misnamed");
        let silent = serde_json::json!({"root": "F", "tones": ["1"], "voicing": null});
        assert!(Claim::of_slot(&silent, &[], vec![]).is_none());
    }

    #[test]
    fn it_passes_what_is_right_and_sees_each_kind_of_fault() {
        let c7 = "1 3! 5 b7!";
        let good = [(52, "3"), (57, "13"), (58, "b7"), (62, "9")];
        assert_eq!(count(&claim(c7, &good, &[64])), 0);
        assert_eq!(count(&claim(c7, &good, &[61])), 1, "above the tune");
        assert_eq!(
            count(&claim(c7, &good, &[63])),
            1,
            "a minor second below the tune"
        );
        assert_eq!(count(&claim(c7, &good[1..], &[])), 1, "third silent");
        assert_eq!(
            count(&claim(c7, &[(52, "3"), (57, "9")], &[])),
            2,
            "misnamed, no seventh"
        );
        let nine = "1 3! 5 b7! 9!";
        assert_eq!(
            count(&claim(nine, &[(52, "3"), (55, "5"), (58, "b7")], &[])),
            1
        );
        let low = [(46, "b7"), (50, "9"), (52, "3"), (55, "5")];
        assert_eq!(
            count(&claim(nine, &low, &[])),
            3,
            "out of range, M2 on D3, TT on Bb2"
        );
        let eleven = [(52, "3"), (53, "11"), (58, "b7"), (62, "9")];
        assert_eq!(count(&claim(nine, &eleven, &[])), 1);
        let ninth = [(52, "3"), (58, "b7"), (65, "11")];
        assert_eq!(
            count(&claim("1 3! 5 b7! 11!", &ninth, &[])),
            1,
            "minor ninth"
        );
    }

    #[test]
    fn what_is_added_keeps_clear_of_the_bass() {
        let notes = [(51, "b3"), (55, "5"), (58, "b7"), (62, "9")];
        let over = |tones, bass| {
            let mut claim = claim(tones, &notes, &[]);
            claim.bass = bass;
            count(&claim)
        };
        assert_eq!(
            over("1 b3! 5", Some(11)),
            2,
            "b7 over 7, and the root is silent"
        );
        assert_eq!(
            over("1 b3! 5", Some(1)),
            2,
            "9 over b9, and the root is silent"
        );
        assert_eq!(over("1 b3! 5 b7!", Some(11)), 0, "asked for");
        assert_eq!(over("1 b3! 5", Some(10)), 1, "the root is silent");
        assert_eq!(over("1 b3! 5", None), 0);
        assert_eq!(
            ["C/B", "Am7/Gb", "C6/9", "Cm", "C//Bb", "F/Cb"].map(slash_bass),
            [Some(11), Some(6), None, None, None, Some(11)]
        );
    }

    #[test]
    fn the_fourth_is_a_third_only_under_the_eleventh() {
        let fourth = [(53, "4"), (57, "13"), (58, "b7"), (62, "9")];
        let faults = |tones, notes: &[_], tune: &[i32]| count(&claim(tones, notes, tune));
        assert_eq!(faults("1 3! 5 b7!", &fourth, &[77]), 0);
        assert_eq!(faults("1 3! 5 b7!", &fourth, &[74]), 2, "another tune note");
        let two = faults("1 3! 5 b7!", &fourth, &[77, 76]);
        assert_eq!(two, 2, "the third too, for a part of the time");
        assert_eq!(faults("1 b3! 5 b7!", &fourth, &[77]), 1, "a minor third");
    }

    #[test]
    fn the_sixth_is_a_seventh_only_under_the_root() {
        let sixth = [(52, "3"), (55, "5"), (57, "6"), (62, "9")];
        let faults = |tones, notes: &[_], tune| count(&claim(tones, notes, &[tune]));
        assert_eq!(faults("1 3! 5 7!", &sixth, 72), 0);
        assert_eq!(faults("1 3! 5 7! 9 13!", &sixth, 84), 0);
        assert_eq!(faults("1 3! 5 7!", &sixth, 74), 1, "another tune note");
        assert_eq!(faults("1 3! 5 b7!", &sixth, 72), 1, "a flat seventh");
        assert_eq!(
            faults("1 3! #5! 7!", &[(52, "3"), (56, "#5"), (57, "6")], 72),
            3,
            "no seventh, a 6 for it, a half step on top"
        );
    }
}
