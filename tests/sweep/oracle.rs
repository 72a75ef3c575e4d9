//! A second, naive reading of the knowledge: what must never be offered, and what a reason must be true of.
//!
//! It reads the files as plain JSON and shares no code and no type with the choice: every question is answered by
//! walking all rows again, one statement of the rules after the other.
use serde_json::Value;
use std::collections::HashMap;

/// A word or a list of words.
fn words(value: &Value) -> Vec<&str> {
    match value {
        Value::String(one) => vec![one],
        Value::Array(all) => all.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    }
}

fn rows(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// What the statements on one grass at one stage come to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Grass {
    /// Some first statement is there.
    pub stated: bool,
    /// It counts as sensitive.
    pub injured: bool,
    /// It counts as not registered.
    pub not_registered: bool,
}

/// What the statements on one weed at one timing come to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Weed {
    pub stated: bool,
    pub usable: bool,
}

/// The facts of a request, as the sweep made them up.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    pub weeds: Vec<String>,
    pub turf: Vec<String>,
    pub stage: String,
    pub month: Option<u8>,
    pub air: Option<(f64, f64)>,
    pub near: Vec<String>,
    pub place: Option<String>,
    pub for_hire: Option<bool>,
    pub weeks: Option<f64>,
    pub mowings: Option<u32>,
    pub seeding_in: Option<f64>,
    /// `not-up`, `young`, `grown` or nothing, for all weeds.
    pub weed_stage: Option<&'static str>,
}

/// What is read of one active beside its rows on grasses and weeds.
#[derive(Debug)]
struct Active {
    id: String,
    group: Value,
    mowings: Option<f64>,
    weeks: Option<f64>,
    longest_wait: Option<f64>,
    hottest: Option<f64>,
    coldest: Option<f64>,
    restrictions: Vec<String>,
}

/// A caution that forbids.
#[derive(Debug)]
struct Forbidding {
    situations: Vec<String>,
    /// For each active whether it is meant.
    actives: Vec<bool>,
}

/// A limit of a place that forbids.
#[derive(Debug)]
struct Limit {
    who: String,
    actives: Vec<bool>,
}

/// Everything read once: a sweep asks the same things a hundred thousand times.
pub struct Oracle {
    book: Value,
    pub actives: Vec<String>,
    read: Vec<Active>,
    memory: HashMap<String, &'static str>,
    turf: HashMap<String, usize>,
    stages: HashMap<String, (usize, bool)>,
    weeds: HashMap<String, usize>,
    /// Active by active, then grass by stage.
    grass: Vec<Grass>,
    /// Active by active, then weed by timing.
    weed: Vec<Weed>,
    forbidding: Vec<Forbidding>,
    places: HashMap<String, (Option<String>, Vec<Limit>)>,
    times: Vec<Option<Times>>,
}

/// Months in which a treatment before emergence is in time, and months in which the weed comes up.
type Times = (Vec<u64>, Vec<u64>);

const TIMINGS: [&str; 3] = ["pre", "early-post", "post"];

impl Oracle {
    pub fn new(book: Value) -> Self {
        let mut memory = HashMap::new();
        for (id, source) in book["sources"].as_object().into_iter().flatten() {
            let kind = match source["evidence"].as_str() {
                Some("published") => "published",
                Some("practice") => "practice",
                _ => "memory",
            };
            memory.insert(id.clone(), kind);
        }
        let ids = |kind: &str| -> Vec<String> {
            let all = book[kind].as_object();
            all.map(|a| a.keys().cloned().collect()).unwrap_or_default()
        };
        let numbered =
            |ids: &[String]| -> HashMap<String, usize> { ids.iter().cloned().zip(0..).collect() };
        let (actives, turf, weeds) = (ids("actives"), ids("turf"), ids("weeds"));
        let stages: HashMap<String, (usize, bool)> = rows(&book["stages"])
            .iter()
            .enumerate()
            .map(|(n, s)| {
                (
                    text(&s["id"]).to_owned(),
                    (n, s["young"] == Value::Bool(true)),
                )
            })
            .collect();
        let mut oracle = Self {
            read: actives.iter().map(|id| active(&book, id)).collect(),
            memory,
            turf: numbered(&turf),
            grass: vec![Grass::default(); actives.len() * turf.len() * stages.len()],
            stages,
            weeds: numbered(&weeds),
            weed: vec![Weed::default(); actives.len() * weeds.len() * 3],
            forbidding: Vec::new(),
            places: HashMap::new(),
            times: Vec::new(),
            actives,
            book,
        };
        oracle.times = weeds.iter().map(|id| oracle.read_times(id)).collect();
        oracle.read_rows();
        oracle.read_bans();
        oracle
    }

