"""A part of a catalog's files as texts: some of its parts, at one supplier, with breaker families as panels' labels say."""

import csv
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from io import StringIO

from costplan.model.catalog import SURPLUS, Condition
from costplan.model.yaml_text import quoted

_PART = re.compile(r"  - \{id: ([^,]+),")
_SUPPLIER = re.compile(r"  - id: (\S+)")


def relabelled(parts: str, offers: str, labels: Mapping[str, str]) -> tuple[str, str]:
    """parts.yaml and offers.csv with breaker families named as labels say; `labels` are families by label.

    Where two labels mean one family, the second has parts of its own. A family of the catalog whose name is the label of
    another is left out, so that the two do not mix.
    """
    taken: set[str] = set()
    lines, header, rows = parts.splitlines(), *_rows(offers)
    named_alike = {label for label, family in labels.items() if label != family} - set(labels.values())
    out = [line for line in lines if any(f'family: "{label}"' in line for label in named_alike)]
    gone = {found[1] for line in out if (found := _PART.match(line)) is not None}
    lines, rows = [line for line in lines if line not in out], [row for row in rows if row[0] not in gone]
    added: list[str] = []
    for number, (label, family) in enumerate(labels.items()):
        if label == family:
            taken.add(family)
            continue
        again = f"-{number + 1}" if family in taken else ""
        taken.add(family)
        of_family = [line for line in parts.splitlines() if f'family: "{family}"' in line]
        if not again:
            lines = [_labelled(line, family, label) for line in lines]
            continue
        for line in of_family:
            found = _PART.match(line)
            assert found is not None
            added.append(_labelled(line.replace(found[1], found[1] + again, 1), family, label))
            rows += [[row[0] + again, *row[1:]] for row in rows if row[0] == found[1]]
    return "\n".join([*lines, *added]) + "\n", _written(header, rows)


def _labelled(line: str, family: str, label: str) -> str:
    """A part's line with the label in its attribute, and in its words where they stand between commas."""
    words = label if label.lower().startswith(("as on ", "family ")) else f"family {label}"
    named = line.replace(f", {family},", f", {words},")
    return named.replace(f'family: "{family}"', f"family: {quoted(label)}")


def only(parts: str, kept: Collection[str]) -> str:
    """parts.yaml with these parts only; headings of sections that have none are left out."""
    lines: list[str] = []
    heading: list[str] = []
    for line in parts.splitlines():
        found = _PART.match(line)
        if found is None:
            heading = [*heading, line] if line.startswith("  #") else []
            if not line.startswith("  #") and (line.strip() or not lines):
                lines.append(line)
        elif found[1] in kept:
            lines += [*heading, line]
            heading = []
    return "\n".join(lines) + "\n"


def sold_by(offers: str, supplier: str, kept: Collection[str], used: Collection[str]) -> str:
    """offers.csv with what one supplier sells of these parts, new at a price and as many as one likes.

    Of those that may be used, used ones at a price as well, whoever has them.
    """
    header, rows = _rows(offers)
    column = {name: index for index, name in enumerate(header)}

    def stays(row: Sequence[str]) -> bool:
        if row[column["part"]] not in kept or not row[column["price"]]:
            return False
        new = row[column["supplier"]] == supplier and row[column["condition"]] == Condition.NEW
        surplus = row[column["condition"]] in SURPLUS and row[column["part"]] in used
        return (new and not row[column["available"]]) or surplus

    return _written(header, [row for row in rows if stays(row)])


def sellers_of(offers: str) -> frozenset[str]:
    """Ids of the suppliers in an offers.csv."""
    header, rows = _rows(offers)
    return frozenset(row[header.index("supplier")] for row in rows)


def some_suppliers(suppliers: str, kept: Collection[str]) -> str:
    """suppliers.yaml with these suppliers only."""
    return "\n".join(_some_suppliers(suppliers.splitlines(), kept)) + "\n"


def _some_suppliers(lines: Sequence[str], kept: Collection[str]) -> Iterator[str]:
    here = True
    for line in lines:
        found = _SUPPLIER.match(line)
        if found is not None:
            here = found[1] in kept
        if here:
            yield line


def _rows(text: str) -> tuple[list[str], list[list[str]]]:
    header, *rows = csv.reader(StringIO(text))
    return header, rows


def _written(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    written = StringIO()
    csv.writer(written, lineterminator="\n").writerows([header, *rows])
    return written.getvalue()
