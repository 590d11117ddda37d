from datetime import UTC, datetime, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from buildlog.tasks.calc.shares import Claim, Share, share_out
from buildlog.tasks.calc.standing import (
    Away,
    Facts,
    Freed,
    NeedsTask,
    OnHold,
    PartShort,
    Standing,
    Undecided,
    Waits,
    freed_by,
    lets_go_on,
    stand,
    stand_behind,
)

NOW = datetime(2026, 11, 24, 21, 0, tzinfo=UTC)
MILL = 7

# The side hatch: saw blocks -> mill them (away) -> weld hinges -> hang; paint waits for a colour.
SAW, MILLED, WELD, BRACKETS, PAINT, HANG, COUNTER = range(1, 8)


def side_hatch(**changes):
    tasks = {
        SAW: Facts(SAW),
        MILLED: Facts(MILLED, needs=(SAW,), place=MILL),
        WELD: Facts(WELD, needs=(MILLED,)),
        BRACKETS: Facts(BRACKETS, short=((1, Decimal(2)),)),
        PAINT: Facts(PAINT, undecided=(5,), wait_after=timedelta(days=2)),
        HANG: Facts(HANG, needs=(WELD, BRACKETS, PAINT)),
        COUNTER: Facts(COUNTER, needs=(HANG,), on_hold="Wait for the oak"),
    }
    tasks.update({task.id: task for task in changes.values()})
    return list(tasks.values())


def test_every_task_says_what_holds_it():
    assert stand(side_hatch(), NOW) == {
        SAW: Standing("ready"),
        MILLED: Standing("held", (NeedsTask(SAW), Away(MILL))),
        WELD: Standing("held", (NeedsTask(MILLED),)),
        BRACKETS: Standing("held", (PartShort(1, Decimal(2)),)),
        PAINT: Standing("held", (Undecided(5),)),
        HANG: Standing("held", (NeedsTask(WELD), NeedsTask(BRACKETS), NeedsTask(PAINT))),
        COUNTER: Standing("held", (OnHold("Wait for the oak"), NeedsTask(HANG))),
    }


def test_a_task_at_the_mill_is_ready_when_one_is_at_the_mill():
    tasks = side_hatch(a=Facts(SAW, status="done", finished_at=NOW))
    assert stand(tasks, NOW)[MILLED] == Standing("held", (Away(MILL),))
    assert stand(tasks, NOW, at=MILL)[MILLED] == Standing("ready")


def test_paint_holds_until_it_has_cured_to_the_second():
    painted = Facts(PAINT, status="done", finished_at=NOW, wait_after=timedelta(days=2))
    tasks = [painted, Facts(HANG, needs=(PAINT,))]
    cured = NOW + timedelta(days=2)
    assert stand(tasks, cured - timedelta(seconds=1))[HANG] == Standing("held", (Waits(PAINT, cured),))
    assert stand(tasks, cured)[HANG] == Standing("ready")


def test_a_dropped_need_holds_nothing_and_a_part_that_is_there_holds_nothing():
    tasks = [Facts(SAW, status="dropped"), Facts(WELD, needs=(SAW, 99), short=((1, Decimal(0)),))]
    assert stand(tasks, NOW)[WELD] == Standing("ready")


def test_a_started_task_stays_started_and_says_what_it_will_run_into():
    tasks = side_hatch(a=Facts(HANG, status="started", needs=(SAW,)))
    assert stand(tasks, NOW)[HANG] == Standing("started", (NeedsTask(SAW),))


def test_finishing_frees_what_nothing_else_holds():
    tasks = [
        Facts(SAW, status="started"),
        Facts(WELD, needs=(SAW,)),
        Facts(BRACKETS, needs=(SAW, PAINT)),
        Facts(PAINT),
        Facts(HANG, needs=(WELD,)),
    ]
    assert freed_by(SAW, tasks, NOW) == Freed(ready=(WELD,), nearer=(BRACKETS,))


def test_it_answers_the_same_after_it_is_done():
    before = [Facts(SAW), Facts(WELD, needs=(SAW,))]
    after = [Facts(SAW, status="done", finished_at=NOW), Facts(WELD, needs=(SAW,))]
    assert freed_by(SAW, before, NOW) == freed_by(SAW, after, NOW) == Freed(ready=(WELD,))


def test_finishing_paint_frees_after_the_wait():
    tasks = [Facts(PAINT, wait_after=timedelta(days=2)), Facts(HANG, needs=(PAINT,))]
    assert freed_by(PAINT, tasks, NOW) == Freed(waiting=((HANG, NOW + timedelta(days=2)),))


