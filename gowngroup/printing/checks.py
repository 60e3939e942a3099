"""A word to whoever runs the site when PDFs cannot be made."""

from collections.abc import Sequence
from typing import Any

from django.core import checks

from gowngroup.printing.pdf import HOW_TO_INSTALL, missing_libraries


@checks.register
def pdf_libraries(app_configs: Any, **kwargs: Any) -> Sequence[checks.CheckMessage]:
    """Warn, with the command for each system, when a library for PDFs is missing."""
    missing = missing_libraries()
    if not missing:
        return []
    return [
        checks.Warning(
            f"PDFs cannot be made as they should: missing {', '.join(missing)}. Everything else works.",
            hint="\n".join(HOW_TO_INSTALL),
            id="printing.W001",
        )
    ]
