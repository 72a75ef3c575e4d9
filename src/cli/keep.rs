//! Files that the program writes: never half, never over something else unasked, and nothing typed is ever lost.
use super::ask::Ask;
use anyhow::{Context, Result, bail};
use ligule::knowledge::read::read;
use ligule::visit::Visit;
use std::env;
use std::fs;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// Makes sure that files can be written into a folder.
pub fn writable(dir: &Path) -> Result<()> {
    fs::create_dir_all(dir).with_context(|| format!("cannot make the folder {}", dir.display()))?;
    // Asking the system about permissions misses full disks and read-only mounts; a file that comes and goes does not.
    NamedTempFile::new_in(dir).with_context(|| {
        format!(
            "cannot write into the folder {}; name another one with --out DIR",
            dir.display()
        )
    })?;
    Ok(())
}

/// Writes all files or none: each is complete beside its place before the first takes its place.
pub fn write_all(
    dir: &Path,
    files: &[(&str, String)],
    force: bool,
    ask: Option<&mut Ask<'_>>,
) -> Result<Vec<PathBuf>> {
    let old: Vec<&str> = files
        .iter()
        .map(|(name, _)| *name)
        .filter(|name| dir.join(name).exists())
        .collect();
    let mut over = force;
    if !old.is_empty() && !force {
        let there = format!("{} is already in {}", old.join(", "), dir.display());
        over = match ask {
            Some(ask) if std::io::stdin().is_terminal() => {
                ask.yes(&format!("{there}. Write over it?"), false)?
            }
            _ => false,
        };
        if !over {
            bail!(
                "{there}; nothing was written. Use --force to write over it, or --out DIR for another folder"
            );
        }
    }
    let mut ready = Vec::new();
    for (name, text) in files {
        let mut file =
            beside(dir).with_context(|| format!("cannot write into {}", dir.display()))?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        ready.push((file, dir.join(name)));
    }
    let mut written = Vec::new();
    for (file, path) in ready {
        let moved = if over {
            file.persist(&path)
        } else {
            file.persist_noclobber(&path)
        };
        moved
            .map_err(|e| e.error)
            .with_context(|| format!("cannot write {}", path.display()))?;
        written.push(path);
    }
    Ok(written)
}

/// A file that will take a place in `dir`, readable as any other file that the user makes.
fn beside(dir: &Path) -> std::io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Without this the file would be closed to everybody else; the user's umask still narrows it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(dir)
}

/// The visit that is being answered, kept after every answer.
pub struct Kept {
    path: PathBuf,
}

impl Kept {
    /// Finds the place to keep the visit. An unfinished visit that is there already is taken up again if the user wants it,
    /// and otherwise set aside under another name.
    pub fn open(resume: bool, ask: &mut Ask<'_>, visit: &mut Visit) -> Result<Self> {
        let path = state_file();
        if let Ok(text) = fs::read_to_string(&path) {
            let shown = path.display().to_string();
            let wanted = resume
                || (std::io::stdin().is_terminal()
                    && ask.yes(
                        &format!("There is an unfinished visit in {shown}. Go on with it?"),
                        true,
                    )?);
            if wanted {
                *visit = read(&shown, &text).map_err(|fault| {
                    anyhow::anyhow!("the unfinished visit cannot be read\n{fault}")
                })?;
            } else {
                let aside = free_name(&path);
                fs::rename(&path, &aside).with_context(|| format!("cannot set aside {shown}"))?;
                ask.say(&format!(
                    "The earlier unfinished visit is set aside as {}.\n",
                    aside.display()
                ))?;
            }
        } else if resume {
            bail!(
                "there is no unfinished visit to go on with (looked for {})",
                path.display()
            );
        }
        Ok(Self { path })
    }

    /// Where it is kept.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Keeps the visit as it is now.
    pub fn save(&mut self, visit: &Visit) -> Result<()> {
        let dir = self.path.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(dir)
            .with_context(|| format!("cannot make the folder {}", dir.display()))?;
        let mut file = NamedTempFile::new_in(dir)
            .with_context(|| format!("cannot keep your answers in {}", dir.display()))?;
        file.write_all(serde_yaml::to_string(visit)?.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(&self.path).map_err(|e| e.error)?;
        Ok(())
    }

    /// The visit is finished; nothing need be kept.
    pub fn done(self) {
        // If this fails the user is asked once more about a finished visit, which harms nobody.
        let _ = fs::remove_file(&self.path);
    }
}

/// `$XDG_STATE_HOME/ligule`, else `~/.local/state/ligule`, else the current folder.
fn state_file() -> PathBuf {
    let absolute = |name: &str| {
        env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let dir = absolute("XDG_STATE_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".local/state")))
        .map_or_else(|| PathBuf::from("."), |dir| dir.join("ligule"));
    dir.join("unfinished-visit.yaml")
}

fn free_name(path: &Path) -> PathBuf {
    (1..10_000)
        .map(|n| path.with_file_name(format!("unfinished-visit-{n}.yaml")))
        .find(|p| !p.exists())
        .unwrap_or_else(|| path.with_extension("old.yaml"))
}
