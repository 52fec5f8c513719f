"""JSON Schemas of what users write, so that an editor completes and checks while they type."""

from typing import Any

from costplan.model.base import Entry
from costplan.model.loading import CATALOG_FILES, JOBS_FILE, JobsFile
from costplan.model.shop import Shop

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def shop_schema() -> dict[str, Any]:
    """The JSON Schema of a shop file, in the words of the file."""
    return {"$schema": _DIALECT, **Shop.model_json_schema(by_alias=True)}


def catalog_schema() -> dict[str, Any]:
    """The JSON Schema of the catalog's YAML files: any of them fits it; each has its own in `$defs`.

    An editor may be pointed at the whole, or at `#/$defs/parts.yaml` and so on.
    """
    definitions: dict[str, Any] = {}
    files: dict[str, type[Entry]] = {**CATALOG_FILES, JOBS_FILE: JobsFile}
    for name, model in files.items():
        schema = model.model_json_schema(by_alias=True)
        definitions.update(schema.pop("$defs", {}))
        definitions[name] = schema
    return {
        "$schema": _DIALECT,
        "title": "Catalog",
        "description": "One of the YAML files of a catalog folder.",
        "anyOf": [{"$ref": f"#/$defs/{name}"} for name in files],
        "$defs": definitions,
    }
