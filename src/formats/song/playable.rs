//! Signs that a chart's player can't follow, taken out of a song one by one.

use super::super::report::{JUMPS, Loss, ORDER, REPEATS};
use super::{Song, SongBar};
use crate::chart::{Bar, Chart, Diagnostic, Jump, Span};

/// Takes out the sign that a problem with the play order is about, and counts it. Bars that are never
/// played are nobody's sign: then all signs go.
///
/// `chart` was made of the song, a bar for a bar.
pub(super) fn take_out(song: &mut Song, chart: &Chart, problem: &Diagnostic) {
    if !song.play.is_empty() {
        song.play.clear();
        song.report.add(ORDER, "header");
        return;
    }
    let about = |span: Span| span.range() == problem.span;
    let written = chart.bars().zip(&mut song.bars);
    let taken = written
        .filter_map(|(bar, song)| Some((sign(bar, song, &about)?, song.place.clone())))
        .next();
    match taken {
        Some((loss, place)) => song.report.add(loss, &place),
        None => take_all(song),
    }
}

/// Takes the sign out of a bar, if it is one of the bar's; what kind it was.
fn sign(bar: &Bar, song: &mut SongBar, about: &impl Fn(Span) -> bool) -> Option<&'static Loss> {
    if let Some(at) = bar.jumps.iter().position(|marked| about(marked.span)) {
        let jump = song.jumps.get_mut(at)?;
        match plainer(*jump) {
            Some(plain) => *jump = plain,
            None => drop(song.jumps.remove(at)),
        }
        return Some(JUMPS);
    }
    if about(bar.opens.span) && !song.endings.is_empty() {
        song.endings.clear();
        return Some(REPEATS);
    }
    if about(bar.opens.span) && std::mem::take(&mut song.opens_repeat) {
        return Some(REPEATS);
    }
    if about(bar.closes.span) && song.closes_repeat.take().is_some() {
        return Some(REPEATS);
    }
    None
}

/// The same way back without the sign it was to end at.
const fn plainer(jump: Jump) -> Option<Jump> {
    match jump {
        Jump::DaCapoAlFine | Jump::DaCapoAlCoda => Some(Jump::DaCapo),
        Jump::DalSegnoAlFine | Jump::DalSegnoAlCoda => Some(Jump::DalSegno),
        _ => None,
    }
}

/// Takes out every sign of the bars, and counts them.
pub(super) fn take_all(song: &mut Song) {
    song.play.clear();
    for bar in &mut song.bars {
        let repeats = usize::from(!bar.endings.is_empty())
            + usize::from(bar.opens_repeat)
            + usize::from(bar.closes_repeat.is_some());
        song.report.add_many(REPEATS, repeats, &bar.place);
        song.report.add_many(JUMPS, bar.jumps.len(), &bar.place);
        bar.jumps.clear();
        bar.endings.clear();
        bar.opens_repeat = false;
        bar.closes_repeat = None;
    }
}
