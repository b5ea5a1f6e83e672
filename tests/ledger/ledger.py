#!/usr/bin/env python3
"""Records what a build of icefront answers on the sheets and calls of the ledger, and compares two such records.

    tests/ledger/ledger.py record PROGRAM FOLDER [--evidence]
    tests/ledger/ledger.py compare BEFORE AFTER [--renames tests/ledger/renames.csv] [--reasons tests/ledger/reasons.csv]

README.md beside this file says what for. Python 3.8 or later, nothing else.
"""

import argparse
import csv
import fnmatch
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

HERE = Path(__file__).resolve().parent
WEATHER = HERE.parent.parent / "data" / "weather"
DRAWS = "16"
# A number that needs no conversion must be the same; this is room for how it is written.
SAME = 1e-9
# Answers carry seven digits. A converted number was rounded twice, before and after the conversion.
DIGITS = 7


def lines(path):
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


# --- record

def toml(value):
    """A JSON value as TOML, tables inline."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k, ensure_ascii=False)} = {toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def kitchen(folder):
    """The folder in which the calls run: dryers, readings, nights, and every sheet as ID.toml."""
    shutil.copytree(HERE / "kitchen", folder, dirs_exist_ok=True)
    for night in WEATHER.glob("*.csv"):
        shutil.copy(night, folder)
    sheets = lines(HERE / "sheets.jsonl")
    for sheet in sheets:
        text = "".join(f"{key} = {toml(value)}\n" for key, value in sheet.items() if key != "id")
        (folder / f"{sheet['id']}.toml").write_text(text, encoding="utf-8")
    return [sheet["id"] for sheet in sheets]


def answer(program, folder, arguments):
    """What the program says: its JSON, or its text, or why it refused."""
    done = subprocess.run([program, *arguments], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=False)
    if done.returncode != 0:
        return {"refused": done.stderr}
    try:
        return json.loads(done.stdout)
    except json.JSONDecodeError:
        return {"text": done.stdout}


def record(program, out, evidence):
    program = shutil.which(program) or program
    program = os.path.abspath(program)
    if out.exists() and any(out.iterdir()):
        sys.exit(f"{out} is not empty")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        ids = kitchen(folder)

        def keep(name, arguments):
            path = out / f"{name}.json"
            path.parent.mkdir(parents=True, exist_ok=True)
            told = answer(program, folder, arguments)
            path.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")

        # in their order: the first ones write files that later ones and some sheets read
        for call in lines(HERE / "calls.jsonl"):
            keep(f"{call['run'][0]}/{call['id']}", call["run"])
        if evidence:
            keep("evidence/evidence", ["evidence", "--json"])
        jobs = [(f"plan-{draws}/{id}", ["plan", f"{id}.toml", "--json", "--threads", "1", "--draws", draws])
                for draws in ("0", DRAWS) for id in ids]
        with ThreadPoolExecutor(os.cpu_count()) as pool:
            list(pool.map(lambda job: keep(*job), jobs))
    print(f"{sum(1 for _ in out.rglob('*.json'))} answers in {out}")


# --- compare

class Rename:
    """One row of the table: where in which answers a value stood, and where it stands now."""

    def __init__(self, row):
        self.answers = row["answers"]
        before, _, self.word = row["before"].partition("=")
        after, _, self.new_word = row["after"].partition("=")
        self.before, self.after = before.split("."), after
        self.factor, self.offset = float(row["factor"] or 1), float(row["offset"] or 0)
        self.converts = (self.factor, self.offset) != (1, 0)
        self.used = 0

    def matches(self, name, path, value):
        """What the wildcards stand for, or None."""
        if not fnmatch.fnmatch(name, self.answers) or (self.word and value != self.word):
            return None
        caught, i = [], 0
        for i, part in enumerate(self.before):
            if part == "**":
                return caught + [".".join(path[i:])] if len(path) > i else None
            if i >= len(path) or part not in ("*", path[i]):
                return None
            if part == "*":
                caught.append(path[i])
        return caught if len(path) == i + 1 else None

    def apply(self, caught, value):
        caught = iter(caught)
        path = re.sub(r"\*\*|\*", lambda _: next(caught), self.after)
        if self.word:
            value = self.new_word
        elif self.converts and isinstance(value, (int, float)) and not isinstance(value, bool):
            value = value * self.factor + self.offset
        return path, value


def leaves(value, path=()):
    """Every value with the keys that lead to it; keys of the answers hold no points but foods' names may."""
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from leaves(inner, (*path, key.replace(".", "\u2024")))
    elif isinstance(value, list) and value:
        for index, inner in enumerate(value):
            yield from leaves(inner, (*path, str(index)))
    else:
        yield path, value


