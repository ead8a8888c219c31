//! A chart in few lines: its left hand, its numerals, and sums over all voicings and all proposals.

use std::fmt::Write;

use compline::arrange::{Cache, Trouble, arrange, options};
use compline::chart::Chart;
use compline::formats::harmony_text;
use compline::reharm::{AskedPlaces, Ranking, priced, reharm};

use super::{joined, notes};
use crate::recorded::ask::Ask;

/// How many proposals are named.
const NAMED: usize = 6;

pub fn tally(ask: &Ask, chart: &Chart, cache: &mut Cache) -> Result<String, Trouble> {
    let settings = ask.settings();
    let mut out = format!("{}\n", numerals(chart, settings.looped)?);
    let plan = arrange(chart.clone(), settings, cache)?;
    let hand = plan.slots.iter().map(|slot| notes(slot.voicing.as_ref()));
    writeln!(out, "{}", joined(hand, " ")).unwrap();
    let (totals, cost) = (plan.totals, plan.totals.cost);
    let charged = totals.surcharges;
    let priced = options(chart.clone(), settings, cache)?;
    let voicings = priced.iter().flat_map(|slot| &slot.voicings);
    let prices: u64 = voicings.clone().map(|voicing| voicing.price).sum();
    writeln!(
        out,
        "effort {} = {} + {}/{}/{} ({}, {}, {}); {} voicings, prices {prices}; told {}",
        cost.effort,
        totals.motion(),
        charged.register,
        charged.plain,
        charged.melody,
        cost.largest,
        cost.off_centre,
        totals.width,
        voicings.count(),
        plan.warnings.len()
    )
    .unwrap();
    Ok(out + &proposals(ask, chart, cache)?)
}

/// The rows of keys and numerals, in one.
fn numerals(chart: &Chart, looped: bool) -> Result<String, Trouble> {
    let order = chart.play_order().map_err(Trouble::PlayOrder)?;
    let text = harmony_text(chart, &order, looped);
    let row = |label: &str| {
        let rows = text.lines().filter_map(|line| line.strip_prefix(label));
        let words = rows.flat_map(|row| row.split([' ', '|', ':']));
        joined(words.filter(|word| !word.is_empty()), " ")
    };
    Ok(format!("{} / {}", row("num "), row("key ")))
}

fn proposals(ask: &Ask, chart: &Chart, cache: &mut Cache) -> Result<String, Trouble> {
    let found = reharm(chart, ask.settings(), &ask.ways, &AskedPlaces::default())?;
    let kept_out = found.kept_out.len();
    let found = priced(chart, found, ask.settings(), cache)?;
    let ranking = Ranking::of(found.listed, None);
    let parts = ranking.all().map(|one| one.judgement.strain.parts());
    let strain = parts.fold([0; 6], |sums, parts| {
        std::array::from_fn(|at| sums[at] + parts[at])
    });
    let leads: i32 = ranking.all().map(|one| one.judgement.leads_on).sum();
    let prices: i64 = ranking.all().filter_map(|one| one.price).sum();
    let named = ranking.all().take(NAMED).map(|one| &one.name);
    Ok(format!(
        "{} + {} + {} proposals, {kept_out} kept out; strain {}, leads on {leads}, prices {prices}: {}\n",
        ranking.best.len(),
        ranking.idle.len(),
        ranking.bass_only.len(),
        joined(strain, "/"),
        joined(named, " ")
    ))
}
