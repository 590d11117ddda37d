"""What the heading of a column usually means.

Each field lists the headings people give it: English first, then the habits of a few other languages.
Common practice, no source.
"""

import re
import unicodedata
from functools import lru_cache

PLACE_KINDS = ("site", "container", "rack", "shelf", "bench", "organizer", "drawer", "bin")
FIELDS = (
    "name", "quantity", "unit", "place", *PLACE_KINDS, "numbers", "other_names", "condition", "origin",
    "donor", "side", "keep_at_least", "note",
)  # fmt: skip
# These may be given to several columns of one file; every other field to one.
MANY = frozenset({"note", "numbers", "other_names"})
# A heading that says as little as this is decided by what stands under it.
VAGUE = frozenset({"no", "nr", "num", "number", "numero", "#", "id", "n", "item no", "pos", "line"})

_HEADINGS = {
    "name": "name|part|part name|item|item name|article|component|what|thing|description|title|"
    "navn|namn|del|deler|beskrivelse|benaming|bezeichnung|teil|teilename|artikel|beschreibung|benennung|"
    "nom|piece|designation|article|nombre|pieza|descripcion|naam|onderdeel|omschrijving|nome|pezzo",
    "quantity": "qty|quantity|quantities|qty on hand|on hand|count|amount|how many|pcs|pieces|stock|in stock|"
    "antall|antal|stk|styck|menge|anzahl|stuck|bestand|mangd|maengde|quantite|qte|nombre de pieces|"
    "cantidad|cant|aantal|hoeveelheid|quantita|qta",
    "unit": "unit|units|uom|unit of measure|unit of count|enhet|enhed|einheit|unite|unidad|eenheid|unita",
    "place": "place|location|loc|where|where is it|stored|stored in|stored at|storage|"
    "storage location|position|"
    "stowed|plass|sted|plats|plads|lagerplass|lagerplats|lagerort|ort|standort|lagerplatz|"
    "emplacement|lieu|ubicacion|lugar|locatie|plaats|posizione|luogo",
    "site": "site|room|building|area|yard|rom|rum|raum|halle|salle",
    "container": "container|trailer|conteneur|contenedor",
    "rack": "rack|racking|bay|shelving|side of container|reol|regal|rayonnage|estanteria|stelling",
    "shelf": "shelf|level|hylle|hylla|hylde|fach|etagere|estante|plank",
    "bench": "bench|workbench|arbeidsbenk|werkbank",
    "organizer": "organizer|organiser|cabinet|drawer cabinet|chest|skap|schrank|armoire",
    "drawer": "drawer|skuff|lada|skuffe|schublade|tiroir|cajon|lade",
    "bin": "bin|box|crate|tub|tray|bin no|box no|bin number|box number|kasse|lada nr|kiste|boite|"
    "caja|bak|doos",
    "numbers": "part number|part numbers|part no|part nr|partno|pn|p n|part #|number on part|oem|oem number|"
    "cross reference|maker number|stock number|sku|catalogue number|reference|ref|code|delenummer|delenr|"
    "artikkelnummer|artikelnummer|artikelnr|teilenummer|teilenr|numero de piece|referencia|onderdeelnummer",
    "other_names": "other names|other name|also called|also known as|aka|alias|synonyms|alternative name",
    "condition": "condition|state|cond|status|tilstand|skick|stand|zustand|etat|estado|staat|condizione",
    "origin": "origin|source|got from|how got|came from|opphav|herkunft|quelle|origine|origen|herkomst",
    "donor": "donor|donor vehicle|off vehicle|from vehicle|off|pulled from|taken off|from car|vehicle",
    "side": "side|hand|handing|lh rh|l r|left right|seite|cote|lado|kant",
    "keep_at_least": "keep at least|keep|minimum|min|min qty|minimum quantity|minimum stock|min stock|"
    "reorder|reorder at|reorder level|reorder point|low at|mindestbestand|minst|minimo",
    "note": "note|notes|remark|remarks|comment|comments|info|details|memo|merknad|anmerkning|anmarkning|"
    "bemerkung|notiz|remarque|observaciones|nota|opmerking|bemaerkning",
}  # fmt: skip
_EXACT = {}
for _field, _words in _HEADINGS.items():
    for _word in _words.split("|"):
        _EXACT.setdefault(_word, _field)
# Where a longer heading holds several known ones, the longest wins; equal lengths in this order.
_ORDER = ("keep_at_least", "numbers", "other_names", "unit", "donor", "quantity", *PLACE_KINDS, "place",
          "condition", "origin", "side", "name", "note")  # fmt: skip
_INSIDE = sorted((w for w in _EXACT if len(w) > 2), key=lambda w: (-w.count(" "), _ORDER.index(_EXACT[w]), -len(w)))


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Lower case, no accents, one space between words, no punctuation but '#'."""
    folded = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    folded = "".join(c for c in folded if not unicodedata.combining(c))
    folded = folded.replace("ø", "o").replace("æ", "ae").replace("ł", "l")
    return " ".join(re.sub(r"[^\w#]+|_", " ", folded).split())


@lru_cache(maxsize=8192)
def meaning(heading: str) -> tuple[str, int]:
    """(field, strength) of a heading: 3 the heading itself, 2 a heading inside a longer one, 1 vague, 0 unknown."""
    words = plain(heading)
    if not words:
        return "", 0
    if words in VAGUE:
        return "", 1
    if words in _EXACT:
        return _EXACT[words], 3
    if len(words) > 40 or any(c.isdigit() for c in words):  # 'shelf 2' is no heading but what stands under one
        return "", 0
    padded = f" {words} "
    for known in _INSIDE:
        if f" {known} " in padded:
            return _EXACT[known], 2
    return "", 0
