"""What can go wrong, as exceptions with data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Optional

__all__ = ["Error", "InputError", "Problem", "RunError"]


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong with the input."""

    title: str
    """What is wrong, in words."""
    path: Optional[str] = None
    """File or sheet it is in."""
    line: Optional[int] = None
    """Line there, from 1."""
    key: Optional[str] = None
    """Key path, such as ``tray.1.depth``."""
    value: Optional[str] = None
    """The value as written."""
    allowed: Optional[str] = None
    """What is allowed, in words with units."""
    help: Optional[str] = None
    """What to write instead."""


class Error(Exception):
    """Base of all errors of icefront."""

    def __init__(self, message: str, problems: Iterable[Mapping[str, Any]] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.problems = [Problem(**problem) for problem in problems]

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.message, [vars(problem) for problem in self.problems])

    def _first(self, name: str) -> Any:
        return next((found for p in self.problems if (found := getattr(p, name)) is not None), None)

    @property
    def key(self) -> Optional[str]:
        """Key path of the first problem that has one, such as ``tray.1.depth``."""
        found: Optional[str] = self._first("key")
        return found

    @property
    def value(self) -> Optional[str]:
        """The value that was refused, as written."""
        found: Optional[str] = self._first("value")
        return found

    @property
    def allowed(self) -> Optional[str]:
        """What is allowed, in words with units."""
        found: Optional[str] = self._first("allowed")
        return found


class InputError(Error, ValueError):
    """Input that cannot be used: a sheet, a file, a name or a value. All problems of a sheet are in ``problems``."""


class RunError(Error, RuntimeError):
    """A run that could not be computed, or a chart that could not be drawn."""
