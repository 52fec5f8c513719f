"""What shared gear costs over the years once it is there."""

from collections.abc import Sequence

from costplan.circuits.needs import Bundle
from costplan.circuits.shared_gear import Candidate
from costplan.years.stream import Cause


def gear_course(
    gear: Candidate, bought: int, moves: Sequence[int], horizon: int
) -> list[tuple[int, Bundle, Cause]]:
    """Every bundle of one piece of gear put in at the end of year `bought`, by year, that year's included, and its cause.

    moves: years in which the whole shop moves; what stays behind is then put in again. Running costs fall at the
    end of every later year; gear that wears out within the plan is replaced, and what is overhauled every so many
    years is not in the last one.
    """
    dated = [(bought, gear.bundle, Cause.BEGUN)]
    for year in range(bought + 1, horizon + 1):
        dated.append((year, gear.yearly, Cause.RUN))
        if year in moves:
            dated.append((year, gear.again, Cause.RUN))
        if gear.life_years and (year - bought) % gear.life_years == 0 and year < horizon:
            dated.append((year, gear.renewed, Cause.WORN))
        every = gear.overhauled_every
        if every and (year - bought) % every == 0 and year < horizon:
            dated.append((year, gear.overhauled, Cause.RUN))
    return [entry for entry in dated if entry[1]]
