"""Random books, answers, and what the key must make of them: a second program, after the formulas at the heads of
`src/key/*.rs`, in another language and by another hand. Where the heads did not say enough the code was read, and the heads
were completed. Needs only Python 3.

    python3 tests/reference/key-belief.py > tests/reference/key-belief.json

`tests/key_belief.rs` holds the key against the file, to 1e-9. Everything in the books is invented.
"""
import json
import math
import random

LEAST_ERROR, TO_MISTAKEN, ALSO_USUAL, SOMETIMES, ALTHOUGH_NA = 0.005, 0.6, 0.6, 0.1, 0.15
MEASURE_SIGMA, RANGE_REACHES, NOTHING = 0.2, 1.96, 0.05
SHARES_SUM_TO, UNCOUNTED, BORROWED = 1.5, 0.05, 4.0
PRIOR_NONE, LIKE_ITS_KIND, UNKNOWN_SPREAD = 0.05, 0.3, 0.3
OUT_OF_SEASON, NEXT_TO_SEASON, OUT_OF_REGION = 0.12, 0.5, 0.3
LEAST_GAIN, RELEVANT, KIND_SETTLED = 0.01, 0.5, 0.8
SETTLED, UNKNOWN_PLANT, POSSIBLE = 0.99, 0.2, 0.02
COST = {"glance": 1.0, "close": 1.3, "lens": 1.9, "dig": 2.4, "wait": 3.0}


def many(value):
    return [] if value is None else [value] if isinstance(value, str) else list(value)


def scaled(weights):
    return [w / sum(weights) for w in weights]


class Trait:
    def __init__(self, form):
        self.form, self.id, self.number = form, form["id"], form["kind"] == "number"
        self.cuts = form.get("cuts", [])
        self.states = [s["id"] for s in form.get("states", [])]
        self.k = len(self.cuts) + 1 if self.number else len(self.states)
        self.error = max(form["error"], LEAST_ERROR)
        self.mistaken = [[self.states.index(m) for m in many(s.get("mistaken_for"))] for s in form.get("states", [])]

    def row(self, q):
        """What is reported of a plant that shows the states with the chances q."""
        row = [(1 - self.error) * p for p in q]
        for true, p in enumerate(q):
            rest = 1.0
            if self.mistaken[true]:
                rest = 1 - TO_MISTAKEN
                for s in self.mistaken[true]:
                    row[s] += self.error * p * TO_MISTAKEN / len(self.mistaken[true])
            for s in range(self.k):
                if s != true:
                    row[s] += self.error * p * rest / (self.k - 1)
        return row

    def row_of_range(self, low, high):
        low, high = (max(end, NOTHING * self.cuts[0]) for end in (low, high))
        middle = 0.5 * math.log(low * high)
        sigma = math.hypot(math.log(high / low) / (2 * RANGE_REACHES), MEASURE_SIGMA)
        below = [0.5 * math.erfc((middle - math.log(c)) / sigma / math.sqrt(2)) for c in self.cuts]
        ends = [0.0, *below, 1.0]
        return [(1 - self.error) * (b - a) + self.error / self.k for a, b in zip(ends, ends[1:])]

    def weights(self, shows):
        if shows.get("weights"):
            return [shows["weights"].get(s, 0) for s in self.states]
        found = [0.0] * self.k
        for n, state in enumerate(many(shows.get("is"))):
            found[self.states.index(state)] += 1 if n == 0 else ALSO_USUAL
        for state in many(shows.get("sometimes")):
            found[self.states.index(state)] += SOMETIMES
        return found


def is_na(shows):
    return many(shows.get("is")) == ["na"]


