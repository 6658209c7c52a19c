"""How does the command line read what goes on a top once it is sewn, and what it takes besides cloth, and write the answers?

Thin faces on `finishing`, `wadding`, `notions`, `beds` and `shrinkage`, one engine function each.
"""

from collections.abc import Mapping

from quiltbook.measures import Length, Size
from quiltbook.yardage import beds, finishing, notions, shrinkage
from quiltbook.yardage import wadding as packs
from quiltbook.yardage.jsonface import Reader, area, number
from quiltbook.yardage.thread import KINDS, SPOOLS, Stitch
from quiltbook.yardage.wording import Defaults, Json, read_size, size_shown, steps_shown


def backing(data: Mapping[str, object]) -> Json:
    """The ways to piece a backing, best first."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    result = finishing.backing(
        read_size(reader, "top"),
        overage=reader.length("overage", defaults.overage, zero=True),
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        seam_allowance=reader.length("seam_allowance", defaults.backing_seam, zero=True),
        increment=reader.step("increment", defaults.shop_step),
        repeat=reader.length("repeat", 0, zero=True),
        round_each=reader.flag("round_each", False),
        diagonal=reader.flag("diagonal", False),
    )
    return {
        "unit": unit,
        "need": size_shown(result.need, unit),
        "options": [_option_shown(option, unit) for option in result.options],
        "best": result.best.seams,
        "steps": steps_shown(result.steps, unit),
    }


def _option_shown(option: finishing.BackingOption, unit: str) -> Json:
    return {
        "seams": option.seams,
        "panels": option.panels,
        "panel_length": number(option.panel_length, unit),
        "panel": size_shown(option.panel, unit),
        "joined": number(option.joined, unit),
        "length": number(option.length, unit),
        "to_buy": number(option.to_buy, unit),
        "steps": steps_shown(option.steps, unit),
    }


def binding(data: Mapping[str, object]) -> Json:
    """The strips for a binding; with `finished`, as wide as that asks for."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    seam = reader.length("seam_allowance", defaults.seam, zero=True)
    strip: Length = reader.length("strip_width", defaults.binding_strip)
    if reader.has("finished"):
        strip = finishing.binding_strip(
            reader.length("finished"),
            thickness=reader.length("thickness", 0, zero=True),
            seam_allowance=seam if reader.has("seam_allowance") else None,
        )
    result = finishing.binding(
        read_size(reader, "top"),
        extra=reader.length("extra", defaults.binding_extra, zero=True),
        strip_width=strip,
        cloth_width=reader.length("cloth_width", defaults.cloth_width),
        join=reader.text("join", "diagonal"),
        seam_allowance=seam,
    )
    return {
        "unit": unit,
        "join": result.join,
        "perimeter": number(result.perimeter, unit),
        "length_needed": number(result.length_needed, unit),
        "strip_width": number(strip, unit),
        "strips": result.strips,
        "joins": result.joins,
        "joined_length": number(result.joined_length, unit),
        "cloth_length": number(result.cloth_length, unit),
        "squares": result.squares,
        "square": None if result.square is None else number(result.square, unit),
        "steps": steps_shown(result.steps, unit),
    }


def wadding(data: Mapping[str, object]) -> Json:
    """The packs that cover a top, and the length of a roll that does."""
    reader = Reader.of(data)
    defaults, unit = Defaults(reader.unit), reader.unit
    need = finishing.wadding(read_size(reader, "top"), overage=reader.length("overage", defaults.overage, zero=True))
    own = tuple(
        packs.Pack(pack.text("name"), Size(pack.length("width"), pack.length("length")))
        for pack in reader.children("packs", needed=False)
    )
    result = packs.to_buy(
        need,
        increment=reader.step("increment", defaults.shop_step),
        packs=own or packs.USUAL_PACKS,
        roll_width=reader.length("roll_width", packs.USUAL_ROLL),
    )
    return {
        "unit": unit,
        "need": size_shown(need, unit),
        "packs": [
            {
                "name": way.pack.name,
                "size": size_shown(way.pack.size, unit),
                "packs": way.packs,
                "across": way.across,
                "down": way.down,
                "turned": way.turned,
                "left": area(way.left, unit),
                "steps": steps_shown(way.steps, unit),
            }
            for way in result.packs
        ],
        "roll": [_option_shown(option, unit) for option in result.roll],
    }


def notions_needed(data: Mapping[str, object]) -> Json:
    """Thread for each kind of sewing, and papers."""
    reader = Reader.of(data)
    unit, lengths = reader.unit, reader.maybe_child("sewing")
    stitches = dict(notions.USUAL_STITCHES)
    own = reader.maybe_child("stitches")
    if own:
        stitches |= {what: _stitch(own.child(what)) for what in own.data}
    sewn = notions.sewing(
        {what: lengths.length(what, zero=True) for what in lengths.data} if lengths else {},
        stitches=stitches,
        waste=reader.per_cent("waste", 15),
        spool=reader.length("spool", SPOOLS[0]),
    )
    pieces = [
        (
            piece.text("shape"),
            Size(piece.length("width"), piece.length("length")),
            piece.count("count"),
        )
        for piece in reader.children("papers", needed=False)
    ]
    papers = notions.papers(pieces, pack=reader.count("pack", 100), uses=reader.count("uses", 1))
    return {
        "unit": unit,
        "thread": [
            {
                "what": line.what,
                "line": number(line.length, unit),
                "stitches": line.stitches,
                "needlefuls": line.needlefuls,
                "thread": number(line.thread.length, unit),
                "with_waste": number(line.thread.with_waste, unit),
                "spools": line.thread.spools,
                "steps": steps_shown(line.thread.steps, unit),
            }
            for line in sewn
        ],
        "papers": [
            {
                "shape": paper.shape,
                "size": size_shown(paper.size, unit),
                "pieces": paper.pieces,
                "papers": paper.papers,
                "packs": paper.packs,
                "steps": steps_shown(paper.steps, unit),
            }
            for paper in papers
        ],
    }


def _stitch(reader: Reader) -> Stitch:
    return Stitch(
        reader.choice("kind", KINDS),
        reader.length("length"),
        reader.length("thickness", 0, zero=True),
        reader.length("bite", 0, zero=True),
    )


def bed(data: Mapping[str, object]) -> Json:
    """The quilt for a bed."""
    reader = Reader.of(data)
    size = beds.quilt_for(
        read_size(reader, "mattress"), drop=reader.length("drop", zero=True), head=reader.length("head", 0, zero=True)
    )
    return {"unit": reader.unit, "finished": size_shown(size, reader.unit)}


def washing(data: Mapping[str, object]) -> Json:
    """What to buy or cut so that enough is left after the wash."""
    reader = Reader.of(data)
    lost = reader.child("shrinkage")
    shares = (lost.per_cent(key, 0, least=-50, most=50) / 100 for key in ("width", "length"))
    result = shrinkage.before_washing(read_size(reader, "needed"), shrinkage.Shrinkage(*shares))
    return {
        "unit": reader.unit,
        "before_washing": size_shown(result.size, reader.unit),
        "steps": steps_shown(result.steps, reader.unit),
    }
