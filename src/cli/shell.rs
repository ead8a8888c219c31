//! `completions` and `man`: what a shell and a manual reader need.

use std::io::{self, Write};

use compline::chart::sizes;

use super::Status;
use super::args::{self, CompletionsArguments, ManArguments};
use super::output::{Replacing, make_folder_of, write};
use super::settings_page;
use super::terminal::Terminal;

/// Prints the completion script.
pub fn completions(
    arguments: &CompletionsArguments,
    terminal: &mut Terminal,
) -> anyhow::Result<Status> {
    let mut script = Vec::new();
    let mut command = args::command();
    clap_complete::generate(arguments.shell, &mut command, "compline", &mut script);
    terminal.write(&script)?;
    terminal.flush()?;
    Ok(Status::Done)
}

/// Prints the manual page of the program, after it one of each command and that of the settings file; or
/// writes them into a folder, a file each.
///
/// # Errors
///
/// They can't be written.
pub fn man(arguments: &ManArguments, terminal: &mut Terminal) -> anyhow::Result<Status> {
    let mut command = explained(args::command().disable_help_subcommand(true));
    command.build();
    let replacing = Replacing::of(arguments.force);
    let parts = command.get_subcommands().filter(|part| !part.is_hide_set());
    let pages = std::iter::once(&command).chain(parts).map(page);
    for made in pages.chain(std::iter::once_with(of_settings)) {
        let (name, page) = made?;
        match &arguments.output {
            None => terminal.write(&page)?,
            Some(folder) => {
                let place = folder.join(name);
                make_folder_of(&place)?;
                write(&place, &page, replacing, terminal)?;
            }
        }
    }
    terminal.flush()?;
    Ok(Status::Done)
}

/// The command with a long help for every option: a manual page leaves out the help of those that the short
/// help doesn't list, where they have no other.
fn explained(command: clap::Command) -> clap::Command {
    let command = command.mut_args(|arg| match (arg.get_long_help(), arg.get_help()) {
        (None, Some(help)) => {
            let help = help.clone();
            arg.long_help(help)
        }
        _ => arg,
    });
    command.mut_subcommands(explained)
}

/// The name of a command's manual page, and the page.
fn page(command: &clap::Command) -> io::Result<(String, Vec<u8>)> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let name = format!("{name}.1");
    let man = clap_mangen::Man::new(command.clone());
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    if command.has_subcommands() {
        man.render_subcommands_section(&mut page)?;
    }
    if let Some(examples) = args::examples(command.get_name()) {
        section("EXAMPLES", &examples, &mut page)?;
    }
    section("FILES", FILES, &mut page)?;
    if command.has_subcommands() {
        section("SIZES", &sizes_text(), &mut page)?;
    }
    section("EXIT STATUS", args::EXIT_STATUS, &mut page)?;
    Ok((name, page))
}

/// The manual page of the settings file.
fn of_settings() -> io::Result<(String, Vec<u8>)> {
    let mut page = Vec::new();
    writeln!(page, ".TH compline.toml 5")?;
    let name = "compline.toml - settings of a songbook";
    section("NAME", name, &mut page)?;
    for (title, text) in settings_page::sections() {
        section(title, &text, &mut page)?;
    }
    section("SEE ALSO", "compline(1), compline-check(1)", &mut page)?;
    Ok((settings_page::NAME.to_owned(), page))
}

const FILES: &str = "NAME.chart\n    A chart. Lines that begin with `;:` are remarks of the program (degrees, motion, the plan's sum):\n    \
                     they are not read, and are written afresh or left out when a chart is rewritten, whatever\n    \
                     they say. A comment of your own begins with `;` and anything else.\n\
                     compline.toml\n    The settings of the charts in its folder \
                     and below; the nearest one above a chart counts,\n    up to the top of its repository. See compline.toml(5).\n";

/// How large a chart may be.
fn sizes_text() -> String {
    format!(
        "A chart may have {} MiB, {} lines of {} KiB, {} notes of melody, and on the page as well as played\n\
         out {} bars and {} chords, {} of them in a bar; its play line may name {} sections. voice lists\n\
         {} plans, chord explains {} symbols at once. reharm takes charts of {} chords; --changes\n\
         and --versions choose among {} of them, all or those of --bar, and look at {} million values of\n\
         chords and voicings: what isn't proved the best by then says so, with the bound that is.\n\
         A file of another format may have {} MiB, packed or unpacked, with texts of {} KiB, and a score\n\
         {} measures in all its parts. A tune of ABC may have {} MiB, a book of them {} tunes,\n\
         {} bars and a head of {} KiB, a MIDI file {} MiB.\n\
         A settings file, a set list and a table of limits may have 64 KiB, a record of findings 4 MiB. A WAV\n\
         file may last {} minutes, of about 10 MiB each; pages are drawn for tunes of {} notes. A line of JSON\n\
         may have {} MiB.\n",
        sizes::MOST_BYTES >> 20,
        sizes::MOST_LINES,
        sizes::LONGEST_LINE >> 10,
        sizes::MOST_EVENTS,
        sizes::MOST_BARS,
        sizes::MOST_CHORDS,
        sizes::MOST_CHORDS_IN_A_BAR,
        sizes::MOST_PLAYED,
        sizes::MOST_ALTERNATIVES,
        sizes::MOST_SYMBOLS,
        sizes::MOST_REHARMONISED,
        sizes::MOST_CHOSEN_FROM,
        sizes::MOST_CHOICE_WORK / 1_000_000,
        sizes::MOST_FOREIGN_BYTES >> 20,
        sizes::LONGEST_TEXT >> 10,
        sizes::MOST_MEASURES,
        sizes::MOST_TUNE_BYTES >> 20,
        sizes::MOST_TUNES,
        sizes::MOST_BOOK_BARS,
        sizes::LONGEST_BOOK_HEAD >> 10,
        sizes::MOST_MIDI_BYTES >> 20,
        sizes::MOST_MINUTES,
        sizes::MOST_DRAWN_NOTES,
        sizes::MOST_JSON_BYTES >> 20,
    )
}

/// A section whose lines stand as they are.
fn section(title: &str, text: &str, page: &mut Vec<u8>) -> io::Result<()> {
    writeln!(page, ".SH {title:?}\n.nf")?;
    for line in text.lines() {
        let line = line.replace('\\', "\\e").replace('-', "\\-");
        let guard = if line.starts_with(['.', '\'']) {
            "\\&"
        } else {
            ""
        };
        writeln!(page, "{guard}{line}")?;
    }
    writeln!(page, ".fi")
}
