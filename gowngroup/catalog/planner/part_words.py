"""Pieces, companions and seams of a draft in the reader's words."""

from django.utils.translation import gettext as _


def piece_label(name: str) -> str:
    """A drafted piece's name for the reader."""
    return (_gown_pieces() | _companion_pieces()).get(name, name)


def piece_in_sentence(name: str) -> str:
    """A drafted piece within a sentence, without what is told after a comma: `front panel`."""
    return piece_label(name).partition(",")[0]


def place_label(where: str) -> str:
    """A seam, piece or edge that a draft names; both sides of a gown are alike."""
    plain = where.removesuffix("_right").removesuffix("_left")
    return _seams().get(plain) or piece_in_sentence(plain.replace("_", " "))


def _gown_pieces() -> dict[str, str]:
    return {
        "front": _("front"),
        "back": _("back"),
        "sleeve": _("sleeve"),
        "neck binding": _("neck binding, cut on the bias"),
        "front panel": _("front panel, to be smocked"),
        "front yoke": _("front yoke and its lining"),
        "back yoke": _("back yoke and its lining"),
        "wrap": _("wrap"),
        "lining": _("lining"),
    }


def _companion_pieces() -> dict[str, str]:
    return {
        "bonnet band": _("bonnet, band over the head"),
        "bonnet back": _("bonnet, back"),
        "blanket": _("wrap blanket"),
        "keepsake square": _("keepsake square"),
        "swatch": _("spare piece of cloth"),
    }


def _seams() -> dict[str, str]:
    return {
        "raglan_front": _("raglan, front to sleeve"),
        "raglan_back": _("raglan, back to sleeve"),
        "armhole_front": _("armhole, front to sleeve"),
        "armhole_back": _("armhole, back to sleeve"),
        "side": _("side, front to back"),
        "shoulder": _("shoulder"),
        "sleeve_underarm": _("underarm of the sleeve"),
        "neck_binding": _("neck and its binding"),
        "yoke_front": _("smocked panel to front yoke"),
        "yoke_back": _("gathered back to back yoke"),
        "yoke_back_flat": _("overlap of the back to its yoke"),
        "crown": _("bonnet, band to back"),
        "lining_neck": _("wrap and lining, neck"),
        "lining_shoulder": _("wrap and lining, upper edge"),
        "lining_front": _("wrap and lining, front edge"),
        "lining_hem": _("wrap and lining, hem"),
    }
