"""Every example in a message is something that the file may hold: it is read by the model that it is an example of."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any

import pytest
from pydantic import create_model

from costplan.files.yaml_reader import parse_yaml
from costplan.model.base import Entry
from costplan.model.bids import BidsFile
from costplan.model.loading import CATALOG_FILES, JobsFile
from costplan.model.plate_figures import parse_amps
from costplan.model.samples import example_of, section_to_paste, strip
from costplan.model.shop import Shop

FILES = (Shop, *CATALOG_FILES.values(), JobsFile, BidsFile)


def models(start: type[Entry], seen: set[type[Entry]]) -> Iterator[type[Entry]]:
    if start in seen:
        return
    seen.add(start)
    yield start
    for field in start.model_fields.values():
        for kind in kinds(field.annotation):
            if isinstance(kind, type) and issubclass(kind, Entry):
                yield from models(kind, seen)


def kinds(annotation: Any) -> Iterator[Any]:
    for kind in strip(annotation):
        yield kind
        for inner in getattr(kind, "__args__", ()):
            yield from kinds(inner)


SEEN: set[type[Entry]] = set()
FIELDS = [(model, name) for file in FILES for model in models(file, SEEN) for name in model.model_fields]


@pytest.mark.parametrize(("model", "name"), FIELDS, ids=lambda part: getattr(part, "__name__", part))
def test_the_example_of_a_field_is_read(model: type[Entry], name: str) -> None:
    field = model.model_fields[name]
    if name == "plate_amps":
        assert parse_amps(example_of(model, name), ((Decimal(240),),)) == ((Decimal("12.8"),),)
        return
    written = parse_yaml(f"x: {example_of(model, name)}", "x.yaml")

    assert not written.problems
    assert written.data is not None
    metadata = tuple(field.metadata) or ("none",)
    alone = create_model("Alone", __base__=Entry, x=(Annotated[(field.annotation, *metadata)], ...))
    alone.model_validate(written.data, by_alias=True, by_name=False)


@pytest.mark.parametrize("file", FILES)
def test_a_missing_section_has_lines_to_paste(file: type[Entry]) -> None:
    wanted = [name for name, field in file.model_fields.items() if field.is_required()]
    pasted = "\n".join(section_to_paste(file, file.model_fields[name].alias or name) for name in wanted)
    read = parse_yaml(pasted, "x.yaml")

    assert not read.problems
    assert set(file.model_validate(read.data, by_alias=True, by_name=False).model_fields_set) == set(wanted)
