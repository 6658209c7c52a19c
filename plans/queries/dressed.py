"""In which cloths is a quilt drawn? Those allotted to its roles, in her order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from plans.models import Allotment
from plans.queries.worked import Worked, role_key_of
from quiltbook.measures import NM_PER_CM
from quiltbook.web.pictures import Given
from quiltbook.web.svg import Look
from quiltbook.yardage.drawing import Drawn
from stash.models import Fabric

# A photo that shows more cloth than this is wide on the page too.
LARGE = 20 * NM_PER_CM
SEWN_TOP = "sewn top"  # another quilt's: no cloth of this one

type ByRole = Mapping[str, Sequence[Given]]


def given(plan_ids: Iterable[int]) -> Mapping[int, ByRole]:
    """The cloths of each plan, by its id and by the key of the role."""
    found: dict[int, dict[str, list[Given]]] = defaultdict(lambda: defaultdict(list))
    allotments = Allotment.objects.filter(plan__in=list(plan_ids)).select_related("fabric")
    for allotment in allotments.prefetch_related("fabric__photos").order_by("plan", "role", "position"):
        look = _look(allotment.fabric, panel=allotment.role == "panel")
        found[allotment.plan_id][allotment.role].append(Given(look, allotment.count))
    return found


def _look(fabric: Fabric, *, panel: bool) -> Look:
    face = next(iter(fabric.photos.all()), None)
    shows = face.cloth if face else None
    # A panel is drawn as the one picture it is, so it may be large; cloth repeats, the sooner the smaller.
    large = panel or (shows is not None and shows.width > LARGE)
    return Look(fabric.name, fabric.colour, fabric.photo_url if large else fabric.thumbnail_url, shows)


def dressed(work: Worked, shapes: Iterable[Drawn], by_role: ByRole) -> dict[str, Sequence[Given]]:
    """The cloths by the engine's own name of each role, as the picture asks for them."""
    keys = {shape.role: role_key_of(shape, work.rounds) for shape in shapes if shape.part != SEWN_TOP}
    return {role: by_role.get(key, ()) for role, key in keys.items()}
