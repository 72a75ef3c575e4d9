//! The texts of the knowledge: from a folder on disk or from the copy inside the program.
use std::io;
use std::path::Path;

/// The text of one knowledge file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextFile {
    /// Path inside the knowledge folder with forward slashes (`weeds/dandelion.yaml`).
    pub path: String,
    /// Path to show: the folder as the user typed it, then `path`.
    pub shown: String,
    /// The text, or why it could not be read.
    pub text: Result<String, String>,
}

/// Reads every file below `dir`, in the order of their paths. Hidden files are passed over.
///
/// # Errors
/// When the folder itself cannot be listed; a file that cannot be read is reported in its own `text`.
pub fn read_folder(dir: &Path) -> io::Result<Vec<TextFile>> {
    let mut found = Vec::new();
    collect(dir, "", &mut found)?;
    found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(found)
}

fn collect(dir: &Path, prefix: &str, found: &mut Vec<TextFile>) -> io::Result<()> {
    for entry in std::fs::read_dir(dir)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with('.') {
            continue;
        }
        // Pages for people lie beside the knowledge; `beside` lists them.
        if is_page(&name) {
            continue;
        }
        let path = format!("{prefix}{name}");
        let kind = std::fs::metadata(entry.path());
        // Pictures and cases live beside the knowledge and are no knowledge files; one level of folders is all there is.
        if kind.as_ref().is_ok_and(std::fs::Metadata::is_dir) {
            if prefix.is_empty() && !super::files::SIDE_FOLDERS.contains(&name.as_str()) {
                collect(&entry.path(), &format!("{name}/"), found)?;
            }
            continue;
        }
        let too_large = kind
            .as_ref()
            .is_ok_and(|k| k.len() > super::read::MAX_FILE_BYTES as u64);
        let text = if too_large {
            Err(format!(
                "this file is larger than {} bytes",
                super::read::MAX_FILE_BYTES
            ))
        } else {
            std::fs::read(entry.path())
                .map_err(|e| e.to_string())
                .and_then(|bytes| {
                    String::from_utf8(bytes).map_err(|e| {
                        format!(
                            "this file is not UTF-8 text (byte {})",
                            e.utf8_error().valid_up_to()
                        )
                    })
                })
        };
        found.push(TextFile {
            shown: dir.join(&name).to_string_lossy().into_owned(),
            path,
            text,
        });
    }
    Ok(())
}

fn is_page(name: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("md"))
}

/// Paths of everything in the folder that is no knowledge file: pictures, cases, pages. Sorted.
///
/// # Errors
/// When a folder cannot be listed.
pub fn beside(dir: &Path) -> io::Result<Vec<String>> {
    fn all(dir: &Path, prefix: &str, found: &mut Vec<String>) -> io::Result<()> {
        for entry in std::fs::read_dir(dir)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with('.') {
                continue;
            }
            let path = format!("{prefix}{name}");
            if entry.file_type()?.is_dir() {
                all(&entry.path(), &format!("{path}/"), found)?;
            } else if prefix
                .split('/')
                .next()
                .is_some_and(|top| super::files::SIDE_FOLDERS.contains(&top))
                || is_page(&name)
            {
                found.push(path);
            }
        }
        Ok(())
    }
    let mut found = Vec::new();
    all(dir, "", &mut found)?;
    found.sort();
    Ok(found)
}
