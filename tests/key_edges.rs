//! The key at its edges: few taxa, gaps, contradictions, counts, and books about something else than plants.
//!
//! Every book here is invented.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::identify::{Key, answers_of};
use ligule::key::answers::Answer;
use ligule::key::book::What;
use ligule::key::graph::{QuestionGraph, Scope};
use ligule::key::observe::class_of;
use ligule::key::{AnswerError, Answers, Book, Circumstances};
use ligule::knowledge::Knowledge;
use ligule::knowledge::folder::TextFile;
use std::fmt::Write as _;

const TRAITS: &str = "
- {id: metal, question: What is it made of?, help: h, kind: one, effort: glance, error: 0.05, source: memory,
   states: [{id: copper}, {id: silver}, {id: brass}]}
- {id: hole, question: Has it a hole?, help: h, kind: one, effort: glance, error: 0.02, source: memory,
   states: [{id: 'yes'}, {id: 'no'}]}
- {id: hole_shape, question: What is the hole like?, help: h, kind: one, effort: close, error: 0.05, source: memory,
   asked_of: {hole: 'yes'}, states: [{id: round}, {id: square}]}
- {id: edge, question: What is the edge like?, help: h, kind: one, effort: close, error: 0.05, source: memory,
   states: [{id: smooth}, {id: reeded}, {id: lettered}]}
- {id: width, question: How wide is it?, help: h, kind: number, unit: mm, cuts: [15, 20, 25], effort: lens, error: 0.02,
   source: memory}
";
const PENNY: &str = "metal: copper, hole: 'no', edge: smooth, width: [20, 21]";
const DIME: &str = "metal: silver, hole: 'no', edge: reeded, width: [17, 18]";
const CASH: &str = "metal: brass, hole: 'yes', hole_shape: square, edge: smooth, width: [23, 27]";

fn file(path: &str, text: String) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: path.to_owned(),
        text: Ok(text),
    }
}

/// A book of coins: the traits, and each coin as `trait: state` pairs, `[from, to]` for a range, or a whole `{…}`.
fn coins(traits: &str, coins: &[(&str, &str)]) -> Knowledge {
    let mut files = vec![
        file(
            "sources.yaml",
            "memory: {evidence: memory, title: invented}\n".to_owned(),
        ),
        file(
            "book.yaml",
            "{title: Coins (invented), version: '1', taxon_word: coin}\n".to_owned(),
        ),
        file("traits.yaml", traits.to_owned()),
    ];
    for (id, shows) in coins {
        let mut text = format!("names: [{id}]\nscientific_name: {id}\nsource: memory\ntraits:\n");
        for (name, value) in pairs(shows) {
            let value = match value.as_bytes()[0] {
                b'{' => value.replacen('{', "{source: memory, ", 1),
                b'[' => format!("{{range: {value}, source: memory}}"),
                _ => format!("{{is: {value}, source: memory}}"),
            };
            writeln!(text, "  {name}: {value}").unwrap();
        }
        files.push(file(&format!("weeds/{id}.yaml"), text));
    }
    Knowledge::from_texts(&files).unwrap_or_else(|e| panic!("{e}"))
}

