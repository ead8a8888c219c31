use super::*;
use crate::chart;
use crate::hand::HandRule;
use crate::harmony::Resolution;
use crate::pitch::Degree;
use crate::voicing::Colour;

fn degree(text: &str) -> Degree {
    text.parse().unwrap()
}

fn under(settings: &Settings, source: &str) -> Vec<Why> {
    let chart = chart::read(source).unwrap_or_else(|problems| panic!("{source}\n{problems:#?}"));
    why(chart, settings, &mut Cache::default())
        .unwrap_or_else(|trouble| panic!("{source}\n{trouble:#?}"))
}

fn reasons(source: &str) -> Vec<Why> {
    under(&Settings::default(), source)
}

fn omissions(why: &Why) -> Vec<(String, Omission)> {
    let out = why.left_out.iter();
    out.map(|out| (out.degree.to_string(), out.reason))
        .collect()
}

fn additions(why: &Why) -> Vec<(String, Addition)> {
    let added = why.added.iter();
    added
        .map(|each| (each.degree.to_string(), each.reason))
        .collect()
}

fn said<R: Copy>(pairs: &[(&str, R)]) -> Vec<(String, R)> {
    pairs
        .iter()
        .map(|(text, r)| ((*text).to_owned(), *r))
        .collect()
}

#[test]
fn the_root_is_the_basss_unless_the_symbol_gives_it_another() {
    let all = reasons("| Fm7 | Fm7/Bb | Fm7/C |");
    assert_eq!(omissions(&all[0]), said(&[("1", Omission::Bass)]));
    // Over its own 5 nobody else plays the root: the hand has it.
    assert_eq!(omissions(&all[2]), []);
    let bass = Omission::OtherBass("Bb".parse().unwrap());
    assert_eq!(omissions(&all[1]), said(&[("1", bass)]));
}

#[test]
fn a_fifth_gives_way_to_what_takes_its_place() {
    let all = reasons("| C13 | C7(b13) |");
    let gone = said(&[
        ("1", Omission::Bass),
        ("5", Omission::Replaced(degree("13"))),
    ]);
    assert_eq!(omissions(&all[0])[..2], gone);
    let barred = said(&[
        ("1", Omission::Bass),
        ("5", Omission::Cancels(degree("b13"))),
    ]);
    assert_eq!(omissions(&all[1]), barred);
}

#[test]
fn two_guide_tones_leave_the_plain_fifth_first() {
    let mut settings = Settings::default();
    settings.voicing.palette = "guide-tones".parse().unwrap();
    let all = under(&settings, "| C7 | C9 |");
    let plain = said(&[("1", Omission::Bass), ("5", Omission::Plain)]);
    assert_eq!(omissions(&all[0]), plain);
    assert_eq!(omissions(&all[1])[2], ("9".to_owned(), Omission::NoRoom));
}

#[test]
fn the_sixth_under_a_melody_on_the_root_is_the_reason_for_the_seventh() {
    let all = reasons("    | Cmaj7 | Bbmaj7 |\nmel | C5:4  | Bb4:4  |");
    for why in &all {
        assert_eq!(omissions(why)[1], ("7".to_owned(), Omission::UnderMelody));
    }
    let mut settings = Settings::default();
    settings.voicing.palette = "guide-tones".parse().unwrap();
    let all = under(&settings, "    | Cmaj9 |\nmel | C5:4  |");
    let (seventh, ninth) = ("7".to_owned(), "9".to_owned());
    assert!(omissions(&all[0]).contains(&(seventh, Omission::UnderMelody)));
    assert!(omissions(&all[0]).contains(&(ninth, Omission::NoRoom)));
}

#[test]
fn a_tone_lost_by_thinning_out_is_laid_to_the_rule() {
    let mut settings = Settings::default();
    settings.voicing.palette = "rootless,guide-tones".parse().unwrap();
    settings.voicing.hand.range = "E3-B3".parse().unwrap();
    let all = under(&settings, "| C9 |");
    let ninth = ("9".to_owned(), Omission::Thinned(HandRule::Range));
    assert!(omissions(&all[0]).contains(&ninth), "{:?}", all[0].left_out);
}

