//! What a plan costs, in a line or two for people.

use crate::arrange::{Arrangement, Compare};

/// The totals, and what the yardsticks would move where they were asked for; without line feeds.
pub(super) fn summary(arrangement: &Arrangement, compare: bool) -> Vec<String> {
    let totals = arrangement.totals;
    let proof = if totals.optimal {
        "proved least".to_owned()
    } else {
        format!("not proved least: at least {}", totals.lower_bound.motion)
    };
    let mut lines = vec![format!(
        "motion {} semitones ({proof}), largest steps {}, off centre {} half semitones",
        totals.cost.motion, totals.cost.largest, totals.cost.off_centre
    )];
    if compare {
        let Compare {
            block_root,
            block_nearest,
        } = Compare::of(arrangement);
        lines.push(format!(
            "the same chords move {block_root} semitones as block-root, {block_nearest} as block-nearest"
        ));
    }
    lines
}
