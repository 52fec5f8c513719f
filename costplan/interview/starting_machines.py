"""Machines and quotes, as a first shop file has them."""

from collections.abc import Iterator

from costplan.files.quantities import parse_number
from costplan.interview.answers import Answers, name_of_quote
from costplan.interview.machine_line import MachineAnswer, panel_of
from costplan.interview.ranges_told import three_of
from costplan.interview.told_facts import Now, Quote, Told
from costplan.interview.untold_distances import untold_words
from costplan.model.choices import LoadKind, Method
from costplan.model.yaml_text import quoted

ONE_AT_A_TIME = "one at a time"


def moves_in_turn(answers: Answers) -> bool:
    """Whether machines move in turn, all over the shop."""
    return any(parse_number(each) != 0 for each in three_of(answers.moves_per_year))


def figure(text: str) -> str:
    """An answer as the file has it; a range is a list."""
    return text if len(three_of(text)) > 1 else quoted(text)


def guessed_middle(text: str, indent: str) -> Iterator[str]:
    """The comment beside a range: what its three are."""
    if len(three_of(text)) > 1:
        yield f"{indent}# Low, likely and high; the likely one is a guess, half way between unless you said three."


def panel_name(machine: MachineAnswer, answers: Answers) -> str:
    """The name of the panel its distance is from; empty in a shop without."""
    panel = panel_of(machine, answers.panels)
    return panel.name if panel is not None else ""


def lengths(machine: MachineAnswer) -> str:
    """Its two lengths as a route has them."""
    return f"fixed: {quoted(machine.fixed_text)}, cord: {quoted(machine.cord_text)}"


def machine_lines(answers: Answers) -> Iterator[str]:
    """The machines, each with all that was told of it."""
    said = {word for machine in answers.machines for word, _ in _facts(machine, answers)}
    plated = any(machine.plated for machine in answers.machines)
    more = [(word, line) for word, line in _WORTH_ADDING if word not in said and plated]
    if more:
        yield "# Worth adding to a machine, for a count: of each one alike:"
        yield from (f"#   {line}" for _, line in more)
    if "now" not in said and answers.panels and plated:
        panel = quoted(answers.panels[0].name)
        example = f"method: armored drop, panel: {panel}, configuration: NEMA 6-20, breaker: 20 A, awg: '12'"
        yield "# and the circuit it has today:"
        yield f"#   now: {{{example}}}"
    not_told = [words.partition(";")[0] for words in untold_words(answers.machines, answers.panels)]
    yield from (f"# {words[:1].upper()}{words[1:]}." for words in not_told)
    if not_told:
        yield "# Measure it; then such a machine stands at a place (at:), and routes have one from each panel to that place."
    yield "machines:"
    for machine in answers.machines:
        yield f"  - name: {quoted(machine.name)}"
        yield from (f"    {word}: {text}" for word, text in _facts(machine, answers))


_WORTH_ADDING = (
    ("plug", "plug: NEMA 6-20       the plug it came with; without it the cord has bare ends"),
    ("never_moves", "never_moves: true     bolted down"),
    ("load", "load: heater          or welder, or other such as a computer; a motor unless you say so"),
    ("continuous", "continuous: true      runs three hours or more at full load"),
    ("own_cord", "own_cord: 8 ft        length of the cord it came with, 6 ft unless you say so"),
    ("full_load_hours", "full_load_hours: 80   a year; until one says so, electricity counts for nothing"),
)


def _facts(machine: MachineAnswer, answers: Answers) -> Iterator[tuple[str, str]]:
    """Everything a machine's entry says after its name, by its word."""
    told = machine.told
    if machine.count != 1:
        yield "count", str(machine.count)
    if machine.place:
        yield "at", quoted(machine.place)
    elif machine.plated:
        yield "route", f"{{panel: {quoted(panel_name(machine, answers))}, {lengths(machine)}}}"
    if machine.plated:
        yield "volts", quoted(machine.volts_text)
    if machine.phases != 1:
        yield "phases", str(machine.phases)
    yield from ((word, quoted(text)) for word, text in machine.loads)
    yield from _told(told)
    if any(machine.name in names for names in answers.room.turns):
        yield "takes_turns", ONE_AT_A_TIME if len(answers.room.turns) == 1 else _group(machine, answers)
    if told.now is not None:
        yield "now", _now(machine, told.now, panel_name(machine, answers))
    if told.quotes and machine.plated:
        yield "ways", "{from_catalog: true}"


