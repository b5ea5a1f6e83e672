"""How long a tray of food takes to freeze-dry, what it costs, and why.

>>> import icefront
>>> plan = icefront.plan("peas, 12 mm", "strawberries, sliced 8 mm", dryer="0.60 m2", samples=0)
>>> round(plan.time_h.food_ready.typical_run) > 5
True

A load is the path of a load sheet, its text, a dict with its keys, or trays in words. Quantities carry their unit as text
(``"12 mm"``, ``"1/2 in"``, ``"-10 C"``), and a range where they are uncertain (``"10..14 mm"``). Numbers in answers have
their unit in the name of the key: ``time_h``, ``front_max_c``, ``energy_kwh``.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version as _version
from pathlib import Path
from typing import Any, Optional, Union

from . import _native, answers
from .charts import Chart
from .errors import Error, InputError, Problem, RunError
from .group import Drawn, Group, Predicted
from .loads import Load, Table, count, source, table
from .results import (
    Comparison, Dryers, Evidence, Explanation, Foods, Lesson, Plan, Prefreezing, Result, Sweep, Update,
)

__version__ = _version("icefront")
__all__ = [
    "Chart", "Comparison", "Drawn", "Dryers", "Error", "Evidence", "Explanation", "Foods", "Group", "InputError", "Lesson",
    "Load", "Plan", "Predicted", "Prefreezing", "Problem", "Result", "RunError", "Sweep", "Table", "Update", "answers",
    "compare", "dryer", "dryers", "evidence", "explain", "foods", "learn", "log", "plan", "prefreeze", "sheet", "sweep",
    "update",
]

_MOST = 1_000_000
_SEEDS = 2**32 - 1


def plan(
    *load: Load,
    samples: int = 256,
    seed: int = 1,
    threads: Optional[int] = None,
    limits: bool = False,
    dryer: Optional[str] = None,
    room: Optional[str] = None,
    price_per_kwh: Optional[float] = None,
    currency: Optional[str] = None,
    servings: Optional[float] = None,
) -> Plan:
    """Plans a batch: time, energy, cost, water and warnings, with their ranges.

    Args:
        load: A load sheet (path, text or dict), or one text per tray, from the bottom, such as ``"chili, 1/2 in"``. Without
            any, the invented demonstration load.
        samples: How many samples make the ranges, 0 to 1,000,000; 0 runs typical numbers alone. Where a range is uncertain
            by itself, more samples make it sharper, slowly: its error falls with the square root.
        seed: Seed of the samples; the same seed gives the same answer.
        threads: Threads for the samples; one per core without it. The answer does not depend on it.
        limits: Whether to compute how near the load is to the machine's limits (several runs more).
        dryer: With trays in words: a built-in dryer such as ``"0.60 m2"``, or the path of a dryer file.
        room: With trays in words: room temperature, such as ``"20 C"``.
        price_per_kwh: With trays in words: price of 1 kWh, in ``currency``.
        currency: With trays in words: currency of the price.
        servings: With trays in words: servings in the load.

    Returns:
        The plan. ``plan.time_h.food_ready`` has ``low``, ``median``, ``high`` and ``typical_run`` in hours;
        ``plan.trays`` is a list with one entry per tray from the bottom; ``plan.energy_kwh.total`` is in kWh.

    Raises:
        InputError: for a load or a value that cannot be used, with ``key``, ``value`` and ``allowed``.
        RunError: if the run could not be computed.
    """
    asked = source(load, dryer=dryer, room=room, price_per_kwh=price_per_kwh, currency=currency, servings=servings)
    count("samples", samples, 0, _MOST)
    return Plan(_native.plan(asked, samples, count("seed", seed, 0, _SEEDS), _threads(threads), limits))


def sheet(*load: Load, **words: Any) -> str:
    """The load sheet of a load, as TOML text: trays in words or a dict written out in full. Keywords as in :func:`plan`."""
    return source(load, **words).toml()


def compare(
    *loads: Load,
    vary: Optional[Mapping[str, Sequence[Any]]] = None,
    samples: Optional[int] = None,
    seed: int = 1,
    threads: Optional[int] = None,
    independent: bool = False,
    dryer: Optional[str] = None,
    room: Optional[str] = None,
) -> Comparison:
    """Compares loads, and variations of them, with the first, on common samples.

    Args:
        loads: One or more loads; here each argument is a load of its own (a list of texts is one load in words).
        vary: Keys of the sheet with the values to try, such as ``{"depth": ["8 mm", "12 mm"], "room": ["15 C", "25 C"]}``:
            all combinations, at most 64. ``tray.2.depth`` is one tray's, ``dryer.heater.set_point`` the dryer's, and
            ``fill`` the food on every tray over what the sheet says.
        samples: Samples of each load, 8 to 1,000,000. Default: 512 over the number of loads, from 32 to 256.
        seed: Seed of the samples.
        threads: Threads; one per core without it.
        independent: Whether each load gets samples of its own.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.

    Returns:
        The comparison; ``comparison.loads`` has one entry per load, ``comparison.best`` the best of them.

    Raises:
        InputError: for a load, a key or a value that cannot be used.
    """
    several = len(loads) > 1
    sources = []
    for number, load in enumerate(loads, 1):
        is_path = isinstance(load, os.PathLike) or (isinstance(load, str) and load.endswith(".toml"))
        words = source([load], dryer=dryer, room=room)
        sources.append((words, f"load {number}" if several and not is_path else None))
    if not sources:
        sources = [(source([], dryer=dryer, room=room), None)]
    varied = [(key, [_value(value) for value in values]) for key, values in (vary or {}).items()]
    if samples is not None:
        count("samples", samples, 8, _MOST)
    return Comparison(
        _native.compare(sources, varied, samples, count("seed", seed, 0, _SEEDS), _threads(threads), independent)
    )


def explain(
    *load: Load,
    tray: Optional[int] = None,
    dryer: Optional[str] = None,
    room: Optional[str] = None,
    samples: int = 256,
    seed: int = 1,
    threads: Optional[int] = None,
) -> Explanation:
    """Explains why a batch takes so long: what limits each stage, and what would help.

    Args:
        load: A load, as in :func:`plan`.
        tray: Tray to look at closely, from 1 at the bottom. Default: the one that is dry last.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.
        samples: Samples of the range, of which the middle run is explained; 0 takes typical inputs.
        seed: Seed of the samples.
        threads: Threads; one per core without it.

    Returns:
        The explanation. ``resistance_share`` has shares (0 to 1) of the temperature between shelf and refrigerant;
        ``this_tray`` has the tray as it is, thin, thick, lean and fatty; ``usable.cells`` the shelf temperatures (degC) and
        pressures (Pa) at which its food dries.
    """
    if tray is not None:
        count("tray", tray, 1, 1000)
    return Explanation(
        _native.explain(
            source(load, dryer=dryer, room=room),
            tray,
            count("samples", samples, 0, _MOST),
            count("seed", seed, 0, _SEEDS),
            _threads(threads),
        )
    )


def prefreeze(
    *load: Load,
    temperature: Optional[str] = None,
    wind: Optional[str] = None,
    weather: Optional[Table] = None,
    date: Optional[str] = None,
    set_out: Optional[str] = None,
    until: Optional[str] = None,
    core: Optional[str] = None,
    freezer: Optional[str] = None,
    covered: bool = False,
    wind_share: Optional[str] = None,
    dryer: Optional[str] = None,
    room: Optional[str] = None,
) -> Prefreezing:
    """Decides where to freeze: outdoors tonight, in a freezer, or in the machine.

    Args:
        load: A load, as in :func:`plan`.
        temperature: Air outdoors all night, such as ``"-15 C"``; this or ``weather``.
        wind: Wind at the trays all night, such as ``"2 m/s"``; without it still air.
        weather: Hours of air temperature and wind: a CSV file, its text, a DataFrame, or an EPW file.
        date: Evening on which the trays are set out, such as ``"01-15"``; without it the coldest night of the file.
        set_out: When the trays are set out, ``"18:00"`` without it.
        until: When they are taken in, ``"07:00"`` without it.
        core: Core temperature that counts as frozen through, ``"-12 C"`` without it.
        freezer: Air of the freezer, ``"-18 C"`` without it.
        covered: Whether lids cover the trays.
        wind_share: Wind at the trays over wind in the file, ``"43 %"`` without it.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.

    Returns:
        The three ways, each with time (h), energy (kWh) and trays, and the advice.
    """
    outdoors = {
        "weather": None if weather is None else table(weather, "weather.csv"), "temperature": temperature, "wind": wind,
        "date": date, "set_out": set_out, "until": until, "core": core, "freezer": freezer, "covered": covered,
        "wind_share": wind_share,
    }
    return Prefreezing(_native.prefreeze(source(load, dryer=dryer, room=room), outdoors))


def update(
    *load: Load, readings: Table, samples: int = 256, seed: int = 1, threads: Optional[int] = None,
    dryer: Optional[str] = None, room: Optional[str] = None,
) -> Update:
    """Updates a plan during the run by readings so far.

    Args:
        load: The load of the run, as in :func:`plan`.
        readings: A CSV file, its text, or a DataFrame with the same columns: ``time_h`` and, by tray, ``weight_g``,
            ``product_C``, ``shelf_C``, or of the chamber ``pressure_Pa``, ``energy_kWh`` and others.
        samples: Samples of each round, 64 to 100,000.
        seed: Seed of the samples.
        threads: Threads; one per core without it.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.

    Returns:
        The update; ``food_ready_h.before`` and ``.after`` are ranges in hours from the start.
    """
    count("samples", samples, 64, 100_000)
    asked = source(load, dryer=dryer, room=room)
    return Update(
        _native.update(asked, table(readings, "readings"), samples, count("seed", seed, 0, _SEEDS), _threads(threads))
    )


def log(
    *load: Load, readings: Table, history: Union[str, os.PathLike[str]] = "history.csv", name: Optional[str] = None,
    turned_out: Iterable[str] = (), dryer: Optional[str] = None, room: Optional[str] = None,
) -> str:
    """Adds a finished batch to the history that :func:`learn` reads.

    Args:
        load: The load of the batch, as in :func:`plan`.
        readings: All its readings, as in :func:`update`; a line with the event ``finished`` notes its end.
        history: The history file; it is begun if it is not there.
        name: Name of the batch; each has its own. Without it the name of the sheet.
        turned_out: How trays turned out, such as ``"2=shrunk"``.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.

    Returns:
        What was added, in words.

    Raises:
        InputError: if the batch is in the history already; nothing is changed then.
    """
    asked = source(load, dryer=dryer, room=room)
    return _native.log(asked, table(readings, "readings"), Path(history), name, list(turned_out))


def learn(history: Table, dryer: str, without: Iterable[str] = ()) -> Lesson:
    """Learns from finished batches what a machine is like. Nothing is written: see :meth:`Lesson.save`.

    Args:
        history: The history that ``icefront log`` writes: a file, its text, or a DataFrame of it.
        dryer: The dryer to learn about: a built-in one, or the path of a dryer file.
        without: Names of batches to leave out.

    Returns:
        What was learned, and the dryer file with it.
    """
    return Lesson(_native.learn(table(history, "history.csv"), dryer, list(without)))


def foods(*words: str) -> Foods:
    """Foods that some words could mean, the best first; the whole table without words. Composition is by mass, 0 to 1."""
    return Foods(_native.foods(" ".join(words)))


def dryers() -> Dryers:
    """The built-in dryers; all are invented and named by their shelf area."""
    return Dryers(_native.dryers())


def dryer(name: str) -> str:
    """The file of a built-in dryer, as TOML text to copy and change."""
    return _native.dryer(name)


def evidence() -> Evidence:
    """How far predictions are from published standards, exact solutions and experiments."""
    return Evidence(_native.evidence())


def sweep(
    loads: Iterable[Load],
    *,
    at: Optional[Mapping[str, Iterable[Any]]] = None,
    samples: int = 0,
    seed: int = 1,
    threads: Optional[int] = None,
    dryer: Optional[str] = None,
    room: Optional[str] = None,
) -> Sweep:
    """Plans many loads on all cores. The answer to a load depends on that load, ``samples`` and ``seed`` alone.

    Args:
        loads: Loads as in :func:`plan`; one text is a load with one tray, a list of texts a load with several.
        at: What distinguishes the loads: columns for tables and plots, one value per load, such as
            ``{"depth_mm": [6, 8, 10]}``.
        samples: Samples of each load; 0 runs typical numbers alone.
        seed: Seed of the samples.
        threads: Threads, each on a load of its own; one per core without it.
        dryer: With trays in words: the dryer.
        room: With trays in words: room temperature.

    Returns:
        The answers in the order of the loads. A load that is refused is answered by its error, and the sweep goes on.
    """
    count("samples", samples, 0, _MOST)
    results: list[Union[answers.PlanAnswer, Error]] = []
    sources: list[_native.Source] = []
    places: list[int] = []
    for load in loads:
        words = not isinstance(load, (os.PathLike, Mapping))
        try:
            sources.append(source([load], dryer=dryer, room=room) if words else source([load]))
            places.append(len(results))
            results.append(Error("not computed"))
        except InputError as error:
            results.append(error)
    columns = {name: list(values) for name, values in (at or {}).items()}
    for name, values in columns.items():
        if len(values) != len(results):
            raise InputError(f"`at`: {name} has {len(values)} values for {len(results)} loads")
    answered = _native.sweep(sources, samples, count("seed", seed, 0, _SEEDS), _threads(threads))
    for place, answer in zip(places, answered):
        results[place] = answers.PlanAnswer(json.loads(answer)) if isinstance(answer, str) else answer
    return Sweep(results, columns)


def _threads(threads: Optional[int]) -> Optional[int]:
    return None if threads is None else count("threads", threads, 1, 4096)


def _value(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
