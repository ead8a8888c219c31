//! The signs of a page: where segno and coda stand, and what can be said of the jumps without
//! playing them.

use super::problems;
use super::written_bars::WrittenBars;
use crate::chart::{Diagnostic, Jump, Marked, Span};

/// What a page's signs say.
#[derive(Debug, Default)]
pub(super) struct Signs {
    /// The bar of the segno.
    pub segno: Option<usize>,
    /// The bar of the coda.
    pub coda: Option<usize>,
}

/// Where an instruction that sends the player back wants to get.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum JumpGoal {
    /// The end, or a fine on the way.
    End,
    /// The fine.
    Fine,
    /// The way to the coda.
    Coda,
}

/// For a jump back: whether it goes to the segno (or to the beginning), and what for.
pub(super) const fn back(jump: Jump) -> Option<(bool, JumpGoal)> {
    match jump {
        Jump::DaCapo => Some((false, JumpGoal::End)),
        Jump::DaCapoAlFine => Some((false, JumpGoal::Fine)),
        Jump::DaCapoAlCoda => Some((false, JumpGoal::Coda)),
        Jump::DalSegno => Some((true, JumpGoal::End)),
        Jump::DalSegnoAlFine => Some((true, JumpGoal::Fine)),
        Jump::DalSegnoAlCoda => Some((true, JumpGoal::Coda)),
        Jump::Segno | Jump::Coda | Jump::ToCoda | Jump::Fine => None,
    }
}

/// The words of a page in order, each with its bar.
pub(super) fn words<'a>(page: &'a WrittenBars<'_>) -> impl Iterator<Item = (usize, &'a Marked)> {
    let bars = page.bars.iter().enumerate();
    bars.flat_map(|(bar, b)| b.jumps.iter().map(move |marked| (bar, marked)))
}

impl Signs {
    /// The signs of a page; notes jumps that lead nowhere whatever is played.
    pub(super) fn of(page: &WrittenBars<'_>, problems: &mut Vec<Diagnostic>) -> Self {
        let signs = Self {
            segno: only(page, Jump::Segno, problems),
            coda: only(page, Jump::Coda, problems),
        };
        let has = |wanted: &dyn Fn(Jump) -> bool| words(page).any(|(_, m)| wanted(m.jump));
        let there = Instructions {
            fine: has(&|jump| jump == Jump::Fine),
            to_coda: has(&|jump| jump == Jump::ToCoda),
            al_coda: has(&|jump| back(jump).is_some_and(|(_, goal)| goal == JumpGoal::Coda)),
        };
        for (_, marked) in words(page) {
            signs.check(marked.jump, marked.span, &there, problems);
        }
        signs
    }

    fn check(&self, jump: Jump, span: Span, there: &Instructions, problems: &mut Vec<Diagnostic>) {
        if jump == Jump::ToCoda && self.coda.is_none() {
            problems.push(problems::no_target(span, Jump::Coda));
        } else if jump == Jump::ToCoda && !there.al_coda {
            problems.push(problems::dead_to_coda(span));
        }
        let Some((to_segno, goal)) = back(jump) else {
            return;
        };
        if to_segno && self.segno.is_none() {
            problems.push(problems::no_target(span, Jump::Segno));
        }
        match goal {
            JumpGoal::Fine if !there.fine => problems.push(problems::no_fine(span)),
            // That the coda itself is missing is said at the way to it.
            JumpGoal::Coda if !there.to_coda => problems.push(problems::no_way_to_coda(span)),
            JumpGoal::End | JumpGoal::Fine | JumpGoal::Coda => {}
        }
    }
}

/// Which instructions a page has anywhere.
struct Instructions {
    fine: bool,
    to_coda: bool,
    al_coda: bool,
}

/// The bar of a sign; notes every further one.
fn only(page: &WrittenBars<'_>, sign: Jump, problems: &mut Vec<Diagnostic>) -> Option<usize> {
    let mut all = words(page).filter(|(_, marked)| marked.jump == sign);
    let first = all.next().map(|(bar, _)| bar);
    problems.extend(all.map(|(_, marked)| problems::second_sign(marked.span, sign)));
    first
}
