"""How tall letters must be is what the audit's own reach turned round."""

import pytest

from standback.reading import letter_mm_for, reach_of
from standback.settings import LOW_VISION, OLDER, PUBLIC, YOUNG_EYE, Settings, Viewer

SETTINGS = Settings()


@pytest.mark.parametrize("viewer", [PUBLIC, LOW_VISION, OLDER, YOUNG_EYE], ids=lambda v: v.name)
@pytest.mark.parametrize(("ratio", "stroke"), [(21.0, 0.2), (4.5, 0.14), (1.3, 0.06), (2.0, 0.5)])
@pytest.mark.parametrize("distance_m", [0.4, 5.0, 60.0])
def test_letters_as_tall_as_asked_reach_as_far_as_asked(
    viewer: Viewer, ratio: float, stroke: float, distance_m: float
) -> None:
    letter_mm = letter_mm_for(viewer, SETTINGS, distance_m=distance_m, stroke_share=stroke, ratio=ratio)
    assert letter_mm is not None
    again_m = reach_of(viewer, SETTINGS, letter_mm=letter_mm, stroke_mm=stroke * letter_mm, ratio=ratio)
    assert again_m == pytest.approx(distance_m, rel=1e-4)


def test_without_contrast_no_height_will_do() -> None:
    assert letter_mm_for(PUBLIC, SETTINGS, distance_m=5.0, stroke_share=0.2, ratio=1.01) is None
