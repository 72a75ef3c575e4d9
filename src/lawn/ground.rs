//! The ground to be treated: named areas of the lawn file, or its one plain area.
use super::LawnError;
use super::form::{Area, Patch, plain_area};
use super::{Several, Written};
use crate::measure::area::{self, Shape};
use crate::measure::{Fault, FaultKind, Figure, Figures, Quantity};
use crate::words::{nearest, plain};

/// The ground of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ground {
    /// All of it together.
    pub area: Quantity,
    /// Each part with its name.
    pub parts: Vec<(String, Quantity)>,
    /// Whether it is nothing but single spots.
    pub spots: bool,
    /// The working.
    pub steps: Vec<String>,
}

impl Figures for Ground {
    fn figures(&self) -> Vec<Figure> {
        let mut all = vec![Figure::new("area", &self.area)];
        if self.parts.len() > 1 {
            all.extend(
                self.parts
                    .iter()
                    .map(|(name, area)| Figure::new(name, area)),
            );
        }
        all
    }
}

/// The ground of the named areas `wanted` (all of them when none is named), or of the plain text where the file has no
/// named areas; nothing where the file does not say.
///
/// # Errors
/// A name that no area has, two areas of one name, a part that takes away more than there is.
pub fn of(
    areas: &[Area],
    typed: Option<&str>,
    wanted: &[String],
) -> Result<Option<Ground>, LawnError> {
    if areas.is_empty() {
        if let Some(first) = wanted.first() {
            let fault = Fault::new(FaultKind::Empty, format!("no area is called `{first}`"))
                .expected("an `areas` list with names and shapes");
            return Err(LawnError::at("lawn: areas")(fault));
        }
        return plain_ground(typed);
    }
    for (place, one) in areas.iter().enumerate() {
        if areas[..place]
            .iter()
            .any(|other| same(&other.name, &one.name))
        {
            let fault = Fault::new(
                FaultKind::Figures,
                format!("two areas are called `{}`", one.name),
            )
            .expected("a name of its own for each");
            return Err(LawnError::at("lawn: areas")(fault));
        }
    }
    let mut chosen: Vec<&Area> = Vec::new();
    for name in wanted {
        let found = areas.iter().find(|a| same(&a.name, name)).ok_or_else(|| {
            let near = nearest(name, areas.iter().map(|a| a.name.as_str()));
            let fault = Fault::new(FaultKind::Empty, format!("no area is called `{name}`"));
            LawnError::at("lawn: areas")(match near {
                Some(near) => fault.hint(format!("did you mean `{near}`?")),
                None => fault.expected(format!(
                    "one of {}",
                    areas
                        .iter()
                        .map(|a| a.name.as_str())
                        .collect::<Vec<_>>()
                        .join(", ")
                )),
            })
        })?;
        if !chosen.iter().any(|c| same(&c.name, &found.name)) {
            chosen.push(found);
        }
    }
    if wanted.is_empty() {
        chosen = areas.iter().collect();
    }
    sum(&chosen).map(Some)
}

fn same(one: &str, other: &str) -> bool {
    plain(one) == plain(other)
}

fn plain_ground(typed: Option<&str>) -> Result<Option<Ground>, LawnError> {
    let Some(shape) = typed.and_then(plain_area) else {
        return Ok(None);
    };
    let worked = area::area(&shape).map_err(LawnError::at("lawn: area"))?;
    Ok(Some(Ground {
        parts: vec![("lawn".to_owned(), worked.value.clone())],
        area: worked.value,
        spots: matches!(shape, Shape::Spots { .. }),
        steps: worked.steps,
    }))
}

fn sum(chosen: &[&Area]) -> Result<Ground, LawnError> {
    let mut parts: Vec<(String, Quantity)> = Vec::new();
    let mut steps = Vec::new();
    let mut total: Option<Quantity> = None;
    for one in chosen {
        let place = format!("lawn: areas: {}", one.name);
        let worked = area::lawn(&shapes(&one.shape), &shapes(&one.minus))
            .map_err(LawnError::at(place.clone()))?;
        steps.extend(
            worked
                .steps
                .into_iter()
                .map(|step| format!("{}: {step}", one.name)),
        );
        total = Some(match total {
            None => worked.value.clone(),
            Some(sum) => sum.plus(&worked.value).map_err(LawnError::at(place))?,
        });
        parts.push((one.name.clone(), worked.value));
    }
    let area = total.ok_or_else(|| {
        LawnError::at("lawn: areas")(Fault::new(FaultKind::Empty, "no area was given"))
    })?;
    if parts.len() > 1 {
        let shown: Vec<String> = parts.iter().map(|(_, area)| area.short()).collect();
        steps.push(format!(
            "all areas: {} = {}",
            shown.join(" + "),
            area.short()
        ));
    }
    let spots = chosen
        .iter()
        .flat_map(|a| &a.shape.0)
        .all(|s| matches!(s.value().0, Shape::Spots { .. }));
    Ok(Ground {
        area,
        parts,
        spots,
        steps,
    })
}

fn shapes(several: &Several<Written<Patch>>) -> Vec<Shape> {
    several.0.iter().map(|w| w.value().0.clone()).collect()
}
