"""A small SVG writer: same drawing, same bytes; plain attributes that every reader draws."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache

import shapely
from shapely.geometry.base import BaseGeometry

Point = tuple[float, float]
Value = str | float | int | None

FONTS = "'DejaVu Sans', sans-serif"
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_PLAIN = re.compile(r"[A-Za-z0-9 #.,:;()/_+*=%'-]*")
_NOT_ID = re.compile(r"[^A-Za-z0-9_-]+")


def escaped(text: str) -> str:
    """Text as XML wants it between tags and inside quotes; what XML cannot hold is left out."""
    if _PLAIN.fullmatch(text):
        return text
    plain = _NOT_XML.sub("", text)
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        plain = plain.replace(sign, name)
    return plain


def number(value: float) -> str:
    """A number with at most two decimals and never a minus nought."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def points_text(points: Iterable[Point]) -> str:
    """Points as the attribute of a polyline holds them."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def rings_text(shape: BaseGeometry) -> str:
    """The outlines of polygons and the lines of a shape, as path data."""
    kind = shape.geom_type
    if kind == "Polygon":
        rings = [shape.exterior, *shape.interiors] if shape.interiors else [shape.exterior]
        coords = (shapely.get_coordinates(ring).tolist()[:-1] for ring in rings)
        return "".join(_run_text(points, closed=True) for points in coords)
    if kind in ("LineString", "LinearRing"):
        points = shapely.get_coordinates(shape).tolist()
        return _run_text(points, closed=False) if points else ""
    return "".join(rings_text(part) for part in getattr(shape, "geoms", ()))


def _run_text(points: Sequence[Sequence[float]], *, closed: bool) -> str:
    steps = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


@cache
def _attribute_name(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


def _attributes(values: Mapping[str, Value]) -> str:
    words = []
    for name, value in values.items():
        if value is not None and value != "":
            text = number(value) if isinstance(value, float) else escaped(str(value))
            words.append(f' {_attribute_name(name)}="{text}"')
    return "".join(words)


class Drawing:
    """One drawing in the making; ``svg()`` gives its text.

    ``name`` begins every id inside it, so that several drawings can stand on one page.
    """

    def __init__(self, width: float, height: float, *, title: str, about: str, name: str) -> None:
        self.width, self.height = width, height
        self.name = _NOT_ID.sub("-", name).strip("-") or "drawing"
        self._title, self._about = title, about
        self._defined: dict[str, str] = {}
        self._rows: list[str] = []

    def add(self, tag: str, **values: Value) -> None:
        """An element with its attributes (underscores become hyphens)."""
        self._rows.append(f"<{tag}{_attributes(values)}/>")

    @contextmanager
    def group(self, **values: Value) -> Iterator[None]:
        """Everything added inside takes these attributes."""
        self._rows.append(f"<g{_attributes(values)}>")
        yield
        self._rows.append("</g>")

    def define(self, key: str, tag: str, body: str, **values: Value) -> str:
        """A definition, made once; gives the ``url(#...)`` that refers to it."""
        whole = f"{self.name}-{key}"
        self._defined.setdefault(
            whole, f"<{tag}{_attributes({'id': whole, **values})}>{body}</{tag}>"
        )
        return f"url(#{whole})"

    def line(self, a: Point, b: Point, **values: Value) -> None:
        """A straight line."""
        self.add("line", x1=float(a[0]), y1=float(a[1]), x2=float(b[0]), y2=float(b[1]), **values)

    def polyline(self, points: Iterable[Point], **values: Value) -> None:
        """A line through points."""
        self.add("polyline", points=points_text(points), **{"fill": "none", **values})

    def polygon(self, points: Iterable[Point], **values: Value) -> None:
        """A closed outline through points."""
        self.add("polygon", points=points_text(points), **values)

    def shape(self, shape: BaseGeometry, **values: Value) -> None:
        """Polygons with their holes, or lines."""
        if not shape.is_empty:
            self.add("path", d=rings_text(shape), **{"fill_rule": "evenodd", **values})

    def shapes(self, shapes: Iterable[BaseGeometry], **values: Value) -> None:
        """Many shapes as one element, filled where any of them is."""
        text = "".join(rings_text(shape) for shape in shapes)
        if text:
            self.add("path", d=text, **values)

    def circle(self, at: Point, radius: float, **values: Value) -> None:
        """A circle."""
        self.add("circle", cx=float(at[0]), cy=float(at[1]), r=float(radius), **values)

    def rect(self, box: tuple[float, float, float, float], **values: Value) -> None:
        """A rectangle from (left, top, right, bottom)."""
        x0, y0, x1, y1 = box
        self.add(
            "rect",
            x=float(x0),
            y=float(y0),
            width=float(x1 - x0),
            height=float(y1 - y0),
            **values,
        )

    def text(self, at: Point, words: str, size: float, **values: Value) -> None:
        """A line of text whose baseline begins (or is anchored) at a place."""
        head: dict[str, Value] = {"x": float(at[0]), "y": float(at[1]), "font_size": float(size)}
        self._rows.append(f"<text{_attributes({**head, **values})}>{escaped(words)}</text>")

    def svg(self) -> str:
        """The whole drawing as text."""
        box = f"0 0 {number(self.width)} {number(self.height)}"
        ids = f"{self.name}-title {self.name}-about"
        head = _attributes(
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": box,
                "width": number(self.width),
                "height": number(self.height),
                "role": "img",
                "aria-labelledby": ids,
                "font-family": FONTS,
                "stroke-linejoin": "round",
                "stroke-linecap": "round",
            }
        )
        rows = [
            f"<svg{head}>",
            f'<title id="{self.name}-title">{escaped(self._title)}</title>',
            f'<desc id="{self.name}-about">{escaped(self._about)}</desc>',
        ]
        if self._defined:
            rows += ["<defs>", *self._defined.values(), "</defs>"]
        return "\n".join([*rows, *self._rows, "</svg>", ""])