class Book:
    def __init__(self, book, traits, weeds):
        self.ids = sorted(weeds)
        self.weeds = [weeds[i] for i in self.ids]
        self.traits = [Trait(t) for t in traits]
        self.number = {t.id: n for n, t in enumerate(self.traits)}
        self.kind_trait = self.number.get(book.get("kind_trait"))
        self.kinds = 1 if self.kind_trait is None else self.traits[self.kind_trait].k
        self.kind = [self.kind_of(w) for w in self.weeds]
        self.regions = sorted({r for w in self.weeds for r in many(w["seen"].get("regions", {}).get("is"))})
        self.rows, self.recorded, self.cannot, self.strangers = [], [], [], []
        for trait in self.traits:
            self.compile(trait)

    def kind_of(self, weed):
        if self.kind_trait is None:
            return 0
        trait = self.traits[self.kind_trait]
        shows = weed["traits"].get(trait.id, {"is": "na"})
        if is_na(shows):
            return 0
        weights = trait.weights(shows)
        return max(range(trait.k), key=lambda s: weights[s])

    def may_show(self, weed, trait, states):
        shows = weed["traits"].get(trait.id)
        if shows is None:
            return self.is_asked(weed, trait)
        return not is_na(shows) and any(trait.weights(shows)[trait.states.index(s)] > 0 for s in states)

    def is_asked(self, weed, trait):
        needs = trait.form.get("asked_of", {}).items()
        return all(self.may_show(weed, self.traits[self.number[other]], many(states)) for other, states in needs)

    def compile(self, trait):
        shows = [w["traits"].get(trait.id) for w in self.weeds]
        weighed = [trait.weights(s) if s and s.get("weights") else None for s in shows]
        counted = any(w and sum(w) > SHARES_SUM_TO for w in weighed)
        counts = [w if counted and w and (sum(w) > SHARES_SUM_TO or all(x == int(x) for x in w)) else None for w in weighed]
        mean = scaled([1 + sum(c[s] for c in counts if c) for s in range(trait.k)])
        rows, recorded, cannot = [], [], []
        for weed, shown, count in zip(self.weeds, shows, counts):
            row, own = None, shown is not None and not is_na(shown)
            if count:
                row = [(n + UNCOUNTED * m) / (sum(count) + UNCOUNTED) for n, m in zip(count, mean)]
            elif own and trait.number:
                row = trait.row_of_range(*shown["range"])
            elif own:
                row = trait.row(scaled(trait.weights(shown)))
            elif shown is not None or not self.is_asked(weed, trait):
                row = [ALTHOUGH_NA / trait.k] * trait.k
            rows.append(row)
            recorded.append(own)
            cannot.append(row is not None and not own)

        def pooled(some, prior):
            return [(BORROWED * prior[s] + sum(r[s] for r in some)) / (BORROWED + len(some)) for s in range(trait.k)]

        everything = pooled([r for r in rows if r], [1 / trait.k] * trait.k)
        of_kind = [pooled([r for r, k in zip(rows, self.kind) if r and k == kind], everything) for kind in range(self.kinds)]
        strangers = []
        for kind, row in enumerate(of_kind):
            if self.kind_trait is not None and trait is self.traits[self.kind_trait]:
                strangers.append(trait.row([float(s == kind) for s in range(trait.k)]))
            else:
                strangers.append([(1 - UNKNOWN_SPREAD) * p + UNKNOWN_SPREAD * sum(row) / trait.k for p in row])
        self.rows.append([row or of_kind[kind] for row, kind in zip(rows, self.kind)])
        self.recorded.append(recorded)
        self.cannot.append(cannot)
        self.strangers.append(strangers)

    def typical(self, t, together):
        """h: mean entropy of the recorded rows, nats, the states named as one."""
        entropies = []
        for row, own in zip(self.rows[t], self.recorded[t]):
            if own:
                parts = [p for s, p in enumerate(row) if s not in together] + [sum(row[s] for s in together)]
                entropies.append(-sum(p * math.log(p) for p in parts if p > 0))
        return sum(entropies) / len(entropies) if entropies else 0.0

    def season(self, weed, month):
        months = weed["seen"].get("growing", {}).get("months", [])

        def one(month):
            if month in months:
                return 1.0
            return NEXT_TO_SEASON if any((month - m) % 12 in (1, 11) for m in months) else OUT_OF_SEASON

        if not months:
            return (1 + OUT_OF_SEASON) / 2
        return one(month) if month else sum(map(one, range(1, 13))) / 12

    def place(self, weed, region):
        regions = many(weed["seen"].get("regions", {}).get("is"))
        if not regions:
            return (1 + OUT_OF_REGION) / 2
        if region:
            return 1.0 if region in regions else OUT_OF_REGION
        return (len(regions) + OUT_OF_REGION * (len(self.regions) - len(regions))) / len(self.regions)

    def belief(self, answers, month, region):
        common = [w["seen"].get("common", {}).get("weight", 1.0) for w in self.weeds]
        prior = scaled([c * self.season(w, month) * self.place(w, region) for c, w in zip(common, self.weeds)])
        taxa = [(1 - PRIOR_NONE) * p for p in prior]
        shares = [sum(p for p, k in zip(prior, self.kind) if k == kind) for kind in range(self.kinds)]
        none = [PRIOR_NONE * ((1 - UNKNOWN_SPREAD) * share + UNKNOWN_SPREAD / self.kinds) for share in shares]
        for name, answer in answers.items():
            t = self.number[name]
            trait = self.traits[t]
            if answer is None:
                continue
            classes = [sum(c < answer for c in trait.cuts)] if trait.number else [trait.states.index(s) for s in answer]
            if len(classes) < trait.k:
                taxa, none = self.after(taxa, none, t, classes)
        return taxa, none

    def stranger(self, t, kind, classes):
        likely = sum(self.strangers[t][kind][s] for s in classes)
        if t == self.kind_trait:
            return likely
        return likely**LIKE_ITS_KIND * math.exp(-(1 - LIKE_ITS_KIND) * self.typical(t, classes))

    def after(self, taxa, none, t, classes):
        taxa = [p * sum(row[s] for s in classes) for p, row in zip(taxa, self.rows[t])]
        none = [p * self.stranger(t, kind, classes) for kind, p in enumerate(none)]
        total = sum(taxa) + sum(none)
        return [p / total for p in taxa], [p / total for p in none]

    def told(self, w, t, s):
        return sum(p * row[s] for p, row in zip(w, self.rows[t]))

    def gain(self, t, w):
        bits = 0.0
        for s in range(self.traits[t].k):
            mean = self.told(w, t, s)
            bits += sum(p * r[s] * math.log2(r[s] / mean) for p, r in zip(w, self.rows[t]) if p * r[s] > 0)
        return bits

    def relevance(self, t, w):
        chances = [1 - sum(p for p, none in zip(w, self.cannot[t]) if none)]
        for other, states in self.traits[t].form.get("asked_of", {}).items():
            o = self.number[other]
            chances.append(sum(self.told(w, o, self.traits[o].states.index(s)) for s in many(states)))
        return min(chances)

    def named(self, taxa, none):
        first = max(range(len(taxa)), key=lambda i: taxa[i])
        return first if taxa[first] >= SETTLED * sum(taxa) and sum(none) < UNKNOWN_PLANT else None

    def confirming(self, t, taxa, none, w):
        def entropy(p):
            return -sum(x * math.log2(x) for x in (p, 1 - p) if x > 0)

        known, bits = sum(taxa), 0.0
        for s in range(self.traits[t].k):
            told = self.told(w, t, s)
            strange = sum(p * self.stranger(t, kind, [s]) for kind, p in enumerate(none))
            bits += told * (entropy(sum(none)) - entropy(strange / (strange + known * told)))
        return bits + known * self.gain(t, w)

    def could_unsettle(self, t, taxa, none, w):
        return any(
            self.told(w, t, s) >= POSSIBLE and self.named(*self.after(taxa, none, t, [s])) != self.named(taxa, none)
            for s in range(self.traits[t].k)
        )

    def next(self, taxa, none, answers):
        """Traits with their worth, best first, and the thresholds that were looked at, to leave out what stands on one."""
        known = sum(taxa)
        w = [p / known for p in taxa]
        open_ = [t for t, trait in enumerate(self.traits) if trait.id not in answers]
        shares = [sum(p for p, k in zip(w, self.kind) if k == kind) for kind in range(self.kinds)]
        near = [abs(max(shares) - KIND_SETTLED), abs(max(w) - SETTLED), abs(sum(none) - UNKNOWN_PLANT)]
        near += [abs(self.relevance(t, w) - RELEVANT) for t in open_]
        open_ = [t for t in open_ if self.relevance(t, w) >= RELEVANT]
        named = self.named(taxa, none)
        if max(w) >= SETTLED and named is None:
            worth = {t: self.confirming(t, taxa, none, w) / COST[self.traits[t].form["effort"]] for t in open_}
            near += [abs(x - LEAST_GAIN) for x in worth.values()]
            found = sorted((False, -x, t) for t, x in worth.items() if x >= LEAST_GAIN)
            if found:
                return found, min(near)
        near += [abs(known * self.gain(t, w) - LEAST_GAIN) for t in open_]
        found = []
        for t in open_:
            gain = self.gain(t, w)
            if known * gain >= LEAST_GAIN:
                first = t == self.kind_trait and max(shares) < KIND_SETTLED
                found.append((not first, -gain / COST[self.traits[t].form["effort"]], t))
        if named is not None:
            found = [q for q in found if self.could_unsettle(q[2], taxa, none, w)]
        return sorted(found), min(near)


