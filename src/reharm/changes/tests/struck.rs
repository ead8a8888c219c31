//! Pages on which values are struck before the best choice is proved.

use super::super::*;
use super::{NEW, replacement, settings};
use crate::chart::read;
use crate::reharm::changes::choice_part::ChoicePart;
use crate::reharm::changes::relaxed::RelaxedSearch;
use crate::reharm::{AskedPlaces, ChangeWeights, Listed, Ways, reharm, worth_a_change};

#[test]
fn what_is_looked_at_first_leaves_nothing_better_on_a_whole_tune() {
    for text in [
        include_str!("../../../../charts/the-last-ferry-home.chart"),
        include_str!("../../../../charts/rope-and-salt-blues.chart"),
    ] {
        let (chart, settings) = (read(text).unwrap(), Settings::default());
        let asked = AskedPlaces::default();
        let listed = reharm(&chart, &settings, &Ways::default(), &asked).unwrap();
        let listed = worth_a_change(listed.listed);
        let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
        let terms = ChangeWeights::default().terms(&listed);
        assert!(all.len() > 25, "{}", all.len());
        let (cache, counts) = (&mut Cache::default(), [1, 2, 3, 4]);
        let both = on_the_page(&chart, &all, &settings, cache, |search, _| {
            Ok([
                best_choices(&search.space, &terms, &counts, (12, share(1)))?,
                unstruck(&search.space, &terms, &counts, share(1))?,
            ])
        });
        let [some, every] = both.unwrap();
        assert!(every.iter().all(Option::is_some));
        for (some, every) in some.iter().flatten().zip(every.iter().flatten()) {
            assert_eq!(some.taken, every.taken);
            assert_eq!((some.score, some.proved), (every.score, every.proved));
        }
    }
}

/// On a page on which values are struck, what a part of the choices leaves out may be all that stood at a moment:
/// then the part holds no choice, which is no error.
#[test]
fn a_part_without_a_value_for_a_chord_holds_no_choice() {
    let chart = read("key: C\n| Dm7 | G7 | C6 |").unwrap();
    let all = [replacement(&chart, &NEW, (1, 0, 0, 2))];
    let (terms, cache) = (Terms::default(), &mut Cache::default());
    let found = on_the_page(&chart, &all, &settings(false), cache, |search, _| {
        let struck = search
            .space
            .only(|(moment, _), state| moment != 1 || state.of == Some(0));
        let page = RelaxedSearch::of(&struck, &terms, &[1]);
        let without = ChoicePart {
            left_out: vec![0],
            ..page.unpriced()
        };
        Ok([page.one(&page.unpriced(), 1)?, page.one(&without, 1)?])
    });
    let [with, without] = found.unwrap().map(|found| found.map(|found| found.taken));
    assert_eq!((with, without), (Some(vec![0]), None));
}

/// Twelve changes of a page that is divided after values are struck: whatever drafts are made of, they are the
/// same, and no choice is better.
#[test]
fn many_changes_of_a_divided_page_are_proved() {
    let chart = read(include_str!("../../../../charts/deckhands-hustle.chart")).unwrap();
    let settings = Settings::default();
    let listed = reharm(&chart, &settings, &Ways::default(), &AskedPlaces::default()).unwrap();
    let listed = worth_a_change(listed.listed);
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let terms = ChangeWeights::default().terms(&listed);
    let cache = &mut Cache::default();
    let both = on_the_page(&chart, &all, &settings, cache, |search, _| {
        let some = best_choices(&search.space, &terms, &[12], (few(12), share(1)))?;
        let more = best_choices(&search.space, &terms, &[12], (few(18), share(1)))?;
        Ok([some, more])
    });
    let [some, more] = both.unwrap().map(|mut best| best.pop().flatten().unwrap());
    assert_eq!((some.score, some.proved), (more.score, true));
    assert!(some.taken.len() == 12 && terms.allow(&some.taken));
}
