//! The questions about the label of the last product on the shelf.
use super::Question;
use ligule::knowledge::{Kind, Knowledge};
use ligule::lawn::label::label;
use ligule::lawn::product::{Holds, Product};
use ligule::measure::Fault;
use ligule::visit::Lawn;
use ligule::words::{and_list, plain};
use std::str::FromStr;

/// A figure of the label.
type Put = fn(&mut Product, &str) -> Result<(), String>;

fn always(_: &Knowledge, _: &Lawn) -> bool {
    true
}

fn product(lawn: &Lawn) -> Option<&Product> {
    lawn.shelf.last()
}

/// One figure: how it is asked, read, known and forgotten. The label as a whole is read again with every figure.
fn figure(
    title: impl Into<String>,
    help: &'static str,
    put: Put,
    known: fn(&Product) -> bool,
    forget: fn(&mut Product),
) -> Question {
    Question {
        title: title.into(),
        help,
        wanted: always,
        answered: Box::new(move |lawn| product(lawn).is_some_and(known)),
        take: Box::new(move |book, lawn, typed| on_label(book, lawn, |p| put(p, typed))),
        clear: Box::new(move |lawn| {
            if let Some(product) = lawn.shelf.last_mut() {
                forget(product);
            }
        }),
    }
}

/// Changes the label and reads it whole: figures that do not fit each other are told with the last one typed.
fn on_label(
    book: &Knowledge,
    lawn: &mut Lawn,
    change: impl FnOnce(&mut Product) -> Result<(), String>,
) -> Result<(), String> {
    let Some(product) = lawn.shelf.last_mut() else {
        return Ok(());
    };
    change(product)?;
    label(book.mixing.as_ref(), product)
        .map(|_| ())
        .map_err(|e| e.fault.to_string())
}

fn read<T: FromStr<Err = Fault>>(typed: &str) -> Result<T, String> {
    typed.parse().map_err(|fault: Fault| fault.to_string())
}

fn whole(typed: &str, of: &str) -> Result<u32, String> {
    typed
        .trim()
        .parse()
        .ok()
        .filter(|n| (1..=366).contains(n))
        .ok_or_else(|| format!("`{typed}` is no number of {of}; type a whole number such as 2"))
}

/// Ids or names parted by commas, each known to the book.
fn names(book: &Knowledge, kind: Kind, typed: &str) -> Result<Vec<String>, String> {
    typed
        .split(',')
        .map(str::trim)
        .filter(|t| !t.is_empty())
        .map(|t| book.find(kind, t).map_err(|unknown| unknown.to_string()))
        .collect()
}

/// The questions, in the order in which labels are mostly read.
pub fn questions(book: &Knowledge, lawn: &Lawn) -> Vec<Question> {
    let mut all = contents(book, lawn);
    all.push(others());
    all.extend(figures());
    all.extend(sayings());
    all.extend(named(book, lawn));
    all
}

/// How much of each active the product holds.
fn contents(book: &Knowledge, lawn: &Lawn) -> Vec<Question> {
    let count = product(lawn).map_or(0, |p| p.actives.len());
    (0..count)
        .map(|at| {
            let id = product(lawn).map_or("", |p| p.actives[at].active.as_str());
            Question {
                title: format!("Content of {} (4 lb a.e./gal, 480 g/L, 75 %)", super::name(book, id)),
                help: "It stands beside the active under `active ingredients`. With a.e. (acid equivalent) where the label prints both. It serves to check the rate, not to reckon it.",
                wanted: always,
                answered: Box::new(move |lawn| {
                    product(lawn)
                        .and_then(|p| p.actives.get(at))
                        .is_none_or(|a| a.content.is_some())
                }),
                take: Box::new(move |book, lawn, typed| {
                    on_label(book, lawn, |p| {
                        if let Some(holds) = p.actives.get_mut(at) {
                            holds.content = Some(typed.to_owned());
                        }
                        Ok(())
                    })
                }),
                clear: Box::new(move |lawn| {
                    if let Some(holds) = lawn.shelf.last_mut().and_then(|p| p.actives.get_mut(at)) {
                        holds.content = None;
                    }
                }),
            }
        })
        .collect()
}

/// Other actives: they must stand the check of grass, tank and limits as well.
fn others() -> Question {
    Question {
        title: "Other actives in it, with commas (Enter for none)".to_owned(),
        help: "Every active under `active ingredients` counts: one that injures your grass is not made safe by its partners. A content goes behind a colon: mecoprop-p: 0.5 lb/gal.",
        // Nothing in the file says that there are none, so it is asked as long as nothing behind it is answered.
        wanted: |_, lawn| {
            product(lawn)
                .is_some_and(|p| p.formulation.is_none() && p.rates.is_empty() && p.water.is_none())
        },
        answered: Box::new(|_| false),
        take: Box::new(|book, lawn, typed| {
            let mut found = Vec::new();
            for part in typed.split(',').map(str::trim).filter(|p| !p.is_empty()) {
                let (active, content) = match part.split_once(':') {
                    Some((active, content)) => (active, Some(content.trim().to_owned())),
                    None => (part, None),
                };
                found.push(Holds {
                    active: book
                        .find(Kind::Active, active.trim())
                        .map_err(|u| u.to_string())?,
                    content,
                });
            }
            on_label(book, lawn, |p| {
                found.retain(|f| {
                    p.actives
                        .iter()
                        .all(|a| plain(&a.active) != plain(&f.active))
                });
                p.actives.extend(found);
                Ok(())
            })
        }),
        // Taken back together with the product only: which were added here is not known any more.
        clear: Box::new(|_| {}),
    }
}

