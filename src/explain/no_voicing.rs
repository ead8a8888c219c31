//! Why a slot has no voicing, and what would help.

use std::fmt;

use super::CAUTION;
use crate::arrange::{Reason, Unmet};
use crate::chart::{MiddleC, VoicingWish, Wishes};
use crate::hand::Violation;
use crate::pitch::Pitch;
use crate::voicing::{NoVoicing, Tally, Voicing};
use crate::words::listed;

impl Reason {
    /// What would help, if anything is known to.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::Limits(none) => none
                .loosening
                .as_ref()
                .map(|loosening| format!("this would do: {}", loosening.beside(none.middle_c))),
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
    fn quoted(&self, wish: &VoicingWish) -> String {
        let wish = Wishes::NONE.with(wish.clone());
        format!("`{}`", wish.written(|note| self.middle_c.written(note)))
    }

    /// What the arranger can do about it.
    pub fn help(&self) -> String {
        let shown = self
            .legal
            .iter()
            .take(SHOWN)
            .map(|voicing| pasted(voicing, self.middle_c));
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
fn pasted(voicing: &Voicing, middle_c: MiddleC) -> String {
    let notes = voicing.written(middle_c, ".");
    let form = voicing.form.map(|form| format!(" {form}"));
    format!(
        "{notes} ({}{})",
        voicing.shape_name(),
        form.unwrap_or_default()
    )
}

impl fmt::Display for Unmet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wishes: Vec<String> = self.wishes.iter().map(|wish| self.quoted(wish)).collect();
        let together = if wishes.len() > 1 { " together" } else { "" };
        let wishes = listed(&wishes, "and") + together;
        let symbol = &self.symbol;
        let others = match self.legal.len() - self.unwished {
            0 => String::new(),
            1 => ", nor the 1 of another shape in the palette,".to_owned(),
            count => format!(", nor of the {count} of other shapes in the palette,"),
        };
        match (self.unwished, self.legal.len()) {
            (1, 1) => write!(
                f,
                "the only legal voicing of {symbol} is not as wished: {wishes}"
            ),
            (count, _) => write!(
                f,
                "none of the {count} legal voicings of {symbol}{others} is as wished: {wishes}"
            ),
        }
    }
}

impl std::error::Error for Unmet {}

impl NoVoicing {
    /// The last violation in words, its notes spelled as the page has them, with its shape.
    pub fn last_in_words(&self) -> Option<(&'static str, String)> {
        let (shape, violation) = self.last?;
        Some((
            shape,
            violation.spelled(|pitch| self.name(pitch), self.middle_c),
        ))
    }

    fn name(&self, pitch: Pitch) -> String {
        let mut names = self.names.iter();
        let spelled = names.find(|note| note.pitch() == Some(pitch));
        self.middle_c.named(pitch, spelled.copied())
    }
}

impl fmt::Display for NoVoicing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no legal voicing for {}", self.symbol)?;
        for (at, tally) in self.tally.iter().enumerate() {
            let lead = if at == 0 { ": " } else { ", " };
            let Tally { shape, rule, count } = tally;
            write!(f, "{lead}{count} {shape} out by {rule}")?;
        }
        match self.last_in_words() {
            Some((shape, why)) => {
                write!(f, "; the last, {shape}, because {why}")?;
                if matches!(self.last, Some((_, Violation::BeyondHand { .. }))) {
                    write!(f, ". {CAUTION}")
                } else {
                    Ok(())
                }
            }
            None => write!(f, ": it has no {}", self.shapes.join(", no ")),
        }
    }
}

impl std::error::Error for NoVoicing {}
