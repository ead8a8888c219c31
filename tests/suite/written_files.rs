//! What a file system is promised: files written whole or not at all, with their owners and modes.

use std::fs;
use std::process::Command;

use crate::check_charts::MUDDY;
use crate::program::{folder, run};
use crate::typed::{TUNE, status, typed};

/// A line for each command that prints something, and for each kind of thing it prints.
const PRINTING: &[&str] = &[
    "compline --help",
    "compline voice --help",
    "compline --version",
    "compline man",
    "compline completions bash",
    "compline voice a.chart",
    "compline voice a.chart --to midi",
    "compline voice a.chart muddy.chart --to json",
    "compline voice --schema",
    "compline drill a.chart",
    "compline options a.chart",
    "compline why a.chart",
    "compline check muddy.chart",
    "compline check muddy.chart --to lines",
    "compline check muddy.chart --to json",
    "compline check muddy.chart --to table",
    "compline check muddy.chart --to sarif",
    "compline check --mend - < muddy.chart",
    "compline check --rules",
    "compline chord C7",
    "compline tidy a.chart",
    "compline tidy --check muddy.chart",
    "compline convert a.chart",
    "compline form a.chart",
    "compline harmony a.chart",
    "compline reharm a.chart",
    "compline limits",
];

#[test]
#[cfg(target_os = "linux")]
fn what_can_not_be_written_is_told() {
    let scratch = folder(&[("a.chart", TUNE), ("muddy.chart", MUDDY)]);
    let full = PRINTING.iter().map(|line| {
        (
            format!("{line} > /dev/full"),
            "can't write to standard output",
        )
    });
    let closed = PRINTING.iter().map(|line| {
        (
            format!("{line} >&-"),
            "can't write to standard output: it is closed",
        )
    });
    let file = (
        "compline voice a.chart -o /dev/full".to_owned(),
        "can't write /dev/full",
    );
    for (line, told) in full.chain(closed).chain([file]) {
        let ran = typed(&line, scratch.path());
        assert_eq!(ran.status.code(), Some(2), "{line}");
        let err = String::from_utf8_lossy(&ran.stderr);
        assert!(
            err.contains("error: ") && err.contains(told),
            "{line}: {err}"
        );
    }
    // Nobody misses what isn't printed.
    for line in [
        "compline voice a.chart -o out.chart >&-",
        "compline tidy --in-place a.chart >&-",
        "compline check a.chart >&-",
        "compline voice a.chart > /dev/null",
    ] {
        assert_eq!(status(line, scratch.path()), 0, "{line}");
    }
}

/// Only the superuser may give files away; anybody else sees that this was not tried.
#[test]
#[cfg(unix)]
fn owners_are_kept_and_settings_of_others_are_told_of() {
    use std::os::unix::fs::{MetadataExt, chown};
    let scratch = folder(&[
        ("a.chart", TUNE),
        ("old.chart", "| C |\n"),
        ("untidy.chart", "title:   Fog\n| C |\n"),
        ("compline.toml", "low = \"D3\"\n"),
    ]);
    let at = |name: &str| scratch.path().join(name);
    let mine = fs::metadata(scratch.path()).unwrap().uid();
    let told = "compline.toml belongs to another user than the charts it holds for";
    let warned = |line: &str| {
        let ran = typed(line, scratch.path());
        assert_eq!(ran.status.code(), Some(0), "{line}");
        String::from_utf8_lossy(&ran.stderr).contains(told)
    };
    assert!(!warned("compline voice a.chart"));
    for name in ["old.chart", "untidy.chart", "compline.toml"] {
        if let Err(why) = chown(at(name), Some(mine + 1001), Some(1002)) {
            eprintln!("skipped: no file can be given away here: {why}");
            return;
        }
    }
    assert!(warned("compline voice a.chart"));
    assert!(!warned("compline voice a.chart --no-settings"));
    assert!(!warned("compline voice a.chart --settings compline.toml"));
    let owners = |name: &str| {
        let there = fs::metadata(at(name)).unwrap();
        (there.uid(), there.gid())
    };
    for (line, name) in [
        ("compline voice a.chart -o old.chart", "old.chart"),
        ("compline tidy --in-place untidy.chart", "untidy.chart"),
    ] {
        let before = fs::read(at(name)).unwrap();
        assert_eq!(status(line, scratch.path()), 0, "{line}");
        assert_ne!(fs::read(at(name)).unwrap(), before, "{line}");
        assert_eq!(owners(name), (mine + 1001, 1002), "{line}");
    }
}

