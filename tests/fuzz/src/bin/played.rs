//! What somebody played to a chart.

#![no_main]

use compline::chart;
use compline::formats::midi;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let page = chart::read("|: Dm7 G7 | Cmaj7 :|\n| 3/4 Am7 | N.C. |\n").expect("a chart");
    let order = page.play_order().expect("an order");
    for track in [None, Some("2")] {
        let Ok(hand) = midi::left_hand(bytes, track, &page, &order) else {
            continue;
        };
        let again = chart::read(&hand.chart.tidy()).expect("a chart with what was played");
        assert_eq!(again.slots().len(), hand.chart.slots().len());
        assert!(hand.played.iter().all(|slot| *slot < again.slots().len()));
    }
});
