//! The examples at the end of every command's help. Each is typed as it stands by a test.

use clap::Command;

/// A line to type, after what it does.
type HelpExample = (&'static str, &'static str);

/// The examples of each command. A new command needs its row.
const EXAMPLES: &[(&str, &[HelpExample])] = &[
    (
        "voice",
        &[
            (
                "Print the chart with its left hand",
                "compline voice tune.chart",
            ),
            (
                "Voice a folder of charts in every key, for a small hand, into another folder",
                "compline voice songs --key all --hand 180mm -o voiced",
            ),
            (
                "Write the left hand into the chart itself; what its `lh` row gives is held",
                "compline voice tune.chart --in-place",
            ),
            (
                "Ask for form A in bar 2",
                "compline voice tune.chart --wish 2:A",
            ),
            (
                "A score for a notation program; a performance with bass and swing",
                "compline voice tune.chart --to musicxml -o tune.musicxml\n  \
                 compline voice tune.chart --to midi --bass roots --swing -o tune.mid",
            ),
            (
                "The tunes of a set list, on paper with a page of contents",
                "compline voice evening.set --to pdf -o evening.pdf",
            ),
            (
                "The second time through alone, with a bar of clicks, to judge by ear",
                "compline voice tune.chart --pass 2 --count-in --to wav -o second.wav",
            ),
            (
                "The motion of every chart of a folder, by another program",
                "compline voice songs --to json | python3 -c 'import json, sys\n\
                 for line in sys.stdin: print(json.loads(line)[\"totals\"][\"motion\"])'",
            ),
        ],
    ),
    (
        "drill",
        &[
            (
                "A two-five-one through the twelve keys, in fourths",
                "compline drill ii-V-I",
            ),
            (
                "In half steps down, beginning with form B, on paper",
                "compline drill ii-V-I --by half-steps --down --first B --to pdf -o two-five-one.pdf",
            ),
            (
                "Bars 1 to 4 of a tune, faster in every key, to play along with",
                "compline drill tune.chart --bar 1-4 --tempo 60..120 --to wav -o faster.wav",
            ),
            (
                "A minor one in three keys",
                "compline drill iiø-V7-i --key Cm,Gm,Dm",
            ),
        ],
    ),
    (
        "options",
        &[
            (
                "Every voicing of the chords in bar 3, with its price",
                "compline options tune.chart --bar 3",
            ),
            (
                "What two notes more of reach would bring",
                "compline options tune.chart --bar 3 --reach 16",
            ),
        ],
    ),
    (
        "check",
        &[
            (
                "Show what is wrong in the charts of a folder",
                "compline check songs",
            ),
            (
                "Replan the faulty voicings of a chart and print it",
                "compline check tune.chart --mend -o -",
            ),
            (
                "Write today's findings down, so that only new ones fail",
                "compline check songs --record known.json\n  compline check songs --known known.json",
            ),
            (
                "A left hand that was played to a chart, from a sequencer",
                "compline voice tune.chart --to midi -o left.mid\n  \
                 compline check tune.chart --played left.mid",
            ),
            (
                "Text that is not saved yet, under the settings and the name of its file",
                "compline check --stdin-as songs/tune.chart - < tune.chart",
            ),
            (
                "A log for a code host",
                "compline check songs --to sarif > findings.sarif",
            ),
        ],
    ),
    (
        "why",
        &[
            (
                "Why these notes in bar 3?",
                "compline why tune.chart --bar 3",
            ),
            (
                "What else the chords of bar 3 could be taken for",
                "compline why tune.chart --bar 3 --grounding",
            ),
        ],
    ),
    (
        "chord",
        &[
            ("How two symbols are read", "compline chord C11 'C7(b9)'"),
            (
                "The same for programs, an object a line",
                "compline chord C11 'C7(b9)' --to json",
            ),
        ],
    ),
    (
        "tidy",
        &[
            (
                "Print a chart in its standard layout",
                "compline tidy tune.chart",
            ),
            (
                "Rewrite every chart of a folder that needs it",
                "compline tidy --in-place songs",
            ),
            (
                "Name the charts that need it, for CI",
                "compline tidy --check songs",
            ),
        ],
    ),
    (
        "form",
        &[
            (
                "In which order the bars are played",
                "compline form tune.chart",
            ),
            ("The same for programs", "compline form songs --to json"),
        ],
    ),
    (
        "harmony",
        &[
            (
                "Key, numeral and function under the changes",
                "compline harmony tune.chart",
            ),
            (
                "For a tune that goes round and round",
                "compline harmony tune.chart --loop",
            ),
        ],
    ),
    (
        "convert",
        &[
            (
                "A score back as a chart, the left hand in it",
                "compline voice tune.chart --to musicxml | compline convert - -o back.chart",
            ),
            (
                "The same from a sequencer's file, with what was lost on the way in JSON",
                "compline voice tune.chart --to midi | compline convert - --report lost.json",
            ),
        ],
    ),
    (
        "reharm",
        &[
            (
                "What could stand in bars 1 to 4, and what holds them",
                "compline reharm tune.chart --bar 1-4",
            ),
            (
                "The five best gentle ones, with their reasons",
                "compline reharm tune.chart --gentle --best 5 --reasons",
            ),
            (
                "The three best changes, voiced",
                "compline reharm tune.chart --changes 3 | compline voice -",
            ),
            (
                "Three arrangements of the whole tune, gentle to bold, beside each other",
                "compline reharm tune.chart --versions 3",
            ),
            (
                "Take them back",
                "compline reharm tune.chart --changes 3 | compline reharm - --undo",
            ),
        ],
    ),
    (
        "limits",
        &[
            (
                "Every table, with where each number comes from",
                "compline limits",
            ),
            (
                "One table, for programs",
                "compline limits --limits series --to json",
            ),
        ],
    ),
    (
        "completions",
        &[(
            "For bash, in this session",
            "compline completions bash > completions.bash && . ./completions.bash",
        )],
    ),
    (
        "man",
        &[
            ("Write a page for each command", "compline man -o man/man1"),
            ("Write them all as one", "compline man > compline.1"),
        ],
    ),
];

