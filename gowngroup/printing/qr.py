"""QR codes (ISO/IEC 18004) as inline SVG path data, with the quiet zone of four modules the standard asks for.

Each run of dark modules is one stroke, one module wide: a third of the work that outlines make for the PDF engine.
"""

from dataclasses import dataclass

import segno

QUIET_MODULES = 4
LEAST_MODULE_MM = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class QrCode:
    """One code: its modules as a path, side and size including the quiet zone, and what it says."""

    address: str
    path: str
    side_modules: int
    size_mm: float

    @property
    def module_mm(self) -> float:
        """Width of one module."""
        return self.size_mm / self.side_modules


def qr_code(address: str, *, symbol_mm: float = 0.0) -> QrCode:
    """The code of an address, its symbol at least `symbol_mm` wide and its modules at least 0.4 mm."""
    code = segno.make(address, error="m", micro=False)
    modules = len(code.matrix)
    module_mm = max(symbol_mm / modules, LEAST_MODULE_MM)
    side = modules + 2 * QUIET_MODULES
    return QrCode(
        address=address,
        path="".join(
            f"M{column + QUIET_MODULES} {row + QUIET_MODULES}.5h{width}"
            for row, line in enumerate(code.matrix)
            for column, width in _dark_runs(bytes(line))
        ),
        side_modules=side,
        size_mm=round(side * module_mm, 3),
    )


def _dark_runs(line: bytes) -> list[tuple[int, int]]:
    """Where dark runs start in a line of modules, and how many modules they take."""
    starts = [at for at, dark in enumerate(line) if dark and (at == 0 or not line[at - 1])]
    return [(start, len(line[start:].split(b"\0", 1)[0])) for start in starts]
