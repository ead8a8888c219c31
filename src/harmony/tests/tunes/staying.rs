//! Tunes that stay in their key.

use super::{TaughtTune, looped, tune};

pub(super) const STAYING: &[TaughtTune] = &[
    tune(
        "an ending on vi",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Cmaj7 E7 Am7",
            "Imaj7 ii7 V7 Imaj7 V7/vi vi7",
        ]],
    ),
    tune(
        "a lean on vi",
        "C",
        &[[
            "C",
            "Cmaj7 Bm7b5 E7 Am7 Dm7 G7 Em7 A7 Dm7 G7 C6",
            "Imaj7 viiø7 V7/vi vi7 ii7 V7 iii7 V7/ii ii7 V7 I6",
        ]],
    ),
    tune(
        "a bridge that leans on IV and V",
        "C",
        &[[
            "C",
            "C6 Am7 Dm7 G7 C6 Gm7 C7 Fmaj7 Am7 D7 Dm7 G7 C6 Am7 Dm7 G7 C6",
            "I6 vi7 ii7 V7 I6 ii7/IV V7/IV IVmaj7 vi7 V7/V ii7 V7 I6 vi7 ii7 V7 I6",
        ]],
    ),
    tune(
        "a minor tune that leans on its relative major",
        "Cm",
        &[[
            "Cm",
            "Cm7 Fm7 Bb7 Ebmaj7 Abmaj7 Dm7b5 G7 Cm6",
            "i7 iv7 V7/bIII bIIImaj7 bVImaj7 iiø7 V7 i6",
        ]],
    ),
    tune(
        "a minor tune that ends in major",
        "Cm",
        &[[
            "Cm",
            "Cm7 Fm7 Dm7b5 G7 Cm7 Dm7b5 G7 Cmaj7",
            "i7 iv7 iiø7 V7 i7 iiø7 V7 Imaj7",
        ]],
    ),
    tune(
        "rhythm changes, with a bridge of extended dominants",
        "C",
        &[[
            "C",
            "C6 A7 Dm7 G7 Em7 A7 Dm7 G7 Gm7 C7 F6 F#dim7 C6 A7 Dm7 G7 C6 E7 A7 D7 G7 C6 A7 Dm7 G7 C6",
            "I6 V7/ii ii7 V7 iii7 V7/ii ii7 V7 ii7/IV V7/IV IV6 #ivo7 I6 V7/ii ii7 V7 I6 III7 VI7 V7/V V7 I6 V7/ii ii7 V7 I6",
        ]],
    ),
    tune(
        "the same bridge, each dominant with its ii",
        "C",
        &[[
            "C",
            "C6 Dm7 G7 C6 Bm7 E7 Em7 A7 Am7 D7 Dm7 G7 C6",
            "I6 ii7 V7 I6 ii7/vi III7 iii7 VI7 vi7 V7/V ii7 V7 I6",
        ]],
    ),
    tune(
        "ii-V's down by whole steps that arrive only at home",
        "C",
        &[[
            "C",
            "Cmaj7 F#m7 B7 Em7 A7 Dm7 G7 Cmaj7",
            "Imaj7 ii7/iii V7/iii iii7 V7/ii ii7 V7 Imaj7",
        ]],
    ),
    tune(
        "ii-V's down by half steps",
        "C",
        &[[
            "C",
            "Cmaj7 F7 Em7 A7 Ebm7 Ab7 Dm7 G7 C6",
            "Imaj7 subV7/iii iii7 V7/ii biii7 subV7/V ii7 V7 I6",
        ]],
    ),
    tune(
        "a blues with its turnaround",
        "C",
        &[[
            "C",
            "C7 F7 C7 Gm7 C7 F7 F#dim7 C7 Em7b5 A7 Dm7 G7 C7 A7 Dm7 G7",
            "I7 IV7 I7 ii7/IV V7/IV IV7 #ivo7 I7 iiø7/ii V7/ii ii7 V7 I7 V7/ii ii7 V7",
        ]],
    ),
    tune(
        "a minor blues",
        "Cm",
        &[[
            "Cm",
            "Cm7 Fm7 Cm7 C7 Fm7 Cm7 Ab7 G7 Cm7 Dm7b5 G7",
            "i7 iv7 i7 V7/iv iv7 i7 subV7/V V7 i7 iiø7 V7",
        ]],
    ),
    tune(
        "the backdoor",
        "C",
        &[[
            "C",
            "Cmaj7 Gm7 C7 Fmaj7 Fm7 Bb7 Cmaj7 Fm7 Bb7 Cmaj7 Dm7 G7 C6",
            "Imaj7 ii7/IV V7/IV IVmaj7 iv7 bVII7 Imaj7 iv7 bVII7 Imaj7 ii7 V7 I6",
        ]],
    ),
    tune(
        "a turnaround of borrowed major chords",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Cmaj7 Ebmaj7 Abmaj7 Dbmaj7 Cmaj7",
            "Imaj7 ii7 V7 Imaj7 bIIImaj7 bVImaj7 bIImaj7 Imaj7",
        ]],
    ),
    tune(
        "a vamp on i and IV",
        "Cm",
        &[[
            "Cm",
            "Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7 F7 Cm7",
            "i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7 IV7 i7",
        ]],
    ),
    tune(
        "triads with the flat seventh",
        "C",
        &[["C", "C Bb F C Bb F C", "I bVII IV I bVII IV I"]],
    ),
    tune(
        "the minor key's own triads",
        "Cm",
        &[["Cm", "Cm Ab Bb Cm Ab Bb Cm", "i bVI bVII i bVI bVII i"]],
    ),
    tune(
        "cadences that deceive",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Em7 A7 Dm7 G7 Am7 Dm7 G7 Abmaj7 Dm7 G7 C6",
            "Imaj7 ii7 V7 iii7 V7/ii ii7 V7 vi7 ii7 V7 bVImaj7 ii7 V7 I6",
        ]],
    ),
    tune(
        "a tune that begins off its tonic",
        "C",
        &[[
            "C",
            "Em7b5 A7 Dm7 G7 Cmaj7 Em7b5 A7 Dm7 G7 C6",
            "iiø7/ii V7/ii ii7 V7 Imaj7 iiø7/ii V7/ii ii7 V7 I6",
        ]],
    ),
    tune(
        "substitutes all the way down",
        "C",
        &[[
            "C",
            "Cmaj7 Eb7 Dm7 Db7 Cmaj7 Em7 Eb7 Dm7 Db7 C6",
            "Imaj7 subV7/ii ii7 subV7 Imaj7 iii7 subV7/ii ii7 subV7 I6",
        ]],
    ),
    tune(
        "an ending on the turnaround",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Em7 A7 Dm7 G7 Cmaj7 A7 Dm7 G7",
            "Imaj7 ii7 V7 iii7 V7/ii ii7 V7 Imaj7 V7/ii ii7 V7",
        ]],
    ),
    looped(
        "a loop that turns around",
        "C",
        &[["C", "Cmaj7 A7 Dm7 G7", "Imaj7 V7/ii ii7 V7"]],
    ),
    looped(
        "a loop whose last chord is the backdoor home",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Cmaj7 Gm7 C7 Fmaj7 Fm7 Bb7",
            "Imaj7 ii7 V7 Imaj7 ii7/IV V7/IV IVmaj7 iv7 bVII7",
        ]],
    ),
    tune(
        "a diminished run at the opening",
        "C",
        &[[
            "C",
            "F#dim7 Ebdim7 A7 D7 G7 C C",
            "#ivo7 biiio7 VI7 V7/V V7 I I",
        ]],
    ),
    tune(
        "a blues without its V7",
        "C",
        &[[
            "C",
            "C7 F7 C7 C7 F7 F7 C7 C7 F7 F7 C7 C7",
            "I7 IV7 I7 I7 IV7 IV7 I7 I7 IV7 IV7 I7 I7",
        ]],
    ),
    tune(
        "an excursion to IV and its backdoor home",
        "C",
        &[[
            "C",
            "Cmaj7 Dm7 G7 Cmaj7 Gm7 C7 Fmaj7 Bb7 Cmaj7 Dm7 G7 C6",
            "Imaj7 ii7 V7 Imaj7 ii7/IV V7/IV IVmaj7 bVII7 Imaj7 ii7 V7 I6",
        ]],
    ),
    tune(
        "an opening on IV",
        "C",
        &[[
            "C",
            "Fmaj7 Fm6 Cmaj7 A7 Dm7 G7 Cmaj7 C6",
            "IVmaj7 iv6 Imaj7 V7/ii ii7 V7 Imaj7 I6",
        ]],
    ),
    tune(
        "a part that starts and ends on its tonic",
        "C",
        &[["C", "C F C D7 G C7 F Fm C", "I IV I V7/V V V7/IV IV iv I"]],
    ),
];
