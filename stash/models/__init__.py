"""What a quilter owns: fabrics, the real pieces of them, the ledger of every change, and who holds a piece."""

from stash.models.fabric import Fabric
from stash.models.hold import Hold
from stash.models.ledger import Movement, MovementLine, Purchase
from stash.models.piece import Piece

__all__ = ["Fabric", "Hold", "Movement", "MovementLine", "Piece", "Purchase"]
