"""Where the code asks for ground-fault protection (NFPA 70 210.8)."""

from costplan.circuits.size_types import Load, Reason, Rules

DWELLING_GARAGE = "dwelling garage"
_NEWEST_READING = 2023


def ground_fault(load: Load, family: str | None, breaker_a: int, rules: Rules) -> tuple[bool, Reason]:
    """Whether a circuit needs ground-fault protection, and why: by edition, occupancy and what it ends in (NFPA 70 210.8)."""
    if family is None:
        return False, Reason(
            "ground fault", "NFPA 70 210.8", "no receptacle, so the receptacle rule is silent"
        )
    dwelling = rules.occupancy == DWELLING_GARAGE
    section = "NFPA 70 210.8(A)" if dwelling else "NFPA 70 210.8(B)"
    if not dwelling and not rules.ground_fault_place:
        why = "the space is not said to be one of the listed places; ask the inspector"
        return False, Reason("ground fault", section, why)
    edition = _NEWEST_READING if rules.edition is None else rules.edition
    needed, why = (_in_dwelling_garage if dwelling else _in_listed_place)(load, breaker_a, edition)
    if rules.edition is None:
        why += "; the edition in force is not known, so the dearer, newer reading is taken"
    return needed, Reason("ground fault", section, why)


def _low_to_ground(load: Load) -> bool:
    """Single-phase of 150 V or less to ground; 240 V is taken as half of 120/240, the dearer reading."""
    return load.phases == 1 and load.volts <= 240


def _small_120(load: Load, breaker_a: int) -> bool:
    return load.volts == 120 and breaker_a <= 20


def _in_dwelling_garage(load: Load, breaker_a: int, edition: int) -> tuple[bool, str]:
    if edition < 2020:
        return _small_120(load, breaker_a), f"{edition}: only 120 V receptacles of 15 and 20 A in garages"
    return _low_to_ground(
        load
    ), "from 2020: every single-phase receptacle up to 250 V, 150 V or less to ground"


def _in_listed_place(load: Load, breaker_a: int, edition: int) -> tuple[bool, str]:
    if edition < 2017:
        return _small_120(
            load, breaker_a
        ), f"{edition}: only 120 V receptacles of 15 and 20 A in listed places"
    three_phase = load.phases == 3 and load.volts == 208 and breaker_a <= 100
    return (_low_to_ground(load) and breaker_a <= 50) or three_phase, (
        "from 2017: 150 V or less to ground, single-phase up to 50 A and three-phase up to 100 A"
    )
