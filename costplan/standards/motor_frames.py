"""Frames, shafts, speeds and volts of motors (NEMA MG 1, from memory, and common practice)."""

from decimal import Decimal

from costplan.standards import tables

FRAMES = "nema_mg1_frames"
RULES = "nema_mg1_rules"
HABITS = "common_practice_motors"


def shaft_of_frame_in(frame: str) -> Decimal | None:
    """Diameter in inches of the shaft of a frame; None for one that the table does not know."""
    row = _row(frame)
    return None if row is None else Decimal(row["shaft_in"])


def frames_alike(frame: str) -> tuple[str, ...]:
    """The frame, and those that share its shaft and height but not the length between its foot holes."""
    row = _row(frame)
    if row is None:
        return (frame,)
    series = [other["frame"] for other in tables.table(FRAMES) if other["foot_series"] == row["foot_series"]]
    return (row["frame"], *(other for other in series if other != row["frame"]))


def volts_tolerance() -> Decimal:
    """How far from its plate's volts a motor may run, as a share of them. Source: NEMA MG 1 12.44, from memory."""
    return Decimal(tables.look_up(RULES, {"rule": "volts tolerance"}, "value"))


def speed_tolerance() -> Decimal:
    """How far the speed of a motor in another's place may be off, as a share; common practice, no source."""
    return Decimal(tables.look_up(HABITS, {"rule": "speed tolerance"}, "value"))


def transformer_tolerance() -> Decimal:
    """How far from a plate's volts a transformer may bring a machine, as a share of them; common practice, no source."""
    return Decimal(tables.look_up(HABITS, {"rule": "transformer volts"}, "value"))


def _row(frame: str) -> tables.Row | None:
    wanted = frame.strip().upper()
    return next((row for row in tables.table(FRAMES) if row["frame"] == wanted), None)
