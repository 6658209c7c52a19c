"""What colour is cloth: how light is it, how far is one colour from another, and which go with it?

Pure: colours are "#rrggbb". Nearness is CIEDE2000, the difference as eyes see it (Sharma, Wu and Dalal, 2005); hue and chroma are those of
OKLCh, in which colours of one lightness look equally light."""

from __future__ import annotations

from coloraide import Color

# Where light and dark begin, of CIE L* from 0 (black) to 100 (white). Common practice has no figures: cloth below 42 reads as dark
# beside a mid grey, above 70 as light.
DARK_BELOW, LIGHT_FROM = 42.0, 70.0


def lightness(colour: str) -> float:
    """CIE L* of a colour, from 0 for black to 100 for white."""
    return float(Color(colour).convert("lab-d65")["lightness"])


def value_of(colour: str) -> str:
    """ "light", "medium" or "dark", by its lightness."""
    light = lightness(colour)
    return "dark" if light < DARK_BELOW else "light" if light >= LIGHT_FROM else "medium"
