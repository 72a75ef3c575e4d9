"""The soybean halves of tests/soybean.rs with a reference library: naive Bayes, an entropy tree and a random forest; and with
averaged one-dependence estimators (Webb, Boughton and Wang 2005), which know how each pair of traits goes together in a class.

    pip install numpy scikit-learn; python3 tests/reference/soybean.py

The halves are those of the Rust test (same generator and seeds). The reference models see all 35 traits at once, a missing
value as a state of its own in tree and forest; the key asks for a handful. A book of state frequencies holds no pairs, so what
the one-dependence estimators reach is more than a book can tell. Last, the pair of diseases that the forest confuses most.
"""
import collections
import csv
import pathlib

import numpy as np
import sklearn
from sklearn.ensemble import RandomForestClassifier
from sklearn.naive_bayes import CategoricalNB
from sklearn.tree import DecisionTreeClassifier

with open(pathlib.Path(__file__).parents[1] / "data" / "soybean-large.csv") as file:
    table = list(csv.reader(file))[1:]
classes = np.array([row[0] for row in table])
values = np.array([[0 if v == "NA" else int(v) + 1 for v in row[1:]] for row in table])
one_hot = np.concatenate([(values[:, [t]] == np.unique(values[:, t])).astype(int) for t in range(values.shape[1])], axis=1)


def halves(count, seed):
    """The shuffle of tests/soybean.rs."""
    mask = (1 << 64) - 1
    state = (seed * 0x9E3779B97F4A7C15 & mask) | 1
    order = list(range(count))
    for last in range(count - 1, 0, -1):
        state = (state * 6364136223846793005 + 1442695040888963407) & mask
        swap = (state >> 33) % (last + 1)
        order[last], order[swap] = order[swap], order[last]
    return order[: count // 2], order[count // 2 :]


def one_dependence(learn, test, missing_tells):
    """Share named rightly; a missing value is a state of its own, or tells nothing."""
    names = np.unique(classes)
    states = int(values.max()) + 1
    first = 0 if missing_tells else 1
    seen = (values[learn][:, :, None] == np.arange(first, states)).astype(float)
    of_class = (classes[learn][:, None] == names).astype(float)
    one = np.einsum("nc,nts->cts", of_class, seen)
    mean = one.sum(0) + 1e-9
    mean /= mean.sum(1, keepdims=True)
    row = (one + 0.1 * mean) / (one.sum(2, keepdims=True) + 0.1)
    pair = np.einsum("nc,nas,nbt->casbt", of_class, seen, seen, optimize=True)
    pair = (pair + row[:, None, None]) / (pair.sum(4, keepdims=True) + 1)
    log_one, log_pair = np.log(row + 1e-300), np.log(pair + 1e-300)
    right = 0
    for case in test:
        known = [t for t in range(values.shape[1]) if values[case, t] >= first]
        state = values[case] - first
        sums = np.array([
            log_one[:, a, state[a]] + sum(log_pair[:, a, state[a], b, state[b]] for b in known if b != a) for a in known
        ])
        chance = np.exp(sums - sums.max()).sum(0) * (of_class.sum(0) > 0)
        right += names[chance.argmax()] == classes[case]
    return right / len(test)


shares = {"naive Bayes": [], "entropy tree": [], "random forest": []}
confused = collections.Counter()
for seed in range(10):
    learn, test = halves(len(table), seed)
    models = {
        "naive Bayes": (CategoricalNB(alpha=0.1, min_categories=int(values.max()) + 1), values),
        "entropy tree": (DecisionTreeClassifier(criterion="entropy", random_state=seed), one_hot),
        "random forest": (RandomForestClassifier(300, random_state=seed), one_hot),
    }
    for name, (model, data) in models.items():
        said = model.fit(data[learn], classes[learn]).predict(data[test])
        shares[name].append(np.mean(said == classes[test]))
    confused.update((true, guess) for true, guess in zip(classes[test], said) if true != guess)
    for missing_tells, name in ((False, "pairs, missing not told"), (True, "pairs, missing told")):
        shares.setdefault(name, []).append(one_dependence(learn, test, missing_tells))
print(f"scikit-learn {sklearn.__version__}, ten halves:", ", ".join(f"{name} {100 * np.mean(s):.2f} %" for name, s in shares.items()))
(true, guess), count = confused.most_common(1)[0]
tested = sum((classes[halves(len(table), seed)[1]] == true).sum() for seed in range(10))
print(f"the forest takes {100 * count / tested:.0f} % of {true} for {guess}")
