"""What colour is cloth: which colours are in it, how light is it, how far is one colour from another, and which go with it?

Pure: colours are "#rrggbb". Nearness is CIEDE2000, the difference as eyes see it (Sharma, Wu and Dalal, 2005); hue and chroma are those of
OKLCh, in which colours of one lightness look equally light. Many colours are reckoned at once, as rows of an array."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

type Colours = NDArray[np.float64]
type Palette = list[tuple[str, int]]

# Where light and dark begin, of CIE L* from 0 (black) to 100 (white). Common practice has no figures: cloth below 42 reads as dark
# beside a mid grey, above 70 as light.
DARK_BELOW, LIGHT_FROM = 42.0, 70.0
# Below this chroma of OKLCh a colour has no hue to speak of: greys, creams and off-whites.
NEUTRAL_BELOW = 0.035
MOST_COLOURS = 6
# Colours of a photo nearer than this (CIEDE2000) are one colour in light and shade; a colour of less than so many thousandths is a speck.
_ONE_COLOUR, _SPECK = 9.0, 20
_GROUPS = 16
# Of so many thousandths, a hue on a neutral ground is what the cloth is called by: a red and white check is red.
_SHOWS = 300

# sRGB to XYZ (IEC 61966-2-1), the white it is seen by, and OKLab's two matrices (Björn Ottosson, 2020), whose hue and chroma OKLCh is.
_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
_WHITE = _XYZ.sum(axis=1)
_LMS = np.array([[0.4122214708, 0.5363325363, 0.0514459929], [0.2119034982, 0.6806995451, 0.1073969566], [0.0883024619, 0.2817188376, 0.6299787005]])  # fmt: skip
_OKLAB = np.array([[0.2104542553, 0.7936177850, -0.0040720468], [1.9779984951, -2.4285922050, 0.4505937099], [0.0259040371, 0.7827717662, -0.8086757660]])  # fmt: skip

# Where each family of hues ends, in degrees of OKLCh's hue; what is left is pink again.
_HUES = (
    (5, "pink"),
    (42, "red"),
    (82, "orange"),
    (118, "yellow"),
    (175, "green"),
    (220, "turquoise"),
    (285, "blue"),
    (325, "purple"),
)
# A red as light as this (OKLCh) is called pink.
_PALE = 0.72
NEUTRAL = "neutral"
HUES = ("red", "orange", "yellow", "green", "turquoise", "blue", "purple", "pink", NEUTRAL)


def linear(colours: Iterable[str]) -> Colours:
    """Linear light of each colour, n x 3 from 0 to 1."""
    packed = np.array([int(colour[1:], 16) for colour in colours], dtype=np.int64)
    srgb = np.stack([packed >> 16, packed >> 8 & 255, packed & 255], axis=-1) / 255
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def lab(colours: Iterable[str]) -> Colours:
    """CIE L*a*b* of each colour, n x 3; L* from 0 for black to 100 for white (CIE 15)."""
    x = linear(colours) @ _XYZ.T / _WHITE
    f = np.where(x > (6 / 29) ** 3, np.cbrt(x), x * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=-1)


def oklch(colours: Iterable[str]) -> Colours:
    """Lightness (0 to 1), chroma (0 to about 0.3) and hue (degrees) of each colour, n x 3."""
    ok = np.cbrt(linear(colours) @ _LMS.T) @ _OKLAB.T
    return np.stack([ok[:, 0], np.hypot(ok[:, 1], ok[:, 2]), np.degrees(np.arctan2(ok[:, 2], ok[:, 1])) % 360], axis=-1)


def differences(many: Colours, one: Colours) -> NDArray[np.float64]:
    """CIEDE2000 of each row of `many` from `one` (3), or from its own row of `one`, all in L*a*b*; kL = kC = kH = 1. Steps as numbered by
    Sharma, Wu and Dalal, "The CIEDE2000 Color-Difference Formula", Color Research and Application 30 (2005), 21-30."""
    light1, a1, b1 = np.moveaxis(many, -1, 0)
    light2, a2, b2 = np.moveaxis(one, -1, 0)
    g = 0.5 * (1 - _share_of_25((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2))
    chroma1, chroma2 = np.hypot((1 + g) * a1, b1), np.hypot((1 + g) * a2, b2)
    hue1, hue2 = (np.degrees(np.arctan2(b, (1 + g) * a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    grey = chroma1 * chroma2 == 0
    turn = np.where(grey, 0, (hue2 - hue1 + 180) % 360 - 180)
    far = ~grey & (np.abs(hue1 - hue2) > 180)
    hue = np.where(grey, hue1 + hue2, (hue1 + hue2) / 2 + np.where(far, np.where(hue1 + hue2 < 360, 180, -180), 0))
    light, chroma = (light1 + light2) / 2, (chroma1 + chroma2) / 2
    t = 1 - 0.17 * _cos(hue - 30) + 0.24 * _cos(2 * hue) + 0.32 * _cos(3 * hue + 6) - 0.20 * _cos(4 * hue - 63)
    by_light = (light2 - light1) / (1 + 0.015 * (light - 50) ** 2 / np.sqrt(20 + (light - 50) ** 2))
    by_chroma = (chroma2 - chroma1) / (1 + 0.045 * chroma)
    by_hue = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.radians(turn) / 2) / (1 + 0.015 * chroma * t)
    rotation = -2 * _share_of_25(chroma) * np.sin(np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2))))
    squared = by_light**2 + by_chroma**2 + by_hue**2 + rotation * by_chroma * by_hue
    apart: NDArray[np.float64] = np.sqrt(np.maximum(squared, 0))
    return apart


def _share_of_25(chroma: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.sqrt(chroma**7 / (chroma**7 + 25.0**7))


def _cos(degrees: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.cos(np.radians(degrees))


def difference(one: str, other: str) -> float:
    """CIEDE2000 between two colours: below 1 no eye sees it."""
    return float(differences(lab([one]), lab([other])[0])[0])


def lightness(colour: str) -> float:
    """CIE L* of a colour, from 0 for black to 100 for white."""
    return float(lab([colour])[0, 0])


def value_of(colour: str) -> str:
    """ "light", "medium" or "dark", by its lightness."""
    return _value(lightness(colour))


def _value(light: float) -> str:
    return "dark" if light < DARK_BELOW else "light" if light >= LIGHT_FROM else "medium"


def value_of_print(palette: Sequence[tuple[str, int]]) -> str:
    """ "light", "medium" or "dark" of a cloth of these colours: by their mean lightness, each counted by its share."""
    shares = [share for _, share in palette]
    return _value(float(np.average(lab(one for one, _ in palette)[:, 0], weights=shares)))


def main_of(palette: Sequence[tuple[str, int]]) -> str:
    """What a cloth of these colours is called by: the commonest, save that a neutral ground gives way to a hue that covers enough of it."""
    ground = palette[0][0]
    hues = [one for one, share in palette if share >= _SHOWS and not is_neutral(one)]
    return hues[0] if hues and is_neutral(ground) else ground


def is_neutral(colour: str) -> bool:
    """Whether it has no hue to speak of: grey, cream, white or black."""
    return bool(oklch([colour])[0, 1] < NEUTRAL_BELOW)


def said(colour: str) -> str:
    """A colour in words: its value and its family, such as "dark blue"."""
    return f"{value_of(colour)} {hues_of([colour])[0]}"


def hues_of(colours: Sequence[str]) -> list[str]:
    """The family of each colour, one of HUES."""
    return [_family(*one) for one in oklch(colours).tolist()]


def _family(light: float, chroma: float, hue: float) -> str:
    if chroma < NEUTRAL_BELOW:
        return NEUTRAL
    name = next((name for end, name in _HUES if hue < end), "pink")
    return "pink" if name == "red" and light >= _PALE else name


def by_hue(colours: Sequence[str]) -> list[int]:
    """In which order colours lie side by side as a quilter lays them out: family by family, the lightest first, neutrals last."""
    families, light = hues_of(colours), oklch(colours)[:, 0].tolist()
    return sorted(range(len(colours)), key=lambda n: (HUES.index(families[n]), -light[n]))


# --- photos ----------------------------------------------------------------------------------------------------------


def palette(image: Image.Image) -> Palette:
    """The colours of a picture, the commonest first, each with its share in thousandths: at most MOST_COLOURS, near ones made one."""
    small = image.convert("RGB")
    small.thumbnail((200, 200))
    grouped = small.quantize(_GROUPS, method=Image.Quantize.FASTOCTREE, kmeans=3)
    rgb = grouped.getpalette("RGB") or []
    counts = sorted(((n, i) for n, i in grouped.getcolors() or [] if isinstance(i, int)), reverse=True)
    colours = ["#" + bytes(rgb[3 * i : 3 * i + 3]).hex() for _, i in counts]
    merged = _merged(colours, [n for n, _ in counts])
    dots = sum(n for n, _ in counts)
    shares = [(colour, round(1000 * n / dots)) for colour, n in merged]
    return [(colour, share) for colour, share in shares[:MOST_COLOURS] if share >= _SPECK] or shares[:1]


def _merged(colours: list[str], counts: list[int]) -> list[tuple[str, int]]:
    """The nearest two made one, their mean by count, until no two are near; the commonest first."""
    groups = list(zip(colours, counts, strict=True))
    while len(groups) > 1:
        at = lab(colour for colour, _ in groups)
        apart = differences(at[:, None, :], at[None, :, :]) + np.diag(np.full(len(groups), np.inf))
        i, j = sorted(divmod(int(apart.argmin()), len(groups)))
        if apart[i, j] >= _ONE_COLOUR:
            break
        other = groups.pop(j)
        groups[i] = _mean(groups[i], other)
    return sorted(groups, key=lambda group: (-group[1], group[0]))


def _mean(one: tuple[str, int], other: tuple[str, int]) -> tuple[str, int]:
    n = one[1] + other[1]
    parts = zip(bytes.fromhex(one[0][1:]), bytes.fromhex(other[0][1:]), strict=True)
    return "#" + bytes(round((a * one[1] + b * other[1]) / n) for a, b in parts).hex(), n


def colour_at(image: Image.Image, across: float, down: float) -> str:
    """The colour of a picture about a point, each from 0 to 1: the mean of a patch a thirtieth of the picture wide, so that threads and
    shadows even out."""
    reach = max(1, min(image.size) // 60)
    x, y = (round(min(1.0, max(0.0, at)) * (side - 1)) for at, side in ((across, image.width), (down, image.height)))
    left, top = max(0, x - reach), max(0, y - reach)
    right, bottom = min(image.width, x + reach + 1), min(image.height, y + reach + 1)
    patch = image.convert("RGB").crop((left, top, right, bottom))
    return "#" + np.asarray(patch).reshape(-1, 3).mean(axis=0).round().astype(np.uint8).tobytes().hex()


# --- nearness --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Cloths:
    """The colours of many cloths, for asking over and over: `at` of all in L*a*b*, `shares` of 1, and where each cloth's begin."""

    at: Colours
    shares: NDArray[np.float64]
    starts: NDArray[np.int64]


