//! The built program, as a shell user meets it.

use std::fs;
use std::path::Path;

use assert_cmd::Command;

/// The program, in a folder, without the caller's colour settings.
pub fn compline(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_compline"));
    command.current_dir(folder).env_remove("NO_COLOR");
    command
}

/// What a run did.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program and shows command, folder and both streams should an assertion fail later.
pub fn run(folder: &Path, arguments: &[&str]) -> Ran {
    run_with(folder, arguments, "")
}

/// As [`run`], with text on standard input.
pub fn run_with(folder: &Path, arguments: &[&str], input: &str) -> Ran {
    let output = compline(folder)
        .args(arguments)
        .write_stdin(input)
        .output()
        .expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
    let ran = Ran {
        status: output.status.code().expect("it ends by itself"),
        out: text(output.stdout),
        err: text(output.stderr),
    };
    println!(
        "in {}: compline {}\n-- status {}\n-- out\n{}\n-- err\n{}",
        folder.display(),
        arguments.join(" "),
        ran.status,
        ran.out,
        ran.err
    );
    ran
}

/// A scratch folder holding these files.
pub fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a scratch folder");
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, text).expect("a file");
    }
    folder
}

/// The project's own folder.
pub fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Makes a pipe that has a name.
#[cfg(unix)]
pub fn named_pipe(path: &Path) {
    let made = std::process::Command::new("mkfifo").arg(path).status();
    assert!(made.unwrap().success());
}
