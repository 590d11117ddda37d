"""What people write, and which field of a fastener it fills.

A space in a phrase stands for a space, a hyphen or nothing ('set screw', 'set-screw', 'setscrew'); a final s
is allowed. The longest phrase wins. Words of the trade; no source.
"""

import re

# field=value; field=value: phrases. A line that starts with a space carries on the one above.
_TABLE = """
kind=stud: stud, stud bolt, double ended stud
kind=rod: rod, threaded rod, threaded bar, studding, all thread
kind=set screw: set screw, grub screw, grub, headless screw
kind=nut: nut, full nut, plain nut
kind=rivet nut: rivet nut, riv nut, blind nut, blind rivet nut
kind=insert: insert, thread insert, wire thread insert, helical insert, coil insert, thread repair insert
kind=washer: washer
kind=self-tapper: self tapper, self tapping, self tapping screw, self tap, sheet metal screw, tapping screw,
    pk screw
kind=self-driller: self driller, self drilling, self drilling screw
kind=wood screw: wood screw, chipboard screw
kind=blind rivet: blind rivet, pop rivet, rivet
kind=solid rivet: solid rivet
kind=split pin: split pin, cotter pin, cotter
kind=roll pin: roll pin, spring pin, tension pin
kind=bolt; form=carriage: carriage, carriage bolt, coach bolt, cup square
kind=bolt; form=U: u bolt
kind=bolt; form=eye: eye bolt
kind=bolt; form=T-head: t head, tee bolt, t bolt
kind=bolt; form=thumb: thumb screw, thumb, wing screw, knurled screw
kind=bolt; form=shoulder: shoulder bolt, shoulder screw, shoulder
kind=bolt; form=banjo: banjo, banjo bolt
kind=wood screw; form=hex: coach screw, lag screw, lag bolt
kind=bolt; form=hex; extent=full: hex set, hexagon set, hex set screw, hex head set screw, hexagon set screw,
    hexagon head set screw
kind=nut; form=jam: jam, jam nut, half nut, thin nut
kind=nut; form=high: high, high nut
kind=nut; form=castle: castle, castle nut, castellated nut, castellated, slotted nut
kind=nut; form=wing: wing nut, butterfly nut, wing
kind=nut; form=dome: dome nut, domed nut, acorn, acorn nut, cap nut, domed cap nut
kind=nut; form=serrated flange: flange nut serrated, flanged nut serrated
kind=nut; form=weld: weld nut, weld
kind=nut; form=cage: cage, cage nut, caged nut, captive nut
kind=nut; form=clip: clip, clip nut, speed nut, u nut, j nut, u clip
kind=nut; form=coupling: coupling nut, coupling, connecting nut, extension nut, joining nut
kind=nut; form=barrel: barrel nut, barrel
kind=nut; form=tee: tee, t nut, tee nut
kind=nut; form=eye: eye nut
kind=nut; form=knurled: knurled, knurled nut, thumb nut
kind=washer; form=flat: flat washer, plain washer, form a washer
kind=washer; form=small: small washer
kind=washer; form=penny: penny, penny washer, fender washer, mudguard washer, repair washer, large washer
kind=washer; form=spring: spring washer, split washer, lock washer, split lock washer
kind=washer; form=star: star washer, shakeproof washer, shakeproof, toothed washer, serrated washer, internal
    star washer, external star washer, tooth lock washer
kind=washer; form=wave: wave washer, wavy washer, crinkle washer
kind=washer; form=cone: cone washer, conical washer, disc spring, dished washer
kind=washer; form=crush: crush washer, sealing washer, drain plug washer
kind=washer; form=cup: cup washer, finishing washer, screw cup
kind=washer; form=square: square washer
kind=nut; locking=nylon insert: nyloc, nylock, nyloc nut, nylock nut, nylon insert nut, nylon lock nut,
    nylon lock
kind=nut; locking=all-metal lock: all metal lock, all metal lock nut, all metal, deformed nut,
    prevailing torque nut
locking=nylon insert: nylon insert
locking=patch: patch, thread lock patch, pre coated
form=hex: hex, hexagon, hex head, hexagon head, hexagonal, hex cap, hex cap screw, hexagon cap screw, hh
form=flange: flange, flanged, flange head, flange bolt, hex flange, hex flange bolt, flanged hex, hex flange
    head
form=serrated flange: serrated flange, flange serrated, serrated flanged
form=hex washer: hex washer head, hex washer, washer head, hwh
form=pan: pan, pan head
form=button: button, button head, btn, socket button, socket button head, bhcs, dome head
form=flanged button: flanged button, flanged button head, flange button, button flange, button head flange
form=countersunk: countersunk, csk, countersink, flat head, flathead, c sunk, socket countersunk, fhcs,
    countersunk head, flush
form=raised countersunk: raised countersunk, raised csk, oval head, oval, raised countersunk head
form=cheese: cheese, cheese head, fillister, fillister head
form=round: round, round head
form=truss: truss, truss head, mushroom, mushroom head
form=socket: socket cap, socket head cap, socket cap screw, socket head cap screw, shcs, cap head,
    cap head screw, hex socket cap, hex socket head cap, hex socket cap screw, hex socket head cap screw,
    cap screw
form=low socket: low head cap, low head socket, low socket, low profile socket
form=square: square, square head
form=eye: eye
form=dome: dome, domed
form=large flange: large flange, wide flange
form=small head: small head, reduced head
form=hex body: hex body
form=flat point: flat point
form=cup point: cup point
form=cone point: cone point
form=dog point: dog point
drive=hex socket: hex socket, hex socket head, socket, socket head, socket screw, allen, allen key,
    allen head, hex key, internal hex, hex drive, inhex
drive=cross: cross, phillips, philips, cross head, cross recess, cross recessed, cross h
drive=cross Z: cross z, pozi
drive=six-lobe: six lobe, hexalobular, torx, star drive, 6 lobe
drive=slot: slot, slotted, straight slot
drive=square drive: square drive, square recess
drive=twelve-point: twelve point, 12 point, double hex, bihex
material=stainless: stainless, stainless steel, ss, inox
material=brass: brass
material=nylon: nylon, plastic
material=aluminium: aluminium, aluminum, alu, ally
material=copper: copper
material=bronze: bronze, silicon bronze
material=titanium: titanium
material=rubber: rubber
material=fibre: fibre, fiber
finish=zinc: zinc, zinc plated, zinc plate, zp, bzp, bright zinc, bright zinc plated, zn, blue zinc
finish=yellow zinc: yellow zinc, zinc yellow, yzp, zyp, yellow passivated, yellow, yellow passivate, gold zinc
finish=zinc flake: zinc flake
finish=black: black, black oxide, blackened, blk, black zinc
finish=plain: plain, self colour, self colored, self coloured, self color, uncoated, bare
finish=galvanised: galvanised, galvanized, galv, hdg, hot dip galvanised, hot dip galvanized, hot dipped
finish=cadmium: cadmium, cad, cad plated, cadmium plated
finish=chrome: chrome, chromed, chrome plated
finish=nickel: nickel, nickel plated
finish=phosphate: phosphate, phosphated
finish=coppered: coppered, copper plated, copper flashed
finish=painted: painted, powder coated
extent=full: full thread, fully threaded, full threaded, threaded to head
extent=partial: partial thread, partially threaded, part thread, part threaded, shank
series=coarse: unc, coarse, coarse thread, metric coarse
series=fine: unf, fine, fine thread, metric fine, mf, extra fine
series=other: bsw, bsf, whitworth, whit, ba, bsp, bspp, bspt, npt, nptf, british standard fine, cycle thread, unef,
    uns
left_hand=yes: lh, left hand, left handed, left hand thread, left handed thread, reverse thread
noise=: steel, mild steel, metric, imperial, head, thread, machine screw, machine, with, of, the, and, long,
    lg, length, 2a, 2b, 6g, 6h, 3a, pitch, drive, high tensile, ht, type, right hand, un, rh, screw head
kind=nut: lock nut
"""

# Kind words that say little: a 'bolt' or a 'screw' may turn out to be something more exact.
WEAK_KINDS = ("bolt", "screw")

# Words with two meanings in the trade: understood in one of them, and said so.
AMBIGUOUS = {"cap screw": "form", "lock nut": "locking"}


def _phrases() -> dict[str, dict[str, str]]:
    found = {word: {} for word in WEAK_KINDS}
    for line in _TABLE.replace("\n    ", " ").strip().splitlines():
        head, _, phrases = line.partition(": ")
        fields = dict(pair.split("=") for pair in head.split("; "))
        found.update((phrase.strip(), fields) for phrase in phrases.split(","))
    return found


PHRASES = _phrases()
_BARE = {phrase.replace(" ", ""): phrase for phrase in PHRASES}
PATTERN = re.compile(
    r"(?<![\w.#/])(?:"
    + "|".join(re.escape(p).replace(r"\ ", r"[\s-]*") for p in sorted(PHRASES, key=len, reverse=True))
    + r")s?(?![\w/])"
)


def phrase_of(written: str) -> str:
    """The phrase in the table that this text was matched by."""
    bare = re.sub(r"[\s-]+", "", written)
    return _BARE.get(bare) or _BARE[bare.removesuffix("s")]
