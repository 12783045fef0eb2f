"""A reader that is no model of ours: templates of an alphabet, behind the eye's optics and white noise.

It knows how each letter of a face looks once the optics have passed it on, sees one of them in noise that
is the same everywhere, and names the one that is nearest: the best that can be done. So it tells what
face, weight and contrast cost where the eye's optics and noise are all that limits reading.
"""

from dataclasses import dataclass
from functools import cache
from string import ascii_lowercase, ascii_uppercase

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from standback.viewing import see
from synth.fonts import Face
from synth.strokes import letter_stroke_em

Doubles = npt.NDArray[np.float64]

CAP_PX = 40.0
"""Height that the capitals are drawn in: no coarser than the optics at any size looked at."""
MARGIN_CAPS = 0.6
SIZES_ARCMIN = np.geomspace(2.2, 70.0, 15)
"""Heights of the capitals that the reader is shown."""
CORRECT = 0.625
"""Share of letters named right that counts as the limit: between the 50 and 75 % of acuity charts."""
_DRAWS = 400
_SEED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Alphabet:
    """The letters of one case of a face, with what the audit would know of a line set in them."""

    face: Face
    letters: str

    @property
    def height_em(self) -> float:
        """Height that counts: of the capitals, or the x-height."""
        return self.face.x_em if self.letters.islower() else self.face.cap_em

    @property
    def stroke_em(self) -> float:
        """Median width of the strokes along their centre lines."""
        return letter_stroke_em(self.face, self.letters)


def alphabets(face: Face) -> tuple[Alphabet, Alphabet]:
    """Return a face's capitals and its lowercase."""
    return Alphabet(face=face, letters=ascii_uppercase), Alphabet(face=face, letters=ascii_lowercase)


def grams(alphabet: Alphabet, pupil_mm: float) -> Doubles:
    """Return the (sizes, n, n) products of the seen letters of contrast 1, in square degrees."""
    cover, cells = _drawn(alphabet)
    products = []
    for size_arcmin in SIZES_ARCMIN:
        px_per_deg = CAP_PX / size_arcmin * 60.0
        seen = see(cover, px_per_deg, pupil_mm)
        letters = np.array([seen[rows, columns].ravel() for rows, columns in cells], dtype=np.float64)
        letters -= letters.mean(axis=0)
        products.append(letters @ letters.T / px_per_deg**2)
    return np.array(products)


def limit_arcmin(products: Doubles, contrast: float, noise_deg: float) -> float:
    """Height of the capitals at which so many letters are named right; nan where no size will do.

    Parameters
    ----------
    noise_deg
        Square root of the noise's density: the contrast of white noise on a patch of one square degree.

    Notes
    -----
    Optics are linear, so contrast scales what is seen and polarity turns it over.
    """
    rights = np.array([_share_right(product, contrast / noise_deg) for product in products])
    above = np.flatnonzero(rights >= CORRECT)
    if not len(above) or above[0] == 0:
        return float("nan")
    after = int(above[0])
    share = (CORRECT - rights[after - 1]) / (rights[after] - rights[after - 1])
    low, high = np.log(SIZES_ARCMIN[after - 1 : after + 1])
    return float(np.exp(low + share * (high - low)))


def _share_right(product: Doubles, strength: float) -> float:
    """Share named right by the nearest template, noise 1 in each direction of the letters' own space."""
    values, vectors = np.linalg.eigh(product)
    places = vectors * np.sqrt(np.maximum(values, 0.0)) * strength
    noise = _noise(len(product))
    lengths = (places**2).sum(axis=1)
    right = 0.0
    for index, place in enumerate(places):
        likeness = (place + noise) @ places.T - lengths / 2
        right += float((likeness.argmax(axis=1) == index).mean())
    return right / len(places)


@cache
def _noise(count: int) -> Doubles:
    return np.random.default_rng(_SEED).standard_normal((_DRAWS, count))


def _drawn(alphabet: Alphabet) -> tuple[npt.NDArray[np.float32], list[tuple[slice, slice]]]:
    """Draw the alphabet as cover, each letter in a cell of its own; return it and the cells."""
    face = alphabet.face
    em_px = CAP_PX / face.cap_em
    font = face.at(em_px)
    boxes = [font.getbbox(letter, anchor="ls") for letter in alphabet.letters]
    margin = round(MARGIN_CAPS * CAP_PX)
    top, bottom = min(box[1] for box in boxes), max(box[3] for box in boxes)
    width = int(max(box[2] - box[0] for box in boxes)) + 2 * margin
    height = int(bottom - top) + 2 * margin
    columns = 6
    rows = -(-len(boxes) // columns)
    picture = Image.new("L", (columns * width, rows * height), 0)
    draw = ImageDraw.Draw(picture)
    cells = []
    for index, (letter, box) in enumerate(zip(alphabet.letters, boxes, strict=True)):
        row, column = divmod(index, columns)
        x = column * width + width / 2 - (box[0] + box[2]) / 2
        draw.text((x, row * height + margin - top), letter, font=font, fill=255, anchor="ls")
        cells.append((slice(row * height, (row + 1) * height), slice(column * width, (column + 1) * width)))
    return np.asarray(picture, dtype=np.float32) / np.float32(255), cells
