//! Rotation: paths against an exhaustive search, and plans from the knowledge.
use ligule::choose::{Request, choose};
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::season::{CostKind, Risk};
use ligule::rotate::curve::{Inheritance, assumptions, curve, exposure, given, model};
use ligule::rotate::lawn::Year;
use ligule::rotate::suspect::{Answer, Suspicion, suspect};
use ligule::rotate::{
    Ask, Candidate, Occasion, Past, Resistant, Rotation, Rules, Used, cheapest, plan, same_again,
};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// The cost of a whole plan, written anew from the words of the knowledge: all of the past in hand, no graph, no window.
fn cost_of(
    points: &BTreeMap<CostKind, u32>,
    high: &[u16],
    within_family: &[u16],
    all: &[(Past, u32)],
    from: usize,
) -> u32 {
    let p = |kind: CostKind| points.get(&kind).copied().unwrap_or(0);
    let mut total = 0;
    for now in from..all.len() {
        let (here, own) = &all[now];
        total += own;
        if here.groups.is_empty() {
            total += p(CostKind::Rest);
            continue;
        }
        for group in &here.groups {
            total += if high.contains(group) {
                p(CostKind::HighRiskGroup)
            } else {
                p(CostKind::ModerateRiskGroup)
            };
            let again = now >= 1 && all[now - 1].0.groups.contains(group);
            let thrice = again && now >= 2 && all[now - 2].0.groups.contains(group);
            if thrice {
                total += p(CostKind::ThirdInARow);
            } else if again {
                let family = |past: &Past| {
                    past.families
                        .iter()
                        .filter(|f| f.0 == *group)
                        .map(|f| f.1.clone())
                        .collect::<Vec<_>>()
                };
                let shared = family(here)
                    .iter()
                    .any(|f| family(&all[now - 1].0).contains(f));
                total += if within_family.contains(group) && !shared {
                    p(CostKind::SameGroupOtherFamily)
                } else {
                    p(CostKind::SameGroupAgain)
                };
            }
            let twice = all[..now]
                .iter()
                .any(|(past, _)| past.year == here.year && past.groups.contains(group));
            if high.contains(group) && twice {
                total += p(CostKind::HighRiskTwiceAYear);
            }
        }
        let repeated = all[..now].iter().any(|(past, _)| {
            past.year + 1 == here.year && past.month == here.month && past.groups == here.groups
        });
        if repeated {
            total += p(CostKind::SameAsLastYear);
        }
    }
    total
}

/// Every way through the occasions, one after the other.
fn cheapest_by_trying(
    points: &BTreeMap<CostKind, u32>,
    high: &[u16],
    within: &[u16],
    history: &[Past],
    layers: &[Vec<Candidate>],
) -> u32 {
    let mut ways: Vec<Vec<usize>> = vec![Vec::new()];
    for layer in layers {
        ways = ways
            .iter()
            .flat_map(|way| (0..layer.len()).map(move |c| way.iter().copied().chain([c]).collect()))
            .collect();
    }
    ways.iter()
        .map(|way| {
            let mut all: Vec<(Past, u32)> = history.iter().map(|h| (h.clone(), 0)).collect();
            all.extend(
                way.iter()
                    .zip(layers)
                    .map(|(c, l)| (l[*c].past.clone(), l[*c].own)),
            );
            cost_of(points, high, within, &all, history.len())
        })
        .min()
        .expect("there is a way")
}

fn kinds() -> [CostKind; 10] {
    [
        CostKind::SameGroupAgain,
        CostKind::SameGroupOtherFamily,
        CostKind::ThirdInARow,
        CostKind::SameAsLastYear,
        CostKind::HighRiskTwiceAYear,
        CostKind::HighRiskGroup,
        CostKind::ModerateRiskGroup,
        CostKind::Rest,
        CostKind::FairControl,
        CostKind::RankStep,
    ]
}

