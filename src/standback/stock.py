"""Paper and ink: how much light printed white and printed black throw back."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A printing stock.

    Attributes
    ----------
    name
        "coated", "uncoated", "newsprint", or the name of the colour profile that tells of it.
    white1, black1
        Luminance of the bare paper and of solid black, 1 being a perfect white.
    """

    name: str
    white1: float
    black1: float

    def printed1(self, luminance1: Any) -> Any:
        """Return the luminance that exported luminance has once printed: black at the ink's, white at the paper's.

        Takes numbers and arrays; Y_black + (Y_paper - Y_black) x Y, as a soft proof has it.
        """
        return self.black1 + (self.white1 - self.black1) * luminance1

    def of_paper1(self, luminance1: Any) -> Any:
        """Return the same as a share of the paper's own luminance."""
        return self.printed1(luminance1) / self.white1


def luminance1_of_lightness(lightness: float) -> float:
    """Relative luminance of CIE L*, for L* over 8 (CIE 15)."""
    return ((lightness + 16) / 116) ** 3


def _stock(name: str, paper_lightness: float, black_lightness: float) -> Stock:
    return Stock(
        name=name,
        white1=luminance1_of_lightness(paper_lightness),
        black1=luminance1_of_lightness(black_lightness),
    )


STOCKS = {
    stock.name: stock for stock in (_stock("coated", 95, 16), _stock("uncoated", 95, 31), _stock("newsprint", 82, 36))
}
"""Papers of ISO 12647-2:2004, table 1, on white backing; solid black after the same (from memory). Newsprint is
assumed, after what newspapers print on (ours)."""