#[test]
fn over_a_foreign_bass_a_triad_takes_nothing() {
    let all = reasons("| Am/G# | C/Bb | Am/F |");
    assert!(all.iter().all(|why| why.added.is_empty()));
    // It is not thinned out: it has none of the shapes before its own, and that is said.
    let wanted = all[0].thinned.as_ref().unwrap();
    assert_eq!(wanted.last, None);
}

#[test]
fn alt_leaves_a_choice() {
    let all = reasons("| G7alt |");
    let choice = all[0]
        .left_out
        .iter()
        .filter(|out| out.reason == Omission::Choice);
    assert_eq!(choice.count(), 2);
    assert_eq!(all[0].added, []);
}

#[test]
fn a_dominant_is_coloured_by_where_it_goes() {
    for (source, way, degrees) in [
        (
            "| Dm7 | G7 | Cmaj7 |",
            Resolution::FifthIntoMajor,
            ["9", "13"],
        ),
        (
            "| Dm7b5 | G7 | Cm7 |",
            Resolution::FifthIntoMinor,
            ["b9", "b13"],
        ),
        (
            "| Dm7 | Db7 | Cmaj7 |",
            Resolution::HalfStepDown,
            ["9", "13"],
        ),
    ] {
        let all = reasons(source);
        assert!(!all[1].added.is_empty(), "{source}");
        for added in &all[1].added {
            assert_eq!(added.reason, Addition::Goes(way), "{source}");
            let text = added.degree.to_string();
            assert!(
                degrees.contains(&text.as_str()) || text == "#11",
                "{source} {text}"
            );
        }
    }
}

#[test]
fn altered_dominants_are_altered_because_that_was_asked() {
    let mut settings = Settings::default();
    settings.voicing.colour = Colour::Altered;
    let all = under(&settings, "| Dm7 | G7 | Cmaj7 |");
    assert_eq!(all[1].added.len(), 2);
    assert!(
        all[1]
            .added
            .iter()
            .all(|added| added.reason == Addition::Altered)
    );
    let root = Addition::Above(degree("1"));
    assert_eq!(additions(&all[0]), said(&[("9", root)]));
}

#[test]
fn bare_triads_are_read_as_players_read_them() {
    let major = reasons("key: C\n| C |");
    let triad = said(&[("6", Addition::Triad), ("9", Addition::Triad)]);
    assert_eq!(additions(&major[0]), triad);
    let all = reasons("key: C\n| Dm |");
    let minor = said(&[("b7", Addition::Triad), ("9", Addition::Triad)]);
    assert_eq!(additions(&all[0]), minor);
    let rest = reasons("key: Cm\n| Cm |");
    let at_rest = said(&[("6", Addition::TriadAtRest), ("9", Addition::TriadAtRest)]);
    assert_eq!(additions(&rest[0]), at_rest);
    // The 9 of the key's iii is foreign to the key, and so is the 6 of an E before its Am.
    let third = reasons("key: C\n| C | Em | E | Am |");
    let seventh = [("b7", Addition::Triad)];
    let eleventh = ("11", Addition::Above(Degree::MINOR_THIRD));
    let has_no_ninth = additions(&third[1]);
    assert!(
        has_no_ninth == said(&seventh) || has_no_ninth == said(&[seventh[0], eleventh]),
        "{has_no_ninth:?}"
    );
    let dominant = said(&[("b7", Addition::TriadAsDominant)]);
    assert_eq!(additions(&third[2]), dominant);
}

#[test]
fn a_named_tone_that_a_plainer_one_stands_for_is_left_out_for_it() {
    let all = reasons("key: C\n| Dm9 | G7 | C |\nmel | F5:4 | D5:4 | E5:4 |");
    let ninth = all[0]
        .left_out
        .iter()
        .find(|out| out.degree == Degree::NINTH);
    assert_eq!(
        ninth.map(|out| out.reason),
        Some(Omission::Replaced(Degree::ROOT))
    );
    assert_eq!(all[0].plainer[0].tension, Degree::NINTH);
}

