//! A remark of the program that says something else than the notes it stands under.
//!
//! `deg` and `move` rows and the closing comment about the plan are written when a chart is voiced. A
//! voicing that is changed by hand afterwards leaves them behind: the page then tells the player a
//! degree that nobody plays. What is held against them is said in [`crate::check`]'s reader of remarks.

use crate::chart::Row;
use crate::check::context::Context;
use crate::check::finding::RemarkFix;
use crate::check::remarks::{Stale, StalePlan, stale, stale_plan};
use crate::check::rule::{Fault, FixKind};
use crate::check::{FindingPlace, Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "stale-remark",
    severity: Some(Severity::Note),
    why: "A player who reads one thing in the remarks and another in the notes trusts neither.",
    refused: "| Fm7 |\nlh | Eb3.G3.Ab3.C4 |\ndeg | b7.1.b3.5 |",
    accepted: "| Fm7 |\nlh | Eb3.G3.Ab3.C4 |\ndeg | b7.9.b3.5 |",
    mends: true,
    check: faults,
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let rows = stale(context)
        .into_iter()
        .map(|stale| of_row(context, stale));
    rows.chain(stale_plan(context).map(of_plan)).collect()
}

fn of_row(context: &Context<'_>, stale: Stale) -> Fault {
    let (what, notes) = match stale.row {
        Row::Degrees => ("deg", "the notes are"),
        _ => ("move", "the hand moves"),
    };
    Fault {
        place: FindingPlace {
            span: Some(stale.span),
            ..context.hand_place(stale.slot)
        },
        message: format!("`{what}` says {}, and {notes} {}", stale.old, stale.new),
        fix: FixKind::Remark(RemarkFix::Row {
            text: stale.new,
            span: stale.span,
        }),
        breach: None,
        severity: None,
    }
}

fn of_plan(plan: StalePlan) -> Fault {
    let StalePlan { told, moves, span } = plan;
    Fault {
        place: FindingPlace::chart(Some(span)),
        message: format!(
            "the plan told of here moves {told} semitones, and the hand moves {moves}"
        ),
        fix: FixKind::Remark(RemarkFix::Plan),
        breach: None,
        severity: None,
    }
}

#[cfg(test)]
mod tests {
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;
    use crate::check::rules::tests::{found, found_under, in_every_key, report, settings};
    use crate::formats::text;

    #[test]
    fn every_key_alike() {
        let row = |deg: &str| format!("| Fm7 | Bb7 |\nlh | Eb3.Ab3 | D3.Ab3 |\n{deg}");
        for refused in [
            "deg | b7.3 | 3.b7 |",
            "deg | b7.b3 | 3.b7.9 |",
            "deg | b7.b3 b3.5 | 3.b7 |",
            "move | - | 2 |",
            "move | 3 | 1 |",
        ] {
            in_every_key("stale-remark", &row(refused), true);
        }
        for accepted in [
            "deg | b7.b3 | 3.b7 |",
            "deg | b7.b3 | 3.b7 |\nmove | - | 1 |",
            // As a loop.
            "move | 1 | 1 |",
        ] {
            in_every_key("stale-remark", &row(accepted), false);
        }
    }

    #[test]
    fn what_is_still_to_be_planned_is_not_known() {
        let chart = |deg: &str, moved: &str| {
            found(&format!(
                "| Fm7 Bb7 | Ebmaj7 |\nlh | Eb3.Ab3 ? | D3.G3 |\ndeg | {deg} | 7.3 |\nmove | {moved} |"
            ))
        };
        assert_eq!(chart("b7.b3 3.b7", "- 1 | 99"), [""; 0]);
        assert_eq!(chart("b7.b3 -", "- - | -"), [""; 0]);
        assert_eq!(chart("b7.3 3.b7", "- 1 | 99"), ["stale-remark"]);
    }

    #[test]
    fn what_the_program_writes_is_never_stale() {
        let source = "key: C\n|: Dm7 G7 |1 Cmaj7 :|2 Em7 A7 | N.C. | Dm7 G7 | C6 |\n";
        for looped in [false, true] {
            let settings = Settings {
                looped,
                ..Settings::default()
            };
            let arrangement = arrange(read(source).unwrap(), &settings, &mut Cache::default());
            let voiced = text(&arrangement.unwrap(), false);
            for asked in [false, true] {
                let mut settings = self::settings();
                settings.arrange.looped = asked;
                assert_eq!(found_under(&voiced, &settings), [""; 0], "{voiced}");
            }
        }
    }

    #[test]
    fn a_plan_that_moves_otherwise_is_told_at_its_comment() {
        let chart = "| Fm7 | Bb7 |\nlh | Eb3.Ab3 | D3.Ab3 |\n; plan: motion 7 semitones\n";
        let report = report(chart, &settings());
        let finding = &report.findings[0];
        let span = finding.place.span.unwrap().range();
        assert_eq!(&chart[span], "; plan: motion 7 semitones");
        let told = "the plan told of here moves 7 semitones, and the hand moves 1";
        assert_eq!(finding.message, told);
        assert_eq!(found(&chart.replace(" 7 ", " 1 ")), [""; 0]);
        assert_eq!(found(&chart.replace("D3.Ab3", "?")), [""; 0]);
    }
}
