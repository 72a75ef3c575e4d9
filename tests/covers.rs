//! The fewest actives that cover the weeds, against a reference solver on random books.
//!
//! Reference: integer programming by `good_lp` with the `microlp` solver (crates.io). First the most weeds that at most
//! three actives without a conflict can cover, then the fewest actives that cover so many. The choice never sees the
//! solver; the solver never sees the choice.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "tests")]
use good_lp::{Expression, Solution, SolverModel, constraint, microlp, variable, variables};
use ligule::choose::{Chooser, Request};
use ligule::knowledge::Knowledge;
use ligule::knowledge::folder::TextFile;
use std::fmt::Write as _;

/// Pseudo-random numbers (`SplitMix64`, Steele and others 2014); the same on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % end
    }
}

/// Which active controls which weed, and which pairs must not share a tank.
struct Instance {
    weeds: usize,
    controls: Vec<Vec<bool>>,
    apart: Vec<(usize, usize)>,
}

impl Instance {
    fn random(dice: &mut Dice) -> Self {
        let weeds = usize::try_from(2 + dice.below(5)).expect("small");
        let actives = usize::try_from(4 + dice.below(12)).expect("small");
        let often = 15 + dice.below(35);
        let mut controls = vec![vec![false; weeds]; actives];
        for active in &mut controls {
            for cell in active.iter_mut() {
                *cell = dice.below(100) < often;
            }
        }
        let mut apart = Vec::new();
        for a in 0..actives {
            for b in a + 1..actives {
                if dice.below(100) < 25 {
                    apart.push((a, b));
                }
            }
        }
        Self {
            weeds,
            controls,
            apart,
        }
    }

    fn book(&self) -> Knowledge {
        let mut texts = vec![
            text(
                "sources.yaml",
                "guide: {evidence: published, title: Invented guide, read: full}\n",
            ),
            text(
                "traits.yaml",
                "- {id: kind, question: q, help: h, kind: one, effort: glance, error: 0, source: guide, states: [{id: this}, {id: that}]}\n",
            ),
            text(
                "stages.yaml",
                "- {id: established, name: established grass, help: Grown.}\n",
            ),
            text(
                "turf/demo-grass.yaml",
                "names: [demo grass]\nscientific_name: Gramen fictum\nseason: cool\nsource: guide\n",
            ),
        ];
        for weed in 0..self.weeds {
            texts.push(text(
                &format!("weeds/weed-{weed}.yaml"),
                &format!(
                    "names: [weed {weed}]\nscientific_name: Herba ficta {weed}\nsource: guide\n"
                ),
            ));
        }
        for (active, controls) in self.controls.iter().enumerate() {
            let mut one = format!(
                "name: active {active} (invented)\ngroup: {{is: 4, source: guide}}\ntiming: {{is: [post], source: guide}}\nspectrum: {{is: broadleaf, source: guide}}\nturf:\n  - {{turf: demo-grass, stage: established, rating: tolerant, source: guide}}\n"
            );
            if controls.contains(&true) {
                one.push_str("controls:\n");
            }
            for (weed, _) in controls.iter().enumerate().filter(|(_, c)| **c) {
                let _ = writeln!(
                    one,
                    "  - {{weed: weed-{weed}, timing: post, rating: good, source: guide}}"
                );
            }
            texts.push(text(&format!("actives/active-{active:02}.yaml"), &one));
        }
        let mut apart = String::new();
        for (a, b) in &self.apart {
            let _ = writeln!(
                apart,
                "- {{a: {{actives: active-{a:02}}}, b: {{actives: active-{b:02}}}, effect: do-not-mix, text: Invented., source: guide}}"
            );
        }
        if apart.is_empty() {
            apart.push_str("[]\n");
        }
        texts.push(text("interactions.yaml", &apart));
        texts.push(text(
            "groups.yaml",
            "- {number: 4, site_of_action: invented, symptoms: invented, on_turf: used, resistance_risk: {is: moderate, source: guide}, source: guide}\n",
        ));
        texts.push(text(
            "situations.yaml",
            "- {id: always, name: every treatment}\n",
        ));
        texts.push(text(
            "cautions.yaml",
            "- {id: label, about: label, text: Read the label., when: {situations: always}, severity: stop, source: guide}\n",
        ));
        Knowledge::from_texts(&texts).expect("a sound book")
    }