#[test]
fn a_tension_that_only_the_melody_brings_says_so() {
    let all = reasons("| G7 | Cmaj7 |\nmel | Bb4:4 | r:4 |");
    assert!(
        all[0]
            .added
            .iter()
            .any(|added| added.reason == Addition::Melody),
        "{:#?}",
        all[0].added
    );
}

#[test]
fn given_notes_are_held_and_not_argued_with() {
    let all = reasons("| Dm7 | Ebmaj7 |\nlh | ? | G3.Bb3.D4.F4 |");
    let given = &all[1];
    assert!(given.given && given.next_best.is_none() && given.closer.is_none());
    assert_eq!(given.nearer, Nearer::NotSought);
    assert_eq!(omissions(given), said(&[("1", Omission::Given)]));
    assert_eq!(additions(given), said(&[("9", Addition::Given)]));
}

#[test]
fn silence_has_no_reasons_and_is_passed_over() {
    let all = reasons("| Dm7 | N.C. | G7 |");
    assert_eq!((all[1].voicing.as_ref(), all[1].arrivals.len()), (None, 0));
    assert_eq!(all[2].arrivals[0].from, Some(0));
    assert_eq!(all[0].leads_to, [2]);
}

#[test]
fn each_way_in_counts_its_times() {
    let all = reasons("|: Dm7 | G7 :| Cmaj7 |");
    let ways: Vec<_> = all[0]
        .arrivals
        .iter()
        .map(|way| (way.from, way.times.clone()))
        .collect();
    assert_eq!(ways, [(None, vec![1]), (Some(1), vec![2])]);
    assert_eq!(all[1].arrivals[0].times, [1, 2]);
    assert_eq!(all[1].leads_to, [0, 2]);
}

#[test]
fn a_loop_begins_where_it_ends() {
    let settings = Settings {
        looped: true,
        ..Settings::default()
    };
    let all = under(&settings, "| Dm7 | G7 |");
    let ways: Vec<_> = all[0].arrivals.iter().map(|way| way.from).collect();
    assert_eq!(ways, [Some(1)]);
}

#[test]
fn a_thinned_slot_says_which_rule_threw_the_wanted_shape_out() {
    let all = reasons("| Dm7 | Dm7 |\nmel | G3:4 | r:4 |");
    let wanted = all[0].thinned.as_ref().unwrap();
    assert_eq!(*wanted.shapes, ["rootless", "three-note"]);
    assert_eq!(wanted.last.unwrap().1.rule(), HandRule::Melody);
    assert_eq!(all[1].thinned, None);
}

#[test]
fn a_range_too_low_for_the_nearest_is_named() {
    // From F3 A3 C4 E4 the nearest G7 moves one note; its F3 is then out of range.
    let mut settings = Settings::default();
    settings.voicing.hand.range = "F#3-A4".parse().unwrap();
    let all = under(&settings, "| Dm7 | G7 |\nlh | F3.A3.C4.E4 | ? |");
    let Nearer::Barred(barred) = &all[1].nearer else {
        panic!("{:#?}", all[1].nearer);
    };
    assert_eq!(barred.voicing.to_string(), "F3 A3 B3 E4");
    assert_eq!(barred.violations.len(), 1);
    assert_eq!(barred.violations[0].rule(), HandRule::Range);
    assert_eq!(barred.less, u64::from(all[1].arrivals[0].motion()) - 1);
}

#[test]
fn a_lone_chord_has_nothing_to_be_near_to() {
    let all = reasons("| Cmaj7 |");
    assert_eq!(
        (&all[0].nearer, &all[0].closer),
        (&Nearer::NotSought, &None)
    );
    assert!(all[0].next_best.is_some());
}

#[test]
fn what_decides_is_the_first_thing_that_differs() {
    let cost = |effort, largest, off_centre| Cost {
        effort,
        largest,
        off_centre,
    };
    let best = cost(10, 5, 3);
    assert_eq!(decided(best, cost(12, 1, 1)), Decided::Effort(2));
    assert_eq!(decided(best, cost(10, 6, 1)), Decided::LargestSteps(1));
    assert_eq!(decided(best, cost(10, 5, 7)), Decided::OffCentre(4));
    assert_eq!(decided(best, best), Decided::Order);
}
