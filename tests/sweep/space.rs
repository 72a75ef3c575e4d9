//! The space that the sweep goes through, and pseudo-random points of it.
use super::oracle::Facts;
use ligule::knowledge::Knowledge;

/// Pseudo-random numbers (`SplitMix64`, Steele and others 2014); the same on every run.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        usize::try_from(z % end as u64).expect("below a usize")
    }

    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}

/// Every value of every fact that a gate can tell apart.
pub struct Space {
    pub weeds: Vec<String>,
    pub turf: Vec<String>,
    pub stages: Vec<String>,
    pub months: Vec<Option<u8>>,
    pub air: Vec<Option<(f64, f64)>>,
    pub near: Vec<Vec<String>>,
    pub places: Vec<Option<String>>,
}

impl Space {
    pub fn of(book: &Knowledge) -> Self {
        let near = |s: &str| vec![s.to_owned()];
        let mut sites = vec![Vec::new()];
        sites.extend(book.situations.iter().map(|s| near(&s.id)));
        let mut places = vec![None];
        places.extend(book.places.keys().cloned().map(Some));
        Self {
            weeds: book.weeds.keys().cloned().collect(),
            turf: book.turf.keys().cloned().collect(),
            stages: book.stages.iter().map(|s| s.id.clone()).collect(),
            months: std::iter::once(None).chain((1..=12).map(Some)).collect(),
            // Days below, in and above every limit of the book, days whose range crosses one, and days at the limits.
            air: vec![
                None,
                Some((40.0, 40.0)),
                Some((50.0, 80.0)),
                Some((55.0, 85.0)),
                Some((60.0, 90.0)),
                Some((52.0, 58.0)),
                Some((66.0, 70.0)),
                Some((72.0, 86.0)),
                Some((91.0, 91.0)),
                Some((99.0, 104.0)),
            ],
            near: sites,
            places,
        }
    }

    /// A point on this weed, grass and stage; what is left is thrown.
    pub fn point(&self, dice: &mut Dice, weed: &str, turf: &str, stage: &str) -> Facts {
        let mut near = dice.pick(&self.near).clone();
        if dice.below(4) == 0 {
            near.extend(dice.pick(&self.near).iter().cloned());
        }
        let mut turf = vec![turf.to_owned()];
        if dice.below(8) == 0 {
            let other = dice.pick(&self.turf);
            if !turf.contains(other) {
                turf.push(other.clone());
            }
        }
        Facts {
            weeds: vec![weed.to_owned()],
            turf,
            stage: stage.to_owned(),
            month: *dice.pick(&self.months),
            air: *dice.pick(&self.air),
            near,
            place: dice.pick(&self.places).clone(),
            for_hire: *dice.pick(&[None, Some(true), Some(false)]),
            weeks: *dice.pick(&[
                None,
                None,
                Some(1.0),
                Some(4.0),
                Some(8.0),
                Some(13.0),
                Some(52.0),
            ]),
            mowings: *dice.pick(&[None, None, Some(0), Some(2), Some(3), Some(9)]),
            seeding_in: *dice.pick(&[
                None,
                None,
                None,
                Some(0.0),
                Some(4.0),
                Some(8.0),
                Some(16.0),
                Some(30.0),
            ]),
            weed_stage: *dice.pick(&[None, None, Some("not-up"), Some("young"), Some("grown")]),
        }
    }

    /// A whole lawn: two to six weeds on a grass that is often established.
    pub fn lawn(&self, dice: &mut Dice) -> Facts {
        let stage = if dice.below(4) == 0 {
            dice.pick(&self.stages).clone()
        } else {
            "established".to_owned()
        };
        let turf = dice.pick(&self.turf).clone();
        let mut facts = self.point(dice, "", &turf, &stage);
        facts.weeds.clear();
        let many = 2 + dice.below(5);
        while facts.weeds.len() < many {
            let weed = dice.pick(&self.weeds).clone();
            if !facts.weeds.contains(&weed) {
                facts.weeds.push(weed);
            }
        }
        // Facts that stop nearly everything would leave nothing to look at.
        if dice.below(3) > 0 {
            facts.seeding_in = None;
            facts.air = None;
            facts.weeks = None;
            facts.mowings = None;
        }
        facts
    }
}
