//! Why a slot has no voicing, and what would help.

use std::fmt;

use crate::arrange::{Reason, Unmet};
use crate::voicing::Voicing;

impl Reason {
    /// What would help, if anything is known to.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::Limits(none) => none
                .loosening
                .as_ref()
                .map(|loosening| format!("this would do: {loosening}")),
            Self::Wishes(unmet) => Some(unmet.help()),
        }
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Limits(none) => none.fmt(f),
            Self::Wishes(unmet) => unmet.fmt(f),
        }
    }
}

/// How many legal voicings are shown beside a wish that none of them meets.
const SHOWN: usize = 6;

impl Unmet {
    /// What the arranger can do about it.
    pub fn help(&self) -> String {
        let shown = self.legal.iter().take(SHOWN).map(pasted);
        let shown: Vec<String> = shown.collect();
        let more = if self.legal.len() > SHOWN {
            ", …"
        } else {
            ""
        };
        format!("legal there: {}{more}", shown.join(", "))
    }
}

/// A voicing as it can be typed in a chart, with its shape.
fn pasted(voicing: &Voicing) -> String {
    let notes = voicing.to_string().replace(' ', ".");
    let form = voicing.form.map(|form| format!(" {form}"));
    format!("{notes} ({}{})", voicing.shape, form.unwrap_or_default())
}

impl fmt::Display for Unmet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wishes: Vec<String> = self.wishes.iter().map(|wish| format!("`{wish}`")).collect();
        let wishes = match wishes.as_slice() {
            [wish] => wish.clone(),
            [rest @ .., last] => format!("{} and {last} together", rest.join(", ")),
            [] => String::new(),
        };
        let symbol = &self.symbol;
        match self.legal.len() {
            1 => write!(
                f,
                "the only legal voicing of {symbol} is not as wished: {wishes}"
            ),
            count => write!(
                f,
                "none of the {count} legal voicings of {symbol} is as wished: {wishes}"
            ),
        }
    }
}

impl std::error::Error for Unmet {}
