"""Two phones, two hundred things done, a wire full of troubles and a shop that is killed: each thing is there once.

FAULT_OPS and FAULT_SEED make it longer, or other. Chromium is real, and so is the server; nothing of ours is replaced.
"""

import base64
import os
import random
import uuid
from collections import Counter
from time import monotonic

import pytest

from tests.ports import free_port

from ..conftest import Visit
from .conftest import until
from .engines import ENGINES
from .fault_shop import Shop
from .faults import ODDS, Faults
from .test_outbox import picture

OPS = int(os.environ.get("FAULT_OPS", "200"))
SEED = int(os.environ.get("FAULT_SEED", "1964"))
KILLS = 3
PATIENCE = 240  # seconds; a bound, not a measure

# Puts what is done into the outbox as the forms do, a moment apart, and never waits for the shop.
DO = """async ([ops, photo]) => {
  const bytes = Uint8Array.from(atob(photo), one => one.charCodeAt(0)).buffer;
  for (const one of ops) {
    const photos = one.photos.map(field => ({field, name: 'bench.jpg', type: 'image/jpeg', taken: Date.now(), bytes}));
    await Gusset.outbox.add({...one, photos, made: Date.now() - one.ago});
    Gusset.outbox.flush(true);
    await new Promise(go => setTimeout(go, 15));
  }
}"""
# How many still wait. A person looks at what the broken shop made need a look, and tries again; what was refused stays.
STEP = """async () => {
  const ops = await Gusset.outbox.mine();
  const broke = op => op.state === 'look' && /broke on this/.test(op.refused[0].text);
  for (const op of ops.filter(broke)) await Gusset.outbox.retry(op);
  Gusset.outbox.flush(true);
  return (await Gusset.outbox.mine()).filter(op => op.state === 'waits').length;
}"""
REFUSED = "async () => (await Gusset.outbox.mine()).map(op => [op.uid, op.refused[0].text])"
VERBS = {"start": 5, "hold": 4, "put-back": 2, "finish": 2}  # what is said of a task, and how often of thirteen
LATE = "It had gone on since, and stands as it is."


def things_done(made: dict, phone: int, count: int) -> list[dict]:
    """What one phone does, drawn from the seed: {uid, kind, url, what, fields, photos, ago} each.

    A thing every two minutes, `ago` in milliseconds. The second phone found its signal twenty minutes later, so that
    what it tells comes after counts that were made since.
    """
    draw = random.Random(f"{SEED} phone {phone}")  # noqa: S311
    kinds = {
        "note": 26, "snapshot": 16, "snag": 8, "put in": 18, "take out": 16, "use up": 6, "task": 24, "pull": 5,
        "count": 8,
    }  # fmt: skip
    found = []
    for number in range(count):
        kind = draw.choices(list(kinds), list(kinds.values()))[0]
        uid = str(uuid.UUID(int=draw.getrandbits(128), version=4))
        part, place, quantity = draw.choice(made["parts"]), draw.choice(made["bins"]), draw.randint(1, 3)
        text = f"{kind} {number} of phone {phone}"
        quantity = draw.randint(400, 600) if kind == "count" else quantity
        task, verb = draw.choice(made["tasks"]), draw.choices(list(VERBS), list(VERBS.values()))[0]
        move = f"?place={place}&part={part}"
        url, fields, photos = {
            "note": ("/tonight/log/", {"kind": "note", "text": text}, []),
            "snapshot": ("/tonight/log/", {"kind": "note", "text": text}, ["photos"]),
            "snag": ("/tonight/log/", {"kind": "snag", "text": text}, []),
            "put in": (f"/move/put-in/{move}", {"quantity": quantity}, []),
            "take out": (f"/move/take-out/{move}", {"quantity": quantity, "place": made["bench"]}, []),
            "count": (f"/move/correct/{move}", {"quantity": quantity}, []),
            "use up": (f"/move/leave/{move}", {"quantity": quantity, "reason": "used"}, []),
            "task": (f"/tonight/task/{task}/{verb}/", {"words": text} if verb == "hold" else {}, []),
            "pull": (
                f"/donors/{made['donor']}/pull/",
                {"thing": f"new:{text}", "quantity": 1, "condition": "good", "place": made["bench"]},
                ["before", "after"],
            ),
        }[kind]
        said = [["uid", uid], *([name, str(value)] for name, value in fields.items())]
        found.append(
            {
                "uid": uid, "kind": kind, "url": url, "page": url, "what": text, "shown": [], "fields": said,
                "photos": photos, "part": part, "place": place, "quantity": quantity, "task": task, "verb": verb,
                "phone": phone, "ago": 60_000 * (2 * (count - number) + 21 * phone),
            }
        )  # fmt: skip
    return found


