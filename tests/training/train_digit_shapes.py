"""Train the small network that tells marks shaped like digits, and write its weights.

    python tests/training/train_digit_shapes.py [--out packets/outbound/digit_shapes.npz]

Glyphs are drawn from the faces of PDF's fourteen standard fonts (as MuPDF
brings them), Bitstream Vera (as reportlab brings it) and, where the machine has
them, the DejaVu faces; then blurred, thinned, thickened, tilted and sampled as
marks on a scan are. Same machine, same weights. Faces named in HELD_BACK are
kept for judging, and taken in for the weights that are written.
"""

import argparse
import io
import random
import string
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pymupdf
import reportlab
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from packets.outbound.digit_shapes import COLUMNS, ROWS, features_of

DIGITS = string.digits
SAME = "OIlSZBQDGqgb"
"""Letters that pass for digits: neither right nor wrong."""
ALIKE = "oszi"
"""Letters that are told from digits by their breadth alone: taking one for a digit counts less."""
LETTERS = "".join(c for c in string.ascii_letters if c not in SAME) + "&%@#?$()[]Xx*"
_LESS = 0.2
HELD_BACK = ("DejaVuSerif.ttf", "VeraBd.ttf", "tibi", "cobo", "DejaVuSans-Oblique.ttf")
_BASE = ("helv", "hebo", "heit", "hebi", "tiro", "tibo", "tiit", "tibi",
         "cour", "cobo", "coit", "cobi")  # fmt: skip
_HIDDEN = 40


def faces() -> dict[str, bytes]:
    """Every face by name."""
    found = {name: pymupdf.Font(name).buffer for name in _BASE}
    own = Path(reportlab.__file__).parent / "fonts"
    dejavu = Path("/usr/share/fonts/truetype/dejavu")
    for path in (*sorted(own.glob("Vera*.ttf")), *sorted(dejavu.glob("*.ttf"))):
        found[path.name] = path.read_bytes()
    return found


def glyph(face: ImageFont.FreeTypeFont, text: str, seed: random.Random) -> Image.Image | None:
    """Ink of one glyph, or of some that touch, as a scanner sees it; cut out by its box."""
    sheet = Image.new("L", (460, 200), 255)
    pen = ImageDraw.Draw(sheet)
    x = 60.0
    for char in text:
        pen.text((x, 50), char, font=face, fill=seed.choice((0, 0, 0, 40, 70)))
        left, _, right, _ = face.getbbox(char)
        x += (right - left) * (0.97 if len(text) > 1 else 1.0)
    if seed.random() < 0.25:  # a scan of less resolution, brought to the usual size
        small = sheet.resize((345, 150), Image.Resampling.BOX)
        sheet = small.resize(sheet.size, Image.Resampling.BICUBIC)
    sheet = sheet.rotate(seed.uniform(-3, 3), Image.Resampling.BICUBIC, fillcolor=255)
    sheet = sheet.filter(ImageFilter.GaussianBlur(seed.choice((0.3, 0.6, 0.9, 1.2))))
    data = np.asarray(sheet, dtype=np.int16)
    noise = np.random.default_rng(seed.randrange(2**31)).normal(
        0, seed.choice((1, 8, 16)), data.shape
    )
    data = np.clip(data + noise, 0, 255).astype(np.uint8)
    limit = seed.choice((110, 150, 150, 180))
    ink = Image.fromarray(np.where(data < limit, 255, 0).astype(np.uint8))
    ink = ink.filter(ImageFilter.MedianFilter(3)) if seed.random() < 0.3 else ink
    box = ink.getbbox()
    if box is None or min(box[2] - box[0], box[3] - box[1]) < 2:
        return None
    shown = Image.fromarray(data) if seed.random() < 0.8 else Image.eval(ink, lambda v: 255 - v)
    return shown.crop(box)


