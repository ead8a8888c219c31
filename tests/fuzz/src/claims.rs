//! What has to hold of what is read.

use compline::chart;
use compline::formats::readers;

/// Reads a tune of a format. One that is read is a chart that reads the same again, lies in the standard
/// layout, and can be played; what is told of it has a count and words.
///
/// # Panics
///
/// Where that doesn't hold.
pub fn tune_holds(format: &str, bytes: &[u8]) {
    let reader = readers::reader(format).expect("a reader");
    let Ok(tune) = reader.tune(bytes, None) else {
        return;
    };
    assert_eq!(chart::read(&tune.text).as_ref(), Ok(&tune.chart));
    assert_eq!(tune.chart.tidy(), tune.text);
    assert!(tune.chart.play_order().is_ok());
    assert_eq!(tune.places.len(), tune.chart.bars().count());
    for item in tune.report.items() {
        assert!(item.count > 0 && item.text.contains(&item.count.to_string()));
    }
}
