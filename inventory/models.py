"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""

from inventory.demo.models import DemoThing
from inventory.donors.models import Cost, Donor, DonorPhoto, Paper, Pull, PullPhoto, Want
from inventory.finding.models import FindDocument, KnownWord, SameWords, StaleDocument
from inventory.importing.models import HeadingMemory, Import, ImportedRow
from inventory.labels.models import BaseAddress, Label, LabelBinding, PrintRun
from inventory.organizers.models import Filling
from inventory.parts.models import Batch, Counted, Holding, Move, Part
from inventory.people.models import Device, LoginFailure, Pairing, Person
from inventory.photos.models import Photo
from inventory.places.models import FormerAddress, Location, LocationChange

__all__ = [
    "BaseAddress",
    "Batch",
    "Cost",
    "Counted",
    "DemoThing",
    "Device",
    "Donor",
    "DonorPhoto",
    "Filling",
    "FindDocument",
    "FormerAddress",
    "HeadingMemory",
    "Holding",
    "Import",
    "ImportedRow",
    "KnownWord",
    "Label",
    "LabelBinding",
    "Location",
    "LocationChange",
    "LoginFailure",
    "Move",
    "Pairing",
    "Paper",
    "Part",
    "Person",
    "Photo",
    "PrintRun",
    "Pull",
    "PullPhoto",
    "SameWords",
    "StaleDocument",
    "Want",
]