def unit_of_last_digit(value):
    return 10.0 ** (math.floor(math.log10(abs(value))) + 1 - DIGITS) if value else 0.0


def same(before, after, rename, expected):
    numbers = all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in (expected, after))
    if not numbers:
        return expected == after and isinstance(expected, bool) == isinstance(after, bool)
    room = SAME * max(abs(expected), abs(after))
    if rename and rename.converts:
        room += 0.51 * (abs(rename.factor) * unit_of_last_digit(before) + unit_of_last_digit(after))
    return abs(expected - after) <= room


def renamed(name, value, renames):
    """(path before, value before, path after, value after, rename) of every value; None for what was dropped."""
    for path, old in leaves(value):
        where, new, used = ".".join(path), old, None
        for rename in renames:
            caught = rename.matches(name, path, old)
            if caught is not None:
                rename.used += 1
                used = rename
                where, new = (None, None) if rename.after == "-" else rename.apply(caught, old)
                break
        if where is not None:
            yield ".".join(path), old, where, new, used


def read_table(path):
    if not path.exists():
        return []
    rows = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    return list(csv.DictReader(rows))


def compare(before, after, renames, reasons):
    renames = [Rename(row) for row in read_table(renames)]
    reasons = {row["answer"]: row["reason"] for row in read_table(reasons)}
    names = {p.relative_to(before).with_suffix("").as_posix() for p in before.rglob("*.json")}
    others = {p.relative_to(after).with_suffix("").as_posix() for p in after.rglob("*.json")}
    wrong, added, reworded, explained = [], {}, [], []
    for name in sorted(names ^ others):
        wrong.append((name, "is in one record only"))
    for name in sorted(names & others):
        old, new = (json.loads((folder / f"{name}.json").read_text(encoding="utf-8")) for folder in (before, after))
        if ("refused" in old) != ("refused" in new):
            now = "refused" if "refused" in new else "accepted"
            (explained if name in reasons else wrong).append((name, f"is {now} now: {reasons.get(name, 'no reason given')}"))
            continue
        if "refused" in old or "text" in old:
            if old != new:
                reworded.append(name)
            continue
        found = {".".join(path): value for path, value in leaves(new)}
        differs = []
        for was, old_value, where, expected, rename in renamed(name, old, renames):
            if where not in found:
                differs.append(f"{was}: {old_value!r} is gone" + (f" (looked for at {where})" if where != was else ""))
            elif not same(old_value, found[where], rename, expected):
                differs.append(f"{where}: {expected!r} became {found[where]!r}")
            found.pop(where, None)
        for path in found:
            added.setdefault(re.sub(r"(^|\.)\d+(?=\.|$)", r"\1*", path), name)
        if differs and name in reasons:
            explained.append((name, f"{len(differs)} differences: {reasons[name]}"))
        else:
            wrong.extend((name, text) for text in differs)
    for title, rows in (("explained", explained), ("DIFFERENT", wrong)):
        for name, text in rows:
            print(f"{title}  {name}  {text}")
    for path, name in sorted(added.items()):
        print(f"added  {path}  (first in {name})")
    for name in reworded:
        print(f"reworded  {name}")
    for rename in renames:
        if not rename.used:
            print(f"unused rename  {rename.answers}  {'.'.join(rename.before)}")
    counts = f"{len(names & others)} answers, {sum(r.used for r in renames)} values renamed or converted"
    print(f"{counts}, {len(wrong)} differences in {len({name for name, _ in wrong})} answers, "
          f"{len(explained)} explained, {len(reworded)} texts reworded, {len(added)} keys added")
    return 1 if wrong else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    one = commands.add_parser("record")
    one.add_argument("program")
    one.add_argument("folder", type=Path)
    one.add_argument("--evidence", action="store_true", help="also `evidence`")
    two = commands.add_parser("compare")
    two.add_argument("before", type=Path)
    two.add_argument("after", type=Path)
    two.add_argument("--renames", type=Path, default=HERE / "renames.csv")
    two.add_argument("--reasons", type=Path, default=HERE / "reasons.csv")
    given = parser.parse_args()
    if given.command == "record":
        record(given.program, given.folder, given.evidence)
        return 0
    return compare(given.before, given.after, given.renames, given.reasons)


if __name__ == "__main__":
    sys.exit(main())
