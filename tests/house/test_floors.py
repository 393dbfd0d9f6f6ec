"""The house has the rooms that its map says, and nobody climbs through a window."""

from __future__ import annotations

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.house.floors import FLOORS, MOST_FILES, OPEN_ROOMS, SAME_KIND

ROOT = Path(__file__).resolve().parents[2]
WINGS = ("rubrics", "marking", "reports")
ENTRANCE = "marking/__main__.py"
FILES = tuple(
    path for wing in WINGS for path in sorted((ROOT / wing).rglob("*.py")) if str(path.relative_to(ROOT)) != ENTRANCE
)


def dotted(path: Path) -> str:
    """Return the dotted name of a file, without the ``__init__`` of a room's face."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = frozenset(dotted(path) for path in FILES)
ROOMS = frozenset(dotted(path) for path in FILES if path.name == "__init__.py")


def exported_by(room: str) -> frozenset[str]:
    """Return the names at a room's door."""
    face = ast.parse((ROOT / room.replace(".", "/") / "__init__.py").read_text(encoding="utf-8"))
    return frozenset(
        name.value
        for node in face.body
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__"
        for name in getattr(node.value, "elts", [])
    )


DOORS = {room: exported_by(room) for room in ROOMS}


def room_of(module: str) -> str:
    """Return the room in which a module, or a room's own face, stands."""
    return module if module in ROOMS else module.rpartition(".")[0]


@cache
def imports(path: Path) -> tuple[tuple[str, str], ...]:
    """Return what a file imports of the house: the module or room named, and the name taken from it."""
    return tuple(_imports(path))


def _imports(path: Path) -> Iterator[tuple[str, str]]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.split(".")[0] in WINGS:
                    yield alias.name, ""
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] in WINGS:
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                outside = room_of(dotted(path)) != node.module
                at_door = outside and alias.name in DOORS.get(
                    node.module, ()
                )  # a function may bear the name of its file
                yield (node.module, alias.name) if at_door or whole not in MODULES else (whole, "")


def name_of(path: Path) -> str:
    """Return the file's place below the root, for the name of a test."""
    return str(path.relative_to(ROOT))


def test_the_map_names_every_room() -> None:
    """Whoever adds a room adds it to the map; a room that is gone leaves it."""
    lived_in = {room_of(dotted(path)) for path in FILES if path.name != "__init__.py"}
    assert lived_in == set(FLOORS)


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_no_import_runs_upward(path: Path) -> None:
    """A file takes from its own room and from rooms below it."""
    floor = {room: number for number, room in enumerate(FLOORS)}
    own = room_of(dotted(path))
    if own not in floor:
        return  # the bare face of a wing
    above = [module for module, _ in imports(path) if floor[room_of(module)] > floor[own]]
    assert above == []


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_other_rooms_are_entered_by_their_door(path: Path) -> None:
    """From another room only what its face exports is taken, and from its face."""
    own = room_of(dotted(path))
    windows = [
        f"{module}: {name}"
        for module, name in imports(path)
        if room_of(module) not in {own, *OPEN_ROOMS} and module not in ROOMS and path.name != "__init__.py"
    ]
    assert windows == []


def test_no_import_runs_in_a_circle() -> None:
    """Taken file by file: what a file needs never needs that file."""
    needs: dict[str, set[str]] = defaultdict(set)
    for path in FILES:
        needs[dotted(path)] |= {module for module, _ in imports(path) if module in MODULES} - {dotted(path)}
    done: set[str] = set()

    def visit(module: str, way: tuple[str, ...]) -> None:
        assert module not in way, " -> ".join((*way[way.index(module) :], module))
        if module not in done:
            for needed in sorted(needs[module]):
                visit(needed, (*way, module))
            done.add(module)

    for module in sorted(MODULES):
        visit(module, ())


def test_no_folder_is_overfull() -> None:
    """A folder can be taken in at a glance."""
    held = Counter(path.parent for path in FILES if path.name != "__init__.py")
    assert {str(folder): count for folder, count in held.items() if count > MOST_FILES} == {}


def test_one_name_stands_for_one_thing() -> None:
    """No two files of one name in different rooms."""
    places: dict[str, list[str]] = defaultdict(list)
    for path in FILES:
        if path.name not in SAME_KIND:
            places[path.name].append(name_of(path))
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


@pytest.mark.parametrize("room", sorted(ROOMS - OPEN_ROOMS - {"reports"}))
def test_a_face_exports_what_others_use_and_nothing_else(room: str) -> None:
    """Each exported name has a user outside the room; a name nobody uses is not at the door."""
    others = (path for path in (*FILES, ROOT / ENTRANCE) if room_of(dotted(path)) != room)
    used = {name for path in others for module, name in imports(path) if module == room}
    assert DOORS[room] - used == set()


def test_the_page_for_developers_has_the_same_map() -> None:
    """Every room has its line in DEVELOPERS.md."""
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert [room for room in FLOORS if f"| `{room.replace('.', '/')}` |" not in page] == []
