//! The command line with one command alone.
//!
//! To lay out the options of all commands takes as long as to voice a short chart. Those of the command that
//! is typed are enough to read it; help, and what is wrong, is said by the whole.

use std::ffi::{OsStr, OsString};

use clap::{Args, Command, FromArgMatches};

use super::{
    Arguments, ChordArguments, CompletionsArguments, ConvertArguments, FormArguments,
    HarmonyArguments, LimitsArguments, ManArguments, MessageArguments, SlotArguments,
    TidyArguments, WhyArguments,
};
use super::{CheckArguments, DrillArguments, ReharmArguments, VoiceArguments};

/// A command's name, and what lays out its options.
type CommandOptions = (&'static str, fn(Command) -> Command);

/// Every command. A new one needs its row.
const COMMANDS: [CommandOptions; 14] = [
    ("voice", VoiceArguments::augment_args),
    ("drill", DrillArguments::augment_args),
    ("options", SlotArguments::augment_args),
    ("check", CheckArguments::augment_args),
    ("why", WhyArguments::augment_args),
    ("chord", ChordArguments::augment_args),
    ("convert", ConvertArguments::augment_args),
    ("tidy", TidyArguments::augment_args),
    ("form", FormArguments::augment_args),
    ("harmony", HarmonyArguments::augment_args),
    ("reharm", ReharmArguments::augment_args),
    ("limits", LimitsArguments::augment_args),
    ("completions", CompletionsArguments::augment_args),
    ("man", ManArguments::augment_args),
];

/// What was typed, where it is sound and begins with a command.
pub(super) fn parse(words: &[OsString]) -> Option<Arguments> {
    let matches = command(words.get(1)?)?.try_get_matches_from(words);
    Arguments::from_arg_matches(&matches.ok()?).ok()
}

/// The program with this command alone.
fn command(name: &OsStr) -> Option<Command> {
    let (name, options) = COMMANDS.iter().find(|(known, _)| name == *known)?;
    let program = MessageArguments::augment_args(Command::new("compline"));
    Some(program.subcommand(options(Command::new(*name))))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What can be typed for a command. In which order its help has it is the whole's affair.
    fn options(command: &Command) -> Vec<String> {
        let all = command.get_arguments();
        let unordered = all.map(|option| option.clone().display_order(0));
        unordered.map(|option| format!("{option:?}")).collect()
    }

    #[test]
    fn a_command_alone_has_the_options_it_has_among_all() {
        let whole = super::super::command();
        assert_eq!(whole.get_subcommands().count(), COMMANDS.len());
        for among_all in whole.get_subcommands() {
            let name = among_all.get_name();
            let program = command(OsStr::new(name)).unwrap();
            let alone = program.find_subcommand(name).unwrap();
            assert_eq!(options(alone), options(among_all), "{name}");
            assert_eq!(options(&program), options(&whole), "{name}");
        }
    }

    #[test]
    fn what_is_unsound_or_no_command_is_left_to_the_whole() {
        let typed = |words: &str| {
            let words = words.split(' ').map(OsString::from);
            parse(&words.collect::<Vec<_>>())
        };
        assert!(typed("compline limits").is_some());
        for words in [
            "compline",
            "compline limit",
            "compline limits --too",
            "compline --version",
            "compline limits --help",
            "compline help limits",
        ] {
            assert!(typed(words).is_none(), "{words}");
        }
    }
}
