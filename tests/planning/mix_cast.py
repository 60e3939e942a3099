"""Designs, cloth and asks the tests of the mix share."""

from typing import Any

from gowngroup.planning.mix import (
    ClothRoom,
    GownChoice,
    GownSupply,
    HoursOffered,
    Mix,
    ProposalLine,
    StageMinutes,
    WardAsk,
    propose,
)

SMALL = GownChoice(
    size_name="40 cm",
    purpose="worn",
    design_key="yoke",
    minutes=StageMinutes(pleat=20, smock=80, make_up=100),
    cloth_mm2=1.0,
    lot_keys=("yoke lot",),
    cloth_key="batiste",
)
LARGE = GownChoice(
    size_name="51 cm",
    purpose="worn",
    design_key="round",
    minutes=StageMinutes(pleat=20, smock=130, make_up=150),
    cloth_mm2=1.0,
    lot_keys=("round lot",),
    cloth_key="poplin",
)
WRAP = GownChoice(
    size_name="40 cm",
    purpose="memorial",
    design_key="wrap",
    minutes=StageMinutes(make_up=100),
    cloth_mm2=1.0,
    lot_keys=("wrap lot",),
    cloth_key="lawn",
)
CLOTH = tuple(ClothRoom(lot_key=f"{key} lot", area_mm2=100.0) for key in ("yoke", "round", "wrap"))
PLENTY = HoursOffered(total_min=1e6)


def ask(ward: str, count: int, choice: GownChoice = SMALL, *, set_key: str | None = None) -> WardAsk:
    """So many gowns of a choice's size and purpose."""
    return WardAsk(
        ward_key=ward,
        size_name=choice.size_name,
        purpose=choice.purpose,
        gown_count=count,
        matched_set_key=set_key,
    )


def stock(shelf: int, out: int, choice: GownChoice = SMALL, **more: Any) -> GownSupply:
    """Gowns there already, nine of ten of those out expected to pass."""
    values = {"share_passed": 0.9, **more}
    return GownSupply(
        size_name=choice.size_name, purpose=choice.purpose, shelf_count=shelf, out_count=out, **values
    )


def means(**more: Any) -> dict[str, Any]:
    """Everything but the asks; plenty of all unless said."""
    return {"supplies": (), "choices": (SMALL, LARGE, WRAP), "cloth": CLOTH, "hours": PLENTY, **more}


def mix(*asks: WardAsk, **more: Any) -> Mix:
    """The proposed mix."""
    return propose(asks, **means(**more))


def made(found: Mix) -> dict[tuple[str, str, str], int]:
    """Gowns made per ward, size and purpose."""
    return {
        (share.ward_key, line.size_name, line.purpose): share.make_count
        for line in found.lines
        for share in line.shares
    }


def reason_codes(line: ProposalLine) -> list[str]:
    """The codes of a line's reasons."""
    return [each.code for each in line.reasons]


def hours(gowns: float, choice: GownChoice = SMALL, **more: float) -> HoursOffered:
    """Hours for so many gowns of a choice."""
    return HoursOffered(total_min=gowns * choice.minutes.total, **more)
