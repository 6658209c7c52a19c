"""What does each verb of the command line read, and what does it answer? One thin face on one engine function each.

A verb takes a loaded JSON object and gives one back. Whatever is wrong is a `Refusal` that names the field.
"""

from collections.abc import Callable, Mapping

from quiltbook.yardage.buyjson import to_buy
from quiltbook.yardage.finishingjson import backing, bed, binding, notions_needed, wadding, washing
from quiltbook.yardage.settingjson import setting
from quiltbook.yardage.shapejson import shape
from quiltbook.yardage.topjson import spacing, top
from quiltbook.yardage.wording import Json


def nest(data: Mapping[str, object]) -> Json:
    """Loaded when it is asked for: numpy and shapely take longer to load than the other verbs to answer."""
    from quiltbook.yardage import nestjson

    return nestjson.nest(data)


VERBS: Mapping[str, Callable[[Mapping[str, object]], Json]] = {
    "shape": shape,
    "setting": setting,
    "top": top,
    "spacing": spacing,
    "backing": backing,
    "binding": binding,
    "wadding": wadding,
    "notions": notions_needed,
    "bed": bed,
    "buy": to_buy,
    "nest": nest,
    "washing": washing,
}
