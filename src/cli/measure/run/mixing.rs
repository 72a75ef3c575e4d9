//! Product, tank loads, active ingredient.

use super::super::{Active, Dilute, Mix};
use super::{Told, in_unit, measured, told};
use ligule::amounts::loads::{self, Part};
use ligule::amounts::tool::{self, Tool};
use ligule::amounts::{content, limit as limits, product, solution};
use ligule::measure::{
    Base, Each, Fault, FaultKind, Figure, Figures, Of, Quantity, State, Worked, area, limit,
    quantity, quantity_of, span, strength,
};

pub fn mix(arguments: &Mix) -> Result<Told, Fault> {
    let state = arguments.product.map(State::from);
    let settle = |one: Quantity| one.with_plain_ounces(state);
    let rate = span(&arguments.rate)?.each(settle)?;
    // A label that gives one rate allows no more than that rate.
    let maximum = match &arguments.maximum {
        Some(text) => settle(quantity(text)?)?,
        None => rate.high.clone(),
    };
    limits::check_rate(&rate.high, Some(&maximum))?;
    let ground = area::area(&area::shape(&arguments.area)?)?;
    let mut product = product::for_area(&rate.low, &ground.value, Some(&maximum))?;
    product.steps.splice(0..0, ground.steps);
    if let Some(text) = &arguments.per_year {
        let year = year_limit(text)?.with_plain_ounces(state)?;
        let used = arguments
            .used
            .iter()
            .map(|text| settle(quantity(text)?))
            .collect::<Result<Vec<_>, _>>()?;
        let left = limits::within_year(&product.value, &year, &used, &ground.value)?;
        product.steps.extend(left.steps);
    }
    let most = maximum.on(&ground.value)?;
    let (Some(volume), Some(tank)) = (&arguments.volume, &arguments.tank) else {
        return measured("mix", product, arguments.tool.as_deref(), Some(&most));
    };
    let spray = product::spray_for_area(&quantity(volume)?, &ground.value)?;
    let mut parts = vec![Part {
        name: "product".to_owned(),
        amount: product.value.clone(),
    }];
    let mut steps = product.steps;
    steps.extend(spray.steps);
    for (i, text) in arguments.adjuvant.iter().enumerate() {
        let amount = solution::into(&quantity(text)?, &spray.value)?;
        steps.extend(
            amount
                .steps
                .into_iter()
                .map(|step| format!("adjuvant: {step}")),
        );
        let name = if i == 0 {
            "adjuvant".to_owned()
        } else {
            format!("adjuvant_{}", i + 1)
        };
        parts.push(Part {
            name,
            amount: amount.value,
        });
    }
    let cut = if arguments.full_tanks {
        loads::full_and_rest
    } else {
        loads::equal
    };
    let cut = cut(&spray.value, &quantity(tank)?, &parts)?;
    let mut figures = vec![
        Figure::new("product", &product.value),
        Figure::new("spray", &spray.value),
    ];
    figures.extend(cut.value.figures());
    steps.extend(cut.steps);
    let mut worked = Worked {
        value: figures,
        steps,
        warnings: product.warnings,
    };
    if let Some(tool) = &arguments.tool {
        let tool: Tool = tool.parse()?;
        let amounts: Vec<Quantity> = cut
            .value
            .loads
            .iter()
            .filter_map(|load| load.parts.first())
            .map(|part| part.amount.clone())
            .collect();
        let portions = loads::portions(&amounts, &tool, Some(&most))?;
        worked
            .value
            .push(Figure::new("measured_total", &portions.value.total));
        let named = |(i, one): (usize, &tool::Measured)| {
            Figure::new(&format!("load_{}_measure", i + 1), &one.measure)
        };
        worked
            .value
            .extend(portions.value.portions.iter().enumerate().map(named));
        worked.steps.extend(portions.steps);
        worked.warnings.extend(portions.warnings);
    }
    Ok(told("mix", &worked))
}

/// The year's maximum; a text that says it is for one application is refused.
fn year_limit(text: &str) -> Result<Quantity, Fault> {
    let read = limit(text)?;
    if read.each == Some(Each::Application) {
        return Err(Fault::new(
            FaultKind::Figures,
            format!("`{text}` is for one application"),
        )
        .expected("the figure for a year, such as 2 qt/A/year"));
    }
    Ok(read.amount)
}

pub fn active(arguments: &Active) -> Result<Told, Fault> {
    let figure =
        quantity(&arguments.figure)?.with_plain_ounces(arguments.product.map(State::from))?;
    let mut content = Worked::new(strength(&arguments.strength)?, Vec::new());
    if let Some(density) = &arguments.density {
        content = content::by_volume(&content.value, &quantity(density)?)?;
    }
    let result = if let Some(acid) = &arguments.acid {
        let share = content::acid_share(&strength(acid)?, &content.value)?;
        content.steps.extend(share.steps);
        content::other_form(&figure, &share.value)?
    } else if figure.kind().of == Of::Product {
        content::active_in(&figure, &content.value)?
    } else {
        content::product_for(&figure, &content.value)?
    };
    let steps = content.steps.into_iter().chain(result.steps).collect();
    let result = Worked {
        value: result.value,
        steps,
        warnings: result.warnings,
    };
    Ok(told("active", &in_unit(result, arguments.unit.as_deref())?))
}

pub fn dilute(arguments: &Dilute) -> Result<Told, Fault> {
    let rate = quantity(&arguments.rate)?.with_plain_ounces(arguments.product.map(State::from))?;
    let spray = quantity_of(&arguments.spray, Base::Volume, "the spray")?;
    let amount = match &arguments.strength {
        Some(text) => solution::for_active(&rate, &strength(text)?, &spray)?,
        None => solution::into(&rate, &spray)?,
    };
    measured("dilute", amount, arguments.tool.as_deref(), None)
}
