"""What the group sews with: its list of materials, in its own words."""

from datetime import datetime
from typing import cast

from gowngroup.people.models import Person
from gowngroup.stock.actions import add_material
from gowngroup.stock.actions.materials import MaterialFacts
from gowngroup.stock.models import Fibre, Material

METRE = 1_000_000
CM = 10_000
MM = 1_000

BATISTE, CREAM, LAWN, LEAF = "batiste", "cream batiste", "sky lawn", "leaf print"
POPLIN, ROSE, SHEET, LILAC = "sage poplin", "rose poplin", "old sheets", "lilac polycotton"
LINEN, VOILE, FLANNEL, VISCOSE = "linen", "voile", "flannel", "viscose"
ENTREDEUX, BEADING = "entredeux", "beading"
NARROW_LACE, PICOT, TAPE, SATIN = "narrow lace", "picot lace", "cotton tape", "satin ribbon"
THREAD, CREAM_THREAD, FASTENING, HOOKS = "white thread", "cream thread", "fastening", "hooks"
BAGS, LABELS = "bags", "labels"

FLOSS: dict[str, str] = {
    "old rose": "#b9798a",
    "sage": "#8fa583",
    "sky": "#8fb0cc",
    "lilac": "#a596bd",
    "oatmeal": "#cdb894",
    "white": "#fbfaf5",
    "forget-me-not": "#6c8fb8",
    "apricot": "#e0a67f",
}


def _cloth(name: str, shade: str, swatch: str, *, mass: int, wash: int, **also: object) -> MaterialFacts:
    facts = {"kind": "cloth", "name": name, "shade": shade, "swatch": swatch, "mass_g_per_m2": mass}
    return cast(MaterialFacts, {**facts, "wash_max_c": wash, **also})


def _trim(kind: str, name: str, shade: str, swatch: str, *, package_m: int, **also: object) -> MaterialFacts:
    facts = {"kind": kind, "name": name, "shade": shade, "swatch": swatch, "wash_max_c": 90}
    package = {"package_amount": package_m * METRE}
    return cast(MaterialFacts, {**facts, **package, **also})


def _counted(name: str, package: int, **also: object) -> MaterialFacts:
    facts = {"kind": "notion", "name": name, "wash_max_c": 90, "is_counted": True}
    return cast(MaterialFacts, {**facts, "package_amount": package, "package_word": "pack", **also})


MATERIALS: dict[str, MaterialFacts] = {
    BATISTE: _cloth("Cotton batiste", "white", "#faf8f1", mass=80, wash=95),
    CREAM: _cloth("Cotton batiste", "cream", "#f1e6cf", mass=80, wash=95),
    LAWN: _cloth("Cotton lawn", "sky", "#c9dbe8", mass=75, wash=71),
    LEAF: _cloth("Cotton lawn", "small leaves", "#dfe6d5", mass=85, wash=71, has_nap=True),
    POPLIN: _cloth("Poplin", "sage", "#c4d0b9", mass=110, wash=95),
    ROSE: _cloth("Poplin", "rose", "#e8c9cd", mass=110, wash=95),
    SHEET: _cloth("Percale, from old sheets", "white", "#f6f4ee", mass=120, wash=95),
    LILAC: _cloth("Cotton and polyester", "lilac", "#d6cde2", mass=105, wash=60, fibre=Fibre.COTTON_BLEND),
    LINEN: _cloth("Handkerchief linen", "ivory", "#efe9da", mass=130, wash=90, fibre=Fibre.LINEN),
    VOILE: _cloth("Cotton voile", "white", "#fbfbf8", mass=55, wash=60),
    FLANNEL: _cloth("Flannel", "peach", "#f0cdb8", mass=170, wash=71, has_nap=True),
    VISCOSE: _cloth("Viscose", "silver grey", "#cfd2d4", mass=105, wash=40, fibre=Fibre.VISCOSE),
    NARROW_LACE: _trim("lace", "Narrow cotton lace", "white", "#fdfcf8", package_m=10, package_word="card"),
    PICOT: _trim("lace", "Picot edging", "cream", "#f3ead6", package_m=5, package_word="card"),
    ENTREDEUX: _trim(
        "entredeux",
        "Cotton entredeux",
        "white",
        "#fdfcf8",
        package_m=5,
        package_word="card",
        width_um=18 * MM,
        batiste_um=7 * MM,
    ),
    BEADING: _trim(
        "beading", "Cotton beading", "white", "#fdfcf8", package_m=5, package_word="card", width_um=12 * MM
    ),
    TAPE: _trim("ribbon", "Cotton tape ribbon", "white", "#fbfaf5", package_m=10, package_word="card"),
    SATIN: _trim(
        "ribbon",
        "Satin ribbon",
        "blue",
        "#a9c1d8",
        package_m=5,
        wash_max_c=40,
        fibre=Fibre.POLYESTER,
        package_word="card",
    ),
    THREAD: _trim("thread", "Cotton sewing thread", "white", "#fbfaf5", package_m=200, package_word="spool"),
    CREAM_THREAD: _trim(
        "thread", "Cotton sewing thread", "cream", "#f1e6cf", package_m=200, package_word="spool"
    ),
    FASTENING: _counted("Flat fastening, moulded", 20, fibre=Fibre.NYLON),
    HOOKS: _counted("Hooks and eyes", 24, fibre=Fibre.METAL),
    BAGS: _counted("Clear sealing bags", 100, fibre=Fibre.OTHER),
    LABELS: _counted("Woven labels, size and wash", 100, fibre=Fibre.COTTON),
    **{
        shade: _trim("floss", "Stranded cotton", shade, FLOSS[shade], package_m=8, package_word="skein")
        for shade in FLOSS
    },
}


def list_materials(by: Person, at: datetime) -> dict[str, Material]:
    """Put every material onto the group's list."""
    return {key: add_material(**facts, by=by, at=at) for key, facts in MATERIALS.items()}
