"""Writes python/icefront/answers.py, the classes of the answers, from docs/json.md (itself written from the Rust types).

python answers.py
"""

from __future__ import annotations

import keyword
import re
from pathlib import Path

HERE = Path(__file__).parent
SOURCE = HERE / "../../docs/json.md"
TARGET = HERE / "python/icefront/answers.py"
CLASSES = {
    "plan": "PlanAnswer", "compare": "ComparisonAnswer", "explain": "ExplanationAnswer", "prefreeze": "PrefreezingAnswer",
    "update": "UpdateAnswer", "learn": "LessonAnswer", "foods": "FoodsAnswer", "dryers": "DryersAnswer",
    "evidence": "EvidenceAnswer",
}
VALUES = {"predicted": "Predicted", "drawn": "Drawn", "number": "Optional[float]", "whole number": "int", "text": "str",
          "`true` or `false`": "bool"}
# keys that are null where the docs do not say so
NULLABLE = {"currency", "date", "next", "reason", "fitted", "miss", "source", "drawn", "predicted", "then", "turned_out",
            "largest_resistance", "gentlest", "fastest", "energy_kwh", "last_tray", "fit", "worst", "cooling", "first",
            "range", "limits", "least_time_per_kg", "least_cost_per_kg", "fullest_safe", "against_next", "computed", "read_as"}
# words that stand for none
NONE = {"fitted": [""]}
UNITS = re.compile(r"_(h|c|kwh|kg|g|ml|mm|m2|pa|kj)$")
HEADER = '''"""Keys of the answers, with types and units. Written by answers.py from docs/json.md."""

from __future__ import annotations

from typing import Literal, Optional

from .group import Drawn, Group, Predicted

__all__ = {names}
'''


class Node:
    def __init__(self) -> None:
        self.children: dict[str, Node] = {}
        self.kinds: list[str] = []
        self.is_list = self.is_map = False
        self.unit = self.what = ""


def tree(rows: list[list[str]]) -> Node:
    root = Node()
    for key, kind, unit, what in rows:
        node = root
        for step in key.strip("`").split("."):
            if step == "*":
                node.is_map = True
                continue
            name = step.removesuffix("[]")
            node = node.children.setdefault(name, Node())
            node.is_list |= step.endswith("[]")
        if kind not in ("group", "list"):
            node.kinds.append(kind)
        node.unit, node.what = node.unit or unit, node.what or what
    return root


class Writer:
    def __init__(self) -> None:
        self.written: dict[str, str] = {}
        self.texts: list[str] = []

    def of(self, node: Node, name: str, doc: str, unit: str) -> str:
        """Name of the class of a group; groups with the same keys share one."""
        fields, parts, lists = [], {}, []
        for key, child in node.children.items():
            kind = self.kind(child, name.removesuffix("Answer") + camel(UNITS.sub("", key)), key)
            if kind[0].isupper() and not kind.startswith(("Optional", "Literal")):
                parts[key] = kind
            if child.is_map:
                kind = f"dict[str, {kind}]"
            if child.is_list:
                lists.append(key)
                kind = f"list[{kind}]"
            elif (key in NULLABLE or "null" in child.what) and not kind.startswith("Optional"):
                kind = f"Optional[{kind}]"
            fields.append((key, kind, child))
        base = next((VALUES[kind] for kind in node.kinds if kind in ("predicted", "drawn")), "Group")
        body = [f"    _keys = {(*((*DRAWN, 'typical_run') if base == 'Predicted' else DRAWN if base == 'Drawn' else ()), *node.children)!r}"]
        body += [f"    _lists = {tuple(lists)!r}"] if lists else []
        body += [f"    _parts = {{{', '.join(f'{key!r}: {kind}' for key, kind in parts.items())}}}"] if parts else []
        for key, kind, child in fields:
            what = child.what + (f" In {child.unit}." if child.unit else "")
            body += [f"    {attribute(key)}: {kind}", f"    {quoted(what)}"]
        same = base + "\n".join(body)
        if same not in self.written:
            self.written[same] = name
            about = doc + (f" In {unit}." if unit else "")
            keys = "".join(f"\n    {key}: {c.what}{f' In {c.unit}.' if c.unit else ''}" for key, _, c in fields)
            self.texts.append(f'class {name}({base}):\n    """{about}\n{keys}\n    """\n\n' + "\n".join(body))
        return self.written[same]

    def kind(self, node: Node, name: str, key: str) -> str:
        if node.children:
            return self.of(node, name, node.what, node.unit)
        kind = node.kinds[0] if node.kinds else "group"
        if kind in VALUES:
            return VALUES[kind]
        words = re.findall(r"`([^`]+)`", kind) + NONE.get(key, [])
        return f"Literal[{', '.join(repr(word) for word in words)}]" if words else "Group"


DRAWN = ("low", "median", "high")


def camel(key: str) -> str:
    return "".join(word.capitalize() for word in key.split("_"))


def attribute(key: str) -> str:
    """A key as an attribute: Python's own words, and those of a mapping, get an underscore."""
    return key + "_" if keyword.iskeyword(key) or key in ("get", "items", "keys", "values") else key


def quoted(text: str) -> str:
    return '"""' + text.replace("\\", "\\\\") + '"""'


def written() -> str:
    """The text of python/icefront/answers.py."""
    sections = re.split(r"^## `icefront (.+)`$", SOURCE.read_text(encoding="utf-8"), flags=re.M)
    writer, names = Writer(), []
    for command, text in zip(sections[1::2], sections[2::2]):
        if command not in CLASSES:
            continue
        rows = [[cell.strip() for cell in line.strip("|").split(" | ")] for line in text.splitlines() if line.startswith("| `")]
        names.append(writer.of(tree(rows), CLASSES[command], f"The answer of ``icefront {command}``.", ""))
    return "\n\n\n".join([HEADER.format(names=repr(names).replace("'", '"')).rstrip(), *writer.texts]) + "\n"


if __name__ == "__main__":
    TARGET.write_text(written(), encoding="utf-8")
