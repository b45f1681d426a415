"""A drawing as SVG: each layer told apart by its stroke and filling, so that it reads in grey."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from millhand.report.activity_svg import short
from millhand.report.drawing import LAYERS, Circle, Line, Thing, Words, extent

EDGE = 6.0  # px round everything
GREATEST = 125.0  # px a metre
HATCHED = {"people": "people", "stands": "stands"}  # layers that are filled with a pattern
NOTHING = Markup("")
PATTERNS = Markup('<svg class="patterns" width="0" height="0" aria-hidden="true"><defs>{}</defs></svg>')
FILLS = Markup(
    '<pattern id="plan-people" width="7" height="7" patternUnits="userSpaceOnUse">'
    '<circle cx="2" cy="2" r="0.8" class="plan-dot"/></pattern>'
    '<pattern id="plan-stands" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<line x1="0" y1="0" x2="0" y2="7" class="plan-stripe"/></pattern>'
)


def drawing_svg(things: Sequence[Thing], *, width: float, title: str, extra: Markup = NOTHING) -> Markup:
    """All things, scaled to a width in px; the viewer's own letters, as high as the drawing says."""
    low_x, low_y, high_x, high_y = extent(things)
    scale = scale_of(things, width)
    width, height = (high_x - low_x) * scale + 2.0 * EDGE, (high_y - low_y) * scale + 2.0 * EDGE
    frame = Frame(left=low_x, top=high_y, scale=scale)
    order = list(LAYERS)
    shapes = [frame.shape(each) for each in sorted(things, key=lambda each: order.index(each.layer))]
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" class="plan" viewBox="0 0 {0} {1}" width="{0}" role="img" '
        'aria-label="{2}">{3}{4}</svg>'
    ).format(short(width), short(height), title, extra, Markup("").join(shapes))


def scale_of(things: Sequence[Thing], width: float) -> float:
    """px a metre: as wide as there is room, and not larger than reads well."""
    low, _, high, _ = extent(things)
    return min((width - 2.0 * EDGE) / (high - low), GREATEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """From metres to px, y downwards: what lies at the upper left, and px a metre."""

    left: float
    top: float
    scale: float

    def x(self, x: float) -> str:
        """Across."""
        return short((x - self.left) * self.scale + EDGE)

    def y(self, y: float) -> str:
        """Down."""
        return short((self.top - y) * self.scale + EDGE)

    def shape(self, thing: Thing) -> Markup:
        """One thing."""
        name = thing.layer.replace(" ", "-")
        if isinstance(thing, Line):
            points = " ".join(f"{self.x(x)},{self.y(y)}" for x, y in thing.points)
            fill = Markup(' fill="url(#plan-{})"').format(HATCHED[thing.layer]) if thing.layer in HATCHED else ""
            form = "polygon" if thing.closed else "polyline"
            return Markup('<{} points="{}" class="plan-{}"{}/>').format(Markup(form), points, name, fill)
        if isinstance(thing, Circle):
            return Markup('<circle cx="{}" cy="{}" r="{}" class="plan-{}"/>').format(
                self.x(thing.at[0]), self.y(thing.at[1]), short(thing.radius * self.scale), name
            )
        return self.words(thing)

    def words(self, thing: Words) -> Markup:
        """Words, turned about their point where they run upwards."""
        x, y = self.x(thing.at[0]), self.y(thing.at[1])
        turn = Markup(' transform="rotate(-90 {} {})"').format(x, y) if thing.turned else ""
        return Markup('<text x="{}" y="{}" text-anchor="{}" font-size="{}"{}>{}</text>').format(
            x, y, thing.anchor, short(thing.height * self.scale), turn, thing.text
        )


LINES = (
    "doors",
    "reach",
    "floor line",
    "ceiling",
    "fence",
    "gate",
    "aisle",
    "beam",
    "round",
    "round today",
    "curtain",
)  # a stroke, not a field
SIGNS = {
    "load positions": '<path d="M8 7h10M13 2v10" class="plan-load-positions"/>',
    "origin": '<path d="M6 7h14M13 0v14" class="plan-origin"/><circle cx="13" cy="7" r="3.5" class="plan-origin"/>',
    "emergency stops": '<path d="M13 1l6 6l-6 6l-6 -6z" class="plan-emergency-stops"/>',
    "resets": '<circle cx="13" cy="7" r="5" class="plan-resets"/>',
    "scanner": '<path d="M13 13l-6 -10h12z" class="plan-scanner"/>',
    "cabinet": '<path d="M4 2h18v10h-18z" class="plan-cabinet"/>',
    "panel": '<path d="M4 2h18v10h-18z" class="plan-panel"/>',
}


def legend_swatch(layer: str, extra: Markup = NOTHING) -> Markup:
    """A small field in the look of a layer."""
    name = layer.replace(" ", "-")
    fill = Markup(' fill="url(#plan-{})"').format(HATCHED[layer]) if layer in HATCHED else ""
    body = Markup('<rect x="1.5" y="1.5" width="23" height="11" class="plan-{}"{}/>').format(name, fill)
    if layer in SIGNS:
        body = Markup(SIGNS[layer])
    elif layer in LINES:
        body = Markup('<path d="M1 7h24" class="plan-{}"/>').format(name)
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" class="plan swatch" viewBox="0 0 26 14" width="26" height="14" '
        'aria-hidden="true">{}{}</svg>'
    ).format(extra, body)


def patterns() -> Markup:
    """The fillings, once for a page."""
    return PATTERNS.format(FILLS)
