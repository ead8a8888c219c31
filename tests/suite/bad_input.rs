//! Files of other formats that are damaged, mean no good, or have nothing to make a chart of: each with a
//! plain message and the right status, and nothing written.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use compline::formats::readers::{READERS, reader};
use proptest::prelude::*;

use crate::program::{compline, folder};

/// What `convert` did with these bytes in a file of this name, with an older chart in the way.
fn converted(name: &str, bytes: &[u8]) -> (i32, String, bool) {
    let scratch = folder(&[("out.chart", "| C |\n")]);
    fs::write(scratch.path().join(name), bytes).unwrap();
    let output = compline(scratch.path())
        .args(["convert", name, "-o", "out.chart"])
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    let kept = fs::read_to_string(scratch.path().join("out.chart")).unwrap() == "| C |\n";
    let only = fs::read_dir(scratch.path()).unwrap().count() == 2;
    let status = output.status.code().expect("it ends by itself");
    (status, told, kept && only)
}

/// A score with these measures in its only part.
fn score(measures: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<score-partwise><part-list><score-part id=\"P1\"><part-name>Fog</part-name>\
         </score-part></part-list><part id=\"P1\">{measures}</part></score-partwise>"
    )
}

const CHORD: &str = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>";

fn note(step: char, duration: u32, voice: u32) -> String {
    format!(
        "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>{duration}</duration>\
         <voice>{voice}</voice></note>"
    )
}

fn measure(inside: &str) -> String {
    format!(
        "<measure number=\"1\"><attributes><divisions>1</divisions></attributes>{inside}</measure>"
    )
}

/// An archive with one file, stored or packed, as the ZIP application note has it.
fn archive(files: &[(&str, &[u8])], packed: bool) -> Vec<u8> {
    let (mut bytes, mut list) = (Vec::new(), Vec::new());
    for (name, content) in files {
        let at = u32::try_from(bytes.len()).unwrap();
        let body = match packed {
            true => miniz_oxide::deflate::compress_to_vec(content, 9),
            false => content.to_vec(),
        };
        let mut head = vec![20, 0, 0, 0, if packed { 8 } else { 0 }, 0, 0, 0, 0, 0];
        head.extend(crc(content).to_le_bytes());
        head.extend(u32::try_from(body.len()).unwrap().to_le_bytes());
        head.extend(u32::try_from(content.len()).unwrap().to_le_bytes());
        head.extend(u16::try_from(name.len()).unwrap().to_le_bytes());
        head.extend([0, 0]);
        bytes.extend(b"PK\x03\x04");
        bytes.extend(&head);
        bytes.extend(name.as_bytes());
        bytes.extend(body);
        list.extend(b"PK\x01\x02\x14\x00");
        list.extend(&head);
        list.extend([0; 10]);
        list.extend(at.to_le_bytes());
        list.extend(name.as_bytes());
    }
    let (start, size) = (bytes.len() as u32, list.len() as u32);
    bytes.extend(list);
    bytes.extend(b"PK\x05\x06\0\0\0\0");
    for _ in 0..2 {
        bytes.extend(u16::try_from(files.len()).unwrap().to_le_bytes());
    }
    bytes.extend(size.to_le_bytes());
    bytes.extend(start.to_le_bytes());
    bytes.extend([0, 0]);
    bytes
}

/// CRC-32, a bit at a time.
fn crc(bytes: &[u8]) -> u32 {
    let step = |sum: u32, _| (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg());
    let add = |sum: u32, byte: &u8| (0..8).fold(sum ^ u32::from(*byte), step);
    !bytes.iter().fold(u32::MAX, add)
}

const CONTAINER: &str =
    "<container><rootfiles><rootfile full-path=\"score.xml\"/></rootfiles></container>";

/// A compressed score.
fn mxl(score: &[u8]) -> Vec<u8> {
    archive(
        &[
            ("META-INF/container.xml", CONTAINER.as_bytes()),
            ("score.xml", score),
        ],
        true,
    )
}

/// A MIDI file of one track with these events, which end it or don't.
fn midi(events: &[u8], tracks: u8) -> Vec<u8> {
    let mut bytes = b"MThd\0\0\0\x06\0\x01\0".to_vec();
    bytes.extend([tracks, 1, 0xe0]);
    bytes.extend(b"MTrk");
    bytes.extend(u32::try_from(events.len()).unwrap().to_be_bytes());
    bytes.extend(events);
    bytes
}

/// A chord symbol as text, and a note in running status.
const EVENTS: &[u8] = b"\0\xff\x01\x03Dm7\0\x90\x3e\x50\x83\x60\x3e\0\0\x40\x50\x83\x60\x40\0";
const END: &[u8] = b"\0\xff\x2f\0";

