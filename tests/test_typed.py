"""The light named tuple is what `typing` makes of the same class, in all that is used of one."""

from __future__ import annotations

import copy
import pickle
import typing
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay import typed


class Light(typed.NamedTuple):
    """A tuple."""

    name: str
    size: int = 3
    parts: tuple[str, ...] = ()

    @property
    def twice(self) -> int:
        """Have a method of its own."""
        return self.size * 2


class Usual(typing.NamedTuple):
    """A tuple."""

    name: str
    size: int = 3
    parts: tuple[str, ...] = ()

    @property
    def twice(self) -> int:
        """Have a method of its own."""
        return self.size * 2


def made(kind: Any, values: list[Any], named: dict[str, Any]) -> Any:
    try:
        return kind(*values, **named)
    except TypeError:
        return TypeError


names = st.sampled_from(["name", "size", "parts", "other"])


@given(
    st.lists(st.integers(), max_size=4), st.dictionaries(names, st.integers()), st.dictionaries(names, st.integers())
)
def test_it_is_made_and_changed_like_the_usual_one(
    values: list[Any], named: dict[str, Any], changes: dict[str, Any]
) -> None:
    light, usual = made(Light, values, named), made(Usual, values, named)
    assert light == usual
    if usual is TypeError:
        return
    assert light._asdict() == usual._asdict()
    assert repr(light) == repr(usual).replace("Usual", "Light")
    assert (light.name, light.size, light.parts, light.twice) == (usual.name, usual.size, usual.parts, usual.twice)
    try:
        changed = usual._replace(**changes)
    except (TypeError, ValueError):
        with pytest.raises(TypeError):
            light._replace(**changes)
    else:
        assert light._replace(**changes) == changed


def test_it_is_a_tuple_that_cannot_be_changed() -> None:
    light = Light("a")
    assert isinstance(light, tuple)
    assert light == ("a", 3, ())
    assert hash(light) == hash(("a", 3, ()))
    for name in ("name", "other"):
        with pytest.raises(AttributeError):
            setattr(light, name, 1)
    match light:
        case Light(name, size):
            assert (name, size) == ("a", 3)


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one)), Light._make])
def test_it_can_be_copied(again: Any) -> None:
    light = Light("a", 4, ("b",))
    assert again(light) == light
    assert type(again(light)) is Light


def test_it_says_of_itself_what_the_usual_one_says() -> None:
    assert (Light._fields, Light._field_defaults) == (Usual._fields, Usual._field_defaults)
    assert Light.__annotations__.keys() == Usual.__annotations__.keys()
    assert (Light.__doc__, Light.__name__, Light.__module__) == (Usual.__doc__, "Light", Usual.__module__)
    with pytest.raises(TypeError):
        Light._make(["a", 1, (), 4])
