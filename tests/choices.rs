//! What the choice says beside its options: facts that decide, areas, one active alone, the year, trails, doubt.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use ligule::choose::{
    Applicator, Chooser, Fact, Outcome, Reason, Request, RequestFault, Soil, WeedStage, compare,
    without_chemicals,
};
use ligule::knowledge::Knowledge;
use ligule::knowledge::form::active::Timing;
use ligule::knowledge::verdict::Standing;

fn book() -> Knowledge {
    Knowledge::embedded().expect("sound")
}

fn reasons(chooser: &Chooser<'_>, request: &Request, active: &str) -> Vec<Reason> {
    let decision = chooser.decide(request);
    decision
        .excluded()
        .filter(|(set, _)| set.len() == 1 && chooser.id(set[0]) == active)
        .map(|(_, reason)| reason)
        .collect()
}

#[test]
fn new_grass_keeps_every_age_limit() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["common-chickweed"], "tall-fescue");
    "seedling".clone_into(&mut request.stage);
    // Quinclorac in the book: 4 weeks after seeding; on tall fescue seedlings it has statements of its own.
    let limit = book.actives["quinclorac"]
        .turf_age
        .as_ref()
        .expect("a limit");
    assert!(limit.weeks_after_seeding.is_some_and(|w| w.0 > 1.0));
    assert!(reasons(&chooser, &request, "quinclorac").contains(&Reason::TurfTooYoung));
    request.weeks_since_seeding = Some(1.0);
    assert!(reasons(&chooser, &request, "quinclorac").contains(&Reason::TurfTooYoung));
    request.weeks_since_seeding = Some(30.0);
    request.mowings = Some(20);
    assert!(!reasons(&chooser, &request, "quinclorac").contains(&Reason::TurfTooYoung));
    // Of seed and sod the later one counts.
    request.weeks_since_sodding = Some(1.0);
    assert!(reasons(&chooser, &request, "quinclorac").contains(&Reason::TurfTooYoung));
}

/// Of two timings that do as well the grown plant is named: who reads it need not hurry.
#[test]
fn among_equals_the_grown_weed_is_named() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut checked = 0;
    for weed in book.weeds.keys() {
        for option in chooser
            .choose(&Request::new(&[weed], "kentucky-bluegrass"))
            .options
        {
            let [active] = option.actives.as_slice() else {
                continue;
            };
            let rating = |timing| {
                book.control(&book.actives[active], weed, timing)
                    .map(|v| v.rating)
            };
            let (grown, young) = (rating(Timing::Post), rating(Timing::EarlyPost));
            if option.timing != Timing::Pre && grown.is_some() && grown >= young {
                assert_eq!(option.timing, Timing::Post, "{active} on {weed}");
                checked += usize::from(grown == young);
            }
        }
    }
    assert!(checked >= 3, "{checked} with equal ratings");
}

#[test]
fn a_plan_to_seed_stops_what_stays_in_the_soil() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["large-crabgrass"], "tall-fescue");
    request.month = Some(3);
    assert!(reasons(&chooser, &request, "dithiopyr").is_empty());
    request.seeding_in_weeks = Some(6.0);
    // The longest wait that was found counts: 6 to 16 weeks.
    assert_eq!(
        reasons(&chooser, &request, "dithiopyr"),
        [Reason::SeedingPlanned]
    );
    request.seeding_in_weeks = Some(17.0);
    assert!(reasons(&chooser, &request, "dithiopyr").is_empty());
}

#[test]
fn the_whole_range_of_the_day_must_fit() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["white-clover"], "kentucky-bluegrass");
    request.air_temp_f = Some(65.0);
    request.air_temp_high_f = Some(80.0);
    assert!(reasons(&chooser, &request, "quinclorac").is_empty());
    request.air_temp_high_f = Some(95.0);
    assert_eq!(reasons(&chooser, &request, "quinclorac"), [Reason::TooHot]);
    request.air_temp_f = Some(50.0);
    assert_eq!(
        reasons(&chooser, &request, "quinclorac"),
        [Reason::TooHot, Reason::TooCold]
    );
}

