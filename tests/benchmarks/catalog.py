"""Reading and checking an offers.csv of 100,000 rows and answering a shopping list from it, against pandas.

python tests/benchmarks/catalog.py [ROWS]; the aim is at most five times what pandas needs to read the file.
"""

import csv
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

import pandas as pd
from generator import DEMO, SEED
from tabulate import tabulate

from costplan.files.csv_reader import read_table
from costplan.files.shipped import shipped
from costplan.model.loading import OFFERS_FILE, load_catalog
from costplan.model.offers import COLUMNS, REQUIRED, Offers, check_offers, read_offers

REPEATS = 7
AIM = 5


def write_offers(folder: Path, rows: int, *, every_price_differs: bool) -> Path:
    """Copy the shipped catalog into `folder` and grow its offers to `rows`, each drawn from a shipped one."""
    shutil.copytree(shipped("catalogs") / DEMO, folder, dirs_exist_ok=True)
    path = folder / OFFERS_FILE
    with path.open(newline="", encoding="utf-8") as file:
        patterns = list(csv.DictReader(file))
    random = Random(SEED)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        for number in range(rows):
            offer = dict(random.choice(patterns))
            cents = 100 + number * 7 if every_price_differs else random.randint(100, 9999)
            offer["price"] = f"{cents // 100}.{cents % 100:02}"
            writer.writerow(offer)
    return path


def medians(*works: Callable[[], object]) -> list[float]:
    """Median seconds of each; they take turns, so that they share what else the machine does."""
    times: list[list[float]] = [[] for _ in works]
    for repeat in range(REPEATS + 1):
        for work, mine in zip(works, times, strict=True):
            began = perf_counter()
            work()
            if repeat:
                mine.append(perf_counter() - began)
    return [median(mine) for mine in times]


def main() -> None:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    lines = []
    for what, differs in (("usual prices", False), ("every price differs", True)):
        with TemporaryDirectory() as temporary:
            folder = Path(temporary)
            path = write_offers(folder, rows, every_price_differs=differs)
            catalog, problems = load_catalog(folder)
            assert catalog is not None, problems
            assert len(catalog.offers) == rows == len(pd.read_csv(path))
            parts = {part.id for part in catalog.parts}

            def checked(path: Path = path, parts: set[str] = parts) -> Offers:
                offers, found = check_offers(read_table(path, COLUMNS, REQUIRED), parts)
                assert isinstance(offers, Offers), found
                return offers

            def every_offer(path: Path = path, parts: set[str] = parts) -> object:
                return read_offers(read_table(path, COLUMNS, REQUIRED), parts)

            readers = {
                "pandas.read_csv (floor)": lambda path=path: pd.read_csv(path),
                "pandas.read_csv, all text": lambda path=path: pd.read_csv(path, dtype=str),
                "offers read and checked": checked,
                "the same, every offer made": every_offer,
                "whole catalog read and checked": lambda folder=folder: load_catalog(folder),
            }
            took = medians(*readers.values())
            for name, took_s in zip(readers, took, strict=True):
                lines.append([what, name, took_s * 1000, took_s / took[0], _verdict(name, took_s / took[0])])
    print(f"{rows:,} offers, median of {REPEATS} runs, aim: at most {AIM} times the floor")
    print(tabulate(lines, ["file", "reader", "ms", "x floor", "aim"], floatfmt=("", "", ".1f", ".2f", "")))


def _verdict(name: str, ratio: float) -> str:
    if name.startswith("pandas"):
        return ""
    return "kept" if ratio <= AIM else "missed"


if __name__ == "__main__":
    main()
