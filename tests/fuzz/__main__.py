"""`python -m tests.fuzz --seed N --minutes M`: mutated shops loaded and compared until the time is over; failures are printed.

Each failure is printed once by its sort with the seed and the number of its case, so that it can be made again:
`--seed N --only NUMBER`. The exit status is 1 when there was one.
"""

import argparse
import random
import secrets
import sys
import time
import traceback
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]

from bases import all_bases, one_machine, small_bases, tiny  # noqa: E402
from harness import a_case, compare, load, signature  # noqa: E402


def main() -> int:
    """Run until the minutes are over; the number of different failures decides the status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--seed", type=int, default=secrets.randbelow(10**9))
    parser.add_argument("--minutes", type=float, default=1)
    parser.add_argument(
        "--compare", type=float, default=0.02, help="which share of the sound cases is compared"
    )
    parser.add_argument("--large", type=float, default=0.1, help="which share is of the larger shops")
    parser.add_argument("--only", type=int, default=None, help="run this case alone, with its trace")
    parser.add_argument("--first", type=int, default=0, help="the number of the first case")
    parser.add_argument("--slow", type=float, default=30, help="a case of more seconds than that is named")
    chosen = parser.parse_args()
    print(f"seed {chosen.seed}", flush=True)
    small, every = [*small_bases(), tiny(), one_machine()], all_bases()
    found: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    end = time.monotonic() + chosen.minutes * 60
    number = chosen.only if chosen.only is not None else chosen.first
    while time.monotonic() < end:
        begun = time.monotonic()
        rng = random.Random(f"{chosen.seed} {number}")
        case = a_case(rng.choice(every if rng.random() < chosen.large else small), rng)
        try:
            loaded = load(case)
            ends["sound" if loaded.sound else "problems"] += 1
            if loaded.sound and (rng.random() < chosen.compare or chosen.only is not None):
                ends[compare(loaded)] += 1
        except (Exception, RecursionError) as error:
            mark = signature(error)
            found[mark] += 1
            if found[mark] == 1:
                print(f"case {number}: {mark}: {error}\n{case.told()[:4000]}", flush=True)
            if chosen.only is not None:
                traceback.print_exc()
        if chosen.only is not None:
            print(loaded.text if "loaded" in dir() else "")
            break
        if (took := time.monotonic() - begun) > chosen.slow:
            print(f"case {number}: {took:.0f} s", flush=True)
        number += 1
        if number % 20_000 == 0:
            print(f"{number} cases, {dict(ends)}, {len(found)} sorts of failure", flush=True)
    print(f"seed {chosen.seed}: {number} cases, {dict(ends)}, {len(found)} sorts of failure {dict(found)}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
