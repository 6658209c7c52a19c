"""What figures does a quilter start from, before she has said what her own are?

Two whole sets, one in inches and one metric, each what the trade commonly uses.
Neither is a conversion of the other: each is a round figure on its own ruler.
"""

from collections.abc import Mapping
from types import MappingProxyType

from quiltbook.measures import NM_PER_64TH, NM_PER_CM, NM_PER_INCH, NM_PER_MM, NM_PER_YARD, System
from quiltbook.web.words import UK, US

# An overage, an extra or a least offcut may be nothing; no other figure may.
MAY_BE_NOTHING = ("backing_overage", "wadding_overage", "binding_extra", "mitre_extra", "straightening", "least_offcut")

EIGHTH = 8 * NM_PER_64TH

USUAL: Mapping[System, Mapping[str, int]] = MappingProxyType(
    {
        System.INCHES: MappingProxyType(
            {
                "usable_width": 42 * NM_PER_INCH,
                "seam_allowance": 2 * EIGHTH,
                "cutting_step": EIGHTH,
                "backing_overage": 3 * NM_PER_INCH,
                "wadding_overage": 3 * NM_PER_INCH,
                "backing_seam": 4 * EIGHTH,
                "binding_strip": 20 * EIGHTH,
                "binding_extra": 12 * NM_PER_INCH,
                "mitre_extra": 4 * NM_PER_INCH,
                "turn_allowance": 3 * EIGHTH,
                "fat_quarter_width": 21 * NM_PER_INCH,
                "fat_quarter_length": 18 * NM_PER_INCH,
                "least_offcut": 2 * NM_PER_INCH,
                "shop_step": NM_PER_YARD // 8,
            }
        ),
        System.METRIC: MappingProxyType(
            {
                "usable_width": 107 * NM_PER_CM,
                "seam_allowance": 75 * NM_PER_CM // 100,
                "cutting_step": NM_PER_MM,
                "backing_overage": 8 * NM_PER_CM,
                "wadding_overage": 8 * NM_PER_CM,
                "backing_seam": NM_PER_CM,
                "binding_strip": 65 * NM_PER_MM,
                "binding_extra": 30 * NM_PER_CM,
                "mitre_extra": 10 * NM_PER_CM,
                "turn_allowance": NM_PER_CM,
                "fat_quarter_width": 55 * NM_PER_CM,
                "fat_quarter_length": 50 * NM_PER_CM,
                "least_offcut": 5 * NM_PER_CM,
                "shop_step": 10 * NM_PER_CM,
            }
        ),
    }
)

CURRENCY: Mapping[System, str] = MappingProxyType({System.INCHES: "USD", System.METRIC: "EUR"})


def words_at(time_zone: str) -> str:
    """Whose words somebody is likely to use, by the zone her clock is set to (its IANA name): American in the Americas, else British."""
    return US if time_zone.startswith(("America/", "US/", "Pacific/Honolulu")) else UK
