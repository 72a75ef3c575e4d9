"""Posterior chances and expected information of random books by a reference library: writes key-sums.json.

    pip install numpy scipy; python3 tests/reference/key-sums.py > tests/reference/key-sums.json

Bayes' rule is done with scipy.special.logsumexp, information as scipy.stats.entropy(prior) minus the expected entropy after
the answer. `tests/key_properties.rs` holds the key against the file, to 1e-9.
"""
import json

import numpy as np
import scipy
from scipy.special import logsumexp
from scipy.stats import entropy

rng = np.random.default_rng(20)
books = []
for _ in range(12):
    taxa, traits, states = int(rng.integers(2, 30)), int(rng.integers(2, 7)), int(rng.integers(2, 6))
    weights = rng.integers(1, 20, size=taxa)
    rows = np.round(rng.dirichlet(np.full(states, 0.6), size=(traits, taxa)), 6) + 1e-4
    rows /= rows.sum(axis=2, keepdims=True)
    answers = [int(a) for a in rng.integers(0, states, size=traits - 1)]
    log = np.log(weights / weights.sum()) + sum(np.log(rows[t, :, a]) for t, a in enumerate(answers))
    posterior = np.exp(log - logsumexp(log))
    last = rows[-1]
    gain = entropy(posterior, base=2)
    for s in range(states):
        joint = posterior * last[:, s]
        gain -= joint.sum() * entropy(joint, base=2)  # scipy brings the joint to a sum of 1
    books.append(
        {"weights": weights.tolist(), "rows": rows.tolist(), "answers": answers, "posterior": posterior.tolist(), "gain_bits": float(gain)}
    )
print(json.dumps({"by": f"scipy {scipy.__version__}, numpy {np.__version__}", "books": books}))
