"""What the functions of icefront return."""

from __future__ import annotations

import hashlib
import html
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, Optional, Union, overload

from . import answers
from ._native import Answer
from .charts import Chart, axes, number
from .errors import Error
from .frames import flat, frame, frame_of_csv, label, rows_of_csv
from .group import Drawn, Group

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

__all__ = [
    "Comparison", "Dryers", "Evidence", "Explanation", "Foods", "Lesson", "Plan", "Prefreezing", "Result", "Sweep", "Update",
]


class Result(Group):
    """An answer: keys as attributes, words as ``text``, charts as ``charts``, tables by ``to_frame()``.

    Units are in the names: ``_h`` hours, ``_c`` degrees Celsius, ``_kwh``, ``_kg``, ``_pa``, ``_mm``; shares and chances
    go from 0 to 1.
    """

    def __init__(self, native: Answer) -> None:
        super().__init__(json.loads(native.json()))
        self._native = native
        self._known: dict[str, Any] = {}

    def __getstate__(self) -> dict[str, Any]:
        known = {"text": self.text, "html": self._html(), "charts": self.charts, "table": self._table()}
        return {"_data": self._data, "_known": known}

    def _once(self, what: str, compute: Any) -> Any:
        if what not in self._known:
            self._known[what] = compute()
        return self._known[what]

    def _html(self) -> str:
        return str(self._once("html", lambda: self._native.text(True)))

    def _table(self) -> Optional[str]:
        found: Optional[str] = self._once("table", lambda: self._native.table())
        return found

    @property
    def text(self) -> str:
        """The answer in words, as the command ``icefront`` prints it."""
        return str(self._once("text", lambda: self._native.text(False)))

    @property
    def charts(self) -> dict[str, Chart]:
        """The library's own charts by name, as SVG."""
        made: dict[str, Chart] = self._once("charts", lambda: {c[0]: Chart(*c) for c in self._native.charts()})
        return made

    def __str__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        first = next(iter(self.charts.values()), None)
        return f'<div class="icefront">{self._html()}{first.html() if first else ""}</div>'


class Plan(Result, answers.PlanAnswer):
    """How long a batch takes, what it needs and what to watch out for. Returned by :func:`icefront.plan`."""

    def to_frame(self, of: Literal["trays", "load", "measure_first"] = "trays") -> pd.DataFrame:
        """A DataFrame of the trays (one row each, from the bottom), of the load (one row), or of the measurements that would
        narrow the range (one row each, the best first). Units are at the end of the columns' names, as in
        ``dry_at_median_h``."""
        if of == "trays":
            return frame(flat(tray) for tray in self._data["trays"])
        if of == "load":
            return frame([flat(_of_load(self._data))])
        return frame(flat(one) for one in (self._data.get("range") or {}).get("measure_first", []))

    def history(self) -> pd.DataFrame:
        """The run over time: one row per time (``time_h``), a group of columns for each tray (``tray_1_front_c``)."""
        return frame_of_csv(self._table() or "")

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Ice left on each tray (share of the ice at the start, 0 to 1) over time (h)."""
        rows = rows_of_csv(self._table() or "")
        ax = axes(ax, "Ice left on each tray", "Time, h", "Ice left, share")
        for i, tray in enumerate(self.trays, 1):
            left = [number(row[f"tray_{i}_ice_left_frac"]) for row in rows]
            ax.plot([number(row["time_h"]) for row in rows], left, label=f"{tray.tray}, {tray.food}")
        ax.legend()
        return ax


class Comparison(Result, answers.ComparisonAnswer):
    """Loads side by side. Returned by :func:`icefront.compare`."""

    def to_frame(self) -> pd.DataFrame:
        """One row per load, the first of which the others are compared with."""
        return frame(flat(one) for one in self._data["loads"])

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Time until the food of each load is ready (h): median, with 8 in 10 samples within the bars."""
        ax = axes(ax, "Food ready", "Time, h", "")
        _bars(ax, [(load.name, load.time_h.food_ready) for load in self.loads if load.time_h])
        return ax


