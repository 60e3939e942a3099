"""What linters do not see of the house: arrows between tables, who writes, closed doors."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
HOUSE = ROOT / "gowngroup"
ORDER = [
    ["records"], ["people"], ["catalog"], ["wards", "stock"], ["batches"], ["gowns"], ["deliveries"],
    ["printing", "home", "exchange"], ["demo"],
]  # fmt: skip
LEVEL = {room: level for level, rooms in enumerate(ORDER) for room in rooms}
CLOSED_DOORS = {"views", "forms", "urls", "admin"}
WRITES = re.compile(r"\.(save|delete|create|bulk_create|bulk_update|update_or_create|get_or_create|update)\(")
MAY_WRITE = {"actions", "migrations", "sign_in", "joining"}  # which joins PDFs and writes no row


def python_files(*parts: str) -> Iterator[Path]:
    return (path for path in HOUSE.joinpath(*parts).rglob("*.py") if "migrations" not in path.parts)


def imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def test_foreign_keys_point_downward() -> None:
    """A table refers to tables of its own room or of lower rooms; who did it is the one exception."""
    for model in apps.get_models():
        room = model._meta.app_label
        if room not in LEVEL:
            continue
        for field in model._meta.get_fields():
            target = getattr(field, "related_model", None)
            if field.auto_created or target in (None, "self") or room == target._meta.app_label:
                continue
            is_actor = room == "records" and target._meta.label == settings.AUTH_USER_MODEL
            assert is_actor or LEVEL[target._meta.app_label] < LEVEL[room], f"{model.__name__}.{field.name}"


def test_only_actions_write() -> None:
    """Views, queries, forms and planners never change a row."""
    culprits = [
        f"{path.relative_to(ROOT)}: {found.group()}"
        for path in python_files()
        if path.relative_to(HOUSE).parts[0] in LEVEL and path.relative_to(HOUSE).parts[0] != "demo"
        and not MAY_WRITE & {part.removesuffix(".py") for part in path.parts}
        for found in WRITES.finditer(path.read_text())
        if ".objects." in path.read_text()[max(found.start() - 60, 0) : found.end()] or found.group(1) in ("save", "delete")
    ]  # fmt: skip
    assert not culprits


def test_rooms_call_each_others_actions_only() -> None:
    """No room imports another room's views, forms or addresses, and nobody listens for signals."""
    for path in python_files():
        room = path.relative_to(HOUSE).parts[0]
        names = list(imports_of(path))
        for name in names:
            parts = name.split(".")
            if parts[0] == "gowngroup" and len(parts) > 2 and parts[1] != room:
                assert parts[2] not in CLOSED_DOORS, f"{path.relative_to(ROOT)} imports {name}"
        assert not [n for n in names if n.startswith(("django.dispatch", "django.db.models.signals"))], path


@pytest.mark.parametrize("room", [room for rooms in ORDER for room in rooms])
def test_room_files_stay_short(room: str) -> None:
    """A file near four hundred lines becomes a package split by noun."""
    long = [path.name for path in python_files(room) if len(path.read_text().splitlines()) > 420]
    assert not long
