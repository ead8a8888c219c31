//! What voicings would be taken for and what to touch, in words.

use super::why::words::by_reason;
use crate::pitch::Degree;
use crate::voicing::{Completeness, Grounding, Grounds, HeardAs, Touch};

pub(crate) const fn because(reason: Grounds) -> &'static str {
    match reason {
        Grounds::SilentRoot | Grounds::Silent => "silent",
        Grounds::RootAbove => "not the lowest note",
        Grounds::Bass => "in the bass by the symbol",
        Grounds::Changes => "not among the guide tones of the chord before",
    }
}

/// The two lines of a paragraph of `why`: each with its label.
pub(crate) fn lines(grounding: &Grounding) -> [(&'static str, String); 2] {
    [
        ("heard as", heard(&grounding.heard_as)),
        ("touch", touch(&grounding.touch)),
    ]
}

/// The chords, those of which as much sounds together.
fn heard(all: &[HeardAs]) -> String {
    if all.is_empty() {
        return "no chord in everyday use on another root".to_owned();
    }
    let group = |group: &[HeardAs]| {
        let symbols: Vec<&str> = group.iter().map(|heard| heard.symbol.as_str()).collect();
        let how = group.first().map_or("", |heard| sounding(heard.how));
        format!("{} {how}", symbols.join(", "))
    };
    let groups = all.chunk_by(|a, b| a.how == b.how).map(group);
    groups.collect::<Vec<_>>().join("; ")
}

const fn sounding(how: Completeness) -> &'static str {
    match how {
        Completeness::Whole => "with every tone",
        Completeness::Rooted => "with the root",
        Completeness::Rootless => "without the root",
    }
}

fn touch(all: &[Touch]) -> String {
    if all.is_empty() {
        return "nothing: the root is lowest, and no guide tone is silent or new".to_owned();
    }
    let tone = |touch: &Touch| match touch.degree {
        Degree::ROOT => format!("the root {}", touch.name),
        degree => format!("{degree} {}", touch.name),
    };
    let tones = all.iter();
    by_reason(tones.map(|each| (tone(each), because(each.reason).to_owned()))).join("; ")
}
