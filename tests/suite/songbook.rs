//! Every voicing of a real songbook, held against the independent checker.

use std::fs;
use std::path::PathBuf;

use compline::arrange::{Cache, Settings, arrange};
use compline::chart;

use crate::checked::complaints;
use crate::data::{data, every};

/// Every chart, in a sample every sixth.
fn songbook() -> Option<Vec<PathBuf>> {
    let folder = fs::read_dir(data("charts-billboard")?).unwrap();
    let mut charts: Vec<PathBuf> = folder.map(|entry| entry.unwrap().path()).collect();
    charts.sort();
    Some(every(6, charts).collect())
}

#[test]
fn every_chart_is_voiced_or_refused_for_a_reason_and_every_voicing_is_sound() {
    let Some(charts) = songbook() else { return };
    let mut cache = Cache::default();
    let settings = Settings::default();
    let (mut voiced, mut slots, mut unread, mut stuck) = (0, 0, 0, Vec::new());
    let mut widest = (0, String::new());
    for path in &charts {
        let name = path.file_name().unwrap().to_str().unwrap();
        let Ok(chart) = chart::read(&fs::read_to_string(path).unwrap()) else {
            unread += 1;
            continue;
        };
        match arrange(chart, &settings, &mut cache) {
            Ok(arrangement) => {
                assert_eq!(complaints(name, &arrangement), [""; 0]);
                assert!(arrangement.totals.optimal, "{name}: not proved");
                widest = widest.max((arrangement.totals.width, name.to_owned()));
                voiced += 1;
                slots += arrangement.slots.len();
            }
            Err(trouble) => stuck.push(format!("{name}: {trouble:#?}")),
        }
    }
    println!(
        "{voiced} charts voiced and proved ({slots} slots), {unread} unread, stuck: {stuck:#?}"
    );
    println!("most entangled: {widest:?}");
    assert_eq!(stuck, [""; 0]);
    assert!(
        unread * 100 <= charts.len(),
        "{unread} of {} unread",
        charts.len()
    );
}
