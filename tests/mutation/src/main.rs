//! Plants small faults into a copy of the program's source, each behind a switch that is set when the
//! program runs. So one build serves for hundreds of faults.
//!
//! `mutation SOURCE COPY SEED COUNT WITHOUT PART…` changes the files of COPY, which holds what SOURCE
//! holds, and prints one line a fault: number, file, line, function, kind, what was there. WITHOUT are
//! the numbers of faults that the compiler doesn't take, with commas between them, or `-`.
//! `run.py` makes the copy, builds it and asks the tests about every fault.

mod constants;
mod faults;
mod modules;
mod planted;
mod random;

use std::error::Error;
use std::path::Path;
use std::{env, fs};

use faults::Fault;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [source, copy, seed, count, without, parts @ ..] = arguments.as_slice() else {
        return Err("usage: mutation SOURCE COPY SEED COUNT WITHOUT PART...".into());
    };
    let (source, copy) = (Path::new(source), Path::new(copy));
    let files = modules::of_the_crate(&source.join("src"), parts)?;
    let mut faults = Vec::new();
    for (number, file) in files.iter().enumerate().filter(|(_, file)| file.is_asked) {
        faults.extend(faults::in_file(number, file));
    }
    faults.extend(constants::faults(&files));
    let all = faults.len();
    let count = count.parse()?;
    let without: Vec<&str> = without.split(',').collect();
    let chosen: Vec<(usize, Fault)> = (random::sample(faults, seed.parse()?, count)
        .into_iter()
        .enumerate())
    .filter(|(id, _)| !without.contains(&id.to_string().as_str()))
    .collect();
    for (number, file) in files.iter().enumerate() {
        if let Some(text) = planted::text(&chosen, number, file) {
            fs::write(copy.join("src").join(&file.path), text)?;
        }
    }
    planted::add_switch(copy, count)?;
    eprintln!("{all} faults could be planted, {} are", chosen.len());
    for (id, fault) in &chosen {
        let file = &files[fault.file];
        let line = file.line(fault.place.start);
        let before = fault
            .before
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        println!(
            "{id}\t{}\t{line}\t{}\t{}\t{before}",
            file.path, fault.function, fault.kind
        );
    }
    Ok(())
}
