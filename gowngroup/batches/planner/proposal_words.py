"""A proposal in words: why a line has so many gowns, what holds the whole back and what would free it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import ceil, floor
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.words import length_words

# Under this key stand minutes that any stage may take.
ANY_STAGE = "any"

Values = Mapping[str, Any]


def proposal_sentence(code: str, values: Values) -> str:
    """Why so many gowns are proposed, or fewer than are wanted."""
    return _ABOUT_LINE[code](values)


def _asked(values: Values) -> str:
    """`The wards asked for 6. 2 are ready on the shelf. 3 are planned already, being sewn or being checked; usually 90 in …`"""
    asked = _("The wards asked for %(asked)d.") if values["asked"] else _("No ward asked for any this month.")
    parts = [asked % values]
    if values["shelf"]:
        ready = ngettext(
            "%(shelf)d is ready on the shelf.", "%(shelf)d are ready on the shelf.", values["shelf"]
        )
        parts.append(ready % values)
    if values["out"]:
        parts.append(_out(values["out"], round(100 * values["share_passed"])))
    return " ".join(parts)


def _out(out: int, percent: int) -> str:
    """Gowns on their way, and how many of such gowns pass."""
    if percent >= 100:
        words = ngettext(
            "%(out)d is planned already, being sewn or being checked.",
            "%(out)d are planned already, being sewn or being checked.",
            out,
        )
    else:
        words = ngettext(
            "%(out)d is planned already, being sewn or being checked; usually %(percent)d in 100 pass.",
            "%(out)d are planned already, being sewn or being checked; usually %(percent)d in 100 pass.",
            out,
        )
    return words % {"out": out, "percent": percent}


def _safety(values: Values) -> str:
    kept, yearly = values["kept"], round(12 * values["mean"])
    words = {"kept": kept, "yearly": max(yearly, 1)}
    return (
        ngettext(
            "%(kept)d of them is to lie ready on the shelf: the wards ask for about %(yearly)d of this size in a year,"
            " and nobody knows in which month.",
            "%(kept)d of them are to lie ready on the shelf: the wards ask for about %(yearly)d of this size in a"
            " year, and sometimes for several at once.",
            kept,
        )
        % words
    )


def _sets(values: Values) -> str:
    return ngettext(
        "A matched set, cut from one cloth, is among them.",
        "%(count)d matched sets, each cut from one cloth, are among them.",
        values["count"],
    ) % {"count": values["count"]}


def _of_designs(values: Values) -> str:
    return (
        ngettext(
            "Of the %(all)d gowns to be made of this size, %(make)d is of this design.",
            "Of the %(all)d gowns to be made of this size, %(make)d are of this design.",
            values["make"],
        )
        % values
    )


def _closure_refused(values: Values) -> str:
    return _not_counted(
        values,
        ngettext(
            "%(count)d of them is not counted for %(wards)s, where its closure is not accepted.",
            "%(count)d of them are not counted for %(wards)s, where their closure is not accepted.",
            values["count"],
        ),
    )


def _shade_avoided(values: Values) -> str:
    return _not_counted(
        values,
        ngettext(
            "%(count)d of them is not counted for %(wards)s, where cloth of its shade is not wanted.",
            "%(count)d of them are not counted for %(wards)s, where cloth of their shade is not wanted.",
            values["count"],
        ),
    )


def _wash_refused(values: Values) -> str:
    return _not_counted(
        values,
        ngettext(
            "%(count)d of them is not counted for %(wards)s, whose laundry is hotter than its cloth is known to stand.",
            "%(count)d of them are not counted for %(wards)s, whose laundry is hotter than their cloth is known to stand.",
            values["count"],
        ),
    )


def _not_counted(values: Values, words: str) -> str:
    return words % {"count": values["count"], "wards": _(" and ").join(values["wards"])}


def _left_out(because: Callable[[], str]) -> Callable[[Values], str]:
    """How many are left out, and why."""

    def told(values: Values) -> str:
        left_out = ngettext("%(missed)d is left out", "%(missed)d are left out", values["missed"]) % values
        return _("%(left_out)s: %(because)s.") % {"left_out": left_out, "because": because()}

    return told


def _several_ran_out(values: Values) -> str:
    """`2 are left out: too little is left of hours for smocking and suitable cloth.`"""
    lacks = values["lacks"]
    names = {
        "pleat": _("hours for pleating"),
        "smock": _("hours for smocking"),
        "make_up": _("hours for making up"),
        "any": _("hours for the rest") if len({*lacks} - {"cloth"}) > 1 else _("hours"),
        "cloth": _("suitable cloth"),
    }
    because = _("too little is left of %(means)s") % {"means": _listed([names[lack] for lack in lacks])}
    return _left_out(lambda: because)(values)


_ABOUT_LINE: Mapping[str, Callable[[Values], str]] = {
    "asked": _asked,
    "closure_refused": _closure_refused,
    "shade_avoided": _shade_avoided,
    "wash_refused": _wash_refused,
    "of_designs": _of_designs,
    "safety": _safety,
    "matched_sets": _sets,
    "hours_ran_out": _left_out(lambda: _("the volunteers have no more hours")),
    "pleat_hours_ran_out": _left_out(lambda: _("there are no more hours for pleating")),
    "smock_hours_ran_out": _left_out(lambda: _("there are no more hours for smocking")),
    "make_up_hours_ran_out": _left_out(lambda: _("there are no more hours for making up")),
    "cloth_ran_out": _left_out(lambda: _("there is not enough suitable cloth")),
    "no_common_cloth": _left_out(lambda: _("no one cloth on the shelf suits all gowns of the matched set")),
    "several_ran_out": _several_ran_out,
    # Proposals made before each lack was named.
    "hours_and_cloth_ran_out": _left_out(lambda: _("there are neither hours nor suitable cloth enough")),
    "no_design": _left_out(lambda: _("no design of yours is made like this with a closure the ward accepts")),
    "left_over": _left_out(lambda: _("other gowns are needed more")),
}


def limit_sentences(told: Values) -> list[str]:
    """What binds and what would free it: `With 3 more hours of smocking, 2 more gowns could be made.`"""
    return [_limit(limit) for limit in told.get("freeing", []) if _frees(limit)]


def _frees(limit: Values) -> bool:
    """Is there anything to say? A mix not proven best may be bettered by asking again, with nothing more."""
    is_short = any(limit["more_min"].values()) or bool(limit["more_cloth"])
    return is_short or limit["code"] == "no_design"


def _limit(limit: Values) -> str:
    count = limit["more_count"]
    if limit["code"] == "no_design":
        return ngettext(
            "%(count)d gown cannot be made: none of your designs is made in its size and for its purpose with a"
            " closure the ward accepts.",
            "%(count)d gowns cannot be made: none of your designs is made in their size and for their purpose with a"
            " closure the ward accepts.",
            count,
        ) % {"count": count}
    return ngettext(
        "With %(means)s, %(count)d more gown could be made.",
        "With %(means)s, %(count)d more gowns could be made.",
        count,
    ) % {
        "means": _listed([*_more_hours(limit["more_min"]), *_more_cloth(limit["more_cloth"])]),
        "count": count,
    }


def _listed(parts: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    *others, last = parts
    return _(" and ").join([", ".join(others), last]) if others else last


def _more_hours(more_min: Mapping[str, int]) -> Iterator[str]:
    """The hours of each stage, whole ones; those for any stage last."""
    for stage, words in _HOURS.items():
        if minutes := more_min.get(stage):
            hours = ceil(minutes / 60)
            yield words(hours) % {"hours": hours}
    if minutes := more_min.get(ANY_STAGE):
        hours = ceil(minutes / 60)
        yield _any_hours(hours, is_alone=len(more_min) == 1) % {"hours": hours}


def _any_hours(count: int, *, is_alone: bool) -> str:
    if is_alone:
        return ngettext("%(hours)d more hour", "%(hours)d more hours", count)
    return ngettext("%(hours)d more hour for the rest", "%(hours)d more hours for the rest", count)


_HOURS: Mapping[str, Callable[[int], str]] = {
    "pleat": lambda count: ngettext(
        "%(hours)d more hour of pleating", "%(hours)d more hours of pleating", count
    ),
    "smock": lambda count: ngettext(
        "%(hours)d more hour of smocking", "%(hours)d more hours of smocking", count
    ),
    "make_up": lambda count: ngettext(
        "%(hours)d more hour of making up", "%(hours)d more hours of making up", count
    ),
}


def _more_cloth(more_cloth: Sequence[Values]) -> Iterator[str]:
    for cloth in more_cloth:
        words = {
            "length": length_words(_up(cloth["length_um"])),
            "width": length_words(cloth["width_um"]),
            "kind": _cloth_kind(cloth),
        }
        yield _("about %(length)s more of cloth %(width)s wide%(kind)s") % words


def _up(length_um: int) -> int:
    """Rounded up to 10 cm, since it is an estimate."""
    return ceil(length_um / 100_000) * 100_000


def _cloth_kind(cloth: Values) -> str:
    least, greatest = cloth["least_gsm"], cloth["greatest_gsm"]
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
        ngettext(
            "%(asked)d gown is asked for; %(met)d is there already or will be made.",
            "Of %(asked)d gowns asked for, %(met)d are there already or will be made.",
            told["asked"],
        )
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
            _("%(ward)s gets the smallest share: %(percent)d of every 100 gowns it asked for.")
            % {"percent": floor(100 * told["worst_cover"] + 1e-9), "ward": worst_ward}
        )
    if not told["is_proven"]:
        sentences.append(
            _(
                "There may be a slightly better choice: cloth is so short that not every way of sharing it could be tried."
            )
        )
    return sentences