def random_trait(rng, n, before, sharp):
    number = rng.random() < 0.2 and n > 0
    errors = [0, 0.001, 0.02, 0.05] if sharp else [0, 0.001, 0.02, 0.05, 0.1, 0.3, 0.5]
    form = {"id": f"mark-{'abcdef'[n]}", "question": "q", "help": "h", "kind": "number" if number else rng.choice(["one", "several"])}
    form |= {"effort": rng.choice(list(COST)), "error": rng.choice(errors), "source": "memory"}
    if number:
        form["cuts"] = [c / 2 for c in sorted(rng.sample(range(2, 60), rng.randint(1, 4)))]
    else:
        names = [f"s{s}" for s in range(rng.randint(4 if sharp else 2, 5))]
        form["states"] = [{"id": name} for name in names]
        for state in form["states"]:
            if rng.random() < 0.35:
                others = [name for name in names if name != state["id"]]
                state["mistaken_for"] = rng.sample(others, min(len(others), rng.randint(1, 2)))
    before = [t for t in before if t["kind"] != "number"]
    if before and rng.random() < 0.3:
        form["asked_of"] = {}
        for other in rng.sample(before, min(len(before), 1 if rng.random() < 0.8 else 2)):
            names = [s["id"] for s in other["states"]]
            form["asked_of"][other["id"]] = rng.sample(names, rng.randint(1, max(1, len(names) - 1)))
    return form


