"""Words of the trade that mean the same thing, on two sides of an ocean and of a vehicle.

Source: common practice, no source. Left and right are those of somebody sitting in the vehicle; near side is
the kerb side of a country that drives on the left, so it means left here. The shop adds groups of its own.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from .fold import words

GROUPS = """
left, lh, left hand, near side, nearside, ns, n/s, l/h
right, rh, right hand, off side, offside, os, o/s, r/h
rear, back
bonnet, hood
boot, trunk
boot lid, trunk lid, deck lid
spanner, wrench
wing, fender, mudguard
windscreen, windshield
gearbox, transmission
gear lever, gear stick, shifter
petrol, gas, gasoline, fuel
petrol tank, fuel tank, gas tank
paraffin, kerosene
earth, ground
tyre, tire
silencer, muffler
bulkhead, firewall
indicator, turn signal, blinker, trafficator, winker
number plate, license plate, licence plate, registration plate
aerial, antenna
accelerator, throttle, gas pedal
handbrake, parking brake, emergency brake
hub cap, wheel cover
prop shaft, propshaft, propeller shaft, driveshaft, drive shaft
half shaft, axle shaft
gudgeon pin, wrist pin
big end bearing, rod bearing
welch plug, core plug, freeze plug
sump, oil pan
rocker cover, valve cover, tappet cover
dynamo, generator
distributor, dizzy
spark plug, sparking plug
carburettor, carburetor, carb, carburetter
air filter, air cleaner
choke, strangler
fascia, dashboard, dash, facia
glovebox, glove box, glove compartment
quarter light, quarterlight, vent window
sill, rocker panel
wheel arch, wheel well
tailgate, hatch, liftgate
side light, sidelight, parking light
headlamp, headlight
tail lamp, tail light, rear lamp
lamp, light
reversing light, backup light
bulb, globe
wheel nut, lug nut
wheel brace, lug wrench
kingpin, king pin, swivel pin
track rod, tie rod
track rod end, tie rod end, ball joint
anti roll bar, sway bar
damper, shock absorber, shocker, shock
leaf spring, cart spring
dust cover, gaiter
circlip, snap ring, retaining ring
split pin, cotter pin
grub screw, set screw
cap head, socket head
lock nut, locknut
hose clip, hose clamp
grease nipple, grease fitting
captive nut, cage nut, weld nut
torch, flashlight
vice, vise
aluminium, aluminum, alloy, ally
grey, gray
mould, mold
plough, plow
estate, station wagon, shooting brake
lorry, truck
pickup, pick up, ute
caravan, trailer
paint thinner, thinners
spray gun, paint gun
filler, body filler
weatherstrip, weather strip, draught strip
""".strip().splitlines()


@dataclass(frozen=True, slots=True)
class Alike:
    """The groups, ready to ask. `groups` maps a phrase of folded words to every phrase of its group."""

    groups: dict[str, tuple[str, ...]]
    longest: int

    def others(self, phrase: str) -> tuple[str, ...]:
        """What else the same thing is called, the phrase itself left out."""
        return tuple(other for other in self.groups.get(phrase, ()) if other != phrase)

    def begun(self, start: str) -> tuple[str, ...]:
        """What else a word not typed to its end may be called: 'bonn' -> 'hood'."""
        found = [phrase for phrase in self.groups if phrase.startswith(start) and phrase != start]
        return tuple(dict.fromkeys(other for phrase in found for other in self.others(phrase)))


@lru_cache(maxsize=4)
def table(own: tuple[str, ...] = ()) -> Alike:
    """The table of the trade with the shop's own groups added; each a line of words parted by commas.

    A line that shares a word with another only adds to that word, so 'hatch' may stand in two groups
    without making the rest of the two groups the same.
    """
    groups: dict[str, dict[str, None]] = {}
    for line in (*GROUPS, *own):
        phrases = read(line)
        for phrase in phrases:
            groups.setdefault(phrase, {}).update(dict.fromkeys(phrases))
    return Alike(
        {phrase: tuple(found) for phrase, found in groups.items()},
        max(phrase.count(" ") + 1 for phrase in groups),
    )


def read(line: str) -> list[str]:
    """The phrases of one line, folded: 'Number plates, tag' -> ['number plate', 'tag']."""
    return list(dict.fromkeys(filter(None, (" ".join(words(piece)) for piece in line.split(",")))))


def same(phrases: Iterable[str], alike: Alike) -> bool:
    """Whether all of these are already one group."""
    found = [set(alike.groups.get(phrase, ())) for phrase in phrases]
    return bool(found) and bool(set.intersection(*found))
