//! Four notes without the root, in form A (third lowest) and form B (seventh lowest).
//!
//! Both forms are the filling's four degrees in close position, upward from the third or from the
//! seventh: m9 is b3 5 b7 9 or b7 9 b3 5. The 9 stands for the root and the 13 for the 5, which is why
//! the ii's 9 stays as the V's 13 and one note moves (G. Lui, "Left Hand Four Note Voicings"). Taught
//! by Levine (*The Jazz Piano Book*, ch. 7), Tymoczko (*A Geometry of Music*, sect. 10.1), and in the
//! method books generally.
//!
//! Where no ninth fits the root is kept (a half-diminished chord, anything in colour *written*), and so it
//! is in plainer fillings; such a voicing is then called a block. A diminished seventh chord is its four
//! tones in any inversion. Its b5 may rise a whole step; in colour *altered* its seventh too, or give way
//! to the b13 (Sabatella, *A Jazz Improvisation Almanac*, 2000, "Diminished Chord Voicings": C# E G A). Root
//! and third stay, unless the symbol names what replaces them.

use crate::chord::Family;
use crate::hand::{keeps_root, raise};
use crate::pitch::Degree;

use super::{Form, Layout, Material, Shape, form_of};
use crate::voicing::Filling;
use crate::voicing::colour::Colour;

pub(in crate::voicing) static SHAPE: Shape = Shape {
    name: "rootless",
    about: "four notes without the root, third or seventh lowest (Levine ch. 7; Tymoczko 10.1)",
    layouts,
};

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let mut found = Vec::with_capacity(2 * material.fillings.len());
    if let Some(tones) = material.diminished() {
        diminished(material, tones, &mut found);
        return found;
    }
    found.extend(material.of_any_shape());
    for filling in &material.fillings {
        let (third, seventh) = (filling.third, filling.seventh);
        let (fifth, ninth) = (filling.fifth, filling.ninth);
        Layout::close(&[third, fifth, seventh, ninth], Some(Form::A)).add_to(&mut found);
        let bare = adds_sixth(material, filling);
        if !bare {
            Layout::close(&[seventh, ninth, third, fifth], Some(Form::B)).add_to(&mut found);
        }
        if turns(material, filling) {
            add_inversions(&filling.degrees(), third, seventh, &mut found);
        } else if seventh.number() == 7 {
            turned([fifth, ninth], &filling.degrees(), &mut found);
        } else if third == Degree::MINOR_THIRD && ninth == Degree::NINTH {
            let on_ninth = Layout::close(&[ninth, third, fifth, seventh], None);
            let turned = true;
            Layout { turned, ..on_ninth }.add_to(&mut found);
        }
        if bare && ninth == Degree::ROOT {
            let (root, degrees) = (3, filling.degrees());
            Layout::inversion(&degrees, root, None).add_to(&mut found);
        }
    }
    found
}

/// Whether the 6 is not the symbol's own: a bare major triad has it from its colour. It may colour the triad,
/// but not carry it: with the 6 lowest, F is D G A C, fourths on D, or D F A C, a D minor seventh (common
/// practice, no source). Where the 3 would lie too low or too high, the root may carry it.
fn adds_sixth(material: &Material<'_>, filling: &Filling) -> bool {
    let triad = material.chord.family() == Family::Major && material.chord.seventh().is_none();
    triad && filling.seventh == Degree::SIXTH
}

/// Whether every inversion of a filling is played: of a half-diminished chord, whose notes are those of a
/// minor sixth chord, of 3 5 b7 b9, which is a diminished seventh chord, and of a chord that keeps its root
/// over another bass (common practice, no source).
fn turns(material: &Material<'_>, filling: &Filling) -> bool {
    let rooted = filling.ninth == Degree::ROOT;
    let half = material.chord.family() == Family::HalfDiminished;
    let turned = rooted && (half || keeps_root(material.chord));
    let major = filling.third == Degree::THIRD && filling.seventh == Degree::FLAT_SEVENTH;
    let flat = filling.fifth == Degree::FIFTH && filling.ninth == Degree::FLAT_NINTH;
    turned || major && flat
}