/// Rates, water and limits.
fn figures() -> Vec<Question> {
    vec![
        figure(
            "Formulation, the code behind the name (EC, SL, SC, WG, WP, GR)",
            "It decides the order of mixing, and whether the product is weighed or poured. GR is a granule that is spread dry.",
            |p, t| {
                p.formulation = Some(t.to_uppercase());
                Ok(())
            },
            |p| p.formulation.is_some(),
            |p| p.formulation = None,
        ),
        figure(
            "Rate on the whole area (0.4-0.6 fl oz/1000 sq ft)",
            "Of the table row for your grass. A range is typed as it stands; the lower end is taken.",
            |p, t| {
                p.rates.broadcast = Some(read(t)?);
                Ok(())
            },
            |p| p.rates.broadcast.is_some(),
            |p| p.rates.broadcast = None,
        ),
        figure(
            "Rate for single plants, in the spray (0.5 fl oz/gal)",
            "Where the label has one for spot treatment. Enter where it has none.",
            |p, t| {
                p.rates.spot = Some(read(t)?);
                Ok(())
            },
            |p| p.rates.spot.is_some(),
            |p| p.rates.spot = None,
        ),
        Question {
            wanted: |_, lawn| !is_spread(lawn),
            ..figure(
                "Water, the spray in all on an area (0.75-2 gal/1000 sq ft)",
                "How much finished spray the label wants on the area. What your sprayer puts out must lie within it.",
                |p, t| {
                    p.water = Some(read(t)?);
                    Ok(())
                },
                |p| p.water.is_some(),
                |p| p.water = None,
            )
        },
        figure(
            "Most in one treatment (0.6 fl oz/1000 sq ft)",
            "Look for `do not apply more than ... per application`. No amount goes above it.",
            |p, t| {
                p.maximum.application = Some(read(t)?);
                Ok(())
            },
            |p| p.maximum.application.is_some(),
            |p| p.maximum.application = None,
        ),
        figure(
            "Most in a year (1.2 fl oz/1000 sq ft)",
            "Look for `per year`, `per season` or `per annual growing season`.",
            |p, t| {
                p.maximum.year = Some(read(t)?);
                Ok(())
            },
            |p| p.maximum.year.is_some(),
            |p| p.maximum.year = None,
        ),
    ]
}

/// What the label says of the time after, mostly in its own words.
fn sayings() -> Vec<Question> {
    vec![
        figure(
            "Treatments in a year, at most (2)",
            "A whole number, where the label has one.",
            |p, t| {
                p.treatments_per_year = Some(whole(t, "treatments")?);
                Ok(())
            },
            |p| p.treatments_per_year.is_some(),
            |p| p.treatments_per_year = None,
        ),
        figure(
            "Days between two treatments, at least (28)",
            "A whole number of days, where the label has one; four weeks are 28.",
            |p, t| {
                p.interval_days = Some(whole(t, "days")?);
                Ok(())
            },
            |p| p.interval_days.is_some(),
            |p| p.interval_days = None,
        ),
        figure(
            "Rain and watering afterwards (none for 6 hours)",
            "In the label's own words; it is printed on the sheet as it is.",
            |p, t| {
                p.rain_free = Some(t.to_owned());
                Ok(())
            },
            |p| p.rain_free.is_some(),
            |p| p.rain_free = None,
        ),
        figure(
            "Going on the lawn again (when the spray has dried)",
            "In the label's own words; look for `re-entry` or `keep people and pets off`.",
            |p, t| {
                p.re_entry = Some(t.to_owned());
                Ok(())
            },
            |p| p.re_entry.is_some(),
            |p| p.re_entry = None,
        ),
        figure(
            "Mowing before and after (none for 2 days before and after)",
            "In the label's own words.",
            |p, t| {
                p.mowing = Some(t.to_owned());
                Ok(())
            },
            |p| p.mowing.is_some(),
            |p| p.mowing = None,
        ),
    ]
}

/// Whether the product in question is spread dry.
pub fn is_spread(lawn: &Lawn) -> bool {
    product(lawn).is_some_and(|p| p.formulation.as_deref() == Some("GR"))
}

/// The grasses and weeds that the label names.
fn named(book: &Knowledge, lawn: &Lawn) -> Vec<Question> {
    let turf: Vec<String> = lawn
        .grass
        .iter()
        .filter_map(|g| book.find(Kind::Turf, g).ok())
        .filter_map(|id| book.turf.get(&id)?.names.first().cloned())
        .collect();
    vec![
        Question {
            title: format!(
                "Grasses that the label names, with commas ({}, ...)",
                and_list(&turf)
            ),
            help: "Look under `tolerant grasses` or `use sites`. Where your grass is not named, no amount is given: the label decides.",
            wanted: always,
            answered: Box::new(|lawn| product(lawn).is_some_and(|p| !p.grasses.is_empty())),
            take: Box::new(|book, lawn, typed| {
                let found = names(book, Kind::Turf, typed)?;
                on_label(book, lawn, |p| {
                    p.grasses.0 = found;
                    Ok(())
                })
            }),
            clear: Box::new(|lawn| {
                if let Some(product) = lawn.shelf.last_mut() {
                    product.grasses.0.clear();
                }
            }),
        },
        Question {
            title: "Weeds that the label names, with commas".to_owned(),
            help: "Those of your lawn are enough. A weed that the label does not name may not be what it controls.",
            wanted: always,
            answered: Box::new(|lawn| product(lawn).is_some_and(|p| !p.weeds.is_empty())),
            take: Box::new(|book, lawn, typed| {
                let found = names(book, Kind::Weed, typed)?;
                on_label(book, lawn, |p| {
                    p.weeds.0 = found;
                    Ok(())
                })
            }),
            clear: Box::new(|lawn| {
                if let Some(product) = lawn.shelf.last_mut() {
                    product.weeds.0.clear();
                }
            }),
        },
    ]
}
