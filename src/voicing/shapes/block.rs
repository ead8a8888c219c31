//! Close position with the root, in every inversion; and the two yardsticks.
//!
//! At most four notes: third and seventh, then what the symbol names, then the root, then the 5. So
//! a named tension takes the place of the 5 and the next one that of the root. Where the symbol names
//! more than fit, each selection that fits is tried. Triads, suspended triads and power chords are
//! themselves, and in a line on one root the moving tone stands with the two that stay. Taught everywhere (Haerle, *Jazz Piano Voicing Skills*, "block").

use crate::chord::Chord;
use crate::hand::Range;
use crate::pitch::{Degree, Name, Pitch};

use super::{Layout, Material, Shape};
use crate::voicing::{Voicing, lay};

pub(in crate::voicing) static SHAPE: Shape = Shape {
    name: "block",
    about: "close position with the root, all inversions (Haerle)",
    layouts,
};

/// The notes of a block.
const MOST: usize = 4;

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let mut found = Vec::with_capacity(MOST);
    for tones in selections(material) {
        add_inversions(&tones, &mut found);
    }
    found
}

fn add_inversions(tones: &[Degree], found: &mut Vec<Layout>) {
    for at in 0..tones.len() {
        Layout::inversion(tones, at, None).add_to(found);
    }
}

/// The sets of tones a block may be made of.
///
/// A triad with added tones may also be the bare triad: only where the melody leaves those no room is that
/// legal.
fn selections(material: &Material<'_>) -> Vec<Vec<Degree>> {
    if !material.only.is_empty() {
        return vec![material.only.clone()];
    }
    let frame = [material.third, material.seventh].into_iter().flatten();
    let frame: Vec<Degree> = frame.collect();
    let named = material.named();
    let room = MOST.saturating_sub(frame.len());
    if named.len() > room {
        let chosen = choose(&named, room).into_iter();
        return chosen
            .map(|chosen| [&frame[..], &chosen].concat())
            .collect();
    }
    let bare = !named.is_empty() && material.seventh.is_none();
    let bare = bare.then(|| filled_up(frame.clone(), material.chord));
    let tones = filled_up([frame, named].concat(), material.chord);
    std::iter::once(tones).chain(bare).collect()
}

/// The tones with root and fifth, as far as there is room.
fn filled_up(mut tones: Vec<Degree>, chord: &Chord) -> Vec<Degree> {
    for filler in [Some(Degree::ROOT), natural_fifth(chord)]
        .into_iter()
        .flatten()
    {
        let crowded = tones.iter().any(|tone| crate::hand::cancels(filler, *tone));
        let there = tones.iter().any(|tone| tone.class() == filler.class());
        if tones.len() < MOST && !crowded && !there {
            tones.push(filler);
        }
    }
    tones
}

fn natural_fifth(chord: &Chord) -> Option<Degree> {
    chord.fifth().filter(|fifth| fifth.alter() == 0)
}

/// Every selection of `count` of the degrees, in their order.
fn choose(degrees: &[Degree], count: usize) -> Vec<Vec<Degree>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let Some((first, rest)) = degrees.split_first() else {
        return Vec::new();
    };
    let with = choose(rest, count - 1).into_iter();
    let with = with.map(|tail| [&[*first][..], &tail].concat());
    with.chain(choose(rest, count)).collect()
}

/// The plain seventh chord (or triad) under a symbol: root, third, fifth, seventh, no extension.
fn plain(chord: &Chord) -> Vec<Degree> {
    // An "alt" has no fifth of its own; its flat thirteenth is what sounds there.
    let altered = chord.is_altered().then_some(Degree::known(13, -1));
    let fifth = chord.fifth().or(altered);
    let tones = [Some(Degree::ROOT), chord.third(), fifth, chord.seventh()];
    tones.into_iter().flatten().collect()
}

/// What theory calls the notes of a layout.
fn spelled(chord: &Chord, layout: &Layout) -> Vec<Name> {
    layout.degrees().map(|degree| chord.spell(degree)).collect()
}

/// The yardstick `block-root`: the plain chord in root position with its root in C3 to B3. It minds
/// no limit of the hand.
///
/// ```
/// use compline::chord::Chord;
/// use compline::voicing::block_root;
///
/// let voicing = block_root(&Chord::read("G9").unwrap()).unwrap();
/// assert_eq!(voicing.to_string(), "G3 B3 D4 F4");
/// ```
pub fn block_root(chord: &Chord) -> Option<Voicing> {
    let root = Range::default().low().next_of(chord.root().class())?;
    let layout = Layout::close(&plain(chord), None);
    lay(&spelled(chord, &layout), &SHAPE, &layout, root)
}

/// The yardstick `block-nearest`: every close position of the plain chord inside the range, lowest
/// first. It minds no other limit of the hand.
pub fn block_nearest(chord: &Chord, range: Range) -> Vec<Voicing> {
    let mut layouts = Vec::new();
    add_inversions(&plain(chord), &mut layouts);
    let mut found: Vec<Voicing> = layouts
        .iter()
        .flat_map(|layout| {
            let names = spelled(chord, layout);
            let roots = (0..=range.high().midi()).filter_map(Pitch::new);
            roots
                .filter(|root| root.class() == chord.root().class())
                .filter_map(move |root| lay(&names, &SHAPE, layout, root))
        })
        .filter(|voicing| voicing.notes.iter().all(|note| range.holds(note.pitch)))
        .collect();
    found.sort_by(Voicing::by_pitches);
    found.dedup_by(|a, b| a.by_pitches(b).is_eq());
    found
}
