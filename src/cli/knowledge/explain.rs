//! `ligule knowledge explain`.
use super::super::output::{Format, Outcome, print, print_json};
use anyhow::{Result, bail};
use ligule::knowledge::check::{Check, Piece, page, registry};
use serde_json::{Value, json};

pub fn run(code: Option<&str>, format: Format) -> Result<Outcome> {
    let Some(code) = code else {
        match format {
            Format::Json => {
                let all: Vec<Value> = registry::CHECKS.iter().map(|c| shaped(c)).collect();
                print_json(&json!({"schema": "ligule/checks/1", "checks": all}))?;
            }
            Format::Human => print(&page::list())?,
        }
        return Ok(Outcome::Fine);
    };
    let code = code.trim().trim_matches(['[', ']']).to_lowercase();
    let Some(check) = registry::find(&code) else {
        let near =
            registry::near(&code).map_or(String::new(), |near| format!("; did you mean {near}?"));
        bail!("no check has the code `{code}`{near} (`ligule knowledge explain` lists them all)");
    };
    match format {
        Format::Json => {
            let mut value = shaped(check);
            value["schema"] = json!("ligule/explain/1");
            print_json(&value)?;
        }
        Format::Human => print(&page::explain(check))?,
    }
    Ok(Outcome::Fine)
}

fn shaped(check: &Check) -> Value {
    let pieces = |all: &[Piece]| -> Vec<Value> {
        all.iter()
            .map(|p| json!({"file": p.file, "yaml": p.yaml}))
            .collect()
    };
    json!({
        "code": check.code,
        "severity": check.severity,
        "title": check.title,
        "explanation": check.explanation,
        "bad": pieces(check.bad),
        "good": pieces(check.good),
    })
}
