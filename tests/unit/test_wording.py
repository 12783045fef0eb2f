"""Reading: what the decoder makes of odds, lines of a drawn sheet, and what a reader changes in the finder's."""

import importlib.util
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageDraw

from standback.artwork import Artwork, from_srgb8
from standback.elements import Line
from standback.errors import UsageError
from standback.find import find_text
from standback.pipeline import audit_artwork
from standback.settings import Settings
from standback.wording import recogniser as room
from standback.wording.crops import near_crop
from standback.wording.lines import read_text
from standback.wording.reader import CROP_PX, NOTHING_READ, Crop, Reading
from standback.wording.recogniser import decoded, recogniser, require_reader
from synth.fonts import measuring_faces

LATO = next(face for face in measuring_faces() if face.path.name == "Lato-Regular.ttf")


@cache
def sheet() -> Artwork:
    picture = Image.new("RGB", (620, 880), (246, 243, 235))
    draw = ImageDraw.Draw(picture)
    for words, size, y, colour in (
        ("Harbour day", 84, 90, (20, 30, 60)),
        ("Saturday 12 September, 11 am to 6 pm", 30, 240, (120, 20, 30)),
        ("Free entry", 30, 330, (20, 30, 60)),
    ):
        draw.text((50, y), words, font=LATO.at(size), fill=colour)
    turned = Image.new("RGB", (300, 50), (246, 243, 235))
    ImageDraw.Draw(turned).text((10, 4), "Pier Three", font=LATO.at(36), fill=(20, 30, 60))
    picture.paste(turned.rotate(90, expand=True), (60, 500))
    return from_srgb8(np.asarray(picture), size_mm=(210, 297))


def test_the_decoder_takes_one_letter_wherever_the_likeliest_changes() -> None:
    letters = ["", "a", "b", " "]
    classes = [0, 1, 1, 0, 1, 2, 3, 3, 2, 0]
    odds = np.full((len(classes), 4), 0.05, dtype=np.float32)
    odds[range(len(classes)), classes] = 0.85
    assert decoded(odds, letters) == Reading(wording="aab b", confidence=0.85)
    assert decoded(odds[:1], letters) == NOTHING_READ


def test_lines_are_read_level_and_turned_and_the_same_in_any_company() -> None:
    art = sheet()
    lines = find_text(art)[0]
    crops = [near_crop(line, art) for line in lines]
    assert all(crop.shape[0] == CROP_PX for crop in crops)
    readings = recogniser()(crops)
    assert {r.wording for r in readings} == {
        "Harbour day", "Saturday 12 September, 11 am to 6 pm", "Free entry", "Pier Three"
    }  # fmt: skip
    assert min(r.confidence for r in readings) > 0.9
    assert recogniser()(crops[::-1])[::-1] == readings
    assert tuple(recogniser()([crop])[0] for crop in crops) == readings


def test_what_is_read_joins_and_what_is_not_loses() -> None:
    art = sheet()
    (first, second, *_) = find_text(art)[0]
    unsure = replace(second, confidence=0.7)
    surer = replace(second, confidence=0.85)

    def reading(*said: tuple[str, float]) -> tuple[tuple[str, ...], ...]:
        def reader(crops: Sequence[Crop]) -> tuple[Reading, ...]:
            # the second look, on wider crops, is only at what was unsure: here the last
            readings = tuple(Reading(wording=w, confidence=c) for w, c in said)
            return readings[len(readings) - len(crops) :]

        found = read_text(lines, doubtful, art, reader)
        return tuple((*line.found_by, f"{line.confidence:.3f}") for line in found.lines)

    lines: list[Line] = [first]
    doubtful: list[Line] = [unsure]
    assert len(reading(("Harbour", 1.0), ("day", 0.89))) == 1
    assert reading(("Harbour", 1.0), ("day", 0.98))[1] == ("reader", "0.882")
    lines, doubtful = [surer], []
    assert reading(("", 0.0)) == (("shapes", "0.595"),)
    assert reading(("day", 0.98)) == (("shapes", "reader", "0.850"),)


def test_an_audit_that_reads() -> None:
    report = audit_artwork(sheet(), Settings(far_m=2.0, read=True))
    (title,) = [m for m in report.elements if m.said == "Harbour day"]
    assert [(r.station, r.wording) for r in title.read] == [("near", "Harbour day"), ("far", "Harbour day")]
    assert title.wording is None and title.line.found_by == ("shapes", "reader")
    assert "misread" not in {f.check for f in report.findings}


def test_without_the_extra_it_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(room, "find_spec", lambda name: None if name == "rapidocr" else importlib.util.find_spec(name))
    with pytest.raises(UsageError, match=r"pip install 'standback\[reader\]'"):
        require_reader()
