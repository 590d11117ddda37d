"""Words for condition, origin and side, as people put them in lists. Common practice, no source."""

from .headings import plain

_CONDITION = {
    "good": "good|ok|okay|new|nos|new old stock|as new|like new|excellent|very good|vgood|usable|used|"
    "used good|ready|serviceable|rebuilt|reconditioned|refurbished|mint|fine|god|bra|ny|gut|neu|bon|"
    "neuf|bueno|nuevo",
    "repairable": "repairable|repair|fair|poor|worn|needs work|needs repair|to repair|fixable|rebuildable|"
    "core|rusty|surface rust|dented|bent|needs welding|restorable|average|medium|slitt|sliten|reparierbar|"
    "a reparer|reparable",
    "pattern": "pattern|pattern only|template|to copy|copy|for pattern|for copying|sample|mal|muster|modele",
    "scrap": "scrap|junk|broken|dead|bad|useless|for scrap|cracked|beyond repair|skrot|skrap|"
    "schrott|ferraille|chatarra",
}
_ORIGIN = {
    "bought": "bought|purchased|purchase|new|shop|ordered|order|supplier|kjopt|kopt|kobt|gekauft|achete|comprado",
    "made": "made|home made|homemade|self made|fabricated|machined|own make|built|laget|gjord|"
    "selbst gemacht|fabrique|hecho",
    "pulled": "pulled|pull|donor|donor vehicle|removed|salvage|salvaged|stripped|taken off|"
    "off vehicle|original|"
    "off van|breaker|scrapyard|fra donor|ausgebaut|demonte",
    "found": "found|came with|came with it|unknown|given|gift|swap|traded|funnet|hittad|gefunden|trouve|encontrado",
}
_SIDE = {
    "left": "left|l|lh|left hand|left side|ls|near side|nearside|ns|venstre|vanster|links|gauche|izquierda|port",
    "right": "right|r|rh|right hand|right side|rs|off side|offside|os|hoyre|hoger|rechts|droite|derecha|starboard",
    "front": "front|f|fr|forward|foran|fram|vorne|avant|delantero",
    "rear": "rear|back|rr|behind|bak|bakre|hinten|arriere|trasero",
}


def _table(words: dict[str, str]) -> dict[str, str]:
    return {word: value for value, line in words.items() for word in line.split("|")}


_CONDITIONS, _ORIGINS, _SIDES = _table(_CONDITION), _table(_ORIGIN), _table(_SIDE)


def read_condition(text: str) -> str:
    """'good', 'repairable', 'pattern', 'scrap', or '' where the words are not known."""
    return _CONDITIONS.get(plain(text), "")


def read_origin(text: str) -> str:
    """'bought', 'made', 'pulled', 'found', or '' where the words are not known."""
    words = plain(text)
    if words.startswith(("off ", "from ")):
        return "pulled"
    return _ORIGINS.get(words, "")


def read_side(text: str) -> str:
    """'left', 'right', 'front', 'rear', or '' where the words are not known.

    Near side and off side are read as left and right, as where traffic keeps left.
    """
    return _SIDES.get(plain(text), "")
