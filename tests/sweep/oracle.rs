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
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Grass {
    /// Some first statement is there.
    pub stated: bool,
    /// It counts as sensitive.
    pub injured: bool,
    /// It counts as not registered.
    pub not_registered: bool,
    /// Months that some statement leaves out, one bit each.
    not_in: u16,
    /// Highest and lowest air temperature of any statement.
    hottest: Option<f64>,
    coldest: Option<f64>,
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
    /// It has a limit of age that no figure goes with.
    age_in_words: bool,
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
        // Whatever any statement says of months and temperatures is kept, also where another statement decides.
        for row in &here {
            if let Some(months) = row["months"].as_array() {
                for m in 1..=12_u64 {
                    if !months.iter().any(|x| x.as_u64() == Some(m)) {
                        found.not_in |= 1 << m;
                    }
                }
            }
            if let Some(most) = row["below_f"].as_f64() {
                found.hottest = Some(found.hottest.map_or(most, |known| known.min(most)));
            }
            if let Some(least) = row["above_f"].as_f64() {
                found.coldest = Some(found.coldest.map_or(least, |known| known.max(least)));
            }
        }
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

    /// These facts with their names looked up once.
    pub fn case<'o>(&'o self, facts: &'o Facts) -> Case<'o> {
        let mut places = Vec::new();
        let mut place = facts.place.as_ref();
        while let Some((within, limits)) = place.and_then(|p| self.places.get(p)) {
            places.extend(limits);
            place = within.as_ref();
        }
        Case {
            oracle: self,
            facts,
            turf: facts.turf.iter().map(|t| self.turf[t]).collect(),
            stage: self.stages[&facts.stage],
            weeds: facts.weeds.iter().map(|w| self.weeds[w]).collect(),
            limits: places
                .into_iter()
                .filter(|limit| match limit.who.as_str() {
                    "homeowner" => facts.for_hire != Some(true),
                    "for-hire" => facts.for_hire != Some(false),
                    _ => true,
                })
                .collect(),
            forbidding: self
                .forbidding
                .iter()
                .filter(|caution| {
                    caution.situations.is_empty()
                        || caution.situations.iter().any(|s| s == "always")
                        || caution.situations.iter().any(|s| facts.near.contains(s))
                })
                .collect(),
        }
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

/// The facts of one request with what is read of them.
pub struct Case<'o> {
    pub oracle: &'o Oracle,
    pub facts: &'o Facts,
    turf: Vec<usize>,
    stage: (usize, bool),
    weeds: Vec<usize>,
    limits: Vec<&'o Limit>,
    forbidding: Vec<&'o Forbidding>,
}

impl Case<'_> {
    /// What holds of the active on each grass.
    pub fn grasses(&self, active: usize) -> impl Iterator<Item = Grass> {
        let of_active = active * self.oracle.turf.len();
        self.turf.iter().map(move |turf| {
            self.oracle.grass[(of_active + turf) * self.oracle.stages.len() + self.stage.0]
        })
    }

    /// What holds of the active on the weed of this place in the facts, at this place of the timings.
    pub fn weed(&self, active: usize, weed: usize, timing: usize) -> Weed {
        let place = active * self.oracle.weeds.len() + self.weeds[weed];
        self.oracle.weed[place * 3 + timing]
    }

    /// Whether the grass is too new, or may be.
    pub fn too_young(&self, active: usize) -> bool {
        let broken = |limit: Option<f64>, known: Option<f64>| match (limit, known) {
            (Some(least), Some(is)) if least > 0.0 => is < least,
            (Some(least), None) if least > 0.0 => self.stage.1,
            _ => false,
        };
        let read = &self.oracle.read[active];
        broken(read.mowings, self.facts.mowings.map(f64::from))
            || broken(read.weeks, self.facts.weeks)
            || self.stage.1 && read.age_in_words
    }

    pub fn seeding_too_soon(&self, active: usize) -> bool {
        let wait = self.oracle.read[active].longest_wait;
        self.facts
            .seeding_in
            .is_some_and(|weeks| wait.is_none_or(|wait| wait > weeks))
    }

    pub fn not_to_be_had(&self, active: usize) -> bool {
        let restrictions = &self.oracle.read[active].restrictions;
        restrictions.iter().any(|r| match r.as_str() {
            "withdrawn" | "not-on-home-lawns" => true,
            "licensed-only" => self.facts.for_hire != Some(true),
            _ => false,
        })
    }

    pub fn forbidden_by_place(&self, active: usize) -> bool {
        self.limits.iter().any(|limit| limit.actives[active])
    }

    pub fn forbidden_by_site(&self, active: usize) -> bool {
        self.forbidding
            .iter()
            .any(|caution| caution.actives[active])
    }

    /// The grass stands it in other months only.
    pub fn wrong_month_for_grass(&self, active: usize) -> bool {
        let month = self.facts.month;
        month.is_some_and(|m| self.grasses(active).any(|g| g.not_in & (1 << m) != 0))
    }

    pub fn too_hot(&self, active: usize) -> bool {
        let most = self.oracle.read[active].hottest;
        let on_grass = self.grasses(active).map(|g| g.hottest);
        self.facts.air.is_some_and(|(_, high)| {
            on_grass
                .chain([most])
                .any(|most| most.is_some_and(|most| high > most))
        })
    }

    pub fn too_cold(&self, active: usize) -> bool {
        let least = self.oracle.read[active].coldest;
        let on_grass = self.grasses(active).map(|g| g.coldest);
        self.facts.air.is_some_and(|(low, _)| {
            on_grass
                .chain([least])
                .any(|least| least.is_some_and(|least| low < least))
        })
    }

    fn in_time(&self, weed: usize) -> Option<&Times> {
        self.oracle.times[self.weeds[weed]].as_ref()
    }

    /// Too late, or the weed too far, for this timing.
    pub fn past(&self, weed: usize, timing: usize) -> bool {
        match TIMINGS[timing] {
            "pre" => {
                let up = matches!(self.facts.weed_stage, Some("young" | "grown"));
                let month = self.facts.month.map(u64::from);
                let late = self
                    .in_time(weed)
                    .zip(month)
                    .is_some_and(|((fine, up), m)| !fine.contains(&m) && up.contains(&m));
                up || late
            }
            "early-post" => self.facts.weed_stage == Some("grown"),
            _ => false,
        }
    }

    /// Too early in the year, or the weed not up.
    pub fn early(&self, weed: usize, timing: usize) -> bool {
        if TIMINGS[timing] != "pre" {
            return self.facts.weed_stage == Some("not-up");
        }
        let month = self.facts.month.map(u64::from);
        self.in_time(weed)
            .zip(month)
            .is_some_and(|((fine, up), m)| !fine.contains(&m) && !up.contains(&m))
    }

    /// Whether the active may be used before (or after) the weed comes up, and is known to control it then.
    pub fn deals(&self, active: usize, weed: usize, pre: bool) -> bool {
        let timings: &[usize] = if pre { &[0] } else { &[1, 2] };
        timings.iter().any(|&timing| {
            self.weed(active, weed, timing).usable
                && !self.past(weed, timing)
                && !self.early(weed, timing)
        })
    }

    /// The first safety statement that the active would break if it were offered.
    pub fn unsafe_because(&self, active: usize) -> Option<&'static str> {
        if self.turf.is_empty() {
            return Some("no grass");
        }
        for grass in self.grasses(active) {
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
        let checks: [(&'static str, &dyn Fn(usize) -> bool); 8] = [
            ("in this month the grass does not stand it", &|a| {
                self.wrong_month_for_grass(a)
            }),
            ("the grass is too new", &|a| self.too_young(a)),
            ("seeding too soon", &|a| self.seeding_too_soon(a)),
            ("not to be had", &|a| self.not_to_be_had(a)),
            ("forbidden by the place", &|a| self.forbidden_by_place(a)),
            ("forbidden by the site", &|a| self.forbidden_by_site(a)),
            ("too hot", &|a| self.too_hot(a)),
            ("too cold", &|a| self.too_cold(a)),
        ];
        checks
            .iter()
            .find(|(_, is)| is(active))
            .map(|(why, _)| *why)
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
        age_in_words: !active["turf_age"].is_null()
            && active["turf_age"]["mowings"].is_null()
            && active["turf_age"]["weeks_after_seeding"].is_null(),
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
