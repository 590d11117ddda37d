"""Settings: read from one table, and a wrong value is told in words, never by a traceback."""

import os
import re
import subprocess
import sys
import zoneinfo

import pytest

from buildlog.config import checks, env, hosts
from buildlog.config.setup import lock


@pytest.fixture(autouse=True)
def no_problems(monkeypatch):
    monkeypatch.setattr(env, "PROBLEMS", [])


@pytest.mark.parametrize(
    ("name", "raw", "value"),
    [
        ("PORT", "9000", 9000),
        ("PORT", " 9000 ", 9000),
        ("PORT", "", 8000),
        ("LAN", "Off", False),
        ("LAN", "1", True),
        ("HOST", "localhost", "127.0.0.1"),
        ("HOST", "0.0.0.0", "0.0.0.0"),
        ("SITE_URL", "https://Shop.Example.org/", "https://shop.example.org"),
        ("SITE_URL", "https://shop.example.org:443", "https://shop.example.org"),
        ("SITE_URL", "http://192.168.1.5:8000", "http://192.168.1.5:8000"),
        ("SITE_URL", "https://[fd12::1]:8443", "https://[fd12::1]:8443"),
        ("TIME_ZONE", "Europe/Oslo", "Europe/Oslo"),
    ],
)
def test_a_value_is_read_with_its_outer_blanks_forgiven(monkeypatch, name, raw, value):
    monkeypatch.setenv(name, raw)
    assert env.read(name) == value
    assert env.PROBLEMS == []


@pytest.mark.parametrize(
    ("name", "raw"),
    [
        ("PORT", "0"),
        ("PORT", "65536"),
        ("PORT", "eighty"),
        ("PORT", "-1"),
        ("PORT", "٨٠"),
        ("LAN", "perhaps"),
        ("HOST", "my-server"),
        ("SITE_URL", "shop.example.org"),
        ("SITE_URL", "ftp://shop.example.org"),
        ("SITE_URL", "https://shop.example.org/gusset"),
        ("SITE_URL", "https://user@shop.example.org"),
        ("SITE_URL", "https://shop.example.org:port"),
        ("SITE_URL", "https://"),
        ("SITE_URL", "https://[half"),
        ("TRUSTED_PROXY", "127.0.0.1, nginx"),
        ("TLS_CERT", "/there/is/no/such.pem"),
        ("TIME_ZONE", "Oslo"),
        ("TIME_ZONE", "../etc/passwd"),
        ("DEBUG", "2"),
    ],
)
def test_a_wrong_value_leaves_the_default_and_a_check_with_a_hint(monkeypatch, name, raw):
    monkeypatch.setenv(name, raw)
    option = env.BY_NAME[name]
    assert env.read(name) == option.read(option.default)
    (found,) = checks.values(None)
    assert found.id == f"gusset.{name.lower()}"
    assert raw in found.msg
    assert found.hint.startswith("It takes ")


def test_proxies_are_addresses_and_networks(monkeypatch):
    monkeypatch.setenv("TRUSTED_PROXY", "127.0.0.1, 172.18.0.0/16")
    assert [str(one) for one in env.read("TRUSTED_PROXY")] == ["127.0.0.1/32", "172.18.0.0/16"]


def test_the_time_zone_left_out_is_the_machines(monkeypatch):
    monkeypatch.delenv("TIME_ZONE", raising=False)
    assert env.read("TIME_ZONE") in zoneinfo.available_timezones()


def test_options_of_up_become_settings(monkeypatch):
    for option in env.OPTIONS:
        monkeypatch.setenv(option.name, "")
    rest = env.take_flags(["--port", "9000", "--demo", "--no-lan", "--site-url=https://shop.example.org", "--port"])
    assert rest == ["--demo", "--port"]
    assert (env.read("PORT"), env.read("LAN")) == (9000, False)
    assert env.read("SITE_URL") == "https://shop.example.org"


