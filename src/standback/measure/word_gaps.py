"""Which gaps of a line part words: the split of its gaps, widest first, that is likeliest.

Letter gaps of one line are alike, and so are its word gaps. How wide a word space is follows from how far apart
the letters stand, within bounds. A gap far from both is likelier a loose pair than a word space unlike the others.
All lengths are in letter heights; every number here is fitted to type set in faces of a Debian system, with its own
word spaces, with narrower and wider ones as in justified text, and with pairs opened by known amounts (ours).
"""

import numpy as np
import numpy.typing as npt

Doubles = npt.NDArray[np.float64]

LEAST_WORD_GAP = 0.135
"""What is wider than the usual gap by less than this parts no words."""
WORD_SHARE = 0.2
"""Of all gaps so many part words."""
LETTER_SIGMA, LETTER_SCALE = 0.014, 0.044
"""How letter gaps scatter: half of them as a face spaces well (normal), half as it spaces badly (Laplace)."""
LOOSE_SHARE = 0.004
"""Pairs that are out of the rhythm: so many, by any amount up to half a letter height."""
SPACE, OF_LETTER_GAP, SPACE_SCALE = 0.18, 0.92, 0.09
"""A word gap is wider than the letter gaps by a space and once more about the letter gap (Laplace)."""
OWN_PRICE = 0.05
"""How likely a line that has word gaps has any one width of them."""
WORD_SCALE, ODD_SHARE, ODD_SCALE = 0.015, 0.076, 0.1
"""How the word gaps of one line scatter: nearly all by little, a few by more, between letters that open far."""
WIDTHS = np.arange(0.1, 1.5, 0.02)
"""Widths of word gaps beyond the letter gap that are tried."""


def word_gaps(gaps: Doubles) -> npt.NDArray[np.bool_]:
    """Tell which of a line's optical gaps (n,) part words: (n,)."""
    found = np.zeros(len(gaps), dtype=np.bool_)
    if not len(gaps):
        return found
    widest_first = np.argsort(-gaps, kind="stable")
    most = int(np.count_nonzero(gaps - np.median(gaps) > LEAST_WORD_GAP))
    likelihoods = [_log_likelihood(gaps[widest_first], words) for words in range(most + 1)]
    found[widest_first[: int(np.argmax(likelihoods))]] = True
    return found


def _log_likelihood(widest_first: Doubles, words: int) -> float:
    """Return how likely it is that the widest so many gaps part words, and no other."""
    usual = float(np.median(widest_first[words:]))
    off = widest_first[words:] - usual
    fine = np.exp(-0.5 * (off / LETTER_SIGMA) ** 2) / (LETTER_SIGMA * np.sqrt(2 * np.pi))
    of_letters = (1 - LOOSE_SHARE) * (0.5 * fine + 0.5 * _laplace(off, LETTER_SCALE)) + LOOSE_SHARE
    letters = float(np.log((1 - WORD_SHARE) * of_letters).sum())
    if not words:
        return letters
    expected = np.log(OWN_PRICE * _laplace(WIDTHS - SPACE - OF_LETTER_GAP * usual, SPACE_SCALE))
    apart = (widest_first[:words] - usual)[:, None] - WIDTHS
    alike = (1 - ODD_SHARE) * _laplace(apart, WORD_SCALE) + ODD_SHARE * _laplace(apart, ODD_SCALE)
    return letters + float((expected + np.log(WORD_SHARE * alike).sum(axis=0)).max())


def _laplace(off: Doubles, scale: float) -> Doubles:
    density: Doubles = np.exp(-np.abs(off) / scale) / (2 * scale)
    return density
