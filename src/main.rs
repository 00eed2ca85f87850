//! Opens the window, or carries out a headless command.

use std::{io::Write, path::PathBuf, process::ExitCode};

use clap::Parser;
use sillward::{
    app::Start,
    commands::{self, Answer, Cli},
};

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are asked for; anything else is wrong usage. Nothing can be done if printing fails.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    let today = chrono::Local::now().date_naive();
    match &cli.command {
        Some(command) => say(&commands::run(command, today)),
        None => open(cli.site.as_deref(), today),
    }
}

/// Opens the window; without a display, says so and prints the plan of the site.
fn open(site: Option<&str>, today: chrono::NaiveDate) -> ExitCode {
    let no_display = if has_display() {
        match sillward::app::run(Start::now(site.map(PathBuf::from))) {
            Ok(()) => return ExitCode::SUCCESS,
            Err(error) => format!("The window cannot be opened: {error}."),
        }
    } else {
        "There is no display here, so no window can be opened.".to_owned()
    };
    let shown = site.unwrap_or(commands::FIRST_SAMPLE);
    eprintln!(
        "{no_display} This is the plan of {shown}; `sillward --help` tells what else can be had as text.\n"
    );
    say(&commands::site_plan(shown, today))
}

/// On Unix desktops a window needs an X or Wayland server; elsewhere there is always one.
fn has_display() -> bool {
    if cfg!(all(unix, not(target_os = "macos"))) {
        ["DISPLAY", "WAYLAND_DISPLAY"]
            .iter()
            .any(|name| std::env::var_os(name).is_some_and(|v| !v.is_empty()))
    } else {
        true
    }
}

fn say(answer: &Answer) -> ExitCode {
    // A closed pipe (`sillward plan … | head`) is no fault of ours.
    let _ = std::io::stdout().write_all(answer.out.as_bytes());
    let _ = std::io::stderr().write_all(answer.err.as_bytes());
    ExitCode::from(answer.exit.code())
}
