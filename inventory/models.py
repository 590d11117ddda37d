"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""

from inventory.finding.models import FindDocument, KnownWord, SameWords, StaleDocument
from inventory.importing.models import HeadingMemory, Import, ImportedRow
from inventory.labels.models import BaseAddress, Label, LabelBinding, PrintRun
from inventory.parts.models import Batch, Holding, Move, Part
from inventory.people.models import Device, LoginFailure, Pairing, Person
from inventory.photos.models import Photo
from inventory.places.models import FormerAddress, Location, LocationChange

__all__ = [
    "BaseAddress",
    "Batch",
    "Device",
    "FindDocument",
    "FormerAddress",
    "HeadingMemory",
    "Holding",
    "KnownWord",
    "Label",
    "LabelBinding",
    "Import",
    "ImportedRow",
    "Location",
    "LocationChange",
    "LoginFailure",
    "Move",
    "Pairing",
    "Part",
    "Person",
    "Photo",
    "SameWords",
    "StaleDocument",
    "PrintRun",
]
