//! What lies beside the answers: the record, the forecast, the weather, and the drawings of the book.
use anyhow::{Context, Result, anyhow};
use jiff::civil::Date;
use ligule::knowledge::Knowledge;
use ligule::knowledge::sketches::Sketches;
use ligule::picture::Mark;
use ligule::records::Store;
use ligule::records::limits::past;
use ligule::season::table::read;
use ligule::treatment::{Beside, Weather};
use ligule::visit::Visit;
use std::path::Path;

/// Reads all of it. Paths of the visit count from the current folder, as those of flags do.
pub fn beside(
    book: &Knowledge,
    visit: &Visit,
    record: Option<(&Path, Option<&str>)>,
    today: Date,
) -> Result<Beside> {
    let mut found = Beside {
        forecast: weather("forecast", visit.forecast.as_deref())?,
        weather: weather("weather", visit.weather.as_deref())?,
        ..Beside::default()
    };
    if let Some((path, lawn)) = record {
        found.history = Some(super::record::history(book, path, lawn, today)?);
        let store = Store::open(path)?;
        found.used = past(book, &store, lawn, today)?
            .into_iter()
            .map(|p| Mark {
                year: p.day.year(),
                month: u8::try_from(p.day.month()).unwrap_or_default(),
                groups: p.groups,
                planned: false,
            })
            .collect();
    }
    Ok(found)
}

fn weather(of: &str, path: Option<&str>) -> Result<Option<Weather>> {
    let Some(path) = path else { return Ok(None) };
    let text = std::fs::read_to_string(path).with_context(|| {
        format!(
            "cannot read the {of} file {path} (paths count from the folder that ligule is started in)"
        )
    })?;
    let table = read(path, &text, &[]).map_err(|e| anyhow!("{of}: {e}"))?;
    Ok(Some(Weather {
        name: path.to_owned(),
        table,
    }))
}

/// The drawings beside the knowledge in use. One that cannot be shown is told and left out.
pub fn sketches(folder: Option<&Path>) -> Sketches {
    let Some(folder) = folder else {
        return Sketches::embedded();
    };
    let (sketches, faults) = Sketches::from_folder(folder);
    for fault in faults {
        eprintln!("{fault}");
    }
    sketches
}
