//! Puts a handbook into a folder: whole, or not at all.
use super::File;
use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

/// The list of files that every handbook carries; by it a handbook is known again.
const LIST: &str = "handbook-files.txt";
/// First line of that list.
const HEAD: &str = "This folder was written by `ligule knowledge book`. It holds these files:";

/// Why a handbook was not written. The folder is then as it was.
#[derive(Debug, thiserror::Error)]
pub enum PutError {
    /// Something is there, and nobody said that it may go.
    #[error(
        "{0} is not empty; nothing was written. Name a new or empty folder, or use --force for a folder that holds an older handbook"
    )]
    NotEmpty(PathBuf),
    /// Something is there that no handbook has.
    #[error(
        "{folder} holds {file}, which no handbook of this program wrote; nothing was written. Move it away, or name another folder"
    )]
    NotOurs {
        /// The folder.
        folder: PathBuf,
        /// A file that is not ours.
        file: String,
    },
    /// The file system refused.
    #[error("cannot write the handbook into {folder}: {why}")]
    System {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        why: io::Error,
    },
}

/// Writes all files into `folder`, which must be new or empty, or with `force` hold nothing but an older handbook.
///
/// The files are written aside first and moved into place when all are there; a failure moves back what was there.
///
/// # Errors
/// See [`PutError`].
pub fn put(folder: &Path, files: &[File], force: bool) -> Result<(), PutError> {
    let system = |why: io::Error| PutError::System {
        folder: folder.to_owned(),
        why,
    };
    let there = contents(folder).map_err(system)?;
    if !there.is_empty() {
        if !force {
            return Err(PutError::NotEmpty(folder.to_owned()));
        }
        let ours = ours(folder);
        if let Some(file) = there.iter().find(|f| !ours.contains(*f)) {
            return Err(PutError::NotOurs {
                folder: folder.to_owned(),
                file: file.clone(),
            });
        }
    }
    replace(folder, files).map_err(system)
}

fn replace(folder: &Path, files: &[File]) -> io::Result<()> {
    let temporary = |place: &Path| {
        tempfile::Builder::new()
            .prefix(".handbook-")
            .tempdir_in(place)
    };
    if !folder.exists() {
        let beside = match folder.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        fs::create_dir_all(beside)?;
        // What is left in here when it goes out of scope is taken away again.
        let fresh = temporary(beside)?;
        let new = fresh.path().join("new");
        write(&new, files)?;
        return fs::rename(new, folder);
    }
    // A folder that is there may be a stick or the folder that the user stands in: it stays, and what is in it changes.
    let fresh = temporary(folder)?;
    let (new, old) = (fresh.path().join("new"), fresh.path().join("old"));
    write(&new, files)?;
    fs::create_dir(&old)?;
    let mut moved: Vec<(PathBuf, PathBuf)> = Vec::new();
    let result = swap(folder, fresh.path(), &new, &old, &mut moved);
    if result.is_err() {
        for (from, to) in moved.into_iter().rev() {
            // Nothing better can be done with a second failure than to report the first.
            let _ = fs::rename(to, from);
        }
    }
    result
}

/// Moves what is in `folder` to `old` and what is in `new` to `folder`; `moved` tells how far that went.
fn swap(
    folder: &Path,
    fresh: &Path,
    new: &Path,
    old: &Path,
    moved: &mut Vec<(PathBuf, PathBuf)>,
) -> io::Result<()> {
    for (source, target) in [(folder, old), (new, folder)] {
        for entry in fs::read_dir(source)?.collect::<io::Result<Vec<_>>>()? {
            let from = entry.path();
            if from == fresh {
                continue;
            }
            let to = target.join(entry.file_name());
            fs::rename(&from, &to)?;
            moved.push((from, to));
        }
    }
    Ok(())
}

fn write(folder: &Path, files: &[File]) -> io::Result<()> {
    fs::create_dir(folder)?;
    let mut made = BTreeSet::new();
    let mut list = format!("{HEAD}\n{LIST}\n");
    for file in files {
        let path = folder.join(&file.path);
        if let Some(parent) = path.parent().filter(|p| made.insert(p.to_path_buf())) {
            fs::create_dir_all(parent)?;
        }
        fs::File::create_new(&path)?.write_all(file.text.as_bytes())?;
        list.push_str(&file.path);
        list.push('\n');
    }
    fs::write(folder.join(LIST), list)
}

/// Every file below a folder, by path with `/`; nothing for a folder that does not exist.
fn contents(folder: &Path) -> io::Result<Vec<String>> {
    let mut found = Vec::new();
    if folder.exists() {
        collect(folder, "", &mut found)?;
    }
    found.sort();
    Ok(found)
}

fn collect(folder: &Path, before: &str, found: &mut Vec<String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            collect(&entry.path(), &format!("{name}/"), found)?;
        } else {
            found.push(name);
        }
    }
    Ok(())
}

/// The files that the handbook in a folder says it wrote.
fn ours(folder: &Path) -> BTreeSet<String> {
    let list = fs::read_to_string(folder.join(LIST)).unwrap_or_default();
    list.strip_prefix(HEAD)
        .map(|rest| rest.lines().map(str::to_owned).collect())
        .unwrap_or_default()
}
