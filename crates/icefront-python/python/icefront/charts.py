"""Charts of the library (SVG), and axes of matplotlib."""

from __future__ import annotations

import base64
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Optional

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["Chart", "axes"]


@dataclass(frozen=True)
class Chart:
    """A chart as SVG text; a notebook shows it."""

    name: str
    """Short name, such as ``batch``."""
    title: str
    """What it shows."""
    svg: str
    """The picture."""

    def _repr_svg_(self) -> str:
        return self.svg

    def __repr__(self) -> str:
        return f"Chart({self.name!r}, {self.title!r})"

    def save(self, path: str | os.PathLike[str]) -> None:
        """Writes the picture as an SVG file."""
        Path(path).write_text(self.svg, encoding="utf-8")

    def html(self) -> str:
        """The picture for a page, apart from the page's own styles."""
        data = base64.b64encode(self.svg.encode()).decode()
        return f'<img alt="{self.title}" style="max-width:100%" src="data:image/svg+xml;base64,{data}">'


def axes(given: Optional[Axes], title: str, x: str, y: str) -> Axes:
    """The axes to draw on, with their labels; new ones where none are given."""
    if given is None:
        try:
            import matplotlib.pyplot as plt
        except ImportError as missing:
            raise ImportError("plots need matplotlib: pip install 'icefront[plots]'") from missing
        given = plt.subplots()[1]
    given.set_title(title)
    given.set_xlabel(x)
    given.set_ylabel(y)
    return given


def number(value: Any) -> float:
    """A number to draw; what is not known is left out of a drawing."""
    return float("nan") if value in (None, "") else float(value)