def samples(
    names: dict[str, bytes], each: int, seed: random.Random
) -> Iterator[tuple[np.ndarray, int, float]]:
    """Features, whether they are those of digits, and how much that counts."""
    for buffer in names.values():
        for _ in range(each):
            size = seed.choice((11, 13, 15, 18, 22, 28, 36, 48))
            face = ImageFont.truetype(io.BytesIO(buffer), size)
            if seed.random() < 0.5:
                pool, truth = DIGITS, 1
            else:
                pool, truth = LETTERS, 0
            count = seed.choices((1, 2, 3), (0.86, 0.1, 0.04))[0]
            text = "".join(seed.choice(pool) for _ in range(count))
            mark = glyph(face, text, seed)
            if mark is not None:
                tones = np.asarray(mark)
                box = np.array([[0, 0, mark.width, mark.height]])
                yield features_of(tones, box)[0], truth, _LESS if text in ALIKE else 1.0


def arrays(names: dict[str, bytes], each: int, seed: int) -> tuple[np.ndarray, ...]:
    """Samples as three arrays."""
    x, y, weight = zip(*samples(names, each, random.Random(seed)), strict=True)
    return np.stack(x), np.array(y), np.array(weight)


def trained(x: np.ndarray, y: np.ndarray, weight: np.ndarray, rounds: int) -> list[np.ndarray]:
    """Two layers by Adam on the logistic loss."""
    rng = np.random.default_rng(7)
    w = [rng.normal(0, 0.2, (x.shape[1], _HIDDEN)), np.zeros(_HIDDEN),
         rng.normal(0, 0.2, _HIDDEN), np.zeros(1)]  # fmt: skip
    first, second = [np.zeros_like(p) for p in w], [np.zeros_like(p) for p in w]
    step = 0
    for turn in range(rounds):
        order = rng.permutation(len(x))
        rate = 0.003 * (0.93**turn)
        for start in range(0, len(x), 128):
            part = order[start : start + 128]
            hidden = np.maximum(x[part] @ w[0] + w[1], 0)
            error = (1 / (1 + np.exp(-(hidden @ w[2] + w[3]))) - y[part]) * weight[part] / len(part)
            back = np.outer(error, w[2]) * (hidden > 0)
            slopes = [
                x[part].T @ back + 1e-5 * w[0],
                back.sum(0),
                hidden.T @ error,
                error.sum(keepdims=True),
            ]
            step += 1
            for k, slope in enumerate(slopes):
                first[k] = 0.9 * first[k] + 0.1 * slope
                second[k] = 0.999 * second[k] + 0.001 * slope**2
                fair = first[k] / (1 - 0.9**step), second[k] / (1 - 0.999**step)
                w[k] = w[k] - rate * fair[0] / (np.sqrt(fair[1]) + 1e-8)
    return w


def chance(w: list[np.ndarray], x: np.ndarray) -> np.ndarray:
    """How surely each is a digit, from 0 to 1."""
    return 1 / (1 + np.exp(-(np.maximum(x @ w[0] + w[1], 0) @ w[2] + w[3])))


def main() -> None:
    """Judge on faces never seen, then train on all and write."""
    options = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    options.add_argument("--out", type=Path)
    options.add_argument("--each", type=int, default=1200)
    options.add_argument("--rounds", type=int, default=40)
    wanted = options.parse_args()
    every = faces()
    new = {name: data for name, data in every.items() if name in HELD_BACK}
    seen = {name: data for name, data in every.items() if name not in HELD_BACK}
    old, fresh = arrays(seen, wanted.each, 1), arrays(new, wanted.each, 2)
    sure, truth = chance(trained(*old, wanted.rounds), fresh[0]), fresh[1]
    for limit in (0.2, 0.35, 0.5):
        sys.stdout.write(
            f"on new faces at {limit}: digits kept {np.mean(sure[truth == 1] > limit):.3f},"
            f" letters dropped {np.mean(sure[truth == 0] <= limit):.3f}\n"
        )
    every_sample = (np.concatenate(pair) for pair in zip(old, fresh, strict=True))
    w = trained(*every_sample, wanted.rounds)
    if wanted.out:
        np.savez_compressed(wanted.out, *(part.astype(np.float16) for part in w))
        sys.stdout.write(f"{wanted.out}: {wanted.out.stat().st_size} bytes, {ROWS} x {COLUMNS}\n")


if __name__ == "__main__":
    main()
