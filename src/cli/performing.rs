//! What the command line says about how an arrangement sounds.

use std::num::NonZeroUsize;

use anyhow::{Result, anyhow};
use compline::score::{Bass, COMPING, Performing, Swing, comping};

use super::args::{BassName, PerformingArguments};

/// The arguments, understood.
///
/// # Errors
///
/// No such rhythm, no such swing.
pub fn performing(arguments: &PerformingArguments) -> Result<Performing> {
    let rhythm = &arguments.rhythm;
    let names: Vec<&str> = COMPING.iter().map(|comping| comping.name).collect();
    let names = names.join(", ");
    let comping = comping(rhythm);
    let comping = comping.ok_or_else(|| anyhow!("--rhythm {rhythm}: there is {names}"))?;
    let swing = arguments.swing.as_deref().map(|text| {
        let swing: Result<Swing, _> = text.parse();
        swing.map_err(|why| anyhow!("--swing {text}: {why}"))
    });
    Ok(Performing {
        bass: match arguments.bass {
            BassName::None => Bass::None,
            BassName::Roots => Bass::Roots,
        },
        swing: swing.transpose()?,
        comping,
        pass: arguments.pass.map(NonZeroUsize::get),
    })
}