#[test]
#[cfg(unix)]
fn a_replaced_file_keeps_its_mode_and_a_new_one_heeds_the_umask() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    let scratch = folder(&[
        ("a.chart", TUNE),
        ("old.chart", "old"),
        ("other.chart", TUNE),
    ]);
    let mode = |name: &str| {
        let there = fs::metadata(scratch.path().join(name)).unwrap();
        there.permissions().mode() & 0o7777
    };
    let set = |name: &str, mode| {
        let permissions = fs::Permissions::from_mode(mode);
        fs::set_permissions(scratch.path().join(name), permissions).unwrap();
    };
    set("old.chart", 0o640);
    assert_eq!(
        status(
            "umask 0; compline voice a.chart -o old.chart",
            scratch.path()
        ),
        0
    );
    assert_eq!(mode("old.chart"), 0o640);
    for (umask, expected) in [("077", 0o600), ("022", 0o644), ("002", 0o664)] {
        let line = format!("umask {umask}; compline voice a.chart -o new-{umask}.chart");
        assert_eq!(status(&line, scratch.path()), 0);
        assert_eq!(mode(&format!("new-{umask}.chart")), expected);
    }
    // Read-only means no.
    set("other.chart", 0o444);
    for line in [
        "compline voice a.chart -o other.chart",
        "compline tidy --in-place other.chart",
    ] {
        let ran = typed(line, scratch.path());
        assert_eq!(ran.status.code(), Some(2), "{line}");
        let told = String::from_utf8_lossy(&ran.stderr).into_owned();
        assert!(
            told.contains("read-only") && told.contains("--force"),
            "{told}"
        );
        assert_eq!(
            fs::read_to_string(scratch.path().join("other.chart")).unwrap(),
            TUNE
        );
    }
    assert_eq!(
        status(
            "compline tidy --in-place --force other.chart",
            scratch.path()
        ),
        0
    );
    assert_eq!(mode("other.chart"), 0o444);
    assert_ne!(
        fs::read_to_string(scratch.path().join("other.chart")).unwrap(),
        TUNE
    );
    // A tidy file stays the file it is.
    let inode = |name: &str| fs::metadata(scratch.path().join(name)).unwrap().ino();
    let before = inode("other.chart");
    assert_eq!(
        status("compline tidy --in-place other.chart", scratch.path()),
        0
    );
    assert_eq!(inode("other.chart"), before);
    // Other names of a replaced file are told of.
    fs::hard_link(
        scratch.path().join("old.chart"),
        scratch.path().join("twin.chart"),
    )
    .unwrap();
    let ran = typed(
        "compline voice a.chart --to grid -o old.chart",
        scratch.path(),
    );
    assert!(String::from_utf8_lossy(&ran.stderr).contains("hard links"));
}

#[test]
#[cfg(unix)]
fn where_nothing_can_be_written_the_message_says_what_is_missing() {
    let scratch = folder(&[("a.chart", TUNE)]);
    let ran = run(
        scratch.path(),
        &["voice", "a.chart", "-o", "no/such/x.chart"],
    );
    assert_eq!(ran.status, 2);
    assert!(
        ran.err
            .contains("can't write no/such/x.chart: there is no folder"),
        "{}",
        ran.err
    );
    assert!(!ran.err.contains(".tmp"), "{}", ran.err);
    std::os::unix::fs::symlink("gone.chart", scratch.path().join("link.chart")).unwrap();
    let ran = run(scratch.path(), &["voice", "a.chart", "-o", "link.chart"]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.err.contains("link to gone.chart, which isn't there"),
        "{}",
        ran.err
    );
}

