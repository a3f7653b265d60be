"""Schemas: the format as JSON Schema, made from the models, so that editors complete keys and underline mistakes.

    schema(kind, base) -> the schema of a file of that kind     kind: one of kinds()
    put_schemas(folder, base)                                   all of them into the folder, where editors find them

A schema says the shape: keys, types, bounds, values from short lists. What needs the rest of the knowledge, names above
all, only `check` can say.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue

from backstay.knowledge.base import Base
from backstay.knowledge.example_format import ExampleEntry
from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.files import put
from backstay.knowledge.format import BaseFile, listed, worded
from backstay.knowledge.kinds import KINDS
from backstay.knowledge.shapes import Offers, offers, shapes

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = ".schemas"  # hidden, so that it is no knowledge itself
BOUND_NAMES = MappingProxyType({"ge": "minimum", "gt": "exclusiveMinimum", "le": "maximum", "lt": "exclusiveMaximum"})


def kinds() -> tuple[str, ...]:
    """All kinds of files that have a schema, each named as its folder or file."""
    return ("base", "exercises", *KINDS, "examples")


def schema(kind: str, base: Base | None = None) -> dict[str, Any]:
    """Return the schema of a file of this kind; it offers the names of a knowledge and refuses no other."""
    offered = Offers({}, ()) if base is None else offers(base)
    if kind == "base":
        made = _of(BaseFile)
    elif kind == "exercises":
        made = _of(ExerciseEntry)
        trains = made["properties"]["trains"]
        (points,) = trains["patternProperties"].values()
        trains["properties"] = dict.fromkeys(offered.qualities, points)
    else:
        heads = {"example": ExampleEntry} if kind == "examples" else KINDS[kind]
        made = _list_of(list(heads.values()))
    read_elsewhere = shapes(kind, offered)
    used: set[str] = set()
    made = _named(made, read_elsewhere, used)
    if "condition" in used:
        used.add("test")
    definitions = {**made.pop("$defs", {}), **{name: read_elsewhere[name] for name in sorted(used)}}
    return {"$schema": DIALECT, "title": kind, **made, **({"$defs": definitions} if definitions else {})}


def modeline(kind: str) -> str:
    """The line that tells an editor where the schema of a file lies, seen from a folder of its kind."""
    return f"# yaml-language-server: $schema=../{FOLDER}/{kind}.json"


def put_schemas(folder: str, base: Base) -> str:
    """Write all schemas into a folder for them below this one, and return it; those that are as they were stay."""
    below = os.path.join(folder, FOLDER)
    os.makedirs(below, exist_ok=True)
    for kind in kinds():
        path = os.path.join(below, f"{kind}.json")
        text = written(schema(kind, base))
        if not _holds(path, text):
            put(path, text)
    return below


def written(made: dict[str, Any]) -> str:
    """Return a schema as the text of its file."""
    return json.dumps(made, indent=1, ensure_ascii=False) + "\n"


def _holds(path: str, text: str) -> bool:
    try:
        with open(path, encoding="utf-8") as stream:
            return stream.read() == text
    except (OSError, UnicodeDecodeError):
        return False


def _of(model: type[BaseModel]) -> JsonSchemaValue:
    return model.model_json_schema(schema_generator=_Shapes)


def _list_of(models: list[type[Any]]) -> dict[str, Any]:
    """A list whose entries are each of one of these models, told apart by their head keys."""
    definitions: dict[str, Any] = {}
    entries = []
    for model in models:
        made = _of(model)
        definitions.update(made.pop("$defs", {}))
        definitions[model.__name__] = made
        entries.append({"$ref": f"#/$defs/{model.__name__}"})
    return {"type": "array", "items": entries[0] if len(entries) == 1 else {"anyOf": entries}, "$defs": definitions}


def _named(made: Any, known: Mapping[str, Any], used: set[str]) -> Any:
    """The schema with references where the models only name what stands there."""
    if isinstance(made, list):
        return [_named(one, known, used) for one in made]
    if not isinstance(made, dict):
        return made
    if set(made) <= {"title", "description", "default"} and made.get("title") in known:
        used.add(made["title"])
        return {"$ref": f"#/$defs/{made['title']}"}
    # Bounds of what is an integer or a decimal come out under the names of the models.
    return {
        BOUND_NAMES.get(key, key) if isinstance(value, int | float) else key: _named(value, known, used)
        for key, value in made.items()
    }


class _Shapes(GenerateJsonSchema):
    """Says of a list that one item does as well, and of a word that a number does; nothing may be left empty."""

    def nullable_schema(self, schema: Any) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: Any) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def dict_schema(self, schema: Any) -> JsonSchemaValue:
        made = super().dict_schema(schema)
        return {**made, "additionalProperties": False} if "patternProperties" in made else made

    def function_before_schema(self, schema: Any) -> JsonSchemaValue:
        made = super().function_before_schema(schema)
        before = schema["function"]["function"]
        if before is listed:
            return {"anyOf": [made["items"], made]}
        if before is worded:
            return {"anyOf": [made, {"type": "number"}]}
        return made
