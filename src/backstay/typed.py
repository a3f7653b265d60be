"""The few names of `typing` that stand on the way of one answer, without its price.

To a type checker these are the names of `typing`. At run time importing `typing` and making its named tuples costs as
much as all else that a start does, so here `Any` is a plain name, and a named tuple is made without compiling anything:
the same tuple with the same fields, defaults and methods, a little slower to make with keywords.
"""

from __future__ import annotations

TYPE_CHECKING = False

if TYPE_CHECKING:
    from typing import Any as Any
    from typing import NamedTuple as NamedTuple
    from typing import NoReturn as NoReturn
    from typing import TextIO as TextIO
else:
    from _collections import _tuplegetter

    Any = NoReturn = TextIO = object

    _tuple = tuple.__new__

    def _maker(fields, usual):
        size, tail = len(fields), tuple(usual.values())

        def make(cls, /, *values, **named):
            lacking = size - len(values)
            if named:
                values += _named(cls, fields[len(values) :], usual, named)
            elif lacking:
                if not 0 < lacking <= len(tail):
                    raise TypeError(f"{cls.__name__} takes {', '.join(fields)}")
                values += tail[-lacking:]
            return _tuple(cls, values)

        return make

    def _named(cls, fields, usual, named):
        if not named.keys() <= set(fields):
            raise TypeError(f"{cls.__name__} takes {', '.join(cls._fields)}, each once")
        try:
            return tuple([named[field] if field in named else usual[field] for field in fields])
        except KeyError as error:
            raise TypeError(f"{cls.__name__} needs {error}") from None

    @classmethod
    def _make(cls, values):
        new = _tuple(cls, values)
        if len(new) != len(cls._fields):
            raise TypeError(f"{cls.__name__} takes {', '.join(cls._fields)}")
        return new

    def _replace(self, /, **named):
        values = map(named.pop, self._fields, self)
        new = _tuple(type(self), values)
        if named:
            raise TypeError(f"{type(self).__name__} has no {', '.join(named)}")
        return new

    def _asdict(self):
        return dict(zip(self._fields, self, strict=True))

    def _plain(self):
        return tuple(self)

    def _shown(self):
        return f"{type(self).__name__}({', '.join(f'{name}={value!r}' for name, value in self._asdict().items())})"

    class _Maker(type):
        """Makes a class with annotated fields a tuple; the fields are read by the same getters as those of others."""

        def __new__(cls, name, bases, space):
            fields = tuple(space.get("__annotations__", ()))
            usual = {field: space.pop(field) for field in fields if field in space}
            made = {
                "__slots__": (),
                "__new__": _maker(fields, usual),
                "__repr__": _shown,
                "__getnewargs__": _plain,
                "__match_args__": fields,
                "_fields": fields,
                "_field_defaults": usual,
                "_make": _make,
                "_replace": _replace,
                "_asdict": _asdict,
            }
            for place, field in enumerate(fields):
                made[field] = _tuplegetter(place, None)
            return type(name, (tuple,), {**made, **space})

    NamedTuple = type.__new__(_Maker, "NamedTuple", (), {})
