//! What each chord is in its place, and what the tune can't be to it.

use compline::arrange::{Arranged, Cache, Settings, Trouble, arrange, uncarried};
use compline::chart::Chart;
use compline::formats::harmony_text;
use compline::harmony::Resolution;

use super::{joined, place};
use crate::recorded::ask::Ask;

pub fn harmony(ask: &Ask, chart: &Chart) -> Result<String, Trouble> {
    let settings = Settings {
        ignore_melody: true,
        ..ask.settings().clone()
    };
    let plan = arrange(chart.clone(), &settings, &mut Cache::default())?;
    let order = chart.play_order().map_err(Trouble::PlayOrder)?;
    let text = harmony_text(chart, &order, settings.looped);
    // The title and the legend are the same for all.
    let legend = |line: &&str| line.contains("key: where");
    let rows = text
        .lines()
        .skip(1)
        .filter(|line| !line.trim().is_empty() && !legend(line));
    let mut out: String = rows.map(|row| format!("{row}\n")).collect();
    out += &format!("played {}\n", joined(plan.performance.visits(), " "));
    out.extend(plan.slots.iter().filter_map(marked));
    for one in uncarried(chart, settings.looped)? {
        out += &format!("tune: {one}\n");
    }
    Ok(out)
}

/// What the row of a chord doesn't say: its scale, its way on, whether it is a tonic, in a blues, in a line.
fn marked(arranged: &Arranged) -> Option<String> {
    let context = arranged.context;
    let way = match context.resolution {
        Resolution::Elsewhere => String::new(),
        way => format!(", {}", way.name()),
    };
    let marks = [
        (context.tonic, ", tonic"),
        (context.blues, ", blues"),
        (context.after_suspension, ", after its suspension"),
    ];
    let marks = marks.iter().filter(|(is, _)| *is);
    let marks: String = marks.map(|(_, mark)| *mark).collect();
    let line = context.line.map_or_else(String::new, |line| {
        let seventh = line.seventh;
        let seventh = seventh.map_or_else(String::new, |seventh| format!(" {seventh}"));
        format!(
            ", line {} over {}{seventh}",
            line.moves,
            joined(line.stays, " ")
        )
    });
    arranged.slot.symbol.chord()?;
    Some(format!(
        "{} {}{way}{marks}{line}\n",
        place(&arranged.slot),
        context.scale
    ))
}
