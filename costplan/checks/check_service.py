"""Rules over the service: its rating, what gear changes of it, and its measured peak."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.gear import GearKind, MeasuredPeak, PowerService
from costplan.model.pair import Pair, Rule, plain
from costplan.model.system import line_current_a

OLDEST_PEAK_DAYS = 365
LOW_POWER_FACTOR = Decimal("0.85")
"""The power factor of a shop with motors that messages reckon an example with; common practice, no source."""


def service_makes_sense(pair: Pair) -> Iterator[Problem]:
    """The measured peak is within the service, was read before today, and long enough."""
    service = pair.shop.service
    for index, gear in enumerate(pair.shop.gear):
        needs = gear.kind in (GearKind.UPGRADE, GearKind.MANAGER, GearKind.MAIN)
        if needs and service is None:
            message = f"is a {gear.kind}, but the shop file does not say what the service is"
            yield pair.in_shop(
                "gear-no-service", ("gear", index, "kind"), message, "add service: with its amps:"
            )
        elif gear.to_a is not None and service is not None and gear.to_a <= service.amps_a:
            message = f"is {plain(gear.to_a)} A, no more than the {plain(service.amps_a)} A there are"
            yield pair.in_shop("upgrade-small", ("gear", index, "to"), message, "write the rating afterwards")
    if service is None or service.measured_peak is None:
        return
    peak = service.measured_peak
    trail: Trail = ("service", "measured_peak")
    yield from _power_factor(pair, service, peak, trail)
    peak_a = service.peak_a or Decimal(0)
    if peak_a > service.amps_a:
        of_kw = "" if peak.power_kw is None else f"{plain(peak.power_kw)} kW, "
        message = f"is {of_kw}{peak_a:.1f} A a line, above the service's {plain(service.amps_a)} A"
        mend = "read the meter again: one line's amperes, not the sum of both; or write the service's rating"
        yield pair.in_shop("peak-above-service", (*trail, "kw" if of_kw else "amps"), message, mend)
    if peak.seen > pair.shop.today:
        message = f"is {peak.seen}, after today, {pair.shop.today}"
        yield pair.in_shop("peak-later", (*trail, "seen"), message, "write the day the reading ended")
    age_days = (pair.shop.today - peak.seen).days
    if age_days > OLDEST_PEAK_DAYS:
        message = f"is {peak.seen}, {age_days} days before today; NEC 220.87 looks at the last year"
        yield pair.in_shop("peak-old", (*trail, "seen"), message, "measure again", question=True)
    if peak.days < 30:
        message = f"is {peak.days} days; NEC 220.87 asks for a year's record, or 30 days on a recording meter"
        yield pair.in_shop("peak-short", (*trail, "days"), message, "record longer", question=True)


def _power_factor(pair: Pair, service: PowerService, peak: MeasuredPeak, trail: Trail) -> Iterator[Problem]:
    """Kilowatts are amperes only with their power factor, and amperes have none."""
    if peak.power_kw is None and peak.power_factor is not None:
        message = "is said, but amps: are amperes whatever it is"
        mend = "leave it out, or write kw: in place of amps:"
        yield pair.in_shop("peak-power-factor", (*trail, "power_factor"), message, mend)
    if peak.power_kw is not None and peak.power_factor is None:
        at_one_a, usual_a = (
            line_current_a(service.system, peak.power_kw, factor) for factor in (Decimal(1), LOW_POWER_FACTOR)
        )
        message = (
            f"is {plain(peak.power_kw)} kW, without its power factor: on {service.system} that is {at_one_a:.1f} A a line at a "
            f"power factor of 1, {usual_a:.1f} A at {LOW_POWER_FACTOR:f}"
        )
        mend = (
            "add power_factor: from the bill or the meter (kW / kVA); where the bill has kVA write them as kw: with "
            "power_factor: 1; or write amps: of the most loaded line"
        )
        yield pair.in_shop("peak-power-factor", (*trail, "kw"), message, mend)


RULES: tuple[Rule, ...] = (service_makes_sense,)
"""What must hold of the service."""
