"""The reader that the extra brings: the recognition model inside rapidocr, run by onnxruntime.

Only the model's file is used, so that nothing can be fetched from a network. It is looked for without importing
rapidocr, which would load much that is not needed here.
"""

from collections.abc import Callable, Sequence
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from standback.errors import UsageError
from standback.wording.reader import CROP_PX, NOTHING_READ, Crop, Reader, Reading

_NOT_INSTALLED = "--read needs the reader, which is not installed: pip install 'standback[reader]'"
_THREADS = 2
"""The same on every machine, so that sums are taken in the same order."""
_MOST_IN_BATCH = 8
_WIDTH_STEP = 64
"""Crops are padded to a multiple of this, and only crops of one padded width go together."""
_LEAST_WIDTH, _MOST_WIDTH = 64, 2560
_BLANK = 0
"""The class of the model's decoder (connectionist temporal classification) that stands for no letter."""


def require_reader() -> None:
    """Refuse to go on where the reader is not installed.

    Raises
    ------
    UsageError
        With the line that installs it.
    """
    if find_spec("onnxruntime") is None or _model_file() is None:
        raise UsageError(_NOT_INSTALLED)


@cache
def recogniser() -> Reader:
    """Load the reader, once in a process.

    Raises
    ------
    UsageError
        Where it is not installed.
    """
    require_reader()
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = _THREADS
    options.inter_op_num_threads = 1
    options.log_severity_level = 4
    session = onnxruntime.InferenceSession(str(_model_file()), options, providers=["CPUExecutionProvider"])
    letters = ["", *session.get_modelmeta().custom_metadata_map["character"].split("\n"), " "]
    name = session.get_inputs()[0].name

    def run(pictures: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
        return np.asarray(session.run(None, {name: pictures})[0], dtype=np.float32)

    def read(crops: Sequence[Crop]) -> tuple[Reading, ...]:
        return _read(crops, run, letters)

    return read


def _read(crops: Sequence[Crop], run: Callable[[Any], Any], letters: Sequence[str]) -> tuple[Reading, ...]:
    readings = [NOTHING_READ] * len(crops)
    by_width: dict[int, list[int]] = {}
    for n, crop in enumerate(crops):
        if crop.shape[1] <= _MOST_WIDTH:
            by_width.setdefault(max(_LEAST_WIDTH, -(-crop.shape[1] // _WIDTH_STEP) * _WIDTH_STEP), []).append(n)
    for width, alike in sorted(by_width.items()):
        for start in range(0, len(alike), _MOST_IN_BATCH):
            batch = alike[start : start + _MOST_IN_BATCH]
            pictures = np.zeros((len(batch), 3, CROP_PX, width), dtype=np.float32)
            for row, n in enumerate(batch):
                # as the model was trained: blue first, from -1 to 1, nothing beyond the line
                pictures[row, :, :, : crops[n].shape[1]] = crops[n][:, :, ::-1].transpose(2, 0, 1) / 127.5 - 1
            for n, odds in zip(batch, run(pictures), strict=True):
                readings[n] = decoded(odds, letters)
    return tuple(readings)


def decoded(odds: npt.NDArray[np.float32], letters: Sequence[str]) -> Reading:
    """Read off the likeliest letters, one wherever the likeliest class changes.

    Parameters
    ----------
    odds
        (steps, classes) probabilities; class 0 is no letter.
    """
    best = odds.argmax(axis=1)
    starts = np.r_[True, best[1:] != best[:-1]] & (best != _BLANK)
    wording = "".join(letters[n] for n in best[starts])
    sure = odds.max(axis=1)[starts]
    if not wording.strip():
        return NOTHING_READ
    return Reading(wording=" ".join(wording.split()), confidence=round(float(sure.mean()), 3))


def _model_file() -> Path | None:
    package = find_spec("rapidocr")
    if package is None or package.origin is None:
        return None
    return min((Path(package.origin).parent / "models").glob("*_rec_*.onnx"), default=None)
