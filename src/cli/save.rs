//! Pictures and other files that are asked for by name: whole or not at all, and never over something else unasked.
use anyhow::{Context, Result, bail};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Writes a text to a path.
pub fn save(path: &Path, text: &str, force: bool) -> Result<()> {
    if path.exists() && !force {
        bail!(
            "{} is there already; nothing was written. Use --force to write over it",
            path.display()
        );
    }
    let dir = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .map_or_else(|| PathBuf::from("."), Path::to_path_buf);
    let mut file = tempfile::NamedTempFile::new_in(&dir)
        .with_context(|| format!("cannot write into {}", dir.display()))?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    let moved = if force {
        file.persist(path)
    } else {
        file.persist_noclobber(path)
    };
    moved
        .map_err(|e| e.error)
        .with_context(|| format!("cannot write {}", path.display()))?;
    Ok(())
}

/// Reads a text from a path, or from the standard input for `-`.
pub fn text(path: &Path) -> Result<String> {
    if path.as_os_str() == "-" {
        return std::io::read_to_string(std::io::stdin()).context("cannot read the standard input");
    }
    std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))
}
