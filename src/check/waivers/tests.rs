//! Where a suppression stands, what it says, and what is none.

use super::*;
use crate::chart;

/// `rule scope reason` of every good suppression, and the mistakes.
fn suppressions(source: &str) -> (Vec<String>, Vec<Mistake>) {
    let chart = chart::read(source).unwrap();
    let suppressions = read(&chart, source);
    let good = suppressions.good.iter().map(|suppression| {
        let scope = match &suppression.scope {
            Scope::Chart => "chart".to_owned(),
            Scope::Bars(bars) => format!("{}-{}", bars.start(), bars.end()),
            Scope::Chord(bar, chord) => format!("{bar}.{chord}"),
        };
        format!("{} {scope} {}", suppression.rule, suppression.reason)
    });
    let bad = suppressions.bad.into_iter().map(|(mistake, _)| mistake);
    (good.collect(), bad.collect())
}

fn scopes(source: &str) -> Vec<String> {
    let (good, bad) = suppressions(source);
    assert_eq!(bad, []);
    let scope = |text: String| text.split(' ').nth(1).unwrap().to_owned();
    good.into_iter().map(scope).collect()
}

#[test]
fn where_a_waiver_stands_says_what_it_holds_for() {
    let w = "; waive muddy: so";
    let source = format!(
        "{w}\ntitle: Slipway {w}\n{w}\nkey: C\n{w}\n[A] {w}\n{w}\n| C | F | {w}\nlh | ? | ? | {w}\n\n\
         {w}\nmeter: 3/4 {w}\n| C | G |\n{w}\nmel | r:3 | r:3 |\n[B]\n| C | F | G | C | D | E |{w}\n{w}\n"
    );
    assert_eq!(
        scopes(&source),
        [
            "chart", "chart", "chart", "1-4", "1-4", "1-2", "1-2", "1-2", "3-4", "3-4", "3-4",
            "5-10", "chart"
        ]
    );
}

#[test]
fn what_stands_before_everything_holds_for_everything() {
    assert_eq!(scopes("; waive muddy: so\n\n| C | F |\n"), ["chart"]);
    assert_eq!(scopes("\u{feff}; waive muddy: so\n[A]\n| C |\n"), ["chart"]);
    assert_eq!(scopes("| C |\r\n; waive muddy: so\r\n| F |\r\n"), ["2-2"]);
    assert_eq!(scopes("[A] | C | F | ; waive muddy: so\n"), ["1-2"]);
}

#[test]
fn a_place_of_its_own_comes_before_where_it_stands() {
    let (good, bad) =
        suppressions("| C | F G | ; waive muddy, minor-ninth in bar 2.2: the tune: asks\n");
    assert_eq!(
        good,
        ["muddy 2.2 the tune: asks", "minor-ninth 2.2 the tune: asks"]
    );
    assert_eq!(bad, []);
    assert_eq!(scopes("| C | F | ; waive muddy in bar 2: so\n"), ["2-2"]);
}

#[test]
fn what_is_wrong_with_a_waiver_is_said() {
    let mistakes = |comment: &str| suppressions(&format!("| C | {comment}\n")).1;
    assert_eq!(mistakes("; waive : so"), [Mistake::NoRule]);
    assert_eq!(mistakes("; waive muddy"), [Mistake::NoReason]);
    assert_eq!(mistakes("; waive muddy:  "), [Mistake::NoReason]);
    assert!(matches!(
        &mistakes("; waive mudy: so")[..],
        [Mistake::Unknown(_)]
    ));
    for place in ["bar 2", "bar 0", "bar", "bar x", "bar 1.0", "tune", ""] {
        let found = mistakes(&format!("; waive muddy in {place}: so"));
        assert_eq!(found, [Mistake::NoSuchBar(place.to_owned())], "{place}");
    }
}

#[test]
fn other_comments_are_none() {
    for comment in [
        "; waived muddy: so",
        "; we waive muddy: so",
        ";",
        "; wäive",
        "; waiv",
        "; waive the coda tonight",
        "; waive the coda, band: watch me",
        "; Waive the repeat in bar 3: too long",
        "; waive everything",
    ] {
        assert_eq!(
            suppressions(&format!("| C | {comment}\n")),
            (vec![], vec![]),
            "{comment}"
        );
    }
    assert_eq!(scopes("| C | ;WAIVE muddy: so\n"), ["1-1"]);
}

#[test]
fn a_misspelled_rule_is_no_sentence() {
    for comment in [
        "; waive mudy",
        "; waive mudy low on purpose",
        "; waive the mudy: so",
        "; waive xylophone: so",
        "; waive xylophone, harp in bar 1: so",
    ] {
        let (good, bad) = suppressions(&format!("| C | {comment}\n"));
        assert_eq!(good, [""; 0], "{comment}");
        let unknown = bad.iter().any(|m| matches!(m, Mistake::Unknown(_)));
        assert!(unknown, "{comment}: {bad:?}");
    }
}

#[test]
fn a_wrong_name_leaves_the_others_standing() {
    let (good, bad) = suppressions("| C | ; waive mudy, avoid-note: so\n");
    assert_eq!(good, ["avoid-note 1-1 so"]);
    assert_eq!(bad.len(), 1);
}