#[test]
fn frozen_ground_stops_everything_and_says_so() {
    let book = book();
    let mut request = Request::new(&["dandelion"], "tall-fescue");
    request.soil = Some(Soil::Frozen);
    let choice = Chooser::new(&book).choose(&request);
    assert!(choice.options.is_empty());
    assert!(choice.excluded.iter().any(|e| e.reason == Reason::Site));
    assert!(!choice.without_chemicals.is_empty());
}

#[test]
fn the_stage_of_the_weed_tells_before_from_after() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["large-crabgrass"], "kentucky-bluegrass");
    let with = |request: &mut Request, stage| {
        request
            .weed_stages
            .insert("large-crabgrass".to_owned(), stage);
    };
    with(&mut request, WeedStage::NotUp);
    let before = chooser.choose(&request);
    assert!(!before.options.is_empty());
    assert!(before.options.iter().all(|o| o.timing == Timing::Pre));
    assert!(before.options.iter().all(|o| !o.windows.is_empty()));
    with(&mut request, WeedStage::Grown);
    let after = chooser.choose(&request);
    assert!(after.options.iter().all(|o| o.timing == Timing::Post));
    // The window of the book: coming up from April on, so from February on, before the soil is warm.
    let window = &before.options[0].windows[0];
    assert_eq!(window.months, [2, 3, 4]);
    assert!(window.soil_f.is_some(), "{}", window.text);
}

#[test]
fn facts_that_cannot_be_true_together_are_told() {
    type Change = &'static dyn Fn(&mut Request);
    let book = book();
    let contradictions: [(&str, Change); 7] = [
        ("not yet", &|r| r.weeks_since_seeding = Some(3.0)),
        ("lower figure first", &|r| {
            r.air_temp_f = Some(80.0);
            r.air_temp_high_f = Some(60.0);
        }),
        ("keep one", &|r| {
            r.soil = Some(Soil::Dry);
            r.near = vec!["frozen".to_owned()];
        }),
        ("above 70", &|r| {
            r.soil = Some(Soil::Frozen);
            r.air_temp_f = Some(90.0);
        }),
        ("at most 100", &|r| {
            r.weeds.push("white-clover".to_owned());
            r.cover_percent.insert("dandelion".to_owned(), 60.0);
            r.cover_percent.insert("white-clover".to_owned(), 60.0);
        }),
        ("more than one a day", &|r| {
            r.weeks_since_seeding = Some(10.0);
            r.mowings = Some(200);
        }),
        ("0 or more", &|r| r.seeding_in_weeks = Some(f64::NAN)),
    ];
    for (part, change) in contradictions {
        let mut request = Request::new(&["dandelion"], "tall-fescue");
        change(&mut request);
        match request.check(&book) {
            Err(RequestFault::Contradiction(told)) => assert!(told.contains(part), "{told}"),
            other => panic!("{part}: {other:?}"),
        }
    }
    let mut request = Request::new(&["dandelion"], "tall-fescue");
    "establisht".clone_into(&mut request.stage);
    let told = request.check(&book).expect_err("no such stage").to_string();
    assert!(told.contains("did you mean `established`?"), "{told}");
}

#[test]
fn only_facts_that_decide_are_asked_for() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["dandelion"], "tall-fescue");
    let asked: Vec<Fact> = chooser
        .deciding(&request)
        .into_iter()
        .map(|u| u.fact)
        .collect();
    assert!(asked.contains(&Fact::AirTemperature));
    assert!(asked.contains(&Fact::Situation("near-trees".to_owned())));
    // Grass that is established has an age that no gate asks about.
    assert!(!asked.contains(&Fact::AgeOfGrass));
    // Toys on the lawn are a caution and change no choice.
    assert!(!asked.contains(&Fact::Situation("children-or-pets".to_owned())));
    // What is known is not asked for again; nothing is left when everything is known.
    request.month = Some(5);
    request.air_temp_f = Some(72.0);
    request.seeding_in_weeks = Some(52.0);
    request.soil = Some(Soil::Moist);
    request.near_told = true;
    request.place = Some("us".to_owned());
    request.applicator = Some(Applicator::Homeowner);
    request
        .weed_stages
        .insert("dandelion".to_owned(), WeedStage::Grown);
    assert_eq!(chooser.deciding(&request), []);
    // Where nothing is proven whatever the answer, nothing is asked.
    let mut request = Request::new(&["dandelion"], "tall-fescue");
    "stressed".clone_into(&mut request.stage);
    assert_eq!(chooser.deciding(&request), []);
}