def random_shows(rng, form, counted):
    if rng.random() < 0.08:
        return {"is": "na"}
    if form["kind"] == "number":
        low = rng.choice([0, 0.1, 1, 2.5, 4, 8, 15, 30])
        return {"range": [low, low + rng.choice([0.5, 2, 5, 20])]}
    names = rng.sample([s["id"] for s in form["states"]], len(form["states"]))
    if counted and rng.random() < 0.85:
        some, how = names[: rng.randint(1, len(names))], rng.random()
        if how < 0.6:
            weights = {s: rng.randint(0, 9) for s in some}
        elif how < 0.75:
            weights = {some[0]: 1}
        else:
            weights = {s: round(share, 4) for s, share in zip(some, scaled([rng.randint(1, 8) for _ in some]))}
        if sum(weights.values()) <= 0:
            weights[some[0]] = 2
        return {"weights": weights}
    usual = 1 if rng.random() < 0.6 else 2
    shows = {"is": names[:usual]}
    if rng.random() < 0.4 and len(names) > usual:
        shows["sometimes"] = names[usual : usual + rng.randint(1, 2)]
    return shows


def random_book(rng):
    sharp = rng.random() < 0.5  # few mistakes and many traits, so that names settle
    traits = []
    for n in range(6 if sharp else rng.randint(1, 6)):
        traits.append(random_trait(rng, n, traits, sharp))
    book = {"title": "Random (invented)", "version": "1"}
    if rng.random() < 0.5:
        book["kind_trait"] = traits[0]["id"]
    counted = {t["id"]: rng.random() < 0.3 for t in traits}
    weeds = {}
    for n in range(rng.randint(2, 9)):
        shown = {t["id"]: random_shows(rng, t, counted[t["id"]]) | {"source": "memory"} for t in traits if rng.random() < 0.85}
        seen = {}
        if rng.random() < 0.5:
            first = rng.randint(1, 12)
            seen["growing"] = {"months": [(first + m) % 12 + 1 for m in range(rng.randint(1, 8))], "source": "memory"}
        if rng.random() < 0.5:
            seen["regions"] = {"is": rng.sample(["north", "south", "east", "west"], rng.randint(1, 3)), "source": "memory"}
        if rng.random() < 0.4:
            seen["common"] = {"weight": rng.choice([0.2, 0.5, 2, 7.5]), "source": "memory"}
        name = f"taxon-{'qwertzuio'[n]}"
        weeds[name] = {"names": [name], "scientific_name": name, "source": "memory", "traits": shown, "seen": seen}
    return book, traits, weeds


