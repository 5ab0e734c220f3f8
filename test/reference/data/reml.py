"""Solves the REML equation of 07_mixed_models_meta.json in decimal arithmetic of 40 digits.

The variance between studies is where the slope of the restricted likelihood turns (Viechtbauer
2005); bisection finds it. Prints id, variance, mean, standard error. Made with Python 3.11:

    python3 reml.py
"""

import json
from decimal import Decimal, getcontext
from pathlib import Path

getcontext().prec = 40


def at(between, values, variances):
    weights = [1 / (v + between) for v in variances]
    total = sum(weights)
    mean = sum(w * y for w, y in zip(weights, values)) / total
    pull = sum((w * (y - mean)) ** 2 for w, y in zip(weights, values))
    slope = (sum(w * w for w in weights) / total + pull - total) / 2
    return slope, mean, 1 / total.sqrt()


file = Path(__file__).with_name("07_mixed_models_meta.json")
for entry in json.loads(file.read_text(encoding="utf-8"), parse_float=Decimal)["entries"]:
    if "yi" not in entry["inputs"]:
        continue
    given = [[Decimal(x) for x in entry["inputs"][key]] for key in ("yi", "vi")]
    low, high = Decimal(0), Decimal(10)
    for _ in range(130):
        middle = (low + high) / 2
        if at(middle, *given)[0] > 0:
            low = middle
        else:
            high = middle
    print(entry["id"], *(f"{x:.17f}" for x in (low, *at(low, *given)[1:])))
