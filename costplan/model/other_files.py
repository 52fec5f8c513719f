"""Files given in one another's place: bids where the shop is asked for, the shop where bids are."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from costplan.files.problems import At, Problem
from costplan.files.yaml_reader import YamlFile
from costplan.model.base import Entry, words_of

OTHER_SORT = "file-other-sort"
"""The code of the problem of such a file."""
_OF_A_CATALOG = "a catalog is named by its folder: catalog: in the shop file, or --catalog"


@dataclass(frozen=True, slots=True)
class _Sort:
    """A sort of file: what it is called, and how it is named to a command."""

    called: str
    mend: str
    beside: frozenset[str] = frozenset()
    """Words that may stand beside its own, and in files of other sorts too."""


_SORTS: Mapping[str, _Sort] = {
    "shop": _Sort("a shop file", "a shop file comes right after the command"),
    "bids": _Sort("a file of bids", "bids are named by --bids, or by bids_file: in the shop file"),
    "parts": _Sort("the parts.yaml of a catalog", _OF_A_CATALOG),
    "kinds": _Sort("the kinds.yaml of a catalog", _OF_A_CATALOG),
    "suppliers": _Sort("the suppliers.yaml of a catalog", _OF_A_CATALOG),
    "tasks": _Sort("the labor.yaml of a catalog", _OF_A_CATALOG, frozenset({"crews", "hour_factors"})),
    "recipes": _Sort("the recipes.yaml of a catalog", _OF_A_CATALOG),
    "jobs": _Sort("the jobs.yaml of a catalog", _OF_A_CATALOG),
}
"""Sorts of files by the word that each of them has at its top."""


def another_file(file: YamlFile, model: type[Entry]) -> Problem | None:
    """What to say of a file that is plainly one of another sort than the model; None where it may be one of its own."""
    data: Collection[str] = file.data or ()
    needed = {
        alias
        for (_, alias), field in zip(words_of(model), model.model_fields.values(), strict=True)
        if field.is_required()
    }
    known = {alias for _, alias in words_of(model)}
    found = [word for word in _SORTS if word in data and word not in needed]
    if not found or needed & set(data) or known & set(data) - {*found, *_SORTS[found[0]].beside}:
        return None
    own, wanted = next(
        (item for item in _SORTS.items() if item[0] in needed), ("", _Sort("another file", ""))
    )
    is_one = _SORTS[found[0]]
    message = f"looks like {is_one.called}; {wanted.called} is wanted here"
    mend = f"{is_one.mend}; is the name the right one?"
    if wanted.mend == is_one.mend:
        mend = f"was it saved under another's name? What belongs here begins with {own}:"
    return Problem(OTHER_SORT, At(file.places.path), "", message, mend)