#[test]
fn a_site_calls_for_what_the_book_says_of_the_actives() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["white-clover"], "kentucky-bluegrass");
    request.near = vec!["near-trees".to_owned()];
    for active in ["dicamba", "triclopyr"] {
        assert_eq!(reasons(&chooser, &request, active), [Reason::Site]);
    }
    request.near = vec!["near-well".to_owned()];
    let choice = chooser.choose(&request);
    let quinclorac = choice
        .options
        .iter()
        .find(|o| o.actives == ["quinclorac"])
        .expect("offered");
    assert!(quinclorac.cautions[0].starts_with("near a well, and quinclorac"));
    // The same options, but what the site touches stands further behind among equals.
    let far = Request {
        near: Vec::new(),
        ..request.clone()
    };
    assert_eq!(chooser.choose(&far).options.len(), choice.options.len());
}

#[test]
fn one_active_alone_is_told_with_its_share() {
    let book = book();
    let mut request = Request::new(
        &[
            "dandelion",
            "white-clover",
            "large-crabgrass",
            "purple-nutsedge",
        ],
        "perennial-ryegrass",
    );
    for (weed, cover) in request.weeds.clone().iter().zip([10.0, 20.0, 5.0, 5.0]) {
        request.cover_percent.insert(weed.clone(), cover);
    }
    let choice = Chooser::new(&book).choose(&request);
    assert!(choice.options[0].actives.len() > 1);
    let first = &choice.if_only_one[0];
    assert_eq!(first.deals_with.len() + first.leaves.len(), 4);
    assert!(first.text.contains("needs its own"), "{}", first.text);
    let share: f64 = first
        .deals_with
        .iter()
        .map(|w| request.cover_percent[w])
        .sum::<f64>()
        / 40.0;
    assert!((first.share.expect("all covers were said") - share).abs() < 1e-9);
    let shares: Vec<f64> = choice.if_only_one.iter().filter_map(|a| a.share).collect();
    assert!(shares.windows(2).all(|w| w[0] >= w[1]), "{shares:?}");
}

#[test]
fn grasses_that_do_not_stand_the_same_are_separated() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["white-clover"], "kentucky-bluegrass");
    request.turf.push("st-augustinegrass".to_owned());
    let choice = chooser.choose(&request);
    let both = |id: &str| choice.options.iter().any(|o| o.actives == [id]);
    assert!(!both("quinclorac"), "St. Augustinegrass does not stand it");
    assert_eq!(choice.by_grass.len(), 2);
    let of = |turf: &str| {
        let area = choice.by_grass.iter().find(|a| a.turf == turf);
        &area.expect("each grass has its line").options
    };
    assert!(of("kentucky-bluegrass").contains(&vec!["quinclorac".to_owned()]));
    assert!(!of("st-augustinegrass").contains(&vec!["quinclorac".to_owned()]));
}

#[test]
fn a_second_treatment_is_told_with_its_interval() {
    let book = book();
    let choice = Chooser::new(&book).choose(&Request::new(&["green-kyllinga"], "tall-fescue"));
    let option = choice
        .options
        .iter()
        .find(|o| o.actives == ["halosulfuron-methyl"])
        .expect("offered");
    // Published for this pair: 0.07 kg/ha twice; the book's interval is 28 to 70 days.
    let again = &option.again[0];
    assert_eq!(again.after_days, Some([28.0, 70.0]));
    assert!(
        again.text.contains("now, and again in 4 to 10 weeks"),
        "{}",
        again.text
    );
}