class Explanation(Result, answers.ExplanationAnswer):
    """Why a batch takes so long. Returned by :func:`icefront.explain`."""

    def to_frame(self, of: Literal["this_tray", "usable", "twice_as_good"] = "this_tray") -> pd.DataFrame:
        """A DataFrame of the tray as it is, thin, thick, lean and fatty; of the usable shelf temperatures and pressures; or of
        what would be gained if one thing were twice as good. One row each."""
        rows = self._data["usable"]["cells"] if of == "usable" else self._data[of]
        return frame(flat(row) for row in rows)

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Share of each resistance between shelf and refrigerant, mean over primary drying (0 to 1)."""
        ax = axes(ax, f"Resistances of {self.tray}, {self.food}", "Share", "")
        shares = {key: share for key, share in self._data["resistance_share"].items() if share}
        ax.barh([key.replace("_", " ") for key in shares], list(shares.values()))
        return ax


class Prefreezing(Result, answers.PrefreezingAnswer):
    """Freeze outdoors, in a freezer, or in the machine. Returned by :func:`icefront.prefreeze`."""

    def to_frame(self, of: Literal["ways", "trays"] = "ways") -> pd.DataFrame:
        """One row per way to freeze, or one row per way and tray."""
        ways = self._data["ways"]
        if of == "trays":
            return frame({"way": way, **flat(tray)} for way in ways for tray in ways[way]["trays"])
        return frame({"way": way, **flat(ways[way])} for way in ways)

    def history(self) -> pd.DataFrame:
        """The night outdoors over time, one row per time."""
        return frame_of_csv(self._table() or "")

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Electricity of the dryer (kWh) for each way."""
        ax = axes(ax, "Electricity of the dryer", "Energy, kWh", "")
        ways = self._data["ways"]
        ax.barh(list(ways), [number(way["energy_kwh"]["typical_run"]) for way in ways.values()])
        return ax


class Update(Result, answers.UpdateAnswer):
    """A plan updated by readings. Returned by :func:`icefront.update`."""

    def to_frame(self) -> pd.DataFrame:
        """One row per tray, with the range of its end before and after the readings (h)."""
        return frame(flat(tray) for tray in self._data["trays"])

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Time until the food is ready (h) before and after the readings."""
        ax = axes(ax, "Food ready", "Time, h", "")
        _bars(ax, [("with the readings", self.food_ready_h.after), ("by the sheet alone", self.food_ready_h.before)])
        return ax


class Lesson(Result, answers.LessonAnswer):
    """What finished batches teach about a machine. Returned by :func:`icefront.learn`."""

    @property
    def dryer_file(self) -> str:
        """The dryer file with what was learned, as TOML text."""
        return self._table() or ""

    def save(self, path: Union[str, os.PathLike[str]]) -> None:
        """Writes the dryer file; name it as ``dryer`` in a sheet. An existing file stays as it is.

        Raises:
            FileExistsError: if there is such a file already.
        """
        with Path(path).open("x", encoding="utf-8") as file:
            file.write(self.dryer_file)

    def to_frame(self, of: Literal["batches", "accuracy", "learned"] = "batches") -> pd.DataFrame:
        """One row per batch, per kind of reading, or per unknown of machine and foods."""
        return frame(flat(row) for row in self._data[of])

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Predicted over noted end of each batch (h), with the dryer as entered and from all other batches."""
        ax = axes(ax, "End of each batch", "Noted, h", "Predicted, h")
        noted = [number(batch.ended_h) for batch in self.batches]
        ax.scatter(noted, [number(b.as_entered_h) for b in self.batches], label="as entered")
        ax.scatter(noted, [number(b.from_others_h) for b in self.batches], label="from the other batches")
        ax.axline((0, 0), slope=1, color="grey", linewidth=0.8)
        ax.legend()
        return ax


class _Catalogue(Result):
    """A list that can be looked through."""

    _list = ""

    def to_frame(self) -> pd.DataFrame:
        """One row per entry."""
        return frame(flat(row) for row in self._data[self._list])

    @property
    def text(self) -> str:
        """The entries by name, one a line."""
        return "\n".join(str(row.get("description") or row.get("name")) for row in self._data[self._list])

    def _html(self) -> str:
        return "<ul>" + "".join(f"<li>{html.escape(line)}</li>" for line in self.text.splitlines()) + "</ul>"


class Foods(_Catalogue, answers.FoodsAnswer):
    """Foods of the table. Returned by :func:`icefront.foods`."""

    _list = "foods"


class Dryers(_Catalogue, answers.DryersAnswer):
    """The built-in dryers; all are invented. Returned by :func:`icefront.dryers`."""

    _list = "dryers"


