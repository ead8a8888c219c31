//! How is a symbol read, and which rootless voicings does it have?

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "an example may stop short, and prints"
)]

use compline::chord::Chord;
use compline::voicing::admitted;

/// The text this example prints.
pub fn report() -> String {
    let chord = Chord::read("G7alt").expect("a chord");
    let tones = chord.tones().iter().map(|tone| tone.degree.to_string());
    let mut text = format!(
        "{}: {}\n",
        chord.symbol(),
        tones.collect::<Vec<_>>().join(" ")
    );
    for found in admitted(&chord) {
        if found.shape.name == "rootless" {
            let names = found
                .layout
                .degrees()
                .map(|degree| chord.spell(degree).to_string());
            text += &format!("{} {}\n", found.colour, names.collect::<Vec<_>>().join(" "));
        }
    }
    text
}

fn main() {
    print!("{}", report());
}