    fn read_rows(&mut self) {
        let (mut grass, mut weeds) = (self.grass.clone(), self.weed.clone());
        for (number, id) in self.actives.iter().enumerate() {
            let active = &self.book["actives"][id.as_str()];
            for row in rows(&active["turf"]) {
                let (turf, stage) = (text(&row["turf"]), text(&row["stage"]));
                grass[self.grass_place(number, turf, stage)] =
                    self.read_grass(&active["turf"], turf, stage);
            }
            for row in rows(&active["controls"]) {
                let (weed, timing) = (text(&row["weed"]), text(&row["timing"]));
                weeds[self.weed_place(number, weed, timing)] =
                    self.read_weed(&active["controls"], weed, timing);
            }
        }
        (self.grass, self.weed) = (grass, weeds);
    }

    fn read_bans(&mut self) {
        for caution in rows(&self.book["cautions"]) {
            if caution["forbids"] != Value::Bool(true) {
                continue;
            }
            let when = &caution["when"];
            let (named, groups) = (words(&when["actives"]), rows(&when["groups"]));
            let meant = |a: &Active| {
                named.is_empty() && groups.is_empty()
                    || named.contains(&a.id.as_str())
                    || groups.contains(&a.group)
            };
            self.forbidding.push(Forbidding {
                situations: words(&when["situations"])
                    .iter()
                    .map(|s| (*s).to_owned())
                    .collect(),
                actives: self.read.iter().map(meant).collect(),
            });
        }
        for (id, place) in self.book["places"].as_object().into_iter().flatten() {
            let mut limits = Vec::new();
            for limit in rows(&place["active_limits"]) {
                let named = words(&limit["actives"]);
                if limit["forbids"] == Value::Bool(true) {
                    limits.push(Limit {
                        who: text(&limit["applies_to"]).to_owned(),
                        actives: self
                            .actives
                            .iter()
                            .map(|a| named.contains(&"all") || named.contains(&a.as_str()))
                            .collect(),
                    });
                }
            }
            let within = place["within"].as_str().map(str::to_owned);
            self.places.insert(id.clone(), (within, limits));
        }
    }

    fn grass_place(&self, active: usize, turf: &str, stage: &str) -> usize {
        (active * self.turf.len() + self.turf[turf]) * self.stages.len() + self.stages[stage].0
    }

    fn weed_place(&self, active: usize, weed: &str, timing: &str) -> usize {
        let timing = TIMINGS.iter().position(|t| *t == timing).unwrap_or(0);
        (active * self.weeds.len() + self.weeds[weed]) * 3 + timing
    }

