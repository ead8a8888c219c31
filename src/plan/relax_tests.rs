//! A step by bytes against the same step pair by pair.

use super::columns::Columns;
use super::cost::{IMPOSSIBLE, Key, off_centre_key, step_key};
use super::exhaustive::Dice;
use super::packed::Packed;
use super::relax::{Best, Edge, Scratch, relax};
use super::{Layer, Step, StepRule};

/// Two neighbouring layers, and what it costs to go on from the second one.
struct Case {
    layers: [Layer; 2],
    values: Vec<Key>,
}

impl Case {
    fn random(dice: &mut Dice) -> Case {
        // Few different numbers make many ties; at 200 and more, the sums of
        // motions leave the bytes.
        let range = [4, 12, 30, 60, 200, 256][dice.roll(6)];
        let most = [3, 16, 40, 300][dice.roll(4)];
        let longest = 1 + dice.roll(8);
        let mut layer = || {
            if dice.roll(2) == 0 {
                dice.layer(most, longest, range)
            } else {
                alike(dice, most, longest, range)
            }
        };
        let layers = [layer(), layer()];
        let motions = [1, 3, 40, 600][dice.roll(4)];
        let below = 1 + dice.roll(4);
        let possible = dice.roll(8);
        let values = (0..layers[1].len()).map(|_| {
            let motion = 1000 + dice.roll(motions) as u32;
            let largest = dice.roll(below) as u32;
            let value =
                step_key(Step { motion, largest }) + off_centre_key(dice.roll(below) as u64);
            if dice.roll(8) <= possible {
                value
            } else {
                IMPOSSIBLE
            }
        });
        Case {
            values: values.collect(),
            layers,
        }
    }

    fn relaxed(&self, packed: &Packed, fits: bool, scratch: &mut Scratch) -> (bool, Vec<Best>) {
        let edge = Edge {
            packed,
            fits,
            source: 1,
            target: 0,
            rule: StepRule::FREE,
        };
        let mut out = Vec::new();
        let possible = relax(edge, &self.values, &mut out, scratch);
        (possible, out)
    }
}

/// A layer of rows that all have the same length.
fn alike(dice: &mut Dice, most: usize, longest: usize, range: usize) -> Layer {
    let length = dice.row(longest, range).entries().len();
    let rows = (0..1 + dice.roll(most)).filter_map(|_| {
        let tries = std::iter::repeat_with(|| dice.row(longest, range)).take(1000);
        tries.into_iter().find(|row| row.entries().len() == length)
    });
    rows.collect()
}

#[test]
fn by_bytes_equals_pair_by_pair() {
    let mut dice = Dice::new(11);
    let mut scratch = Scratch::default();
    let (mut ties, mut nothing) = (0, 0);
    for round in 0..1500 {
        let case = Case::random(&mut dice);
        let packed = Packed::new(&case.layers, 40).unwrap();
        assert!(Columns::fit(&packed));
        let plain = case.relaxed(&packed, false, &mut scratch);
        let bytes = case.relaxed(&packed, true, &mut scratch);
        assert_eq!(bytes, plain, "round {round}");
        nothing += usize::from(!plain.0);
        ties += usize::from(has_tie(&case, &packed, &plain.1));
    }
    // What the test is for does occur.
    assert!(ties > 150, "{ties}");
    assert!(nothing > 10, "{nothing}");
}

/// Whether some target has two equally good ways on.
fn has_tie(case: &Case, packed: &Packed, best: &[Best]) -> bool {
    packed.span(0).zip(best).any(|(target, best)| {
        let sources = packed.span(1).zip(&case.values);
        let equal = sources.filter(|&(source, &value)| {
            let taken = super::step(packed.row(target), packed.row(source));
            value < IMPOSSIBLE && value + step_key(taken) + packed.off_centre(target) == best.value
        });
        equal.count() > 1
    })
}

/// The least motion at, below and above the place where bytes end.
#[test]
fn at_the_end_of_a_byte_the_plain_way_takes_over() {
    let row = |entries: &[i16]| super::Row::new(entries.to_vec()).unwrap();
    for far in [100, 125, 126, 127, 128, 251, 252, 253, 254, 255] {
        let target = Layer::new(vec![row(&[0]), row(&[0, far])]);
        let source = Layer::new(vec![row(&[far]), row(&[far - 1, far]), row(&[far])]);
        let key = |motion| step_key(Step { motion, largest: 0 });
        for values in [[0, 0, 0], [5, 0, 5], [300, 0, 300], [300, 200, 0]] {
            let case = Case {
                layers: [target.clone(), source.clone()],
                values: values.map(key).to_vec(),
            };
            let packed = Packed::new(&case.layers, 7).unwrap();
            assert!(Columns::fit(&packed));
            let plain = case.relaxed(&packed, false, &mut Scratch::default());
            let bytes = case.relaxed(&packed, true, &mut Scratch::default());
            assert_eq!(bytes, plain, "far {far}");
        }
    }
}
