"""Tags of a PDF: what is a heading, a paragraph, a list, a table, a figure, and in which order they are read.

The library that draws knows no tags. A sheet marks its content itself: each piece of print stands between ``BDC`` and
``EMC`` with a number, and a tree of elements beside the pages says what each number is (ISO 32000-1, 14.7 and 14.8).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from msgspec import Struct, field
from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas

_ESCAPED = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
"""The three signs that text in XML may not hold (XML 1.0, 2.4); a module for them would load half of the web."""


class Element(Struct, eq=False):
    """One element of the tree: its role, the numbers of its content, and the elements below it.

    It does not know what it is below, so that a page that was written goes without the cycle collector.
    """

    role: str
    alt: str = ""
    actual: str = ""
    """The text itself, where what is drawn are joined letters in the order of print."""
    scope: str = ""
    """'Column' or 'Row' for the head cell of a table."""
    page: int = 0
    kids: list[Element | tuple[int, int]] = field(default_factory=list)
    """Elements, and (page, number) of marked content, in reading order."""


class _Drawn(pdfdoc.PDFObject):
    """An object of the file, written by ourselves."""

    def __init__(self) -> None:
        self.text = b""

    def format(self, _document: object) -> bytes:
        """Return the object's bytes."""
        return self.text


class TaggedCanvas(Canvas):
    """A canvas that keeps the tree of what is drawn on it, and writes it into the file."""

    _doc: Any
    _code: list[str]
    """The library's own: the document, and what is drawn on the page so far."""

    def __init__(self, *arguments: object, **options: object) -> None:
        """Start with an empty tree."""
        super().__init__(*arguments, **options)  # type: ignore[arg-type]
        self._root = Element(role="Document")
        self._open = self._root
        self._parents: list[list[Element]] = [[]]
        """For each page the element of each numbered piece of content."""
        self.is_marked = False

    # ---- while drawing

    @contextmanager
    def element(self, role: str, *, alt: str = "", scope: str = "", actual: str = "") -> Iterator[None]:
        """Open an element below the one that is open."""
        before = self._open
        self._open = Element(role=role, alt=alt, scope=scope, actual=actual)
        before.kids.append(self._open)
        try:
            yield
        finally:
            self._open = before

    @contextmanager
    def content(self) -> Iterator[None]:
        """Number what is drawn as content of the open element; inside other content it is part of that."""
        if self.is_marked:
            yield
            return
        page = self._parents[-1]
        number = len(page)
        page.append(self._open)
        self._open.kids.append((len(self._parents) - 1, number))
        self.is_marked = True
        actual = f" /ActualText {_text_string(self._open.actual)}" if self._open.actual else ""
        self.addLiteral(f"/{self._open.role} <</MCID {number}{actual}>> BDC")
        try:
            yield
        finally:
            self.addLiteral("EMC")
            self.is_marked = False

    @contextmanager
    def artifact(self, edge: str = "") -> Iterator[None]:
        """Say that what is drawn is furniture of the page: a rule, a ground, or the *edge* 'Header' or 'Footer'."""
        if self.is_marked:
            yield
            return
        self.is_marked = True
        kind = f"/Artifact <</Type /Pagination /Subtype /{edge}>> BDC" if edge else "/Artifact BMC"
        self.addLiteral(kind)
        try:
            yield
        finally:
            self.addLiteral("EMC")
            self.is_marked = False

    def showPage(self) -> None:  # noqa: N802  # the library's name
        """End the page, and give it its number among the tagged ones."""
        document = self._doc
        name = document.thisPageName()
        super().showPage()
        page = document.idToObject[name]
        extra = {"StructParents": len(self._parents) - 1, "Tabs": pdfdoc.PDFName("S")}
        page.__Defaults__ = {**page.__Defaults__, **extra}
        self._parents.append([])

    # ---- at the end

    def save(self) -> None:
        """Write the file, with its tree."""
        if len(self._code):
            self.showPage()
        self._write_tree()
        super().save()

    def _write_tree(self) -> None:
        catalog = self._doc.Catalog
        catalog.MarkInfo = _Drawn()
        catalog.MarkInfo.text = b"<< /Marked true >>"
        pages = [self._number_of_page(place) for place in range(len(self._parents) - 1)]
        root = _Drawn()
        self._numbers: dict[int, int] = {}
        root_number = self._new(root)
        top = self._draw_element(self._root, root_number, pages)
        nums = []
        for place, owners in enumerate(self._parents[:-1]):
            one = _Drawn()
            one.text = ("[" + " ".join(f"{self._numbers[id(owner)]} 0 R" for owner in owners) + "]").encode()
            nums.append(f"{place} {self._new(one)} 0 R")
        root.text = (
            f"<< /Type /StructTreeRoot /K {top} 0 R /ParentTree << /Nums [ {' '.join(nums)} ] >> "
            f"/ParentTreeNextKey {len(nums)} >>"
        ).encode()
        catalog.StructTreeRoot = root
        packet = _Drawn()
        packet.text = _metadata(str(self._doc.info.title))
        catalog.Metadata = packet

    def _new(self, drawn: _Drawn) -> int:
        name = self._doc.Reference(drawn).name
        return int(self._doc.idToObjectNumberAndVersion[name][0])

    def _number_of_page(self, place: int) -> int:
        return int(self._doc.idToObjectNumberAndVersion[f"Page{place + 1}"][0])

    def _draw_element(self, element: Element, parent: int, pages: list[int]) -> int:
        drawn = _Drawn()
        number = self._numbers[id(element)] = self._new(drawn)
        kids = []
        first = next((kid[0] for kid in element.kids if isinstance(kid, tuple)), None)
        for kid in element.kids:
            if isinstance(kid, Element):
                kids.append(f"{self._draw_element(kid, number, pages)} 0 R")
            elif kid[0] == first:
                kids.append(str(kid[1]))
            else:
                kids.append(f"<< /Type /MCR /Pg {pages[kid[0]]} 0 R /MCID {kid[1]} >>")
        text = f"<< /Type /StructElem /S /{element.role} /P {parent} 0 R /K [{' '.join(kids)}]"
        if first is not None:
            text += f" /Pg {pages[first]} 0 R"
        if element.alt:
            text += f" /Alt {_text_string(element.alt)}"
        if element.actual:
            text += f" /ActualText {_text_string(element.actual)}"
        if element.scope:
            text += f" /A << /O /Table /Scope /{element.scope} >>"
        drawn.text = f"{text} >>".encode("latin-1")
        return number


