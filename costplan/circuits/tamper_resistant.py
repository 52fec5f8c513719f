"""Where the code asks for tamper-resistant receptacles (NFPA 70 406.12)."""

from enum import StrEnum
from functools import cache

from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import NEWEST_READING
from costplan.circuits.size_types import CircuitSize, Reason, RuleOf, Rules
from costplan.model.choices import Method, Occupancy
from costplan.model.ratings import TAMPER_RESISTANT

RULE = "NFPA 70 406.12"
ONE_LINE = frozenset({"NEMA 5-15", "NEMA 5-20"})
TWO_LINES = frozenset({"NEMA 6-15", "NEMA 6-20"})
"""The push-in receptacles of 15 and 20 A, 125 and 250 V, that it names; locking ones and larger ones are none; from memory."""
TWO_LINES_SINCE = 2017
"""The edition from which it names 250 V; from memory."""


class Asked(StrEnum):
    """Whether it is asked for; UNSAID where it turns on whether small children are there, which nobody said."""

    YES = "yes"
    NO = "no"
    UNSAID = "unsaid"


def asked_for(configuration: str | None, method: Method, rules: Rules) -> Asked:
    """Whether a receptacle must be tamper-resistant, by edition, occupancy and way.

    In dwellings with their garages and basements, and where small children are taught or cared for. One at the ceiling is
    above 5-1/2 ft, where none is asked for. Of a school nobody said it is open; of other buildings it is taken as not so. Where
    the edition is not known, the newer reading is taken, as for ground faults; preschools and elementary schools, which it
    names from 2017, count as child care, which all editions in use name. That a machine is not easily moved out of its own
    place is not taken as an exception. Source: 406.12 with its exceptions, from memory.
    """
    edition = NEWEST_READING if rules.edition is None else rules.edition
    named = configuration in ONE_LINE or (configuration in TWO_LINES and edition >= TWO_LINES_SINCE)
    if not named or method is Method.CEILING:
        return Asked.NO
    if rules.occupancy.dwelling:
        return Asked.YES
    if rules.small_children is None and rules.occupancy is Occupancy.SCHOOL:
        return Asked.UNSAID
    return Asked.YES if rules.small_children else Asked.NO


def demanded(facts: Facts, size: CircuitSize, method: Method, rules: Rules) -> bool:
    """Whether a circuit's receptacle is bought so: it is asked for, and somebody offers such a one; else the lists ask."""
    asked = asked_for(size.configuration, method, rules)
    return asked is Asked.YES and facts.has_receptacle(size.configuration, TAMPER_RESISTANT)


@cache
def said_of(size: CircuitSize) -> CircuitSize:
    """The circuit with the reason of its tamper-resistant receptacle; the same one each time."""
    words = "dwellings, and where small children are: 15 and 20 A push-in receptacles are tamper-resistant"
    return size.with_reason(Reason(RuleOf.TAMPER_RESISTANT, RULE, words))