/// Groups 1 to 5 as bits of a small number; families are told apart by a bit of another.
fn past(year: i16, month: u8, bits: u8, family: u8) -> Past {
    let groups: Vec<u16> = (0..5_u16)
        .filter(|g| bits >> g & 1 == 1)
        .map(|g| g + 1)
        .collect();
    let families = groups
        .iter()
        .map(|g| {
            (
                *g,
                if family >> (g % 2) & 1 == 1 {
                    "a".to_owned()
                } else {
                    "b".to_owned()
                },
            )
        })
        .collect();
    Past {
        year,
        month,
        groups,
        families,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn the_cheapest_path_is_as_cheap_as_an_exhaustive_search(
        costs in prop::collection::vec(0_u32..40, 10),
        months in prop::sample::subsequence(vec![2_u8, 5, 8, 10], 1..=3),
        years in 1_i16..=3,
        options in prop::collection::vec(prop::collection::vec((0_u8..32, 0_u8..4, 0_u32..12), 1..=3), 9),
        before in prop::collection::vec((1_u8..32, 0_u8..4), 0..=4),
        within in prop::sample::subsequence(vec![1_u16, 2, 3], 0..=3),
    ) {
        let points: BTreeMap<CostKind, u32> = kinds().into_iter().zip(costs).collect();
        let high = [1_u16, 2];
        let risk = (1..=5).map(|g| (g, if high.contains(&g) { Risk::High } else { Risk::Moderate })).collect();
        let rules = Rules::of(points.clone(), risk, within.clone());
        let when: Vec<(i16, u8)> = (0..years).flat_map(|y| months.iter().map(move |m| (2030 + y, *m))).take(7).collect();
        let layers: Vec<Vec<Candidate>> = when
            .iter()
            .zip(&options)
            .map(|((y, m), of)| of.iter().map(|(bits, family, own)| Candidate { past: past(*y, *m, *bits, *family), own: *own }).collect())
            .collect();
        // What was used the year before, in order of time.
        let history: Vec<Past> = before.iter().zip([2_u8, 5, 8, 10]).map(|((bits, family), m)| past(2029, m, *bits, *family)).collect();
        let (way, cost) = cheapest(&rules, &history, &layers).expect("every occasion has candidates");
        prop_assert_eq!(way.len(), layers.len());
        let mut all: Vec<(Past, u32)> = history.iter().map(|h| (h.clone(), 0)).collect();
        all.extend(way.iter().zip(&layers).map(|(c, l)| (l[*c].past.clone(), l[*c].own)));
        prop_assert_eq!(cost, cost_of(&points, &high, &within, &all, history.len()), "the path costs what it says");
        prop_assert_eq!(cost, cheapest_by_trying(&points, &high, &within, &history, &layers));
    }
}

fn book() -> &'static Knowledge {
    static BOOK: OnceLock<Knowledge> = OnceLock::new();
    BOOK.get_or_init(|| Knowledge::embedded().expect("good knowledge"))
}

fn ask(weeds: &[&str], turf: &str, months: &[u8], years: i16) -> Ask {
    Ask {
        request: Request::new(weeds, turf),
        occasions: (0..years)
            .flat_map(|y| {
                months.iter().map(move |m| Occasion {
                    year: 2027 + y,
                    month: *m,
                })
            })
            .collect(),
        ..Ask::default()
    }
}

#[test]
fn plans_take_nothing_that_the_choice_does_not_offer() {
    let book = book();
    for (weed, turf, months) in [
        ("dandelion", "tall-fescue", [5, 10]),
        ("goosegrass", "common-bermudagrass", [3, 6]),
        ("annual-bluegrass", "zoysiagrass-japonica", [2, 9]),
        ("green-kyllinga", "tall-fescue", [6, 8]),
        ("spotted-spurge", "st-augustinegrass", [3, 6]),
    ] {
        let ask = ask(&[weed], turf, &months, 4);
        let found = plan(book, &ask);
        assert_eq!(found.steps.len(), 8);
        assert_eq!(
            found.points,
            found.steps.iter().map(|s| s.points).sum::<u32>()
        );
        for step in &found.steps {
            let offered = choose(
                book,
                &Request {
                    month: Some(step.when.month),
                    ..ask.request.clone()
                },
            );
            let fine = step.actives.is_empty()
                || offered
                    .options
                    .iter()
                    .any(|o| o.actives == step.actives && Some(o.timing) == step.timing);
            assert!(
                fine,
                "{weed} on {turf}: {:?} is not offered in month {}",
                step.actives, step.when.month
            );
        }
    }
}

#[test]
fn a_plan_changes_groups_where_it_can() {
    let found = plan(book(), &ask(&["dandelion"], "tall-fescue", &[5, 10], 4));
    assert_eq!(found.rotation, Rotation::Possible);
    for pair in found.steps.windows(2) {
        let shared = pair[0].groups.iter().any(|g| pair[1].groups.contains(g));
        assert!(!shared, "{:?} after {:?}", pair[1].groups, pair[0].groups);
    }
}

