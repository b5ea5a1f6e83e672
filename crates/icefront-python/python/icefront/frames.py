"""Answers as tables: one row per observation, the unit at the end of each column's name."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["flat", "frame", "frame_of_csv", "label", "rows_of_csv"]

# the longest first
UNITS = (
    "m_per_s", "kg_per_h", "kg_per_day", "kg_per_kwh", "per_kwh", "kwh", "kj", "kg", "ml", "mm", "m2", "pa", "h", "c", "g",
)


def flat(group: Mapping[str, Any]) -> dict[str, Any]:
    """A group as one row: ``time_h.food_ready.low`` becomes ``time_food_ready_low_h``. Lists of groups are left out."""
    return {_column(path): value for path, value in _leaves(group, ())}


def frame(rows: Iterable[Mapping[str, Any]]) -> pd.DataFrame:
    """Rows as a DataFrame; a number that is not known is NaN."""
    made: pd.DataFrame = _pandas().DataFrame([dict(row) for row in rows])
    for column in made.columns:
        if made[column].isna().all():
            made[column] = made[column].astype(float)
    return made


def label(column: str) -> str:
    """A column as the label of an axis: ``depth_mm`` becomes ``depth, mm``."""
    unit = next((u for u in UNITS if column.endswith("_" + u)), None)
    words = column[: -len(unit) - 1] if unit else column
    return words.replace("_", " ") + (f", {unit}" if unit else "")


def frame_of_csv(text: str) -> pd.DataFrame:
    """A table of the library as a DataFrame."""
    read: pd.DataFrame = _pandas().read_csv(io.StringIO(text))
    return read


def rows_of_csv(text: str) -> list[dict[str, str]]:
    """The same without pandas."""
    return list(csv.DictReader(io.StringIO(text)))


def _pandas() -> Any:
    try:
        import pandas
    except ImportError as missing:
        raise ImportError("DataFrames need pandas: pip install 'icefront[frames]'") from missing
    return pandas


def _leaves(value: Any, path: tuple[str, ...]) -> Iterable[tuple[tuple[str, ...], Any]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves(inner, (*path, key))
    elif isinstance(value, list):
        if not any(isinstance(inner, (Mapping, list)) for inner in value):
            yield path, ", ".join(map(str, value))
    else:
        yield path, value


def _column(path: tuple[str, ...]) -> str:
    unit, words = "", []
    for key in path:
        found = next((u for u in UNITS if key.endswith("_" + u)), None)
        unit = found or unit
        words.append(key[: -len(found) - 1] if found else key)
    if words[-1] in ("verdict", "currency") or "ratio" in words:
        unit = ""
    return "_".join([*words, unit] if unit else words)