def test_a_task_promises_no_more_than_finishing_it_frees():
    tasks = side_hatch(painted=Facts(PAINT, wait_after=timedelta(days=2)), brackets=Facts(BRACKETS, status="dropped"))
    promised = lets_go_on(tasks, stand(tasks, NOW))
    assert promised[SAW] == (0, 0)  # what needs it is away
    assert promised[MILLED] == (1, 0)
    assert promised[WELD] == promised[PAINT] == (0, 0)  # each is held by the other
    tasks = side_hatch(a=Facts(WELD, status="done", finished_at=NOW), b=Facts(BRACKETS, status="dropped"))
    assert lets_go_on(tasks, stand(tasks, NOW))[PAINT] == (0, 1)


def test_it_counts_how_many_stand_behind_a_task():
    assert stand_behind(side_hatch()) == {
        SAW: 4,
        MILLED: 3,
        WELD: 2,
        BRACKETS: 2,
        PAINT: 2,
        HANG: 1,
        COUNTER: 0,
    }


@st.composite
def plans(draw):
    """Plans without a circle: a task needs only earlier ones."""
    count = draw(st.integers(1, 9))
    return [
        Facts(
            id,
            status=draw(st.sampled_from(["open", "started", "done", "dropped"])),
            needs=tuple(sorted(draw(st.sets(st.integers(0, id - 1)) if id else st.just(set())))),
            place=draw(st.sampled_from([None, None, MILL])),
            finished_at=NOW,
            wait_after=timedelta(hours=draw(st.integers(0, 2))),
        )
        for id in range(count)
    ]


@given(plans())
def test_held_always_says_by_what_and_ready_never_does(tasks):
    for standing in stand(tasks, NOW).values():
        assert (standing.state == "held") == (bool(standing.reasons) and standing.state != "started")


@given(plans())
def test_an_open_plan_is_never_all_held_by_its_own_tasks(tasks):
    standings = stand(tasks, NOW + timedelta(days=1), at=MILL)
    open_ids = [task.id for task in tasks if task.status == "open"]
    blockers = [reason.task for id in open_ids for reason in standings[id].reasons if isinstance(reason, NeedsTask)]
    # Without a circle somebody at the bottom holds others and is held by no task.
    for id in blockers:
        deepest = id
        while any(isinstance(reason, NeedsTask) for reason in standings[deepest].reasons):
            deepest = next(r.task for r in standings[deepest].reasons if isinstance(r, NeedsTask))
        assert standings[deepest].state in ("ready", "held", "started")


def test_the_last_bolts_go_to_the_first_claim():
    claims = [Claim(1, 10, Decimal(4)), Claim(2, 10, Decimal(4)), Claim(3, None, Decimal(1))]
    assert share_out(claims, {10: Decimal(6)}) == {
        1: Share(Decimal(4), Decimal(0)),
        2: Share(Decimal(2), Decimal(2)),
        3: Share(Decimal(0), Decimal(1)),
    }


@given(
    st.lists(st.tuples(st.sampled_from([None, 1, 2]), st.integers(-1, 9)), max_size=12),
    st.dictionaries(st.sampled_from([1, 2]), st.integers(0, 20)),
)
def test_no_part_is_claimed_twice(wants, stock):
    claims = [Claim(line, part, Decimal(wanted)) for line, (part, wanted) in enumerate(wants)]
    shares = share_out(claims, {part: Decimal(count) for part, count in stock.items()})
    for part, count in stock.items():
        assert sum(shares[claim.line].claimed for claim in claims if claim.part == part) <= count
    for claim in claims:
        share = shares[claim.line]
        assert share.claimed + share.missing == max(claim.wanted, 0)
        assert share.claimed >= 0
        assert share.missing >= 0


@given(plans())
def test_the_count_of_what_stands_behind_agrees_with_walking_there(tasks):
    unfinished = [task for task in tasks if task.status in ("open", "started")]
    for task in tasks:
        found, ends = set(), [task.id]
        while ends:
            here = ends.pop()
            new = {other.id for other in unfinished if here in other.needs} - found
            found |= new
            ends += new
        assert stand_behind(tasks)[task.id] == len(found)


@given(plans(), st.sampled_from([None, MILL]))
def test_what_a_task_promises_is_what_finishing_it_frees(tasks, at):
    promised = lets_go_on(tasks, stand(tasks, NOW, at))
    for task in tasks:
        if task.status in ("open", "started"):
            freed = freed_by(task.id, tasks, NOW, at)
            assert promised[task.id] == (len(freed.ready), len(freed.waiting))
