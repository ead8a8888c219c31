//! What is proposed for a chart, how it is ranked, and what is chosen of it.

use std::fmt::Write;

use compline::arrange::{Cache, Trouble};
use compline::chart::{Chart, Replacement};
use compline::reharm::{
    AskedPlaces, Listed, Ranking, Rung, Unproposed, changes, priced, reharm, usual_changes,
    versions, worth_a_change,
};

use super::{joined, place};
use crate::recorded::ask::Ask;

/// Of so many notes of the melody it is told what they are before and after.
const SUNG: usize = 2;

fn proposed(ask: &Ask, chart: &Chart, cache: &mut Cache) -> Result<(Vec<Listed>, String), Trouble> {
    let asked = AskedPlaces::default();
    let found = reharm(chart, ask.settings(), &ask.ways, &asked)?;
    let found = priced(chart, found, ask.settings(), cache)?;
    let slots = chart.slots();
    let held = slots
        .iter()
        .filter(|slot| !found.held.at(slot.index).is_empty());
    let held = held.map(|slot| {
        format!(
            "{} {}",
            place(slot),
            joined(found.held.at(slot.index).iter().map(|by| by.name()), " ")
        )
    });
    let kept_out = found.kept_out.iter().map(|out| &out.name);
    let held = format!(
        "held {}\nkept out {}\n",
        joined(held, ", "),
        joined(kept_out, " ")
    );
    Ok((found.listed, held))
}

pub fn list(ask: &Ask, chart: &Chart, most: usize, cache: &mut Cache) -> Result<String, Trouble> {
    let (listed, mut out) = proposed(ask, chart, cache)?;
    if listed.is_empty() {
        let why = Unproposed::of(chart, ask.settings(), &ask.ways, &AskedPlaces::default())?;
        return Ok(format!("{out}nothing: {why}\n"));
    }
    let ranking = Ranking::of(listed, ask.welcome);
    for one in ranking.all().take(most) {
        writeln!(out, "{}", line(one)).unwrap();
    }
    let rest = ranking.all().skip(most).map(|one| one.name.to_string());
    let sums = ranking
        .all()
        .map(|one| one.judgement.strain.total())
        .sum::<u32>();
    let prices = ranking.all().filter_map(|one| one.price).sum::<i64>();
    writeln!(
        out,
        "{} in all, strain {sums}, price {prices}; then {}",
        ranking.len(),
        joined(rest, " ")
    )
    .unwrap();
    Ok(out)
}

/// Name, chords; strain as length/tones/way on/outside/degree/style; what leads on; the price; marks; the reason.
fn line(one: &Listed) -> String {
    let judged = one.judgement;
    let marks = [
        (judged.idle, " idle"),
        (judged.bass_only, " bass"),
        (judged.dull, " dull"),
        (judged.poorer, " poorer"),
    ];
    let marks: String = marks
        .iter()
        .filter(|(is, _)| *is)
        .map(|(_, mark)| *mark)
        .collect();
    let price = one
        .price
        .map_or_else(|| "?".to_owned(), |price| format!("{price:+}"));
    let (name, why) = (&one.name, &one.proposal.why);
    let (parts, leads) = (joined(judged.strain.parts(), "/"), judged.leads_on);
    let sung = one.proposal.melody.iter();
    let sung = sung.map(|sung| format!(" {} {}>{}", sung.note.note, sung.before, sung.after));
    let sung: String = sung.take(SUNG).collect();
    format!("{name} {parts} {leads:+} {price}{marks}:{sung} {why}")
}

pub fn chosen(ask: &Ask, chart: &Chart, most: usize, cache: &mut Cache) -> Result<String, Trouble> {
    let (listed, _) = proposed(ask, chart, cache)?;
    let listed = worth_a_change(listed);
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let terms = ask.weights.terms(&listed);
    let rungs = changes(chart, &all, &terms, ask.settings(), most, cache)?;
    let lines = rungs.iter().enumerate().map(|(count, rung)| match rung {
        Some(rung) => format!("{count} changes: {}\n", told(rung, &listed)),
        None => format!("{count} changes: none\n"),
    });
    Ok(lines.collect())
}

fn told(rung: &Rung, listed: &[Listed]) -> String {
    let names = rung.replacements.iter().map(|at| {
        let one = &listed[*at];
        format!("{} {}", one.name, one.becomes())
    });
    let bound = rung
        .lower_bound
        .map_or_else(|| "?".to_owned(), |bound| bound.to_string());
    let proved = if rung.optimal { "" } else { ", not proved" };
    let (score, effort) = (rung.score(), rung.cost.effort);
    format!(
        "{score} (effort {effort}, none below {bound}{proved}): {}",
        joined(names, ", ")
    )
}

pub fn arrangements(
    ask: &Ask,
    chart: &Chart,
    count: usize,
    cache: &mut Cache,
) -> Result<String, Trouble> {
    let (listed, _) = proposed(ask, chart, cache)?;
    let listed = worth_a_change(listed);
    let (weights, asked) = (ask.weights, (count, usual_changes(chart)));
    let found = versions(chart, &listed, weights, ask.settings(), asked, cache)?;
    let lines = found.iter().map(|version| {
        let (welcome, told) = (version.welcome, told(&version.rung, &listed));
        format!("version of {welcome}: {told}\n")
    });
    Ok(lines.collect())
}
