"""It reads fasteners as people write them. The ways of writing are common practice, no source."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from inventory.fasteners.calc import fastener as vocabulary
from inventory.fasteners.calc.fastener import Fastener
from inventory.fasteners.calc.reading import parse
from inventory.fasteners.calc.standards import IMPLIED
from inventory.fasteners.calc.threads import ALL_THREADS, SIZES
from inventory.fasteners.calc.writing import format, key, short

READ = {
    "M8x25": "M8×1.25×25",
    "M8×1.0×25 hex 10.9 zinc": "M8×1×25 hex bolt 10.9 zinc",
    "1/4-20 x 3/4 button": "1/4-20×3/4 button head screw",
    "5/16 UNF nyloc": "5/16-24 hex nylon insert nut",
    "#10-32": "#10-32",
    "10-32 x 1/2 pan phillips": "#10-32×1/2 pan head screw cross",
    ".190-32 x .5": "#10-32×1/2",
    "M6 flange bolt 20 long class 8.8": "M6×1×20 flange bolt 8.8",
    "DIN 933 M8x20": "M8×1.25×20 hex bolt full thread DIN 933",
    "DIN EN ISO 4762 M6x16 A2-70": "M6×1×16 socket cap screw A2-70 ISO 4762",
    "DIN 125-A M8": "M8 flat washer DIN 125",
    "ISO 7380-1 M6 x 12": "M6×1×12 button head screw ISO 7380-1",
    "ISO 4017 - M10 x 30 - 8.8": "M10×1.5×30 hex bolt full thread 8.8 ISO 4017",
    "M8-1.25x25": "M8×1.25×25",
    "25mm M8 bolt": "M8×1.25×25 hex bolt",
    "8mm bolt 30 long": "M8×1.25×30 hex bolt",
    "M8x1,25x25": "M8×1.25×25",
    "m10 1.5 pitch 30mm": "M10×1.5×30",
    "M6x1": "M6×1",
    "M24x3": "M24×3",
    "M3x3": "M3×0.5×3",
    "M8x1.25 LH nut": "M8×1.25 hex nut LH",
    "M12 nut class 8": "M12×1.75 hex nut class 8",
    "M10 jam nyloc": "M10×1.5 jam nylon insert nut",
    "M8 flange nut serrated": "M8×1.25 serrated flange nut",
    "M8 penny washer": "M8 penny washer",
    "M8x30 repair washer": "M8×30 penny washer",
    "M6 rivet nut": "M6×1 rivet nut",
    "#8 x 3/4 self tapping": "#8×3/4 self-tapper",
    "No. 8 x 1 1/2 csk wood screw brass": "#8×1-1/2 countersunk wood screw brass",
    "4.2x19 self-tapper pan head PH2": "4.2mm×19 pan self-tapper PH2",
    "ST4.2 x 19 self tapper": "4.2mm×19 self-tapper",
    "4.8x12 pop rivet": "4.8mm×12 blind rivet",
    "1/8 x 1/4 rivet": "1/8×1/4 blind rivet",
    "3.2x32 split pin": "3.2mm×32 split pin",
    '1/2" UNC x 1½" hex bolt grade 5': "1/2-13×1-1/2 hex bolt grade 5",
    "3/8-16 x 1-1/4 grade 8 yzp hex": "3/8-16×1-1/4 hex bolt grade 8 yellow zinc",
    "1/4 x 20 x 3/4": "1/4-20×3/4",
    "1/2 13 tpi x 2": "1/2-13×2",
    "1/4 UNC 20mm pan slotted brass": "1/4-20×20mm pan head screw slot brass",
    "5/16”×2 coach bolt": "5/16-18×2 carriage bolt",
    "1-8 x 3": "1-8×3",
    "M5x10 T25 button stainless": "M5×0.8×10 button head screw T25 stainless",
    "M6 x 25 allen bolt": "M6×1×25 socket cap screw",
    "12.9 M8x25 cap head": "M8×1.25×25 socket cap screw 12.9",
    "M8x20 grub screw cup point 45H": "M8×1.25×20 cup point set screw 45H",
    "M8x25 hex head setscrew 8.8 bzp": "M8×1.25×25 hex bolt full thread 8.8 zinc",
    "M10x1 banjo bolt": "M10×1 banjo bolt",
    "M8 x 1 m studding": "M8×1.25×1000 rod",
    "M10 studding 1m": "M10×1.5×1000 rod",
    "3/8 UNF x 1.1/4 bolt": "3/8-24×1-1/4 hex bolt",
    "8g x 3/4 self tapper": "#8×3/4 self-tapper",
    'No10 x 1" wood screw': "#10×1 wood screw",
    "M8 x 1.25 - 6g x 25": "M8×1.25×25",
    "M8 x 1.25p x 25": "M8×1.25×25",
    "M6 x 16mm hex set DIN933 A2 stainless": "M6×1×16 hex bolt full thread A2 DIN 933",
}


@pytest.mark.parametrize(("written", "meant"), READ.items())
def test_it_reads(written, meant):
    assert format(parse(written).fastener) == meant


SAME = [
    ("M8x25 hex bolt", "hex bolt M8 x 25", "M8×1.25×25 hexagon head screw", "m8-1.25 x 25mm hex", "Hex M8*25"),
    ("DIN 933 M8x20", "ISO 4017 M8x20", "M8x20 hex fully threaded", "M8x20 hex set screw", "DIN933 M8 × 20 mm"),
    ("1/4-20 x 3/4 button", '1/4" UNC x 0.75 button head', "1/4 x 20 x 3/4 bhcs", "¼-20×¾ button allen"),
    ("5/16 UNF nyloc", "5/16-24 nyloc nut", '5/16" x 24 tpi nylon insert lock nut', "nylock nut 5/16 fine"),
    ("#10-32 x 1/2", "10-32 x 1/2", "No 10-32 x .5", "#10 unf x 1/2"),
    ("M8 washer", "M8 flat washer", "DIN 125 M8", "washers M8"),
    ("M6 A2-70 socket cap x 16", "ISO 4762 M6x16 A2-70", "M6x16 SHCS A2-70", "M6 x 16 allen bolt a2/70"),
]


@pytest.mark.parametrize("ways", SAME, ids=lambda ways: ways[0])
def test_the_same_thing_written_differently_has_one_key(ways):
    assert {key(parse(way).fastener) for way in ways} == {key(parse(ways[0]).fastener)}


def test_what_was_understood_assumed_and_left_is_said():
    got = parse("M8 bolt from the gearbox")
    assert dict(got.understood) == {"kind": "bolt", "size": "M8"}
    assert set(got.assumed) == {"form", "pitch"}
    assert got.left == ("from", "gearbox")


def test_a_count_before_it_is_not_part_of_it():
    assert (parse("10 x M8x25 bolt").count, parse("4 off 1/4-20 x 1").count, parse("M8x25").count) == (10, 4, None)


def test_a_standard_alone_says_what_kind_of_thing_but_not_its_size():
    got = parse("ISO 4017")
    assert got.fastener is None
    assert dict(got.understood)["form"] == "hex"


@pytest.mark.parametrize(
    ("written", "doubt"),
    [
        ("M8 lock nut", "locking"),
        ("M8x25 cap screw", "form"),
        ("ISO 4017 M8x20 button", "standard"),
        ("M8x25 8.8 10.9", "grade"),
        ("1/4-28 UNC x 1", "pitch"),
        ("M8x25 grade 5", "grade"),
        ("DIN 933 M8 nut", "standard"),
    ],
)
def test_it_says_what_it_doubts(written, doubt):
    assert doubt in parse(written).doubts


@pytest.mark.parametrize("written", ["1/4 BSF x 1", "5/16 Whitworth bolt", "2 BA nut", "1/2 BSP", "1/8 NPT"])
def test_a_thread_of_another_form_is_not_taken_for_a_unified_one(written):
    got = parse(written)
    assert (got.fastener, got.doubts) == (None, ("thread",))


def test_a_whole_page_pasted_in_is_read_no_further_than_a_line():
    assert parse("9" * 100_000).fastener is None
    assert parse("M8x25 " + "gearbox " * 10_000).fastener.size == "M8"


def test_a_bolt_with_a_nut_is_a_bolt():
    got = parse("M8x25 bolt and nut")
    assert (got.fastener.kind, got.left) == ("bolt", ("nut",))


@pytest.mark.parametrize("text", ["", "bolt", "gearbox mount", "M0", "0/1", "M8x1/0", "#", "DIN", "x", "m", "1/0-20"])
def test_what_is_no_fastener_gives_none(text):
    assert parse(text).fastener is None or parse(text).fastener.size == "M8"


@given(st.text(alphabet="mM8#1/4-20 x×.,½\"'unfchexdin9", max_size=24))
def test_it_never_raises(text):
    parse(text)


@pytest.mark.parametrize(
    "fields",
    [
        {"kind": "gadget", "size": "M8"},
        {"kind": "bolt", "size": "2/8"},
        {"kind": "bolt", "size": "4.2mm"},
        {"kind": "self-tapper", "size": "M4"},
        {"kind": "bolt", "size": "M8", "grade": "9.9"},
        {"kind": "nut", "size": "M8", "form": "pan"},
        {"kind": "bolt", "size": "M8", "length": Fraction(-1)},
        {"kind": "bolt", "size": "M8", "pitch": 9},
        {"kind": "bolt", "size": "M8", "standard": "DIN 125"},
    ],
)
def test_a_fastener_that_cannot_be_is_refused(fields):
    with pytest.raises(ValueError, match=r"^(kind|size|grade|form|length|pitch|standard): "):
        Fastener(**fields)


def test_a_drawer_says_it_in_short():
    assert [short(parse(t).fastener) for t in ("M8x25 hex", "M8x1x25", "1/4-20 x 3/4", "M8 nut", "M8 washer")] == [
        "M8×25", "M8×1×25", "1/4-20×3/4", "M8", "M8",
    ]  # fmt: skip


_grades = [
    "", "4.6", "4.8", "5.8", "8.8", "10.9", "12.9", "grade 2", "grade 5", "grade 8", "class 6", "class 8", "class 10",
    "A2", "A4", "A2-70", "A4-80", "14H", "45H", "200HV", "300HV",
]  # fmt: skip


@st.composite
def lengths(draw, size):
    if size.startswith("M") or size.endswith("mm"):
        return (
            Fraction(draw(st.integers(20, 40000)), draw(st.sampled_from([1, 10, 100]))) if draw(st.booleans()) else None
        )
    return draw(st.none() | st.builds(Fraction, st.integers(1, 768), st.just(64)) | st.builds(
        lambda mm: Fraction(mm) / Fraction("25.4"), st.integers(1, 400)))  # fmt: skip


@st.composite
def fasteners(draw):
    kind = draw(st.sampled_from(sorted(vocabulary.FORMS)))
    pitch = None
    if kind in vocabulary.THREADED and draw(st.booleans()):
        thread = draw(st.sampled_from(ALL_THREADS))
        size, pitch = thread.size, thread.pitch
    elif kind in vocabulary.MACHINE_SIZED:
        size = draw(st.sampled_from(sorted(SIZES)))
    else:
        size = draw(st.sampled_from(["3.2mm", "4mm", "4.2mm", "4.8mm", "6.3mm", "#6", "#8", "#14", "1/8", "3/16"]))
    length = draw(lengths(size))
    assume(length is None or length > (3 if size.startswith("M") else 0))
    drive = draw(st.sampled_from(["", *vocabulary.DRIVES]))
    grade = draw(st.sampled_from(_grades))
    metric_nut = kind == "nut" and size.startswith("M")
    assume(not grade.startswith("class") or metric_nut)
    assume(not grade.startswith("grade") or not size.startswith("M"))
    return Fastener(
        kind=kind,
        size=size,
        pitch=pitch,
        length=length,
        form=draw(st.sampled_from(["", *vocabulary.FORMS[kind]])),
        drive=drive,
        drive_size=draw(st.sampled_from(["", "1", "2", "3"])),
        grade=grade,
        material=draw(st.sampled_from(["", *vocabulary.MATERIALS])),
        finish=draw(st.sampled_from(["", *vocabulary.FINISHES])),
        locking=draw(st.sampled_from(["", *vocabulary.LOCKING.get(kind, ())])),
        extent=draw(st.sampled_from(["", *vocabulary.EXTENTS])),
        standard=draw(st.sampled_from(["", "ASME B18.2.1", *(n for n, told in IMPLIED.items() if told.kind == kind)])),
        left_hand=draw(st.booleans()),
    )


@given(fasteners())
@example(Fastener("bolt", "M8", length=Fraction("25.4")))
@example(Fastener("washer", "1"))
@example(Fastener("bolt", "M27", pitch=3, length=Fraction(80), form="hex"))
def test_what_is_written_reads_back_the_same(f):
    assert parse(format(f)).fastener == f


@given(fasteners())
def test_the_key_does_not_depend_on_the_standards_name(f):
    assert key(f) == key(replace(f, standard=""))


@given(fasteners())
def test_what_it_writes_leaves_nothing_unread(f):
    assert parse(format(f)).left == ()