#[test]
fn a_year_joins_before_and_after() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["large-crabgrass", "henbit"], "kentucky-bluegrass");
    request.month = Some(6);
    let programme = chooser.choose(&request).programme.expect("two annuals");
    let pre: Vec<&[u8]> = programme
        .steps
        .iter()
        .filter(|s| s.option.timing == Timing::Pre)
        .map(|s| s.months.as_slice())
        .collect();
    assert!(pre.contains(&[2, 3, 4].as_slice()), "late winter: {pre:?}");
    assert!(pre.len() >= 2, "and autumn: {pre:?}");
    assert!(programme.steps[0].months.is_empty(), "now comes first");
    assert!(programme.steps.iter().any(|s| s.again.is_some()));
    // The steps obey the gates: each active of a step is an option of its own month.
    for step in programme.steps.iter().filter(|s| !s.months.is_empty()) {
        let then = Request {
            weeds: step.weeds.clone(),
            month: step.months.last().copied(),
            ..request.clone()
        };
        let choice = chooser.choose(&then);
        assert!(
            choice
                .options
                .iter()
                .any(|o| o.actives == step.option.actives),
            "{:?}",
            step.option.actives
        );
    }
    // A perennial is not kept from coming up by a treatment of the soil.
    assert!(
        chooser
            .choose(&Request::new(&["ground-ivy"], "tall-fescue"))
            .programme
            .is_none()
    );
}

#[test]
fn every_option_and_exclusion_leads_to_rows_and_sources() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["white-clover", "large-crabgrass"], "tall-fescue");
    request.month = Some(5);
    request.air_temp_f = Some(88.0);
    request.near = vec!["near-trees".to_owned()];
    request.place = Some("us".to_owned());
    let decision = chooser.decide(&request);
    let trails = chooser.explain(&request, &decision, None);
    let excluded: usize = trails
        .iter()
        .filter(|t| t.outcome == Outcome::Excluded)
        .map(|t| t.steps.len())
        .sum();
    assert_eq!(excluded, decision.excluded().count());
    assert_eq!(
        trails.len()
            - trails
                .iter()
                .filter(|t| t.outcome == Outcome::Excluded)
                .count(),
        decision.options.len()
    );
    for trail in &trails {
        for step in &trail.steps {
            assert!(!step.says.is_empty());
            // Only what rests on nothing being said, or on counting, has no row.
            let nothing_said = matches!(
                step.about.as_str(),
                "turf-not-proven" | "control-not-proven" | "number of actives"
            );
            assert!(nothing_said || !step.rows.is_empty(), "{trail:?}");
            for row in &step.rows {
                assert!(!row.sources.is_empty());
                assert!(row.sources.iter().all(|(_, title)| !title.is_empty()));
            }
        }
    }
    let one = chooser.explain(&request, &decision, Some("mesotrione"));
    assert!(!one.is_empty());
    assert!(
        one.iter()
            .all(|t| t.actives.contains(&"mesotrione".to_owned()))
    );
}

#[test]
fn two_options_stand_side_by_side() {
    let book = book();
    let choice = Chooser::new(&book).choose(&Request::new(&["white-clover"], "tall-fescue"));
    let aspects = compare(&choice.options[0], &choice.options[1], &str::to_owned);
    assert_eq!(aspects[0].first, choice.options[0].actives.join(" + "));
    let grass = aspects
        .iter()
        .find(|a| a.about == "the grass")
        .expect("compared");
    assert_ne!(
        grass.better, "second",
        "the first option is no worse on the grass"
    );
}

#[test]
fn what_rests_on_memory_alone_says_so_first() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut memory = 0;
    for turf in book.turf.keys() {
        for option in chooser.choose(&Request::new(&["dandelion"], turf)).options {
            assert_eq!(
                option.turf.standing.is_memory(),
                option.why[0].contains("memory alone"),
                "{:?}",
                option.why
            );
            memory += usize::from(option.turf.standing == Standing::AgreedMemory);
        }
    }
    assert!(memory > 10);
}

