"""In which cloths is a quilt drawn? Those allotted to its roles, in her order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from plans.models import Allotment
from plans.queries.worked import Worked, role_key_of
from quiltbook.web.pictures import Given
from quiltbook.web.svg import Look
from quiltbook.yardage.drawing import Drawn

SEWN_TOP = "sewn top"  # another quilt's: no cloth of this one

type ByRole = Mapping[str, Sequence[Given]]


def given(plan_ids: Iterable[int]) -> Mapping[int, ByRole]:
    """The cloths of each plan, by its id and by the key of the role."""
    found: dict[int, dict[str, list[Given]]] = defaultdict(lambda: defaultdict(list))
    allotments = Allotment.objects.filter(plan__in=list(plan_ids)).select_related("fabric")
    for allotment in allotments.order_by("plan", "role", "position"):
        fabric = allotment.fabric
        # A panel is drawn as the one picture it is, so it may be large; cloth repeats.
        photo = fabric.photo_url if allotment.role == "panel" else fabric.thumbnail_url
        look = Look(fabric.name, fabric.colour, photo)
        found[allotment.plan_id][allotment.role].append(Given(look, allotment.count))
    return found


def dressed(work: Worked, shapes: Iterable[Drawn], by_role: ByRole) -> dict[str, Sequence[Given]]:
    """The cloths by the engine's own name of each role, as the picture asks for them."""
    keys = {shape.role: role_key_of(shape, work.rounds) for shape in shapes if shape.part != SEWN_TOP}
    return {role: by_role.get(key, ()) for role, key in keys.items()}
