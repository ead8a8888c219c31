//! Chains and loops against exhaustive search.

use super::exhaustive::{self, Dice, chain_links, ranking};
use super::{Chain, Cost, Layer, Plan, Row, StepRule, Unsolvable, nearest, step};

struct Case {
    layers: Vec<Layer>,
    centre: i32,
    looped: bool,
    rules: Vec<StepRule>,
}

impl Case {
    fn random(dice: &mut Dice, wide: bool) -> Case {
        // 250: entries fit in bytes, but the sums of their motions don't.
        let range = [9, 9, 250, 30_000][if wide { 2 + dice.roll(2) } else { 0 }];
        let longest = 1 + dice.roll(4);
        let ruled = dice.roll(2) == 0;
        let layers: Vec<Layer> = (0..1 + dice.roll(5))
            .map(|_| {
                let most = if dice.roll(4) == 0 { 1 } else { 4 };
                dice.layer(most, longest, range)
            })
            .collect();
        let rules = layers
            .iter()
            .map(|_| {
                if ruled {
                    dice.rule(range)
                } else {
                    StepRule::FREE
                }
            })
            .collect();
        Case {
            centre: dice.roll(20) as i32,
            looped: dice.roll(2) == 0,
            layers,
            rules,
        }
    }

    fn chain(&self) -> Chain<'_> {
        let chain = Chain::new(&self.layers, self.centre).looped(self.looped);
        let rules = self.rules.iter().enumerate();
        rules.fold(chain, |chain, (from, &rule)| chain.rule(from, rule))
    }

    fn ranking(&self) -> Vec<(Cost, Vec<usize>)> {
        let links = chain_links(self.layers.len(), self.looped, &self.rules);
        ranking(
            &self.layers,
            self.centre,
            &vec![1; self.layers.len()],
            &links,
        )
    }
}

#[test]
fn plans_and_prices_equal_exhaustive_search() {
    let mut dice = Dice::new(2);
    let mut without_plan = 0;
    for round in 0..6000 {
        let case = Case::random(&mut dice, round % 5 == 0);
        let ranking = case.ranking();
        let Some((cost, choice)) = ranking.first().cloned() else {
            without_plan += 1;
            assert!(case.chain().solve().is_err(), "round {round}");
            assert_eq!(case.chain().prices().err(), case.chain().solve().err());
            continue;
        };
        assert_eq!(
            case.chain().solve(),
            Ok(Plan { choice, cost }),
            "round {round}"
        );
        let prices = exhaustive::prices(&case.layers, &ranking);
        assert_eq!(case.chain().prices(), Ok(prices), "round {round}");
    }
    assert!((100..3000).contains(&without_plan), "{without_plan}");
}

/// Larger layers fill several blocks of lanes, the last one partly.
#[test]
fn layers_of_many_rows_equal_exhaustive_search() {
    let mut dice = Dice::new(3);
    for round in 0..60 {
        let longest = 2 + dice.roll(4);
        let layers: Vec<Layer> = (0..3).map(|_| dice.layer(30, longest, 20)).collect();
        let looped = round % 2 == 0;
        let case = Case {
            layers,
            centre: 19,
            looped,
            rules: vec![StepRule::FREE; 3],
        };
        let (cost, choice) = case.ranking().swap_remove(0);
        assert_eq!(
            case.chain().solve(),
            Ok(Plan { choice, cost }),
            "round {round}"
        );
    }
}

#[test]
fn extremes_of_the_entries_do_not_overflow() {
    let row = |entries: &[i16]| Row::new(entries.to_vec()).unwrap();
    let layers = [
        Layer::new(vec![row(&[i16::MIN])]),
        Layer::new(vec![row(&[i16::MAX - 1, i16::MAX])]),
    ];
    let plan = Chain::new(&layers, i32::MIN).looped(true).solve().unwrap();
    assert_eq!(plan.cost.motion, 2 * (65_534 + 65_535));
    assert_eq!(plan.cost.largest, 2 * 65_535);
    let ends = (2 * i64::from(i16::MIN), 2 * i64::from(i16::MAX) - 1);
    let off = ends.0 + ends.1 - 2 * i64::from(i32::MIN);
    assert_eq!(plan.cost.off_centre, off.unsigned_abs());
}

#[test]
fn no_layers_cost_nothing_and_one_layer_has_no_way_back() {
    assert_eq!(Chain::new(&[], 0).looped(true).solve(), Ok(Plan::default()));
    assert_eq!(Chain::new(&[], 0).prices(), Ok(vec![]));
    let layer: Layer = [vec![3, 9], vec![5, 7], vec![4, 8]]
        .into_iter()
        .filter_map(Row::new)
        .collect();
    let held = StepRule {
        max_entry_step: Some(0),
        max_top_step: Some(0),
    };
    let plan = Chain::new(&[layer], 12)
        .looped(true)
        .rule_everywhere(held)
        .solve();
    assert_eq!(
        plan,
        Ok(Plan {
            choice: vec![0],
            cost: Cost::default()
        })
    );
}

