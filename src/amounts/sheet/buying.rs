//! Packs, cost and shares.

use super::job::Job;
use super::{Sheet, Tick, figure};
use crate::amounts::cost::{self, Pack};
use crate::amounts::leftover::both;
use crate::lawn::label::place;
use crate::lawn::product::PackForm;
use crate::lawn::{LawnError, equipment};
use crate::measure::{Exact, Figure, Quantity, Worked, short};

/// Writes what the day costs and how far the pack goes.
pub fn write(job: &Job<'_>, sheet: &mut Sheet) -> Result<(), LawnError> {
    let Some(reckoned) = sheet.reckoned.clone() else {
        return Ok(());
    };
    let several = job.labels.len() > 1;
    for (label, total) in job.labels.iter().zip(&reckoned.totals) {
        let Some(form) = &label.product.pack else {
            continue;
        };
        let name = several.then_some(label.product.name.as_str());
        let treatments = label.product.treatments_per_year.unwrap_or(1);
        one(
            form,
            name,
            total.put_on(),
            treatments,
            &reckoned.area,
            sheet,
        )
        .map_err(LawnError::at(format!("{}: pack", place(label.product))))?;
    }
    Ok(())
}

fn one(
    form: &PackForm,
    name: Option<&str>,
    amount: &Quantity,
    treatments: u32,
    area: &Quantity,
    sheet: &mut Sheet,
) -> Result<(), crate::measure::Fault> {
    let of = |what: &str| match name {
        Some(name) => format!("{name}: {what}"),
        None => what.to_owned(),
    };
    let size = form.size.value();
    let keeps = form.keeps_years.as_ref().map(|k| k.value().0.clone());
    let year = cost::per_year(amount, treatments, size, keeps.as_ref())?;
    let year = steps_of(sheet, year);
    let times = match treatments {
        1 => "One treatment a year takes".to_owned(),
        n => format!("{n} treatments a year take"),
    };
    let lasts = match year.packs {
        1 => format!(
            "a pack of {} lasts {} years",
            size.short(),
            year.years.to_places(1)
        ),
        n => format!("{n} packs of {}", size.short()),
    };
    let mut text = of(&format!("{times} {}: {lasts}.", both(&year.per_year)));
    if let Some(keeps) = &keeps
        && year.years > *keeps
    {
        text = format!(
            "{text} It keeps {} years once open: a smaller pack, or a share with a neighbour, leaves nothing over.",
            short(keeps)
        );
    }
    sheet.buying.push(Tick::plain(text));
    sheet.figures.push(figure("per_year", &year.per_year));
    sheet
        .figures
        .push(Figure::plain("packs_per_year", year.packs));
    sheet
        .figures
        .push(Figure::number("pack_lasts", &year.years, "years"));
    let Some(price) = &form.price else {
        return Ok(());
    };
    let pack = Pack {
        size: size.clone(),
        price: price.value().0.clone(),
    };
    let cost = cost::of(amount, &pack)?;
    let cost = steps_of(sheet, cost);
    sheet.buying.push(Tick::plain(of(&format!(
        "What is used today costs {} of the {} for {}; {} left over.",
        money(&cost.used),
        money(&cost.bought),
        match cost.packs {
            1 => "one pack".to_owned(),
            n => format!("{n} packs"),
        },
        both(&cost.left)
    ))));
    sheet
        .figures
        .push(Figure::plain("cost_of_amount", cost.used.to_places(2)));
    sheet
        .figures
        .push(Figure::plain("cost_of_packs", cost.bought.to_places(2)));
    sheet.figures.push(figure("left_over", &cost.left));
    shares(form, &pack, area, sheet, &of)
}

fn shares(
    form: &PackForm,
    pack: &Pack,
    area: &Quantity,
    sheet: &mut Sheet,
    of: &dyn Fn(&str) -> String,
) -> Result<(), crate::measure::Fault> {
    if form.shared_with.is_empty() {
        return Ok(());
    }
    let mut areas = vec![area.clone()];
    areas.extend(equipment::values(&form.shared_with));
    let split = cost::split(&pack.price, &areas)?;
    let caution = split.warnings.first().cloned().unwrap_or_default();
    let shares = steps_of(sheet, split);
    let shown: Vec<String> = shares.iter().map(money).collect();
    sheet.buying.push(Tick::plain(of(&format!(
        "A pack shared by area costs {}, yours first. Mind: {caution}.",
        crate::words::and_list(&shown)
    ))));
    for (i, share) in shares.iter().enumerate() {
        sheet.figures.push(Figure::plain(
            &format!("share_{}", i + 1),
            share.to_places(2),
        ));
    }
    Ok(())
}

/// Money with two decimals.
fn money(amount: &Exact) -> String {
    let text = amount.to_places(2);
    match text.split_once('.') {
        None => format!("{text}.00"),
        Some((_, one)) if one.len() == 1 => format!("{text}0"),
        Some(_) => text,
    }
}

/// The value with its working; what it warns of is said in the sentences here.
fn steps_of<T>(sheet: &mut Sheet, worked: Worked<T>) -> T {
    sheet.steps.extend(worked.steps);
    worked.value
}
