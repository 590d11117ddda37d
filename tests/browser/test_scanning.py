"""Scanning in the page: real Chromium, whose camera is a film of labels drawn by an outside library."""

import hashlib
import io
import re
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from PIL import Image
from playwright.sync_api import expect
from qrcode import QRCode

from inventory.donors.actions import acknowledge, add_donor
from inventory.labels.actions import labels_for
from tests.factories import make_part, make_place

from .conftest import CHROMIUM, QUIET, Visit, axe, signed_in

FILM = (1280, 720)


def drawn(text: str, pixels: int = 300) -> Image.Image:
    code = QRCode(border=4)
    code.add_data(text)
    return code.make_image().get_image().convert("L").resize((pixels, pixels), Image.Resampling.NEAREST)


def frame(*texts: str) -> Image.Image:
    """What a camera sees: the symbols side by side on a grey bench."""
    picture = Image.new("L", FILM, 150)
    for i, text in enumerate(texts):
        picture.paste(drawn(text), (120 + i * 480, 200))
    return picture


def film(path, *texts: str):
    """Motion JPEG: one JPEG after another in a file."""
    out = io.BytesIO()
    frame(*texts).convert("RGB").save(out, "JPEG", quality=80)
    path.write_bytes(out.getvalue() * 30)
    return path


@pytest.fixture
def scanning(chromium, live_server, transactional_db, owner, tmp_path):
    """Opens the Scan page of a phone whose camera sees these texts as symbols; None: a phone without a camera."""
    opened = []

    def scanning(*texts: str):
        fake = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
        if texts:
            fake.append(f"--use-file-for-fake-video-capture={film(tmp_path / 'camera.mjpeg', *texts)}")
        browser = chromium.browser_type.launch(executable_path=CHROMIUM, args=[*QUIET, *(fake if texts else [])])
        visit = Visit(browser, live_server.url)
        opened.append((browser, visit))
        page = signed_in(visit.window("phone"))
        page.goto("/scan/")
        return page

    yield scanning
    for browser, visit in opened:
        browser.close()
        assert visit.complaints == []


def on_part(name: str):
    return labels_for(things=[make_part(name)], by=None)[0]


def test_a_label_before_the_camera_opens_what_it_is_on(scanning):
    label = on_part("Hatch hinge")
    page = scanning(f"HTTPS://SHOP.TEST:8443/L/{label.code}")
    page.get_by_role("button", name="Scan with the camera").click()
    page.wait_for_url(re.compile(r"/parts/\d+/$"))
    expect(page.get_by_role("heading", name="Hatch hinge")).to_be_visible()


def test_with_several_labels_in_the_picture_one_is_tapped(scanning):
    left, right = on_part("Hatch hinge"), labels_for(things=[make_place("bin", short="14")], by=None)[0]
    page = scanning(left.code, right.code)
    page.get_by_role("button", name="Scan with the camera").click()
    expect(page.get_by_text("2 labels in the picture. Which one?")).to_be_visible()
    assert axe(page) == []
    page.get_by_role("button", name=str(right)).click()
    page.wait_for_url(re.compile(r"/at/"))


def test_a_part_pulled_off_a_donor_goes_into_the_bin_whose_label_is_scanned_and_nothing_typed_is_lost(scanning, owner):
    bin14 = make_place("bin", name="Bin by the door", short="K14")
    label = labels_for(things=[bin14], by=None)[0]
    make_place("bench", name="Bench", short="W1")
    place = make_place("vehicle", name="Halvard 20 pickup", short="D1")
    donor = add_donor(by=None, location=place)
    acknowledge(donor=donor, by=owner)
    page = scanning(f"HTTPS://SHOP.TEST:8443/L/{label.code}")
    page.goto(f"/donors/{donor.pk}/pull/")
    page.get_by_label("What", exact=True).fill("Grille")
    page.get_by_text("Scan the bin’s label").click()
    expect(page.locator(".pick-one", has_text="Bin by the door").get_by_role("radio")).to_be_checked()
    expect(page.get_by_role("button", name="Stop the camera")).to_be_hidden()
    assert axe(page) == []
    page.get_by_role("button", name="Pull it").click()
    expect(page.get_by_role("status").get_by_text("Pulled 1 × Grille off D1 to K14")).to_be_visible()


def test_stopping_lets_go_of_the_camera(scanning):
    page = scanning("")
    page.get_by_role("button", name="Scan with the camera").click()
    expect(page.get_by_role("button", name="Stop the camera")).to_be_visible()
    page.evaluate("window.track = document.querySelector('video').srcObject.getVideoTracks()[0]")
    page.get_by_role("button", name="Stop the camera").click()
    assert page.evaluate("window.track.readyState") == "ended"
    expect(page.get_by_role("button", name="Scan with the camera")).to_be_visible()


def test_a_photo_of_the_code_will_do_where_there_is_no_camera(scanning, tmp_path):
    label = on_part("Hatch hinge")
    page = scanning()
    picture = tmp_path / "photo.jpg"
    Image.new("RGB", FILM, "grey").save(picture)
    page.get_by_label("Photo of a code").set_input_files(picture)
    expect(page.get_by_text("No code to be read in that picture.")).to_be_visible()
    frame(label.code).save(picture)
    page.get_by_label("Photo of a code").set_input_files(picture)
    page.wait_for_url(re.compile(r"/parts/\d+/$"))


def test_a_refused_camera_says_so_and_leaves_the_other_ways(scanning):
    page = scanning()
    page.get_by_role("button", name="Scan with the camera").click()
    expect(page.locator("[data-status].error")).to_be_visible()
    expect(page.get_by_label("Code or address")).to_be_visible()
    assert axe(page) == []


def test_the_library_is_fetched_only_once_it_is_needed(scanning):
    page = scanning()
    names = "performance.getEntriesByType('resource').map(one => one.name)"
    assert not [one for one in page.evaluate(names) if "barcode-detector" in one or one.endswith(".wasm")]


def test_the_wasm_is_the_one_the_library_was_made_with(phone):
    """The library says which (ZXING_WASM_SHA256); another one fails with a text that leads astray."""
    wasm = next((settings.BASE_DIR / "static" / "vendor").glob("zxing-reader-*.wasm"))
    phone.goto("/scan/")
    wanted = phone.evaluate(
        """src => new Promise(go => { const one = document.createElement('script'); one.src = src;
             one.onload = () => go(BarcodeDetectionAPI.ZXING_WASM_SHA256); document.head.append(one); })""",
        phone.locator("[data-scanner]").get_attribute("data-library"),
    )
    assert wanted == hashlib.sha256(wasm.read_bytes()).hexdigest()
    assert urlsplit(phone.locator("[data-scanner]").get_attribute("data-wasm")).netloc == ""


def test_only_the_scan_page_may_run_wasm(as_hand):
    assert "script-src 'self' 'wasm-unsafe-eval';" in as_hand.get("/scan/").headers["Content-Security-Policy"]
    assert "wasm" not in as_hand.get("/find/").headers["Content-Security-Policy"]
