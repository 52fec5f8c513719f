"""A single-phase motor in the place of a three-phase one: which on sale matches it, and what is not known for that."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Spec, make_spec, word
from costplan.circuits.size_types import NO_FIT, CannotSizeError, Load, MotorFit
from costplan.model.catalog import Part
from costplan.model.nameplate import Enclosure, known_enclosure
from costplan.standards import motor_frames, motors

MOTOR = "motor"
_TO_READ = {
    "rpm": "the speed (rpm:)",
    "frame": "the frame (frame:)",
    "shaft_in": "the shaft (shaft:)",
    "enclosure": "how it is closed (enclosure:)",
}


def other_motor(facts: Facts, load: Load) -> Spec:
    """The single-phase motor that matches a load's own in power, speed, frame, shaft and enclosure.

    Raises CannotSizeError where the plate is not read, nothing matches, or a motor alone would not replace it.
    """
    _one_will_do(load)
    hp, fit = load.hp, load.fit
    if hp is None:
        raise CannotSizeError("its motor can only be replaced when the file states its horsepower; add hp:")
    unread = [words for name, words in _TO_READ.items() if getattr(fit, name) is None]
    if unread:
        raise CannotSizeError(
            f"another motor must match the old one: read {', '.join(unread)} off the plate, or measure; "
            "ask too whether it is face-mounted, built in, or reversed by a switch"
        )
    known = [part for part in facts.parts_by_kind.get(MOTOR, ()) if _of_power(part, load, hp)]
    able = [part for part in known if not any(_misses(part, fit))]
    if not able:
        raise CannotSizeError(
            f"no single-phase motor of {motors.hp_words(hp)} hp at {load.volts} V in the catalog{_why(known, fit)}"
        )
    to_be_had = [part for part in able if part.id in facts.parts_to_be_had]
    if not to_be_had:
        raise CannotSizeError(
            f"no single-phase motor of {motors.hp_words(hp)} hp at {load.volts} V that matches has a price in the catalog"
        )
    best = min(to_be_had, key=lambda part: (_frames(fit).index(_frame(part)), part.id))
    return _spec(load, hp, best)


def swapped(load: Load) -> Load:
    """What the circuit feeds once the motor is another; single-phase motors that it has besides stay."""
    return replace(
        load,
        phases=1,
        amps_a=None,
        maker_breaker_a=None,
        breaker_at_most_a=None,
        plug=None,
        rated=(),
        fed_at="",
        fit=replace(NO_FIT, control_transformer=load.fit.control_transformer),
    )


def _one_will_do(load: Load) -> None:
    """Raises CannotSizeError where one plain motor does not replace what is there."""
    more = [motor.what for motor in load.more if motor.phases == 3]
    if more:
        raise CannotSizeError(
            f"another motor leaves its other three-phase motors without power: {', '.join(more)}; "
            "they take a converter, or single-phase motors of their own"
        )
    if load.fit.two_speed:
        raise CannotSizeError("its motor has two speeds, and a motor with one speed does not replace it")
    if load.fit.brake:
        raise CannotSizeError(
            "its motor has a brake, which is part of its guarding: only a single-phase motor with a brake would replace "
            "it; ask its maker"
        )


def _of_power(part: Part, load: Load, hp: Decimal) -> bool:
    low, high = _powers(hp)
    power = part.attributes.get("hp")
    wanted = {"volts": word(load.volts), "phases": "1"}
    return (
        all(
            name in part.attributes and word(part.attributes[name]) == value for name, value in wanted.items()
        )
        and power is not None
        and low <= Decimal(str(power)) <= high
    )


def _powers(hp: Decimal) -> tuple[Decimal, Decimal]:
    """The horsepower as stated and as the code's table has it, lower and higher: a circuit is sized by the table's."""
    try:
        row = motors.horsepower(motors.full_load_row(hp, 1))
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing
    table = Decimal(row.numerator) / row.denominator
    return min(hp, table), max(hp, table)


def _speeds(rpm: int) -> tuple[Decimal, Decimal]:
    tolerance = motor_frames.speed_tolerance()
    return rpm * (1 - tolerance), rpm * (1 + tolerance)


def _frame(part: Part) -> str:
    return word(part.attributes["frame"]).upper()


def _frames(fit: MotorFit) -> tuple[str, ...]:
    return tuple(frame.upper() for frame in motor_frames.frames_alike((fit.frame or "").strip()))


def _misses(part: Part, fit: MotorFit) -> Iterator[str]:
    """What of a part does not match, in words; what it does not state is no match."""
    have = part.attributes
    low, high = _speeds(fit.rpm or 0)
    if "rpm" not in have or not low <= Decimal(str(have["rpm"])) <= high:
        yield f"{_stated(part, 'rpm')} rpm, not {fit.rpm}"
    if "frame" not in have or _frame(part) not in _frames(fit):
        yield f"frame {_stated(part, 'frame')}, not {fit.frame}"
    if "shaft_in" not in have or Decimal(str(have["shaft_in"])) != fit.shaft_in:
        yield f"shaft {_stated(part, 'shaft_in')} in, not {fit.shaft_in:f}"
    if (
        fit.enclosure is not Enclosure.OPEN
        and known_enclosure(_stated(part, "enclosure")) is not fit.enclosure
    ):
        yield f"{_stated(part, 'enclosure')}, not {fit.enclosure}"


def _stated(part: Part, name: str) -> str:
    return word(part.attributes[name]) if name in part.attributes else "not stated"


def _why(known: Iterable[Part], fit: MotorFit) -> str:
    misses = [f"{part.id}: {', '.join(_misses(part, fit))}" for part in known]
    return f" matches its plate ({'; '.join(misses)}); ask for one that does" if misses else ""


def _spec(load: Load, hp: Decimal, best: Part) -> Spec:
    """What is asked for: the frame of the best that is on sale; a closed motor does where an open one was."""
    fit = load.fit
    (low_hp, high_hp), (low_rpm, high_rpm) = _powers(hp), _speeds(fit.rpm or 0)
    closed = {} if fit.enclosure is Enclosure.OPEN else {"enclosure": best.attributes["enclosure"]}
    return make_spec(
        MOTOR,
        {
            "volts": load.volts,
            "phases": 1,
            "frame": word(best.attributes["frame"]),
            "shaft_in": fit.shaft_in or Decimal(0),
            **closed,
        },
        {"hp": low_hp, "rpm": low_rpm},
        {"hp": high_hp, "rpm": high_rpm},
    )
