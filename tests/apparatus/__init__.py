"""A simulated bench for each practical of the catalogue, and the pages that careful students make of it."""

from tests.apparatus.bench import Bench, Key, Quantity, Reading, Working
from tests.apparatus.catalogue import BENCHES
from tests.apparatus.sheets import Sheet, careful_sheet, write_tidy

__all__ = ["BENCHES", "Bench", "Key", "Quantity", "Reading", "Sheet", "Working", "careful_sheet", "write_tidy"]
