"""A proposal in words: why a line has so many gowns, what holds the whole back and what would free it."""

from collections.abc import Callable, Iterator, Mapping
from math import ceil
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.words import length_words

Values = Mapping[str, Any]


def proposal_sentence(code: str, values: Values) -> str:
    """Why so many gowns are proposed, or fewer than are wanted."""
    return _ABOUT_LINE[code](values)


def _asked(values: Values) -> str:
    """`wards asked 6, shelf 2, out 3 × 0.9`."""
    asked = _("wards asked %(asked)d") if values["asked"] else _("no ward asked this month")
    parts = [asked % values]
    if values["shelf"]:
        parts.append(_("shelf %(shelf)d") % values)
    if values["out"]:
        share = f"{values['share_passed']:.2g}"
        parts.append(_("out %(out)d × %(share)s") % {"out": values["out"], "share": share})
    return ", ".join(parts)


def _safety(values: Values) -> str:
    words = {"kept": values["kept"], "mean": f"{values['mean']:.2g}"}
    return _("%(kept)d of them kept ready: about %(mean)s asked in a usual month, in some more") % words


def _sets(values: Values) -> str:
    return ngettext(
        "with a matched set, from one cloth",
        "with %(count)d matched sets, each from one cloth",
        values["count"],
    ) % {"count": values["count"]}


_ABOUT_LINE: Mapping[str, Callable[[Values], str]] = {
    "asked": _asked,
    "of_designs": lambda values: _("%(make)d of the %(all)d to make") % values,
    "safety": _safety,
    "matched_sets": _sets,
    "hours_ran_out": lambda values: _("%(missed)d fewer: the hours run out") % values,
    "pleat_hours_ran_out": lambda values: _("%(missed)d fewer: the hours of pleating run out") % values,
    "smock_hours_ran_out": lambda values: _("%(missed)d fewer: the hours of smocking run out") % values,
    "make_up_hours_ran_out": lambda values: _("%(missed)d fewer: the hours of making up run out") % values,
    "cloth_ran_out": lambda values: (
        ngettext(
            "%(missed)d fewer: no cloth is left for it",
            "%(missed)d fewer: no cloth is left for them",
            values["missed"],
        )
        % values
    ),
    "hours_and_cloth_ran_out": lambda values: _("%(missed)d fewer: hours and cloth run out") % values,
    "no_design": lambda values: _("%(missed)d fewer: no design suits") % values,
    "left_over": lambda values: _("%(missed)d fewer: others come first") % values,
}


def limit_sentences(told: Values) -> list[str]:
    """What binds and what would free it: `3 more hours of smocking would allow 2 more gowns.`"""
    return [_limit(limit) for limit in told.get("limits", [])]


def _limit(limit: Values) -> str:
    count = limit["more_count"]
    if limit["code"] == "no_design":
        return ngettext(
            "For %(count)d gown there is no design in its size and for its purpose that the ward accepts.",
            "For %(count)d gowns there is no design in their size and for their purpose that the ward accepts.",
            count,
        ) % {"count": count}
    gowns = ngettext("%(count)d more gown", "%(count)d more gowns", count) % {"count": count}
    means = _(" together with ").join(_means(limit))
    return capfirst(_("%(means)s would allow %(gowns)s.") % {"means": means, "gowns": gowns})


def _means(limit: Values) -> Iterator[str]:
    if limit["more_min"]:
        hours = ceil(limit["more_min"] / 60)
        yield _HOURS[limit["code"]](hours) % {"hours": hours}
    if limit["more_cloth_um"]:
        words = {
            "length": length_words(_up(limit["more_cloth_um"])),
            "width": length_words(limit["cloth_width_um"]),
            "kind": _cloth_kind(limit),
        }
        yield _("about %(length)s more of cloth %(width)s wide%(kind)s") % words


def _up(length_um: int) -> int:
    """Rounded up to 10 cm, since it is an estimate."""
    return ceil(length_um / 100_000) * 100_000


_HOURS: Mapping[str, Callable[[int], str]] = {
    "hours": lambda count: ngettext("%(hours)d more hour", "%(hours)d more hours", count),
    "several": lambda count: ngettext("%(hours)d more hour", "%(hours)d more hours", count),
    "pleat_hours": lambda count: ngettext(
        "%(hours)d more hour of pleating", "%(hours)d more hours of pleating", count
    ),
    "smock_hours": lambda count: ngettext(
        "%(hours)d more hour of smocking", "%(hours)d more hours of smocking", count
    ),
    "make_up_hours": lambda count: ngettext(
        "%(hours)d more hour of making up", "%(hours)d more hours of making up", count
    ),
}


def _cloth_kind(limit: Values) -> str:
    least, greatest = limit["least_gsm"], limit["greatest_gsm"]
    if least and greatest:
        return _(" (%(least)d to %(greatest)d g per square metre)") % {"least": least, "greatest": greatest}
    if greatest:
        return _(" (at most %(greatest)d g per square metre)") % {"greatest": greatest}
    return _(" (at least %(least)d g per square metre)") % {"least": least} if least else ""


def summary_sentences(told: Values, *, worst_ward: str | None) -> list[str]:
    """What the whole proposal comes to."""
    if not told:
        return []
    sentences = [
        _("Of %(asked)d gowns asked for, %(met)d are there already or will be made.")
        % {"asked": told["asked"], "met": told["met"]}
    ]
    if short := told["memorial_short"]:
        sentences.append(
            ngettext(
                "One memorial gown is still missing.",
                "%(count)d memorial gowns are still missing.",
                short,
            )
            % {"count": short}
        )
    if worst_ward and told["worst_cover"] is not None and told["worst_cover"] < 1:
        sentences.append(
            _("The ward served least gets %(percent)d %% of what it asked for: %(ward)s.")
            % {"percent": int(100 * told["worst_cover"]), "ward": worst_ward}
        )
    if not told["is_proven"]:
        sentences.append(
            _("There may be a slightly better mix: cloth is so short that not every way was tried.")
        )
    return sentences
