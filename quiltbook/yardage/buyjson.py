"""How does the command line's `buy` read what is to be cut, and write what is to be bought? A thin face on `buying.buy`.

As in `cut`, cloth is rounded down to the nm and patches up; so is what squaring up takes.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import ceil, floor

from quiltbook.yardage.buying import Buying, buy
from quiltbook.yardage.cloths import STRIPES, Repeat
from quiltbook.yardage.cutjson import layout_shown, read_job
from quiltbook.yardage.jsonface import Reader, number
from quiltbook.yardage.wording import Defaults, Json, steps_shown


def to_buy(data: Mapping[str, object]) -> Json:
    """The least length of cloth found. Raises `Refusal` for input that makes no sense."""
    reader = Reader.of(data)
    bought, unit = buy(read_buying(reader)), reader.unit
    return {
        "unit": unit,
        "length": number(bought.length, unit),
        "to_buy": number(bought.to_buy, unit),
        "handbook_length": number(bought.handbook_length, unit),
        "handbook_to_buy": number(bought.handbook_to_buy, unit),
        "layout": layout_shown(bought.layout, unit),
        "steps": steps_shown(bought.steps, unit),
    }


def read_buying(reader: Reader) -> Buying:
    """What an object of the input asks for: the job of `cut`, without its cloths."""
    job = read_job(replace(reader, data={**reader.data, "cloths": []}))
    repeat = reader.maybe_child("repeat")
    return Buying(
        width=floor(reader.length("width")),
        increment=reader.step("increment", Defaults(reader.unit).shop_step),
        patches=job.patches,
        method=job.method,
        effort=job.effort,
        one_way=reader.flag("one_way", False),
        stripes=reader.choice("stripes", STRIPES) if reader.has("stripes") else None,
        repeat=Repeat(ceil(repeat.length("width")), ceil(repeat.length("length"))) if repeat else None,
        least_offcut=job.least_offcut,
        straightening=job.straightening,
        shrinkage=job.shrinkage,
    )