def _group(machine: MachineAnswer, answers: Answers) -> str:
    number = next(index for index, names in enumerate(answers.room.turns, 1) if machine.name in names)
    return f"{ONE_AT_A_TIME} {number}"


def _told(told: Told) -> Iterator[tuple[str, str]]:
    """What a line says of a machine itself beside its nameplate."""
    if told.load not in (None, LoadKind.MOTOR):
        yield "load", str(told.load)
    texts = (
        ("plug", told.plug),
        ("least_heat", told.least_heat),
        ("duty_cycle", told.duty_cycle),
        ("effective_amps", told.effective),
        ("own_cord", told.own_cord),
        ("full_load_hours", told.full_load_hours),
        ("arrives", told.arrives),
        ("leaves", told.leaves),
    )
    facts = (
        ("never_moves", told.never_moves),
        ("continuous", told.continuous),
        ("unattended", told.unattended),
        ("starts_by_itself", told.starts_by_itself),
        ("in_measured_peak", told.ran or None),
    )
    yield from ((word, quoted(text)) for word, text in texts if text is not None)
    yield from ((word, str(holds).lower()) for word, holds in facts if holds is not None)


def _now(machine: MachineAnswer, now: Now, panel: str) -> str:
    words = [f"method: {now.method}", f"panel: {quoted(panel)}"]
    if now.receptacle is not None:
        words.append(f"configuration: {quoted(now.receptacle)}")
    words.append(f"breaker: {now.breaker}")
    if machine.poles != 2:
        words.append(f"poles: {machine.poles}")
    if now.awg is not None:
        words.append(f"awg: '{now.awg}'")
    if machine.phases == 3:
        words.append("conductors: 3")
    return f"{{{', '.join(words)}}}"


def quote_lines(answers: Answers) -> Iterator[str]:
    """The ways that somebody quoted."""
    quotes = [(machine, quote) for machine in answers.machines for quote in machine.told.quotes]
    yield "# A whole way of wiring as somebody quoted it, for each machine; one with a quote has no other unless it says"
    yield "# ways: {from_catalog: true}."
    if not quotes:
        first = f"machines: [{quoted(answers.machines[0].name)}]"
        yield "# quoted_ways:"
        yield f"#   - {{name: quoted cord, method: cord, {first}, put_in: {{money: 450.00}}, move: {{money: 80.00}}}}"
        return
    if any(quote.method is Method.CORD and quote.move is None for _, quote in quotes):
        yield "# A cord goes along with its machine: write what that costs as money of its move."
    if answers.lease is not None and answers.lease.take_out:
        yield "# What taking a fixed drop out costs when the lease ends is written as take_out: {money: 60.00}."
    yield "quoted_ways:"
    for machine, quote in quotes:
        yield f"  - {{{', '.join(_quote(machine, quote, answers))}}}"


def _quote(machine: MachineAnswer, quote: Quote, answers: Answers) -> Iterator[str]:
    yield f"name: {quoted(name_of_quote(machine, quote))}"
    yield f"method: {quote.method}"
    yield f"machines: [{quoted(machine.name)}]"
    if machine.plated:
        yield f"panel: {quoted(panel_name(machine, answers))}"
        yield f"poles: {machine.poles}"
    yield f"put_in: {{money: {quoted(quote.money)}}}"
    moves = machine.told.moves is not None or (moves_in_turn(answers) and not machine.told.never_moves)
    if quote.move is not None:
        yield f"move: {{money: {quoted(quote.move)}}}"
    elif quote.method is Method.CORD and moves:
        yield "move: {money: 0.00}"
