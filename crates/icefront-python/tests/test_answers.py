"""The answers: the same as those of the command, typed as declared, and usable as data."""

import json
import pickle
import subprocess
import sys
import threading
import typing
from pathlib import Path

import icefront
import pytest
from icefront import answers
from icefront.group import Group

ROOT = Path(__file__).parents[3]
SHEET = {
    "dryer": "0.60 m2",
    "tariff": {"price_per_kwh": 0.3, "currency": "EUR"},
    "tray": [
        {"food": "peas", "shape": "layer", "depth": "10..14 mm"},
        {"food": "ground beef", "shape": "layer", "depth": "12 mm", "uneven_contact": 0.3},
    ],
}
READINGS = "time_h,tray,product_C,energy_kWh\n2,1,-20,1.2\n5,1,-18,\n"


def command(*arguments: str, given: str = "") -> str:
    """What the command prints."""
    return subprocess.run(
        [sys.executable, "-m", "icefront", *arguments], input=given, capture_output=True, text=True, check=True
    ).stdout


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    path = tmp_path_factory.mktemp("sheet") / "load.toml"
    path.write_text(icefront.sheet(SHEET))
    return path


@pytest.fixture(scope="module")
def all_answers(sheet):
    return {
        "PlanAnswer": icefront.plan(sheet, samples=16, limits=True),
        "ComparisonAnswer": icefront.compare(sheet, vary={"depth": ["8 mm", "16 mm"]}, samples=8),
        "ExplanationAnswer": icefront.explain(sheet),
        "PrefreezingAnswer": icefront.prefreeze(sheet, temperature="-20 C", wind="2 m/s"),
        "UpdateAnswer": icefront.update(sheet, readings=READINGS, samples=64),
        "FoodsAnswer": icefront.foods("chicken"),
        "DryersAnswer": icefront.dryers(),
        "EvidenceAnswer": icefront.evidence(),
    }


def fits(value, kind) -> bool:
    """Whether a value is of an annotated type."""
    origin, arguments = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Union:
        return any(fits(value, one) for one in arguments)
    if origin is typing.Literal:
        return value in arguments
    if origin is list:
        return isinstance(value, list) and all(fits(one, arguments[0]) for one in value)
    if origin is dict:
        return all(fits(one, arguments[1]) for one in value.values())
    if kind is float:
        return isinstance(value, (int, float)) and not isinstance(value, bool)
    return isinstance(value, kind)


def misfits(group: Group, place: str):
    hints = typing.get_type_hints(type(group), {**vars(icefront.group), **vars(answers)})
    for key in group:
        if key in ("schema", "icefront"):
            continue
        kind, value = hints.get(key + "_", hints.get(key)), group[key]
        if kind is None or not fits(value, kind):
            yield f"{place}.{key}: {value!r} is no {kind}"
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, Group) and type(one) is not Group:
                yield from misfits(one, f"{place}.{key}")


def test_every_value_is_of_its_declared_type(all_answers):
    wrong = [found for name, answer in all_answers.items() for found in misfits(answer, name)]
    assert not wrong, "\n".join(sorted(set(wrong)))


def test_plan_is_that_of_the_command(sheet):
    assert icefront.plan(sheet, samples=16, limits=True).to_dict() == json.loads(
        command("plan", str(sheet), "--draws", "16", "--json")
    )


def test_compare_is_that_of_the_command(sheet):
    ours = icefront.compare(sheet, vary={"tray.2.depth": ["8 mm"], "lined": [True]}, samples=8, seed=3)
    varied = ["--vary", "tray.2.depth=8 mm", "--vary", "lined=true"]
    assert ours.to_dict() == json.loads(command("compare", str(sheet), *varied, "--draws", "8", "--seed", "3", "--json"))


def test_explain_is_that_of_the_command(sheet):
    ours = icefront.explain(sheet, tray=1).to_dict()
    assert ours == json.loads(command("explain", str(sheet), "--tray", "1", "--json"))