#[test]
#[cfg(unix)]
fn a_signal_leaves_every_file_whole_and_none_behind() {
    let scratch = folder(&[]);
    let untidy = "title:   Fog\n| C |\n";
    for number in 0..2_000 {
        fs::write(scratch.path().join(format!("{number}.chart")), untidy).unwrap();
    }
    let line = "compline tidy --in-place . & sleep 0.3; kill $!; wait $!; exit $?";
    let ended = status(line, scratch.path());
    assert!(ended == 143 || ended == 0, "{ended}");
    let mut seen = 0;
    for entry in fs::read_dir(scratch.path()).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        assert_eq!(path.extension().unwrap(), "chart", "{path:?}");
        assert!(
            text == untidy || text.contains("| C |"),
            "{path:?}: {text:?}"
        );
        seen += 1;
    }
    assert_eq!(seen, 2_000);
}

/// What stands in a folder after the program was sent this signal while it rewrote charts there, and
/// whether the signal ended it.
#[cfg(target_os = "linux")]
fn left_by(signal: &str, charts: usize) -> (Vec<String>, bool) {
    let untidy: Vec<(String, String)> = (0..charts)
        .map(|at| (format!("{at}.chart"), "|Dm7|G7|Cmaj7|A7|\n".repeat(40)))
        .collect();
    let files: Vec<(&str, &str)> = untidy
        .iter()
        .map(|(n, t)| (n.as_str(), t.as_str()))
        .collect();
    let scratch = folder(&files);
    // Under `nohup` the tests would hand an ignored signal on.
    let mut program = Command::new("env")
        .arg(format!("--default-signal={signal}"))
        .arg(env!("CARGO_BIN_EXE_compline"))
        .args(["tidy", "--in-place", "-q", "."])
        .current_dir(scratch.path())
        .spawn()
        .unwrap();
    // The first chart that is tidy shows that the signals are watched for.
    let first = scratch.path().join("0.chart");
    while fs::read_to_string(&first).unwrap().starts_with("|Dm7") {
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    let sent = Command::new("bash")
        .args([
            "-c",
            &format!("ulimit -c 0; kill -{signal} {}", program.id()),
        ])
        .status()
        .unwrap();
    assert!(sent.success());
    let ended = program.wait().unwrap().code().is_none();
    let names = fs::read_dir(scratch.path()).unwrap();
    let names = names.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned());
    (
        names.filter(|name| !name.ends_with(".chart")).collect(),
        ended,
    )
}

#[test]
#[cfg(target_os = "linux")]
fn no_signal_leaves_a_temporary_file() {
    for signal in ["HUP", "ALRM"] {
        let (left, ended) = left_by(signal, 400);
        assert!(ended, "{signal}: the program was done before");
        assert_eq!(left, [""; 0], "{signal}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_shell_that_limits_files_is_told_of_and_a_pipe_can_be_named() {
    let scratch = folder(&[("a.chart", "| Dm7 | G7 | Cmaj7 |\n")]);
    let typed = |line: &str| {
        let line = line.replace("compline", env!("CARGO_BIN_EXE_compline"));
        let ran = Command::new("bash")
            .args(["-c", &line])
            .current_dir(scratch.path())
            .output()
            .unwrap();
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        (ran.status.code(), text(&ran.stdout), text(&ran.stderr))
    };
    let (status, _, err) = typed("ulimit -f 1; compline voice a.chart --to wav -o a.wav");
    assert_eq!(status, Some(2), "{err}");
    assert!(err.contains("can't write a.wav"), "{err}");
    assert!(!err.contains(".tmp"), "{err}");
    let (status, out, err) =
        typed("compline voice a.chart -o /dev/stdout | cat; exit ${PIPESTATUS[0]}");
    assert_eq!((status, err.as_str()), (Some(0), ""));
    assert!(out.contains("Cmaj7"), "{out}");
}
