"""Rules over recipes: none lists what sizing brings to its work anyway."""

from collections.abc import Iterator, Mapping

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import (
    BESIDE_BY_CABLE,
    BESIDE_IN_CONDUIT,
    HARD_WIRED_LEAD,
    HEATER_LEAD,
    MACHINE_LEAD,
    MACHINE_SWITCH,
)
from costplan.model.pair import Pair, Rule

_IN_CONDUIT = frozenset({"conduit", "building wire"})
_ARMORED = frozenset({"armored cable"})
_BREAKER = frozenset({"breaker"})
_SWITCH = frozenset({"disconnect", "fused disconnect"})
_CORD_ENDS = frozenset({"plug", "connector"})
SIZED: Mapping[str, frozenset[str]] = {
    "wall drop": frozenset({"building cable"}),
    "conduit drop": _IN_CONDUIT,
    "armored drop": _ARMORED,
    "ceiling outlet": _ARMORED,
    "outlet beside panel": _ARMORED,
    BESIDE_IN_CONDUIT: _IN_CONDUIT,
    BESIDE_BY_CABLE: frozenset({"building cable"}),
    "feeder": _IN_CONDUIT,
    "receptacle": frozenset({"receptacle"}),
    "change receptacle": frozenset({"receptacle"}),
    "disconnect": _SWITCH,
    MACHINE_SWITCH: _SWITCH,
    HEATER_LEAD: _ARMORED,
    HARD_WIRED_LEAD: _ARMORED,
    MACHINE_LEAD: frozenset({"cord", *_CORD_ENDS}),
    "breaker": _BREAKER,
    "ground-fault breaker": _BREAKER,
    "change breaker": _BREAKER,
    "machine plug": frozenset({"plug"}),
    "cord set": frozenset({"cord", *_CORD_ENDS}),
    "cord end": _CORD_ENDS,
    "change cord end": _CORD_ENDS,
}
"""Kinds of parts that sizing brings to a piece of work, of the size that it needs."""


def sized_parts_are_not_listed(pair: Pair) -> Iterator[Problem]:
    """Questions about parts that a recipe lists although its work has them already, so that they are bought twice."""
    for complain, trail, name, recipe in pair.recipes():
        for index, part in enumerate(recipe.parts):
            if part.kind in SIZED.get(name, frozenset()):
                message = f"comes with every {name} in the size that it needs, so that it is bought twice"
                mend = (
                    "delete the entry; a recipe lists what its work takes besides, as boxes, clips and labels"
                )
                where: Trail = (*trail, "parts", index)
                yield complain("recipe-part-sized", where, message, mend, question=True)


QUESTIONS = frozenset({"recipe-part-sized"})
"""Codes of its questions."""

RULES: tuple[Rule, ...] = (sized_parts_are_not_listed,)