def test_prefreeze_is_that_of_the_command(sheet):
    weather = ROOT / "data/weather/night_cold_clear.csv"
    options = ["--weather", str(weather), "--covered", "--until", "08:00", "--json"]
    ours = icefront.prefreeze(sheet, weather=weather, covered=True, until="08:00")
    assert ours.to_dict() == json.loads(command("prefreeze", str(sheet), *options))
    assert icefront.prefreeze(sheet, weather=weather.read_text(), covered=True, until="08:00").to_dict() == ours.to_dict()


def test_update_and_learn_are_those_of_the_command(sheet, tmp_path):
    readings = tmp_path / "readings.csv"
    readings.write_text(READINGS + "16,,,8\n")
    ours = icefront.update(sheet, readings=readings, samples=64)
    assert ours.to_dict() == json.loads(command("update", str(sheet), "--readings", str(readings), "--draws", "64", "--json"))
    history, learned = tmp_path / "history.csv", tmp_path / "learned.toml"
    command("log", str(sheet), "--readings", str(readings), "--history", str(tmp_path / "theirs.csv"))
    icefront.log(sheet, readings=readings, history=history)
    assert history.read_text() == (tmp_path / "theirs.csv").read_text()
    with pytest.raises(icefront.InputError):
        icefront.log(sheet, readings=readings, history=history)
    theirs = json.loads(command("learn", str(history), "--dryer", "0.60 m2", "--out", str(learned), "--json"))
    lesson = icefront.learn(history, dryer="0.60 m2")
    assert {**lesson.to_dict(), "written_to": str(learned)} == theirs
    assert lesson.dryer_file == learned.read_text()
    assert not list(misfits(lesson, "LessonAnswer"))
    with pytest.raises(FileExistsError):
        lesson.save(learned)


def test_a_dict_words_text_and_a_path_are_the_same_load(sheet):
    words = ["peas, 12 mm", "apple, raw, slices 6 mm, 2 trays"]
    text = icefront.sheet(*words, dryer="0.60 m2")
    assert icefront.plan(*words, dryer="0.60 m2", samples=0).to_dict() == icefront.plan(text, samples=0).to_dict()
    assert icefront.plan(SHEET, samples=8).to_dict() == icefront.plan(str(sheet), samples=8).to_dict()


def test_a_sweep_is_that_of_the_command_and_of_plan():
    sheets = [{**SHEET, "room": f"{room} C"} for room in range(10, 25, 5)]
    lines = "\n".join(json.dumps({"icefront": 1, **sheet}) for sheet in sheets)
    theirs = [json.loads(line)["answer"] for line in command("sweep", "--draws", "8", given=lines).splitlines()]
    ours = icefront.sweep(sheets, samples=8, threads=2)
    assert ours.to_dicts() == theirs
    assert ours.digest() == icefront.sweep(sheets, samples=8, threads=1).digest()
    assert ours[1].to_dict() == icefront.plan(sheets[1], samples=8).to_dict()


def test_a_sweep_keeps_its_refused_loads():
    sweep = icefront.sweep(["peas, 12 mm", "peas, 12 furlongs", {"tray": object()}], at={"n": [1, 2, 3]})
    assert list(sweep.errors) == [1, 2] and isinstance(sweep.errors[1], icefront.InputError)
    assert sweep[0].time_h.food_ready.middle > 1
    assert sweep.to_dicts()[1]["error"] == sweep.errors[1].message


def test_other_threads_run_while_a_plan_is_computed():
    ticks = []
    done = threading.Event()

    def tick():
        while not done.wait(0.001):
            ticks.append(1)

    ticker = threading.Thread(target=tick)
    ticker.start()
    icefront.plan(samples=256)
    done.set()
    ticker.join()
    assert len(ticks) > 10, "the interpreter lock was held"


def test_answers_survive_pickling(all_answers):
    for name, answer in all_answers.items():
        again = pickle.loads(pickle.dumps(answer))
        assert again.to_dict() == answer.to_dict() and again.text == answer.text, name
        assert again._repr_html_() == answer._repr_html_() and again.charts == answer.charts


def test_classes_are_those_of_the_docs():
    sys.path.insert(0, str(ROOT / "crates/icefront-python"))
    import answers as writer

    assert writer.TARGET.read_text() == writer.written(), "run python answers.py"
