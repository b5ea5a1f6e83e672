"""Groups of an answer: JSON objects whose keys are attributes."""

from __future__ import annotations

import copy
import difflib
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, Optional

__all__ = ["Group", "Drawn", "Predicted"]


class Group(Mapping[str, Any]):
    """Part of an answer. Keys are attributes and items: ``plan.time_h.food_ready`` or ``plan["time_h"]["food_ready"]``.

    A key that Python has another use for gets an underscore as an attribute: ``food.class_``, ``load.values_``. The unit of a
    number is in its key, or in that of its group: all of ``time_h`` is in hours. A number that is not known is
    ``None``.
    """

    _parts: ClassVar[Mapping[str, type[Group]]] = {}
    _lists: ClassVar[tuple[str, ...]] = ()
    _keys: ClassVar[tuple[str, ...]] = ()

    def __init__(self, data: Mapping[str, Any]) -> None:
        self._data = dict(data)

    def __getitem__(self, key: str) -> Any:
        return _wrapped(self._data[key], self._parts.get(key, Group))

    def __iter__(self) -> Iterator[str]:
        return iter(self._data)

    def __len__(self) -> int:
        return len(self._data)

    if not TYPE_CHECKING:  # a type checker knows the keys, and reports others

        def __getattr__(self, name: str) -> Any:
            if name.startswith("_"):
                raise AttributeError(name)
            if name.endswith("_"):
                name = name[:-1]
            if name in self._data:
                return self[name]
            if name in self._lists:
                return []
            if name in self._keys:
                return None
            near = difflib.get_close_matches(name, [*self._data, *self._keys], n=1)
            hint = f"; did you mean `{near[0]}`?" if near else f"; it has {', '.join(self._data)}"
            raise AttributeError(f"{type(self).__name__} has no `{name}`{hint}")

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *self._data]

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{key}={_short(value)}' for key, value in self._data.items())})"

    def __getstate__(self) -> dict[str, Any]:
        return {"_data": self._data}

    def __setstate__(self, state: dict[str, Any]) -> None:
        self.__dict__.update(state)

    def to_dict(self) -> dict[str, Any]:
        """The same as plain dicts, lists, numbers and text, to be written as JSON."""
        return copy.deepcopy(self._data)


class Drawn(Group):
    """A quantity over the samples: one sample in ten is below ``low``, half are below ``median``, one in ten is above ``high``.

    A value of ``None`` means never, or not known.
    """

    _keys: ClassVar[tuple[str, ...]] = ("low", "median", "high")
    low: Optional[float]
    median: Optional[float]
    high: Optional[float]


class Predicted(Drawn):
    """A predicted quantity: its value in one run (``typical_run``), and its range over the samples.

    With samples, ``typical_run`` belongs to the sample nearest to the median, and sums hold exactly for it; without samples
    (``samples=0``) it is the run of typical numbers, and ``low``, ``median`` and ``high`` are ``None``.
    """

    _keys: ClassVar[tuple[str, ...]] = ("low", "median", "high", "typical_run")
    typical_run: Optional[float]

    @property
    def middle(self) -> Optional[float]:
        """The median, or the typical run where no samples were made."""
        return self.median if "median" in self else self.typical_run


def _wrapped(value: Any, kind: type[Group]) -> Any:
    if isinstance(value, dict):
        return kind(value)
    if isinstance(value, list):
        return [_wrapped(inner, kind) for inner in value]
    return value


def _short(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(value) + "}"
    if isinstance(value, list):
        return f"[{len(value)}]"
    return f"{value:.4g}" if isinstance(value, float) else repr(value)