/// The command line with the examples at the end of each command's help.
pub fn with_examples(command: Command) -> Command {
    EXAMPLES.iter().fold(command, |command, (name, examples)| {
        let text = format!("Examples:\n{}", text(examples));
        command.mut_subcommand(name, |part| {
            let short = format!("{}{text}", in_short(&part));
            part.after_help(short).after_long_help(text)
        })
    })
}

/// The options that `-h` doesn't explain, a line for each group of them: those that the commands which
/// voice have in common.
fn in_short(command: &Command) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for option in command
        .get_arguments()
        .filter(|option| option.is_hide_short_help_set())
    {
        let (Some(heading), Some(name)) = (option.get_help_heading(), option.get_long()) else {
            continue;
        };
        let name = format!("--{name}");
        match groups.iter_mut().find(|(group, _)| *group == heading) {
            Some((_, names)) => names.push(name),
            None => groups.push((heading, vec![name])),
        }
    }
    if groups.is_empty() {
        return String::new();
    }
    let lines = groups
        .iter()
        .map(|(heading, names)| format!("  {heading}: {}\n", names.join(" ")));
    format!("{COMMON}\n{}\n", lines.collect::<String>())
}

/// What stands above the options that `-h` doesn't explain.
const COMMON: &str = "For every command that voices (--help explains them):";

fn text(examples: &[HelpExample]) -> String {
    let each = examples
        .iter()
        .map(|(about, line)| format!("\n  # {about}\n  {line}\n"));
    each.collect()
}

/// The examples of a command, if it has any.
pub fn examples(command: &str) -> Option<String> {
    let found = EXAMPLES.iter().find(|(name, _)| *name == command);
    found.map(|(_, examples)| text(examples))
}

#[cfg(test)]
mod tests {
    use super::EXAMPLES;

    #[test]
    fn every_command_has_its_examples() {
        let command = crate::cli::args::command();
        for part in command.get_subcommands() {
            let found = EXAMPLES.iter().any(|(name, _)| *name == part.get_name());
            assert!(found, "{} has no row in EXAMPLES", part.get_name());
        }
    }

    #[test]
    fn no_example_is_broken_into_two_lines() {
        let all = EXAMPLES.iter().flat_map(|(_, examples)| *examples);
        let mut lines = all.flat_map(|(about, line)| about.lines().chain(line.lines()));
        assert!(lines.all(|line| line.len() <= 90));
    }
}
