//! Compressed scores: an archive as it is, or a sound one made of a score and then damaged in one place, since no
//! change of an archive's bytes finds its checksum again.

#![no_main]

use compline_fuzz::{archive, tune_holds};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| match bytes {
    [at, damage, score @ ..] if !bytes.starts_with(b"PK") => {
        let mut whole = archive::stored("score.xml", score);
        // Counted from the end, where the list of files is.
        let place = whole.len() - 1 - usize::from(*at).min(whole.len() - 1);
        whole[place] ^= damage;
        tune_holds("musicxml", &whole);
    }
    _ => tune_holds("musicxml", bytes),
});
