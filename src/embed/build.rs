//! Gathers the knowledge folder into the program: every text as it is, packed, and all of them as two JSON documents.
//!
//! The texts serve `knowledge check` alone and are unpacked there; the JSON is what every other command reads at start-up,
//! because reading it takes a fraction of the time of YAML. A test proves that both give the same knowledge.
use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs};

type Json = serde_json::Map<String, serde_json::Value>;

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("knowledge");
    let out = PathBuf::from(env::var("OUT_DIR")?);
    println!("cargo::rerun-if-changed=src/embed/build.rs");
    watch(&root)?;
    let mut texts = Vec::new();
    let mut json = Json::new();
    for path in yaml_files(&root)? {
        let name = path
            .strip_prefix(&root)?
            .to_string_lossy()
            .replace('\\', "/");
        let text = fs::read_to_string(&path)?;
        // A file that is no YAML at all must not stop the build: the program itself explains the fault better.
        if let Ok(value) = serde_yaml::from_str::<serde_json::Value>(&text) {
            place(&mut json, &name, value);
        }
        texts.push((name, text));
    }
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(&serde_json::to_vec(&texts)?, 9);
    fs::write(out.join("texts.json.z"), packed)?;
    fs::write(out.join("sketches.rs"), sketches(&root.join("sketches"))?)?;
    // Two halves of about the same work, so that two cores can read them at once.
    let actives = json.remove("actives").into_iter();
    let actives: Json = actives.map(|value| ("actives".to_owned(), value)).collect();
    fs::write(out.join("actives.json"), serde_json::to_string(&actives)?)?;
    fs::write(out.join("others.json"), serde_json::to_string(&json)?)?;
    Ok(())
}

/// The list of drawings, `("TRAIT/STATE", text)`.
fn sketches(root: &Path) -> Result<String, Box<dyn Error>> {
    let mut drawings = Vec::new();
    for folder in fs::read_dir(root)? {
        for file in fs::read_dir(folder?.path())? {
            let path = file?.path();
            if path.extension().is_some_and(|e| e == "svg") {
                let name = path.strip_prefix(root)?.with_extension("");
                let name = name.to_string_lossy().replace('\\', "/");
                drawings.push(format!(
                    "    ({name:?}, include_str!({:?})),\n",
                    path.display().to_string()
                ));
            }
        }
    }
    drawings.sort();
    Ok(format!("[\n{}]", drawings.concat()))
}

/// Puts the value of `weeds/x.yaml` under `weeds`, `x`; of `sources/*.yaml` into `sources`; of `traits.yaml` under `traits`.
fn place(json: &mut Json, name: &str, value: serde_json::Value) {
    let stem = name.trim_end_matches(".yaml");
    let object = || serde_json::Value::Object(Json::new());
    match stem.split_once('/') {
        Some(("sources", _)) => merge(json.entry("sources").or_insert_with(object), value),
        Some((folder, id)) => {
            if let Some(map) = json.entry(folder).or_insert_with(object).as_object_mut() {
                map.insert(id.to_owned(), value);
            }
        }
        None if stem == "sources" => merge(json.entry("sources").or_insert_with(object), value),
        None => {
            json.insert(stem.to_owned(), value);
        }
    }
}

fn merge(into: &mut serde_json::Value, from: serde_json::Value) {
    if let (Some(into), serde_json::Value::Object(from)) = (into.as_object_mut(), from) {
        into.extend(from);
    }
}

/// The knowledge files: at the top and one folder down, as the program reads them.
fn yaml_files(root: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(root)? {
        let path = entry?.path();
        if path.is_dir()
            && !["cases", "schema", "sketches"]
                .iter()
                .any(|side| path.ends_with(side))
        {
            for entry in fs::read_dir(&path)? {
                found.push(entry?.path());
            }
        } else {
            found.push(path);
        }
    }
    found.retain(|p| p.extension().is_some_and(|e| e == "yaml"));
    found.sort();
    Ok(found)
}

fn watch(dir: &Path) -> Result<(), Box<dyn Error>> {
    println!("cargo::rerun-if-changed={}", dir.display());
    for entry in fs::read_dir(dir)? {
        let path = entry?.path();
        if path.is_dir() {
            watch(&path)?;
        } else {
            println!("cargo::rerun-if-changed={}", path.display());
        }
    }
    Ok(())
}
