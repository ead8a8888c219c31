//! The tests of the library and the program from outside, in one binary.
//!
//! | module | what belongs there |
//! |---|---|
//! | `bad_input` | files of other formats that are damaged or mean no good |
//! | `cases` | what a pianist would play, a table: charts and what is wanted of each hand, in all keys |
//! | `charts` | the chart language over whole songbooks |
//! | `check` | the rules over a songbook of bad charts, and over all the program voices |
//! | `check_apart` | `check` as shells, songbook keepers and code hosts use it: lines, parts, fixes applied |
//! | `check_beside` | what `check` says beside its findings |
//! | `check_charts` | no tests: the charts that the tests of `check` from outside share |
//! | `check_detours` | detours planted into planned left hands: found, priced, mended where they are |
//! | `check_mend` | cures against exhaustive search; what mending promises, on random charts |
//! | `check_cli` | `check` from outside: what is shown, in which format, with which status |
//! | `check_records` | `check` from outside: records of known findings, charts mended |
//! | `check_sarif` | the SARIF log, section by section of the standard |
//! | `check_set` | what is set for a check, and what a chart says of itself, is what holds |
//! | `check_sources` | `check` from outside: what is read, and what becomes of the rest where something can't be |
//! | `checked` | no tests: a chart voiced and held against the independent checker |
//! | `chords` | chord symbols: the readable table, real spellings, properties over all of them |
//! | `cli` | the built program: arguments, exit statuses, streams, files |
//! | `data` | no tests: real-world data, and how much of it a run tries |
//! | `demo` | every chart of `charts` and every example: voiced, checked, and printed as recorded |
//! | `drill` | charts and formulas through the keys: proved, no worse than apart, in every format |
//! | `exchange` | other formats out and in by the program: tune books, every command, bad files |
//! | `folk` | folk tunes with chords, read as charts for the other modules |
//! | `form` | played orders against forms written out by hand, and against another library |
//! | `found` | inputs that random trials found, with what must become of each |
//! | `goldens` | our chord readings held against published ones and other libraries |
//! | `grounding` | what voicings would be taken for, and what to touch, on every chart |
//! | `harmony` | keys and functions under the changes; voicings held to the published tensions |
//! | `help` | every example in the help, typed as it stands |
//! | `independent` | no tests: a checker of finished voicings that shares no code with the program |
//! | `kept_files` | no file that is read is written over, no two results become one file |
//! | `layout` | the source: parts use only what stands above them, no two files need each other |
//! | `maintained` | a songbook kept up: names of notes, mends, records, set lists, standard input as a file |
//! | `page` | the page on paper: its geometry, its text, its bytes |
//! | `page_files` | pages as files: a set, a file a key, what the fonts lack, the picture in the README |
//! | `planned` | what a pianist would play: planned left hands without a melody, in all twelve keys |
//! | `played` | `check --played`: left hands from sequencers held against their charts |
//! | `promises` | ranges that widen, charts that change while they are read, names that are no text |
//! | `proposed` | all that is proposed for stock progressions, with its strain |
//! | `published` | left hands that were printed: each produced, none moving less than the plan |
//! | `program` | no tests: how the built program is run |
//! | `readme` | every command the README shows prints what it says |
//! | `recorded` | what is said of some hundred small charts, on record: plans, prices, findings, proposals |
//! | `roles` | what every kind of chord does on every degree of a key, before every other |
//! | `round_trips` | charts out to other formats and in again by the library; no input brings a reader down |
//! | `sets` | set lists: order, keys, one document or a folder; one pass of a performance |
//! | `schemas` | what commands write as JSON, held against the schemas they print |
//! | `scores` | scores of our own: jumps, round trips, the whole way of an arranger |
//! | `settings` | the settings file of a songbook: found, obeyed, its mistakes told |
//! | `reharm` | other chords under the same tune: what holds of every proposal and every page |
//! | `reharm_changes` | `reharm --changes` from outside: the page, the table beside it |
//! | `reharm_cli` | `reharm` from outside: put in and taken back, pipes and files, bad input |
//! | `reharm_list` | `reharm` from outside: the list, its names, its reasons, its JSON |
//! | `reharm_run` | no tests: how `reharm` is run on a chart from standard input |
//! | `reharm_ranked` | what texts print is high in the list, in all keys |
//! | `reharm_voiced` | the voicing keeps the idea: open thirds, lines, basses that stay |
//! | `reharm_versions` | whole arrangements: written, compared, voiced and checked without a finding |
//! | `shell` | what a shell and a terminal are promised; files that mean no good |
//! | `sizes` | input that is too large, and machines that give too little: an error that names the limit |
//! | `songbook_files` | the settings, hook, workflow and charts of `examples/songbook`, each run |
//! | `songbook` | every voicing of a real songbook, held against the independent checker |
//! | `spelling` | how the notes of the hand are named, on the page and in messages |
//! | `typed` | no tests: a line typed in a shell |
//! | `uncarried` | notes of the tune that the chords can't carry: told everywhere, and once |
//! | `under_melody` | what the hand plays under a melody, planned, in all twelve keys |
//! | `wishes` | an arranger's wishes: each against exhaustive search, contradictions, help |
//! | `voicings` | the shapes held against published tables and exhaustive search |
//! | `why` | the reasons behind voicings, held against prices, motions and the checker |
//! | `written_files` | files written whole or not at all, with their owners and modes |
//!
//! A test that needs real-world data takes the folder from the variable `COMPLINE_DATA` and says so
//! on stderr when it is not set. What takes long is tried on a fixed sample, and on everything where
//! `COMPLINE_WHOLE` is set.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "this whole crate is tests, shared functions included: a failure is a panic"
)]

mod bad_input;
mod cases;
mod charts;
mod check;
mod check_apart;
mod check_beside;
mod check_charts;
mod check_cli;
mod check_detours;
mod check_mend;
mod check_records;
mod check_sarif;
mod check_set;
mod check_sources;
mod checked;
mod chords;
mod cli;
mod data;
mod demo;
mod drill;
mod exchange;
mod folk;
mod form;
mod found;
mod goldens;
mod grounding;
mod harmony;
mod help;
mod independent;
mod kept_files;
mod layout;
mod maintained;
mod page;
mod page_files;
mod planned;
mod played;
mod program;
mod promises;
mod proposed;
mod published;
mod readme;
mod recorded;
mod reharm;
mod reharm_changes;
mod reharm_cli;
mod reharm_list;
mod reharm_ranked;
mod reharm_run;
mod reharm_versions;
mod reharm_voiced;
mod roles;
mod round_trips;
mod schemas;
mod scores;
mod sets;
mod settings;
mod shell;
mod sizes;
mod songbook;
mod songbook_files;
mod spelling;
mod typed;
mod uncarried;
mod under_melody;
mod voicings;
mod why;
mod wishes;
mod written_files;