class Evidence(Result, answers.EvidenceAnswer):
    """Predictions beside what was published. Returned by :func:`icefront.evidence`."""

    def to_frame(self) -> pd.DataFrame:
        """One row per published figure; its unit is in the column ``unit``."""
        return frame(flat(row) for row in self._data["rows"])

    def plot(self, ax: Optional[Axes] = None) -> Axes:
        """Predicted over published drying times (h)."""
        ax = axes(ax, "Drying times", "Published, h", "Predicted, h")
        rows = [row for row in self.rows if row.group == "drying, experiments" and row.unit == "h"]
        pairs = [(r.published, r.predicted) for r in rows if r.predicted]
        ax.scatter([number(p.value) for p, _ in pairs], [number(p.value) for _, p in pairs])
        ax.axline((0, 0), slope=1, color="grey", linewidth=0.8)
        return ax


Swept = Union[answers.PlanAnswer, Error]


class Sweep(Sequence[Swept]):
    """The answers to many loads in their order. Returned by :func:`icefront.sweep`."""

    def __init__(self, results: Sequence[Swept], at: Mapping[str, Sequence[Any]]) -> None:
        self._results = list(results)
        self.at = {name: list(values) for name, values in at.items()}
        """What distinguishes the loads: one value for each, by name."""

    @overload
    def __getitem__(self, index: int) -> Swept: ...

    @overload
    def __getitem__(self, index: slice) -> list[Swept]: ...

    def __getitem__(self, index: Union[int, slice]) -> Union[Swept, list[Swept]]:
        return self._results[index]

    def __len__(self) -> int:
        return len(self._results)

    def __iter__(self) -> Iterator[Swept]:
        return iter(self._results)

    def __repr__(self) -> str:
        return f"Sweep({len(self)} loads, {len(self.errors)} refused)"

    @property
    def errors(self) -> dict[int, Error]:
        """Loads that were refused, by their number from 0."""
        return {i: result for i, result in enumerate(self._results) if isinstance(result, Error)}

    def to_dicts(self) -> list[dict[str, Any]]:
        """Each answer as plain data; ``{"error": message}`` for a load that was refused."""
        return [{"error": r.message} if isinstance(r, Error) else r.to_dict() for r in self._results]

    def digest(self) -> str:
        """SHA-256 of all answers: equal digests, equal answers."""
        lines = "\n".join(json.dumps(answer) for answer in self.to_dicts())
        return hashlib.sha256(lines.encode()).hexdigest()

    def _at(self, i: int) -> dict[str, Any]:
        return {name: values[i] for name, values in self.at.items()}

    def to_frame(self) -> pd.DataFrame:
        """One row per load: first the columns of ``at``, then time, energy, water, cost and chances of trouble. A load that
        was refused has its message in ``error``."""
        rows = []
        for i, result in enumerate(self._results):
            answer = {"error": result.message} if isinstance(result, Error) else flat(_of_load(result.to_dict()))
            rows.append({**self._at(i), **answer})
        return frame(rows)

    def plot(self, x: Optional[str] = None, ax: Optional[Axes] = None) -> Axes:
        """Time until the food is ready (h) over a column of ``at``, the first if none is named: median, and a band with 8 in 10
        of the samples."""
        name = x or next(iter(self.at), "load")
        xs = self.at.get(name, list(range(len(self))))
        ax = axes(ax, "Time until the food is ready", label(name), "Time, h")
        ready = [(at, r.time_h.food_ready) for at, r in zip(xs, self._results) if not isinstance(r, Error)]
        line = [at for at, _ in ready]
        banded = any(q.low is not None for _, q in ready)
        middle = "median" if banded else "typical run, no samples"
        ax.plot(line, [number(q.middle) for _, q in ready], marker="o", label=middle)
        if banded:
            low, high = [number(q.low) for _, q in ready], [number(q.high) for _, q in ready]
            ax.fill_between(line, low, high, alpha=0.25, label="8 in 10")
        ax.legend()
        return ax


def _of_load(answer: Mapping[str, Any]) -> dict[str, Any]:
    """What an answer says of the whole load."""
    row = {key: answer[key] for key in ("time_h", "energy_kwh", "water_kg", "cost")}
    drawn = answer.get("range")
    return {**row, "chance": drawn["chance"], "samples": drawn["draws"]} if drawn else row


def _bars(ax: Axes, rows: Sequence[tuple[str, Drawn]]) -> None:
    for place, (_, q) in enumerate(reversed(rows)):
        ax.plot([number(q.low), number(q.high)], [place, place], color="C0")
        ax.plot([number(q.median)], [place], "o", color="C0")
    ax.set_yticks(range(len(rows)), [name for name, _ in reversed(rows)])
