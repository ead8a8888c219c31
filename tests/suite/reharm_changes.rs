//! `reharm --changes` from outside: the page, the table beside it, what is welcome.

use compline::chart;
use serde_json::Value;

use crate::reharm_run::{TUNE, effort, lines, reharm, run};

#[test]
fn changes_come_with_a_table_and_exactly_means_exactly() {
    let (code, out, table) = reharm(&["--changes", "exactly", "2"], TUNE);
    assert_eq!(code, 0);
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[0],
        "changes  score  effort  gained  strain  leads on  proved  proposals"
    );
    assert!(
        rows[1].starts_with("      0 ") && rows[1].ends_with("as written"),
        "{table}"
    );
    let cells: Vec<&str> = rows[3].split_whitespace().collect();
    assert_eq!(
        (cells[0], cells[2]),
        ("2", effort(&out).to_string().as_str())
    );
    assert!(rows[3].ends_with("  <-"), "{table}");
    assert!(rows[3].matches(" +").count() >= 1, "{table}");
    let page = chart::read(&out).unwrap();
    assert_ne!(page.before(), page);
    // Each change is said once below: its name, the chords, what it strains and leads on.
    let named: Vec<&&str> = rows.iter().filter(|row| row.contains(" for ")).collect();
    assert!(
        named.len() >= 2 && named.iter().all(|row| row.contains(": ")),
        "{table}"
    );
    let (_, joined, _) = reharm(&["--changes=exactly", "2"], TUNE);
    assert_eq!(joined, out);
    // So many are so many, whether or not the hand would rather have fewer.
    assert_eq!(reharm(&["--changes", "2"], TUNE).1, out);
}

#[test]
fn where_fewer_changes_score_lower_a_line_says_so() {
    let chart = "charts/harbour-cat.chart";
    let table = |changes: &str| run(&["reharm", chart, "--changes", changes], "").2;
    let scores = |table: &str| {
        let rows = table
            .lines()
            .skip(1)
            .take_while(|row| row.starts_with("   "));
        let score = |row: &str| row.split_whitespace().nth(1)?.parse::<i64>().ok();
        rows.map(|row| score(row).unwrap()).collect::<Vec<_>>()
    };
    let many = table("6");
    let with_changes = &scores(&many)[1..];
    let least = with_changes.iter().min().unwrap();
    let fewer = 1 + with_changes
        .iter()
        .position(|score| score == least)
        .unwrap();
    assert!(least < with_changes.last().unwrap(), "{many}");
    let said = format!("fewer changes score lower: {least} with --changes {fewer}\n");
    assert!(many.contains(&said), "{many}");
    assert!(
        !table(&fewer.to_string()).contains("fewer changes"),
        "{many}"
    );
}

#[test]
fn no_changes_are_no_changes() {
    for count in [&["--changes", "0"][..], &["--changes", "exactly", "0"]] {
        let (code, out, table) = reharm(count, TUNE);
        let (_, tidy, _) = run(&["tidy", "-"], TUNE);
        assert_eq!((code, out), (0, tidy));
        assert_eq!(table.lines().count(), 2, "{table}");
    }
}

#[test]
fn the_table_stops_where_no_more_can_be_made() {
    let (code, out, table) = reharm(&["--ways", "tritone", "--changes", "50"], TUNE);
    assert_eq!(code, 0);
    assert!(out.contains("key: C"));
    assert_eq!(
        table.matches("more than 1 can't be made together").count(),
        1,
        "{table}"
    );
    assert_eq!(
        table
            .lines()
            .filter(|row| row.starts_with("      "))
            .count(),
        2,
        "{table}"
    );
    let huge = u64::MAX.to_string();
    assert_eq!(
        reharm(&["--ways", "tritone", "--changes", &huge], TUNE).0,
        0
    );
    let (code, out, err) = reharm(&["--ways", "tritone", "--changes", "exactly", "2"], TUNE);
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(
        err.contains("no 2 changes: at most 1 can be made together"),
        "{err}"
    );
    assert!(err.contains("ask for fewer changes"), "{err}");
}

