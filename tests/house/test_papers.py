"""The project's own papers: lock file, README, DEVELOPERS, and words that must not stand anywhere."""

import re
import subprocess
import tomllib
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
MACHINE_PATH = re.compile(r"(?<![\w.])/(?:work|farm)/|(?<![\w.])\.\./shared")
# What says which parts to fetch must leave to the machine where they are fetched from.
FETCHING = (
    "requirements.lock",
    "pyproject.toml",
    "manage.py",
    "gowngroup/bootstrap.py",
    ".ci/run",
    ".ci/checks",
)
ALLOWED_TOP = {
    "manage.py", "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE", "requirements.lock",
    "gowngroup", "templates", "static", "tests",
}  # fmt: skip


def tracked_files() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],  # noqa: S607 - git of this machine
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return [ROOT / name for name in listed.stdout.splitlines() if (ROOT / name).is_file()]


@pytest.fixture(scope="module")
def files() -> list[Path]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    return tracked_files()


def test_every_locked_part_has_a_hash() -> None:
    """Each entry of the lock file is pinned to a version and at least one hash."""
    entries = re.split(r"\n(?=[a-z])", (ROOT / "requirements.lock").read_text())
    assert len(entries) > 20
    assert all("==" in entry and "--hash=sha256:" in entry for entry in entries)


def test_no_path_of_a_machine(files: list[Path]) -> None:
    """No path of somebody's machine stands in any file."""
    found = [
        f"{path.relative_to(ROOT)}: {match.group()}"
        for path in files
        if path.suffix not in (".png", ".ttf") and path != Path(__file__)
        for match in MACHINE_PATH.finditer(path.read_text(errors="ignore"))
    ]
    assert not found


@pytest.mark.parametrize("name", FETCHING)
def test_parts_are_fetched_from_no_named_address(name: str) -> None:
    """Whatever installs parts names no address at all."""
    assert "://" not in (ROOT / name).read_text()


def test_top_level_stays_tidy(files: list[Path]) -> None:
    """Beside hidden files the top level holds only what the ground plan names."""
    top = {path.relative_to(ROOT).parts[0] for path in files}
    assert {name for name in top if not name.startswith(".")} <= ALLOWED_TOP


def test_readme_opens_with_the_job() -> None:
    """The README opens with one paragraph that states the job, and names both commands."""
    text = (ROOT / "README.md").read_text()
    heading, job = text.split("\n\n")[:2]
    assert heading.startswith("# ")
    assert all(word in job.lower() for word in ("gowns", "wards", "volunteers"))
    assert "python3 manage.py demo" in text
    assert "python3 manage.py test" in text


def test_every_dependency_has_its_line() -> None:
    """DEVELOPERS.md says of each dependency what it is for and why this one."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    names = [
        re.split(r"[>=<\[]", entry)[0]
        for entry in (*project["project"]["dependencies"], *project["dependency-groups"]["dev"])
    ]
    text = (ROOT / "DEVELOPERS.md").read_text()
    assert [name for name in names if f"`{name}`" not in text] == []


def test_every_action_named_exists() -> None:
    """Each action DEVELOPERS.md names is a function of that room's actions."""
    text = (ROOT / "DEVELOPERS.md").read_text()
    named = re.findall(r"`(\w+)\.actions\.(\w+)`", text)
    assert named
    for room, name in named:
        sources = [
            *(ROOT / "gowngroup" / room).glob("actions*.py"),
            *(ROOT / "gowngroup" / room / "actions").glob("*.py"),
        ]
        assert any(f"def {name}(" in path.read_text() for path in sources), f"{room}.actions.{name}"
