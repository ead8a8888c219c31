//! The source with the faults in it.

use std::error::Error;
use std::fs;
use std::ops::Range;
use std::path::Path;

use crate::faults::{Change, Fault};
use crate::modules::File;

/// One place of a file that is written another way.
struct Edit<'a> {
    place: Range<usize>,
    id: usize,
    what: What<'a>,
}

enum What<'a> {
    /// A fault of a function.
    Fault(&'a Change),
    /// The constant stands once more behind its definition.
    Twice {
        name: &'a str,
        literal: &'a Range<usize>,
        new: &'a str,
    },
    /// One constant or the other.
    OneOf { name: &'a str, before: &'a str },
}

/// The text of a file with the faults in it; nothing where there are none.
pub fn text(faults: &[(usize, Fault)], number: usize, file: &File) -> Option<String> {
    let mut edits: Vec<Edit<'_>> = Vec::new();
    for (id, fault) in faults {
        let id = *id;
        if let Change::Constant {
            name,
            definition,
            literal,
            new,
            uses,
        } = &fault.change
        {
            if fault.file == number {
                let what = What::Twice { name, literal, new };
                edits.push(Edit {
                    place: definition.clone(),
                    id,
                    what,
                });
            }
            for one in uses.iter().filter(|one| one.file == number) {
                let what = What::OneOf {
                    name,
                    before: &one.faulty,
                };
                edits.push(Edit {
                    place: one.place.clone(),
                    id,
                    what,
                });
            }
        } else if fault.file == number {
            edits.push(Edit {
                place: fault.place.clone(),
                id,
                what: What::Fault(&fault.change),
            });
        }
    }
    if edits.is_empty() {
        return None;
    }
    // The outer one first; of two in one place the one that came first is the outer one.
    edits.sort_by_key(|edit| (edit.place.start, std::cmp::Reverse(edit.place.end), edit.id));
    Some(written(&file.text, 0..file.text.len(), &edits))
}

/// The text of a range with the edits that lie in it; `edits` begin with the first that may.
fn written(text: &str, range: Range<usize>, edits: &[Edit<'_>]) -> String {
    let mut out = String::new();
    let mut at = range.start;
    for (number, edit) in edits.iter().enumerate() {
        if edit.place.start < at || edit.place.end > range.end {
            continue;
        }
        out.push_str(&text[at..edit.place.start]);
        out.push_str(&one(text, edit, &edits[number + 1..]));
        at = edit.place.end;
    }
    out.push_str(&text[at..range.end]);
    out
}

fn one(text: &str, edit: &Edit<'_>, inner: &[Edit<'_>]) -> String {
    let id = edit.id;
    let on = format!("crate::mutation::on({id})");
    let part = |range: &Range<usize>| written(text, range.clone(), inner);
    let whole = part(&edit.place);
    let new = match &edit.what {
        What::Fault(Change::Operator {
            left,
            right,
            new,
            assigns: true,
        }) => {
            format!(
                "{{ if {on} {{ {} {new} {}; }} else {{ {whole}; }} }}",
                part(left),
                part(right)
            )
        }
        What::Fault(Change::Operator {
            left,
            right,
            new,
            assigns: false,
        }) => {
            format!(
                "(if {on} {{ ({}) {new} ({}) }} else {{ {whole} }})",
                part(left),
                part(right)
            )
        }
        What::Fault(Change::WithoutSign { operand }) => {
            format!("(if {on} {{ {} }} else {{ {whole} }})", part(operand))
        }
        What::Fault(Change::Literal { new }) => format!("(if {on} {{ {new} }} else {{ {whole} }})"),
        What::Fault(Change::Returns { value }) => format!("{whole} if {on} {{ return {value}; }}"),
        What::Fault(Change::ArmPassedOver) => format!("{whole} if !{on}"),
        What::Fault(Change::Guard { always: true }) => format!("{on} || ({whole})"),
        What::Fault(Change::Guard { always: false }) => format!("!{on} && ({whole})"),
        What::Fault(Change::Constant { .. }) => whole,
        What::Twice { name, literal, new } => {
            let before = &text[edit.place.start..literal.start];
            let faulty = format!("{before}{new}{}", &text[literal.end..edit.place.end]);
            format!(
                "{whole}\npub(crate) {}",
                faulty.replacen(name, &faulty_name(name, id), 1)
            )
        }
        What::OneOf { name, before } => {
            format!(
                "(*(if {on} {{ &{before}{} }} else {{ &{whole} }}))",
                faulty_name(name, id)
            )
        }
    };
    // The marks say which fault an error of the compiler is about.
    format!("/*<{id}*/{new}/*{id}>*/")
}

fn faulty_name(name: &str, id: usize) -> String {
    format!("{name}_FAULT_{id}")
}

/// Writes the module that tells which fault is switched on.
pub fn add_switch(copy: &Path, count: usize) -> Result<(), Box<dyn Error>> {
    let lib = copy.join("src/lib.rs");
    let text = fs::read_to_string(&lib)?;
    fs::write(
        &lib,
        format!("{text}\n#[allow(missing_docs)]\npub mod mutation;\n"),
    )?;
    let switch = include_str!("switch.rs.txt").replace("COUNT", &count.max(1).to_string());
    fs::write(copy.join("src/mutation.rs"), switch)?;
    Ok(())
}
