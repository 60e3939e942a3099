"""Many PDFs as one: pages, tags for those who listen to it, and a list to find each sheet by."""

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One PDF of those to be joined, and what it is called in the list."""

    title: str
    content: bytes


def joined(parts: Iterable[Part], *, title: str, language: str, is_for_both_sides: bool = False) -> bytes:
    """One PDF of all the parts in their order, the same bytes whenever the parts are the same.

    For printing on both sides a part with an odd number of pages gets an empty one, so that the next begins on a
    fresh sheet of paper.
    """
    whole, tags = pikepdf.new(), _Tags()
    with whole.open_outline() as outline:
        for part in parts:
            outline.root.append(pikepdf.OutlineItem(part.title, len(whole.pages)))
            with pikepdf.open(io.BytesIO(part.content)) as pdf:
                tags.take(whole, pdf)
                if is_for_both_sides and len(pdf.pages) % 2:
                    size: Any = tuple(map(float, pdf.pages[-1].mediabox[2:]))
                    whole.add_blank_page(page_size=size)
    tags.put(whole)
    whole.Root.Lang = pikepdf.String(language)
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    with whole.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as told:
        told["dc:title"] = title
        told["{http://www.aiim.org/pdfua/ns/id/}part"] = "1"
    file = io.BytesIO()
    whole.save(file, deterministic_id=True, min_version="1.7")
    return file.getvalue()


class _Tags:
    """The structure trees of the parts, grown together: one root, one numbering of what stands on the pages."""

    def __init__(self) -> None:
        self.kids: list[Any] = []
        self.numbers: list[Any] = []
        self.used_count = 0

    def take(self, whole: pikepdf.Pdf, part: pikepdf.Pdf) -> None:
        """Move a part's pages over, then its tree, whose elements then lie on the moved pages."""
        before = len(whole.pages)
        whole.pages.extend(part.pages)
        tree = whole.copy_foreign(part.Root.StructTreeRoot)
        self.kids.extend(list(tree.K))
        numbers = list(tree.ParentTree.Nums)
        for number, elements in zip(numbers[::2], numbers[1::2], strict=True):
            self.numbers += [int(number) + self.used_count, elements]
        for page in whole.pages[before:]:
            page.StructParents = int(page.StructParents) + self.used_count
            for note in page.get("/Annots", []):
                if "/StructParent" in note:
                    note.StructParent = int(note.StructParent) + self.used_count
        self.used_count += max(map(int, numbers[::2]), default=-1) + 1

    def put(self, whole: pikepdf.Pdf) -> None:
        """Make it the tree of the whole."""
        root = whole.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        document = whole.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document, P=root))
        for kid in self.kids:
            kid.P, kid.S = document, Name.Part
        document.K, root.K = Array(self.kids), Array([document])
        root.ParentTree = Dictionary(Nums=Array(self.numbers))
        whole.Root.StructTreeRoot = root
        whole.Root.MarkInfo = Dictionary(Marked=True)
