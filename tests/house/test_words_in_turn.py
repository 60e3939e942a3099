"""Two people may gather words at the same moment: one waits for the other, and no translation is lost."""

import json
import os
import shutil
import subprocess
import sys
from typing import Any

import pytest
from django.conf import settings

from tests.house.gathering_twice import AT_ONCE, HALF_WRITTEN, IN_TURN, SAID, SENTENCE

pytestmark = pytest.mark.skipif(
    shutil.which("xgettext") is None, reason="GNU gettext is not installed: CI looks whether words are kept"
)
PROGRAM = """
import sys
from pathlib import Path
import django
django.setup()
from tests.house.gathering_twice import main
main(Path(sys.argv[1]))
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What came of gathering twice, in turn and, as the control, at once."""
    ran = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-c", PROGRAM, str(tmp_path_factory.mktemp("houses"))],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "gowngroup.settings", "GOWNGROUP_DEMO": "1"},
        check=True,
        capture_output=True,
        text=True,
    )
    return json.loads(ran.stdout)


def test_the_second_waits_and_nothing_is_lost(found: Any) -> None:
    """Whoever comes second says so and waits until the first has ended."""
    in_turn = found[IN_TURN]
    assert "waiting" in in_turn["said"]
    assert in_turn["ended_well"]
    assert SENTENCE in in_turn["words"]
    assert SAID in in_turn["words"]


def test_without_turns_translations_would_be_lost(found: Any) -> None:
    """The control: both at once, and the sentence is there with nothing said for it."""
    at_once = found[AT_ONCE]
    assert at_once["said"] == HALF_WRITTEN
    assert SENTENCE in at_once["words"]
    assert SAID not in at_once["words"]
