"""An import may only point down the house, and the test can fail."""

from __future__ import annotations

from pathlib import Path

import pytest
from walls import arrows_of, cycle, level_of, module_graph, modules_of, room_graph, wrong_arrows

import overslab
from overslab.job.steps import LEVELS, STEPS

PACKAGE = Path(overslab.__file__).parent
ROOMS = tuple(step.room for step in STEPS)


def test_every_import_points_down_through_front_doors() -> None:
    assert wrong_arrows(PACKAGE, levels=LEVELS, rooms=ROOMS) == []


def test_the_graph_of_rooms_has_no_cycle_and_no_backward_arrow() -> None:
    graph = room_graph(PACKAGE, levels=LEVELS)
    assert graph, "no import between rooms was found: the walk does not look"
    assert cycle(graph) is None
    order = {level: place for place, level in enumerate(LEVELS)}
    assert [arrow for arrow in graph if order[arrow[0]] < order[arrow[1]]] == []


def test_no_two_modules_import_each_other() -> None:
    assert cycle(module_graph(PACKAGE)) is None


def test_every_room_of_the_order_of_work_is_there_and_no_other() -> None:
    folders = {path.name for path in PACKAGE.iterdir() if (path / "__init__.py").exists()}
    outside = {level.split(".")[0] for level in LEVELS} - set(ROOMS)
    assert folders == set(ROOMS) | outside


def test_every_module_stands_on_a_level() -> None:
    bare = {"overslab", "overslab.faces", "overslab.__main__"}
    homeless = [
        name
        for name in modules_of(PACKAGE)
        if name not in bare and level_of(name, package="overslab", levels=LEVELS) is None
    ]
    assert homeless == []


HOUSE = {
    "__init__.py": "",
    "ground/__init__.py": "",
    "ground/shape.py": "X = 1\n",
    "handbook/__init__.py": "",
    "handbook/chapter.py": "from house.ground.shape import X\n",
    "shots/__init__.py": "from house.shots.verb import reduce\n",
    "shots/verb.py": "from house.handbook.chapter import X\n\ndef reduce(): ...\n",
    "shots/records.py": "",
    "order/__init__.py": "",
    "order/verb.py": "from house.shots import reduce\nimport house.shots.records\n",
    "job/__init__.py": "",
    "job/walk.py": "def walk():\n    from house.order import verb\n",
    "faces/__init__.py": "",
    "faces/documents/__init__.py": "import house.job.walk\n",
}
SMALL_LEVELS = ("ground", "handbook", "shots", "order", "job", "faces.documents")
SMALL_ROOMS = ("shots", "order")


def build(folder: Path, changes: dict[str, str]) -> Path:
    for place, text in (HOUSE | changes).items():
        path = folder / "house" / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / "house"


def test_the_small_house_has_one_wrong_arrow_only(tmp_path: Path) -> None:
    """job.walk reaches past a front door, late; everything else is in order."""
    package = build(tmp_path, {})
    found = wrong_arrows(package, levels=SMALL_LEVELS, rooms=SMALL_ROOMS)
    assert len(found) == 1
    assert "house.job.walk, line 2, imports house.order.verb" in found[0]
    assert "front door" in found[0]
    assert len(arrows_of(package)) == 7


@pytest.mark.parametrize(
    ("place", "text", "told"),
    [
        ("shots/verb.py", "from house.order import verb\n", "shots may not know order"),
        ("shots/verb.py", "from ..order.verb import anything\n", "shots may not know order"),
        ("shots/verb.py", "import house.job.walk as w\n", "shots may not know job"),
        (
            "shots/verb.py",
            "def late():\n    import house.faces.documents\n",
            "shots may not know faces.documents",
        ),
        (
            "order/records.py",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from house import job\n",
            "order may not know job",
        ),
        ("order/verb.py", "from house.shots.verb import reduce\n", "front door"),
        ("ground/shape.py", "from house.handbook import chapter\n", "ground may not know"),
        ("handbook/chapter.py", "import house.shots\n", "handbook may not know shots"),
        ("faces/__init__.py", "import house.job\n", "stands on no level"),
    ],
)
def test_a_planted_wrong_import_is_caught(tmp_path: Path, place: str, text: str, told: str) -> None:
    package = build(tmp_path, {"job/walk.py": "", place: text})
    found = wrong_arrows(package, levels=SMALL_LEVELS, rooms=SMALL_ROOMS)
    assert any(told in complaint for complaint in found), found


def test_a_function_named_like_its_module_comes_through_the_front_door(tmp_path: Path) -> None:
    package = build(
        tmp_path,
        {
            "job/walk.py": "",
            "shots/__init__.py": "from house.shots.reduce import reduce\n",
            "shots/reduce.py": "def reduce(): ...\n",
        },
    )
    assert wrong_arrows(package, levels=SMALL_LEVELS, rooms=SMALL_ROOMS) == []
    assert any(arrow.imported == "house.shots" for arrow in arrows_of(package))


def test_a_planted_cycle_is_caught(tmp_path: Path) -> None:
    package = build(
        tmp_path,
        {
            "shots/records.py": "import house.order.records\n",
            "order/records.py": "from house.shots import records\n",
        },
    )
    assert set(cycle(module_graph(package)) or ()) >= {"house.shots.records", "house.order.records"}
    assert cycle(room_graph(package, levels=SMALL_LEVELS)) is not None
