"""Sheets made in this very process, so that the tests see what was laid out and what was opened for it."""

from dataclasses import dataclass

import pytest
from django.test import Client

from gowngroup.printing import children
from gowngroup.printing.children import Answer
from gowngroup.printing.engine import written
from gowngroup.printing.render_child import MADE


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One sheet: the page as it was laid out, and the PDF made of it."""

    html: str
    content: bytes


class PrintedHere:
    """Keeps each sheet asked for through our pages; the engine works here and not in a child of its own."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.sheets: list[Printed] = []
        monkeypatch.setattr(children, "answer", self._answer)

    def _answer(self, html: str, variant: str, *, limit_s: float) -> Answer:
        content = written(html, variant)
        self.sheets.append(Printed(html=html, content=content))
        return Answer(state=MADE, content=content)

    def sheet(self, client: Client, address: str) -> Printed:
        """The sheet at an address."""
        response = client.get(address)
        assert response.status_code == 200, response.content[:400]
        assert response.content == self.sheets[-1].content
        return self.sheets[-1]
