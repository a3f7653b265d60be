"""Explaining: what pydantic found, as problems a coach understands, at the place where it stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from backstay.knowledge.problems import Problem, listing, nearest
from backstay.knowledge.reading import Cursor

Model = TypeVar("Model", bound=BaseModel)

_TYPES = {
    "string_type": "text",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "float_type": "a number",
    "list_type": "a list",
    "dict_type": "a mapping (keys and values)",
    "model_type": "a mapping (keys and values)",
    "model_attributes_type": "a mapping (keys and values)",
}


def checked(model: type[Model], cursor: Cursor, subject: str) -> Model | None:
    """The entry as a model, or None with its problems noted; `subject` names it in them, as "an exercise"."""
    try:
        return model.model_validate(cursor.value)
    except ValidationError as error:
        cursor.notes.extend(_problems(error, model, cursor, subject))
        return None


def _problems(error: ValidationError, model: type[BaseModel], cursor: Cursor, subject: str) -> Iterable[Problem]:
    taken = {(note.file, note.line, note.column) for note in cursor.notes}
    by_place: dict[tuple[int, int], list[tuple[Any, tuple[str | int, ...]]]] = {}
    found_all = error.errors(include_url=False, include_context=True, include_input=True)
    mistyped = _mistyped(found_all)
    for one in found_all:
        if one["type"] == "missing" and one["loc"] in mistyped:
            continue  # it is there, mistyped, and that is said
        path = _path(cursor.value, one["loc"])
        if one["type"] in ("missing", "extra_forbidden"):
            path = tuple(one["loc"]) if one["type"] == "extra_forbidden" else path
        unknown_key = one["type"] == "extra_forbidden" or one["loc"][-1:] == ("[key]",)
        marks = cursor.marks.find(path)
        place = cursor.marks.place_of_key(path) if unknown_key else (marks.line, marks.column)
        if (cursor.file, *place) in taken and not unknown_key:
            continue  # the reader has said what is wrong at this place
        by_place.setdefault(place, []).append((one, path))
    for (line, column), found in by_place.items():
        # A value that fits none of several shapes gives one message for each; a missing key is told for each key.
        single = [pair for pair in found if pair[0]["type"] in ("missing", "extra_forbidden")] or found[:1]
        if len(found) > 1 and single == found[:1]:
            single = [_best(found)]
        for one, path in single:
            code, what, follow = _told(one, path, model, subject, [pair[0] for pair in found])
            yield Problem(cursor.file, line, column, code, what, follow)


def _mistyped(found: Iterable[Mapping[str, Any]]) -> set[tuple[str | int, ...]]:
    """The missing keys that stand there under a name like theirs."""
    places: dict[str, list[tuple[str | int, ...]]] = {"missing": [], "extra_forbidden": []}
    for one in found:
        places.get(one["type"], []).append(one["loc"])
    return {
        missing
        for missing in places["missing"]
        if any(
            key[:-1] == missing[:-1] and nearest(str(key[-1]), [str(missing[-1])]) for key in places["extra_forbidden"]
        )
    }


def _best(found: list[tuple[Any, tuple[str | int, ...]]]) -> tuple[Any, tuple[str | int, ...]]:
    """Of several failures at one place the one that says most."""
    return max(found, key=lambda pair: (pair[0]["type"] not in _TYPES, -len(pair[1])))


def _path(value: Any, loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """The part of pydantic's `loc` that is a path through the value: names of union members are left out."""
    path: list[str | int] = []
    for step in loc:
        in_list = isinstance(value, list) and isinstance(step, int) and step < len(value)
        if in_list or (isinstance(value, dict) and step in value):
            value = value[step]
        else:
            continue
        path.append(step)
    return tuple(path)


def _model_at(model: type[BaseModel], path: tuple[str | int, ...]) -> type[BaseModel]:
    """The model of the mapping at the end of a path."""
    for step in path:
        for name, field in model.model_fields.items():
            if step == (field.alias or name):
                model = next(_models_in(field.annotation), model)
                break
    return model


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _models_in(part)


def _told(
    one: Mapping[str, Any], path: tuple[str | int, ...], model: type[BaseModel], subject: str, others: list[Any]
) -> tuple[str, str, str]:
    kind, given, context = one["type"], one["input"], one.get("ctx") or {}
    key = str(one["loc"][-1]) if one["loc"] else ""
    where = f"`{'.'.join(str(step) for step in path)}`" if path else "the entry"
    if kind == "extra_forbidden":
        inside = f" in `{path[-2]}`" if len(path) > 1 and isinstance(path[-2], str) else ""
        fields = _model_at(model, path[:-1]).model_fields
        known = sorted(field.alias or name for name, field in fields.items())
        return "unknown-key", f"`{key}` is not a key of {subject}{inside}.", nearest(key, known)
    if kind == "missing":
        return "missing-key", f"`{key}` is missing in {subject if len(path) == 0 else where}.", "Write it."
    if kind == "literal_error":
        known = [word.strip("' ") for word in str(context.get("expected", "")).replace(" or ", ", ").split(",")]
        hint = nearest(str(given), known) if isinstance(given, str) else ""
        return (
            "not-one-of",
            f"`{_shown(given)}` is not a value of {where}.",
            hint or f"It is one of {listing(known, 20)}.",
        )
    if kind == "string_pattern_mismatch":
        return "bad-id", f"`{_shown(given)}` is no id.", "An id is lower-case letters and digits, joined by hyphens."
    if kind in ("string_too_short", "string_too_long", "too_short", "too_long"):
        return (
            "wrong-length",
            f"{where} is {'empty or too short' if 'short' in kind else 'too long'}.",
            _bounds(context),
        )
    if kind.startswith(("greater_than", "less_than")):
        return "out-of-bounds", f"`{_shown(given)}` is out of bounds for {where}.", _bounds(context)
    expected = " or ".join(dict.fromkeys(_TYPES[other["type"]] for other in others if other["type"] in _TYPES))
    if expected:
        follow = "Put it in quotes." if expected == "text" and not isinstance(given, dict | list) else ""
        return "wrong-type", f"{where} should be {expected}, not {_kind(given)}.", follow
    return "wrong-value", f"{where}: {str(one['msg']).lower()}.", ""


def _bounds(context: Mapping[str, Any]) -> str:
    words = {
        "ge": "at least", "gt": "more than", "le": "at most", "lt": "less than", "min_length": "at least",
        "max_length": "at most",
    }  # fmt: skip
    parts = [f"{words[name]} {context[name]}" for name in words if name in context]
    return f"It is {' and '.join(parts)}." if parts else ""


def _shown(given: Any) -> str:
    text = str(given).lower() if isinstance(given, bool) else str(given)
    return text if len(text) <= 60 else f"{text[:57]}…"


def _kind(given: Any) -> str:
    if isinstance(given, bool):
        return "true or false"
    if isinstance(given, int | float):
        return "a number"
    if isinstance(given, str):
        return "text"
    if isinstance(given, list):
        return "a list"
    return "a mapping" if isinstance(given, dict) else "nothing"
