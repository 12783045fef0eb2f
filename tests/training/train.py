"""Train the network on crops that `training.crops` writes, while they are still being written.

PYTHONPATH=tests python -m training.train --crops FOLDER --kept FOLDER --out FOLDER/weights.npz
"""

import argparse
import json
import math
import time
from pathlib import Path
from typing import Any

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812

from training import net

KEYS = ("srgb8", "core", "weight", "ink")


class Store:
    """Crops held on the device; takes in new files as they appear."""

    def __init__(self, folder: Path, room: int, device: str) -> None:
        self.folder, self.room, self.count, self.device = folder, room, 0, device
        self.seen: set[str] = set()
        self.data: dict[str, Any] = {
            k: torch.zeros((room, 256, 256, 3) if k == "srgb8" else (room, 128, 128), dtype=torch.uint8, device=device)
            for k in KEYS
        }

    def take_in(self, limit: int = 10**9, *, remove: bool = False) -> None:
        """Load files not seen yet."""
        for path in sorted(self.folder.glob("*.npz")):
            if path.name in self.seen or self.count >= self.room or limit <= 0:
                continue
            with np.load(path) as file:
                n = min(len(file["core"]), self.room - self.count)
                for k in KEYS:
                    self.data[k][self.count : self.count + n] = torch.from_numpy(file[k][:n]).to(self.device)
            self.count += n
            self.seen.add(path.name)
            limit -= 1
            if remove:
                path.unlink()

    def batch(self, index: Any) -> tuple[Any, Any, Any, Any]:
        """Return sRGB (B, 3, H, W) in [0, 1], core, weight, ink."""
        x = self.data["srgb8"][index].permute(0, 3, 1, 2).float() / 255
        core, weight, ink = (self.data[k][index].float() for k in KEYS[1:])
        return x, core / 255, weight / 255, ink


def varied(x: Any, core: Any, weight: Any, ink: Any) -> tuple[Any, Any, Any, Any, Any]:
    """Swap channels, invert, change contrast, add grain, turn some upside down."""
    n, device = len(x), x.device

    def chance(share: float) -> Any:
        return torch.rand(n, device=device) < share

    x = x[:, torch.randperm(3, device=device)]
    x = torch.where(chance(0.35)[:, None, None, None], 1 - x, x)
    low = torch.rand(n, 3, device=device) * 0.5
    high = low + (1 - low) * (0.35 + 0.65 * torch.rand(n, 3, device=device))
    x = torch.where(chance(0.25)[:, None, None, None], low[..., None, None] + x * (high - low)[..., None, None], x)
    grain = torch.randn_like(x) * (torch.rand(n, device=device) * 0.04)[:, None, None, None]
    x = torch.where(chance(0.15)[:, None, None, None], x + grain, x)
    over = chance(0.06)
    x = torch.where(over[:, None, None, None], x.flip(2, 3), x)
    core, weight, ink = (torch.where(over[:, None, None], t.flip(1, 2), t) for t in (core, weight, ink))
    return x, core, weight, ink, ~over


def loss_of(logits: Any, core: Any, weight: Any, ink: Any, upright: Any) -> Any:
    """Cross-entropy weighted by the error, with Dice, on cores; cross-entropy on ink and on uprightness."""
    logits = logits.float()
    z = net.cells(logits[:, :4])
    p = z.sigmoid()
    hard = (p.detach() - core).abs() + 0.1
    bce = (F.binary_cross_entropy_with_logits(z, core, reduction="none") * hard * weight).sum() / weight.sum()
    dice = 1 - (2 * (p * core * weight).sum() + 1) / (((p + core) * weight).sum() + 1)
    asked = (ink < 255).float()
    zi = net.cells(logits[:, 4:8])
    ink_loss = (F.binary_cross_entropy_with_logits(zi, (ink / 254).clamp(0, 1), reduction="none") * asked).sum()
    inside = F.avg_pool2d(core[:, None], 2)[:, 0]
    up = F.binary_cross_entropy_with_logits(
        logits[:, 8], upright.float()[:, None, None].expand_as(logits[:, 8]), reduction="none"
    )
    return (
        3 * bce
        + 0.5 * dice
        + 0.15 * ink_loss / asked.sum().clamp_min(1)
        + 0.05 * (up * inside).sum() / inside.sum().clamp_min(1)
    )


@torch.no_grad()  # type: ignore[untyped-decorator]
def judge(p: net.Parameters, store: Store, plan: Any) -> dict[str, float]:
    """Pixel precision and recall of cores over validation crops, at 0.5, and accuracy of the ink."""
    hits = found = true = 0.0
    ink_right = ink_all = 1e-9
    for first in range(0, store.count, 128):
        x, core, weight, ink = store.batch(torch.arange(first, min(first + 128, store.count), device=store.device))
        logits = net.run(p, net.blocks_of(x), training=False, plan=plan).float()
        got, want, sure = net.cells(logits[:, :4]) > 0, core > 0.5, weight > 0.9
        hits += float((got & want & sure).sum())
        found += float((got & sure).sum())
        true += float((want & sure).sum())
        clear = (ink < 40) | ((ink > 215) & (ink < 255))
        right = (net.cells(logits[:, 4:8]) > 0) == (ink > 127)
        ink_right += float((right & clear).sum())
        ink_all += float(clear.sum())
    precision, recall = hits / max(found, 1), hits / max(true, 1)
    return {
        "precision": precision, "recall": recall, "f": 2 * precision * recall / max(precision + recall, 1e-9),
        "ink_accuracy": ink_right / ink_all, "crops": store.count,
    }  # fmt: skip