/// What hurts is told from what was seen, whatever the belief, until the name is settled.
#[test]
fn a_danger_is_told_as_soon_as_it_shows() {
    let with = |book: &str| {
        let files = [
            file("sources.yaml", "memory: {evidence: memory, title: invented}\n".to_owned()),
            file("book.yaml", book.to_owned()),
            file("traits.yaml", TRAITS.to_owned()),
            file("weeds/penny.yaml", "names: [penny]\nscientific_name: penny\nsource: memory\ntraits:\n  metal: {is: copper, source: memory}\n  edge: {is: smooth, source: memory}\n  hole: {is: 'no', source: memory}\n".to_owned()),
            file("weeds/dime.yaml", "names: [dime]\nscientific_name: dime\nsource: memory\ntraits:\n  metal: {is: silver, source: memory}\n  edge: {is: reeded, source: memory}\n  hole: {is: 'no', source: memory}\n".to_owned()),
        ];
        Knowledge::from_texts(&files)
    };
    let book = "{title: t, version: '1', taxon_word: coin, beware: [{answered: {metal: silver, hole: ['yes']}, text: It may be hot., source: memory}]}\n";
    let book = with(book).unwrap_or_else(|e| panic!("{e}"));
    let told = |answers: &[(&str, &str)]| {
        let first = key(&book, answers).state().warnings.into_iter().next();
        first.is_some_and(|w| w == "It may be hot (from memory).")
    };
    assert!(told(&[("metal", "silver"), ("hole", "yes")]));
    assert!(!told(&[("metal", "silver")]) && !told(&[("metal", "copper"), ("hole", "yes")]));
    let slip = "{title: t, version: '1', beware: [{answered: {metal: sliver}, text: x, source: memory}]}\n";
    let slip = with(slip).map_or_else(|e| e.to_string(), |_| String::new());
    assert!(
        slip.contains("did you mean silver?") && slip.contains("book.yaml"),
        "{slip}"
    );
}

/// The faults of the book of coins with these traits and coins, `book.yaml` as given.
fn faults(book: &str, traits: &str, coins: &[(&str, String)]) -> String {
    let mut files = vec![
        file(
            "sources.yaml",
            "memory: {evidence: memory, title: invented}\n".to_owned(),
        ),
        file("book.yaml", book.to_owned()),
        file("traits.yaml", traits.to_owned()),
    ];
    for (id, text) in coins {
        files.push(file(&format!("weeds/{id}.yaml"), text.clone()));
    }
    Knowledge::from_texts(&files).map_or_else(|e| e.to_string(), |_| String::new())
}

/// `a: b, c: {d: e, f: g}` parted at the commas outside brackets.
fn pairs(text: &str) -> Vec<(&str, &str)> {
    let mut depth = 0;
    let parts = text.split(move |c| {
        depth += i32::from("[{".contains(c)) - i32::from("]}".contains(c));
        c == ',' && depth == 0
    });
    parts
        .map(|part| part.trim().split_once(": ").expect("a pair"))
        .collect()
}

fn three() -> Knowledge {
    coins(TRAITS, &[("penny", PENNY), ("dime", DIME), ("cash", CASH)])
}

fn key<'a>(book: &'a Knowledge, answers: &[(&str, &str)]) -> Key<'a> {
    let mut key = Key::new(book, What::Weeds, Circumstances::default(), None);
    for (name, word) in answers {
        key.answer(name, &[word]).unwrap_or_else(|e| panic!("{e}"));
    }
    key
}

#[test]
fn the_only_taxon_is_not_settled_against_what_was_seen() {
    let book = coins(TRAITS, &[("penny", PENNY)]);
    let mut wrong = key(&book, &[("metal", "silver")]);
    let state = wrong.state();
    assert!(!state.settled.name, "{:?}", state.settled);
    assert!(
        ["none of the coins", "fits no coin"]
            .iter()
            .any(|told| state.settled.why.contains(told)),
        "{}",
        state.settled.why
    );
    // Another look shows which it is, so there is something to ask, and the answer tells.
    let next = state.next.expect("a question");
    let none = state.none_of_these;
    let best = next
        .answers
        .iter()
        .map(|answer| {
            let mut then = key(&book, &[("metal", "silver")]);
            then.answer(&next.trait_id, &[&answer.value]).unwrap();
            then.belief().none()
        })
        .fold(1.0, f64::min);
    assert!(best < none - 0.05, "{best} and {none}");
    // What fits is settled after a look or two.
    let mut right = key(&book, &[("metal", "copper"), ("edge", "smooth")]);
    assert!(right.state().settled.name);
}