    /// The weakest kind of evidence among the sources of a row.
    fn evidence(&self, row: &Value) -> &'static str {
        let kinds: Vec<&str> = words(&row["source"])
            .into_iter()
            .map(|s| *self.memory.get(s).unwrap_or(&"memory"))
            .collect();
        if kinds.is_empty() || kinds.contains(&"memory") {
            "memory"
        } else if kinds.contains(&"practice") {
            "practice"
        } else {
            "published"
        }
    }

    /// The most cautious statement decides. A second recollection counts only where the most cautious first statement
    /// rests on memory alone, and only towards caution.
    fn read_grass(&self, all: &Value, turf: &str, stage: &str) -> Grass {
        let here: Vec<&Value> = rows(all)
            .iter()
            .filter(|r| r["turf"] == turf && r["stage"] == stage)
            .collect();
        let first: Vec<&&Value> = here.iter().filter(|r| r["confidence"].is_null()).collect();
        let says = |rows: &[&&Value], word: &str| rows.iter().any(|r| r["rating"] == word);
        let mut found = Grass {
            stated: !first.is_empty(),
            not_registered: says(&first, "not-registered"),
            ..Grass::default()
        };
        found.injured = !found.not_registered && says(&first, "sensitive");
        let worst = if found.not_registered {
            "not-registered"
        } else if found.injured {
            "sensitive"
        } else if says(&first, "intermediate") {
            "intermediate"
        } else {
            "tolerant"
        };
        let by_memory = first
            .iter()
            .filter(|r| r["rating"] == worst)
            .all(|r| self.evidence(r) == "memory");
        if found.stated && by_memory {
            let votes: Vec<&&Value> = here.iter().filter(|r| !r["confidence"].is_null()).collect();
            if says(&votes, "not-registered") {
                found.not_registered = true;
                found.injured = false;
            } else if says(&votes, "sensitive") && !found.not_registered {
                found.injured = true;
            }
        }
        found
    }

    /// The best evidence decides, grades before bare listings, among equals the most cautious; a recollection that is not
    /// weak can lower what rests on memory.
    fn read_weed(&self, all: &Value, weed: &str, timing: &str) -> Weed {
        let here: Vec<&Value> = rows(all)
            .iter()
            .filter(|r| r["weed"] == weed && r["timing"] == timing)
            .collect();
        let first = || here.iter().filter(|r| r["confidence"].is_null());
        let kind = ["published", "practice", "memory"]
            .into_iter()
            .find(|kind| first().any(|r| self.evidence(r) == *kind));
        let Some(kind) = kind else {
            return Weed::default();
        };
        let of_kind: Vec<&&Value> = first().filter(|r| self.evidence(r) == kind).collect();
        let graded: Vec<&&&Value> = of_kind
            .iter()
            .filter(|r| r["ungraded"] != Value::Bool(true))
            .collect();
        let enough = |r: &Value| r["rating"] == "fair" || r["rating"] == "good";
        let mut usable = if graded.is_empty() {
            of_kind.iter().all(|r| enough(r))
        } else {
            graded.iter().all(|r| enough(r))
        };
        if kind == "memory" {
            usable &= here
                .iter()
                .filter(|r| r["confidence"] == "medium" || r["confidence"] == "high")
                .all(|r| enough(r));
        }
        Weed {
            stated: true,
            usable,
        }
    }

    pub fn grass(&self, active: usize, turf: &str, stage: &str) -> Grass {
        self.grass[self.grass_place(active, turf, stage)]
    }

    pub fn weed(&self, active: usize, weed: &str, timing: &str) -> Weed {
        self.weed[self.weed_place(active, weed, timing)]
    }

    /// Whether the grass is too new, or may be.
    pub fn too_young(&self, active: usize, facts: &Facts) -> bool {
        let young = self.stages[&facts.stage].1;
        let broken = |limit: Option<f64>, known: Option<f64>| match (limit, known) {
            (Some(least), Some(is)) if least > 0.0 => is < least,
            (Some(least), None) if least > 0.0 => young,
            _ => false,
        };
        broken(self.read[active].mowings, facts.mowings.map(f64::from))
            || broken(self.read[active].weeks, facts.weeks)
    }

    pub fn seeding_too_soon(&self, active: usize, facts: &Facts) -> bool {
        let wait = self.read[active].longest_wait;
        facts
            .seeding_in
            .is_some_and(|weeks| wait.is_none_or(|wait| wait > weeks))
    }

    pub fn not_to_be_had(&self, active: usize, facts: &Facts) -> bool {
        self.read[active]
            .restrictions
            .iter()
            .any(|r| match r.as_str() {
                "withdrawn" | "not-on-home-lawns" => true,
                "licensed-only" => facts.for_hire != Some(true),
                _ => false,
            })
    }

    pub fn forbidden_by_place(&self, active: usize, facts: &Facts) -> bool {
        let mut place = facts.place.as_ref();
        while let Some((within, limits)) = place.and_then(|p| self.places.get(p)) {
            let forbids = limits.iter().any(|limit| {
                let touched = match limit.who.as_str() {
                    "homeowner" => facts.for_hire != Some(true),
                    "for-hire" => facts.for_hire != Some(false),
                    _ => true,
                };
                touched && limit.actives[active]
            });
            if forbids {
                return true;
            }
            place = within.as_ref();
        }
        false
    }

    pub fn forbidden_by_site(&self, active: usize, facts: &Facts) -> bool {
        self.forbidding.iter().any(|caution| {
            caution.actives[active]
                && (caution.situations.is_empty()
                    || caution.situations.iter().any(|s| s == "always")
                    || caution.situations.iter().any(|s| facts.near.contains(s)))
        })
    }

    pub fn too_hot(&self, active: usize, facts: &Facts) -> bool {
        let most = self.read[active].hottest;
        facts
            .air
            .zip(most)
            .is_some_and(|((_, high), most)| high > most)
    }

    pub fn too_cold(&self, active: usize, facts: &Facts) -> bool {
        let least = self.read[active].coldest;
        facts
            .air
            .zip(least)
            .is_some_and(|((low, _), least)| low < least)
    }

    fn in_time(&self, weed: &str) -> Option<&Times> {
        self.times[self.weeds[weed]].as_ref()
    }

    /// In time: the first month of coming up and the two before it.
    fn read_times(&self, weed: &str) -> Option<Times> {
        let seen = &self.book["weeds"][weed]["seen"];
        let of = |key: &str| -> Option<Vec<u64>> {
            let months = seen[key]["months"].as_array()?;
            Some(months.iter().filter_map(Value::as_u64).collect())
        };
        let months = of("emerging").or_else(|| of("growing"))?;
        let before = |m: u64| if m == 1 { 12 } else { m - 1 };
        let mut fine = Vec::new();
        for &m in &months {
            if !months.contains(&before(m)) {
                fine.extend([m, before(m), before(before(m))]);
            }
        }
        if fine.is_empty() {
            return None;
        }
        Some((fine, months))
    }

    /// Too late, or the weed too far, for this timing.
    pub fn past(&self, weed: &str, timing: &str, facts: &Facts) -> bool {
        match timing {
            "pre" => {
                let up = matches!(facts.weed_stage, Some("young" | "grown"));
                let month = facts.month.map(u64::from);
                let late = self
                    .in_time(weed)
                    .zip(month)
                    .is_some_and(|((fine, up), m)| !fine.contains(&m) && up.contains(&m));
                up || late
            }
            "early-post" => facts.weed_stage == Some("grown"),
            _ => false,
        }
    }

    /// Too early in the year, or the weed not up.
    pub fn early(&self, weed: &str, timing: &str, facts: &Facts) -> bool {
        if timing != "pre" {
            return facts.weed_stage == Some("not-up");
        }
        let month = facts.month.map(u64::from);
        self.in_time(weed)
            .zip(month)
            .is_some_and(|((fine, up), m)| !fine.contains(&m) && !up.contains(&m))
    }

    /// Whether the active may be used before (or after) the weed comes up, and is known to control it then.
    pub fn deals(&self, active: usize, weed: &str, pre: bool, facts: &Facts) -> bool {
        let timings: &[&str] = if pre {
            &["pre"]
        } else {
            &["post", "early-post"]
        };
        timings.iter().any(|timing| {
            self.weed(active, weed, timing).usable
                && !self.past(weed, timing, facts)
                && !self.early(weed, timing, facts)
        })
    }

    /// The first safety statement that the active would break if it were offered.
    pub fn unsafe_because(&self, active: usize, facts: &Facts) -> Option<&'static str> {
        if facts.turf.is_empty() {
            return Some("no grass");
        }
        for turf in &facts.turf {
            let grass = self.grass(active, turf, &facts.stage);
            if !grass.stated {
                return Some("unproven on the grass");
            }
            if grass.injured {
                return Some("the grass is sensitive");
            }
            if grass.not_registered {
                return Some("not registered on the grass");
            }
        }
        let checks: [(&'static str, bool); 7] = [
            ("the grass is too new", self.too_young(active, facts)),
            ("seeding too soon", self.seeding_too_soon(active, facts)),
            ("not to be had", self.not_to_be_had(active, facts)),
            (
                "forbidden by the place",
                self.forbidden_by_place(active, facts),
            ),
            (
                "forbidden by the site",
                self.forbidden_by_site(active, facts),
            ),
            ("too hot", self.too_hot(active, facts)),
            ("too cold", self.too_cold(active, facts)),
        ];
        checks.into_iter().find(|(_, is)| *is).map(|(why, _)| why)
    }

    /// Whether these actives must not stand in one tank on these grasses.
    pub fn conflict(&self, set: &[&str], facts: &Facts) -> bool {
        let interaction = rows(&self.book["interactions"]).iter().any(|i| {
            let apart = match text(&i["effect"]) {
                "antagonism" | "do-not-mix" => true,
                "injury" => {
                    let on = words(&i["turf"]);
                    on.is_empty() || on.iter().any(|t| facts.turf.iter().any(|f| f == t))
                }
                _ => false,
            };
            apart && (self.meet(i, "a", "b", set) || self.meet(i, "b", "a", set))
        });
        let mixture = rows(&self.book["mixtures"]).iter().any(|m| {
            let all = words(&m["actives"]);
            all.len() > 1
                && all.iter().all(|a| set.contains(a))
                && facts.turf.iter().any(|turf| {
                    let grass = self.read_grass(&m["turf"], turf, &facts.stage);
                    grass.injured || grass.not_registered
                })
        });
        interaction || mixture
    }

    /// Whether one side is in the set, wholly where it says so, and another active of the set on the other.
    fn meet(&self, i: &Value, one: &str, other: &str, set: &[&str]) -> bool {
        let on = |side: &str, id: &str| {
            words(&i[side]["actives"]).contains(&id)
                || rows(&i[side]["groups"]).contains(&self.book["actives"][id]["group"]["is"])
        };
        if i[other]["together"] == Value::Bool(true) {
            return false;
        }
        if i[one]["together"] == Value::Bool(true) {
            let all = words(&i[one]["actives"]);
            return all.iter().all(|a| set.contains(a))
                && set.iter().any(|id| on(other, id) && !all.contains(id));
        }
        set.iter()
            .any(|a| on(one, a) && set.iter().any(|b| a != b && on(other, b)))
    }
}

fn active(book: &Value, id: &str) -> Active {
    let active = &book["actives"][id];
    let number = |value: &Value| value.as_f64();
    Active {
        id: id.to_owned(),
        group: active["group"]["is"].clone(),
        mowings: number(&active["turf_age"]["mowings"]),
        weeks: number(&active["turf_age"]["weeks_after_seeding"]),
        longest_wait: number(&active["seeding_wait_weeks"]["range"][1]),
        hottest: number(&active["air_temperature"]["below_f"]),
        coldest: number(&active["air_temperature"]["above_f"]),
        restrictions: rows(&active["restrictions"])
            .iter()
            .map(|r| text(&r["is"]).to_owned())
            .collect(),
    }
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or("")
}
