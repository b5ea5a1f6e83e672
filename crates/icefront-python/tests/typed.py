"""What a type checker makes of the answers; checked by mypy, not run. An ignore that is not needed is an error."""

from __future__ import annotations

from typing import Optional

import icefront

plan = icefront.plan("peas, 12 mm", samples=0)
ready_h: Optional[float] = plan.time_h.food_ready.median
names: list[str] = [tray.food for tray in plan.trays]
narrows: list[Optional[float]] = [one.narrows_by for one in plan.range.measure_first] if plan.range else []
kind: str = icefront.foods("chicken").foods[0].class_
wrong = plan.time_hours  # type: ignore[attr-defined]
text: str = plan.time_h.food_ready.median  # type: ignore[assignment]
icefront.plan("peas, 12 mm", sample=0)  # type: ignore[call-arg]
