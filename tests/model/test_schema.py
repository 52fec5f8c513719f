import json
from collections.abc import Iterator

from costplan.model.loading import CATALOG_FILES
from costplan.model.schema import catalog_schema, shop_schema


def properties(schema: object) -> Iterator[tuple[str, object]]:
    if isinstance(schema, dict):
        found = schema.get("properties")
        if isinstance(found, dict):
            yield from found.items()
        for value in schema.values():
            yield from properties(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from properties(value)


def test_schema_speaks_the_words_of_the_file() -> None:
    words = {name for name, _ in properties(shop_schema())}

    assert {"shop", "amps", "own_cord", "from", "ceiling_height"} <= words
    assert not {"amps_a", "own_cord_ft", "start"} & words


def test_every_word_is_described() -> None:
    for schema in (shop_schema(), catalog_schema()):
        undescribed = [name for name, field in properties(schema) if "description" not in dict(field)]  # type: ignore[call-overload]
        assert undescribed == []


def test_schemas_are_json_and_refuse_unknown_words() -> None:
    assert json.loads(json.dumps(shop_schema()))["additionalProperties"] is False
    assert set(CATALOG_FILES) <= set(json.loads(json.dumps(catalog_schema()))["$defs"])