def cloths(palettes: Sequence[Sequence[tuple[str, int]]]) -> Cloths:
    """`palettes`: of each cloth its colours with their shares in thousandths, at least one."""
    counts = np.array([len(colours) for colours in palettes], dtype=np.int64)
    flat = [pair for colours in palettes for pair in colours]
    return Cloths(
        at=lab(colour for colour, _ in flat),
        shares=np.array([share for _, share in flat]) / 1000,
        starts=np.concatenate([[0], counts.cumsum()[:-1]]),
    )


def nearest(of: Cloths, colour: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Of each cloth the difference of its nearest colour (CIEDE2000), and the share of the cloth that is of it or as near to an eye."""
    apart = differences(of.at, lab([colour])[0])
    least = np.minimum.reduceat(apart, of.starts)
    lengths = np.diff(np.append(of.starts, len(apart)))
    near = apart <= np.repeat(least, lengths) + 1
    return least, np.add.reduceat(of.shares * near, of.starts)


def alike(of: Cloths, palette: Sequence[tuple[str, int]]) -> NDArray[np.float64]:
    """How far each cloth is from one of these colours: the mean, over both cloths' colours by their shares, of the difference from each
    to the nearest of the other's (CIEDE2000). 0 is the same cloth."""
    apart = np.stack([differences(of.at, one) for one in lab(colour for colour, _ in palette)])
    shares = np.array([share for _, share in palette]) / sum(share for _, share in palette)
    there = shares @ np.minimum.reduceat(apart, of.starts, axis=1)
    back = np.add.reduceat(of.shares * apart.min(axis=0), of.starts) / np.add.reduceat(of.shares, of.starts)
    mean: NDArray[np.float64] = (there + back) / 2
    return mean


# --- what goes together ----------------------------------------------------------------------------------------------

LIGHTER, DARKER, NEIGHBOUR, OPPOSITE, NEUTRALS = "lighter", "darker", "neighbour", "opposite", "neutral"
RELATIONS = (LIGHTER, DARKER, NEIGHBOUR, OPPOSITE, NEUTRALS)
# In degrees of hue: one hue, its neighbours to either side, and the far side of the circle. A step of lightness that can be seen in patches.
_SAME, _NEXT, _FAR, _STEP = 18.0, 55.0, 150.0, 0.07


def relations(colour: str, others: Sequence[str]) -> list[str]:
    """How each of `others` goes with a colour: one of RELATIONS, or "" where no plain relation holds. A neutral has no hue: with it go
    lighter and darker neutrals, and every colour stands out ("opposite")."""
    if not others:
        return []
    (light, chroma, hue), seen = oklch([colour])[0].tolist(), oklch(others)
    steps = seen[:, 0] - light
    turns = np.abs((seen[:, 2] - hue + 180) % 360 - 180)
    plain = seen[:, 1] < NEUTRAL_BELOW
    is_neutral = chroma < NEUTRAL_BELOW
    return [
        _relation(step, turn, neutral=neutral, beside_neutral=is_neutral)
        for step, turn, neutral in zip(steps.tolist(), turns.tolist(), plain.tolist(), strict=True)
    ]


def _relation(step: float, turn: float, *, neutral: bool, beside_neutral: bool) -> str:
    if beside_neutral and not neutral:
        return OPPOSITE
    if neutral and not beside_neutral:
        return NEUTRALS
    if beside_neutral or turn <= _SAME:
        return LIGHTER if step >= _STEP else DARKER if step <= -_STEP else ""
    return NEIGHBOUR if turn <= _NEXT else OPPOSITE if turn >= _FAR else ""


def a_few(colours: Sequence[str], beside: str, most: int) -> list[int]:
    """Which of `colours` to show beside one, at most so many: clear ones beside a clear one and muted ones beside a muted one first, the
    strongest first beside a neutral; none that an eye takes for one shown already."""
    chroma, own = oklch(colours)[:, 1], float(oklch([beside])[0, 1])
    order = np.argsort(-chroma if own < NEUTRAL_BELOW else np.abs(chroma - own), kind="stable").tolist()
    at, chosen = lab(colours), list[int]()
    for n in order:
        if len(chosen) < most and (not chosen or differences(at[chosen], at[n]).min() >= _ONE_COLOUR):
            chosen.append(n)
    return chosen
