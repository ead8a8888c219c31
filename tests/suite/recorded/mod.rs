//! What the library says of some hundred small charts, on record: a change of any of it is seen.
//!
//! A file of `tests/suite/recorded` has one chart after the other. A line that begins with `--` opens one: it
//! says what is asked, and under which settings. The lines after it are the chart. Those that begin with
//! `=` are the answer. `COMPLINE_RECORDED=write cargo test --test suite recorded` writes the answers anew; read
//! the difference as a musician before you keep it. `COMPLINE_RECORDED=told cargo test --test suite recorded -- --nocapture`
//! shows the texts that are on record by a number: run it before a change and after it.
//!
//! | asked | answered, a line each |
//! |---|---|
//! | `plan` | slot, chord, notes, degrees, shape, surcharges; the sums; what is warned of |
//! | `best=N` | the best N plans, each with its cost and where it differs from the first |
//! | `prices` | for every slot how many voicings there are, the cheapest with their prices, and the sum of all |
//! | `harmony` | what `compline harmony` prints, then the scale, way on and line of each chord; what the chords can't carry |
//! | `ground` | what each voicing would be taken for, what to touch, and how far the hand moves beside two yardsticks |
//! | `formula` | no chart but formulas such as ii-V-I: their chords |
//! | `check` | the findings with their fixes, then those waived |
//! | `mend` | the left hand after mending, and what is still found |
//! | `list=N` | the first N proposals of the ranked list: strain in its parts, leads-on, price; how many there are |
//! | `changes=N` | the best choice of 1 to N proposals |
//! | `versions=N` | N versions |
//! | `rewritten` | the text of the page after mending |
//! | `judge` | no chart but a symbol and notes a line: what of the rules of a hand they break |
//! | `each` | no chart but symbols: how many voicings each has alone, how high, what they are charged; else why none |
//! | `under` | no chart but chords, or a chord and the next as `A7>Dm`: how many voicings under each of 12 melody notes from F4 on, and a number for all of them |
//! | `told` | all texts about a chart, each by its lines and a number: plan, formats, other keys, reasons, options, order, harmony, check, mend |
//! | `offered=N` | the same of proposals, what holds places, the best choices of 1 to N, two versions |
//! | `words` | no chart but what is typed: a kind of setting and its text; what is read, or what is told |
//! | `tally` | the left hand and the numerals in a line each, and sums: costs, voicings and their prices, proposals |
//! | `symbols`, `tones` | no chart but chord symbols: tones, tensions, notes to avoid; the first: and shapes |

mod ask;
mod said;

use std::fs;
use std::path::Path;

use ask::Ask;
use compline::arrange::Cache;

/// A file with its answers written anew.
fn answered(text: &str) -> String {
    let mut out = String::new();
    // One for all charts, as a songbook has it: what is kept of one must not show in another.
    let cache = &mut Cache::default();
    let kept = |line: &&str| !line.starts_with('=');
    let mut lines = text.lines().filter(kept).peekable();
    while let Some(head) = lines.next() {
        out += &format!("{head}\n");
        let Some(words) = head.strip_prefix("--") else {
            continue;
        };
        let mut chart = String::new();
        while let Some(line) = lines.next_if(|line| !line.is_empty() && !line.starts_with("--")) {
            chart += &format!("{line}\n");
        }
        out += &chart;
        for line in said::said(&Ask::read(words), &chart, cache).lines() {
            out += &format!("= {line}\n");
        }
    }
    out
}

/// Holds a file against what is said now, or writes it anew.
fn hold(name: &str) {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/suite/recorded/{name}.txt"));
    let before = fs::read_to_string(&path).unwrap();
    let now = answered(&before);
    if std::env::var("COMPLINE_RECORDED").as_deref() == Ok("write") {
        return fs::write(&path, now).unwrap();
    }
    let lines = || before.lines().zip(now.lines()).enumerate();
    let first = lines().find(|(_, (was, is))| was != is);
    let told = first.map(|(at, (was, is))| format!("line {}:\n  was {was}\n  is  {is}", at + 1));
    let same = before == now;
    assert!(
        same,
        "{name}.txt: {}",
        told.unwrap_or_else(|| "lines at the end".to_owned())
    );
}

macro_rules! held {
    ($($name:ident),+ $(,)?) => {
        $(#[test]
        fn $name() {
            hold(stringify!($name));
        })+

        #[test]
        fn every_file_is_held() {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/recorded");
            let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
            let files = files.filter(|path| path.extension().is_some_and(|ending| ending == "txt"));
            let mut names: Vec<String> = files.map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned()).collect();
            names.sort();
            let mut held = [$(stringify!($name)),+];
            held.sort_unstable();
            assert_eq!(names, held);
        }
    };
}

held!(
    cadences, choices, colours, drawn, each, faults, forms, grounds, hands, harmonies, judged,
    melodies, offered, proposals, restless, settings, slips, sung, symbols, tallies, typed, whole,
    wishes,
);

/// An answer that isn't the one on record fails, wherever it differs.
#[test]
fn another_answer_is_another_text() {
    let text = "-- plan\nkey: C\n| Dm7 | G7 |\n";
    let now = answered(text);
    assert!(now.contains("= 1 Dm7 "), "{now}");
    assert_eq!(answered(&now), now);
    assert_ne!(answered(&text.replace("G7", "G7b9")), now);
}
