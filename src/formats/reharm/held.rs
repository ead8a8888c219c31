//! What holds the places that were asked about, for people.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::chart::Slot;
use crate::explain::held_because;
use crate::reharm::Proposed;

/// A line for each of some slots that is held: the place, the chord, and why; then what it keeps out, and
/// what frees it. Nothing where none is held.
pub fn held_text(slots: &[Slot], proposed: &Proposed, among: &BTreeSet<usize>) -> String {
    let mut text = String::new();
    let mut held_bars: Option<(usize, usize)> = None;
    for slot in slots.iter().filter(|slot| among.contains(&slot.index)) {
        let holds: BTreeSet<_> = proposed.held.at(slot.index).iter().copied().collect();
        if !holds.is_empty() {
            let (bar, symbol) = (slot.bar, slot.symbol.text());
            held_bars = Some((held_bars.map_or(bar, |(first, _)| first), bar));
            let _ = writeln!(
                text,
                "bar {bar}: {symbol} is held: {}",
                held_because(&holds)
            );
        }
    }
    let kept_out = proposed.kept_out.iter();
    let kept_out = kept_out.filter(|one| one.slots.clone().any(|slot| among.contains(&slot)));
    let names: Vec<String> = kept_out.map(|one| one.name.to_string()).collect();
    if !names.is_empty() {
        let _ = writeln!(text, "kept out: {}", names.join(", "));
    }
    match held_bars {
        Some((first, last)) if first == last => text + &format!("--free {first} frees it\n"),
        Some((first, last)) => text + &format!("--free {first}-{last} frees them\n"),
        None => text,
    }
}