    /// The most weeds that can be covered, and the fewest actives for it.
    fn reference(&self) -> (usize, usize) {
        let most = self.solve(None);
        let fewest = self.solve(Some(most));
        (most, fewest)
    }

    /// Without a number of weeds: the most that can be covered. With it: the fewest actives that cover so many.
    fn solve(&self, at_least: Option<usize>) -> usize {
        let mut all = variables!();
        let used: Vec<_> = self
            .controls
            .iter()
            .map(|_| all.add(variable().binary()))
            .collect();
        let covered: Vec<_> = (0..self.weeds)
            .map(|_| all.add(variable().binary()))
            .collect();
        let weeds: Expression = covered.iter().copied().sum();
        let actives: Expression = used.iter().copied().sum();
        let goal = if at_least.is_some() {
            actives.clone()
        } else {
            -weeds.clone()
        };
        let mut model = all.minimise(goal).using(microlp);
        model = model.with(constraint!(actives <= 3.0));
        for (weed, covered) in covered.iter().enumerate() {
            let by: Expression = (0..used.len())
                .filter(|&a| self.controls[a][weed])
                .map(|a| used[a])
                .sum();
            model = model.with(constraint!(*covered <= by));
        }
        for &(a, b) in &self.apart {
            model = model.with(constraint!(used[a] + used[b] <= 1.0));
        }
        if let Some(least) = at_least {
            let least = f64::from(u32::try_from(least).expect("small"));
            model = model.with(constraint!(weeds >= least));
        }
        let solution = model.solve().expect("always solvable: use nothing");
        let counted = if at_least.is_some() { &used } else { &covered };
        counted.iter().filter(|v| solution.value(**v) > 0.5).count()
    }
}

fn text(path: &str, text: &str) -> TextFile {
    TextFile {
        path: path.to_owned(),
        shown: path.to_owned(),
        text: Ok(text.to_owned()),
    }
}

#[test]
fn covers_are_the_fewest_by_a_reference_solver() {
    let mut dice = Dice(2026);
    let (mut several, mut partial) = (0, 0);
    for number in 0..150 {
        let instance = Instance::random(&mut dice);
        let (most, fewest) = instance.reference();
        let book = instance.book();
        let chooser = Chooser::new(&book);
        let weeds: Vec<String> = (0..instance.weeds).map(|w| format!("weed-{w}")).collect();
        let names: Vec<&str> = weeds.iter().map(String::as_str).collect();
        let request = Request::new(&names, "demo-grass");
        let options = chooser.decide(&request).options;
        assert_eq!(options.is_empty(), most == 0, "instance {number}");
        for option in &options {
            let covered = option.on.iter().filter(|o| o.is_some()).count();
            assert_eq!(
                (covered, option.actives.len()),
                (most, fewest),
                "instance {number}: {:?}",
                option.actives
            );
            for &(a, b) in &instance.apart {
                assert!(!(option.actives.contains(&a) && option.actives.contains(&b)));
            }
        }
        // All of them: count the sets of this size that cover so many, one by one.
        let all = sets(instance.controls.len(), fewest)
            .into_iter()
            .filter(|set| {
                let clash = instance
                    .apart
                    .iter()
                    .any(|(a, b)| set.contains(a) && set.contains(b));
                let covers = |w: usize| set.iter().any(|&a| instance.controls[a][w]);
                !clash && (0..instance.weeds).filter(|&w| covers(w)).count() == most
            })
            .count();
        assert_eq!(
            options.len(),
            if most == 0 { 0 } else { all },
            "instance {number}"
        );
        several += usize::from(fewest > 1);
        partial += usize::from(most < instance.weeds);
    }
    assert!(
        several >= 60,
        "only {several} instances need several actives"
    );
    assert!(partial >= 15, "only {partial} instances leave a weed");
}

fn sets(of: usize, size: usize) -> Vec<Vec<usize>> {
    (0..1_usize << of)
        .filter(|bits| bits.count_ones() as usize == size)
        .map(|bits| (0..of).filter(|a| bits & (1 << a) != 0).collect())
        .collect()
}