#[test]
fn better_evidence_comes_first_among_equal_ratings() {
    let book = book();
    let chooser = Chooser::new(&book);
    for weed in ["dandelion", "large-crabgrass", "white-clover"] {
        for turf in book.turf.keys() {
            let options = chooser.decide(&Request::new(&[weed], turf)).options;
            assert!(options.windows(2).all(|w| w[0].worth <= w[1].worth));
            let turf_first = |o: &_| -> (_, _) {
                let o: &ligule::choose::Picked = o;
                (o.worth.turf, o.worth.turf_standing)
            };
            assert!(
                options
                    .windows(2)
                    .all(|w| turf_first(&w[0]) <= turf_first(&w[1]))
            );
        }
    }
}

#[test]
fn doubt_weighs_options_by_what_the_plant_may_be() {
    let book = book();
    let chooser = Chooser::new(&book);
    let request = Request::new(&[], "kentucky-bluegrass");
    let belief = [
        ("white-clover".to_owned(), 0.5),
        ("purple-nutsedge".to_owned(), 0.3),
        ("blue-green-algae".to_owned(), 0.1),
    ];
    let doubt = chooser.choose_in_doubt(&request, &belief);
    assert!((doubt.rest - 0.1).abs() < 1e-9);
    let quinclorac = doubt
        .options
        .iter()
        .find(|o| o.option.actives == ["quinclorac"])
        .expect("an option for clover");
    // It controls the clover of the three.
    assert!((quinclorac.expected - 0.5).abs() < 1e-9);
    assert!(
        quinclorac.risk.contains("purple nutsedge (30 %)"),
        "{}",
        quinclorac.risk
    );
    // Nothing is offered here that is not offered for one of the plants by itself.
    for weighted in &doubt.options {
        assert!(belief.iter().any(|(weed, _)| {
            let alone = Request::new(&[weed], "kentucky-bluegrass");
            let options = chooser.choose(&alone).options;
            options.iter().any(|o| o.actives == weighted.option.actives)
        }));
        assert!(weighted.expected <= 0.9 + 1e-9);
    }
}

#[test]
fn without_chemicals_is_complete_in_itself() {
    let book = book();
    for weed in book.weeds.keys() {
        let plan = without_chemicals(&book, &Request::new(&[weed], "tall-fescue"));
        let own = &plan.weeds[0];
        assert!(!plan.expect.is_empty() && !plan.lawn.is_empty());
        let topics: Vec<&str> = own.measures.iter().map(|m| m.topic).collect();
        for topic in [
            "threshold",
            "hand removal",
            "mowing",
            "feeding",
            "liming",
            "drainage and water",
            "shade",
            "overseeding",
        ] {
            // Every topic is answered, or named as one on which the book has nothing.
            assert_ne!(
                topics.contains(&topic),
                own.nothing_on.iter().any(|t| t == topic),
                "{weed}: {topic}"
            );
        }
        let hand = own.measures.iter().find(|m| m.expect.is_some());
        assert_eq!(
            hand.is_some(),
            book.weeds[weed].without_chemicals.by_hand.is_some()
        );
    }
}

#[test]
fn months_that_a_statement_on_the_grass_carries_are_kept() {
    let book = book();
    let chooser = Chooser::new(&book);
    // Atrazine on dormant zoysiagrass in the book: from the middle of November to the end of December only.
    let mut request = Request::new(&["annual-bluegrass"], "zoysiagrass-japonica");
    "dormant".clone_into(&mut request.stage);
    request.month = Some(12);
    assert!(reasons(&chooser, &request, "atrazine").is_empty());
    request.month = Some(1);
    assert_eq!(
        reasons(&chooser, &request, "atrazine"),
        [Reason::TurfSeason]
    );
    let choice = chooser.choose(&request);
    let told = choice
        .excluded
        .iter()
        .find(|e| e.reason == Reason::TurfSeason && e.actives == ["atrazine"])
        .expect("told");
    assert!(
        told.detail.contains("November and December only"),
        "{}",
        told.detail
    );
    // Its trail leads to the rows that say so.
    let decision = chooser.decide(&request);
    let trails = chooser.explain(&request, &decision, Some("atrazine"));
    assert!(
        trails
            .iter()
            .all(|t| t.steps.iter().all(|s| !s.rows.is_empty()))
    );
}

