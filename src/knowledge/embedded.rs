//! The default knowledge, carried inside the program.
use super::files::Files;
use super::folder::TextFile;
use std::sync::{Arc, OnceLock};

static TEXTS: &[(&str, &str)] = &include!(concat!(env!("OUT_DIR"), "/texts.rs"));
/// The actives, and everything else: each about half of the work of reading.
static ACTIVES: &str = include_str!(concat!(env!("OUT_DIR"), "/actives.json"));
static OTHERS: &str = include_str!(concat!(env!("OUT_DIR"), "/others.json"));

/// The texts of the default knowledge, as in the folder that it was built from.
#[must_use]
pub fn texts() -> Vec<TextFile> {
    TEXTS
        .iter()
        .map(|(path, text)| TextFile {
            path: (*path).to_owned(),
            shown: format!("knowledge/{path}"),
            text: Ok((*text).to_owned()),
        })
        .collect()
}

/// The default knowledge in its fast form. It is read once and kept while the program runs: freeing its hundred thousand
/// words one by one would take a tenth of the time of a short command.
///
/// # Errors
/// The program was built from a knowledge folder with faults; `texts` read strictly tells which.
pub fn files() -> Result<Arc<Files>, serde_json::Error> {
    static KEPT: OnceLock<Arc<Files>> = OnceLock::new();
    if let Some(kept) = KEPT.get() {
        return Ok(kept.clone());
    }
    let files = Arc::new(read()?);
    Ok(KEPT.get_or_init(|| files).clone())
}

fn read() -> Result<Files, serde_json::Error> {
    let (actives, others) = std::thread::scope(|scope| {
        let helper = scope.spawn(|| serde_json::from_str::<Files>(ACTIVES));
        let others = serde_json::from_str::<Files>(OTHERS);
        match helper.join() {
            Ok(actives) => (actives, others),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    });
    Ok(Files {
        actives: actives?.actives,
        ..others?
    })
}
