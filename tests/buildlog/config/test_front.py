"""What stands before every page: health, the proxy's word, and the page for a form from an unknown address."""

import pytest
from django.test import Client, RequestFactory

from buildlog.config import env, health, proxy

FORWARDED = {
    "HTTP_X_FORWARDED_FOR": "198.51.100.4, 203.0.113.7",
    "HTTP_X_FORWARDED_PROTO": "https",
    "HTTP_X_FORWARDED_HOST": "elsewhere.example",
}


def settled(peer, trusted, **said):
    meta = RequestFactory().get("/", REMOTE_ADDR=peer, **(said or FORWARDED)).META
    proxy.settle(meta, env.as_networks(trusted))
    return meta["REMOTE_ADDR"], meta["wsgi.url_scheme"], [name for name in proxy.SAID if name in meta]


def test_a_stranger_can_not_say_where_it_comes_from():
    assert settled("203.0.113.50", "127.0.0.1") == ("203.0.113.50", "http", [])


def test_without_a_proxy_nobody_can():
    assert settled("127.0.0.1", "") == ("127.0.0.1", "http", [])


def test_the_proxy_is_believed_about_its_own_client_only():
    assert settled("127.0.0.1", "127.0.0.1") == ("203.0.113.7", "https", [])


def test_a_chain_of_own_proxies_is_followed():
    assert settled("127.0.0.1", "127.0.0.1, 203.0.113.0/24")[0] == "198.51.100.4"


@pytest.mark.parametrize("said", ["", "unknown", "203.0.113.7:1234, x"])
def test_a_proxy_that_says_nothing_readable_leaves_its_own_address(said):
    assert settled("127.0.0.1", "127.0.0.1", HTTP_X_FORWARDED_FOR=said)[0] == "127.0.0.1"


def test_a_form_over_the_proxy_is_taken_as_https(settings, owner):
    settings.TRUSTED_PROXY = env.as_networks("127.0.0.1")
    settings.ALLOWED_HOSTS, settings.CSRF_TRUSTED_ORIGINS = ["shop.example.org"], ["https://shop.example.org"]
    client = Client(enforce_csrf_checks=True, headers={"Host": "shop.example.org"})
    page = client.get("/login/")
    token = page.context["csrf_token"]
    sent = {"Origin": "https://shop.example.org", "X-Forwarded-Proto": "https", "Referer": "https://shop.example.org/"}
    answer = client.post("/login/", {"csrfmiddlewaretoken": str(token)}, headers=sent)
    assert answer.status_code != 403


def test_a_form_from_an_unknown_address_names_it_and_the_line_to_set(db):
    client = Client(enforce_csrf_checks=True)
    answer = client.post("/login/", headers={"Origin": "https://shop.example.org"})
    assert answer.status_code == 403
    assert "SITE_URL=https://shop.example.org" in answer.text
    assert "was opened at <strong>https://shop.example.org</strong>" in answer.text


@pytest.mark.parametrize("origin", ["null", "https://<script>alert(1)</script>", "javascript:alert(1)"])
def test_an_origin_that_is_no_address_is_not_repeated(db, origin):
    answer = Client(enforce_csrf_checks=True).post("/login/", headers={"Origin": origin})
    assert answer.status_code == 403
    assert "SITE_URL" not in answer.text
    assert "alert" not in answer.text


def test_an_unknown_name_gets_the_line_to_set(db):
    answer = Client().get("/login/", headers={"Host": "shop.example.org:8000"})
    assert answer.status_code == 400
    assert "SITE_URL=http://shop.example.org:8000" in answer.text
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]


@pytest.mark.parametrize("host", ["", "<b>", "a b", "evil.example/x", "[", "x:y"])
def test_a_name_that_is_none_is_not_repeated(db, host):
    answer = Client().get("/login/", headers={"Host": host})
    assert answer.status_code == 400
    assert "SITE_URL" not in answer.text


def test_a_missing_token_is_told_in_other_words(db):
    answer = Client(enforce_csrf_checks=True).post("/login/")
    assert answer.status_code == 403
    assert "load the page anew" in answer.text


def test_health_answers_any_host_without_a_login(stranger):
    answer = stranger.get("/healthz", headers={"Host": "monitor.example:9999"})
    assert (answer.status_code, answer.text) == (200, "ok\n")
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Set-Cookie" not in answer.headers


def test_health_says_which_part_is_not_well(stranger, settings, tmp_path, monkeypatch):
    settings.DATA_DIR = tmp_path / "gone"
    answer = stranger.get("/healthz")
    assert (answer.status_code, answer.text) == (503, "not well: data folder\n")
    monkeypatch.setattr(health, "_database", lambda: False)
    assert stranger.get("/healthz").text == "not well: database, data folder\n"


def test_health_leaves_nothing_behind(stranger, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    assert stranger.get("/healthz").status_code == 200
    assert list(tmp_path.iterdir()) == []
