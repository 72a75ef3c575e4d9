//! Pictures: good XML, told twice, with words beside them, and without colours.
use jiff::civil::date;
use ligule::knowledge::Knowledge;
use ligule::picture::{Mark, Picture, degree_days, hours, resistance, year_strip};
use ligule::rotate::curve::{Comparison, Inheritance, assumptions, curve, given, model};
use ligule::season::days::days;
use ligule::season::degree::{Count, Method, sum};
use ligule::season::hours::{Ask, judge};
use ligule::season::sun::Spot;
use ligule::season::table::read;
use ligule::season::windows;

fn book() -> Knowledge {
    Knowledge::embedded().expect("good knowledge")
}

/// Checks what every picture must be: XML, an image with a name, its words inside, black, white and grey only.
fn check(picture: &Picture) -> String {
    let document = roxmltree::Document::parse(&picture.svg).expect("well-formed XML");
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let ids: Vec<&str> = root
        .attribute("aria-labelledby")
        .expect("names")
        .split(' ')
        .collect();
    for id in ids {
        let named = document
            .descendants()
            .find(|n| n.attribute("id") == Some(id))
            .expect("the name is there");
        assert!(named.text().is_some_and(|t| !t.is_empty()));
    }
    let desc = root
        .children()
        .find(|n| n.has_tag_name("desc"))
        .and_then(|n| n.text())
        .expect("words");
    assert_eq!(desc, picture.alt);
    let [width, height] = ["width", "height"].map(|a| {
        root.attribute(a)
            .and_then(|v| v.parse::<f64>().ok())
            .expect("a size")
    });
    for node in document.descendants() {
        for ink in ["fill", "stroke"].iter().filter_map(|a| node.attribute(*a)) {
            let grey = ink == "none"
                || ink.starts_with("url(#")
                || ["#000", "#fff", "#bbb"].contains(&ink);
            assert!(grey, "{ink} is a colour");
            if let Some(id) = ink.strip_prefix("url(#").and_then(|i| i.strip_suffix(')')) {
                assert!(
                    document
                        .descendants()
                        .any(|n| n.attribute("id") == Some(id)),
                    "the pattern {id} is there"
                );
            }
        }
        for (axis, most) in [("x", width), ("y", height)] {
            if let Some(at) = node.attribute(axis).and_then(|v| v.parse::<f64>().ok()) {
                assert!(
                    (0.0..=most).contains(&at),
                    "{axis}={at} lies outside {most}: {node:?}"
                );
            }
        }
    }
    document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect::<Vec<_>>()
        .join("|")
}

#[test]
fn the_year_strip_shows_group_numbers_and_tells_them() {
    let mark = |year, month, groups: &[u16], planned| Mark {
        year,
        month,
        groups: groups.to_vec(),
        planned,
    };
    let marks = [
        mark(2026, 5, &[2, 4], false),
        mark(2026, 5, &[14], false),
        mark(2027, 10, &[27], true),
        mark(2028, 3, &[], true),
    ];
    let picture = year_strip("Front & \"back\" <lawn>", &marks).expect("a picture");
    let text = check(&picture);
    for shown in [
        "2+4",
        "14",
        "27*",
        "rest*",
        "2026",
        "2028",
        "group 27",
        "without chemicals",
    ] {
        assert!(text.split('|').any(|t| t == shown), "{shown} in {text}");
    }
    assert!(
        text.contains("Front & \"back\" <lawn>"),
        "names are escaped and come back"
    );
    assert_eq!(
        picture.alt,
        "May 2026: group 2+4; May 2026: group 14; Oct 2027: group 27, planned; Mar 2028: no chemicals, planned."
    );
    check(&year_strip("Nothing yet", &[]).expect("a picture of nothing"));
}

#[test]
fn the_degree_day_curve_shows_its_windows_and_gaps() {
    let text = std::fs::read_to_string("tests/data/weather/spring.csv").expect("the file is there");
    let (all, _) = days(&read("spring.csv", &text, &[]).expect("good"));
    let book = book();
    let ask = windows::Ask {
        weeds: vec!["large-crabgrass".into()],
        today: date(2026, 4, 10),
        start: None,
        method: None,
    };
    let found = windows::windows(&book, &all, &ask);
    let count = Count {
        method: Method::Simple,
        base: 32.0,
        upper: None,
        fahrenheit: true,
        start: date(2026, 1, 20),
        soil: false,
    };
    let running = sum(&all, &count);
    let picture = degree_days(
        "Degree days",
        "F",
        &running,
        &found,
        Some(date(2026, 4, 10)),
    )
    .expect("a picture");
    let text = check(&picture);
    assert!(
        text.split('|')
            .any(|t| t == "apply preemergence: large crabgrass")
            && text.contains("10 Apr"),
        "{text}"
    );
    assert!(text.contains("12 days are missing"), "{text}");
    assert!(
        picture
            .alt
            .contains("apply preemergence: large crabgrass, 2026-03-08 to 2026-03-19."),
        "{}",
        picture.alt
    );
    check(&degree_days("Nothing", "C", &[], &[], None).expect("a picture of nothing"));
}

#[test]
fn the_hours_strip_has_a_letter_in_every_cell() {
    let text =
        std::fs::read_to_string("tests/data/weather/forecast.csv").expect("the file is there");
    let table = read("forecast.csv", &text, &[]).expect("good");
    let ask = Ask {
        actives: vec!["dicamba".into()],
        spot: Some(Spot {
            latitude: 36.0,
            longitude: -84.0,
        }),
        ..Ask::default()
    };
    let found = judge(&book(), &table, &ask).expect("hours");
    let picture = hours("Hours", &found).expect("a picture");
    let letters = check(&picture)
        .split('|')
        .filter(|t| ["#", "+", "!", "?", "."].contains(t))
        .count();
    assert_eq!(
        letters,
        96 + 5,
        "one for each hour and each line of the key"
    );
    assert!(picture.alt.starts_with(&format!(
            "{} of 96 hours are fit.",
            found
                .hours
                .iter()
                .filter(|h| h.fitness <= ligule::season::hours::Fitness::Fit)
                .count()
        )));
}

#[test]
fn the_resistance_curve_carries_its_assumptions() {
    let values = given(&book(), &[]).expect("values");
    let how = Inheritance {
        dominance: 1.0,
        selfed: 0.0,
    };
    let model = model(&values, 1e5, how);
    let uses = vec![vec![vec![2_u16]]; 12];
    let rested = vec![vec![vec![2_u16]], vec![Vec::new()]]
        .into_iter()
        .cycle()
        .take(12)
        .collect::<Vec<_>>();
    let comparison = Comparison {
        curves: vec![
            curve("the same again", &model, &uses, 0.2, 10, 1),
            curve("the plan", &model, &rested, 0.2, 10, 1),
        ],
        threshold: 0.2,
        runs: 10,
        seed: 1,
        given: values,
        assumptions: assumptions(&model, how),
    };
    let picture = resistance("Resistance", &comparison).expect("a picture");
    let text = check(&picture);
    assert!(
        text.contains("the same again")
            && text.contains("the plan")
            && text.contains("not a forecast"),
        "{text}"
    );
    assert!(picture.alt.starts_with("Illustration, not a forecast."));
    let dashes = roxmltree::Document::parse(&picture.svg)
        .expect("XML")
        .descendants()
        .filter(|n| n.attribute("stroke-dasharray").is_some())
        .count();
    assert_eq!(dashes, 2, "lines differ by their dashes");
}
