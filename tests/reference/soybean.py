"""The soybean halves of tests/soybean.rs with a reference library: naive Bayes, an entropy tree and a random forest.

    pip install numpy scikit-learn; python3 tests/reference/soybean.py

The halves are those of the Rust test (same generator and seeds). The reference models see all 35 traits at once, a missing
value as a state of its own in tree and forest; the key asks for a handful and is told nothing by a missing value.
"""
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


shares = {"naive Bayes": [], "entropy tree": [], "random forest": []}
for seed in range(10):
    learn, test = halves(len(table), seed)
    models = {
        "naive Bayes": (CategoricalNB(alpha=0.1, min_categories=int(values.max()) + 1), values),
        "entropy tree": (DecisionTreeClassifier(criterion="entropy", random_state=seed), one_hot),
        "random forest": (RandomForestClassifier(300, random_state=seed), one_hot),
    }
    for name, (model, data) in models.items():
        shares[name].append(model.fit(data[learn], classes[learn]).score(data[test], classes[test]))
print(f"scikit-learn {sklearn.__version__}, ten halves:", ", ".join(f"{name} {100 * np.mean(s):.2f} %" for name, s in shares.items()))
