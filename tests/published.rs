//! The book and the choice against published statements that were read for these checks, not for the book.
//! Each statement carries its source in `tests/data/outside/`.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::choose::{Applicator, Reason, Request, choose};
use ligule::knowledge::form::active::{Control, Timing, Tolerance};
use ligule::knowledge::{Kind, Knowledge};
use serde::Deserialize;
use serde::de::DeserializeOwned;

fn data<T: DeserializeOwned>(name: &str) -> T {
    let path = format!(
        "{}/tests/data/outside/{name}.yaml",
        env!("CARGO_MANIFEST_DIR")
    );
    serde_yaml::from_str(&std::fs::read_to_string(&path).expect("test data"))
        .expect("good test data")
}

#[derive(Debug, Deserialize)]
struct Groups {
    actives: Vec<GroupNumber>,
}

#[derive(Debug, Deserialize)]
struct GroupNumber {
    active: String,
    group: u16,
    source_kind: String,
    #[serde(default)]
    note: Option<String>,
}

#[derive(Debug, Deserialize)]
struct OnGrass {
    active: String,
    turf: String,
    stage: String,
    says: Tolerance,
    gist: String,
}

#[derive(Debug, Deserialize)]
struct OnWeed {
    active: String,
    weed: String,
    timing: Timing,
    says: Control,
    #[serde(default)]
    recommend: bool,
    #[serde(default)]
    turf: Option<String>,
    gist: String,
}

#[test]
fn groups_are_those_of_the_published_classification() {
    let book = Knowledge::embedded().expect("sound");
    let all: Groups = data("hrac-groups");
    let mut checked = 0;
    for one in &all.actives {
        let Ok(id) = book.find(Kind::Active, &one.active) else {
            continue;
        };
        if one.note.as_ref().is_some_and(|n| n.contains("DOUBTFUL")) {
            continue;
        }
        assert_eq!(
            book.actives[&id].group.is, one.group,
            "{} ({})",
            one.active, one.source_kind
        );
        checked += usize::from(one.source_kind != "memory");
    }
    assert!(
        checked >= 30,
        "only {checked} actives of the book have a published number or class to check"
    );
}

fn steps(a: Tolerance, b: Tolerance) -> u8 {
    let rank = |t| match t {
        Tolerance::Tolerant => 0_u8,
        Tolerance::Intermediate => 1,
        Tolerance::Sensitive | Tolerance::NotRegistered => 2,
    };
    rank(a).abs_diff(rank(b))
}

#[test]
fn what_sources_say_of_grasses() {
    let book = Knowledge::embedded().expect("sound");
    let all: Vec<OnGrass> = data("tolerance-published");
    let (mut compared, mut near) = (0, 0);
    for one in &all {
        let Ok(id) = book.find(Kind::Active, &one.active) else {
            println!("no active {}", one.active);
            continue;
        };
        let Some(ours) = book.tolerance(&book.actives[&id], &one.turf, &one.stage) else {
            println!("no row {} {} {}", one.active, one.turf, one.stage);
            continue;
        };
        compared += 1;
        near += usize::from(steps(ours.rating, one.says) <= 1);
        if steps(ours.rating, one.says) > 0 {
            println!(
                "{} {} {}: ours {:?} {:?} theirs {:?} ({})",
                one.active, one.turf, one.stage, ours.rating, ours.standing, one.says, one.gist
            );
        }
    }
    println!("compared {compared} of {} near {near}", all.len());
}

#[test]
fn what_sources_say_of_weeds() {
    let book = Knowledge::embedded().expect("sound");
    let all: Vec<OnWeed> = data("control-published");
    let (mut compared, mut near) = (0, 0);
    for one in &all {
        let Ok(id) = book.find(Kind::Active, &one.active) else {
            println!("no active {}", one.active);
            continue;
        };
        let Some(ours) = book.control(&book.actives[&id], &one.weed, one.timing) else {
            println!("no row {} {} {:?}", one.active, one.weed, one.timing);
            continue;
        };
        compared += 1;
        let d = (ours.rating as i32 - one.says as i32).abs();
        near += usize::from(d <= 1);
        if d > 0 {
            println!(
                "{} {} {:?}: ours {:?} {:?} theirs {:?} ({})",
                one.active, one.weed, one.timing, ours.rating, ours.standing, one.says, one.gist
            );
        }
        if one.recommend {
            let mut request = Request::new(&[&one.weed], one.turf.as_deref().unwrap());
            request.applicator = Some(Applicator::ForHire);
            let choice = choose(&book, &request);
            let offered = choice.options.iter().any(|o| o.actives.contains(&id));
            let why: Vec<&str> = choice
                .excluded
                .iter()
                .filter(|e| e.actives == [id.clone()])
                .map(|e| e.detail.as_str())
                .collect();
            println!(
                "RECOMMEND {} {} on {:?}: {offered} {why:?}",
                one.active, one.weed, one.turf
            );
        }
        let _ = Reason::Site;
    }
    println!("compared {compared} of {} near {near}", all.len());
}