def train(
    store: Store, kept: dict[str, Store], *, steps: int, batch: int, rate: float, seed: int, plans: dict[str, Any],
    out: Path, seconds: float, first_crops: int, remove: bool, begin_from: Path | None,
) -> None:  # fmt: skip
    """Train each plan on the same batches, one cosine schedule; write each one's weights and scores."""
    torch.manual_seed(seed)
    device = store.device
    cuda = device.startswith("cuda")
    begin = time.monotonic()
    while store.count < first_crops:
        store.take_in(remove=remove)
        time.sleep(0.5)
    if begin_from is None:
        models = {name: net.start(seed, device, plan) for name, plan in plans.items()}
    else:
        with np.load(begin_from) as arrays:
            x = varied(*store.batch(torch.randint(0, store.count, (512,), device=device)))[0]
            known = {k: arrays[k] for k in arrays}
            models = {name: net.gone_on_from(known, net.blocks_of(x), plan) for name, plan in plans.items()}
    optimisers = {
        name: torch.optim.AdamW(
            [t for t in p.values() if t.requires_grad], lr=rate, weight_decay=0.01, betas=(0.9, 0.99), fused=cuda
        )
        for name, p in models.items()
    }
    log: list[dict[str, Any]] = []
    for step in range(steps + 1):
        spent = time.monotonic() - begin
        # the schedule follows whichever is nearer its end, the steps or the time
        share = min(1.0, max(step / steps, spent / seconds))
        last = step == steps or spent >= seconds
        if step % 40 == 0:
            store.take_in(2, remove=remove)
        if step % 4000 == 0 or last:
            for name, p in models.items():
                for among, crops in kept.items():
                    crops.take_in()
                    entry = {
                        "plan": name,
                        "step": step,
                        "s": round(spent),
                        "seen": store.count,
                        "kept": among,
                        **judge(p, crops, plans[name]),
                    }
                    log.append(entry)
                    print({k: round(v, 4) if isinstance(v, float) else v for k, v in entry.items()}, flush=True)
                net.export(p, out.with_name(f"{out.stem}-{name}.npz"), plans[name])
            out.with_name(f"{out.stem}-log.json").write_text(json.dumps(log))
        if last:
            return
        lr = rate * min(1.0, (step + 1) / 500) * (0.5 + 0.5 * math.cos(math.pi * share)) + 1e-6
        index = torch.randint(0, store.count, (batch,), device=device)
        x, core, weight, ink, upright = varied(*store.batch(index))
        x = net.blocks_of(x)
        x = x.contiguous(memory_format=torch.channels_last)
        weight = weight.clone()
        weight[:, :6], weight[:, -6:] = weight[:, :6] * 0.2, weight[:, -6:] * 0.2
        weight[:, :, :6], weight[:, :, -6:] = weight[:, :, :6] * 0.2, weight[:, :, -6:] * 0.2
        for name, p in models.items():
            with torch.autocast(device.split(":")[0], dtype=torch.bfloat16):
                logits = net.run(p, x, training=True, plan=plans[name])
            loss = loss_of(logits, core, weight, ink, upright)
            for group in optimisers[name].param_groups:
                group["lr"] = lr
            optimisers[name].zero_grad(set_to_none=True)
            loss.backward()
            optimisers[name].step()


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--crops", type=Path, required=True)
    parser.add_argument(
        "--kept", type=Path, nargs="+", required=True, help="validation crops, set in faces never trained on"
    )
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--begin-from", type=Path, help="exported weights to go on from")
    parser.add_argument("--steps", type=int, default=10**6)
    parser.add_argument("--seconds", type=float, default=1290.0)
    parser.add_argument("--batch", type=int, default=128)
    parser.add_argument("--rate", type=float, default=3e-3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", type=int, default=190_000)
    parser.add_argument("--first-crops", type=int, default=6_000)
    parser.add_argument("--remove", action="store_true", help="delete files once they are read")
    o = parser.parse_args()
    device_ = "cuda" if torch.cuda.is_available() else "cpu"
    train(
        Store(o.crops, o.room, device_), {folder.name: Store(folder, 8000, device_) for folder in o.kept},
        steps=o.steps, batch=o.batch, rate=o.rate, seed=o.seed, plans={"two-scale": net.PLAN}, out=o.out,
        seconds=o.seconds, first_crops=o.first_crops, remove=o.remove, begin_from=o.begin_from,
    )  # fmt: skip