#[test]
fn files_that_are_no_tunes_are_told_plainly_and_nothing_is_written() {
    let bomb = |entities: &str, refers: &str| {
        let score = score(&measure(&format!("{CHORD}<direction>{refers}</direction>")));
        score.replace(
            "<score-partwise>",
            &format!("<!DOCTYPE score-partwise [{entities}]><score-partwise>"),
        )
    };
    let laughs: String = (1..10)
        .map(|n| format!("<!ENTITY l{n} \"{}\">", format!("&l{};", n - 1).repeat(10)))
        .collect();
    let quadratic = format!("<!ENTITY a \"{}\">", "fog".repeat(30_000));
    let good = score(&measure(&(CHORD.to_owned() + &note('E', 4, 1))));
    let stored = archive(&[("score.xml", good.as_bytes())], false);
    let mut locked = stored.clone();
    let list = locked.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
    locked[list + 8] = 1;
    let mut broken = mxl(good.as_bytes());
    let list = broken.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
    broken[list - 20] ^= 0x55;
    let utf16 =
        |text: &str| -> Vec<u8> { text.encode_utf16().flat_map(u16::to_le_bytes).collect() };
    let mut half = vec![0xff, 0xfe];
    half.extend(utf16(&good));
    half.push(0);
    let cases: Vec<(&str, Vec<u8>, i32, &str)> = vec![
        (
            "page.xml",
            b"<html><body>Fog</body></html>".to_vec(),
            2,
            "its first element is `html`",
        ),
        (
            "list.musicxml",
            b"<opus><title>Set</title></opus>".to_vec(),
            2,
            "a list of scores",
        ),
        (
            "laughs.xml",
            bomb(&format!("<!ENTITY l0 \"ha\">{laughs}"), "&l9;").into(),
            2,
            "entities of a file's own",
        ),
        (
            "quadratic.xml",
            bomb(&quadratic, &"<words>&a;</words>".repeat(1_000)).into(),
            2,
            "entities of a file's own",
        ),
        (
            "bomb.mxl",
            mxl(&vec![b' '; 65 << 20]),
            2,
            "more than 16 MiB",
        ),
        ("locked.mxl", locked, 2, "encrypted"),
        ("broken.mxl", broken, 2, "can't be unpacked"),
        (
            "empty.mxl",
            archive(&[("readme.txt", b"fog")], true),
            2,
            "no score in it",
        ),
        ("none.musicxml", Vec::new(), 2, "no XML"),
        (
            "encoding.xml",
            good.replace("version=\"1.0\"", "version=\"1.0\" encoding=\"KOI8-R\"")
                .into(),
            2,
            "`koi8-r`, is not known",
        ),
        (
            "latin.xml",
            good.replace("Fog", "F\u{f6}g")
                .chars()
                .map(|c| c as u8)
                .collect(),
            2,
            "says it is UTF-8",
        ),
        ("half.xml", half, 2, "UTF-16, and broken"),
        (
            "silent.musicxml",
            score(&measure(&note('E', 4, 1))).into(),
            1,
            "this score has no chord symbols",
        ),
        (
            "silent.abc",
            b"X:1\nK:C\nCDEF|\n".to_vec(),
            1,
            "this tune has no chord symbols",
        ),
        (
            "silent.mid",
            midi(&[&EVENTS[7..], END].concat(), 1),
            1,
            "this MIDI file has no chord symbols",
        ),
        ("headless.abc", b"X:1\nT:Fog\n".to_vec(), 2, "no music"),
        ("endless.mid", midi(EVENTS, 1), 2, "has no end"),
        (
            "fewer.mid",
            midi(&[EVENTS, END].concat(), 3),
            2,
            "it says it has 3 tracks, and has 1",
        ),
        (
            "wrong.mid",
            midi(&[b"\0\x3e\x50", END].concat(), 1),
            2,
            "damaged",
        ),
    ];
    for (name, bytes, status, said) in cases {
        let (ended, told, kept) = converted(name, &bytes);
        assert_eq!(ended, status, "{name}: {told}");
        assert!(told.contains(said) && told.contains(name), "{name}: {told}");
        assert!(kept, "{name}: something was written");
    }
}

#[test]
fn sound_files_with_rare_ways_of_writing_are_read() {
    let voices: String = (1..=4)
        .map(|voice| {
            let back = if voice > 1 {
                "<backup><duration>4</duration></backup>"
            } else {
                ""
            };
            back.to_owned() + &note('E', 4, voice)
        })
        .collect();
    let good = score(&measure(&(CHORD.to_owned() + &voices)));
    let utf16: Vec<u8> = good.encode_utf16().flat_map(u16::to_le_bytes).collect();
    for (name, bytes, told) in [
        (
            "voices.musicxml",
            good.clone().into_bytes(),
            "3 notes of other voices left out",
        ),
        (
            "wide.xml",
            [vec![0xff, 0xfe], utf16].concat(),
            "3 notes of other voices",
        ),
        (
            "packed.mxl",
            mxl(good.as_bytes()),
            "3 notes of other voices",
        ),
        ("running.mid", midi(&[EVENTS, END].concat(), 1), ""),
    ] {
        let (status, said, kept) = converted(name, &bytes);
        assert_eq!(status, 0, "{name}: {said}");
        assert!(said.contains(told) && !kept, "{name}: {said}");
    }
}

