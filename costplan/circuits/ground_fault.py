"""Where the code asks for ground-fault protection (NFPA 70 210.8)."""

from dataclasses import replace

from costplan.circuits.size_types import Load, Reason, RuleOf, Rules
from costplan.model.choices import ListedPlace, Occupancy

NEWEST_READING = 2023
"""The edition that is taken where the one in force is not known: no edition asks for more."""
ONE_LINE_V = 120
"""Volts of receptacles that are sold with ground-fault protection; at more a breaker has it (common practice, no source)."""
_HIGHEST_LISTED_V = 250
"""Of circuits with more volts than this between lines, none has 150 V or less to ground."""
_LARGEST_LISTED_A = {1: 50, 3: 100}
"""Amperes of single-phase and three-phase receptacles that 210.8(B) reaches from 2017; before, 20 A."""
_SINCE_250_V = 2020
"""The edition from which 210.8(A) has receptacles up to 250 V."""
_LISTED_SINCE = {ListedPlace.UNFINISHED_BASEMENT: 2017, ListedPlace.DAMP: 2020}
"""The edition from which 210.8(B) lists such a place; from memory."""


def ground_fault(load: Load, family: str | None, breaker_a: int, rules: Rules) -> tuple[bool, Reason]:
    """Whether a circuit needs ground-fault protection, and why: by edition, occupancy and what it ends in (NFPA 70 210.8)."""
    if family is None:
        return False, Reason(
            RuleOf.GROUND_FAULT, "NFPA 70 210.8", "no receptacle, so the receptacle rule is silent"
        )
    dwelling = rules.occupancy.dwelling
    section = "NFPA 70 210.8(A)" if dwelling else "NFPA 70 210.8(B)"
    if load.volts > _HIGHEST_LISTED_V:
        why = f"a {load.volts} V circuit is above 150 V to ground, which the section does not reach"
        return False, Reason(RuleOf.GROUND_FAULT, section, why)
    largest_a = _LARGEST_LISTED_A[load.phases]
    if not dwelling and breaker_a > largest_a:
        phases = "single-phase" if load.phases == 1 else "three-phase"
        why = f"a {phases} receptacle of {breaker_a} A is above the {largest_a} A that the section reaches"
        return False, Reason(RuleOf.GROUND_FAULT, section, why)
    if not dwelling and rules.ground_fault_place is None:
        why = (
            "the space is not said to be one of the listed places, so it is priced without; ask the inspector"
        )
        return False, Reason(RuleOf.GROUND_FAULT, section, why)
    edition = NEWEST_READING if rules.edition is None else rules.edition
    needed, why = (_in_dwelling if dwelling else _in_listed_place)(load, breaker_a, edition, rules)
    if rules.edition is None:
        why += "; the edition in force is not known, so the dearer, newer reading is taken"
    return needed, Reason(RuleOf.GROUND_FAULT, section, why)


def silent_by_volts(load: Load, family: str | None, breaker_a: int, rules: Rules) -> bool:
    """Whether only its volts to ground keep the section from a circuit: one of 208 V would be protected there."""
    lower = replace(load, volts=208)
    return high_to_ground(load) and ground_fault(lower, family, breaker_a, rules)[0]


def _low_to_ground(load: Load) -> bool:
    """Single-phase of 150 V or less to ground; 240 V is taken as half of 120/240, the dearer reading."""
    return load.phases == 1 and load.volts <= 240


def high_to_ground(load: Load) -> bool:
    """Whether a leg of it is taken as above 150 V to ground, though its lines are within the volts of the section.

    Three-phase 240 V: the made leg of a converter and the high leg of a delta have about 208 V to ground, 240 V times
    half the root of three; without a grounded conductor it is all 240 V (NFPA 70 Article 100, voltage to ground).
    """
    return load.phases == 3 and load.volts == 240


def _small_120(load: Load, breaker_a: int) -> bool:
    return load.volts == 120 and breaker_a <= 20


def _in_dwelling(load: Load, breaker_a: int, edition: int, rules: Rules) -> tuple[bool, str]:
    if rules.occupancy is Occupancy.DWELLING_ROOM:
        return False, "a room of a dwelling is not listed; within 6 ft of a sink it is: ask the inspector"
    if load.phases == 3:
        return False, "it is three-phase; of a dwelling the section has single-phase receptacles"
    if edition >= _SINCE_250_V:
        return _low_to_ground(load), (
            "from 2020: every single-phase receptacle up to 250 V, 150 V or less to ground"
        )
    if rules.occupancy is Occupancy.FINISHED_BASEMENT:
        return False, f"{edition}: basements only where they are not finished"
    return _small_120(load, breaker_a), (
        f"{edition}: only 120 V receptacles of 15 and 20 A in garages and unfinished basements"
    )


def _in_listed_place(load: Load, breaker_a: int, edition: int, rules: Rules) -> tuple[bool, str]:
    place = rules.ground_fault_place
    if not place:
        return False, "the space is said to be none of the listed places"
    if isinstance(place, ListedPlace) and edition < _LISTED_SINCE[place]:
        return False, f"{edition}: does not list it ({place}); from {_LISTED_SINCE[place]} it does"
    if edition < 2017:
        return _small_120(
            load, breaker_a
        ), f"{edition}: only 120 V receptacles of 15 and 20 A in listed places"
    if high_to_ground(load):
        return False, (
            "a three-phase 240 V circuit has a leg of about 208 V or more to ground, such as the one a converter makes: "
            "above 150 V, so the section is silent; ask the inspector"
        )
    return _low_to_ground(load) or (load.phases == 3 and load.volts == 208), (
        "from 2017: 150 V or less to ground, single-phase up to 50 A and three-phase up to 100 A"
    )
