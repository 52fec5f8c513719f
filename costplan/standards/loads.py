"""Loads of services, feeders and motors, and breakers of autotransformers (NFPA 70 215, 220, 430 Part II, 450.4)."""

from decimal import Decimal

from costplan.standards import tables
from costplan.standards.overcurrent import largest_standard_size_a, next_standard_size_a

RULES = "nfpa70_load_rules"


def rule_value(rule: str) -> Decimal:
    """The value of a rule of the table; its first column names them. Raises LookupError."""
    return Decimal(tables.look_up(RULES, {"rule": rule}, "value"))


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