#[test]
fn the_table_as_json_is_what_the_text_says() {
    let path = "charts/lamplight-on-the-quay.chart";
    let (_, json, err) = run(&["reharm", path, "--changes", "2", "--to", "json"], "");
    assert_eq!(err, "");
    let [table] = &lines(&json)[..] else {
        panic!("one object a chart: {json}");
    };
    assert_eq!(
        (&table["format"], &table["chart"]),
        (&"compline-changes".into(), &path.into())
    );
    assert_eq!(
        (&table["asked"], &table["no_more_than"]),
        (&2.into(), &Value::Null)
    );
    let rows = table["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 3);
    for row in rows {
        let changes = row["replacements"].as_array().unwrap();
        assert_eq!(row["changes"], changes.len());
        let [first, here] = [&rows[0], row].map(|row| row["effort"].as_i64().unwrap());
        assert_eq!(row["saved"], first - here);
        if row["optimal"] == true {
            assert_eq!(row["lower_bound"], row["score"]);
        }
        // The names are those of the list, and put in give the effort of the row.
        let of = |one: &Value| {
            let strain = one["strain"]["total"].as_i64().unwrap();
            [strain, one["leads_on"].as_i64().unwrap()]
        };
        let sums = changes
            .iter()
            .map(of)
            .fold([0, 0], |[a, b], [c, d]| [a + c, b + d]);
        assert_eq!(
            (&row["strain"], &row["leads_on"]),
            (&Value::from(sums[0]), &Value::from(sums[1]))
        );
        assert_eq!(row["score"], here + 3 * sums[0] - 4 * sums[1]);
        let names: Vec<&str> = changes
            .iter()
            .filter_map(|one| one["name"].as_str())
            .collect();
        if let [_, ..] = &names[..] {
            let (_, page, _) = run(&["reharm", path, "--apply", &names.join(",")], "");
            assert_eq!(row["effort"], effort(&page));
        }
    }
    let change = &rows[2]["replacements"][0];
    for field in [
        "technique",
        "first_bar",
        "replaces",
        "chords",
        "why",
        "melody",
    ] {
        assert!(!change[field].is_null(), "{change}");
    }
}

#[test]
fn changes_of_no_more_strain_than_is_welcome() {
    let strains = |asked: &[&str]| {
        let arguments = [&["--changes", "3", "--to", "json"], asked].concat();
        let (_, json, _) = reharm(&arguments, TUNE);
        let rows = lines(&json)[0]["rows"].as_array().unwrap().clone();
        let changes = rows
            .iter()
            .flat_map(|row| row["replacements"].as_array().unwrap().clone());
        changes
            .map(|one| one["strain"]["total"].as_u64().unwrap())
            .collect::<Vec<_>>()
    };
    let gentle = strains(&["--gentle"]);
    assert!(
        !gentle.is_empty() && gentle.iter().all(|strain| *strain <= 2),
        "{gentle:?}"
    );
    assert!(strains(&[]).iter().any(|strain| *strain > 2));
}

/// A backdoor in a tune of triads, whose melody refuses its shorter form, strains it by 10.
#[test]
fn what_is_beyond_bold_is_chosen_only_where_it_is_asked_for() {
    let tune =
        "key: G\n| C | G | F | Em |\n| C | G | D7 | G |\nmel | r:4 | r:4 | Bb4:2 A4:2 | r:4 |\n";
    let page = |asked: &[&str]| {
        let arguments = [&["--ways", "backdoor", "--changes", "1"], asked].concat();
        reharm(&arguments, tune).1
    };
    assert!(!page(&[]).contains("F7"));
    assert!(!page(&["--strain", "9"]).contains("F7"));
    assert!(page(&["--strain", "10"]).contains("Cm7 F7"));
}

#[test]
fn how_much_and_how_many_are_said_where_they_are_no_numbers() {
    let points = "a number of points from 0 was expected, such as 5";
    let many = "a number from 1 was expected, such as 10";
    for (asked, wanted) in [
        ("--strain=x", points),
        ("--strain=-1", points),
        ("--best=0", many),
        ("--best=few", many),
    ] {
        let (status, out, err) = reharm(&[asked], "key: C\n| Dm7 | G7 | C6 |\n");
        assert_eq!((status, out.as_str()), (2, ""), "{asked}");
        assert!(err.contains(wanted), "{asked}: {err}");
    }
}

#[test]
fn where_the_page_as_written_scores_lowest_it_is_said() {
    let blues = "key: Cm\n| Cm7 | Fm7 | Cm7 | C7alt |\n| Fm7 | Fm7 | Cm7 | Cm7 |\n| Ab7 | G7alt | Cm7 | Dm7b5 G7b9 |\n";
    for changes in ["1", "3"] {
        let (code, _, table) = reharm(&["--changes", changes], blues);
        assert_eq!(code, 0);
        let scores = table
            .lines()
            .skip(1)
            .take_while(|row| row.starts_with("   "));
        let scores: Vec<i64> = scores
            .map(|row| row.split_whitespace().nth(1).unwrap().parse().unwrap())
            .collect();
        let written = scores[0];
        assert!(scores[1..].iter().all(|score| *score > written), "{table}");
        let said = format!(
            "the page as written scores lower: {written}; on these terms it is best left as it is\n"
        );
        assert!(table.contains(&said), "{table}");
    }
    let (_, _, gains) = reharm(&["--changes", "1", "--weigh", "strain=0"], TUNE);
    assert!(!gains.contains("best left"), "{gains}");
}