#[test]
fn contradictions_are_told_for_measures_and_for_what_cannot_be() {
    let book = three();
    let mut wide = key(&book, &[("metal", "copper"), ("width", "300")]);
    let warnings = wide.state().warnings;
    assert!(
        warnings.iter().any(|w| w.contains(
            "How wide is it? You saw 300 mm; for penny the answer is mostly 20 to 21 mm."
        )),
        "{warnings:?}"
    );
    let mut holed = key(
        &book,
        &[
            ("metal", "copper"),
            ("edge", "smooth"),
            ("width", "20.5"),
            ("hole_shape", "round"),
        ],
    );
    let warnings = holed.state().warnings;
    assert!(
        warnings
            .iter()
            .any(|w| w
                .contains("What is the hole like? You saw round; penny has nothing of the kind")),
        "{warnings:?}"
    );
    let mut right = key(&book, &[("metal", "copper"), ("width", "20.5")]);
    assert_eq!(right.state().warnings, Vec::<String>::new());
}

#[test]
fn where_nothing_fits_the_nearest_still_says_why() {
    let book = three();
    let mut strange = key(
        &book,
        &[
            ("metal", "silver"),
            ("hole", "yes"),
            ("edge", "lettered"),
            ("width", "300"),
        ],
    );
    let state = strange.state();
    assert!(state.none_of_these > 0.5, "{}", state.none_of_these);
    assert!(
        state
            .warnings
            .iter()
            .any(|w| w.starts_with("This does not fit")),
        "{:?}",
        state.warnings
    );
}

#[test]
fn a_stranger_beyond_doubt_is_not_asked_on() {
    let book = three();
    let mut answers = vec![("edge", "lettered"), ("width", "300"), ("hole", "yes")];
    answers.push(("hole_shape", "round"));
    let mut strange = key(&book, &answers);
    let state = strange.state();
    if let Some(next) = &state.next {
        // Only a question that might still bring a coin of the book back.
        let back = next.answers.iter().any(|answer| {
            let mut then = key(&book, &answers);
            then.answer(&next.trait_id, &[&answer.value]).unwrap();
            then.belief().none() < state.none_of_these - 0.01
        });
        assert!(back, "{next:?}");
    }
    // Of many strange answers hardly anything is left to ask about.
    let mut beyond = String::from(TRAITS);
    for n in 0..12 {
        writeln!(
            beyond,
            "- {{id: mark{n}, question: q, help: h, kind: one, effort: glance, error: 0.02, source: memory, states: [{{id: a}}, {{id: b}}, {{id: c}}, {{id: d}}]}}"
        )
        .unwrap();
    }
    let marks = |state: &str| {
        let one = |n| format!(", mark{n}: {state}");
        (0..12).map(one).collect::<Vec<_>>().concat()
    };
    let (penny, dime) = (
        format!("{PENNY}{}", marks("a")),
        format!("{DIME}{}", marks("b")),
    );
    let book = coins(&beyond, &[("penny", &penny), ("dime", &dime)]);
    let seen: Vec<(String, &str)> = (0..12).map(|n| (format!("mark{n}"), "c")).collect();
    let seen: Vec<(&str, &str)> = seen.iter().map(|(n, s)| (n.as_str(), *s)).collect();
    let state = key(&book, &seen).state();
    assert!(state.none_of_these > 0.99, "{}", state.none_of_these);
    assert_eq!(state.next, None);
}

#[test]
fn what_the_book_does_not_say_is_not_told_as_said() {
    let book = coins(
        TRAITS,
        &[
            ("penny", PENNY),
            ("dime", DIME),
            ("blank", "metal: copper, width: [20, 21]"),
        ],
    );
    let mut seen = key(&book, &[("metal", "copper"), ("edge", "lettered")]);
    let state = seen.state();
    let pair = state.pair.expect("two coppers");
    assert_eq!(pair.trait_id, None, "{}", pair.text);
    assert!(
        !state.warnings.iter().any(|w| w.contains("for blank")),
        "{:?}",
        state.warnings
    );
}

