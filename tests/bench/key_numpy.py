"""The sums of the next question with numpy, on a matrix of the shape of tests/bench/key.rs: for comparison in one run.

    cargo bench --bench key; python3 tests/bench/key_numpy.py

The matrix holds P(state | taxon) for every taxon, trait and state (float32 halves the memory, as one would do by hand).
"""
import time

import numpy as np

TAXA, TRAITS, STATES = 100_000, 300, 4
rng = np.random.default_rng(1)
shown = rng.integers(0, STATES, size=(TRAITS, TAXA))
rows = np.full((TRAITS, TAXA, STATES), 0.1 / STATES, dtype=np.float32)
np.put_along_axis(rows, shown[:, :, None], np.float32(0.9 + 0.1 / STATES), axis=2)
weight = np.full(TAXA, 1.0 / TAXA, dtype=np.float32)

times = []
for _ in range(3):
    start = time.perf_counter()
    total = np.einsum("i,tis->ts", weight, rows, optimize=True)
    inner = np.einsum("i,tis,tis->t", weight, rows, np.log2(rows), optimize=True)
    gain = inner - (total * np.log2(total)).sum(axis=1)
    times.append(time.perf_counter() - start)
print(f"numpy {np.__version__}: {TAXA} taxa x {TRAITS} traits: next question {min(times) * 1000:.0f} ms, matrix {rows.nbytes / 2**20:.0f} MiB, best gain {gain.max():.3f} bits")
