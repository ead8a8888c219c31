//! What has to hold of a chart with everything done to it.

use compline::arrange::{Cache, Settings, Trouble, arrange};
use compline::chart::{self, Chart};
use compline::check::{self, RuleSettings};
use compline::formats::{self, Style};
use compline::reharm::{AskedPlaces, Ways, reharm};

/// More than this is read, laid out and played, but not planned: the plan is tried on short charts.
const PLANNED: usize = 24;

/// Reads a chart, and if it is one lays it out, plays, plans, writes, checks and reharmonises it.
///
/// # Panics
///
/// Where what is written is not read again as it was meant.
pub fn chart_holds(text: &str) {
    let Ok(chart) = chart::read(text) else {
        return;
    };
    let tidy = chart.tidy();
    let again = chart::read(&tidy).expect("the standard layout is a chart");
    assert_eq!(again.tidy(), tidy);
    let Ok(order) = chart.play_order() else {
        assert!(again.play_order().is_err());
        return;
    };
    assert_eq!(
        again.play_order().expect("an order").visits(),
        order.visits()
    );
    if chart.slots().len() <= PLANNED && order.visits().len() <= 8 * PLANNED {
        planned(&chart);
        reharmonised(&chart);
    }
}

fn planned(chart: &Chart) {
    let (settings, mut cache) = (Settings::default(), Cache::default());
    let arrangement = match arrange(chart.clone(), &settings, &mut cache) {
        Ok(arrangement) => arrangement,
        Err(Trouble::PlayOrder(why)) => panic!("it was played before: {why:?}"),
        Err(_) => return,
    };
    let style = Style::default();
    let text = formats::text(&arrangement, &style);
    let voiced = chart::read(&text).expect("a voiced chart is a chart");
    let replanned = arrange(voiced.clone(), &settings, &mut cache).expect("a plan");
    assert_eq!(formats::text(&replanned, &style), text);
    let json = formats::json(&arrangement, &style);
    let from_json = formats::read_voiced(&json).expect("the JSON is read");
    assert_eq!(from_json.chart.slots().len(), chart.slots().len());
    let rules = RuleSettings::default();
    // Mending checks first, so checking by itself would ask nothing more.
    let mended =
        check::mend(&voiced, &text, &rules, &mut cache).expect("a planned chart is checked");
    assert!(chart::read(&mended.text).is_ok());
}

fn reharmonised(chart: &Chart) {
    let settings = Settings::default();
    let Ok(proposed) = reharm(chart, &settings, &Ways::default(), &AskedPlaces::default()) else {
        return;
    };
    for one in proposed.listed.iter().take(3) {
        if let Ok(changed) = chart.replaced(&[one.replacement()]) {
            let again = chart::read(&changed.tidy()).expect("a changed page is a chart");
            assert_eq!(again.tidy(), changed.tidy());
        }
    }
}
