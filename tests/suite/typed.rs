//! No tests: a line typed in a shell, and a chart it is typed for.

use std::path::Path;
use std::process::{Command, Output, Stdio};

pub const TUNE: &str = "title: Slack Water\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n";

/// Types a line in a shell, in a folder, with the program on the path.
pub fn typed(line: &str, folder: &Path) -> Output {
    let program = Path::new(env!("CARGO_BIN_EXE_compline")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    Command::new("bash")
        .args(["-c", line])
        .current_dir(folder)
        .env("PATH", path)
        .env_remove("NO_COLOR")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

pub fn status(line: &str, folder: &Path) -> i32 {
    let ran = typed(line, folder);
    println!("{line}\n{}", String::from_utf8_lossy(&ran.stderr));
    ran.status.code().unwrap()
}
