"""What might a cloth look like of which nobody has taken a photo?

Draws a square of printed cotton: a ground, a print, and the weave over both. The same seed gives the same cloth,
and its edges meet, so that a quilt may be drawn with it. The demonstration's stash is made of these.
"""

import io
import math
from collections.abc import Callable, Iterator, Sequence
from random import Random

from PIL import Image, ImageChops, ImageColor, ImageDraw, ImageFilter

type Rgb = tuple[int, int, int]
type Points = list[tuple[float, float]]

_FINE = 2  # drawn this much larger, then shrunk: round edges without steps


def swatch(seed: str, colours: Sequence[str], kind: str = "plain", size: int = 480) -> bytes:
    """A PNG, `size` pixels square, of the print `kind` (one of PRINTS), in `colours` (#rrggbb, the ground first)."""
    cloth = _Cloth(Random(seed), [_rgb(colour) for colour in colours], size * _FINE)  # noqa: S311, it draws, it hides nothing
    PRINTS[kind](cloth)
    printed = cloth.image.resize((size, size), Image.Resampling.LANCZOS)
    woven = ImageChops.multiply(printed, _weave(cloth.rng, size))
    out = io.BytesIO()
    woven.save(out, "PNG")
    return out.getvalue()


def _rgb(colour: str) -> Rgb:
    red, green, blue = ImageColor.getrgb(colour)[:3]
    return red, green, blue


class _Cloth:
    """A ground to print on. What goes over one edge comes in at the opposite one."""

    def __init__(self, rng: Random, colours: Sequence[Rgb], side: int) -> None:
        self.rng, self.colours, self.side = rng, colours, side
        self.image = Image.new("RGB", (side, side), colours[0])
        self.draw = ImageDraw.Draw(self.image)

    def ink(self, n: int) -> Rgb:
        """The n-th colour printed on the ground, or a shade of the ground where no other is given."""
        inks = self.colours[1:] or [shade(self.colours[0], -0.25)]
        return inks[n % len(inks)]

    def stamp(self, points: Points, colour: Rgb) -> None:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        for dx in (-self.side, 0, self.side):
            for dy in (-self.side, 0, self.side):
                inside = max(xs) + dx > 0 and min(xs) + dx < self.side and max(ys) + dy > 0 and min(ys) + dy < self.side
                if inside:
                    self.draw.polygon([(x + dx, y + dy) for x, y in points], fill=colour)

    def places(self, across: int, stray: float) -> Iterator[tuple[float, float]]:
        """Middles of motifs: a brick lay of `across` by `across`, each strayed by up to that share of a step."""
        step = self.side / across
        for row in range(across):
            for column in range(across):
                x = (column + (row % 2) / 2) * step + self.rng.uniform(-stray, stray) * step
                yield x, row * step + self.rng.uniform(-stray, stray) * step


def shade(colour: Rgb, by: float) -> Rgb:
    """Darker where `by` is negative, lighter where positive; -1 is black, 1 white."""
    towards = 255 if by > 0 else 0
    red, green, blue = (round(part + (towards - part) * abs(by)) for part in colour)
    return red, green, blue


def _oval(x: float, y: float, long: float, wide: float, turn: float, *, pointed: bool = False) -> Points:
    """An ellipse, or a leaf pointed at both ends, `long` by `wide`, turned by `turn` radians."""
    points: Points = []
    for n in range(28):
        angle = 2 * math.pi * n / 28
        u, v = math.cos(angle) * long / 2, math.sin(angle) * wide / 2
        if pointed:
            v *= abs(math.sin(angle)) ** 0.6
        points.append((x + u * math.cos(turn) - v * math.sin(turn), y + u * math.sin(turn) + v * math.cos(turn)))
    return points


def _plain(_cloth: _Cloth) -> None:
    """Only the ground."""


def _dots(cloth: _Cloth) -> None:
    across = cloth.rng.choice((8, 10, 12))
    wide = cloth.side / across * cloth.rng.uniform(0.26, 0.4)
    for n, (x, y) in enumerate(cloth.places(across, 0.02)):
        cloth.stamp(_oval(x, y, wide, wide, 0), cloth.ink(n))


