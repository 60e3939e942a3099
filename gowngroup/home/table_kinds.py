"""The kinds of work at the tables of those who cut, pack and check, and the stages of checking."""

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy, ngettext_lazy, pgettext_lazy

from gowngroup.gowns.models import Gown
from gowngroup.home.kinds import COORDINATOR, PACKER, Kind
from gowngroup.people.models import Role

INSPECTOR = frozenset({Role.INSPECTOR.value})

AT_THE_TABLES = (
    Kind(
        counted="lays_to_cut",
        words=ngettext_lazy("%(count)d lay is to be cut.", "%(count)d lays are to be cut.", "count"),
        verb=gettext_lazy("Cut"),
        page="batches:lay_list",
        one_page="batches:lay_page",
        roles=PACKER,
    ),
    Kind(
        counted="lays_without_cloth",
        words=ngettext_lazy(
            "%(count)d lay waits for its cloth to be washed and measured.",
            "%(count)d lays wait for their cloth to be washed and measured.",
            "count",
        ),
        verb=gettext_lazy("Look"),
        page="batches:lay_list",
        roles=PACKER,
    ),
    Kind(
        counted="kits_to_pack",
        words=ngettext_lazy(
            "%(count)d kit is cut and to be packed.", "%(count)d kits are cut and to be packed.", "count"
        ),
        verb=gettext_lazy("Pack"),
        page="batches:kits_to_pack",
        roles=PACKER,
    ),
    Kind(
        counted="kits_to_offer",
        words=ngettext_lazy(
            "%(count)d kit is packed and not offered yet.",
            "%(count)d kits are packed and not offered yet.",
            "count",
        ),
        verb=gettext_lazy("Offer"),
        page="batches:kits_to_pack",
        roles=PACKER,
    ),
    Kind(
        counted="kits_kept",
        words=ngettext_lazy(
            "%(count)d kit is kept for somebody.", "%(count)d kits are kept for somebody.", "count"
        ),
        verb=gettext_lazy("Look"),
        page="gowns:table_list",
        roles=PACKER,
    ),
    Kind(
        counted="drop_offs_to_pack",
        words=ngettext_lazy(
            "%(count)d drop-off is being packed.", "%(count)d drop-offs are being packed.", "count"
        ),
        verb=gettext_lazy("Pack"),
        page="deliveries:drop_off_list",
        query="?state=packing",
        one_page="deliveries:drop_off_page",
        roles=INSPECTOR | PACKER,
    ),
    Kind(
        counted="kits_lacking",
        words=ngettext_lazy(
            "%(count)d kit wants something that was short.",
            "%(count)d kits want something that was short.",
            "count",
        ),
        verb=gettext_lazy("Shopping list"),
        page="batches:kits_to_pack",
        one_page="batches:shopping_list",
        leads_to_first=True,
        roles=COORDINATOR | PACKER,
        can_wait=True,
    ),
    Kind(
        counted="cloth_to_wash",
        words=ngettext_lazy(
            "%(count)d piece of cloth is to be washed.",
            "%(count)d pieces of cloth are to be washed.",
            "count",
        ),
        verb=gettext_lazy("Wash"),
        page="stock:lot_list",
        query="?kind=cloth&state=as+given",
        roles=PACKER,
        can_wait=True,
    ),
    Kind(
        counted="cloth_to_measure",
        words=ngettext_lazy(
            "%(count)d washed piece of cloth is to be measured.",
            "%(count)d washed pieces of cloth are to be measured.",
            "count",
        ),
        verb=pgettext_lazy("to do", "Measure"),
        page="stock:lot_list",
        query="?kind=cloth&state=washed",
        roles=PACKER,
        can_wait=True,
    ),
    Kind(
        counted="kits_finished",
        words=ngettext_lazy(
            "%(count)d kit is finished at home and comes in soon.",
            "%(count)d kits are finished at home and come in soon.",
            "count",
        ),
        verb=gettext_lazy("Take back"),
        page="gowns:table_back",
        roles=INSPECTOR | PACKER,
        can_wait=True,
    ),
)

# The stages of checking: the sentence, the button's words and the page.
STAGES: Mapping[str, tuple[Promise, Promise, str]] = {
    Gown.State.BACK.value: (
        ngettext_lazy(
            "%(count)d gown waits for its first check.",
            "%(count)d gowns wait for their first check.",
            "count",
        ),
        gettext_lazy("Check"),
        "gowns:first_checks",
    ),
    Gown.State.MENDING.value: (
        ngettext_lazy("%(count)d gown is to be mended.", "%(count)d gowns are to be mended.", "count"),
        gettext_lazy("Mend"),
        "gowns:mending",
    ),
    Gown.State.TO_WASH.value: (
        ngettext_lazy("%(count)d gown is to be washed.", "%(count)d gowns are to be washed.", "count"),
        gettext_lazy("Wash"),
        "gowns:wash",
    ),
    Gown.State.WASHED.value: (
        ngettext_lazy(
            "%(count)d gown waits for its second check.",
            "%(count)d gowns wait for their second check.",
            "count",
        ),
        gettext_lazy("Check"),
        "gowns:second_checks",
    ),
}