def holdings_after(made: dict, done: list[dict]) -> Counter:
    """By hand: 500 of each part in each bin, and what was done since, in the order in which it was done.

    A count says how many there are; what came before it and is told later has been counted.
    """
    held = Counter({(part, place): 500 for part in made["parts"] for place in made["bins"]})
    for one in sorted(done, key=lambda one: -one["ago"]):
        here, bench = (one["part"], one["place"]), (one["part"], made["bench"])
        if one["kind"] == "count":
            held[here] = one["quantity"]
        if one["kind"] == "put in":
            held[here] += one["quantity"]
        if one["kind"] in ("take out", "use up"):
            held[here] -= one["quantity"]
        if one["kind"] == "take out":
            held[bench] += one["quantity"]
    return held


def tasks_after(made: dict, done: list[dict], arrived: list[str]) -> tuple[list, dict, dict]:
    """By hand: how the tasks stand, what became of each thing said of them, and which finish stands of each.

    `arrived`: the numbers of what the shop took, in its order. The later doing stands: what comes late is written down
    and changes nothing; what says how it stands already is not written down.
    """
    said = {one["uid"]: one for one in done if one["kind"] == "task"}
    stands = {task: ("open", "", float("inf")) for task in made["tasks"]}  # how, on hold for what, how long ago
    became, finished = {}, {}
    for one in (said[uid] for uid in arrived if uid in said):
        status, words, ago = stands[one["task"]]
        verb, text = one["verb"], one["what"] if one["verb"] == "hold" else ""
        goes_to = {"start": "started", "finish": "done"}.get(verb, "open"), words if verb == "put-back" else text
        if ago < one["ago"]:
            became[one["uid"]] = "late"
        elif goes_to == (status, words):
            became[one["uid"]] = "nothing"
        else:
            assert status != "done", f"{one['what']} was taken of a task that was finished before"
            became[one["uid"]] = "done"
            stands[one["task"]] = (*goes_to, one["ago"])
            if verb == "finish":
                finished[one["task"]] = one
    return [[task, status, words] for task, (status, words, _) in stands.items()], became, finished


@pytest.fixture
def troubles(tmp_path):
    """A shop with things in it, the wire before it, and what is drawn from the seed for whoever kills it."""

    class Troubles:
        shop = Shop(tmp_path / "data", free_port())
        made = shop.ask("make")
        shop.start()
        wire = Faults(shop.port, SEED)
        draw = random.Random(f"{SEED} kills")  # noqa: S311

    yield Troubles
    Troubles.wire.close()
    Troubles.shop.close()


def bring_in(troubles, phones: list, done: list[list[dict]]) -> dict:
    """Each phone does what it does, the shop is killed now and then, until nothing waits. Answers with what the shop
    holds, and under `refused` with what the phones still do.

    A phone is whatever runs functions in a page of the shop: `evaluate`, `wait_for_timeout`.
    """
    shop, wire, draw = troubles.shop, troubles.wire, troubles.draw
    small = base64.b64encode(picture(size=(320, 240))).decode()
    for page, ops in zip(phones, done, strict=True):
        page.evaluate(f"args => {{ ({DO})(args); }}", [ops, small])
    until, next_kill, left = monotonic() + PATIENCE, monotonic() + draw.uniform(0.5, 2), [1]
    while any(left) or shop.kills < KILLS:
        assert monotonic() < until, f"{left} still wait after {PATIENCE} s; {dict(wire.count)}"
        if shop.kills < KILLS and monotonic() > next_kill:
            shop.kill()
            shop.start()
            next_kill = monotonic() + draw.uniform(0.5, 3)
        left = [page.evaluate(STEP) for page in phones]
        phones[0].wait_for_timeout(100)
    wire.mend()
    return shop.ask("tell") | {"refused": dict(one for page in phones for one in page.evaluate(REFUSED))}


