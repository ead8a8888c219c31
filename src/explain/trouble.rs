//! Why a chart can't be arranged, in words.

use std::error::Error;
use std::fmt;

use crate::arrange::{StuckSlot, Trouble};

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PlayOrder(problems) => problems.fmt(f),
            Self::Stuck(slots) => {
                let slots: Vec<String> = slots.iter().map(StuckSlot::to_string).collect();
                f.write_str(&slots.join("; "))
            }
            Self::NoPlan(why) => why.fmt(f),
            Self::Broken(step) => step.fmt(f),
        }
    }
}

impl Error for Trouble {}

impl fmt::Display for StuckSlot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "bar {}, beat {}: {}",
            self.slot.bar, self.slot.beat, self.why
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;

    fn trouble(text: &str) -> String {
        let tried = arrange(
            read(text).unwrap(),
            &Settings::default(),
            &mut Cache::default(),
        );
        let error: Box<dyn Error> = Box::new(tried.unwrap_err());
        error.to_string()
    }

    #[test]
    fn every_trouble_says_what_and_where_it_is() {
        let lost = trouble("| C | F @ds |");
        assert_eq!(lost, "byte 8: a jump to nowhere: there is no `@segno`");
        let stuck = trouble("| Dm7 | G7 |\nlh | ? | ?with=C8 |");
        assert!(stuck.starts_with("bar 2, beat 1: "), "{stuck}");
    }
}