def _metadata(title: str) -> bytes:
    """Return the stream in which a reader finds the title (ISO 16684-1); it claims no conformance."""
    packet = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title><rdf:Alt>'
        f'<rdf:li xml:lang="x-default">{title.translate(_ESCAPED)}</rdf:li>'
        "</rdf:Alt></dc:title></rdf:Description></rdf:RDF>"
        '</x:xmpmeta>\n<?xpacket end="r"?>'
    ).encode()
    return b"<< /Type /Metadata /Subtype /XML /Length %d >>\nstream\n%b\nendstream" % (len(packet), packet)


def _text_string(words: str) -> str:
    """Return *words* as a text string of the file, in UTF-16 as hexadecimal digits."""
    return f"<{(chr(0xFEFF) + words).encode('utf-16-be').hex().upper()}>"


@contextmanager
def tagged(canvas: Canvas, role: str, *, alt: str = "", scope: str = "", actual: str = "") -> Iterator[None]:
    """Draw one element and its content; on a canvas without tags, or inside other content, just draw."""
    if not isinstance(canvas, TaggedCanvas) or canvas.is_marked:
        yield
        return
    with canvas.element(role, alt=alt, scope=scope, actual=actual), canvas.content():
        yield


@contextmanager
def grouped_as(canvas: Canvas, role: str) -> Iterator[None]:
    """Draw elements below one that has no content of its own: a list, a table, a row."""
    if not isinstance(canvas, TaggedCanvas):
        yield
        return
    with canvas.element(role):
        yield


@contextmanager
def furniture(canvas: Canvas, edge: str = "") -> Iterator[None]:
    """Draw what is not read: a rule, a ground, the line at the 'Header' or 'Footer' of a page."""
    if not isinstance(canvas, TaggedCanvas):
        yield
        return
    with canvas.artifact(edge):
        yield
