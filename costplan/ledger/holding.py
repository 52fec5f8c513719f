"""Words that name ways: for holding a machine to them, and for strategies."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.options import Option, Survey
from costplan.model import labels
from costplan.model.choices import DROPS
from costplan.model.quotes import EVERY, FIXED_DROP

_PRINTED = (labels.LABELS, labels.SHORT)


class UnknownWordsError(ValueError):
    """Words that name no machine or no way; `reasons` say so one by one, each with what there is."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons


def written(facts: Facts, machine: str) -> str:
    """The name the user wrote for a machine: `lathes` for `lathes 1-7`."""
    return facts.group_of.get(machine, machine)


def names_of(way: Way) -> tuple[str, ...]:
    """The exact words that name a way, the most telling first; each may be followed by its panel."""
    names = [way.group, way.in_words(labels.KEYS, at_any_volts=True)]
    if way.quoted:
        names += [way.quoted, str(way.method)]
    if way.method in DROPS:
        names.append(FIXED_DROP)
    return tuple(dict.fromkeys(names))


def _as_printed(way: Way) -> tuple[str, ...]:
    """The same as screens have them."""
    printed = [way.in_words(words, at_any_volts=any_) for words in _PRINTED for any_ in (False, True)]
    return (*printed, labels.LABELS.methods[way.method]) if way.quoted else tuple(printed)


def means(words: str, way: Way) -> bool:
    """Whether the words name the way: its group, a quoted way's name or method, fixed drop, and perhaps its panel.

    `from PANEL` alone means any way from there.
    """
    source = f"from {way.panel}"
    return words == source or any(
        words in (name, f"{name} {source}", f"{name}, {source}")
        for name in (*names_of(way), *_as_printed(way))
    )


def known_ways(survey: Survey, machine: str) -> list[Way]:
    """All ways of a machine, those that cannot be built included."""
    return [option.way for option in survey.options[machine]] + [
        entry.way for entry in survey.unbuildable if entry.machine == machine
    ]


def words_by_machine(
    facts: Facts, survey: Survey, asked: Mapping[str, str], *, all_must: bool = True
) -> dict[str, str]:
    """For every machine that is named, or all where * is, the words for it.

    all_must: whether * names a way of every machine it is for; otherwise some may have no such way.
    Raises UnknownWordsError when a name is no machine's, or words name no way of the machine.
    """
    machines = {
        machine: written(facts, machine) for machine in survey.options if machine not in facts.not_powered
    }
    known = {EVERY, *machines, *machines.values(), *(entry.machine for entry in facts.left_out)}
    reasons = [
        f'there is no machine "{name}"; there are {", ".join(sorted(set(machines.values())))}'
        for name in asked
        if name not in known
    ]
    found = {}
    somebody = EVERY in asked and any(
        means(asked[EVERY], way) for machine in machines for way in known_ways(survey, machine)
    )
    for machine, name in machines.items():
        words = asked.get(machine, asked.get(name, asked.get(EVERY)))
        if words is None:
            continue
        ways = known_ways(survey, machine)
        everyone = not all_must and somebody and machine not in asked and name not in asked
        if everyone or any(means(words, way) for way in ways):
            found[machine] = words
        else:
            reasons.append(f'{name} has no way "{words}"; it could be {_could_be(ways)}')
    if reasons:
        raise UnknownWordsError(list(dict.fromkeys(reasons)))
    return found


def _could_be(ways: Iterable[Way]) -> str:
    names = sorted({name for way in ways for name in names_of(way)})
    panels = sorted({way.panel for way in ways if way.panel})
    after = f', each also followed by "from PANEL", or that alone ({", ".join(panels)})' if panels else ""
    return (", ".join(names) or "nothing at all") + after


def _held_back(option: Option, words: str) -> Option:
    if option.refused is not None:
        return option
    return replace(option, refused=f'held to "{words}" by you', held_back=True)


def held_survey(survey: Survey, held: Mapping[str, str]) -> Survey:
    """The survey with every other way of a held machine refused; held: machine → words that name its ways."""
    options = dict(survey.options)
    for machine, words in held.items():
        options[machine] = tuple(
            option if means(words, option.way) else _held_back(option, words) for option in options[machine]
        )
    unbuildable = tuple(
        entry
        for entry in survey.unbuildable
        if entry.machine not in held or means(held[entry.machine], entry.way)
    )
    return replace(survey, options=options, unbuildable=unbuildable)
