"""The written form of a cell: what a file calls the fields, which capacity goes without saying, and Cell -> file form."""

from collections.abc import Mapping

from millhand.model.cell import Attendant, Zone
from millhand.model.duty import Changeover

# Fields that a file calls otherwise ('' = not written under a key of its own).
NAMES: Mapping[type, Mapping[str, str]] = {
    Zone: {"duties": "from"},
    Changeover: {"from_family": "from", "to_family": "to"},
    Attendant: {"moves_full": "", "moves_slow": ""},
}
# Stations whose capacity need not be written: one part at a time. Supply, store and sink say it, or null for no limit.
CAPACITY: Mapping[str, int] = {"process": 1, "gate": 1}