def test_everything_two_phones_did_is_in_the_shop_once(chromium, troubles):
    visit = Visit(chromium, troubles.wire.url)
    done = [things_done(troubles.made, phone, OPS // 2) for phone in (0, 1)]
    try:
        phones = []
        for cookie in troubles.made["cookies"]:
            page = visit.window("phone")
            page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": troubles.wire.url}])
            page.goto("/tonight/")
            phones.append(page)
        told = bring_in(troubles, phones, done)
    finally:
        visit.close()
    count = troubles.wire.count
    late, refused = sum(LATE in says for _, says in told["ops"]), len(told["refused"])
    print(f"\n{OPS} things, seed {SEED}, {late} late, {refused} refused, {troubles.shop.kills} kills; {dict(count)}")
    check(troubles.made, [one for ops in done for one in ops], told)
    assert set(count) == set(ODDS)  # each trouble has happened


@pytest.mark.parametrize("engine", ENGINES, ids=lambda engine: engine.name)
def test_so_it_is_in_other_browsers(engine, tmp_path, request):
    if missing := engine.missing():
        pytest.skip(f"this machine has no {missing}, so nothing was tried in {engine.name}")
    troubles = request.getfixturevalue("troubles")
    (tmp_path / "browser").mkdir()
    done = things_done(troubles.made, 0, OPS // 4)
    phone = engine(troubles.wire.url, tmp_path / "browser")
    try:
        phone.sign_in(troubles.made["cookies"][0])
        phone.goto("/tonight/")
        told = bring_in(troubles, [phone], [done])
        assert script_errors(troubles.wire, phone) == {}
    finally:
        phone.close()
    print(
        f"\n{len(done)} things in {engine.name}, {troubles.shop.kills} kills; on the wire: {dict(troubles.wire.count)}"
    )
    check(troubles.made, done, told)


def script_errors(wire: Faults, phone) -> dict[str, list[str]]:
    """What no script caught on the main screens, each opened once."""
    wire.watch = True
    found = {}
    for path in ("/tonight/", "/find/?q=hatch", "/scan/", "/scan/run/", "/plan/", "/phone/", "/phone/waiting/"):
        phone.goto(path)
        until(phone, "() => document.readyState === 'complete' && Boolean(document.querySelector('main h1'))")
        phone.wait_for_timeout(700)
        found[path] = phone.evaluate("() => window.wrong")
    return {path: wrong for path, wrong in found.items() if wrong != []}


def check(made: dict, done: list[dict], told: dict) -> None:
    refused = told["refused"]
    wanted = {one["uid"] for one in done if one["uid"] not in refused}
    tasks, became, finished = tasks_after(made, done, [uid for uid, _ in told["ops"]])
    for one in (one for one in done if one["uid"] in refused):
        assert (one["kind"], one["verb"] == "finish") == ("task", False), refused
        first = finished[one["task"]]
        assert first["ago"] > one["ago"]
        assert f"was finished by {('Olga', 'Harald')[first['phone']]} on" in refused[one["uid"]]
    assert sorted(told["tasks"]) == sorted(tasks)
    says = dict(told["ops"])
    assert {uid for uid in became if LATE in says[uid]} == {uid for uid, what in became.items() if what == "late"}
    lines = [one for one in done if one["kind"] in ("note", "snapshot", "snag")]
    pulls = [one for one in done if one["kind"] == "pull"]
    moves = [one for one in done if one["kind"] in ("put in", "take out", "use up")]
    assert Counter(uid for uid, _ in told["ops"]) == Counter(wanted)
    entries = {uid: photos for uid, photos, _ in told["entries"]}
    written = {one["uid"]: len(one["photos"]) for one in lines}
    assert {uid: count for uid, count in entries.items() if uid in written} == written
    assert len(told["entries"]) == len(lines) + sum(what != "nothing" for what in became.values())
    assert {uid: told["batches"].get(uid) for uid in (one["uid"] for one in moves)} == {one["uid"]: 1 for one in moves}
    assert sorted(told["pulls"]) == sorted([one["uid"], 2] for one in pulls)
    assert told["photos"] == sum(len(one["photos"]) for one in done)
    held = Counter({(part, place): count for part, place, count in told["holdings"] if part in made["parts"]})
    assert held == holdings_after(made, done)
    assert (told["sound"], told["differences"], told["photos_missing"]) == ("ok", [], [])
    assert told["running"] <= 1
