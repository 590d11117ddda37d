"""Pages of labels to PDF through WeasyPrint, which may fetch nothing but the face it is set in.

The words go through it as SVG. The symbols are written into its pages as PDF rectangles: by way of an SVG path each
would take longer than all the rest of the label.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PIL import ImageFile

from .type import SUBSETS, WEIGHTS, font_file

FACE = "Barlow Semi Condensed"
# Two families, not one with two ranges: files of the same family and weight would be taken for one font in the PDF.
FAMILIES = {"latin": FACE, "latin-ext": f"{FACE} Extended"}


MM = 96 / 25.4  # CSS pixels, WeasyPrint's unit, in a millimetre


class Square(NamedTuple):
    """A symbol: where its first module lies and how large one is, in mm; its bars; white on black ink if `bare`."""

    x: float
    y: float
    module: float
    bars: Sequence[tuple[int, int, int]]
    bare: bool = False


class Page(NamedTuple):
    """Width and height in mm, SVG content in mm, and the symbols on it."""

    w: float
    h: float
    content: str
    squares: Sequence[Square] = ()


class Missing(RuntimeError):
    """WeasyPrint's own libraries (Pango) are not on this machine."""


def weasyprint():
    """WeasyPrint, or Missing. Asked at each print, so that installing Pango needs no change here."""
    try:
        import weasyprint as module
    except (ImportError, OSError) as error:
        raise Missing(str(error)) from error
    # Its import tells Pillow to take half a picture for a whole one, for the whole program. Labels hold no pictures,
    # and photos must be whole.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    return module


def available() -> bool:
    try:
        weasyprint()
    except Missing:
        return False
    return True


def closed_fetcher(pictures: Callable[[str], bytes | None] = lambda address: None):
    """A fetcher that reaches neither the network nor a file by its path.

    `pictures` gives the WebP picture that stands under an address of ours, or None.
    """
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OnlyOurOwn(URLFetcher):
        """Answers face:<subset>-<weight> from static/fonts and our pictures, and refuses every other address."""

        def fetch(self, url, headers=None):
            for subset in SUBSETS:
                for weight in WEIGHTS:
                    if url == f"face:{subset}-{weight}":
                        body = font_file(subset, weight).read_bytes()
                        return URLFetcherResponse(url, body, {"Content-Type": "font/woff2"})
            if (body := pictures(url)) is not None:
                return URLFetcherResponse(url, body, {"Content-Type": "image/webp"})
            raise ValueError(f"Not fetched: {url}")

    return OnlyOurOwn()


def faces() -> str:
    return "".join(
        f"@font-face{{font-family:'{FAMILIES[subset]}';font-weight:{weight};src:url(face:{subset}-{weight})}}"
        for subset in SUBSETS
        for weight in WEIGHTS
    )


def document(pages: Sequence[Page]) -> str:
    """HTML of the pages, without their symbols."""
    sizes = sorted({(page.w, page.h) for page in pages})
    rules = "".join(
        f"@page p{i}{{size:{w:.3f}mm {h:.3f}mm;margin:0}}.p{i}{{page:p{i};width:{w:.3f}mm;height:{h:.3f}mm}}"
        for i, (w, h) in enumerate(sizes)
    )
    body = "".join(
        f'<svg class="p{sizes.index((w, h))}" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w:.3f} {h:.3f}" '
        f'font-family="{", ".join(FAMILIES.values())}">{content}</svg>'
        for w, h, content, _ in pages
    )
    return (
        f"<!doctype html><html lang=en><title>Labels</title><style>{faces()}body{{margin:0}}"
        f"svg{{display:block;break-after:page}}svg:last-child{{break-after:auto}}{rules}</style><body>{body}"
    )


def write(pages: Sequence[Page], tell: Callable[[int], None] = lambda done: None) -> bytes:
    """The PDF. `tell` hears how many pages are drawn, after each."""
    engine = weasyprint()
    rendered = engine.HTML(string=document(pages), url_fetcher=closed_fetcher()).render()
    for number, (sheet, page) in enumerate(zip(rendered.pages, pages, strict=True), 1):
        sheet.paint = _painter(sheet.paint, page.squares, lambda number=number: tell(number))
    return rendered.write_pdf()


def _painter(paint, squares: Sequence[Square], painted: Callable[[], None]):
    """Paints the page's words, then its symbols, then says so."""

    def all_of_it(stream, scale=1):
        paint(stream, scale)
        with stream.stacked():
            stream.transform(a=scale * MM, d=scale * MM)
            for square in squares:
                stream.stream.append(_bars(square))
        painted()

    return all_of_it


def _bars(square: Square) -> str:
    """One symbol as PDF operators: all its bars in one fill, so that no seam shows between them."""
    bars = " ".join(f"{x} {y} {length} 1 re" for x, y, length in square.bars)
    size = f"{square.module:.6f}"
    return f"q {size} 0 0 {size} {square.x:.5f} {square.y:.5f} cm {int(square.bare)} g {bars} f Q"
