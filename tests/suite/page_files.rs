//! The page as files: a set, a file a key, what the fonts lack, the picture in the README.

use compline::arrange::{Cache, Settings, arrange};
use compline::chart;
use compline::formats::page::{PageOptions, draw, svg};

use crate::program::{project, run};

#[test]
fn what_the_fonts_lack_is_said_and_shown() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("cat.chart"),
        "title: Harbour 猫\n| C6 |\n",
    )
    .unwrap();
    let ran = run(
        folder.path(),
        &["voice", "cat.chart", "--to", "svg", "-o", "cat.svg"],
    );
    assert_eq!(ran.status, 0);
    assert!(
        ran.err.contains("the fonts of the page lack 猫"),
        "{}",
        ran.err
    );
    let svg = std::fs::read_to_string(folder.path().join("cat.svg")).unwrap();
    assert!(svg.contains("id=\"b3f\""), "a question mark is drawn");
}

#[test]
fn several_charts_make_a_set_with_contents() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("friday.pdf");
    let charts = ["charts/fog-signal.chart", "charts/harbour-cat.chart"];
    let ran = run(
        project(),
        &[
            "voice",
            charts[0],
            charts[1],
            "--to",
            "pdf",
            "-o",
            file.to_str().unwrap(),
        ],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let pdf = std::fs::read(&file).unwrap();
    assert_eq!(
        String::from_utf8_lossy(&pdf)
            .matches("/Type /Page\n")
            .count(),
        3
    );
}

#[test]
fn a_tune_in_all_keys_is_a_file_a_key() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let ran = run(
        project(),
        &[
            "voice",
            "charts/fog-signal.chart",
            "--key",
            "all",
            "-o",
            out,
        ],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let mut names: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names.len(), 12);
    assert_eq!(names[0], "fog-signal-Am.chart");
    let text = std::fs::read_to_string(folder.path().join("fog-signal-Ebm.chart")).unwrap();
    assert!(text.contains("key: Ebm\n"), "{text}");
}

#[test]
fn keys_are_listed_with_commas() {
    let ran = run(
        project(),
        &[
            "voice",
            "charts/harbour-cat.chart",
            "--key",
            "Fm, Bbm",
            "--to",
            "json",
        ],
    );
    let keys: Vec<&str> = ran
        .out
        .lines()
        .filter_map(|line| line.split("\"key\":\"").nth(1)?.split('"').next())
        .collect();
    assert_eq!(keys, ["Fm", "Bbm"]);
    assert_eq!(
        run(
            project(),
            &["voice", "charts/harbour-cat.chart", "--key", "Fm,H"]
        )
        .status,
        2
    );
}

/// The picture that the README shows. `COMPLINE_README=write` draws it anew.
#[test]
fn the_picture_in_the_readme_is_what_is_drawn() {
    const PICTURE: &str = "examples/tide-table-waltz.svg";
    let source = std::fs::read_to_string("charts/tide-table-waltz.chart").unwrap();
    let chart = chart::read(&source).unwrap();
    let arrangement = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
    let drawn = svg(&draw(&arrangement, &PageOptions::default()));
    if std::env::var_os("COMPLINE_README").is_some_and(|how| how == "write") {
        std::fs::write(PICTURE, &drawn).unwrap();
    }
    assert!(
        std::fs::read_to_string(PICTURE).unwrap() == drawn,
        "{PICTURE} is another page"
    );
    assert!(drawn.len() < 128 << 10);
    let readme = std::fs::read_to_string("README.md").unwrap();
    assert!(readme.contains(PICTURE));
}
