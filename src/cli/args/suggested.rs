//! Values that a shell's completion offers, where more than these may be typed.

use std::ffi::OsStr;

use clap::builder::{PossibleValue, TypedValueParser};
use clap::{Arg, Command, Error};
use compline::check::RULES;
use compline::reharm::techniques::TECHNIQUES;
use compline::voicing::SHAPES;

/// Reads a value as `P` does; completions offer `words`.
#[derive(Clone)]
pub struct Suggested<P> {
    reader: P,
    words: fn() -> Vec<String>,
}

/// Values that `reader` reads, with the words to offer.
pub const fn suggested<P>(reader: P, words: fn() -> Vec<String>) -> Suggested<P> {
    Suggested { reader, words }
}

impl<P: TypedValueParser> TypedValueParser for Suggested<P> {
    type Value = P::Value;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        value: &OsStr,
    ) -> Result<P::Value, Error> {
        self.reader.parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new((self.words)().into_iter().map(PossibleValue::new)))
    }
}

/// Every rule with every severity it can be given.
pub fn rules() -> Vec<String> {
    let levels = ["off", "note", "warning", "error"];
    let each = RULES
        .iter()
        .flat_map(|rule| levels.map(|level| format!("{}={level}", rule.name)));
    each.collect()
}

/// The shapes of a palette.
pub fn shapes() -> Vec<String> {
    SHAPES.map(|shape| shape.name.to_owned()).to_vec()
}

/// The techniques of reharmonising, to allow and to leave out.
pub fn techniques() -> Vec<String> {
    let each = TECHNIQUES
        .iter()
        .flat_map(|way| [way.name.to_owned(), format!("-{}", way.name)]);
    std::iter::once("all".to_owned()).chain(each).collect()
}