def random_answers(rng, book):
    true, answers = rng.randrange(len(book.ids)), {}
    for t, trait in enumerate(book.traits):
        if rng.random() < 0.25:
            continue
        at = rng.choices(range(trait.k), book.rows[t][true])[0] if rng.random() < 0.8 else rng.randrange(trait.k)
        if rng.random() < 0.08:
            answers[trait.id] = None
        elif trait.number:
            low, high = ([0, *trait.cuts, 3 * trait.cuts[-1]][at + side] for side in (0, 1))
            answers[trait.id] = high if rng.random() < 0.3 else round(low + (high - low) * rng.uniform(0.05, 1), 2)
        else:
            some = {trait.states[at]} | ({rng.choice(trait.states)} if rng.random() < 0.2 else set())
            answers[trait.id] = sorted(trait.states if rng.random() < 0.03 else some)
    month = rng.randint(1, 12) if rng.random() < 0.4 else None
    region = rng.choice(book.regions) if book.regions and rng.random() < 0.4 else None
    return answers, month, region


def main():
    rng, cases = random.Random(1980), []
    for _ in range(60):
        form, traits, weeds = random_book(rng)
        book, runs = Book(form, traits, weeds), []
        for number in range(4):
            answers, month, region = random_answers(rng, book) if number else ({}, None, None)
            taxa, none = book.belief(answers, month, region)
            found, near = book.next(taxa, none, answers)
            run = {"answers": answers, "month": month, "region": region, "taxa": taxa, "none": sum(none)}
            named = book.named(taxa, none)
            run["named"] = None if named is None else book.ids[named]
            # Of traits that are worth the same the first in the book comes first.
            run["next"] = book.traits[found[0][2]].id if found else None
            run["worth"] = -found[0][1] if found else 0.0
            run["tie"] = near < 1e-9
            runs.append(run)
        cases.append({"book": form, "traits": traits, "weeds": weeds, "runs": runs})
    print(json.dumps({"books": cases}, indent=None, separators=(",", ":")))


main()
