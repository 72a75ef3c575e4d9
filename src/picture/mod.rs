//! Pictures as SVG: everything told twice, by pattern and by letter or number, so that they read in black and white and
//! by people who see colours differently; each with its text alternative. The markup stands in `templates/`.
mod chart;
mod degrees;
mod hours;
mod resistant;
mod year;

pub use degrees::degree_days;
pub use hours::hours;
pub use resistant::resistance;
pub use year::{Mark, year_strip, year_words};

use serde::Serialize;
use tera::{Context, Tera};

/// A picture with the words that stand for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Picture {
    /// The SVG.
    pub svg: String,
    /// What it shows, in sentences.
    pub alt: String,
}

impl Picture {
    /// The SVG as it stands inside a page: HTML knows the name of the elements, so they need no namespace.
    #[must_use]
    pub fn inline(&self) -> String {
        inline(&self.svg)
    }
}

/// An SVG as it stands inside a page.
#[must_use]
pub fn inline(svg: &str) -> String {
    svg.replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1)
}

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
#[error("the picture {name} cannot be drawn: {why}")]
pub struct PictureError {
    name: String,
    why: String,
}

const TEMPLATES: [(&str, &str); 4] = [
    ("marks.svg", include_str!("../../templates/marks.svg")),
    (
        "year-strip.svg",
        include_str!("../../templates/year-strip.svg"),
    ),
    ("curves.svg", include_str!("../../templates/curves.svg")),
    ("hours.svg", include_str!("../../templates/hours.svg")),
];

fn draw<T: Serialize>(name: &str, values: &T, alt: String) -> Result<Picture, PictureError> {
    let fail = |e: tera::Error| PictureError {
        name: name.to_owned(),
        why: e.to_string(),
    };
    let mut tera = Tera::new();
    // Only names with these endings are escaped, and a weed or a place may hold any letter.
    tera.autoescape_on(vec![".svg"]);
    tera.add_raw_templates(TEMPLATES).map_err(fail)?;
    let mut context = Context::from_serialize(values).map_err(fail)?;
    context.insert("alt", &alt);
    // Several pictures stand on one page, where a name may be used once.
    context.insert("pre", name.trim_end_matches(".svg"));
    Ok(Picture {
        svg: tera.render(name, &context).map_err(fail)?,
        alt,
    })
}

/// A number for a path or an attribute: one digit after the point, and no `-0.0`.
fn short(x: f64) -> f64 {
    (x * 10.0).round() / 10.0 + 0.0
}