#[test]
fn a_limit_of_age_in_words_alone_is_not_kept_by_new_grass() {
    let book = book();
    let chooser = Chooser::new(&book);
    let limit = book.actives["prodiamine"].turf_age.as_ref().expect("one");
    assert!(limit.mowings.is_none() && limit.weeks_after_seeding.is_none());
    let mut request = Request::new(&["large-crabgrass"], "hybrid-bermudagrass");
    assert!(!reasons(&chooser, &request, "prodiamine").contains(&Reason::TurfTooYoung));
    "sprigging".clone_into(&mut request.stage);
    request.weeks_since_sodding = Some(20.0);
    request.mowings = Some(30);
    assert!(reasons(&chooser, &request, "prodiamine").contains(&Reason::TurfTooYoung));
}

/// The calendar orders what no gate stops: before the weed comes up what works then, and afterwards the other way round.
#[test]
fn what_is_out_of_its_time_of_year_stands_last() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["large-crabgrass"], "kentucky-bluegrass");
    request.month = Some(3);
    let march = chooser.choose(&request).options;
    let first_post = march
        .iter()
        .position(|o| o.timing != Timing::Pre)
        .expect("some");
    assert!(first_post > 0);
    assert!(
        march[first_post..]
            .iter()
            .all(|o| o.timing != Timing::Pre && o.why.iter().any(|w| w.contains("not usually up")))
    );
    // Dandelions live for years: what keeps their seedlings away stands behind what takes the plants.
    let mut request = Request::new(&["dandelion"], "kentucky-bluegrass");
    request.month = Some(5);
    let may = chooser.choose(&request).options;
    let first_pre = may
        .iter()
        .position(|o| o.timing == Timing::Pre)
        .expect("some");
    assert!(first_pre > 0 && may[first_pre..].iter().all(|o| o.timing == Timing::Pre));
    // Each option says what puts it behind the one before it.
    assert!(may[1..].iter().all(|o| {
        o.why
            .iter()
            .any(|w| w.starts_with("stands behind the one before it"))
    }));
}

#[test]
fn what_kills_grass_too_stands_behind_what_spares_it() {
    let book = book();
    let chooser = Chooser::new(&book);
    let mut request = Request::new(&["henbit"], "common-bermudagrass");
    "dormant".clone_into(&mut request.stage);
    request.month = Some(1);
    let options = chooser.choose(&request).options;
    let kills = |o: &ligule::choose::Treatable| {
        o.actives.iter().any(|a| {
            book.actives[a]
                .spectrum
                .is
                .iter()
                .any(|s| s == "non-selective")
        })
    };
    let first = options.iter().position(kills).expect("some");
    assert!(first > 0 && options[first..].iter().all(kills));
    assert!(
        options[first]
            .why
            .iter()
            .any(|w| w.starts_with("kills whatever green"))
    );
}

/// A step of the year that lies ahead is not chosen by the state of the grass today alone.
#[test]
fn a_later_step_is_safe_on_grass_that_grows_again() {
    let book = book();
    let chooser = Chooser::new(&book);
    for weed in ["annual-bluegrass", "henbit", "common-chickweed"] {
        for turf in ["common-bermudagrass", "zoysiagrass-japonica"] {
            let mut request = Request::new(&[weed], turf);
            "dormant".clone_into(&mut request.stage);
            request.month = Some(1);
            let programme = chooser.choose(&request).programme;
            for step in programme.iter().flat_map(|p| &p.steps) {
                if step.months.is_empty() || step.months.contains(&1) {
                    continue;
                }
                let grown = Request::new(&[weed], turf);
                for active in &step.option.actives {
                    let form = &book.actives[active];
                    let verdict = book.tolerance(form, turf, &grown.stage).expect("proven");
                    assert!(
                        verdict.rating <= ligule::knowledge::form::active::Tolerance::Intermediate,
                        "{active} on {turf}: {verdict:?}"
                    );
                }
            }
        }
    }
}
