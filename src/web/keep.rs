//! The lawn folder: the only part of the web face that touches files. A name from an address is taken only if it is a
//! visit's id, and nothing is followed out of the folder.
use super::trouble::{SiteError, Trouble};
use crate::knowledge::read::read;
use crate::visit::Visit;
use axum::http::StatusCode;
use std::collections::VecDeque;
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use tempfile::NamedTempFile;

/// Longest file that is read, in bytes.
const LONGEST: u64 = 2 * 1024 * 1024;
/// Visits in one folder. A yard has a few dozen a year.
const MOST_VISITS: usize = 5000;
const VISITS: &str = "visits";
const RECORD: &str = "lawn-record.db";
const HEAD: &str =
    "# Answers of a visit. `ligule treat --answers FILE` makes the note of it again.\n";

/// Visits of which the last reading is remembered.
const REMEMBERED: usize = 16;

/// The folder.
pub struct Folder {
    root: PathBuf,
    // A visit is read by every page; the same text gives the same visit.
    read: Mutex<VecDeque<(String, Visit)>>,
}

fn broken(what: &str, error: &std::io::Error) -> Trouble {
    Trouble::Broken(format!("{what}: {error}."))
}

impl Folder {
    /// Opens the folder and makes what is missing of it.
    pub fn open(path: &Path) -> Result<Self, SiteError> {
        let fail = |why: std::io::Error| SiteError::Folder {
            path: path.display().to_string(),
            why: why.to_string(),
        };
        fs::create_dir_all(path).map_err(fail)?;
        let root = path.canonicalize().map_err(fail)?;
        fs::create_dir_all(root.join(VISITS)).map_err(fail)?;
        // A file that comes and goes shows whether answers can be kept, before anybody gives one.
        NamedTempFile::new_in(root.join(VISITS)).map_err(fail)?;
        Ok(Self {
            root,
            read: Mutex::default(),
        })
    }

    /// The place of a file of a visit. The file need not be there; if it is, it is a plain file inside the folder.
    fn place(&self, id: &str, ending: &str) -> Result<PathBuf, Trouble> {
        let good = !id.is_empty()
            && id.len() <= 24
            && id
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        if !good {
            return Err(Trouble::Missing);
        }
        self.inside(&[VISITS, &format!("{id}.{ending}")])
    }

    fn inside(&self, parts: &[&str]) -> Result<PathBuf, Trouble> {
        let path: PathBuf = std::iter::once(self.root.as_path())
            .chain(parts.iter().map(Path::new))
            .collect();
        let dir = path.parent().unwrap_or(&self.root);
        let real = dir
            .canonicalize()
            .map_err(|e| broken("The lawn folder cannot be read", &e))?;
        let plain = match fs::symlink_metadata(&path) {
            Ok(found) => found.is_file(),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => true,
            Err(e) => return Err(broken("The lawn folder cannot be read", &e)),
        };
        // A link could lead anywhere; nothing of ours is one.
        if real != dir || !plain {
            return Err(Trouble::Missing);
        }
        Ok(path)
    }

    /// Ids of the visits, the latest first.
    pub fn ids(&self) -> Vec<String> {
        let mut ids: Vec<String> = fs::read_dir(self.root.join(VISITS))
            .into_iter()
            .flatten()
            .flatten()
            .filter_map(|entry| {
                let name = entry.file_name().into_string().ok()?;
                name.strip_suffix(".yaml").map(str::to_owned)
            })
            .collect();
        ids.sort_unstable_by(|a, b| b.cmp(a));
        ids
    }

    /// A visit.
    pub fn visit(&self, id: &str) -> Result<Visit, Trouble> {
        let path = self.place(id, "yaml")?;
        let text = text(&path)?.ok_or(Trouble::Missing)?;
        let known = || self.read.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |(of, _): &&(String, Visit)| *of == text;
        let before = known().iter().find(same).map(|(_, visit)| visit.clone());
        if let Some(visit) = before {
            return Ok(visit);
        }
        let visit = parse(&format!("{VISITS}/{id}.yaml"), &text)?;
        let mut known = known();
        if known.len() >= REMEMBERED {
            known.pop_front();
        }
        known.push_back((text, visit.clone()));
        Ok(visit)
    }

