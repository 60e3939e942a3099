"""What the PDF engine leaves open of PDF/UA-1 and PDF/A-3b, set right before a document is written."""

from collections.abc import Iterator
from typing import Any

INVISIBLE = b"2060"  # word joiner: a glyph that is only a part of a letter must still say something


def finish(_document: Any, pdf: Any) -> None:
    """Set running words apart from content, let every glyph say its letter, leave the metadata readable."""
    _set_running_words_apart(pdf)
    for each in pdf.objects:
        if b"begincmap" in getattr(each, "stream", ()):
            each.stream = [
                line[:-2] + b"<" + INVISIBLE + b">" if _is_mute(line) else line for line in each.stream
            ]
        elif getattr(each, "extra", {}).get("Type") == "/Metadata":
            each.compress = False


def _is_mute(line: Any) -> bool:
    """Does a line of a ToUnicode table map a glyph to nothing? ISO 14289-1 7.21.7 forbids that."""
    return isinstance(line, bytes) and line.endswith(b" <>")


def _set_running_words_apart(pdf: Any) -> None:
    """Headers and footers are artifacts of pagination (ISO 14289-1 7.8); the engine tags them outside of its tree."""
    by_reference = {each.reference: each for each in pdf.objects}
    root = by_reference[pdf.catalog["StructTreeRoot"]]
    in_tree = {id(each) for each in _below(root, by_reference)}
    marks: dict[bytes, set[int]] = {}
    for each in pdf.objects:
        if _is_element(each) and id(each) not in in_tree:
            marks.setdefault(each["Pg"], set()).update(kid for kid in each["K"] if isinstance(kid, int))
    for number, page in enumerate(pdf.page_references):
        if page in marks:
            _make_artifacts(by_reference[by_reference[page]["Contents"]].stream, marks[page])
            nums = by_reference[root["ParentTree"]]["Nums"][2 * number + 1]
            nums[:] = [b"null" if mark in marks[page] else element for mark, element in enumerate(nums)]


def _is_element(each: Any) -> bool:
    return isinstance(each, dict) and each.get("Type") == "/StructElem" and "Pg" in each


def _below(element: Any, by_reference: dict[bytes, Any]) -> Iterator[Any]:
    """Every element of the tree under one."""
    for kid in element.get("K", ()):
        if isinstance(kid, bytes) and kid in by_reference:
            yield by_reference[kid]
            yield from _below(by_reference[kid], by_reference)


def _make_artifacts(stream: list[Any], marks: set[int]) -> None:
    for index, part in enumerate(stream):
        if isinstance(part, dict) and part.get("MCID") in marks:
            stream[index - 1] = "/Artifact"
            del part["MCID"]
            part["Type"] = "/Pagination"
