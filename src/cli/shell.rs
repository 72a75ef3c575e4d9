//! What a shell and `man` want of the program, made from the same description of its arguments that reads them.
use super::output::{Outcome, hand_on, print};
use anyhow::{Context, Result};
use clap::{Args, Command};
use clap_complete::Shell;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

#[derive(Debug, Args)]
pub struct Manual {
    /// Write a page for every command into this folder (ligule.1, ligule-choose.1 and so on) instead of printing the
    /// first
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write over older pages
    #[arg(long)]
    force: bool,
}

pub fn completions(arguments: &Completions, mut program: Command) -> Result<Outcome> {
    let mut text = Vec::new();
    clap_complete::generate(arguments.shell, &mut program, "ligule", &mut text);
    hand_on(&String::from_utf8(text)?)?;
    Ok(Outcome::Fine)
}

pub fn manual(arguments: &Manual, mut program: Command) -> Result<Outcome> {
    program.build();
    let Some(dir) = &arguments.out else {
        hand_on(&page(program)?)?;
        return Ok(Outcome::Fine);
    };
    std::fs::create_dir_all(dir)
        .with_context(|| format!("cannot make the folder {}", dir.display()))?;
    let mut pages = Vec::new();
    collect("ligule", &program, &mut pages)?;
    let files: Vec<(&str, String)> = pages
        .iter()
        .map(|(name, text)| (name.as_str(), text.clone()))
        .collect();
    let written = super::keep::write_all(dir, &files, arguments.force, None)?;
    print(&format!(
        "{} pages written into {}\n",
        written.len(),
        dir.display()
    ))?;
    Ok(Outcome::Fine)
}

fn page(command: Command) -> Result<String> {
    let examples = command
        .get_before_help()
        .map(ToString::to_string)
        .unwrap_or_default();
    let mut text = Vec::new();
    clap_mangen::Man::new(command).render(&mut text)?;
    let text = String::from_utf8(text)?;
    // The maker of the pages knows no examples; they stand where manual pages have them.
    let lines: Vec<String> = examples
        .lines()
        .skip(1)
        .map(|l| l.replace('\\', "\\e").replace('-', "\\-"))
        .collect();
    Ok(format!(
        "{text}.SH EXAMPLES\n.nf\n{}\n.fi\n",
        lines.join("\n")
    ))
}

/// The pages of a command and of all below it; `help` has none of its own.
fn collect(name: &str, command: &Command, pages: &mut Vec<(String, String)>) -> Result<()> {
    let leaked: &'static str = Box::leak(name.to_owned().into_boxed_str());
    pages.push((format!("{name}.1"), page(command.clone().name(leaked))?));
    for below in command.get_subcommands().filter(|c| c.get_name() != "help") {
        collect(&format!("{name}-{}", below.get_name()), below, pages)?;
    }
    Ok(())
}
