"""What is wrong, where, and what is allowed."""

import pickle

import icefront
import pytest

DEEP = {"dryer": "0.60 m2", "tray": [{"food": "peas", "shape": "layer", "depth": "180 mm"}, {"food": "peas", "dpeth": "1 mm"}]}


def test_a_wrong_sheet_names_every_problem():
    with pytest.raises(icefront.InputError) as caught:
        icefront.plan(DEEP)
    error = caught.value
    assert (error.key, error.value, error.allowed) == ("tray.1.depth", "180 mm", "1 mm to 80 mm")
    assert len(error.problems) >= 2 and any("depth" in (p.help or "") for p in error.problems)
    assert error.problems[0].line is not None and "180 mm" in str(error)
    again = pickle.loads(pickle.dumps(error))
    assert (again.key, again.message) == (error.key, error.message)


@pytest.mark.parametrize(
    ("call", "key", "word"),
    [
        (lambda: icefront.plan("chili"), "chili", "How deep"),
        (lambda: icefront.plan("peas, 12 mm", samples=-1), "samples", "0 to 1000000"),
        (lambda: icefront.plan("peas, 12 mm", samples=1.5), "samples", "whole number"),
        (lambda: icefront.plan("peas, 12 mm", seed=2**40), "seed", "whole number"),
        (lambda: icefront.plan(DEEP, room="20 C"), "room", "load sheet"),
        (lambda: icefront.plan({"tray": [float("nan")]}), "load", "allowed"),
        (lambda: icefront.prefreeze("peas, 12 mm", temperature="-200 C"), "temperature", "-70 °C to 25 °C"),
        (lambda: icefront.prefreeze("peas, 12 mm"), "temperature", "weather"),
        (lambda: icefront.prefreeze("peas, 12 mm", temperature="-9 C", set_out="6"), "set_out", "18:00"),
        (lambda: icefront.explain("peas, 12 mm", tray=2), None, "trays 1 to 1"),
        (lambda: icefront.compare("peas, 12 mm"), None, "nothing to compare"),
        (lambda: icefront.compare("peas, 12 mm", vary={"dpeth": ["8 mm"]}), None, "depth"),
        (lambda: icefront.learn("no such file.csv", dryer="0.60 m2"), None, "no such file"),
        (lambda: icefront.dryer("0.61 m2"), None, "0.60 m2"),
        (lambda: icefront.sweep(["peas, 12 mm"], at={"depth": [1, 2]}), None, "2 values for 1 loads"),
    ],
)
def test_what_is_refused_says_what_is_allowed(call, key, word):
    with pytest.raises(icefront.InputError) as caught:
        call()
    assert caught.value.key == key and word in str(caught.value), str(caught.value)


def test_an_unknown_key_of_an_answer_names_the_nearest():
    plan = icefront.plan("peas, 12 mm", samples=0)
    with pytest.raises(AttributeError, match="time_h"):
        plan.time_hours
    assert plan.limits is None and plan.range is None and plan.time_h.total.low is None
    assert icefront.answers.PlanTrays({"tray": "tray 1"}).parts == []
