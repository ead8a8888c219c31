//! The player: goes over a page bar by bar, taking repeats, endings and jumps as they come.

use super::order::Via;
use super::problems;
use super::repeats::Repeat;
use super::section_pass::SectionPass;
use super::signs::{self, JumpGoal};
use crate::chart::{Bar, Diagnostic, Jump, Marked, Span};

/// A repeat the player is in.
#[derive(Debug, Clone, Copy)]
struct Inside {
    repeat: usize,
    pass: usize,
    /// It was played before a jump back and is not taken again.
    spent: bool,
}

/// Why a player cannot go on.
pub(super) enum Stopped {
    /// The play order is too long; the sign of the repeat that makes it so.
    TooLong(Span),
    /// A problem at its place.
    At(Diagnostic),
}

/// A jump that was taken and is not over: where it stands and what it is for.
#[derive(Debug, Clone, Copy)]
struct PendingJump {
    goal: JumpGoal,
    span: Span,
}

/// Where the player goes at the end of a bar.
enum WayOn {
    /// On to a bar.
    Bar(usize, Via),
    /// Back to the start of a repeat the player is in.
    Back(usize, Via),
    /// To any bar by a jump.
    Land(usize, Via),
    /// The play order is over.
    End,
}

/// A player on a page.
pub(super) struct Performer<'a> {
    pass: &'a SectionPass<'a>,
    signs_act: bool,
    longest: usize,
    steps: &'a mut Vec<(usize, Via)>,
    /// The repeats round the player, the outer ones first.
    inside: Vec<Inside>,
    /// How many jumps back were taken.
    jumps: usize,
    /// For each repeat how many jumps had been taken when it was first played.
    played_at: Vec<Option<usize>>,
    /// For each bar, whether it was played.
    visited: Vec<bool>,
    /// For each bar, for each of its words, whether it was obeyed.
    obeyed: Vec<Vec<bool>>,
    pending: Option<PendingJump>,
}

impl<'a> Performer<'a> {
    pub(super) fn of(
        pass: &'a SectionPass<'a>,
        signs_act: bool,
        longest: usize,
        steps: &'a mut Vec<(usize, Via)>,
    ) -> Self {
        let bars = &pass.written.bars;
        Self {
            pass,
            signs_act,
            longest,
            steps,
            inside: Vec::new(),
            jumps: 0,
            played_at: vec![None; pass.repeats.len()],
            visited: vec![false; bars.len()],
            obeyed: bars.iter().map(|b| vec![false; b.jumps.len()]).collect(),
            pending: None,
        }
    }

    /// Plays the page.
    pub(super) fn play_out(&mut self) -> Result<(), Stopped> {
        let mut next = WayOn::Land(0, Via::Start);
        loop {
            let (bar, via) = match next {
                WayOn::Bar(bar, via) => self.arrive(bar, via),
                WayOn::Back(bar, via) => (bar, via),
                WayOn::Land(bar, via) => (self.land(bar), via),
                WayOn::End => break,
            };
            if bar >= self.pass.written.bars.len() {
                break;
            }
            self.play(bar, via)?;
            next = self.leave(bar)?;
        }
        match self.pending.filter(|pending| pending.goal != JumpGoal::End) {
            Some(pending) => Err(Stopped::At(not_met(pending))),
            None => Ok(()),
        }
    }

    fn play(&mut self, bar: usize, via: Via) -> Result<(), Stopped> {
        if self.steps.len() >= self.longest {
            return Err(Stopped::TooLong(self.longest_repeat(bar)));
        }
        if let Some(visited) = self.visited.get_mut(bar) {
            *visited = true;
        }
        self.steps.push((self.pass.written.first + bar, via));
        Ok(())
    }

    /// The sign of the repeat that is played most often, or the bar if there is none.
    fn longest_repeat(&self, bar: usize) -> Span {
        let inside = self.inside.iter().rev();
        let repeats = inside.filter_map(|i| self.pass.repeats.get(i.repeat));
        let most = repeats.max_by_key(|repeat| repeat.passes);
        let bar = self.bar(bar).map(|b| b.span);
        most.map(|repeat| repeat.sign).or(bar).unwrap_or_default()
    }

