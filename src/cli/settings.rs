//! What the user settled once instead of typing it every time, and where each value comes from.
//!
//! A flag outranks the environment (`LIGULE_PLACE`), which outranks `ligule.yaml` in the current folder, which outranks
//! the user's own `config.yaml`. Settings become the defaults of flags before the command line is read, so no command
//! knows of them.
use super::output::{Format, Outcome, print, print_json};
use anyhow::{Context, Result, bail};
use clap::{Args, Command};
use ligule::knowledge::read::read;
use serde::{Deserialize, Serialize};
use std::env;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What can be settled: name, what it is, and the commands whose flag of that name takes it (all, where none is named).
const SETTINGS: [(&str, &str, &[&str]); 6] = [
    (
        "knowledge",
        "knowledge folder instead of the one inside the program",
        &[],
    ),
    ("color", "bold type: auto, always or never", &[]),
    (
        "place",
        "whose law to ask about",
        &["choose", "rotate plan"],
    ),
    (
        "region",
        "where plants are met",
        &["identify", "choose", "key"],
    ),
    (
        "applicator",
        "homeowner or for-hire",
        &["choose", "rotate plan"],
    ),
    (
        "record",
        "the record of what was applied",
        &[
            "choose",
            "treat",
            "record add",
            "record list",
            "record correct",
            "record observe",
            "record seeded",
            "record limits",
            "record fields",
            "record export",
            "record import",
            "record backup",
            "record verify",
        ],
    ),
];

/// A file of settings.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    knowledge: Option<String>,
    color: Option<String>,
    place: Option<String>,
    region: Option<String>,
    applicator: Option<String>,
    record: Option<String>,
}

impl Written {
    fn get(&self, name: &str) -> Option<&String> {
        match name {
            "knowledge" => self.knowledge.as_ref(),
            "color" => self.color.as_ref(),
            "place" => self.place.as_ref(),
            "region" => self.region.as_ref(),
            "applicator" => self.applicator.as_ref(),
            "record" => self.record.as_ref(),
            _ => None,
        }
    }
}

/// A setting and where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Setting {
    name: &'static str,
    value: Option<String>,
    from: String,
}

/// All settings.
#[derive(Debug, Default)]
pub struct Settings(Vec<Setting>);

#[derive(Debug, Args)]
pub struct Arguments {
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Serialize)]
struct Shown<'a> {
    schema: &'static str,
    settings: &'a [Setting],
    files: Vec<String>,
}

/// The files that are looked for, the stronger first.
fn files() -> Vec<PathBuf> {
    let absolute = |name: &str| {
        env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let own =
        absolute("XDG_CONFIG_HOME").or_else(|| absolute("HOME").map(|home| home.join(".config")));
    let mut files = vec![PathBuf::from("ligule.yaml")];
    files.extend(own.map(|dir| dir.join("ligule/config.yaml")));
    files
}

impl Settings {
    /// Reads environment and files.
    pub fn read() -> Result<Self> {
        let mut written = Vec::new();
        for path in files() {
            let shown = path.display().to_string();
            match std::fs::read_to_string(&path) {
                Ok(text) => {
                    let file: Written = read(&shown, &text)
                        .map_err(|fault| anyhow::anyhow!("the settings cannot be read\n{fault}"))?;
                    written.push((path, file));
                }
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
                // Somebody else's home: their settings are not ours, but nobody should wonder.
                Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => {
                    eprintln!(
                        "ligule: the settings in {shown} may not be read; going on without them"
                    );
                }
                Err(error) => {
                    return Err(error)
                        .with_context(|| format!("cannot read the settings in {shown}"));
                }
            }
        }
        let all = SETTINGS
            .iter()
            .map(|(name, ..)| setting(name, &written))
            .collect::<Result<_>>()?;
        Ok(Self(all))
    }

    /// Makes the settings the defaults of the flags that take them.
    pub fn put_into(&self, mut program: Command) -> Command {
        for ((name, _, commands), setting) in SETTINGS.iter().zip(&self.0) {
            let Some(value) = &setting.value else {
                continue;
            };
            // A record that is not there yet is begun by the first entry; until then there is nothing to count.
            if *name == "record" && !Path::new(value).exists() {
                let commands: Vec<&&str> = commands
                    .iter()
                    .filter(|c| c.starts_with("record"))
                    .collect();
                program = commands
                    .iter()
                    .fold(program, |p, path| default(p, path, name, value));
            } else if commands.is_empty() {
                program = program.mut_arg(*name, |arg| arg.default_value(value.clone()));
            } else {
                program = commands
                    .iter()
                    .fold(program, |p, path| default(p, path, name, value));
            }
        }
        program
    }
}

fn default(program: Command, path: &str, name: &str, value: &str) -> Command {
    let (first, rest) = path
        .split_once(' ')
        .map_or((path, ""), |(first, rest)| (first, rest));
    if first.is_empty() {
        let known = program.get_arguments().any(|a| a.get_id() == name);
        return if known {
            program.mut_arg(name, |arg| arg.default_value(value.to_owned()))
        } else {
            program
        };
    }
    if program.find_subcommand(first).is_none() {
        return program;
    }
    program.mut_subcommand(first, |below| default(below, rest, name, value))
}

fn setting(name: &'static str, written: &[(PathBuf, Written)]) -> Result<Setting> {
    let variable = format!("LIGULE_{}", name.to_uppercase());
    if let Some(value) = env::var_os(&variable).filter(|v| !v.is_empty()) {
        let Ok(value) = value.into_string() else {
            bail!("the environment variable {variable} is not readable text");
        };
        return Ok(Setting {
            name,
            value: Some(value),
            from: variable,
        });
    }
    for (path, file) in written {
        if let Some(value) = file.get(name) {
            // A path in a file is meant from where the file lies.
            let value = match name {
                "knowledge" | "record" => path
                    .parent()
                    .unwrap_or(Path::new(""))
                    .join(value)
                    .to_string_lossy()
                    .into_owned(),
                _ => value.clone(),
            };
            return Ok(Setting {
                name,
                value: Some(value),
                from: path.display().to_string(),
            });
        }
    }
    Ok(Setting {
        name,
        value: None,
        from: "nowhere".to_owned(),
    })
}

/// `ligule config`: what is set, and where.
pub fn show(arguments: &Arguments, settings: &Settings) -> Result<Outcome> {
    let files: Vec<String> = files().iter().map(|f| f.display().to_string()).collect();
    if arguments.format == Format::Json {
        print_json(&Shown {
            schema: "ligule/config/1",
            settings: &settings.0,
            files,
        })?;
        return Ok(Outcome::Fine);
    }
    let mut text = String::from("Settings, and where each comes from:\n");
    for ((name, what, _), setting) in SETTINGS.iter().zip(&settings.0) {
        let value = setting.value.as_deref().unwrap_or("not set");
        let from = match &setting.value {
            Some(_) => format!(", from {}", setting.from),
            None => String::new(),
        };
        let _ = writeln!(
            text,
            "  {name:<11}{value}{from}
{:13}{what}",
            ""
        );
    }
    let _ = writeln!(
        text,
        "\nA flag outranks the environment (LIGULE_PLACE and so on), which outranks {}, which outranks {}.",
        files[0],
        files
            .get(1)
            .map_or("a file in the home folder", String::as_str)
    );
    print(&text)?;
    Ok(Outcome::Fine)
}
