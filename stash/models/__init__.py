"""What a quilter owns: fabrics, the real pieces of them, the ledger of every change, who holds a piece, and what else lies in her boxes."""

from stash.models.fabric import Fabric, Tag
from stash.models.hold import Hold
from stash.models.imported import ImportedRow
from stash.models.ledger import Movement, MovementLine, Purchase
from stash.models.notion import Notion, NotionChange
from stash.models.photo import Photo
from stash.models.piece import Piece
from stash.models.scraps import ScrapBin, ScrapChange
from stash.models.stocktake import Stocktake, StocktakeMark

__all__ = [
    "Fabric",
    "Hold",
    "ImportedRow",
    "Movement",
    "MovementLine",
    "Notion",
    "NotionChange",
    "Photo",
    "Piece",
    "Purchase",
    "ScrapBin",
    "ScrapChange",
    "Stocktake",
    "StocktakeMark",
    "Tag",
]