    /// Changes a visit as it stands on the disk now: two phones never write over each other's answers.
    pub fn change<T>(
        &self,
        id: &str,
        with: impl FnOnce(&mut Visit) -> Result<T, Trouble>,
    ) -> Result<T, Trouble> {
        let path = self.place(id, "yaml")?;
        let _lock = self.lock()?;
        let old = text(&path)?.ok_or(Trouble::Missing)?;
        let mut visit = parse(&format!("{VISITS}/{id}.yaml"), &old)?;
        let before = visit.clone();
        let done = with(&mut visit)?;
        if visit != before {
            self.write(&path, &written(&visit)?)?;
        }
        Ok(done)
    }

    /// Begins a visit under an id that is free.
    pub fn begin(&self, id: &str, visit: &Visit) -> Result<bool, Trouble> {
        let path = self.place(id, "yaml")?;
        let _lock = self.lock()?;
        if path.exists() {
            return Ok(false);
        }
        if self.ids().len() >= MOST_VISITS {
            return Err(Trouble::told(
                StatusCode::INSUFFICIENT_STORAGE,
                "The lawn folder is full of visits; move old ones away.",
            ));
        }
        self.write(&path, &written(visit)?)?;
        Ok(true)
    }

    /// The forecast that was sent for a visit.
    pub fn forecast(&self, id: &str) -> Result<Option<String>, Trouble> {
        text(&self.place(id, "forecast.csv")?)
    }

    /// Keeps a forecast for a visit that is there.
    pub fn keep_forecast(&self, id: &str, csv: &str) -> Result<(), Trouble> {
        self.visit(id)?;
        let path = self.place(id, "forecast.csv")?;
        let _lock = self.lock()?;
        self.write(&path, csv)
    }

    /// Numbers of the record's entries that were written from a visit.
    pub fn written(&self, id: &str) -> Result<Vec<i64>, Trouble> {
        let text = text(&self.place(id, "written")?)?.unwrap_or_default();
        Ok(text.lines().filter_map(|l| l.trim().parse().ok()).collect())
    }

    /// Notes that an entry was written from a visit.
    pub fn note_written(&self, id: &str, entry: i64) -> Result<(), Trouble> {
        let path = self.place(id, "written")?;
        let _lock = self.lock()?;
        let mut all = self.written(id)?;
        if !all.contains(&entry) {
            all.push(entry);
        }
        let lines: Vec<String> = all.iter().map(ToString::to_string).collect();
        self.write(&path, &lines.join("\n"))
    }

    /// The place of the record.
    pub fn record(&self) -> Result<PathBuf, Trouble> {
        self.inside(&[RECORD])
    }

    /// Held while something is read and written again, also against another program.
    fn lock(&self) -> Result<File, Trouble> {
        let fail = |e: std::io::Error| broken("The lawn folder cannot be locked", &e);
        let file = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(self.inside(&[VISITS, ".lock"])?)
            .map_err(fail)?;
        file.lock().map_err(fail)?;
        Ok(file)
    }

    /// The whole file or nothing: it is complete beside its place before it takes it.
    fn write(&self, path: &Path, text: &str) -> Result<(), Trouble> {
        let fail = |e: std::io::Error| broken("Your answer could not be kept", &e);
        let mut file = NamedTempFile::new_in(self.root.join(VISITS)).map_err(fail)?;
        file.write_all(text.as_bytes()).map_err(fail)?;
        file.as_file().sync_all().map_err(fail)?;
        file.persist(path).map_err(|e| fail(e.error))?;
        Ok(())
    }
}

fn text(path: &Path) -> Result<Option<String>, Trouble> {
    match fs::metadata(path) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(broken("The lawn folder cannot be read", &e)),
        Ok(found) if found.len() > LONGEST => {
            return Err(Trouble::Broken("A file of this visit is too large.".into()));
        }
        Ok(_) => {}
    }
    fs::read_to_string(path)
        .map(Some)
        .map_err(|e| broken("The lawn folder cannot be read", &e))
}

fn parse(shown: &str, text: &str) -> Result<Visit, Trouble> {
    read(shown, text).map_err(|fault| {
        Trouble::wrong(format!(
            "{shown} of the lawn folder is not a good answers file. {fault}"
        ))
    })
}

/// What is written is read back first: an answer that could not be read again is refused, not kept.
fn written(visit: &Visit) -> Result<String, Trouble> {
    let text = serde_yaml::to_string(visit)
        .map_err(|e| Trouble::wrong(format!("That cannot be kept: {e}.")))?;
    match read::<Visit>("what was typed", &text) {
        Ok(again) if again == *visit => Ok(format!("{HEAD}{text}")),
        _ => Err(Trouble::wrong(
            "That holds signs that cannot be kept in a file; use plain letters and figures.",
        )),
    }
}