/// The inversions that are neither form, for a place where both would lie low or high: F A C D for Bbmaj9 is
/// played where A and B would begin on D3 or A3 (common practice, no source). Not on the root, not with a half
/// step or three notes within a major third at the bottom, nor with a half step on top, and none of a major
/// sixth chord: on its 9 or 5 it is heard as another chord. A minor six-nine has the one on its 9, where the
/// half step below the b3 is its bite.
fn turned(lowest: [Degree; 2], tones: &[Degree], found: &mut Vec<Layout>) {
    // With an 11 they would be fourths, and on the #11 the dominant a tritone away.
    let on = [Degree::ROOT, Degree::SHARP_ELEVENTH];
    let fits = |lowest: &Degree| !on.contains(lowest) && !tones.contains(&Degree::ELEVENTH);
    for lowest in lowest.into_iter().filter(fits) {
        let at = tones.iter().position(|tone| *tone == lowest);
        let turned = Layout {
            turned: true,
            ..Layout::inversion(tones, at.unwrap_or(0), None)
        };
        let clear = match turned.tones[..] {
            [(_, low), (_, next), (_, third), (_, top)] => {
                next - low > 1 && third - low > 4 && top - third > 1
            }
            _ => false,
        };
        let known = found.iter().any(|other| other.tones == turned.tones);
        if clear && !known {
            found.push(turned);
        }
    }
}

fn diminished(material: &Material<'_>, tones: [Degree; 3], found: &mut Vec<Layout>) {
    let [third, fifth, seventh] = tones;
    let plain = [Degree::ROOT, third, fifth, seventh];
    add_inversions(&plain, third, seventh, found);
    for (tone, instead) in replacements(material, tones) {
        let replaced = plain.map(|own| if own == tone { instead } else { own });
        add_raised(&replaced, instead, third, seventh, found);
    }
}

/// Which tone may give way to which: what is named to what the symbol names, the b5 to the b13 above it in
/// every colour but *written*, and the seventh only where colours are altered.
fn replacements(material: &Material<'_>, tones: [Degree; 3]) -> Vec<(Degree, Degree)> {
    let [third, fifth, seventh] = tones;
    let plain = [Degree::ROOT, third, fifth, seventh];
    let full = seventh.class() == 9;
    let mut found: Vec<(Degree, Degree)> = Vec::new();
    let mut add = |pair: (Degree, Degree)| {
        if !found.contains(&pair) && !plain.contains(&pair.1) {
            found.push(pair);
        }
    };
    for named in material.named() {
        let own = plain.into_iter().find(|tone| raise(*tone) == Some(named));
        add((own.unwrap_or(Degree::ROOT), named));
    }
    if full && material.colour != Colour::Written {
        add((fifth, Degree::FLAT_THIRTEENTH));
    }
    if full && material.colour == Colour::Altered {
        add((seventh, Degree::SEVENTH));
        add((seventh, Degree::FLAT_THIRTEENTH));
    }
    found
}

/// The inversions but the one with the raised tone lowest: it stands a half step under its
/// neighbour, which is muddy at the bottom (common practice, no source).
fn add_raised(
    tones: &[Degree],
    raised: Degree,
    third: Degree,
    seventh: Degree,
    found: &mut Vec<Layout>,
) {
    let mut inversions = Vec::with_capacity(tones.len());
    add_inversions(tones, third, seventh, &mut inversions);
    for layout in inversions {
        let rubs = match layout.tones[..] {
            [(lowest, low), (_, next), ..] => lowest == raised && next == low + 1,
            _ => false,
        };
        if !rubs {
            layout.add_to(found);
        }
    }
}

fn add_inversions(tones: &[Degree], third: Degree, seventh: Degree, found: &mut Vec<Layout>) {
    for (at, lowest) in tones.iter().enumerate() {
        let form = form_of(*lowest, third, seventh);
        Layout::inversion(tones, at, form).add_to(found);
    }
}
