"""How answers about distances are read, each as it is kept; every reader raises ValueError with the reason."""

import re

from costplan.interview.answers import UNKNOWN
from costplan.interview.asking import Known
from costplan.interview.spoken import without_around
from costplan.interview.told_lengths import (
    evenly,
    halves,
    is_list,
    longer_of,
    of_all,
    range_of,
    read_distance,
    read_lengths,
    stretches_in_words,
    wall_and_cord,
)
from costplan.interview.told_lines import SPREAD, TOGETHER, lengths_told, panels_told
from costplan.interview.told_panels import by_panel
from costplan.interview.told_plates import plate_of
from costplan.model.reading import one_of
from costplan.model.system import System, feeds

SAME = "the same"
"""A cord as long as the wiring."""


def wiring(text: str, known: Known) -> str:
    """Lengths of wiring: one, with a slash the cord's too, of a group one for each, or from the nearest to the farthest."""
    count = int(known.get("how many") or 1)
    said = wall_and_cord(of_all(text) if count > 1 else text)
    between = range_of(said) if count > 1 else None
    if between is not None:
        low, high, unit = between
        return f"{low.normalize():f} to {high.normalize():f} {unit}"
    said = without_around(longer_of(said)[0])
    pairs = read_lengths(said, count)
    ends = [stretches_in_words(pairs, end) for end in ((0, 1) if len(halves(said)) > 1 else (0,))]
    return " / ".join(end if re.search(r"[^0-9.\s]", end) else f"{end} ft" for end in ends)


def spread_over(known: Known) -> tuple[str, str]:
    """Where the machines of a group may stand of which a range was said: all over it, or each somewhere in it."""
    between = range_of(known.get("distance"))
    assert between is not None
    low, high, unit = between
    lengths = stretches_in_words([(each,) for each in evenly(low, high, unit, int(known.get("how many")))])
    return f"{SPREAD}{lengths}", f"{TOGETHER}{high.normalize():f} {unit}"


def spread(text: str, known: Known) -> str:
    """One of the two."""
    all_over, together = spread_over(known)
    return one_of(
        (all_over, together), {"evenly": all_over, "apart": all_over, "yes": all_over, "no": together}
    )(text)


def cord_as_it_hangs(text: str, known: Known) -> str:
    """Lengths of cords, as many as the wiring has; of a range the longer; the same as the wiring's."""
    wall = lengths_told(known.here)[0]
    if text.lower() == SAME:
        return wall
    count, apart = int(known.get("how many") or 1), is_list(wall)
    between = range_of(text) if apart else None
    if between is not None:
        return stretches_in_words([(each,) for each in evenly(*between, count)])
    said = without_around(longer_of(text)[0])
    if len(halves(said)) > 1:
        raise ValueError(
            f"is two lengths; the wiring's is {wall} already: write the cord's alone, or go back"
        )
    if apart and not is_list(said):
        raise ValueError(
            f"is one length, and the wiring has {wall}; write as many, from 20 to 45 ft, or Enter for the same"
        )
    pairs = read_lengths(said, count)
    if len(pairs) > 1 and not apart:
        raise ValueError(
            f"is several lengths, and the wiring has one, {wall}; write one, or go back and write those too"
        )
    end = stretches_in_words(pairs, 1)
    return end if re.search(r"[^0-9.\s]", end) else f"{end} ft"


def other_panels(known: Known) -> list[str]:
    """Panels besides the one that was named that have the volts and phases of the machine at hand; none of an only panel."""
    if not known.get("from"):
        return []
    plate = plate_of({"volts": known.get("volts"), "amps": "1"})
    count = int(known.get("phases") or 1)
    return [
        panel["panel"]
        for panel in panels_told(known)
        if panel["panel"] != known.get("from")
        and any(feeds(System(panel["system"]), volts, count, neutral=False) for volts in plate.nominal)
    ]


def from_others(text: str, known: Known) -> str:
    """Lengths from other panels, each with its panel where there are several; or that nobody measured them."""
    others = other_panels(known)
    if text.strip().lower() in (UNKNOWN, "none", "no"):
        return UNKNOWN
    found = by_panel(text, others)
    if found[0][0] == "" and len(others) > 1:
        raise ValueError(f'is "{text}", and does not say from which panel; write 20 / 15 ft from {others[0]}')
    return ", ".join(f"{two_lengths(said, known)} from {panel or others[0]}" for panel, said in found)


def two_lengths(text: str, _: Known) -> str:
    """Two lengths from the panel, by wall and by cord; of a range the longer."""
    said = without_around(longer_of(wall_and_cord(text))[0])
    read_distance(said)
    return said if re.search(r"[^0-9./\s]", said) else f"{said} ft"
