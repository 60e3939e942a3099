"""The fullest sheets there can be: the longest names, notes and lists our fields take, in German."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice, product
from urllib.parse import urlencode

from django.urls import reverse

from gowngroup.catalog.models import DesignSize, RectanglePiece
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group
from gowngroup.records.codes import ALPHABET, BODY_LENGTH, check_character
from tests.factories import (
    DesignFactory,
    DesignRevisionFactory,
    DesignSizeFactory,
    LotFactory,
    MaterialFactory,
    SizeFactory,
    WardFactory,
)
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, MAKE_KIT

LONG_WORD = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"
SENTENCE = "Bitte an der Neugeborenenintensivstationsanmeldung klingeln, Frühgeborenenbekleidung gebügelt. "
NOON = datetime(2026, 3, 12, 12, tzinfo=UTC)


def long_text(length: int) -> str:
    """German words, one of them longer than most lines, just as long as a field may hold."""
    return (f"{LONG_WORD} " + SENTENCE * (length // 60 + 1))[:length].strip()


def widest_codes(prefix: str) -> Iterator[str]:
    """Codes as in use, of the widest letters they have: what fits with them fits with any."""
    for letters in product("WMNG", repeat=BODY_LENGTH):
        body = prefix + "".join(letters)
        check = check_character(body)
        if check in ALPHABET:
            yield body + check


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the sheets are made of; each address builds only what its sheet needs."""

    group: Group
    make_gown: MAKE_GOWN
    make_drop_off: MAKE_DROP_OFF
    make_kit: MAKE_KIT

    def receipt(self) -> str:
        return reverse("printing:receipt_pdf", args=[self.drop_off(state="on the way").pk])

    def packing(self) -> str:
        return reverse("printing:drop_off_packing_pdf", args=[self.drop_off().pk])

    def driver(self) -> str:
        first = self.drop_off()
        self.drop_off(receipt_number="R2026-0008")
        return reverse("printing:drop_off_driver_pdf", args=[first.pk])

    def drop_off(self, **fields: object) -> DropOff:
        """Forty gowns to wear of three sizes and three memorial gowns, for the ward with the longest names."""
        ward = WardFactory(name=long_text(118) + str(DropOff.objects.count()), packing=long_text(200))
        ward.hospital.name, ward.hospital.address = (
            long_text(118) + str(ward.pk),
            "\n".join([long_text(99)] * 5),
        )
        ward.hospital.save()
        made = self.make_drop_off(worn=38, memorial=3, **{"ward": ward, "note": long_text(300), **fields})
        made.gown_rows.filter(gown__purpose="memorial").update(box_number=2)
        for number, row in enumerate(made.gown_rows.filter(gown__purpose="worn").select_related("gown")):
            row.gown.size = SizeFactory(
                lower_mass_g=4000 + number % 3, upper_mass_g=9000 + number % 3, body_length_um=1_000_000
            )
            row.gown.save()
        return made

    def signed_receipt(self) -> DropOff:
        """A drop-off the ward signed for, with differences in every line and a remark."""
        found = [
            {"size": 1, "band": "9000–10000 g", "purpose": purpose, "written": 38, "came": 3}
            for purpose in ("worn", "memorial")
        ]
        said: list[object] = [*found, {"remark": long_text(500)}]
        return self.drop_off(state="received", received_at=NOON, signed_name=long_text(120), differences=said)

    def gowns(self) -> list[Gown]:
        return [self.make_gown(state="back") for _number in range(3)]

    def label_sheet(self, kind: str, sheet: str) -> str:
        """A sheet of labels of one kind."""
        keys = {
            "gown": self._gown_keys,
            "bag": self._bag_keys,
            "box": self._box_keys,
            "shelf": self._lot_keys,
            "kit": self._kit_keys,
        }
        query = {"kind": kind, "sheet": sheet, "start": 1, "per_bag": 3, "item": keys[kind]()}
        return f"{reverse('printing:labels_pdf')}?{urlencode(query, doseq=True)}"

    def _gown_keys(self) -> list[str]:
        return [gown.code for gown in self.gowns()]

    def _bag_keys(self) -> list[str]:
        purposes = ("worn", "worn", "worn", "memorial")
        passed = datetime(2026, 3, 11, tzinfo=UTC)
        return [self.make_gown(state="passed", passed_at=passed, purpose=each).code for each in purposes]

    def _box_keys(self) -> list[str]:
        drop_off = self.make_drop_off(
            worn=2, memorial=1, ward=WardFactory(name="Neugeborenenintensivstation"), receipt_number=None
        )
        drop_off.gown_rows.filter(gown__purpose="memorial").update(box_number=2)
        return [f"{drop_off.pk}-1", f"{drop_off.pk}-2"]

    def _lot_keys(self) -> list[str]:
        material = MaterialFactory(name="Neugeborenenbaumwollbatist", shade="Vergissmeinnichtblau")
        return [
            LotFactory(code=code, material=material, place="Regal 3, zweites Fach von links").code
            for code in islice(widest_codes("L"), 2)
        ]

    def _kit_keys(self) -> list[str]:
        return [self.make_kit(gown_count=12, code=next(widest_codes("K"))).code]

    def pattern(self, name: str, piece_count: int) -> str:
        """Small pieces with the longest names, of a design with the longest name."""
        revision = DesignRevisionFactory(design=DesignFactory(name=long_text(80)))
        row: DesignSize = DesignSizeFactory(revision=revision, size=SizeFactory())
        RectanglePiece.objects.bulk_create(
            RectanglePiece(
                design_size=row,
                name=f"{number} {long_text(57)}"[:60],
                part="sleeve",
                piece_count=2,
                width_um=70_000 + 1000 * number,
                length_um=60_000 + 2000 * number,
            )
            for number in range(piece_count)
        )
        return reverse(f"printing:{name}", args=[revision.pk, row.size_id])


Build = Callable[[Scene], str]