#[test]
fn the_record_moves_the_first_step() {
    let book = book();
    let mut first = ask(&["goosegrass"], "common-bermudagrass", &[3], 1);
    let free = plan(book, &first).steps[0].groups.clone();
    let group = free[0];
    first.used = vec![Used {
        when: Occasion {
            year: 2026,
            month: 3,
        },
        actives: Vec::new(),
        groups: free.clone(),
    }];
    let after = plan(book, &first);
    assert!(
        !after.steps[0].groups.contains(&group),
        "group {group} was used the year before: {:?}",
        after.steps[0]
    );
}

#[test]
fn resistance_on_the_lawn_takes_a_group_out() {
    let book = book();
    let mut ask = ask(&["goosegrass"], "common-bermudagrass", &[3, 6], 3);
    let groups: Vec<u16> = plan(book, &ask)
        .steps
        .iter()
        .flat_map(|s| s.groups.clone())
        .collect();
    let group = groups[0];
    ask.resistant = vec![Resistant {
        weed: "goosegrass".into(),
        group,
    }];
    let found = plan(book, &ask);
    for step in found.steps.iter().filter(|s| !s.groups.is_empty()) {
        let others = step
            .actives
            .iter()
            .filter_map(|id| book.actives.get(id))
            .any(|a| a.group.is != group);
        assert!(others, "{:?} relies on group {group}", step.actives);
    }
}

#[test]
fn no_rotation_is_said_with_what_to_do_instead() {
    let book = book();
    let mut all = ask(&["dandelion"], "tall-fescue", &[5], 2);
    all.resistant = book
        .groups
        .iter()
        .map(|g| Resistant {
            weed: "dandelion".into(),
            group: g.number,
        })
        .collect();
    let found = plan(book, &all);
    assert_eq!(
        found.rotation,
        Rotation::Nothing {
            weed: "dandelion".into()
        }
    );
    assert!(found.steps.iter().all(|s| s.groups.is_empty()));
    assert!(found.why.contains("by hand") && !found.instead.is_empty());
    let keep = 4;
    all.resistant.retain(|r| r.group != keep);
    let one = plan(book, &all);
    assert_eq!(
        one.rotation,
        Rotation::OneGroup {
            weed: "dandelion".into(),
            group: keep
        }
    );
    assert!(one.why.contains("group 4"));
}

#[test]
fn every_cost_follows_advice_that_is_in_the_book() {
    let book = book();
    let own = book.resistance.as_ref().expect("resistance.yaml");
    let ids: Vec<&String> = own.guidance.iter().filter_map(|g| g.id.as_ref()).collect();
    for cost in &own.costs {
        for id in cost.follows.iter() {
            assert!(
                ids.contains(&id),
                "{:?} follows {id}, which is nowhere",
                cost.kind
            );
        }
    }
    for kind in kinds()
        .into_iter()
        .chain([CostKind::ResistanceHere, CostKind::ResistanceElsewhere])
    {
        assert_eq!(
            own.costs.iter().filter(|c| c.kind == kind).count(),
            1,
            "{kind:?} is charged once"
        );
    }
    // The same points for a plan as for its parts: a group of high risk is one of dpird's two.
    let high: Vec<u16> = own
        .risks
        .iter()
        .filter(|r| r.is == Risk::High)
        .flat_map(|r| r.groups.clone())
        .collect();
    assert_eq!(
        high,
        [1, 2],
        "Western Australia ranks groups 1 and 2 as high (dpird)"
    );
}

#[test]
fn other_causes_come_before_resistance() {
    let book = book();
    let ids: Vec<String> = book
        .resistance
        .as_ref()
        .expect("resistance.yaml")
        .other_causes
        .iter()
        .map(|c| c.id.clone())
        .collect();
    let open = suspect(book, "goosegrass", 3, &BTreeMap::new());
    assert_eq!(open.suspicion, Suspicion::NotSettled);
    assert!(
        open.cases.iter().any(|c| c.place.contains("Tennessee")),
        "the case of Maryville is on record"
    );
    let mut answers: BTreeMap<String, Answer> =
        ids.iter().map(|id| (id.clone(), Answer::No)).collect();
    assert_eq!(
        suspect(book, "goosegrass", 3, &answers).suspicion,
        Suspicion::Suspected
    );
    answers.insert("rain".into(), Answer::Yes);
    let rain = suspect(book, "goosegrass", 3, &answers);
    assert_eq!(rain.suspicion, Suspicion::OtherCause);
    assert!(rain.next.starts_with("Rule this out first"));
}