/// A small tune in every format, by the name of its reader.
fn small() -> Vec<(&'static str, Vec<u8>)> {
    let good = score(&measure(&(CHORD.to_owned() + &note('E', 4, 1))));
    vec![
        ("musicxml", good.clone().into_bytes()),
        ("musicxml", mxl(good.as_bytes())),
        ("midi", midi(&[EVENTS, END].concat(), 1)),
        (
            "abc",
            b"X:1\nT:Fog\nM:4/4\nL:1/4\nK:G\n|:\"G\"G2\"D7/F#\"A2|1 \"C\"c4:|2 \"G\"G4|]\n"
                .to_vec(),
        ),
    ]
}

/// ABC has no end of its own: a tune that is cut off is a shorter tune. The others say that they are cut.
#[test]
fn a_file_cut_off_at_any_byte_is_refused() {
    for (name, bytes) in small() {
        let reader = reader(name).unwrap();
        assert!(reader.tune(&bytes, None).is_ok(), "{name}");
        for cut in 0..bytes.len() {
            let read = reader.tune(&bytes[..cut], None);
            match (name, read) {
                ("abc", Ok(tune)) => {
                    assert_eq!(compline::chart::read(&tune.text).unwrap(), tune.chart)
                }
                (_, Ok(_)) => panic!("{name} cut at {cut} is read"),
                (_, Err(error)) => assert!(!error.why.is_empty(), "{name} cut at {cut}"),
            }
        }
    }
}

#[test]
fn every_reader_has_its_small_tune() {
    let small = small();
    assert!(
        READERS
            .iter()
            .all(|reader| small.iter().any(|(name, _)| *name == reader.name))
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// A byte changed, put in or taken out: the reader says what is wrong, or makes a chart that reads and plays.
    #[test]
    fn damage_is_told_or_harmless(which in 0usize..4, at in any::<prop::sample::Index>(), byte in any::<u8>(), how in 0u8..3) {
        let (name, mut bytes) = small().swap_remove(which);
        let at = at.index(bytes.len());
        match how {
            0 => bytes[at] = byte,
            1 => bytes.insert(at, byte),
            _ => drop(bytes.remove(at)),
        }
        if let Ok(tune) = reader(name).unwrap().tune(&bytes, None) {
            prop_assert_eq!(&compline::chart::read(&tune.text).unwrap(), &tune.chart);
            prop_assert!(tune.chart.play_order().is_ok(), "{}", tune.text);
        }
    }
}

/// Runs `convert -` on bytes that come by a pipe.
fn piped(scratch: &Path, bytes: &[u8]) -> (i32, String, Duration) {
    let before = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_compline"))
        .args(["convert", "-", "-o", "out.chart"])
        .current_dir(scratch)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    // A program that has seen enough closes the pipe.
    let _ = input.write_all(bytes);
    drop(input);
    let output = child.wait_with_output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    (output.status.code().unwrap(), told, before.elapsed())
}

#[test]
fn a_million_events_are_read_or_refused_in_good_time() {
    let scratch = tempfile::tempdir().unwrap();
    let played = |first: &[u8], notes: &[u8]| {
        let events = [first, notes, END].concat();
        piped(scratch.path(), &midi(&events, 1))
    };
    // 32,000 thirty-second notes, in running status.
    let notes = b"\0\x40\x50\x3c\x40\0".repeat(32_000);
    let (status, told, _) = played(b"\0\xff\x01\x03Dm7\0\x90\x3e\x50\x3c\x3e\0", &notes);
    assert_eq!(status, 0, "{told}");
    // Seven hundred thousand events, notes of a tick: more than a bar can be written with.
    let notes = b"\0\x40\x50\x01\x40\0".repeat(340_000);
    let (status, told, took) = played(b"\0\xff\x01\x03Dm7\0\x90\x3e\x50\x01\x3e\0", &notes);
    assert_eq!(status, 2, "{told}");
    assert!(told.contains("more than 256 notes in one bar"), "{told}");
    assert!(took < Duration::from_secs(30), "{took:?}");
    let (status, told, _) = played(b"\0\xff\x01\x03Dm7", &b"\0\xff\x01\x03Dm7".repeat(300_000));
    assert_eq!(status, 2, "{told}");
    assert!(told.contains("more than 2 MiB"), "{told}");
    // Rests of 9 hours between two notes.
    let far = [EVENTS, b"\xff\xff\xff\x7f\x40\x50\x01\x40\0", END].concat();
    let (status, told, _) = piped(scratch.path(), &midi(&far, 1));
    assert_eq!(status, 2, "{told}");
    assert!(told.contains("more than 4000 bars"), "{told}");
    // Nothing but opening tags.
    let deep = [
        b"<score-partwise><part id=\"P1\"><measure>".to_vec(),
        b"<a>".repeat(1 << 20),
    ]
    .concat();
    let (status, told, _) = piped(scratch.path(), &deep);
    assert_eq!(status, 2, "{told}");
    assert!(told.contains("no score that anybody wrote"), "{told}");
}