def test_one_address_opens_the_hosts_and_the_origins(monkeypatch):
    monkeypatch.setattr(hosts.addresses, "hostname", lambda: "barn")
    monkeypatch.setattr(hosts.addresses, "lan_addresses", lambda: ["192.168.1.20"])
    allowed = hosts.allowed_hosts("https://shop.example.org:444")
    assert {"localhost", "barn", "barn.local", "192.168.1.20", "shop.example.org", "127.0.0.1"} <= set(allowed)
    assert "*" not in allowed
    assert hosts.trusted_origins("https://shop.example.org:444") == ["https://shop.example.org:444"]
    assert hosts.trusted_origins("") == []


def found(check):
    return [one.id for one in check(None)]


def test_two_listeners_on_one_port_are_named(settings):
    settings.PORT, settings.HTTPS_PORT, settings.TRUST_PORT, settings.LAN = 8000, 8443, 8000, True
    assert found(checks.ports) == ["gusset.ports"]
    settings.LAN = False
    assert found(checks.ports) == []


def test_half_a_pair_of_certificate_and_key_is_named(settings, tmp_path):
    settings.TLS_CERT, settings.TLS_KEY = tmp_path / "cert.pem", None
    assert found(checks.certificate) == ["gusset.tls_pair"]
    (tmp_path / "cert.pem").write_text("no certificate")
    settings.TLS_KEY = settings.TLS_CERT
    assert found(checks.certificate) == ["gusset.tls_unusable"]


def test_a_proxy_needs_the_address_people_type(settings):
    settings.TRUSTED_PROXY, settings.SITE_URL = env.as_networks("127.0.0.1"), ""
    assert found(checks.front) == ["gusset.proxy_without_site"]


def test_plain_http_on_the_network_is_warned_of(settings):
    settings.HOST, settings.TRUSTED_PROXY = "0.0.0.0", []
    assert found(checks.front) == ["gusset.plain_http"]


def test_a_data_folder_that_can_not_be_written_to_gets_the_line_to_type(settings, monkeypatch, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    monkeypatch.setattr(checks.os, "access", lambda *args: False)
    (one,) = checks.data_folder(None)
    assert one.id == "gusset.data_dir_unwritable"
    assert re.search(rf"sudo chown -R \w+ {tmp_path}$", one.hint)


def test_a_data_folder_on_a_network_drive_is_refused(settings, monkeypatch, tmp_path):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/vda1 / ext4 rw 0 0\nnas:/shop {tmp_path} nfs4 rw 0 0\n")
    assert checks.file_system(tmp_path / "data", mounts) == "nfs4"
    assert checks.file_system(tmp_path.parent, mounts) == "ext4"
    monkeypatch.setattr(checks, "file_system", lambda path: "nfs4")
    settings.DATA_DIR = tmp_path / "data"
    assert found(checks.data_folder) == ["gusset.data_dir_network"]


def run(folder, *words, **changed):
    environ = {**os.environ, "DATA_DIR": str(folder), **changed}
    environ.pop("DJANGO_SETTINGS_MODULE")
    environ.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)  # the browser tests need it; no shop does
    return subprocess.run(
        [sys.executable, "manage.py", *words], cwd=lock.ROOT, env=environ, capture_output=True, text=True
    )


def test_a_wrong_setting_stops_the_start_in_words(tmp_path):
    done = run(tmp_path, "up", PORT="99999")
    assert done.returncode == 1
    assert "PORT is '99999'" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_secure_server_passes_djangos_own_check_of_a_deployment(tmp_path):
    done = run(tmp_path, "check", "--deploy", "--fail-level", "WARNING", GUSSET_LISTENER="https")
    assert done.returncode == 0, done.stderr


def test_the_key_that_signs_logins_is_made_once_and_is_ours_alone(tmp_path):
    show = "from django.conf import settings; print(settings.SECRET_KEY)"
    first, second = (run(tmp_path / "data", "shell", "--no-imports", "-c", show).stdout for _ in range(2))
    assert first == second
    assert len(first.strip()) >= 64
    assert (tmp_path / "data" / "secret_key").stat().st_mode & 0o777 == 0o600
    assert [one.name for one in (tmp_path / "data").iterdir()] == ["secret_key"]
