"""Where on a vehicle a part sits: in front, in the cab, at the back or underneath, as far as its name tells.

The words are the trade's own on both sides of the Atlantic. Common practice, no source.
"""

import re

FRONT, CAB, BACK, UNDER = "front", "cab", "back", "under"

# The first line of which a word stands in the name decides; what it says first is more telling than what follows.
_WORDS = (
    (UNDER, "axle|half shaft|propshaft|drive shaft|gearbox|transmission|clutch|leaf spring|coil spring|torsion bar"
            "|shackle|shock absorber|damper|brake drum|brake disc|brake shoe|brake pipe|brake line|brake hose|caliper"
            "|wheel cylinder|hub|road wheel|wheel|kingpin|king pin|track rod|tie rod|drop arm|pitman|steering box"
            "|fuel tank|fuel sender|silencer|muffler|exhaust|down pipe|chassis|crossmember|outrigger|sill|rocker panel"
            "|handbrake cable|universal joint|spare wheel"),
    (BACK, "rear door|barn door|tailgate|hatch|boot|trunk"
           "|bumper, rear|rear bumper|rear lamp|tail light|tail lamp|load floor"
           "|bed|drop side|dropside|rear window|back light|quarter panel|roof bow|roof rack|roof vent|rear wing"
           "|rear seat|number plate lamp|license plate light|tow|side panel|filler|load"),
    (FRONT, "bonnet|hood|grille|front panel|nose|front wing|fender|bumper, front|front bumper|headlamp|headlight"
            "|side lamp|indicator|turn signal|radiator|fan|water pump|thermostat|engine|carburettor|carburetor"
            "|air filter|manifold|dynamo|generator|alternator|starter|distributor|ignition coil|spark plug|battery|horn"
            "|fuel pump|oil pump|voltage control|master cylinder|wiper motor|hose|inner wing"),
    (CAB, "door|cab|windscreen|windshield|glass|window|seat|dash|instrument|speedometer|steering wheel|pedal|heater"
          "|mirror|visor|headliner|trim|handle|lock|winder|regulator|check strap|switch|fuse|wiper|mat|handbrake lever"
          "|column|courtesy lamp|badge|belt|radio|control panel|roof"),
)  # fmt: skip
_PATTERNS = [(zone, re.compile(rf"\b(?:{words})s?\b", re.IGNORECASE)) for zone, words in _WORDS]


def zone_of(name: str) -> str:
    """The zone a part's name tells of; '' where it tells of none.

    'Front' and 'rear' as the very first word decide where the rest says nothing.
    """
    for zone, pattern in _PATTERNS:
        if pattern.search(name):
            return zone
    first = name.split(maxsplit=1)[0].casefold().rstrip(",") if name.split() else ""
    return {"front": FRONT, "rear": BACK, "back": BACK}.get(first, "")
