"""Every kind of work the first page tells of, each with the page where it is done, for whose roles and how pressing."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy, ngettext_lazy

from gowngroup.people.models import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of work: the count it stands for, its sentence, the button's words, the page, the roles.

    `one_page` is the page of the single thing, opened at once where only one waits, or always where it
    `leads_to_first`.
    """

    counted: str
    words: Promise
    verb: Promise
    page: str
    roles: frozenset[str]
    query: str = ""
    one_page: str = ""
    leads_to_first: bool = False
    can_wait: bool = False


COORDINATOR = frozenset({Role.COORDINATOR.value})
PACKER = frozenset({Role.PACKER.value})
SEWER = frozenset({Role.VOLUNTEER.value})
ANYBODY = frozenset(Role.values)  # the count itself says whom it concerns

# What concerns the whole group, the most pressing first.
OF_THE_GROUP = (
    Kind(
        counted="urgent_requests",
        words=ngettext_lazy(
            "%(count)d ward needs gowns today.", "%(count)d wards need gowns today.", "count"
        ),
        verb=gettext_lazy("Answer"),
        page="deliveries:drop_off_list",
        query="#urgent",
        roles=COORDINATOR,
    ),
    Kind(
        counted="kits_kept_for_her",
        words=ngettext_lazy("%(count)d kit is kept for you.", "%(count)d kits are kept for you.", "count"),
        verb=gettext_lazy("Look"),
        page="batches:kits_waiting",
        roles=SEWER,
    ),
    Kind(
        counted="calls_for_help",
        words=ngettext_lazy(
            "%(count)d person asks for help with a kit.",
            "%(count)d people ask for help with a kit.",
            "count",
        ),
        verb=gettext_lazy("Answer"),
        page="batches:call_list",
        one_page="batches:call_page",
        roles=ANYBODY,
    ),
    Kind(
        counted="calls_for_parts",
        words=ngettext_lazy(
            "Something is missing or spoilt in %(count)d kit at home.",
            "Something is missing or spoilt in %(count)d kits at home.",
            "count",
        ),
        verb=gettext_lazy("Answer"),
        page="batches:call_list",
        one_page="batches:call_page",
        roles=COORDINATOR | PACKER,
    ),
    Kind(
        counted="kits_to_post",
        words=ngettext_lazy("%(count)d kit is to be posted.", "%(count)d kits are to be posted.", "count"),
        verb=gettext_lazy("Post"),
        page="batches:call_list",
        one_page="batches:call_page",
        roles=COORDINATOR | PACKER,
    ),
    Kind(
        counted="letters_unsent",
        words=ngettext_lazy(
            "%(count)d letter could not be sent.", "%(count)d letters could not be sent.", "count"
        ),
        verb=gettext_lazy("Look"),
        page="people:letter_list",
        roles=COORDINATOR,
    ),
    Kind(
        counted="plans_broken_off",
        words=ngettext_lazy(
            "The planning of %(count)d batch broke off.",
            "The planning of %(count)d batches broke off.",
            "count",
        ),
        verb=gettext_lazy("Go on"),
        page="batches:batch_list",
        one_page="batches:plan_progress",
        roles=COORDINATOR,
    ),
    Kind(
        counted="prints_broken_off",
        words=ngettext_lazy(
            "The printing of kit sheets broke off for %(count)d batch.",
            "The printing of kit sheets broke off for %(count)d batches.",
            "count",
        ),
        verb=gettext_lazy("Go on"),
        page="batches:batch_list",
        one_page="printing:print_run",
        roles=COORDINATOR,
    ),
    Kind(
        counted="drop_offs_unsigned",
        words=ngettext_lazy(
            "%(count)d drop-off has left and is not signed for yet.",
            "%(count)d drop-offs have left and are not signed for yet.",
            "count",
        ),
        verb=gettext_lazy("Look"),
        page="deliveries:drop_off_list",
        query="?state=on+the+way",
        one_page="deliveries:drop_off_page",
        roles=COORDINATOR,
    ),
    Kind(
        counted="receipts_that_differ",
        words=ngettext_lazy(
            "On %(count)d receipt a ward noted a difference.",
            "On %(count)d receipts a ward noted a difference.",
            "count",
        ),
        verb=gettext_lazy("Look"),
        page="deliveries:drop_off_list",
        query="?state=received",
        one_page="deliveries:drop_off_page",
        roles=COORDINATOR,
    ),
    Kind(
        counted="people_to_tell",
        words=ngettext_lazy("%(count)d person is to be rung.", "%(count)d people are to be rung.", "count"),
        verb=gettext_lazy("Ring"),
        page="batches:people_to_tell",
        roles=COORDINATOR,
    ),
    Kind(
        counted="people_asking",
        words=ngettext_lazy(
            "%(count)d person would like to join.", "%(count)d people would like to join.", "count"
        ),
        verb=gettext_lazy("Answer"),
        page="people:join_list",
        one_page="people:join_answer",
        roles=COORDINATOR,
    ),
    Kind(
        counted="kits_late",
        words=ngettext_lazy("%(count)d kit is past its day.", "%(count)d kits are past their day.", "count"),
        verb=gettext_lazy("Ask kindly"),
        page="batches:kits_overdue",
        roles=COORDINATOR,
    ),
    Kind(
        counted="low_shelves",
        words=ngettext_lazy(
            "%(count)d ward has fewer gowns at hand than was agreed.",
            "%(count)d wards have fewer gowns at hand than was agreed.",
            "count",
        ),
        verb=gettext_lazy("Look"),
        page="wards:ward_list",
        query="?low=yes",
        one_page="wards:ward_page",
        roles=COORDINATOR,
    ),
    Kind(
        counted="gowns_short",
        words=ngettext_lazy(
            "%(count)d gown is asked for and in nobody’s hands yet.",
            "%(count)d gowns are asked for and in nobody’s hands yet.",
            "count",
        ),
        verb=gettext_lazy("Plan them"),
        page="batches:batch_start",
        one_page="batches:batch_page",
        leads_to_first=True,
        roles=COORDINATOR,
    ),
    Kind(
        counted="plans_short",
        words=ngettext_lazy(
            "%(count)d plan came out short of something.",
            "%(count)d plans came out short of something.",
            "count",
        ),
        verb=gettext_lazy("See what is short"),
        page="batches:batch_list",
        one_page="batches:plan_page",
        roles=COORDINATOR,
    ),
    Kind(
        counted="plans_to_commit",
        words=ngettext_lazy(
            "%(count)d plan waits to be committed.", "%(count)d plans wait to be committed.", "count"
        ),
        verb=gettext_lazy("Look"),
        page="batches:batch_list",
        one_page="batches:plan_page",
        roles=COORDINATOR,
    ),
    Kind(
        counted="batches_proposed",
        words=ngettext_lazy(
            "%(count)d batch is being put together.", "%(count)d batches are being put together.", "count"
        ),
        verb=gettext_lazy("Go on"),
        page="batches:batch_list",
        one_page="batches:batch_page",
        roles=COORDINATOR,
        can_wait=True,
    ),
    Kind(
        counted="batches_done",
        words=ngettext_lazy(
            "%(count)d batch is all back and can be closed.",
            "%(count)d batches are all back and can be closed.",
            "count",
        ),
        verb=gettext_lazy("Close it"),
        page="batches:batch_list",
        one_page="batches:batch_page",
        roles=COORDINATOR,
        can_wait=True,
    ),
    Kind(
        counted="open_requests",
        words=ngettext_lazy("%(count)d ward request is open.", "%(count)d ward requests are open.", "count"),
        verb=gettext_lazy("Look"),
        page="wards:request_list",
        query="?state=open",
        one_page="wards:request_page",
        roles=COORDINATOR,
        can_wait=True,
    ),
    Kind(
        counted="people_left",
        words=ngettext_lazy(
            "%(count)d person has left the group.", "%(count)d people have left the group.", "count"
        ),
        verb=gettext_lazy("Look"),
        page="people:left_list",
        roles=COORDINATOR,
        can_wait=True,
    ),
    Kind(
        counted="receipts_to_file",
        words=ngettext_lazy(
            "%(count)d signed receipt is not on file yet.",
            "%(count)d signed receipts are not on file yet.",
            "count",
        ),
        verb=gettext_lazy("Put on file"),
        page="deliveries:drop_off_list",
        query="?state=received",
        one_page="printing:receipt",
        roles=COORDINATOR,
        can_wait=True,
    ),
    Kind(
        counted="materials_out",
        words=ngettext_lazy(
            "Of %(count)d material nothing is left on the shelf.",
            "Of %(count)d materials nothing is left on the shelf.",
            "count",
        ),
        verb=gettext_lazy("Look"),
        page="stock:material_list",
        query="?has_run_out=on",
        roles=COORDINATOR | PACKER,
        can_wait=True,
    ),
)

FIRST_STEPS = (
    ("group_told", gettext_lazy("Say how people reach you, and where you are."), "people:group_settings"),
    ("designs", gettext_lazy("Choose the designs and sizes you sew."), "catalog:design_list"),
    ("wards", gettext_lazy("Add the wards you sew for."), "wards:ward_list"),
    ("materials", gettext_lazy("Write down what lies on the shelf."), "stock:material_list"),
    ("volunteers", gettext_lazy("Add the people who sew."), "people:person_list"),
)
