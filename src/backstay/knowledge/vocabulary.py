"""Vocabulary: the attributes of all entries made whole, with their values, dotted names and measures."""

from __future__ import annotations

from backstay.knowledge.base import Attribute, Measure
from backstay.knowledge.format import UNITS_OF_FIGURES, AttributeEntry, MeasureEntry
from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor
from backstay.knowledge.slots import FIGURES, MARKS

FROM = {
    "exercises": "exercise", "equipment": "equipment", "muscles": "muscle", "qualities": "quality", "phases": "phase",
}  # fmt: skip
FIELD_KINDS = ("text", "number", "date")
RESERVED = ("not", "some", "all-of", "any-of", "for", "each", "points")
_MEASURE_UNITS = {"percent-apart": "percent", "percent-of": "percent", "ratio": "ratio"}


def attributes(gathered: Gathered) -> dict[str, Attribute]:
    """Every attribute by name: those of entries, their dotted parts, and measures."""
    found: dict[str, Attribute] = {}
    for item in gathered.of("attribute"):
        if item.id in (*RESERVED, *MARKS, *FIGURES):
            what, follow = f"`{item.id}` is a word of rules and phrases.", "Call it something else."
            item.cursor.at("attribute").error("reserved", what, follow)
            gathered.broken.setdefault("attribute", set()).add(item.id)
            continue
        attribute = _attribute(item, gathered)
        found[attribute.name] = attribute
        for part in _parts(attribute):
            found[part.name] = part
    for item in gathered.of("measure"):
        model: MeasureEntry = item.model
        if model.measure in found:
            item.cursor.at("measure").error("taken", f"`{model.measure}` is an attribute already.")
            continue
        found[model.measure] = Attribute(
            model.measure, "number", unit=_MEASURE_UNITS.get(model.as_, ""), says=model.says, measure=True
        )
    return dict(sorted(found.items()))


def measures(gathered: Gathered, known: dict[str, Attribute]) -> dict[str, Measure]:
    """The measures whose two numbers exist."""
    found: dict[str, Measure] = {}
    for item in gathered.of("measure"):
        model: MeasureEntry = item.model
        good, units = True, set()
        for name in item.cursor.at("of").items():
            attribute = known.get(name.value)
            if attribute is None or attribute.kind != "number" or attribute.measure:
                good = False
                if attribute is not None or "attribute" not in gathered.unsure:
                    hint = nearest(name.value, (other for other, one in known.items() if one.kind == "number"))
                    name.error("not-a-number", f"`{name.value}` is no number that can be said.", hint)
            else:
                units.add(attribute.unit)
        if len(units) > 1:
            good = False
            item.cursor.at("of").error(
                "wrong-unit", f"these are counted in {listing(sorted(units))}.", "Compare like with like."
            )
        if good:
            found[model.measure] = Measure(model.measure, (model.of[0], model.of[1]), model.as_)
    return dict(sorted(found.items()))


def _attribute(item: Item, gathered: Gathered) -> Attribute:
    model: AttributeEntry = item.model
    cursor = item.cursor
    values = _values(item, gathered)
    for key, kinds in (
        ("unit", ("number", "map")),
        ("keys", ("map",)),
        ("keys-from", ("map",)),
        ("fields", ("records",)),
        ("values", ("one", "many", "map")),
        ("values-from", ("one", "many", "map")),
    ):
        if cursor.has(key) and model.kind not in kinds:
            cursor.key_error(key, "does-not-fit", f"`{key}` does not fit an attribute of kind `{model.kind}`.")
    keys = tuple(model.keys)
    if model.keys_from:
        keys += _listed(model.keys_from, cursor.at("keys-from"), gathered)
    if model.kind == "map" and not keys and not gathered.unsure:
        cursor.error("missing-key", "a map needs `keys` or `keys-from`.")
    if model.kind == "records" and not model.fields_:
        cursor.error("missing-key", "records need `fields`.")
    for value in cursor.at("cautious").items() if cursor.has("cautious") else ():
        if model.kind == "number":
            if value.value not in ("lowest", "highest"):
                value.error("unknown-value", "of a number, `lowest` or `highest` is the most cautious.")
        elif str(value.value) not in values and not gathered.unsure:
            value.error(
                "unknown-value",
                f"`{value.value}` is not a value of `{model.attribute}`.",
                nearest(str(value.value), values),
            )
    fields = tuple((name, _field(cursor.at("fields", name), gathered)) for name in model.fields_)
    return Attribute(
        model.attribute,
        model.kind,
        values,
        model.unit or "",
        tuple(model.cautious),
        model.shown,
        model.says,
        keys,
        fields,
    )


def _values(item: Item, gathered: Gathered) -> tuple[str, ...]:
    model: AttributeEntry = item.model
    values = dict.fromkeys(model.values)
    if len(values) < len(model.values):
        twice = next(value for value in model.values if model.values.count(value) > 1)
        item.cursor.at("values").error("same-value", f"`{twice}` stands here twice.", "Keep one.")
    for name in item.cursor.at("values-from").items() if model.values_from else ():
        values.update(dict.fromkeys(_listed(name.value, name, gathered)))
    return tuple(values)


def _listed(name: str, cursor: Cursor, gathered: Gathered) -> tuple[str, ...]:
    """What a `values-from` or `keys-from` stands for: the ids of a kind, or the values of another attribute."""
    if name in FROM:
        return tuple(sorted(gathered.ids(FROM[name])))
    other = gathered.items.get("attribute", {}).get(name)
    if other is None:
        if "attribute" not in gathered.unsure and name not in gathered.broken.get("attribute", ()):
            hint = nearest(name, [*FROM, *gathered.ids("attribute")])
            cursor.error("unknown-attribute", f"there is no attribute `{name}` to take values from.", hint)
        return ()
    values = dict.fromkeys(other.model.values)
    for further in other.model.values_from:
        if further in FROM:
            values.update(dict.fromkeys(sorted(gathered.ids(FROM[further]))))
        else:
            cursor.error(
                "values-from-twice",
                f"`{name}` takes values from `{further}` itself.",
                f"Name `{further}` here as well.",
            )
    return tuple(values)


def _field(cursor: Cursor, gathered: Gathered) -> str:
    """What a field of records holds: text, number, date, a unit, or the values of a kind or an attribute."""
    known = (*FIELD_KINDS, *UNITS_OF_FIGURES, *FROM, *sorted(gathered.ids("attribute")))
    if cursor.value not in known:
        cursor.error(
            "unknown-value", f"`{cursor.value}` is nothing that a field can hold.", nearest(str(cursor.value), known)
        )
        return "text"
    return str(cursor.value)


def _parts(attribute: Attribute) -> list[Attribute]:
    name, shown = attribute.name, attribute.shown
    if attribute.kind == "map":
        kind = "many" if attribute.values else "number"
        return [
            Attribute(f"{name}.{key}", kind, attribute.values, attribute.unit, shown=shown, of=name)
            for key in attribute.keys
        ]
    parts = []
    for field, holds in attribute.fields:
        number = holds == "number" or holds in UNITS_OF_FIGURES
        unit = holds if holds in UNITS_OF_FIGURES else ""
        parts.append(Attribute(f"{name}.{field}", "number" if number else "many", unit=unit, shown=shown, of=name))
    return parts