#[test]
fn errors_say_where() {
    let layer = |entry: i16| Layer::new(vec![Row::new(vec![entry]).unwrap()]);
    let layers = [layer(0), Layer::default(), layer(5)];
    assert_eq!(
        Chain::new(&layers, 0).solve(),
        Err(Unsolvable::EmptyLayer { layer: 1 })
    );
    assert_eq!(
        nearest(&layers, 0),
        Err(Unsolvable::EmptyLayer { layer: 1 })
    );
    let layers = [layer(0), layer(1), layer(5)];
    let near = StepRule {
        max_entry_step: Some(4),
        max_top_step: None,
    };
    let chain = Chain::new(&layers, 0).rule_everywhere(near);
    assert!(chain.solve().is_ok());
    assert_eq!(chain.looped(true).solve(), Err(Unsolvable::NoRoundTrip));
    let gap = Chain::new(&layers, 0).rule(
        1,
        StepRule {
            max_entry_step: Some(3),
            ..near
        },
    );
    assert_eq!(gap.solve(), Err(Unsolvable::NoPath { from: 1, to: 2 }));
    assert_eq!(
        gap.looped(true).solve(),
        Err(Unsolvable::NoPath { from: 1, to: 2 })
    );
}

/// Values that can be read in print, as plain numbers (C4 = 60). "Computed"
/// marks sums that were worked out here from printed rows.
#[test]
fn check_values_of_the_literature() {
    // C to F major 3, C major to F minor 2: Tymoczko, SMT-talk, 2009.
    assert_eq!(step(&[60, 64, 67], &[60, 65, 69]).motion, 3);
    assert_eq!(step(&[60, 64, 67], &[60, 65, 68]).motion, 2);
    // (C,C,E,G) to (B,D,F,G), with the pairing of Tymoczko, Science 313,
    // 2006; the sum 1 + 2 + 1 + 0 is computed.
    assert_eq!(step(&[60, 60, 64, 67], &[59, 62, 65, 67]).motion, 4);
    // Rootless shapes of a descending progression by fifths: computed.
    let (two, five, one) = ([53, 57, 60, 64], [53, 57, 59, 64], [52, 55, 59, 62]);
    assert_eq!((step(&two, &five).motion, step(&five, &one).motion), (1, 5));
    let (two, five, one) = ([60, 64, 65, 69], [59, 64, 65, 69], [59, 62, 64, 67]);
    assert_eq!((step(&two, &five).motion, step(&five, &one).motion), (1, 5));
    // The same in root position, to show the contrast: computed.
    let (two, five, one) = ([50, 53, 57, 60], [55, 59, 62, 65], [48, 52, 55, 59]);
    assert_eq!(
        (step(&two, &five).motion, step(&five, &one).motion),
        (21, 27)
    );
}

#[test]
fn nearest_is_a_plan_and_never_better() {
    let mut dice = Dice::new(4);
    let mut worse = 0;
    for _ in 0..300 {
        let layers: Vec<Layer> = (0..6).map(|_| dice.layer(5, 4, 24)).collect();
        let rules = vec![StepRule::FREE; 6];
        let links = chain_links(6, false, &rules);
        let greedy = nearest(&layers, 24).unwrap();
        let cost = exhaustive::cost_of(&layers, 24, &[1; 6], &links, &greedy.choice);
        assert_eq!(cost, Some(greedy.cost));
        let least = Chain::new(&layers, 24).solve().unwrap().cost;
        assert!(least <= greedy.cost);
        worse += usize::from(least < greedy.cost);
    }
    assert!(worse > 100, "{worse}");
}

/// Too many plans to try one by one: a general shortest-path search decides.
#[test]
fn long_chains_of_mixed_rows_equal_dijkstra() {
    let mut dice = Dice::new(5);
    for _ in 0..12 {
        let (longest, range) = (2 + dice.roll(5), 12 + dice.roll(60));
        let layers: Vec<Layer> = (0..40).map(|_| dice.layer(40, longest, range)).collect();
        let cost = |from: Option<&Row>, to: &Row| {
            let moved =
                from.map_or_else(Default::default, |from| step(from.entries(), to.entries()));
            let off = u128::from(to.off_centre(30));
            (u128::from(moved.motion) << 80) + (u128::from(moved.largest) << 40) + off
        };
        let successors = |&(layer, index): &(usize, usize)| {
            let from = (layer > 0).then(|| &layers[layer - 1].rows()[index]);
            let next = layers
                .get(layer)
                .map_or(&[][..], Layer::rows)
                .iter()
                .enumerate();
            next.map(|(to, row)| ((layer + 1, to), cost(from, row)))
                .collect::<Vec<_>>()
        };
        let found = pathfinding::prelude::dijkstra(&(0, 0), successors, |node| node.0 == 40);
        let plan = Chain::new(&layers, 30).solve().unwrap().cost;
        let plan = (u128::from(plan.motion) << 80)
            + (u128::from(plan.largest) << 40)
            + u128::from(plan.off_centre);
        assert_eq!(Some(plan), found.map(|(_, cost)| cost));
    }
}