#[test]
fn the_answer_that_contradicts_is_the_one_to_look_at_again_though_the_book_reckons_with_no_error() {
    let sure = TRAITS
        .replace("error: 0.05", "error: 0")
        .replace("error: 0.02", "error: 0");
    let book = coins(&sure, &[("penny", PENNY), ("dime", DIME), ("cash", CASH)]);
    let mut seen = key(
        &book,
        &[
            ("metal", "copper"),
            ("hole", "yes"),
            ("edge", "smooth"),
            ("width", "20.5"),
        ],
    );
    let again = seen.state().look_again.expect("a contradiction");
    assert_eq!(again.trait_id, "hole");
    assert!(again.mistake > 0.5, "{}", again.mistake);
}

#[test]
fn a_measure_is_one_number_with_or_without_its_unit() {
    let book = three();
    let mut key = key(&book, &[]);
    let error = key.answer("width", &["17", "30"]).unwrap_err();
    assert!(matches!(error, AnswerError::Numbers { .. }), "{error}");
    assert!(key.answers.is_empty(), "nothing of a wrong answer is kept");
    key.answer("width", &["20.5 mm"]).unwrap();
    let of = key.book.trait_named("width").unwrap();
    assert_eq!(key.answers.get(of), Some(&Answer::Number(20.5)));
    let error = key.answer("width", &["0"]).unwrap_err().to_string();
    assert!(
        error.contains("takes a measure in mm above 0") && error.contains("1/4 in"),
        "{error}"
    );
    key.answer("width", &["1/4 in"]).unwrap();
    assert_eq!(key.answers.get(of), Some(&Answer::Number(6.35)));
    key.answer("width", &["5 to 10"]).unwrap();
    assert_eq!(key.answers.get(of), Some(&Answer::Number(7.071)));
    let error = key.answer("width", &["1,5"]).unwrap_err().to_string();
    assert!(error.contains("write 1.5,"), "{error}");
}

#[test]
fn a_weight_is_a_state_shown_and_a_weight_of_nothing_is_none() {
    let with = |hole: &str| {
        let penny = PENNY.replace("hole: 'no'", &format!("hole: {hole}"));
        coins(TRAITS, &[("penny", &penny), ("dime", DIME), ("cash", CASH)])
    };
    let (plain, weighed) = (with("'no'"), with("{weights: {'no': 1, 'yes': 0}}"));
    let measure =
        |book: &Knowledge| QuestionGraph::build(book, What::Weeds, &Scope::default()).steps();
    assert_eq!(measure(&plain).shared_ends, 0);
    assert_eq!(measure(&plain), measure(&weighed));
}

#[test]
fn a_book_that_holds_nothing_knows_nothing() {
    let book = coins(TRAITS, &[]);
    let state = key(&book, &[("metal", "silver")]).state();
    assert_eq!((state.candidates.len(), state.next), (0, None));
    assert!((state.none_of_these - 1.0).abs() < 1e-12);
    assert_eq!(state.settled.why, "the book holds no coins");
}

#[test]
fn small_measures_and_narrow_classes_are_told_apart() {
    let small = TRAITS.replace(
        "unit: mm, cuts: [15, 20, 25]",
        "unit: m, cuts: [0.01, 0.02, 0.04]",
    );
    let (penny, dime) = (
        PENNY.replace("[20, 21]", "[0.012, 0.014]"),
        DIME.replace("[17, 18]", "[0.03, 0.035]"),
    );
    let book = coins(&small, &[("penny", &penny), ("dime", &dime)]);
    let compiled = Book::new(&book, What::Weeds);
    let first = |width: &str| {
        let key = key(&book, &[("width", width)]);
        key.book.taxa()[key.belief().ranking()[0].0].id.clone()
    };
    assert_eq!(
        (first("0.013"), first("0.033")),
        ("penny".into(), "dime".into())
    );
    for cuts in ["0.01, 0.02, 0.04", "17.96, 18.04, 18.1", "1, 2, 3"] {
        let traits = TRAITS.replace("15, 20, 25", cuts);
        let book = coins(&traits, &[("penny", PENNY)]);
        let of = compiled.trait_named("width").unwrap();
        let cuts: Vec<f64> = cuts.split(", ").map(|c| c.parse().unwrap()).collect();
        for (class, answer) in answers_of(&book.traits[of]).iter().enumerate() {
            let value: f64 = answer.value.parse().unwrap();
            assert_eq!(class_of(value, &cuts), class, "{value} of {cuts:?}");
        }
    }
}