#[test]
fn the_plan_is_compared_with_the_same_again() {
    let book = book();
    let mut ask = ask(&["goosegrass"], "common-bermudagrass", &[3, 6], 4);
    ask.used = vec![Used {
        when: Occasion {
            year: 2026,
            month: 3,
        },
        actives: vec!["prodiamine".into()],
        groups: vec![3],
    }];
    let found = plan(book, &ask);
    assert_eq!(same_again(&ask, &found), [3]);
    let values =
        given(book, &[("resistant-share-at-start".into(), 0.001)]).expect("all values are there");
    assert!(
        values[0].evidence.is_none(),
        "a value that was typed rests on nobody"
    );
    let how = Inheritance {
        dominance: 1.0,
        selfed: 0.0,
    };
    let model = model(&values, 50_000.0, how);
    let by_year: Vec<Vec<Vec<u16>>> = (0..8)
        .map(|y| {
            found.steps[2 * (y % 4)..2 * (y % 4) + 2]
                .iter()
                .map(|s| s.groups.clone())
                .collect()
        })
        .collect();
    let again: Vec<Vec<Vec<u16>>> = by_year
        .iter()
        .map(|y| y.iter().map(|_| vec![3]).collect())
        .collect();
    let same = curve("the same again", &model, &again, 0.2, 20, 1);
    let planned = curve("the plan", &model, &by_year, 0.2, 20, 1);
    assert!(same.expected.last() > planned.expected.last());
    assert!(same.failing >= planned.failing);
    assert!(assumptions(&model, how)[0].contains("not a forecast"));
    assert_eq!(
        curve("again", &model, &again, 0.2, 20, 1).median,
        same.median,
        "runs repeat"
    );
    // Of two groups the one whose resistance gets furthest is shown, so that no plan looks better than it is.
    let uneven: Vec<Vec<Vec<u16>>> = (0..6)
        .map(|y| vec![vec![if y == 0 { 3 } else { 29 }]])
        .collect();
    assert_eq!(curve("uneven", &model, &uneven, 0.2, 5, 1).group, 29);
    assert!(given(book, &[("fitness-cost".into(), 1.5)]).is_err());
}

#[test]
fn exposure_counts_what_the_gene_meets() {
    let uses = vec![vec![vec![2], vec![2, 4]], vec![vec![4]], vec![Vec::new()]];
    assert_eq!(
        exposure(&uses, 2),
        [
            Year { with: 2, others: 1 },
            Year { with: 0, others: 1 },
            Year::default()
        ]
    );
}

/// A case in turf of the same state weighs like a third use in a row; elsewhere less; none found weighs nothing.
#[test]
fn resistance_on_record_is_charged_by_how_near_it_is() {
    let book = book();
    let only = |weed: &str, group: u16, place: Option<&str>| {
        let mut one = ask(&[weed], "tall-fescue", &[6], 1);
        one.request.place = place.map(str::to_owned);
        let others = book.groups.iter().map(|g| g.number).filter(|g| *g != group);
        one.resistant = others
            .map(|group| Resistant {
                weed: weed.into(),
                group,
            })
            .collect();
        plan(book, &one).steps.remove(0)
    };
    // Quinclorac on smooth crabgrass in California.
    let far = only("smooth-crabgrass", 4, None);
    assert_eq!(far.groups, [4]);
    assert!(
        far.charges
            .iter()
            .any(|c| c.kind == CostKind::ResistanceElsewhere && c.group == 4)
    );
    let near = only("smooth-crabgrass", 4, Some("us-ca"));
    assert!(
        near.groups.is_empty(),
        "a rest costs less than a group with resistance next door: {near:?}"
    );
    // For dandelion and group 4 the book records that no case was found.
    let none = only("dandelion", 4, None);
    assert_eq!(none.groups, [4]);
    assert!(
        none.charges
            .iter()
            .all(|c| c.kind != CostKind::ResistanceElsewhere)
    );
}
