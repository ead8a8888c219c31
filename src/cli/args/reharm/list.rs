//! What of the proposals is listed, and how.

use clap::Args;
use compline::reharm::Band;

use super::Names;

/// How many proposals fill a screen, with the line above and the lines below them.
const SCREENFUL: usize = 20;

/// Arguments of the list of proposals.
#[derive(Debug, Args)]
pub struct ListArguments {
    /// List the N best of the tune
    #[arg(long, value_name = "N", value_parser = how_many, conflicts_with_all = ["apply", "changes", "versions", "undo", "all"])]
    pub best: Option<usize>,

    /// List all, those that bring nothing new and those that move the bass alone last
    #[arg(long, conflicts_with_all = ["apply", "changes", "versions", "undo"])]
    pub all: bool,

    /// Give the reasons of what is listed, a paragraph each
    #[arg(long, conflicts_with_all = ["apply", "changes", "versions", "undo", "to"])]
    pub reasons: bool,

    /// Give the reasons of the proposals of these names
    #[arg(long, value_name = "NAMES", conflicts_with_all = ["apply", "changes", "versions", "undo", "to", "best", "all", "reasons", "strain", "gentle", "bold"])]
    pub why: Option<Names>,

    /// How much strain is welcome: no proposal of more is listed, and of those below the nearest come first
    ///
    /// Strain says how far a proposal bends the tune: gentle is 0 to 2, medium 3 to 5, bold 6 to 9, more is
    /// beyond. With --changes no change of more is made, and without it none beyond bold. --versions has a strain of its own for each version.
    /// It is the sum of six parts. length: how long another chord sounds, 0 for half a bar, 2 for a bar, 4
    /// for two, 6 for more. tones: written tones that no longer sound, each for its part of a bar, up to 3.
    /// way on: 2 where the last new chord goes on by a motion that leads nowhere, 4 by a tritone. outside:
    /// notes outside the key more than before, up to 2. degree: 2 where the melody stays on a b9, 1 where a
    /// note of a beat or more falls to a much poorer degree, 4 where half of the melody is on the b9 and b13 of a
    /// dominant from outside the key. style: 3 for what such a tune hasn't got: with triads, a dominant that is
    /// the V of no degree of the key, a minor seventh on a root outside it, or a raised fifth; in triads mostly,
    /// also a major seventh outside the key; in a dance in triads any note outside the key; in any tune a
    /// written chord cut short, or four chords of one line in a bar. 1 for another bent dominant or
    /// half-diminished seventh in triads, 2 for more chords a bar than a running tune has; up to 4. What has 3 is
    /// listed after the rest, and --changes takes it only with --strain or --bold. Apart from strain stands what a proposal leads on to: how many more
    /// links than written go by falling fifth or half step between dominants, by half step of a diminished
    /// chord, or by step in the bass; the list ranks such proposals higher.
    #[arg(long, value_name = "N", value_parser = points, conflicts_with_all = ["apply", "versions", "undo"])]
    pub strain: Option<u32>,

    /// Gentle proposals only: as --strain 2
    #[arg(long, conflicts_with_all = ["strain", "bold", "apply", "versions", "undo"])]
    pub gentle: bool,

    /// Bold ones as well: as --strain 9
    #[arg(long, conflicts_with_all = ["strain", "apply", "versions", "undo"])]
    pub bold: bool,
}

/// The value of `--best`.
fn how_many(text: &str) -> Result<usize, String> {
    let number = text.parse().ok().filter(|number| *number > 0);
    number.ok_or_else(|| "a number from 1 was expected, such as 10".to_owned())
}

/// The value of `--strain`.
fn points(text: &str) -> Result<u32, String> {
    let points = text.parse();
    points.map_err(|_| "a number of points from 0 was expected, such as 5".to_owned())
}

impl ListArguments {
    /// How much strain is welcome; `None` where nothing was said.
    pub fn welcome(&self) -> Option<u32> {
        let gentle = self.gentle.then(|| Band::Gentle.most()).flatten();
        let bold = self.bold.then(|| Band::Bold.most()).flatten();
        self.strain.or(gentle).or(bold)
    }

    /// How many are listed for people; `None` for all.
    pub fn most(&self) -> Option<usize> {
        self.best.or((!self.all).then_some(SCREENFUL))
    }
}
