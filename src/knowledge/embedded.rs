//! The default knowledge, carried inside the program.
use super::files::Files;
use super::folder::TextFile;
use std::sync::{Arc, OnceLock};

static TEXTS: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/texts.json.z"));
/// The actives, and everything else: each about half of the work of reading.
static ACTIVES: &str = include_str!(concat!(env!("OUT_DIR"), "/actives.json"));
static OTHERS: &str = include_str!(concat!(env!("OUT_DIR"), "/others.json"));

/// Most bytes of all texts together; there are some two million.
const MOST: usize = 64 * 1024 * 1024;

/// The texts of the default knowledge, as in the folder that it was built from.
#[must_use]
pub fn texts() -> Vec<TextFile> {
    let unpacked = miniz_oxide::inflate::decompress_to_vec_zlib_with_limit(TEXTS, MOST);
    // Both steps undo what the build did; a program whose own bytes are damaged says so as a fault of a file.
    let texts = unpacked.map_err(|e| e.to_string()).and_then(|t| {
        serde_json::from_slice::<Vec<(String, String)>>(&t).map_err(|e| e.to_string())
    });
    let file = |path: String, text: Result<String, String>| TextFile {
        shown: format!("knowledge/{path}"),
        path,
        text,
    };
    match texts {
        Ok(texts) => texts
            .into_iter()
            .map(|(path, text)| file(path, Ok(text)))
            .collect(),
        Err(why) => vec![file("book.yaml".to_owned(), Err(why))],
    }
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
