"""Lettering: how wide text stands on a drawing, and how it is broken and cut to fit."""

from __future__ import annotations

from functools import lru_cache

# Advance widths of DejaVu Sans for the signs from space to tilde, in thousandths of its size.
_PLAIN = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,
    636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531,
    1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
    603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500,
    500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
    635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
)  # fmt: skip
_OTHER = 838
_BOLD = 1.12
_ELLIPSIS = "\u2026"


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """How wide a line of text stands at a size. [drawing units]"""
    total = sum(_PLAIN[ord(sign) - 32] if 32 <= ord(sign) < 127 else _wide(sign) for sign in text)
    return total * size / 1000.0 * (_BOLD if bold else 1.0)


def _wide(sign: str) -> int:
    return 1000 if ord(sign) >= 0x1100 or sign in "\u2026\u2014" else _OTHER


def shortened(text: str, size: float, room: float) -> str:
    """The text, cut with an ellipsis if it is wider than the room. [drawing units]"""
    if text_width(text, size) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + _ELLIPSIS, size) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + _ELLIPSIS


def wrapped(text: str, size: float, room: float, *, most: int) -> list[str]:
    """The text broken into at most ``most`` lines no wider than the room. [drawing units]"""
    lines: list[str] = []
    rest = text.split()
    while rest and len(lines) < most:
        if len(lines) == most - 1:
            lines.append(shortened(" ".join(rest), size, room))
            break
        count = 1
        while count < len(rest) and text_width(" ".join(rest[: count + 1]), size) <= room:
            count += 1
        lines.append(shortened(" ".join(rest[:count]), size, room))
        rest = rest[count:]
    return lines
