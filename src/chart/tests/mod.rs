//! The language as a whole: the example of a lead sheet, and every kind of mistake.

mod mistakes;

use super::*;

const LAMPLIGHT: &str = "\
title: Lamplight on the Quay
key: Eb
meter: 4/4
tempo: 132
play: A A B A  ; optional

[A]
     |: Fm7        | Bb7       |  Ebmaj7 | Abmaj7    |
mel  |  C5:3 Ab4:1 | G4:2 F4:2 |  G4:4   | r:2 G4:2  |

     |  Dm7b5      | G7alt     |1 Cm6    | C7b9     :|

     |2 Cm6 | % ||

[B]
     | Am7 / D7b9 / | 3/4 Gm7 / C7 | N.C. | Ebmaj7 @fine ||
lh   | ?            | ?            | -    | G3.Bb3.D4.F4 |
";

#[test]
fn the_lead_sheet_is_in_its_standard_layout() {
    let chart = read(LAMPLIGHT).unwrap();
    assert_eq!(chart.tidy(), LAMPLIGHT);
    assert_eq!(read(&chart.tidy()).unwrap(), chart);
}
