"""What a load or a table is read from."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Optional, Union

from . import _native
from .errors import InputError

__all__ = ["Load", "Table", "count", "source", "table"]

Load = Union[str, "os.PathLike[str]", Mapping[str, Any], Sequence[str]]
"""A load: the path of a sheet, the text of one, a dict with its keys, or trays in words (one text, or a list of them)."""

Table = Any
"""A table: the path of a CSV file, its text, or a pandas DataFrame with the same columns."""


def source(loads: Sequence[Load], name: str = "sheet", **words: Any) -> _native.Source:
    """Where a load is read from; ``words`` are what else can be said of trays in words."""
    if len(loads) == 1 and not isinstance(loads[0], (str, os.PathLike, Mapping)):
        loads = list(loads[0])
    given = {key: value for key, value in words.items() if value is not None}
    texts = [load for load in loads if isinstance(load, str)]
    if loads and len(texts) == len(loads) and not (len(loads) == 1 and _is_sheet(texts[0])):
        options = [words.get(key) for key in ("dryer", "room", "price_per_kwh", "currency", "servings")]
        return _native.Source.words(texts, *options)
    if given:
        raise _refused(next(iter(given)), "a load sheet has this key itself", "with trays in words")
    if not loads:
        return _native.Source.demonstration()
    if len(loads) > 1:
        raise _refused("load", "several loads at once", "one sheet, or trays in words; `compare` and `sweep` take several")
    load = loads[0]
    if isinstance(load, Mapping):
        try:
            return _native.Source.json(json.dumps({"icefront": 1, **load}, default=_plain, allow_nan=False), name)
        except (TypeError, ValueError) as error:
            raise _refused("load", str(error), "text, numbers, true and false, lists and dicts") from error
    if isinstance(load, str) and "\n" in load:
        return _native.Source.sheet(load, name)
    return _native.Source.file(Path(str(load)))


def table(given: Table, name: str) -> tuple[Path, Optional[str]]:
    """A table as the library takes it: a path, and the text where it is in memory."""
    if hasattr(given, "to_csv"):
        return Path(name), str(given.to_csv(index=False))
    if isinstance(given, str) and "\n" in given:
        return Path(name), given
    return Path(given), None


def count(key: str, value: int, low: int, high: int) -> int:
    """A whole number within its range."""
    if isinstance(value, bool) or not hasattr(value, "__index__") or not low <= value <= high:
        raise _refused(key, f"it is {value!r}", f"a whole number from {low} to {high}", value)
    return int(value)


def _is_sheet(text: str) -> bool:
    return "\n" in text or text.endswith(".toml") or ("," not in text and os.path.isfile(text))


def _plain(value: Any) -> Any:
    if hasattr(value, "item"):
        return value.item()
    raise TypeError(f"{value!r} cannot stand in a sheet")


def _refused(key: str, reason: str, allowed: str, value: Any = None) -> InputError:
    problem = {"title": reason, "key": key, "allowed": allowed, "value": None if value is None else str(value)}
    return InputError(f"`{key}` cannot be used: {reason}; allowed: {allowed}", [problem])