def _stripes(cloth: _Cloth) -> None:
    repeat = cloth.side / cloth.rng.choice((4, 5, 6))
    bands = [(cloth.rng.uniform(0.05, 0.25), n) for n in range(max(2, len(cloth.colours)))]
    for start in range(round(cloth.side / repeat)):
        left = start * repeat
        for share, n in bands:
            right = left + share * repeat
            cloth.draw.rectangle((left, 0, right, cloth.side), fill=cloth.ink(n))
            left = right + repeat * 0.11


def _checks(cloth: _Cloth) -> None:
    across = cloth.rng.choice((6, 8, 10))
    step, ground, ink = cloth.side / across, cloth.colours[0], cloth.ink(0)
    half: Rgb = (ground[0] + ink[0]) // 2, (ground[1] + ink[1]) // 2, (ground[2] + ink[2]) // 2
    for n in range(across):
        band = (n + 0.25) * step, (n + 0.75) * step
        cloth.draw.rectangle((band[0], 0, band[1], cloth.side), fill=half)
        cloth.draw.rectangle((0, band[0], cloth.side, band[1]), fill=half)
    for n in range(across * across):
        x, y = (n % across + 0.25) * step, (n // across + 0.25) * step
        cloth.draw.rectangle((x, y, x + step / 2, y + step / 2), fill=ink)


def _gingham(cloth: _Cloth) -> None:
    """Bands as wide as what lies between them, darkest where they cross."""
    across = cloth.rng.choice((10, 12, 16))
    step, ink = cloth.side / across, cloth.ink(0)
    red, green, blue = ((under + over) // 2 for under, over in zip(cloth.colours[0], ink, strict=True))
    for n in range(0, across, 2):
        cloth.draw.rectangle((n * step, 0, (n + 1) * step, cloth.side), fill=(red, green, blue))
        cloth.draw.rectangle((0, n * step, cloth.side, (n + 1) * step), fill=(red, green, blue))
    for x in range(0, across, 2):
        for y in range(0, across, 2):
            cloth.draw.rectangle((x * step, y * step, (x + 1) * step, (y + 1) * step), fill=ink)


def _grid(cloth: _Cloth) -> None:
    """Thin lines both ways, drawn by an unsteady hand."""
    across = cloth.rng.choice((10, 12))
    step = cloth.side / across
    for n in range(across):
        at, wide = (n + cloth.rng.uniform(0.4, 0.6)) * step, step * cloth.rng.uniform(0.08, 0.16)
        cloth.draw.rectangle((at, 0, at + wide, cloth.side), fill=cloth.ink(n))
        cloth.draw.rectangle((0, at, cloth.side, at + wide), fill=cloth.ink(n))


def _waves(cloth: _Cloth) -> None:
    """Lines that rise and fall, whole waves across and whole rows down, so that the edges meet."""
    rows, waves = cloth.rng.choice((8, 10, 12)), cloth.rng.choice((3, 4, 6))
    step, phase = cloth.side / rows, cloth.rng.uniform(0, math.tau)
    for row in range(rows):
        wide = step * cloth.rng.uniform(0.16, 0.4)
        ridge: Points = [
            (x, (row + 0.5) * step + 0.3 * step * math.sin(math.tau * waves * x / cloth.side + phase))
            for x in range(0, cloth.side + 1, 4)
        ]
        cloth.stamp(ridge + [(x, y + wide) for x, y in reversed(ridge)], cloth.ink(row))


def _leaves(cloth: _Cloth) -> None:
    across = cloth.rng.choice((6, 8))
    long = cloth.side / across
    for n, (x, y) in enumerate(cloth.places(across, 0.16)):
        turn, colour = cloth.rng.uniform(0, math.tau), cloth.ink(n)
        cloth.stamp(_oval(x, y, long, long * 0.5, turn, pointed=True), colour)
        cloth.stamp(_oval(x, y, long * 1.15, long * 0.035, turn), shade(colour, 0.45))
        for side in (-1, 1):
            for share in (-0.2, 0.02, 0.24):
                vx, vy = x + share * long * math.cos(turn), y + share * long * math.sin(turn)
                rib = turn + side * 0.8
                middle = vx + 0.09 * long * math.cos(rib), vy + 0.09 * long * math.sin(rib)
                cloth.stamp(_oval(*middle, long * 0.18, long * 0.025, rib), shade(colour, 0.35))


def _florals(cloth: _Cloth) -> None:
    across = cloth.rng.choice((4, 6))
    step = cloth.side / across
    for n, (x, y) in enumerate(cloth.places(across, 0.14)):
        turn, petals, wide = (
            cloth.rng.uniform(0, math.tau),
            cloth.rng.choice((5, 6)),
            step * cloth.rng.uniform(0.3, 0.4),
        )
        for leaf in (turn + 0.6, turn + 2.6):
            at = x + step * 0.4 * math.cos(leaf), y + step * 0.4 * math.sin(leaf)
            cloth.stamp(_oval(*at, step * 0.36, step * 0.16, leaf, pointed=True), cloth.ink(1))
        for petal in range(petals):
            angle = turn + math.tau * petal / petals
            at = x + wide * 0.48 * math.cos(angle), y + wide * 0.48 * math.sin(angle)
            cloth.stamp(_oval(*at, wide * 0.86, wide * 0.56, angle), shade(cloth.ink(0), -0.12))
            cloth.stamp(_oval(*at, wide * 0.74, wide * 0.42, angle), cloth.ink(0))
        cloth.stamp(_oval(x, y, wide * 0.42, wide * 0.42, 0), cloth.ink(2 if n % 2 else 3))


def _sprigs(cloth: _Cloth) -> None:
    across = cloth.rng.choice((6, 8))
    step = cloth.side / across
    for n, (x, y) in enumerate(cloth.places(across, 0.08)):
        turn = cloth.rng.choice((-0.5, 0.5)) + math.pi / 2
        cloth.stamp(_oval(x, y, step * 0.7, step * 0.035, turn), cloth.ink(1))
        for share in (-0.32, -0.12, 0.08, 0.28):
            for side in (-1, 1):
                at = (
                    x + step * (share * math.cos(turn) + side * 0.13 * math.sin(turn)),
                    y + step * (share * math.sin(turn) - side * 0.13 * math.cos(turn)),
                )
                cloth.stamp(_oval(*at, step * 0.13, step * 0.13, 0), cloth.ink(0 if n % 2 else 2))


def _tonal(cloth: _Cloth) -> None:
    """Tone on tone: clouds of the ground a little lighter and darker, as cloth dyed by hand has."""
    for x, y in cloth.places(9, 0.5):
        turn, long = cloth.rng.uniform(0, math.tau), cloth.side * cloth.rng.uniform(0.06, 0.2)
        colour = shade(cloth.colours[0], cloth.rng.uniform(-0.28, 0.2))
        cloth.stamp(_oval(x, y, long, long * cloth.rng.uniform(0.5, 1), turn), colour)
    # Blurred with its neighbours about it, so that the edges still meet.
    margin = cloth.side // 8
    around = Image.new("RGB", (cloth.side + 2 * margin, cloth.side + 2 * margin))
    for n in range(9):
        around.paste(cloth.image, (margin + (n % 3 - 1) * cloth.side, margin + (n // 3 - 1) * cloth.side))
    soft = around.filter(ImageFilter.GaussianBlur(cloth.side / 50))
    cloth.image = soft.crop((margin, margin, margin + cloth.side, margin + cloth.side))


PRINTS: dict[str, Callable[[_Cloth], None]] = {
    "plain": _plain,
    "dots": _dots,
    "stripes": _stripes,
    "checks": _checks,
    "gingham": _gingham,
    "grid": _grid,
    "waves": _waves,
    "leaves": _leaves,
    "florals": _florals,
    "sprigs": _sprigs,
    "tonal": _tonal,
}


def _weave(rng: Random, side: int) -> Image.Image:
    """Threads over and under, each a little thicker or thinner than its neighbour, to be multiplied onto a print."""
    over = Image.frombytes(
        "L", (4, 4), bytes(255 if (x // 2 + y // 2) % 2 else 236 for y in range(4) for x in range(4))
    )
    crossed = Image.new("L", (side, side))
    for x in range(0, side, 4):
        crossed.paste(over, (x, 0))
    row = crossed.crop((0, 0, side, 4))
    for y in range(4, side, 4):
        crossed.paste(row, (0, y))
    warp = Image.frombytes("L", (side, 1), bytes(rng.randint(228, 255) for _ in range(side))).resize((side, side))
    weft = Image.frombytes("L", (1, side), bytes(rng.randint(228, 255) for _ in range(side))).resize((side, side))
    threads = ImageChops.multiply(crossed, ImageChops.multiply(warp, weft))
    return Image.merge("RGB", (threads, threads, threads))
