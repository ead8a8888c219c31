//! Tunes that leave their key.

use super::{TaughtTune, looped, tune};

pub(super) const LEAVING: &[TaughtTune] = &[
    tune(
        "an ending in the relative minor",
        "C",
        &[
            [
                "C",
                "Cmaj7 A7 Dm7 G7 Cmaj7 Gm7 C7 Fmaj7 Bb7 Eb7 Abmaj7 F#m7b5 Fm6 Em7 Ebdim7 Dm7/G C6/9",
                "Imaj7 V7/ii ii7 V7 Imaj7 ii7/IV V7/IV IVmaj7 bVII7 V7/bVI bVImaj7 #ivø7 iv6 iii7 biiio7 ii7 I6",
            ],
            ["Am", "Bm7b5 E7 Am", "iiø7 V7 i"],
        ],
    ),
    tune(
        "an ending in the relative major",
        "Cm",
        &[
            ["Cm", "Cm7 Fm7 Dm7b5 G7 Cm7", "i7 iv7 iiø7 V7 i7"],
            ["Eb", "Fm7 Bb7 Ebmaj7", "ii7 V7 Imaj7"],
        ],
    ),
    tune(
        "a bridge in IV",
        "C",
        &[
            ["C", "Cmaj7 A7 Dm7 G7 C6", "Imaj7 V7/ii ii7 V7 I6"],
            [
                "F",
                "Gm7 C7 Fmaj7 Dm7 Gm7 C7 Fmaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            [
                "C",
                "Am7 D7 Dm7 G7 Cmaj7 A7 Dm7 G7 C6",
                "vi7 V7/V ii7 V7 Imaj7 V7/ii ii7 V7 I6",
            ],
        ],
    ),
    tune(
        "a bridge in V",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 Cmaj7", "Imaj7 ii7 V7 Imaj7"],
            [
                "G",
                "Am7 D7 Gmaj7 Em7 Am7 D7 Gmaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            ["C", "Dm7 G7 Cmaj7 Dm7 G7 C6", "ii7 V7 Imaj7 ii7 V7 I6"],
        ],
    ),
    tune(
        "a bridge a minor third up",
        "C",
        &[
            ["C", "Cmaj7 Am7 Dm7 G7 Cmaj7", "Imaj7 vi7 ii7 V7 Imaj7"],
            [
                "Eb",
                "Fm7 Bb7 Ebmaj7 Cm7 Fm7 Bb7 Ebmaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            ["C", "Dm7 G7 Cmaj7 Dm7 G7 C6", "ii7 V7 Imaj7 ii7 V7 I6"],
        ],
    ),
    tune(
        "one cadence a minor third up",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 Cmaj7", "Imaj7 ii7 V7 Imaj7"],
            ["Eb", "Fm7 Bb7 Ebmaj7", "ii7 V7 Imaj7"],
            ["C", "Dm7 G7 C6", "ii7 V7 I6"],
        ],
    ),
    tune(
        "a bridge a major third up",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 C6", "Imaj7 ii7 V7 I6"],
            [
                "E",
                "F#m7 B7 Emaj7 C#m7 F#m7 B7 Emaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            ["C", "Dm7 G7 Cmaj7 Dm7 G7 C6", "ii7 V7 Imaj7 ii7 V7 I6"],
        ],
    ),
    tune(
        "a bridge in bVI",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 C6", "Imaj7 ii7 V7 I6"],
            [
                "Ab",
                "Bbm7 Eb7 Abmaj7 Fm7 Bbm7 Eb7 Abmaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            ["C", "Dm7b5 G7 Cmaj7 Dm7 G7 C6", "iiø7 V7 Imaj7 ii7 V7 I6"],
        ],
    ),
    tune(
        "a bridge in the relative minor",
        "C",
        &[
            ["C", "C6 Am7 Dm7 G7 C6", "I6 vi7 ii7 V7 I6"],
            [
                "Am",
                "Bm7b5 E7 Am6 Dm7 Bm7b5 E7 Am6",
                "iiø7 V7 i6 iv7 iiø7 V7 i6",
            ],
            ["C", "Dm7 G7 C6 Am7 Dm7 G7 C6", "ii7 V7 I6 vi7 ii7 V7 I6"],
        ],
    ),
    tune(
        "a minor tune with a major bridge",
        "Cm",
        &[
            ["Cm", "Cm6 Dm7b5 G7 Cm6", "i6 iiø7 V7 i6"],
            [
                "Eb",
                "Fm7 Bb7 Ebmaj7 Cm7 Fm7 Bb7 Ebmaj7",
                "ii7 V7 Imaj7 vi7 ii7 V7 Imaj7",
            ],
            ["Cm", "Dm7b5 G7 Cm6", "iiø7 V7 i6"],
        ],
    ),
    tune(
        "a bridge in the parallel minor",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 Cmaj7", "Imaj7 ii7 V7 Imaj7"],
            [
                "Cm",
                "Cm7 Fm7 Dm7b5 G7 Cm7 Abmaj7",
                "i7 iv7 iiø7 V7 i7 bVImaj7",
            ],
            ["C", "Dm7 G7 Cmaj7", "ii7 V7 Imaj7"],
        ],
    ),
    tune(
        "cadences a whole step down",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 Cmaj7", "Imaj7 ii7 V7 Imaj7"],
            ["Bb", "Cm7 F7 Bbmaj7", "ii7 V7 Imaj7"],
            ["Ab", "Bbm7 Eb7 Abmaj7", "ii7 V7 Imaj7"],
            ["C", "Dm7b5 G7 Cmaj7", "iiø7 V7 Imaj7"],
        ],
    ),
    // The cycle is an encyclopedia's ("Coltrane changes").
    tune(
        "a cycle of major thirds",
        "C",
        &[
            ["C", "Cmaj7 Dm7", "Imaj7 ii7"],
            ["Ab", "Eb7 Abmaj7", "V7 Imaj7"],
            ["E", "B7 Emaj7", "V7 Imaj7"],
            ["C", "G7 Cmaj7 Dm7 G7 C6", "V7 Imaj7 ii7 V7 I6"],
        ],
    ),
    tune(
        "a modal tune with its bridge a half step up",
        "Cm",
        &[
            [
                "Cm",
                "Cm7 Cm7 Cm7 Cm7 Cm7 Cm7 Cm7 Cm7",
                "i7 i7 i7 i7 i7 i7 i7 i7",
            ],
            ["C#m", "C#m7 C#m7 C#m7 C#m7", "i7 i7 i7 i7"],
            ["Cm", "Cm7 Cm7 Cm7 Cm7", "i7 i7 i7 i7"],
        ],
    ),
    tune(
        "a last chorus a half step up",
        "C",
        &[
            ["C", "C F G7 C F G7 C", "I IV V7 I IV V7 I"],
            ["Db", "Ab7 Db Gb Ab7 Db", "V7 I IV V7 I"],
        ],
    ),
    looped(
        "a loop through the relative minor and home",
        "C",
        &[
            ["C", "Cmaj7 Dm7 G7 Cmaj7", "Imaj7 ii7 V7 Imaj7"],
            [
                "Am",
                "Bm7b5 E7 Am6 Dm7 Bm7b5 E7 Am6",
                "iiø7 V7 i6 iv7 iiø7 V7 i6",
            ],
            ["C", "Dm7 G7", "ii7 V7"],
        ],
    ),
];
