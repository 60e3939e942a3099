"""QR codes read as a telephone would, from fresh prints and from worn photocopies (ISO/IEC 18004)."""

import zxingcpp
from PIL import Image, ImageFilter


def decoded(picture: Image.Image) -> list[str]:
    """What every code of a picture says."""
    return sorted(code.text for code in zxingcpp.read_barcodes(picture))


def photocopied(picture: Image.Image, dpi: int) -> Image.Image:
    """The picture as a worn photocopier gives it: grey, blurred by 0.15 mm, turned by 2°."""
    grey = picture.convert("L").point(lambda shade: 70 + shade * 0.6)
    return grey.filter(ImageFilter.GaussianBlur(0.15 * dpi / 25.4)).rotate(2, fillcolor=223)
