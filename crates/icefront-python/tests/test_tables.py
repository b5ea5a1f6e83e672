"""Tables and plots, where pandas and matplotlib are there."""

import icefront
import pytest

pd = pytest.importorskip("pandas")
matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

LOAD = ["peas, 12 mm", "apple, raw, slices 6 mm"]
READINGS = pd.DataFrame({"time_h": [2.0, 5.0], "tray": [1, 1], "product_C": [-20.0, -18.0]})


@pytest.fixture(scope="module")
def plan():
    return icefront.plan(*LOAD, dryer="0.60 m2", samples=64)


def test_numbers_of_a_frame_are_those_of_the_answer(plan):
    trays, load = plan.to_frame(), plan.to_frame("load")
    assert list(trays["dry_at_median_h"]) == [tray.dry_at_h.median for tray in plan.trays]
    assert load["time_food_ready_low_h"][0] == plan.time_h.food_ready.low
    assert load["energy_by_stage_primary_drying_median_kwh"][0] == plan.energy_kwh.by_stage.primary_drying.median
    assert load["cost_median"].isna().all() and load["cost_median"].dtype == float
    assert list(plan.to_frame("measure_first")["narrows_by"]) == [m.narrows_by for m in plan.range.measure_first]


def test_a_history_ends_when_the_run_does(plan):
    assert plan.history()["time_h"].iloc[-1] == pytest.approx(plan.time_h.total.typical_run, rel=1e-4)


def test_every_answer_has_a_frame_and_a_plot(plan):
    assert len(icefront.foods("chicken").to_frame()) == len(icefront.foods("chicken").foods)
    assert {"name", "clear_height_mm", "set_point_c"} <= set(icefront.dryers().to_frame())
    compared = icefront.compare(*LOAD, samples=8)
    assert "against_first_food_ready_ratio_median" in compared.to_frame()
    explained = icefront.explain(*LOAD)
    assert {"shelf_c", "pressure_pa", "dry_h"} <= set(explained.to_frame("usable"))
    frozen = icefront.prefreeze(*LOAD, temperature="-20 C")
    assert list(frozen.to_frame()["way"]) == ["outdoors", "freezer", "machine"]
    assert len(frozen.to_frame("trays")) == 6 and "time_h" in frozen.history()
    updated = icefront.update(*LOAD, readings=READINGS, samples=64)
    assert "dry_at_after_median_h" in updated.to_frame()
    for answer in [plan, compared, explained, frozen, updated, icefront.evidence()]:
        axes = answer.plot()
        assert axes.has_data() and axes.get_xlabel(), type(answer)
        assert answer._repr_html_().count("<img") == 1
        matplotlib.pyplot.close(axes.figure)


def test_a_sweep_is_a_frame_with_its_columns_first():
    depths = [8, 12, 16]
    sweep = icefront.sweep([f"peas, {depth} mm" for depth in depths], at={"depth_mm": depths}, samples=8)
    table = sweep.to_frame()
    assert list(table.columns)[0] == "depth_mm"
    assert table["time_food_ready_median_h"].is_monotonic_increasing
    axes = sweep.plot()
    assert axes.get_xlabel() == "depth, mm"
    assert list(axes.lines[0].get_xdata()) == depths and len(axes.collections) == 1


def test_charts_can_be_saved(plan, tmp_path):
    plan.charts["batch"].save(tmp_path / "batch.svg")
    assert (tmp_path / "batch.svg").read_text().startswith("<svg")
