"""The network in PyTorch, and its export: batch norm folded into plain convolutions.

A plan names the layers in order; `standback.find.scorer` runs the same plan in numpy.
"""

from pathlib import Path
from typing import Any

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812

Parameters = dict[str, Any]

FINE, COARSE = 32, 64
PLAN = (
    # name, kernel, dilation, channels in, channels out; "down" halves the map, "up" doubles it again
    ("fine1", 3, 1, 48, FINE),
    ("fine2", 3, 1, FINE, FINE),
    ("down", 1, 1, 4 * FINE, COARSE),
    ("coarse1", 3, 1, COARSE, COARSE),
    ("coarse2", 3, 2, COARSE, COARSE),
    ("coarse3", 3, 4, COARSE, COARSE),
    ("coarse4", 3, 2, COARSE, COARSE),
    ("up", 1, 1, COARSE, 4 * FINE),
    ("fine3", 3, 1, FINE, FINE),
    ("fine4", 3, 1, FINE, FINE),
    ("head", 1, 1, FINE, 9),
)
"""Head: four core cells, four ink cells (rows first), whether the type stands upright."""
WINDOW = 9
FLOOR = 0.03


def start(seed: int, device: str, plan: tuple[tuple[str, int, int, int, int], ...] = PLAN) -> Parameters:
    """Return fresh parameters (He normal)."""
    g = torch.Generator().manual_seed(seed)
    found: Parameters = {}
    for name, kernel, _, n_in, n_out in plan:
        w = torch.randn(n_out, n_in, kernel, kernel, generator=g) * (2 / (n_in * kernel**2)) ** 0.5
        if name == "head":
            w *= 0.3
        found[f"{name}.weight"] = w.to(device).requires_grad_()
        found[f"{name}.bias"] = torch.zeros(n_out, device=device).requires_grad_()
        if name != "head":
            found[f"{name}.gain"] = torch.ones(n_out, device=device).requires_grad_()
            found[f"{name}.mean"] = torch.zeros(n_out, device=device)
            found[f"{name}.var"] = torch.ones(n_out, device=device)
    return found


