//! `ligule knowledge new`.
use super::super::keep;
use super::super::output::{Outcome, load, print};
use anyhow::{Result, bail};
use clap::Args;
use ligule::keeper::fresh::{self, FRESH};
use ligule::knowledge::{Knowledge, Report};
use ligule::words::{nearest, or_list};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub struct Arguments {
    /// weed, turf, active or place
    kind: String,
    /// Id of the entry: small letters, digits, hyphens (`ground-ivy`)
    id: String,
    /// The knowledge folder to write into; without it, that of --knowledge
    #[arg(long, value_name = "DIR")]
    dir: Option<PathBuf>,
}

pub fn run(own: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let words: Vec<&str> = FRESH.iter().map(|f| f.word).collect();
    let Some(kind) = FRESH.iter().find(|f| f.word == own.kind) else {
        let near = nearest(&own.kind, words.iter().copied());
        let near = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        bail!(
            "`{}` is no kind of file that can be begun{near} (there are {})",
            own.kind,
            or_list(&words)
        );
    };
    let Some(dir) = own.dir.as_deref().or(folder) else {
        bail!(
            "name the knowledge folder to write into with --dir DIR (such as your copy of the folder `knowledge`)"
        );
    };
    // The folder's own traits, states and sources are what the file will be held against; faults in it, such as another
    // file that is not filled in yet, do not matter here.
    let book = if dir.is_dir() {
        Knowledge::as_far_as_read(Report::of_folder(dir)?)
    } else {
        load(folder)?
    };
    fresh::check_id(&book, *kind, &own.id)?;
    let place = dir.join(kind.folder);
    keep::writable(&place)?;
    let name = format!("{}.yaml", own.id);
    let path = place.join(&name);
    if path.exists() {
        bail!("{} is there already; nothing was written", path.display());
    }
    keep::write_all(
        &place,
        &[(&name, fresh::text(&book, *kind, &own.id))],
        false,
        None,
    )?;
    let renew = if dir.join("contents.yaml").exists() {
        " --renew-contents"
    } else {
        ""
    };
    print(&format!(
        "{} is ready to be filled in. Then: ligule knowledge check {}{renew}\n",
        path.display(),
        dir.display()
    ))?;
    Ok(Outcome::Fine)
}
