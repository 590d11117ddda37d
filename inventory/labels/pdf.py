"""Pages of SVG to PDF through WeasyPrint, which may fetch nothing but the face it is set in."""

from collections.abc import Callable, Sequence

from PIL import ImageFile

from .type import SUBSETS, WEIGHTS, font_file

FACE = "Barlow Semi Condensed"
# Two families, not one with two ranges: files of the same family and weight would be taken for one font in the PDF.
FAMILIES = {"latin": FACE, "latin-ext": f"{FACE} Extended"}


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


def _fetcher():
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OnlyOurFace(URLFetcher):
        """Answers face:<subset>-<weight> from static/fonts and refuses every other address."""

        def fetch(self, url, headers=None):
            for subset in SUBSETS:
                for weight in WEIGHTS:
                    if url == f"face:{subset}-{weight}":
                        body = font_file(subset, weight).read_bytes()
                        return URLFetcherResponse(url, body, {"Content-Type": "font/woff2"})
            raise ValueError(f"Not fetched: {url}")

    return OnlyOurFace()


def _faces() -> str:
    return "".join(
        f"@font-face{{font-family:'{FAMILIES[subset]}';font-weight:{weight};src:url(face:{subset}-{weight})}}"
        for subset in SUBSETS
        for weight in WEIGHTS
    )


def document(pages: Sequence[tuple[float, float, str]]) -> str:
    """HTML of pages, each its width and height in mm and its SVG content."""
    sizes = sorted({(w, h) for w, h, _ in pages})
    rules = "".join(
        f"@page p{i}{{size:{w:.3f}mm {h:.3f}mm;margin:0}}.p{i}{{page:p{i};width:{w:.3f}mm;height:{h:.3f}mm}}"
        for i, (w, h) in enumerate(sizes)
    )
    body = "".join(
        f'<svg class="p{sizes.index((w, h))}" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w:.3f} {h:.3f}" '
        f'font-family="{", ".join(FAMILIES.values())}">{content}</svg>'
        for w, h, content in pages
    )
    return (
        f"<!doctype html><html lang=en><title>Labels</title><style>{_faces()}body{{margin:0}}"
        f"svg{{display:block;break-after:page}}svg:last-child{{break-after:auto}}{rules}</style><body>{body}"
    )


def write(pages: Sequence[tuple[float, float, str]], tell: Callable[[int], None] = lambda done: None) -> bytes:
    """The PDF. `tell` hears how many pages are drawn, after each."""
    engine = weasyprint()
    rendered = engine.HTML(string=document(pages), url_fetcher=_fetcher()).render()
    for number, page in enumerate(rendered.pages, 1):
        page.paint = _telling(page.paint, number, tell)
    return rendered.write_pdf()


def _telling(paint, number, tell):
    def painted(*args, **kwargs):
        paint(*args, **kwargs)
        tell(number)

    return painted