def gone_on_from(arrays: dict[str, Any], x: Any, plan: tuple[tuple[str, int, int, int, int], ...] = PLAN) -> Parameters:
    """Return parameters from exported weights, with batch norms that change nothing on the blocks `x`."""
    found: Parameters = {}
    held = None
    for name, _, dilation, _, _ in plan:
        w = torch.from_numpy(arrays[f"{name}.weight"].astype(np.float32)).to(x.device)
        b = torch.from_numpy(arrays[f"{name}.bias"]).to(x.device)
        found[f"{name}.weight"] = w.requires_grad_()
        if name == "head":
            found["head.bias"] = b.requires_grad_()
            break
        with torch.no_grad():
            if name == "down":
                held = x
                x = F.pixel_unshuffle(x, 2)
            x = F.conv2d(x, w, padding=dilation * (w.shape[-1] // 2), dilation=dilation)
            mean, var = x.mean((0, 2, 3)), x.var((0, 2, 3))
            found[f"{name}.mean"], found[f"{name}.var"] = mean, var
            found[f"{name}.gain"] = (var + 1e-5).sqrt().requires_grad_()
            found[f"{name}.bias"] = (mean + b).requires_grad_()
            x = x + b[:, None, None]
            if name == "up":
                x = F.pixel_shuffle(x, 2) + held
            x = F.relu(x)
    return found


def blocks_of(srgb1: Any) -> Any:
    """Return (B, 48, H/4, W/4) locally normalised 4 x 4 blocks of (B, 3, H, W) sRGB in [0, 1]."""
    blocks = F.pixel_unshuffle(srgb1, 4)  # channel order: colour, row, column
    b, _, h, w = blocks.shape
    by_colour = blocks.reshape(b, 3, 16, h, w)
    mean, square = by_colour.mean(2), by_colour.square().mean(2)

    def wide(x: Any) -> Any:
        return F.avg_pool2d(x, WINDOW, 1, WINDOW // 2, count_include_pad=False)

    mean = wide(mean)
    variance = (wide(square) - mean.square()).clamp_min(0).sum(1)
    return ((by_colour - mean[:, :, None]) / (variance.sqrt() + FLOOR)[:, None, None]).reshape(b, 48, h, w)


def run(p: Parameters, x: Any, *, training: bool, plan: tuple[tuple[str, int, int, int, int], ...] = PLAN) -> Any:
    """Return the nine logits (B, 9, H/4, W/4) of normalised blocks."""

    def layer(name: str, x: Any, dilation: int) -> Any:
        w = p[f"{name}.weight"]
        x = F.conv2d(x, w, padding=dilation * (w.shape[-1] // 2), dilation=dilation)
        return F.batch_norm(
            x, p[f"{name}.mean"], p[f"{name}.var"], p[f"{name}.gain"], p[f"{name}.bias"], training, 0.02
        )

    held = None
    for name, _, dilation, _, _ in plan:
        if name == "head":
            return F.conv2d(x, p["head.weight"], p["head.bias"])
        if name == "down":
            held = x
            x = F.pixel_unshuffle(x, 2)
        x = layer(name, x, dilation)
        if name == "up":
            x = F.pixel_shuffle(x, 2) + held
        x = F.relu(x)
    return x


def cells(four: Any) -> Any:
    """Return four maps at stride 4 as one at stride 2."""
    return F.pixel_shuffle(four, 2)[:, 0]


def folded(p: Parameters, plan: tuple[tuple[str, int, int, int, int], ...] = PLAN) -> dict[str, Any]:
    """Return weight (out, in, k, k) and bias of each layer, batch norm folded in, rounded to float16."""
    found: dict[str, Any] = {}
    for name, *_ in plan:
        w, b = p[f"{name}.weight"].detach().float().cpu().numpy(), p[f"{name}.bias"].detach().float().cpu().numpy()
        if name != "head":
            gain = p[f"{name}.gain"].detach().float().cpu().numpy()
            mean, var = p[f"{name}.mean"].float().cpu().numpy(), p[f"{name}.var"].float().cpu().numpy()
            factor = gain / np.sqrt(var + 1e-5)
            w, b = w * factor[:, None, None, None], b - mean * factor
        found[f"{name}.weight"] = w.astype(np.float16)
        found[f"{name}.bias"] = b.astype(np.float32)
    return found


def export(p: Parameters, path: Path, plan: tuple[tuple[str, int, int, int, int], ...] = PLAN) -> None:
    """Write the folded weights and the dilations as one npz."""
    arrays = folded(p, plan)
    arrays["order"] = np.array([name for name, *_ in plan])
    arrays["dilation"] = np.array([d for _, _, d, _, _ in plan], dtype=np.int16)
    np.savez_compressed(path, **arrays)


def run_folded(arrays: dict[str, Any], srgb1: Any) -> Any:
    """Run exported weights in the framework, float32: what the numpy version is held against."""
    held, x = None, blocks_of(srgb1)
    for name, dilation in zip(arrays["order"].tolist(), arrays["dilation"].tolist(), strict=True):
        w = torch.from_numpy(arrays[f"{name}.weight"].astype(np.float32))
        b = torch.from_numpy(arrays[f"{name}.bias"])
        if name == "down":
            held = x
            x = F.pixel_unshuffle(x, 2)
        x = F.conv2d(x, w, b, padding=dilation * (w.shape[-1] // 2), dilation=dilation)
        if name == "up":
            x = F.pixel_shuffle(x, 2) + held
        if name != "head":
            x = F.relu(x)
    return x


def write_reference(weights: Path, path: Path, seed: int = 0) -> None:
    """Write a small picture and what the framework makes of it with exported weights, for the numpy test."""
    srgb8 = np.random.default_rng(seed).integers(0, 256, (48, 72, 3), dtype=np.uint8)
    srgb8[12:30, 8:60] = srgb8[12:30, 8:60] // 8 + 200  # a calmer part, as posters have
    with np.load(weights) as arrays:
        srgb1 = torch.from_numpy(srgb8).permute(2, 0, 1)[None].float() / 255
        logits = run_folded({k: arrays[k] for k in arrays}, srgb1)[0].numpy()
    np.savez_compressed(path, srgb8=srgb8, logits=logits)