    fn bar(&self, bar: usize) -> Option<&'a Bar> {
        self.pass.written.bars.get(bar).copied()
    }

    /// Comes to a bar from outside the repeats that start there: chooses an ending, if the first of
    /// them starts here, and opens repeats.
    fn arrive(&mut self, bar: usize, via: Via) -> (usize, Via) {
        let (bar, via) = self.choose_ending(bar).unwrap_or((bar, via));
        self.open_from(bar, None);
        (bar, via)
    }

    fn choose_ending(&self, bar: usize) -> Option<(usize, Via)> {
        let inside = self.inside.last()?;
        let repeat = self.pass.repeats.get(inside.repeat)?;
        let starts_here = repeat.endings.first().is_some_and(|e| e.first == bar);
        let pass = inside.pass;
        let ending = repeat.ending_of(pass).filter(|_| starts_here)?;
        Some((ending.first, Via::Ending { pass }))
    }

    /// Opens the repeats that start with a bar, or only those within another.
    fn open_from(&mut self, bar: usize, after: Option<usize>) {
        let pass = self.pass;
        let starting = pass.repeats.starting(bar).iter().copied();
        for repeat in starting.filter(|&n| after.is_none_or(|outer| n > outer)) {
            self.open(repeat, bar);
        }
    }

    fn open(&mut self, number: usize, bar: usize) {
        let Some(repeat) = self.pass.repeats.get(number) else {
            return;
        };
        let first = self.played_at.get_mut(number);
        let spent = first.is_some_and(|at| *at.get_or_insert(self.jumps) < self.jumps);
        let ending = repeat.ending_at(bar).and_then(|e| e.passes.first());
        let pass = if spent {
            repeat.passes
        } else {
            ending.copied().unwrap_or(1)
        };
        self.inside.push(Inside {
            repeat: number,
            pass,
            spent,
        });
    }

    /// Comes to a bar by a jump, perhaps into the midst of repeats.
    fn land(&mut self, bar: usize) -> usize {
        let mut around: Vec<usize> = self.pass.repeats.around(bar).collect();
        around.reverse();
        self.inside.clear();
        for repeat in around {
            self.open(repeat, bar);
        }
        bar
    }

    fn leave(&mut self, bar: usize) -> Result<WayOn, Stopped> {
        if self.signs_act && self.is_last_time(bar) {
            let marks = self.bar(bar).map_or(&[][..], |b| &b.jumps);
            for (number, marked) in marks.iter().enumerate() {
                if let Some(next) = self.obey((bar, number), marked)? {
                    return Ok(next);
                }
            }
        }
        Ok(self.go_on(bar))
    }

    /// Whether no repeat will bring this bar round again.
    fn is_last_time(&self, bar: usize) -> bool {
        let last = |repeat: &Repeat, inside: &Inside| inside.pass >= repeat.last_pass(bar);
        self.inside.iter().all(|inside| {
            let repeat = self.pass.repeats.get(inside.repeat);
            inside.spent || repeat.is_none_or(|repeat| last(repeat, inside))
        })
    }

    /// Does what a word says, if it acts now.
    fn obey(&mut self, at: (usize, usize), marked: &Marked) -> Result<Option<WayOn>, Stopped> {
        let goal = self.pending.map(|pending| pending.goal);
        match (marked.jump, goal) {
            (Jump::Fine, Some(JumpGoal::End | JumpGoal::Fine)) => {
                self.pending = None;
                self.was_obeyed(at);
                Ok(Some(WayOn::End))
            }
            (Jump::ToCoda, Some(JumpGoal::Coda)) => {
                self.was_obeyed(at);
                let goal = JumpGoal::End;
                self.pending = self.pending.map(|pending| PendingJump { goal, ..pending });
                let via = Via::Jump(Jump::ToCoda);
                Ok(self.pass.signs.coda.map(|bar| WayOn::Land(bar, via)))
            }
            (jump, _) => match signs::back(jump) {
                Some(back) => self.go_back(at, marked, back),
                None => Ok(None),
            },
        }
    }

    fn go_back(
        &mut self,
        at: (usize, usize),
        marked: &Marked,
        (to_segno, goal): (bool, JumpGoal),
    ) -> Result<Option<WayOn>, Stopped> {
        if self.is_obeyed(at) {
            // Coming back to the jump that is still to be fulfilled, the player would go round for ever.
            let unmet = self.pending.filter(|pending| pending.goal != JumpGoal::End);
            return unmet.map_or(Ok(None), |pending| Err(Stopped::At(not_met(pending))));
        }
        self.was_obeyed(at);
        self.jumps += 1;
        let span = marked.span;
        self.pending = Some(PendingJump { goal, span });
        let bar = if to_segno {
            self.pass.signs.segno
        } else {
            Some(0)
        };
        Ok(bar.map(|bar| WayOn::Land(bar, Via::Jump(marked.jump))))
    }

    fn is_obeyed(&self, (bar, word): (usize, usize)) -> bool {
        let words = self.obeyed.get(bar).and_then(|words| words.get(word));
        words == Some(&true)
    }

    fn was_obeyed(&mut self, (bar, word): (usize, usize)) {
        let words = self.obeyed.get_mut(bar);
        if let Some(obeyed) = words.and_then(|words| words.get_mut(word)) {
            *obeyed = true;
        }
    }

    /// Goes back in the innermost repeat that ends here and has passes left, or on.
    fn go_on(&mut self, bar: usize) -> WayOn {
        let mut bar = bar;
        while let Some(inside) = self.inside.last_mut() {
            let Some(repeat) = self.pass.repeats.get(inside.repeat) else {
                break;
            };
            if !repeat.finishes(bar) {
                break;
            }
            if !inside.spent && inside.pass < repeat.passes {
                inside.pass += 1;
                let (pass, outer) = (inside.pass, inside.repeat);
                self.open_from(repeat.start, Some(outer));
                return WayOn::Back(repeat.start, Via::Repeat { pass });
            }
            bar = repeat.end.saturating_sub(1);
            self.inside.pop();
        }
        WayOn::Bar(bar + 1, Via::On)
    }

    /// What the play order left out: words that were never obeyed, or else bars that were never played.
    ///
    /// Where signs mean nothing, nothing is left out.
    pub(super) fn left_over(&self) -> Vec<Diagnostic> {
        if !self.signs_act {
            return Vec::new();
        }
        let words = self.words_left_over();
        if words.is_empty() {
            return self.bars_left_over();
        }
        words
    }

    fn words_left_over(&self) -> Vec<Diagnostic> {
        let last = self.steps.last().map(|&(bar, _)| bar);
        let mut left = Vec::new();
        for (bar, (words, obeyed)) in self.words_by_bar() {
            for (marked, _) in words.iter().zip(obeyed).filter(|(_, obeyed)| !**obeyed) {
                match marked.jump {
                    // Where the playing ends anyway, a fine says the truth.
                    Jump::Fine if last != Some(bar) => left.push(problems::dead_fine(marked.span)),
                    Jump::ToCoda => left.push(problems::dead_to_coda(marked.span)),
                    jump if signs::back(jump).is_some() => {
                        left.push(problems::dead_jump(marked.span));
                    }
                    _ => {}
                }
            }
        }
        left
    }

    fn words_by_bar(&self) -> impl Iterator<Item = (usize, (&'a [Marked], &Vec<bool>))> {
        let words = self
            .pass
            .written
            .bars
            .iter()
            .map(|bar| bar.jumps.as_slice());
        words.zip(&self.obeyed).enumerate()
    }

    /// One problem for each stretch of bars that were never played.
    fn bars_left_over(&self) -> Vec<Diagnostic> {
        let bars = self.pass.written.bars.iter().zip(&self.visited);
        let bars: Vec<(&Bar, bool)> = bars.map(|(&bar, &visited)| (bar, visited)).collect();
        let stretches = bars.chunk_by(|(_, a), (_, b)| a == b);
        let dead = stretches.filter(|stretch| stretch.iter().any(|(_, visited)| !visited));
        dead.filter_map(never_played).collect()
    }
}

fn never_played(bars: &[(&Bar, bool)]) -> Option<Diagnostic> {
    let ends = bars.iter().find(|(bar, _)| bar.closes.repeat.is_some());
    let (first, _) = bars.first()?;
    Some(match ends {
        Some((bar, _)) => problems::dead_repeat(bar.closes.span),
        None => problems::dead_bars(first.span, bars.len()),
    })
}

fn not_met(pending: PendingJump) -> Diagnostic {
    match pending.goal {
        JumpGoal::Coda => problems::way_to_coda_not_met(pending.span),
        JumpGoal::End | JumpGoal::Fine => problems::fine_not_met(pending.span),
    }
}
