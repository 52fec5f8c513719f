"""Loads of services, feeders and motors, and breakers of autotransformers (NFPA 70 215, 220, 430 Part II, 430.62, 450.4)."""

from collections.abc import Sequence
from decimal import Decimal

from costplan.standards import tables
from costplan.standards.overcurrent import largest_standard_size_a, next_standard_size_a

RULES = "nfpa70_load_rules"


def rule_value(rule: str) -> Decimal:
    """The value of a rule of the table; its first column names them. Raises LookupError."""
    return Decimal(tables.look_up(RULES, {"rule": rule}, "value"))


def cite_rule(rule: str) -> str:
    """Where a rule stands, for printing beside a figure worked out by it. Raises LookupError."""
    source = tables.sources()[RULES]
    return f"{source.title} {source.edition}, {tables.look_up(RULES, {'rule': rule}, 'section')}"


def motor_disconnect_a(full_load_a: Decimal) -> Decimal:
    """Least rating in amperes of the disconnect of a motor, from its full-load current. Source: NFPA 70 430.110(A)."""
    return full_load_a * rule_value("motor disconnect")


def autotransformer_breaker_a(input_a: Decimal) -> int:
    """The largest breaker ahead of an autotransformer, in amperes, from its own rated full-load input current.

    125 % of that or the next standard size up; below 9 A at most 167 %. Raises LookupError beyond the list of sizes.
    Source: NFPA 70 450.4(A), from memory.
    """
    if input_a < rule_value("autotransformer small input"):
        return largest_standard_size_a(input_a * rule_value("autotransformer breaker, small"))
    return next_standard_size_a(input_a * rule_value("autotransformer breaker"))


def appliance_breaker_a(current_a: Decimal) -> int:
    """The largest breaker of a single appliance that is no motor and whose plate names none, in amperes.

    20 A up to 13.3 A, above that 150 %, or the next standard size where that is none. Raises LookupError beyond the list of
    sizes. Source: NFPA 70 422.11(E), from memory.
    """
    if current_a <= rule_value("appliance small current"):
        return int(rule_value("appliance breaker, small"))
    return next_standard_size_a(current_a * rule_value("appliance breaker"))


def existing_demand_factor() -> Decimal:
    """What a measured maximum demand is multiplied by when load is added to it.

    Source: NFPA 70 220.87, which asks for a year's record or, by its exception, 30 days on a recorder.
    """
    return rule_value("existing demand")


def existing_demand_a(measured_peak_a: Decimal) -> Decimal:
    """Amperes that count for the existing load of a service or feeder whose maximum was measured.

    Source: NFPA 70 220.87.
    """
    return measured_peak_a * existing_demand_factor()


def continuous_factor() -> Decimal:
    """What a continuous load is multiplied by on feeders and services.

    Source: NFPA 70 215.2(A)(1)(a), 215.3 and 230.42(A)(1), from memory.
    """
    return rule_value("continuous load")


def largest_motor_factor() -> Decimal:
    """Share of the largest motor's current that is added to the sum of all. Source: NFPA 70 430.24."""
    return rule_value("largest motor")


def motor_feeder_a(motor_currents_a: Sequence[Decimal], other_a: Decimal = Decimal(0)) -> Decimal:
    """Least ampacity in amperes of conductors that feed several motors and other load.

    `motor_currents_a` are full-load currents from the tables (430.6(A)(1)); `other_a` is all other load, its
    continuous part already at 125 %. Without motors it is the other load alone. Source: NFPA 70 430.24.
    """
    largest_a = max(motor_currents_a, default=Decimal(0))
    return sum(motor_currents_a, other_a) + largest_a * largest_motor_factor()


def motor_feeder_limit_a(
    branch_devices_a: Sequence[Decimal | int],
    motor_currents_a: Sequence[Decimal],
    other_a: Decimal = Decimal(0),
) -> Decimal:
    """Amperes that the short-circuit device of a feeder to motors may not exceed.

    The largest branch device, the full-load currents of all other motors, and the other load. Of motors with
    equal devices the one with the smallest current is left out, as Annex D Example D8 does.
    `branch_devices_a` and `motor_currents_a` name the same motors in the same order. Raises ValueError when
    they differ in length or are empty.
    Source: NFPA 70 430.62(A) and 430.63; 430.62(B), for feeders made larger on purpose, is left out.
    """
    motors = sorted(
        zip(branch_devices_a, motor_currents_a, strict=True), key=lambda motor: (-motor[0], motor[1])
    )
    if not motors:
        raise ValueError("has no motors; a feeder device without motors follows 215.3")
    (device_a, _), *others = motors
    return sum((current_a for _, current_a in others), other_a) + device_a


def motor_feeder_device_a(
    branch_devices_a: Sequence[Decimal | int],
    motor_currents_a: Sequence[Decimal],
    other_a: Decimal = Decimal(0),
    edition: int | None = None,
) -> int:
    """The largest standard device not above `motor_feeder_limit_a`: 430.62 has no next size up.

    Raises ValueError as that does, and LookupError below the smallest size. Source: NFPA 70 430.62, 240.6(A).
    """
    limit_a = motor_feeder_limit_a(branch_devices_a, motor_currents_a, other_a)
    return largest_standard_size_a(limit_a, edition)


def noncoincident_motor_factor(edition: int | None = None) -> Decimal:
    """Factor on a motor among loads that do not run together, when it is not the largest of them.

    None stands for an unknown edition and takes the newer, heavier rule. Source: NFPA 70 220.60, since 2020.
    """
    row = tables.find_row(RULES, {"rule": "noncoincident motor"})
    older = edition is not None and edition < int(row["first_edition"])
    return Decimal(1) if older else Decimal(row["value"])