#[test]
fn any_of_them_is_not_sure() {
    let book = Book::new(&three(), What::Weeds);
    let of = book.trait_named("metal").unwrap();
    let at = Circumstances::default();
    let mut answers = Answers::new();
    let before = book.belief(&at, &answers);
    answers.set(of, Answer::States(vec![0, 1, 2]));
    assert_eq!(book.belief(&at, &answers), before);
}

/// Of a plant that is silent the mean of the others is supposed, which may be hardly anything where they cannot have the
/// trait; the book does not say so of this one.
#[test]
fn a_silent_plant_is_not_said_to_have_nothing() {
    let without = "metal: copper, hole: 'yes', hole_shape: na";
    let book = coins(
        TRAITS,
        &[
            ("a", without),
            ("b", without),
            ("c", without),
            ("d", without),
            ("e", without),
            ("silent", "metal: silver, hole: 'yes'"),
        ],
    );
    let said = |metal: &str| {
        let answers = [("metal", metal), ("hole", "yes"), ("hole_shape", "round")];
        key(&book, &answers).state().warnings.concat()
    };
    assert!(
        !said("silver").contains("silent has nothing"),
        "{}",
        said("silver")
    );
    assert!(
        said("copper").contains("a has nothing of the kind"),
        "{}",
        said("copper")
    );
}

#[test]
fn what_is_named_twice_counts_once_or_is_refused() {
    let regions = |named: &str| {
        let one = |id: &str, seen: &str| {
            let text = format!(
                "names: [{id}]\nscientific_name: {id}\nsource: memory\nseen: {{regions: {{is: {seen}, source: memory}}}}\ntraits:\n  metal: {{is: copper, source: memory}}\n"
            );
            file(&format!("weeds/{id}.yaml"), text)
        };
        let files = [
            file(
                "sources.yaml",
                "memory: {evidence: memory, title: invented}\n".to_owned(),
            ),
            file("traits.yaml", TRAITS.to_owned()),
            one("a", named),
            one("b", "[south]"),
        ];
        let book = Knowledge::from_texts(&files).unwrap_or_else(|e| panic!("{e}"));
        Book::new(&book, What::Weeds)
            .prior(&Circumstances::default())
            .taxa
    };
    assert_eq!(regions("[north]"), regions("[north, North]"));
    let coin = |hole: &str| {
        format!(
            "names: [a]\nscientific_name: a\nsource: memory\ntraits:\n  hole: {{is: {hole}, source: memory}}\n"
        )
    };
    let plain = "{title: t, version: '1'}\n";
    assert_eq!(faults(plain, TRAITS, &[("a", coin("['yes', 'no']"))]), "");
    let twice = faults(plain, TRAITS, &[("a", coin("['yes', 'yes', 'no']"))]);
    assert!(twice.contains("names one state twice"), "{twice}");
}

#[test]
fn a_measure_makes_no_kinds_and_nobody_reads_a_hundred_answers() {
    let number = faults("{title: t, version: '1', kind_trait: width}\n", TRAITS, &[]);
    assert!(
        number.contains("the trait of the kinds, width, is a number"),
        "{number}"
    );
    let states: Vec<String> = (0..65).map(|n| format!("{{id: s{n}}}")).collect();
    let many = TRAITS.replace(
        "{id: copper}, {id: silver}, {id: brass}",
        &states.join(", "),
    );
    let many = faults("{title: t, version: '1'}\n", &many, &[]);
    assert!(many.contains("the trait metal has 65 answers"), "{many}");
}
